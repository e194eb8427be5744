"""Work done ahead in a second process: the same items, whatever becomes of that process."""

import os

import pytest

from lamphouse.outputs import beside as module
from lamphouse.outputs.beside import beside

HERE = os.getpid()
can_split = pytest.mark.skipif(not module._can_split(), reason="no second process here")


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


@can_split
def test_it_is_another_process():
    def pids():
        yield os.getpid()

    with beside(pids) as items:
        assert next(items) != HERE


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


@can_split
def test_no_process_is_left_when_the_caller_gives_up():
    def endless():
        yield os.getpid()
        while True:
            yield 0

    def give_up():
        with beside(endless) as items:
            pids.append(next(items))
            raise KeyboardInterrupt

    pids = []
    with pytest.raises(KeyboardInterrupt):
        give_up()
    with pytest.raises(ProcessLookupError):
        os.kill(pids[0], 0)
