"""Work done ahead in a second process: the same items, whatever becomes of that process."""

import os
import subprocess
import sys

import pytest

from lamphouse.outputs import beside as module
from lamphouse.outputs.beside import beside

HERE = os.getpid()


def squares():
    yield from (number * number for number in range(5))


@pytest.fixture(params=[True, False], ids=["split", "in turn"])
def split(request, monkeypatch):
    if not request.param:
        monkeypatch.setattr(module, "_can_split", lambda: False)


@pytest.mark.usefixtures("split")
def test_it_gives_every_item_in_order():
    with beside(squares) as items:
        assert list(items) == [0, 1, 4, 9, 16]


@pytest.mark.usefixtures("split")
def test_a_failure_is_seen_by_the_caller_after_the_items_before_it():
    def failing():
        yield 1
        yield 1 // 0

    with beside(failing) as items:
        assert next(items) == 1
        with pytest.raises(ZeroDivisionError):
            next(items)


def test_what_a_dead_process_leaves_is_made_here():
    def dying():
        yield "first"
        if os.getpid() != HERE:
            os._exit(9)
        yield "second"

    with beside(dying) as items:
        assert list(items) == ["first", "second"]


def test_what_cannot_be_sent_is_made_here():
    def unfit():
        yield "first"
        yield lambda: None

    with beside(unfit) as items:
        assert next(items) == "first"
        assert next(items)() is None


ALONE = """
import os
from lamphouse.outputs import beside as module

def endless():
    yield os.getpid()
    while True:
        yield 0

if not module._can_split():
    raise SystemExit("no second process here")
pids = []
try:
    with module.beside(endless) as items:
        pids.append(next(items))
        raise KeyboardInterrupt
except KeyboardInterrupt:
    pass
assert pids[0] != os.getpid()
try:
    os.kill(pids[0], 0)
except ProcessLookupError:
    print("gone")
"""


def test_it_is_another_process_and_is_gone_when_the_caller_gives_up():
    # In a process of its own: this one may have threads, and is then never split.
    done = subprocess.run(
        [sys.executable, "-c", ALONE], capture_output=True, text=True, check=False
    )
    if "no second process" in done.stderr:
        pytest.skip("no second process here")
    assert done.stdout == "gone\n", done.stderr
