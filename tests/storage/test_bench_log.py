"""The bench log: kept whole through real kills, real full and read-only disks, two writers."""

import os
import signal
import sqlite3
import threading
import time

import numpy as np
import pytest

from lamphouse.build.log_text import as_text
from lamphouse.storage.bench_log import BenchLog, EntryRefused, log_path, read_log
from lamphouse.storage.refusal import StorageError
from storage.disks import make_read_only, mounted

KILLS = int(os.environ.get("LAMPHOUSE_KILLS", "100"))
AT = "2026-03-14T20:15:00+01:00"


def given(key, **other):
    told = {"key": key, "at": AT, "by": "Ann", "device": "bench", "kind": "note", "item": "bay"}
    return {**told, **other}


def checked_whole(path):
    """Ask the database itself, in a connection of its own [SQLITE]."""
    with sqlite3.connect(path) as base:
        (said,) = base.execute("PRAGMA integrity_check").fetchone()
    base.close()
    return said


def test_entries_come_back_in_order(tmp_path):
    path = log_path(tmp_path / "project.yaml")
    assert path.name == "project.log.sqlite"
    with BenchLog(path) as log:
        first = log.append(**given("a", kind="step", item="bay/glue"))
        second = log.append(**given("b", kind="reading", name="plug", value="12,1 mA"))
        assert (first.number, second.number) == (1, 2)
        assert log.entries() == (first, second)
        assert log.entries(after=1) == (second,)
        assert read_log(path) == (first, second), "a reader sees what a writer was told is written"
    assert read_log(path) == (first, second)
    assert [entry.name for entry in tmp_path.iterdir()] == ["project.log.sqlite"]


def test_no_log_is_an_empty_log_and_reading_makes_none(tmp_path):
    assert read_log(tmp_path / "project.log.sqlite") == ()
    assert list(tmp_path.iterdir()) == []


def test_the_same_key_twice_is_one_entry(tmp_path):
    with BenchLog(tmp_path / "log.sqlite") as log:
        first = log.append(**given("a", text="glued", attachment="one.jpg"))
        again = log.append(**given("a", text="glued", attachment="two.jpg", at=AT))
        assert again == first
        with pytest.raises(EntryRefused, match="stands for another entry, number 1"):
            log.append(**given("a", text="painted"))
        assert log.entries() == (first,)


def test_what_settings_the_promise_stands_on(tmp_path):
    with BenchLog(tmp_path / "log.sqlite") as log:
        asked = log._base.execute
        assert asked("PRAGMA journal_mode").fetchone() == ("wal",)
        assert asked("PRAGMA synchronous").fetchone() == (3,), "a write is waited for"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entries SET text = 'other'",
        "DELETE FROM entries",
        "INSERT OR REPLACE INTO entries SELECT * FROM entries",
        "REPLACE INTO entries VALUES (1, 'z', '', '', '', '', '', '', '', '', '')",
    ],
)
def test_no_program_rewrites_a_log_by_accident(tmp_path, statement):
    path = tmp_path / "log.sqlite"
    with BenchLog(path) as log:
        log.append(**given("a", text="as it was"))
    other = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="never changed"):
        other.execute(statement)
    other.close()
    assert [entry.text for entry in read_log(path)] == ["as it was"]


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"key": " "}, "no key"),
        ({"kind": "chat"}, "no kind of entry 'chat'; there is: step, undone"),
        ({"at": "2026-03-14T20:15:00"}, "no time with its zone"),
        ({"at": "yesterday"}, "no time with its zone"),
        ({"kind": "step", "item": ""}, "names its step or item"),
        ({"kind": "reading", "value": ""}, "holds a value"),
        ({"attachment": "../../etc/passwd"}, "no plain file name"),
        ({"attachment": "C:\\boot.ini"}, "no plain file name"),
        ({"attachment": ".hidden"}, "no plain file name"),
        ({"text": "x" * 20_001}, "20001 signs; at most 20000"),
        ({"item": "two\nlines"}, "no text, or a line end"),
        ({"text": "\x00"}, "no text"),
        ({"text": "\ud800"}, "no text"),
    ],
)
def test_what_cannot_stand_is_refused(tmp_path, wrong, told):
    with BenchLog(tmp_path / "log.sqlite") as log:
        with pytest.raises(EntryRefused, match=told):
            log.append(**{**given("a"), **wrong})
        assert log.entries() == ()


