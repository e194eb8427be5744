"""Names for unfinished work beside a target, and the sweeping of what a killed run left.

Terminology
-----------
part
    A file or folder under construction, beside its target, with a name nobody types. Its writer
    holds a lock on it; the system lets go of the lock when the writer dies.
leftover
    A part whose writer is dead: no lock, so the next writer of the same target sweeps it.
"""

import errno
import hashlib
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

try:
    import fcntl
except ImportError:  # Windows: it refuses to delete a file that is open, which guards as well
    fcntl = None  # type: ignore[assignment]

_DIRECTORY = getattr(os, "O_DIRECTORY", 0)
"""Zero where folders cannot be opened; there they are neither locked nor waited for."""

Handle = TypeVar("Handle", bound=int | None)


def claim(target: Path, *, make: Callable[[Path], Handle]) -> tuple[Path, Handle]:
    """Make a part beside a target, and lock it.

    Parameters
    ----------
    target
        What the part will become.
    make
        Makes the part under the name it is given and opens it; raises ``FileExistsError`` when
        the name is taken.

    Returns
    -------
    tuple of Path and int or None
        The part and its open descriptor, None for a folder on a system that cannot open folders.
        The lock goes when the descriptor is closed.

    Raises
    ------
    OSError
        When the folder takes no new part.
    """
    number = 0
    while True:
        part = beside(target, ending=f"{number}.part")
        number += 1
        try:
            descriptor = make(part)
        except FileExistsError:
            continue
        if descriptor is None:
            return part, descriptor
        if _lock(descriptor, without_locks=True) and _is_still(part, descriptor=descriptor):
            return part, descriptor
        os.close(descriptor)


def sweep(target: Path, *, remove: Callable[[Path], None]) -> None:
    """Remove the leftovers of a target. What cannot be removed stays, without complaint.

    Parameters
    ----------
    target
        What the leftovers would have become.
    remove
        Removes one part; called while its lock is held, so that no writer takes it up meanwhile.
    """
    for part in sorted(target.parent.glob(beside(target, ending="*.part").name)):
        with _held(part) as is_left, suppress(OSError):
            if is_left:
                remove(part)


def beside(target: Path, *, ending: str) -> Path:
    """Give a name beside a target for unfinished work; short, whatever the target's name."""
    mark = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:12]
    return target.with_name(f".lamphouse-{mark}-{ending}")


def open_folder(folder: Path) -> int | None:
    """Open a folder to lock it or to make its entries last; None where systems cannot."""
    return os.open(folder, os.O_RDONLY | _DIRECTORY) if _DIRECTORY else None


def make_last(folder: Path) -> None:
    """Wait until the entries of a folder are on the disk itself.

    Raises
    ------
    OSError
        When the disk reports a fault. A disk that has no such call keeps its own order.
    """
    descriptor = open_folder(folder)
    if descriptor is None:
        return
    try:
        os.fsync(descriptor)
    except OSError as fault:
        if fault.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(descriptor)


@contextmanager
def _held(part: Path) -> Iterator[bool]:
    """Hold the lock of a part; the block is told whether its writer is gone."""
    try:
        descriptor = open_folder(part) if part.is_dir() else os.open(part, os.O_RDONLY)
    except OSError:
        yield False
        return
    if descriptor is None:
        yield True
        return
    try:
        yield _lock(descriptor, without_locks=False)
    finally:
        os.close(descriptor)


def _lock(descriptor: int, *, without_locks: bool) -> bool:
    """Try for the lock; on a disk that has no locks the answer is ``without_locks``."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return without_locks
    return True


def _is_still(part: Path, *, descriptor: int) -> bool:
    """Tell whether no sweeper took the part away between its making and its lock."""
    try:
        return os.path.samestat(part.stat(), os.fstat(descriptor))
    except FileNotFoundError:
        return False
