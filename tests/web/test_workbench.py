"""One open project: edits on the disk before they are answered, conflicts, editors beside, undo."""

import asyncio
import os
from concurrent.futures import ThreadPoolExecutor

import pytest

from lamphouse.project.write import ChangeError, set_value
from lamphouse.storage.bench_log import BenchLog, log_path
from lamphouse.storage.history import History
from lamphouse.storage.refusal import StorageError
from lamphouse.web.edits import ConflictError, Edits
from lamphouse.web.workbench import HISTORY, OUTSIDE, NothingError, RefusedError, Workbench

SUPPLY = ["supply", "max_current"]


@pytest.fixture
def project(tmp_path):
    from lamphouse.project import starter

    starter.start(tmp_path / "model")
    return tmp_path / "model" / "project.yaml"


def opened(project):
    return Workbench(project, now=lambda: "2026-11-26T20:00:00+00:00")


def in_its_own_loop(work):
    """Run a job in a thread of its own: the browser's driver keeps a loop in the tests' thread."""
    with ThreadPoolExecutor(1) as threads:
        return threads.submit(asyncio.run, work).result()


def setting(path, value, **more):
    one = {"do": "set", "path": path, "value": value, **more}
    return Edits.model_validate({"label": f"{path[-1]}: {value}", "edits": [one]})


def write_outside(project, text):
    project.write_text(text)
    stat = project.stat()
    os.utime(project, ns=(stat.st_atime_ns, stat.st_mtime_ns + 5_000_000_000))


def test_an_edit_is_on_the_disk_when_it_is_answered_and_undo_brings_every_byte_back(project):
    before = project.read_bytes()

    async def job():
        bench = opened(project)
        await bench.change(setting(SUPPLY, "750 mA"))
        during = project.read_bytes()
        await bench.undo()
        undone = project.read_bytes()
        await bench.redo()
        return during, undone, project.read_bytes()

    during, undone, redone = in_its_own_loop(job())
    assert b"750 mA" in during
    assert undone == before
    assert redone == during


def test_undo_goes_on_after_a_restart(project):
    before = project.read_bytes()

    async def job():
        bench = opened(project)
        for current in ("600 mA", "700 mA", "800 mA"):
            await bench.change(setting(SUPPLY, current))
        again = opened(project)
        for _ in range(3):
            await again.undo()
        with pytest.raises(NothingError):
            await again.undo()

    in_its_own_loop(job())
    assert project.read_bytes() == before


def test_a_value_changed_by_an_editor_meanwhile_is_a_conflict_that_shows_both(project):
    async def job():
        bench = opened(project)
        write_outside(project, set_value(project.read_text(), tuple(SUPPLY), "300 mA"))
        with pytest.raises(ConflictError) as caught:
            await bench.change(setting(SUPPLY, "750 mA", was="500 mA"))
        return caught.value

    fault = in_its_own_loop(job())
    assert (fault.stands, fault.wanted) == ("300 mA", "750 mA")
    assert "300 mA" in project.read_text()


def test_what_an_editor_has_changed_alike_meanwhile_is_no_conflict(project):
    async def job():
        bench = opened(project)
        write_outside(project, set_value(project.read_text(), tuple(SUPPLY), "750 mA"))
        await bench.change(setting(SUPPLY, "750 mA", was="500 mA"))
        return bench.undo_label

    assert in_its_own_loop(job()) == OUTSIDE
    assert "750 mA" in project.read_text()


def test_an_edit_elsewhere_in_the_file_keeps_what_an_editor_wrote(project):
    async def job():
        bench = opened(project)
        write_outside(project, set_value(project.read_text(), ("revision",), "Z"))
        await bench.change(setting(SUPPLY, "750 mA"))
        text = project.read_text()
        await bench.undo()
        label = bench.undo_label
        await bench.undo()
        return text, label

    text, label = in_its_own_loop(job())
    assert "750 mA" in text
    assert "revision: Z" in text
    assert label == OUTSIDE
    assert "revision: Z" not in project.read_text()


def test_what_could_not_be_planned_is_refused_with_the_findings_and_changes_nothing(project):
    before = project.read_bytes()

    async def job():
        bench = opened(project)
        with pytest.raises(RefusedError) as caught:
            await bench.change(setting(SUPPLY, "seven"))
        return caught.value.findings, bench.undo_label

    findings, label = in_its_own_loop(job())
    assert findings[0].where.line
    assert "seven" in findings[0].message
    assert (project.read_bytes(), label) == (before, "")


def test_a_file_broken_by_an_editor_is_told_and_taken_up_again_when_mended(project):
    sound = project.read_text()

    async def job():
        bench = opened(project)
        write_outside(project, sound + "\n  broken: [")
        await bench.look()
        broken = await bench.plan(), bench.findings()
        write_outside(project, sound + "# mended\n")
        await bench.look()
        return broken, await bench.plan()

    (none, findings), plan = in_its_own_loop(job())
    assert none is None
    assert findings[0].severity == "stop"
    assert plan.design


