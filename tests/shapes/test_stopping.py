"""Ways into rings, against places put down before the ring was drawn through them."""

from math import cos, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes.stopping import stopped_mm, through
from tolerances import EXACT

SQUARE = ((2.0, -1.0), (4.0, -1.0), (4.0, 1.0), (2.0, 1.0))


@given(
    turn=st.floats(0.0, 2.0 * pi),
    run=st.floats(0.5, 40.0),
    shift=st.tuples(st.floats(-50.0, 50.0), st.floats(-50.0, 50.0)),
    backwards=st.booleans(),
)
def test_a_turned_square_is_met_where_it_was_put(turn, run, shift, backwards):
    def put(spot):
        x, y = spot
        return (
            shift[0] + x * cos(turn) - y * sin(turn),
            shift[1] + x * sin(turn) + y * cos(turn),
        )

    ring = tuple(map(put, reversed(SQUARE) if backwards else SQUARE))
    met = through(put((0.0, 0.3)), end=put((run, 0.3)), ring=ring)
    assert met == pytest.approx((2.0, 4.0), abs=1e-9)
    assert through(put((0.0, 1.3)), end=put((run, 1.3)), ring=ring) is None


@pytest.mark.parametrize(
    ("length", "stops"),
    [(1.4, None), (1.6, 2.0), (2.0, 2.0), (3.0, 2.0), (3.9, 2.0), (4.0, None), (7.0, None)],
)
def test_a_way_ends_at_a_ring_it_reaches_and_does_not_leave(length, stops):
    found = stopped_mm((0.0, 0.0), end=(length, 0.0), ring=SQUARE, within_mm=0.5)
    assert found == (stops if stops is None else pytest.approx(stops, abs=EXACT))


def test_a_way_that_starts_in_the_ring_has_no_end_there():
    assert stopped_mm((3.0, 0.0), end=(3.5, 0.0), ring=SQUARE, within_mm=0.5) is None
