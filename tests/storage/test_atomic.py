"""One file, whole or not at all: real kills, real full and read-only disks."""

import errno
import os
import resource
import signal
import stat

import pytest

from lamphouse.storage import atomic
from lamphouse.storage.atomic import write_file
from lamphouse.storage.refusal import StorageError
from storage.disks import make_read_only, mounted, names_in
from storage.killing import kill_often

KILLS = 200
OLD, NEW = b"a" * 300_000, b"b" * 200_000


def parts(folder):
    return [entry.name for entry in folder.iterdir() if entry.name.startswith(".lamphouse")]


def test_new_and_replaced(tmp_path):
    write_file(tmp_path / "project.yaml", OLD)
    write_file(tmp_path / "project.yaml", NEW)
    assert (tmp_path / "project.yaml").read_bytes() == NEW
    assert names_in(tmp_path) == ["project.yaml"]


def test_empty_content(tmp_path):
    write_file(tmp_path / "empty", b"")
    assert (tmp_path / "empty").read_bytes() == b""


def test_mode_is_kept_and_a_new_file_follows_the_mask(tmp_path):
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_bytes(OLD)
    old.chmod(0o640)
    mask = os.umask(0o027)
    try:
        write_file(old, NEW)
        write_file(new, NEW)
    finally:
        os.umask(mask)
    assert stat.S_IMODE(old.stat().st_mode) == 0o640
    assert stat.S_IMODE(new.stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "there").mkdir()
    target = tmp_path / "there" / "real"
    target.write_bytes(OLD)
    link = tmp_path / "link"
    link.symlink_to("there/real")
    write_file(link, NEW)
    assert link.is_symlink()
    assert target.read_bytes() == NEW
    assert parts(tmp_path / "there") == []


def test_the_longest_name_a_disk_takes(tmp_path):
    path = tmp_path / ("n" * 255)
    write_file(path, NEW)
    assert path.read_bytes() == NEW


def test_bytes_are_on_the_disk_before_the_name_and_the_name_before_the_return(
    tmp_path, monkeypatch
):
    done = []
    real_fsync, real_replace = os.fsync, os.replace

    def fsync(descriptor):
        kind = "folder" if stat.S_ISDIR(os.fstat(descriptor).st_mode) else "file"
        done.append(f"fsync {kind}")
        real_fsync(descriptor)

    def replace(source, target, **places):
        done.append("replace")
        real_replace(source, target, **places)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    write_file(tmp_path / "file", NEW)
    assert done == ["fsync file", "replace", "fsync folder"]


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")
def test_kill_9_leaves_one_whole_version(tmp_path):
    path = tmp_path / "project.yaml"
    path.write_bytes(OLD)
    torn_off = []

    def write_forever():
        while True:
            write_file(path, NEW)
            write_file(path, OLD)

    def look():
        assert path.read_bytes() in (OLD, NEW)
        torn_off.extend(parts(tmp_path))

    kill_often(write_forever, times=KILLS, after_each=look, longest_s=0.012, seed=1)
    assert len(torn_off) > KILLS // 10, "too few kills fell into the middle of a write"
    write_file(path, NEW)
    assert names_in(tmp_path) == ["project.yaml"], "leftovers are swept"


def test_a_part_that_is_being_written_is_not_swept(tmp_path):
    path = tmp_path / "file"
    part, descriptor = atomic.claim(path, make=atomic.open_new)
    write_file(path, NEW)
    assert part.exists()
    os.close(descriptor)
    write_file(path, NEW)
    assert not part.exists()


def test_a_really_full_disk(tmp_path):
    with mounted(tmp_path / "small", "-o", "size=64k") as disk:
        path = disk / "file"
        write_file(path, b"old")
        with pytest.raises(StorageError, match="the disk is full; free some space") as refused:
            write_file(path, bytes(200_000))
        assert refused.value.errno == errno.ENOSPC
        assert path.read_bytes() == b"old"
        assert parts(disk) == []