def test_a_plan_is_made_once_for_each_text_and_told_to_whoever_listens(project):
    async def job():
        bench = opened(project)
        queue = bench.listen()
        first, again = await asyncio.gather(bench.plan(), bench.plan())
        await bench.change(setting(SUPPLY, "750 mA"))
        stale = bench.plan_if_ready
        other = await bench.plan()
        events = [queue.get_nowait()["event"] for _ in range(queue.qsize())]
        return first, again, stale, other, events

    first, again, stale, other, events = in_its_own_loop(job())
    assert first is again
    assert stale is None
    assert other is not first
    assert events == ["planned", "revision", "planned"]


def test_a_kill_between_noting_and_writing_loses_nothing(project, monkeypatch):
    class KilledError(BaseException):
        pass

    def killed(*_):
        raise KilledError

    before = project.read_text()

    async def job():
        bench = opened(project)
        monkeypatch.setattr("lamphouse.web.workbench.save", killed)
        with pytest.raises(KilledError):
            await bench.change(setting(SUPPLY, "750 mA"))

    in_its_own_loop(job())
    again = opened(project)
    assert (again.text, again.undo_label) == (before, "")
    assert History(project.with_name(project.name + HISTORY)).agree_with(before)


@pytest.mark.parametrize("step", ["change", "undo", "redo"])
def test_a_full_disk_leaves_text_and_history_as_they_were(project, monkeypatch, step):
    def full(path, _text):
        raise StorageError(path, what="the disk is full", remedy="make room")

    async def job():
        bench = opened(project)
        await bench.change(setting(SUPPLY, "600 mA"))
        await bench.change(setting(SUPPLY, "700 mA"))
        await bench.undo()
        before = project.read_bytes(), bench.undo_label, bench.redo_label
        with monkeypatch.context() as patch:
            patch.setattr("lamphouse.web.workbench.save", full)
            work = {
                "change": bench.change(setting(SUPPLY, "750 mA")),
                "undo": bench.undo(),
                "redo": bench.redo(),
            }
            doing = work.pop(step)
            for other in work.values():
                other.close()
            with pytest.raises(StorageError):
                await doing
        assert project.read_bytes() == before[0]
        assert bench.undo_label == before[1]
        assert step == "change" or bench.redo_label == before[2]
        await bench.undo()
        assert "500 mA" in project.read_text()

    in_its_own_loop(job())


def test_what_the_log_says_was_built_outlives_an_edit(project):
    with BenchLog(log_path(project)) as log:
        entry = {"kind": "as built", "item": "supply", "name": "voltage", "value": "11.7 V"}
        at = "2026-11-26T20:00:00+00:00"
        log.append(key="of the meter", at=at, by="", device="bench", **entry)

    async def job():
        bench = opened(project)
        await bench.change(setting(SUPPLY, "750 mA"))
        return bench.reading.design.as_built

    (built,) = in_its_own_loop(job())
    assert built.item == "supply"


def test_the_plan_follows_what_is_logged_while_it_is_open(project):
    async def job():
        bench = opened(project)
        before, queue = await bench.plan(), bench.listen()
        with BenchLog(log_path(project)) as log:
            entry = {"kind": "as built", "item": "supply", "name": "voltage", "value": "11.7 V"}
            at = "2026-11-26T20:00:00+00:00"
            log.append(key="of the meter", at=at, by="", device="bench", **entry)
        kept = bench.revision
        await bench.look()
        new, after = bench.revision, await bench.plan()
        with BenchLog(log_path(project)) as log:
            log.append(key="a tick, say", at=at, by="", device="bench", kind="step", item="any")
        await bench.look()
        events = [queue.get_nowait()["event"] for _ in range(queue.qsize())]
        return before, after, (kept, new, bench.revision), events

    before, after, (kept, new, last), events = in_its_own_loop(job())
    assert after.design.supply != before.design.supply
    assert kept != new  # or what views keep by it would stay as it was
    assert last == new  # a tick changes no plan
    assert events == ["revision", "logged", "planned", "logged"]


def test_own_parts_beside_the_file_are_taken_up(project):
    parts = project.parent / "parts"
    parts.mkdir(exist_ok=True)
    file = parts / "led_types.csv"

    async def job():
        bench = opened(project)
        file.write_text("nonsense")
        await bench.look()
        broken = bench.findings()
        file.unlink()
        await bench.look()
        return broken, bench.findings()

    broken, mended = in_its_own_loop(job())
    assert any("led_types.csv" in one.where.file for one in broken)
    assert not any("led_types.csv" in one.where.file for one in mended)


