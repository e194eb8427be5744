"""One heap for all threads, so that what one has freed another takes."""

from contextlib import suppress
from ctypes import CDLL

_M_ARENA_MAX = -8
"""Which of its settings glibc is asked for, ``mallopt(3)`` [MALLOPT]."""


def share_one_heap() -> None:
    """Ask the C library for one heap; where it knows no such wish, nothing happens.

    Plans are computed in threads, and glibc gives each thread a heap of its own. Each then keeps
    what it has freed, which with a large model is nearly a fifth of the memory.
    """
    with suppress(OSError, AttributeError, TypeError):
        CDLL(None).mallopt(_M_ARENA_MAX, 1)
