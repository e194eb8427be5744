"""Lines of equal value against curves known in closed form."""

from itertools import pairwise
from math import hypot, pi

import numpy as np
import pytest

from lamphouse.drawings.contours import lines_at, outside, thinned
from tolerances import EXACT, PHYSICS

SIZE = 81
MIDDLE = (SIZE - 1) / 2


def grid():
    y, x = np.mgrid[0:SIZE, 0:SIZE].astype(float)
    return x - MIDDLE, y - MIDDLE


def everywhere():
    return np.ones((SIZE, SIZE), dtype=bool)


def length(line):
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(line))


def test_a_cone_has_circles():
    x, y = grid()
    (ring,) = lines_at(np.hypot(x, y), known=everywhere(), level=25.0)
    assert ring[0] == ring[-1]
    away = [hypot(u - MIDDLE, v - MIDDLE) for u, v in ring]
    assert max(abs(far - 25.0) for far in away) < 1 / (8 * 25.0)  # the sag of a chord a pixel long
    assert length(ring) == pytest.approx(2 * pi * 25.0, rel=PHYSICS)


def test_a_slope_has_straight_lines_exactly():
    x, y = grid()
    (line,) = lines_at(3.0 * x + y, known=everywhere(), level=7.3)
    assert max(abs(3.0 * (u - MIDDLE) + v - MIDDLE - 7.3) for u, v in line) < EXACT
    assert {line[0][1], line[-1][1]} == {0.0, SIZE - 1.0}


@pytest.mark.parametrize("level", [-3.1, 3.1])
def test_a_saddle_has_two_branches_that_do_not_cross(level):
    x, y = grid()
    branches = lines_at(x * y, known=everywhere(), level=level)
    assert len(branches) == 2
    for line in branches:
        assert len({u > MIDDLE for u, _ in line}) == 1


def test_four_saddles_in_single_squares_are_parted_by_their_middle():
    values = np.array([[1.0, 0.0], [0.0, 1.0]])
    known = np.ones((2, 2), dtype=bool)
    above = lines_at(values, known=known, level=0.4)
    below = lines_at(values, known=known, level=0.6)
    assert len(above) == len(below) == 2
    # Middle 0.5: above 0.4 it joins the high corners, so each line cuts off a low one.
    assert {round(sum(u + v for u, v in line), 6) for line in above} == {2.0}
    assert {round(sum(u + v for u, v in line), 6) for line in below} == {0.8, 3.2}


def test_lines_end_where_nothing_is_known():
    x, y = grid()
    (line,) = lines_at(y, known=np.hypot(x, y) <= 30.0, level=0.25)
    assert length(line) == pytest.approx(60.0, abs=2.0)  # whole squares only


def test_a_flat_field_has_none():
    assert lines_at(np.ones((5, 5)), known=np.ones((5, 5), dtype=bool), level=1.0) == []


def test_thinning_keeps_within_its_error():
    angles = np.linspace(0.0, 2 * pi, 400)
    line = [(40.0 * np.cos(a), 40.0 * np.sin(a)) for a in angles]
    few = thinned(line, error=0.05)
    assert len(few) <= 2 * 63  # an arc of that sag turns by 0.1 rad; halving may double it
    assert few[0] == line[0]
    assert few[-1] == line[-1]
    for a, b in pairwise(few):
        assert 40.0 - hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) <= 0.05 + PHYSICS


def test_lines_are_open_around_boxes():
    line = [(float(n), 0.0) for n in range(11)]
    parts = list(outside(line, boxes=[(3.5, -1.0, 6.5, 1.0)]))
    assert parts == [line[:4], line[7:]]
    assert list(outside(line, boxes=[(-1.0, -1.0, 11.0, 1.0)])) == []
