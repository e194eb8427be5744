"""One file, replaced whole: at any moment the old bytes or the new ones stand, never a mixture."""

import errno
import os
import stat
from contextlib import ExitStack, suppress
from pathlib import Path

from lamphouse.storage.claim import claim, make_last, sweep
from lamphouse.storage.refusal import StorageError, put_into_words

_NEW = os.O_CREAT | os.O_EXCL | os.O_RDWR | getattr(os, "O_BINARY", 0)
_WINDOWS = os.name == "nt"
"""Windows renames no file that is open."""


def write_file(path: Path, data: bytes) -> None:
    """Put bytes into a file, whole or not at all.

    The bytes go into a part beside the file, are forced onto the disk, and take the file's place
    in one step: a killed run or a power cut leaves the old file or the new one. A link is
    followed and stays a link; mode and owner of a file that is there are kept. Other hard links
    to the old file keep the old bytes.

    Parameters
    ----------
    path
        The file; its folder must exist.
    data
        All of its new content.

    Raises
    ------
    StorageError
        When the disk refuses, or the maker has made the file read-only. The old file is
        untouched and no part is left.
    """
    target = Path(os.path.realpath(path))
    with put_into_words(path), ExitStack() as still_open:
        old = _look_at(target)
        sweep(target, remove=Path.unlink)
        part, descriptor = claim(target, make=open_new)
        still_open.callback(os.close, descriptor)
        try:
            if old is not None:
                _take_after(old, part=part)
            fill(descriptor, data=data)
            if _WINDOWS:
                still_open.close()
            part.replace(target)
        except BaseException:
            with suppress(OSError):
                part.unlink()
            raise
        make_last(target.parent)


def open_new(path: Path) -> int:
    """Make a file that must not exist yet, and open it for writing."""
    return os.open(path, _NEW, 0o666)


def fill(descriptor: int, *, data: bytes) -> None:
    """Write all bytes to an open file and wait until they are on the disk itself.

    Raises
    ------
    OSError
        When the disk refuses; a part of the bytes may then be in the file.
    """
    left = memoryview(data)
    while left:
        left = left[os.write(descriptor, left) :]
    os.fsync(descriptor)


def _look_at(target: Path) -> os.stat_result | None:
    """Tell mode and owner of the file that is there, and refuse what must not be replaced."""
    try:
        old = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(old.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if not stat.S_ISREG(old.st_mode):
        what = "this is a device or a pipe, not a file"
        raise StorageError(target, what=what, remedy="name a plain file")
    if os.access(target.parent, os.W_OK) and not os.access(target, os.W_OK):
        what = "the file is read-only"
        raise StorageError(target, what=what, remedy="allow writing to it, or use another name")
    return old


def _take_after(old: os.stat_result, *, part: Path) -> None:
    """Give the part the mode of the old file, and its owner where the system allows."""
    if hasattr(os, "chown"):
        with suppress(OSError):
            os.chown(part, old.st_uid, old.st_gid)
    part.chmod(stat.S_IMODE(old.st_mode))