def test_hostile_words_stay_words(tmp_path):
    words = "'); DROP TABLE entries; -- \t \\ \r\n 😀 é"
    with BenchLog(tmp_path / "log.sqlite") as log:
        log.append(**given("a", text=words))
        (entry,) = log.entries()
        assert entry.text == words
        head, line = log.as_text().splitlines()
    assert head.split("\t")[-2] == "text"
    assert line.split("\t")[-2] == "'); DROP TABLE entries; -- \\t \\\\ \\r\\n 😀 é"
    assert as_text(()) == f"{head}\n"


def test_threads_share_an_open_log(tmp_path):
    with BenchLog(tmp_path / "log.sqlite") as log:
        threads = [
            threading.Thread(target=lambda mark=mark: log.append(**given(mark)))
            for mark in "abcdefgh"
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert sorted(entry.key for entry in log.entries()) == list("abcdefgh")


def test_an_open_by_two_at_the_same_moment_makes_one_log(tmp_path):
    for number in range(20):
        path = tmp_path / f"{number}.sqlite"
        together = threading.Barrier(4)
        faults = []

        def write(path=path, together=together, faults=faults):
            together.wait()
            try:
                with BenchLog(path) as log:
                    log.append(**given(threading.current_thread().name))
            except StorageError as fault:
                faults.append(fault)

        threads = [threading.Thread(target=write) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert faults == []
        assert len(read_log(path)) == 4


def test_files_that_are_no_log_are_refused_and_left(tmp_path):
    text = tmp_path / "text.sqlite"
    text.write_text("name,value\n" * 100, encoding="utf-8")
    with pytest.raises(StorageError, match="no bench log; move it away"):
        BenchLog(text)
    foreign = tmp_path / "foreign.sqlite"
    base = sqlite3.connect(foreign)
    base.execute("CREATE TABLE recipes (name)")
    base.close()
    for open_it in (BenchLog, read_log):
        with pytest.raises(StorageError, match="no bench log"):
            open_it(foreign)
    newer = tmp_path / "newer.sqlite"
    BenchLog(newer).close()
    base = sqlite3.connect(newer)
    base.execute("PRAGMA user_version = 2")
    base.close()
    for open_it in (BenchLog, read_log):
        with pytest.raises(StorageError, match=r"layout 2, .* up to 1; use the newer version"):
            open_it(newer)
    with pytest.raises(StorageError, match="folder has this name"):
        BenchLog(tmp_path)
    with pytest.raises(StorageError, match="cannot be opened; make the folder first"):
        BenchLog(tmp_path / "nowhere" / "log.sqlite")
    assert text.read_text(encoding="utf-8").startswith("name,value")


def test_a_log_that_somebody_else_made_runs_nothing_and_fills_nothing(tmp_path):
    forged = tmp_path / "forged.sqlite"
    BenchLog(forged).close()
    base = sqlite3.connect(forged)
    base.executescript(
        "DROP TABLE entries; CREATE VIEW entries AS WITH RECURSIVE n(number) AS "
        "(SELECT 1 UNION ALL SELECT number + 1 FROM n) SELECT number, '' key, '' at, '' by, "
        "'' device, '' kind, '' item, '' name, '' value, '' text, '' attachment FROM n;"
    )
    base.close()
    for open_it in (BenchLog, read_log):
        with pytest.raises(StorageError, match="no bench log"):
            open_it(forged)
    large = tmp_path / "large.sqlite"
    with BenchLog(large) as log:
        log.append(**given("a"))
    base = sqlite3.connect(large)
    base.execute(
        "INSERT INTO entries SELECT 2, 'b', at, by, device, kind, item, name, value, "
        "printf('%.5000000c', 'x'), attachment FROM entries"
    )
    base.commit()
    base.close()
    with pytest.raises(StorageError, match="too big"):
        read_log(large)


def test_a_damaged_log_is_told(tmp_path):
    path = tmp_path / "log.sqlite"
    with BenchLog(path) as log:
        for number in range(400):
            log.append(**given(f"{number}", text="x" * 200))
    data = bytearray(path.read_bytes())
    data[8192:40960] = bytes(40960 - 8192)
    path.write_bytes(data)
    with pytest.raises(StorageError, match="damaged; copy it away"):
        read_log(path)


def test_a_really_full_disk(tmp_path):
    with mounted(tmp_path / "small", "-o", "size=256k") as disk:
        path = disk / "log.sqlite"
        kept = []
        with BenchLog(path) as log:

            def write_until_refused():
                for number in range(10_000):
                    kept.append(log.append(**given(f"{number}", text="x" * 500)))

            with pytest.raises(StorageError, match="the disk is full; free some space"):
                write_until_refused()
            assert log.entries() == tuple(kept)
        assert read_log(path) == tuple(kept)
        assert len(kept) > 10
        assert checked_whole(path) == "ok"


def test_a_folder_that_can_only_be_read(tmp_path):
    with mounted(tmp_path / "disk") as disk:
        path = disk / "log.sqlite"
        with BenchLog(path) as log:
            log.append(**given("a"))
        make_read_only(disk)
        assert [entry.key for entry in read_log(path)] == ["a"]
        refused = pytest.raises(StorageError, match=r"can only be read|cannot be opened")
        with refused, BenchLog(path) as log:
            log.append(**given("b"))
        with pytest.raises(StorageError, match=r"can only be read|cannot be opened"):
            BenchLog(disk / "new.sqlite")


def start_writer(path, *, name):
    """Fork a writer that adds entries for ever and tells each one that it was told is written."""
    ears, mouth = os.pipe()
    writer = os.fork()
    if writer == 0:
        try:
            os.close(ears)
            os.write(mouth, b"begun\n")
            log = BenchLog(path)
            number = 0
            while True:
                entry = log.append(**given(f"{name}-{number}", device=name, text="x" * 300))
                os.write(mouth, f"{entry.number} {entry.key}\n".encode())
                number += 1
        finally:
            os._exit(1)
    os.close(mouth)
    os.read(ears, 6)
    return writer, ears


def kill(writer, ears):
    """Kill a writer and give what it had told."""
    os.kill(writer, signal.SIGKILL)
    _, status = os.waitpid(writer, 0)
    assert os.WIFSIGNALED(status), "the writer died of itself"
    with os.fdopen(ears, "rb") as heard:
        return [line.decode().split() for line in heard.read().split(b"\n")[:-1]]


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")
def test_kill_9_of_two_writers_loses_nothing_that_was_told(tmp_path):
    """LAMPHOUSE_KILLS sets how many; each round kills both writers, one after the other."""
    path = tmp_path / "project.log.sqlite"
    moments = np.random.default_rng(9).uniform(0.0, 0.03, (max(KILLS // 2, 1), 2))
    told: dict[str, int] = {}
    cut_off = 0
    for turn, (first, second) in enumerate(moments):
        writers = [start_writer(path, name=f"{side}{turn}") for side in ("pc", "phone")]
        time.sleep(first)
        said = kill(*writers[0])
        time.sleep(second)
        said += kill(*writers[1])
        told.update({key: int(number) for number, key in said})
        cut_off += path.with_name(f"{path.name}-wal").exists()
        if turn % 10 == 0 or turn == len(moments) - 1:
            assert checked_whole(path) == "ok"
            stands = {entry.key: entry.number for entry in read_log(path)}
            assert {key: stands.get(key) for key in told} == told
    assert checked_whole(path) == "ok"
    stands = read_log(path)
    assert len(stands) >= len(told)
    assert [entry.number for entry in stands] == sorted({entry.number for entry in stands})
    assert len(told) > 2 * len(moments), "too few entries between the kills"
    assert cut_off > len(moments) // 2, "too few kills left work to recover"
