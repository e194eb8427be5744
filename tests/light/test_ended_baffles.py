"""Baffles end where their pieces end: half a millimetre either way is glued to the wall."""

from math import hypot

import pytest

from lamphouse.light.ended_baffles import all_ended, ended
from lamphouse.light.scene import Baffle
from lamphouse.light.shared_walls import SNAP_MM, WALL_ERROR_MM
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import circle
from tolerances import EXACT

ROOM = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
L_ROOM = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (15.0, 20.0), (15.0, 10.0), (0.0, 10.0))
ROUND = flatten(circle(40.0), error_mm=WALL_ERROR_MM)


def drawn(start, end, *, walls=ROOM):
    baffle = Baffle(start_mm=start, end_mm=end, low_mm=0.0, high_mm=6.0, reflectance=0.8)
    made = ended(baffle, walls=walls)
    return made.start_mm, made.end_mm


@pytest.mark.parametrize("off", [-SNAP_MM, -0.3, 0.0, 0.3, SNAP_MM])
def test_an_end_near_a_wall_is_on_it(off):
    start, end = drawn((12.0, -off), (12.0, 20.0 + off))
    assert start == pytest.approx((12.0, 0.0), abs=EXACT)
    assert end == pytest.approx((12.0, 20.0), abs=EXACT)


@pytest.mark.parametrize("off", [-0.6, 0.6])
def test_an_end_farther_off_stays_where_it_is_drawn(off):
    assert drawn((12.0, -off), (12.0, 20.0 + off)) == ((12.0, -off), (12.0, 20.0 + off))


def test_a_slanted_end_goes_along_its_own_line():
    start, end = drawn((3.0, 4.0), (15.2, 20.2666666667))
    assert start == (3.0, 4.0)
    assert end == pytest.approx((15.0, 20.0), abs=1e-6)


def test_the_nearest_wall_counts_not_the_last():
    assert drawn((10.0, 0.0), (10.0, 9.8), walls=L_ROOM)[1] == pytest.approx((10.0, 10.0))
    assert drawn((20.0, 5.0), (2.0, 5.0), walls=L_ROOM)[1] == (2.0, 5.0)


def test_an_end_on_a_round_wall_lies_on_its_chords():
    across = 5.0
    half = (20.0**2 - across**2) ** 0.5
    start, end = drawn((-half, across), (half, across), walls=ROUND)
    for x, y in (start, end):
        assert y == pytest.approx(across, abs=EXACT)
        assert 20.0 - WALL_ERROR_MM - EXACT <= hypot(x, y) <= 20.0 + EXACT


@pytest.mark.parametrize("off", [-0.4, 0.0, 0.4])
@pytest.mark.parametrize("high", [6.0, 2.0])
def test_an_end_near_another_baffle_is_on_it_where_their_heights_overlap(off, high):
    through = Baffle(
        start_mm=(0.0, 8.0), end_mm=(30.0, 8.0), low_mm=0.0, high_mm=high, reflectance=0.8
    )
    hung = Baffle(
        start_mm=(12.0, 20.0), end_mm=(12.0, 8.0 - off), low_mm=3.0, high_mm=9.0, reflectance=0.8
    )
    first, second = all_ended((through, hung), walls=ROOM, pillars=())
    assert first == through
    assert second.start_mm == hung.start_mm
    wanted = (12.0, 8.0) if high > 3.0 else hung.end_mm
    assert second.end_mm == pytest.approx(wanted, abs=EXACT)