def test_a_picture_painted_anew_is_taken_up(tmp_path):
    from PIL import Image

    from lamphouse.project import starter

    starter.start(tmp_path / "model", demo="saltmarsh")
    file = tmp_path / "model" / "mended.yaml"
    picture = file.with_name("tide_chart.png")

    async def job():
        bench = opened(file)
        before = bench.revision, bench.reading.design
        Image.new("RGB", (120, 75), (200, 30, 30)).save(picture)
        await bench.look()
        red = bench.revision, bench.reading.design
        picture.unlink()
        await bench.look()
        return before, red, bench.findings()

    before, red, findings = in_its_own_loop(job())
    assert before[0] != red[0]
    assert before[1] != red[1]
    assert any("tide_chart.png" in one.message for one in findings)


def test_what_an_editor_writes_while_a_change_is_made_is_kept(project, monkeypatch):
    from lamphouse.web import workbench

    read, wrote = workbench.read_beside, []

    def slowly(text, *, file):
        if not wrote:
            wrote.append(set_value(project.read_text(), ("revision",), "Z"))
            write_outside(project, wrote[0])
        return read(text, file=file)

    async def job():
        bench = opened(project)
        monkeypatch.setattr(workbench, "read_beside", slowly)
        await bench.change(setting(SUPPLY, "750 mA"))
        text = project.read_text()
        labels = []
        for _ in range(2):
            labels.append(bench.undo_label)
            await bench.undo()
        return text, labels

    before = project.read_text()
    text, labels = in_its_own_loop(job())
    assert "750 mA" in text
    assert "revision: Z" in text
    assert labels == ["max_current: 750 mA", OUTSIDE]
    assert project.read_text() == before


def test_a_text_made_of_another_is_refused(project):
    async def job():
        bench = opened(project)
        old = bench.text
        write_outside(project, set_value(old, ("revision",), "Z"))
        with pytest.raises(ChangeError):
            await bench.write(set_value(old, tuple(SUPPLY), "750 mA"), of=old, label="computed")

    in_its_own_loop(job())
    assert "revision: Z" in project.read_text()


def test_a_broken_file_is_not_written_over(project):
    broken = project.read_text() + "\n  broken: ["

    async def job():
        bench = opened(project)
        await bench.change(setting(SUPPLY, "750 mA"))
        write_outside(project, broken)
        with pytest.raises(RefusedError) as caught:
            await bench.change(setting(SUPPLY, "800 mA"))
        with pytest.raises(NothingError):
            await bench.undo()
        return caught.value.findings, bench.undo_label

    findings, label = in_its_own_loop(job())
    assert findings[0].where.line
    assert label == ""
    assert project.read_text() == broken


def test_a_file_taken_away_is_told_and_taken_up_again_when_it_is_back(project):
    away = project.with_suffix(".away")

    async def job():
        bench = opened(project)
        queue = bench.listen()
        project.rename(away)
        for _ in range(2):
            await bench.look()
        with pytest.raises(StorageError):
            await bench.change(setting(SUPPLY, "750 mA"))
        gone = bench.fault, bench.text, project.exists()
        away.rename(project)
        await bench.look()
        return gone, bench.fault, [queue.get_nowait()["event"] for _ in range(queue.qsize())]

    (fault, text, exists), after, events = in_its_own_loop(job())
    assert "not there" in fault
    assert text == project.read_text()
    assert not exists
    assert after == ""
    assert events[:2] == ["lost", "revision"]


def test_undo_offers_only_what_it_can_take_back(project):
    async def first():
        await opened(project).change(setting(SUPPLY, "600 mA"))

    async def then():
        bench = opened(project)
        labels = [bench.undo_label]
        await bench.change(setting(SUPPLY, "700 mA"))
        await bench.undo()
        with pytest.raises(NothingError):
            await bench.undo()
        return [*labels, bench.undo_label], bench.redo_label

    in_its_own_loop(first())
    by_hand = project.read_text() + "# while the page was closed\n"
    project.write_text(by_hand)
    labels, redo = in_its_own_loop(then())
    assert labels == ["", ""]
    assert redo == "max_current: 700 mA"
    assert project.read_text() == by_hand


def test_undo_is_offered_while_a_change_is_still_written(project, monkeypatch):
    from lamphouse.web import workbench

    seen = []

    async def job():
        bench = opened(project)
        write = workbench.save

        def watched(file, text):
            seen.append((bench.undo_label, bench.redo_label))
            write(file, text)

        monkeypatch.setattr(workbench, "save", watched)
        for current in ("600 mA", "700 mA"):
            await bench.change(setting(SUPPLY, current))
        await bench.undo()
        await bench.redo()

    in_its_own_loop(job())
    first, second = "max_current: 600 mA", "max_current: 700 mA"
    assert seen == [(first, ""), (second, ""), (first, second), (second, "")]
