"""A file read whole up to a size; what is no plain file is refused, never waited for."""

import errno
import os
import stat
from pathlib import Path

_READ = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)
"""Opened so, a pipe that nobody writes to does not hold us up either."""


class NoPlainFile(OSError):
    """The name is that of a pipe, a socket or a device: reading it might never end."""


def read_file(path: Path, *, most_bytes: int) -> bytes:
    """Read a file.

    Parameters
    ----------
    path
        The file; a link is followed.
    most_bytes
        What is too large is cut here, one byte later, so that the caller can tell.

    Raises
    ------
    NoPlainFile
        If it is a pipe, a socket or a device.
    OSError
        If there is no such file, or it is a folder or cannot be read.
    """
    descriptor = os.open(path, _READ)
    try:
        _refuse_special(os.fstat(descriptor).st_mode, path=path)
        stream = os.fdopen(descriptor, "rb")
    except BaseException:
        os.close(descriptor)
        raise
    with stream:
        return stream.read(most_bytes + 1)


def _refuse_special(mode: int, *, path: Path) -> None:
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not stat.S_ISREG(mode):
        why = "it is a pipe or a device, not a file"
        raise NoPlainFile(errno.EINVAL, why, str(path))
