"""Work done ahead in a second process, where the system can split one, and in turn elsewhere.

Results are the same either way. A process is split only on Linux, with a processor to spare and no
other thread running: elsewhere a split is not safe, or a new process would take longer to start
than it saves.
"""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import islice
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from signal import SIG_IGN, SIGINT, signal
from typing import TypeVar

T = TypeVar("T")
_TASKS = Path("/proc/self/task")
"""One entry for each thread of this process."""


@contextmanager
def beside(make: Callable[[], Iterator[T]]) -> Iterator[Iterator[T]]:
    """Give the items of an iterator, made ahead while the caller does other work.

    Parameters
    ----------
    make
        Gives the iterator; without effects but its items, which can be pickled. When it fails, or
        its process dies, it runs again here from its start, so that the failure is seen here.
    """
    if not _can_split():
        yield make()
        return
    split = get_context("fork")
    ours, theirs = split.Pipe(duplex=False)
    worker = split.Process(target=_send_all, args=(make, theirs), daemon=True)
    worker.start()
    theirs.close()
    try:
        yield _received(ours, make)
    finally:
        worker.kill()
        worker.join()
        ours.close()


def _can_split() -> bool:
    return (
        sys.platform == "linux"
        and len(os.sched_getaffinity(0)) > 1
        and _TASKS.is_dir()
        and len(list(_TASKS.iterdir())) == 1
    )


def _send_all(make: Callable[[], Iterator[T]], pipe: Connection) -> None:
    """Send every item as a list of one, then an empty list; stop short when one cannot be made."""
    signal(SIGINT, SIG_IGN)  # the caller is stopped, and ends this
    with suppress(Exception):  # the caller runs into the same, and tells
        for item in make():
            pipe.send([item])
        pipe.send([])


def _received(pipe: Connection, make: Callable[[], Iterator[T]]) -> Iterator[T]:
    number = 0
    try:
        while box := pipe.recv():
            number += 1
            yield box[0]
    except (EOFError, OSError):  # it stopped short
        yield from islice(make(), number, None)
