"""The one error of this room: what the disk refused, in plain words with what to do."""

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_HELD = (32, 33)
"""Windows: another program has the file open, or a part of it locked."""
_SENTENCES: dict[int, tuple[str, str]] = {
    errno.ENOSPC: ("the disk is full", "free some space on it, or choose another disk"),
    errno.EDQUOT: ("your share of the disk is used up", "free some space, or choose another disk"),
    errno.EFBIG: ("the file would be larger than allowed here", "choose another disk"),
    errno.EROFS: ("the disk can only be read", "choose a folder on another disk"),
    errno.EACCES: ("there is no permission to write here", "choose a folder of your own"),
    errno.EPERM: ("the system does not allow writing here", "choose a folder of your own"),
    errno.ENAMETOOLONG: ("the name is too long for this disk", "use a shorter name"),
    errno.EISDIR: ("a folder has this name", "use another name, or move the folder away"),
    errno.ENOTDIR: ("a part of the path is a file, not a folder", "look for a slip in the path"),
    errno.ENOENT: ("the folder does not exist", "make the folder first, or mend the path"),
    errno.ELOOP: ("the path is a link that leads back to itself", "remove the link"),
    errno.EBUSY: ("another program holds it", "close the other program and run again"),
    errno.ETXTBSY: ("another program is running it", "close the other program and run again"),
    errno.EIO: ("the disk reports a fault", "copy what matters to another disk"),
    errno.EINVAL: ("the disk does not take this name", "use plain letters and figures"),
}


class StorageError(OSError):
    """Something could not be written; what was there before is still there, whole.

    Attributes
    ----------
    path : Path
        The file or folder that was to be written.
    what : str
        What stood in the way.
    remedy : str
        What to do about it.
    """

    def __init__(self, path: Path, *, what: str, remedy: str, number: int | None = None) -> None:
        super().__init__(f"{path}: {what}; {remedy}")
        self.path = path
        self.what = what
        self.remedy = remedy
        self.errno = number


def refusal(path: Path, *, fault: OSError) -> StorageError:
    """Put a fault of the system into words.

    Parameters
    ----------
    path
        What was to be written.
    fault
        What the system said.
    """
    if getattr(fault, "winerror", None) in _HELD:
        what, remedy = _SENTENCES[errno.EBUSY]
    else:
        unknown = (fault.strerror or str(fault), "try another folder")
        what, remedy = _SENTENCES.get(fault.errno or 0, unknown)
    return StorageError(path, what=what, remedy=remedy, number=fault.errno)


@contextmanager
def put_into_words(path: Path) -> Iterator[None]:
    """Turn every fault of the system inside the block into a :class:`StorageError`.

    Raises
    ------
    StorageError
        In the place of any other ``OSError``.
    """
    try:
        yield
    except StorageError:
        raise
    except OSError as fault:
        raise refusal(path, fault=fault) from fault
