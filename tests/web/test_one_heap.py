"""One heap for all threads, by the C library's own account, ``malloc_info(3)``."""

import platform
import subprocess
import sys

import pytest

WORK = """
import ctypes, sys, threading
from lamphouse.web.one_heap import share_one_heap
if sys.argv[1] == "one":
    share_one_heap()
gate = threading.Barrier(4)
def work():
    held = [bytes(2000) for _ in range(2000)]
    gate.wait()
threads = [threading.Thread(target=work) for _ in range(4)]
[one.start() for one in threads]
[one.join() for one in threads]
libc = ctypes.CDLL(None)
libc.fdopen.restype = ctypes.c_void_p
told = libc.fdopen(1, b"w")
libc.malloc_info(0, ctypes.c_void_p(told))
libc.fflush(ctypes.c_void_p(told))
"""


def heaps(wish):
    done = subprocess.run(
        [sys.executable, "-c", WORK, wish], capture_output=True, text=True, check=True
    )
    return done.stdout.count("<heap nr=")


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="the C library is not glibc")
def test_threads_share_one_heap():
    assert heaps("many") > 1
    assert heaps("one") == 1