def test_a_disk_that_fills_up_in_the_middle(tmp_path, monkeypatch):
    path = tmp_path / "file"
    path.write_bytes(OLD)
    real_write, written = os.write, []

    def write(descriptor, data):
        if written:
            raise OSError(errno.ENOSPC, "No space left on device")
        written.append(real_write(descriptor, data[:1000]))
        return written[-1]

    monkeypatch.setattr(os, "write", write)
    with pytest.raises(StorageError, match="full"):
        write_file(path, NEW)
    assert written == [1000]
    assert path.read_bytes() == OLD
    assert parts(tmp_path) == []


def test_a_limit_on_file_size(tmp_path):
    path = tmp_path / "file"
    path.write_bytes(OLD)
    old_limit = resource.getrlimit(resource.RLIMIT_FSIZE)
    assert signal.getsignal(signal.SIGXFSZ) == signal.SIG_IGN
    resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, old_limit[1]))
    try:
        with pytest.raises(StorageError, match="larger than allowed"):
            write_file(path, NEW)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, old_limit)
    assert path.read_bytes() == OLD
    assert parts(tmp_path) == []


def test_a_read_only_disk(tmp_path):
    with mounted(tmp_path / "disk") as disk:
        path = disk / "file"
        path.write_bytes(OLD)
        make_read_only(disk)
        with pytest.raises(StorageError, match="can only be read; choose a folder on another"):
            write_file(path, NEW)
        assert path.read_bytes() == OLD


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_read_only_folder_and_file(tmp_path):
    path = tmp_path / "file"
    path.write_bytes(OLD)
    path.chmod(0o400)
    with pytest.raises(StorageError, match="the file is read-only"):
        write_file(path, NEW)
    path.chmod(0o600)
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(StorageError, match="no permission"):
            write_file(path, NEW)
    finally:
        tmp_path.chmod(0o700)
    assert path.read_bytes() == OLD


def test_the_superuser_too_meets_a_read_only_folder_as_another_user(tmp_path):
    if os.geteuid() != 0:
        pytest.skip("only the superuser can take on another user")
    tmp_path.chmod(0o755)
    os.seteuid(65534)
    try:
        with pytest.raises(StorageError, match="no permission to write here; choose a folder"):
            write_file(tmp_path / "file", NEW)
    finally:
        os.seteuid(0)
    assert names_in(tmp_path) == []


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda folder: folder / ("n" * 256), "too long"),
        (lambda folder: folder / "missing" / "file", "does not exist"),
        (lambda folder: folder, "a folder has this name"),
        (lambda folder: folder / "plain" / "file", "a file, not a folder"),
        (lambda folder: folder / "loop", "a link that leads back"),
        (lambda folder: folder / "pipe", "a device or a pipe"),
    ],
)
def test_slips_in_the_path(tmp_path, make, words):
    (tmp_path / "plain").write_bytes(OLD)
    (tmp_path / "loop").symlink_to("loop")
    os.mkfifo(tmp_path / "pipe")
    before = names_in(tmp_path)
    with pytest.raises(StorageError, match=words) as refused:
        write_file(make(tmp_path), NEW)
    assert str(refused.value).endswith(refused.value.remedy)
    assert names_in(tmp_path) == before


def test_a_file_that_another_program_holds(tmp_path, monkeypatch):
    path = tmp_path / "file"
    path.write_bytes(OLD)

    def held(*_args, **_places):
        fault = PermissionError(errno.EACCES, "used by another process")
        fault.winerror = 32
        raise fault

    monkeypatch.setattr(os, "replace", held)
    with pytest.raises(StorageError, match="another program holds it; close"):
        write_file(path, NEW)
    assert path.read_bytes() == OLD
    assert parts(tmp_path) == []


def test_an_interrupt_leaves_no_part(tmp_path, monkeypatch):
    def interrupted(_descriptor):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_file(tmp_path / "file", NEW)
    assert names_in(tmp_path) == []
