"""Baffles parted where they cross: plane geometry, and random walks that know nothing of cells."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.design.lightbox import Baffle as DrawnBaffle
from lamphouse.design.lightbox import Seat
from lamphouse.light.box_scene import draw_box
from lamphouse.light.crossed_baffles import parted
from lamphouse.light.glow import solve
from lamphouse.light.scene import Baffle
from lamphouse.light.verify import Effort, verify
from lamphouse.record import replace
from light.designs import SHEET, film, led, light_box, opening, panel, upright, where
from tolerances import EXACT

SOUND_BAR = 0.02
"""A bar wider than this, relative to the mean, says that the cells do not fit the box."""


def baffle(start, end):
    return Baffle(start_mm=start, end_mm=end, low_mm=0.0, high_mm=9.0, reflectance=0.8)


def spots(pieces, number):
    return [piece.start_mm for own, piece in pieces if own == number] + [
        [piece.end_mm for own, piece in pieces if own == number][-1]
    ]


def test_a_crossing_parts_both_and_a_touch_parts_neither():
    cross = parted([baffle((0.0, 0.0), (10.0, 10.0)), baffle((0.0, 8.0), (8.0, 0.0))])
    assert spots(cross, 0) == [(0.0, 0.0), pytest.approx((4.0, 4.0)), (10.0, 10.0)]
    assert spots(cross, 1) == [(0.0, 8.0), pytest.approx((4.0, 4.0)), (8.0, 0.0)]
    touch = [baffle((0.0, 0.0), (10.0, 0.0)), baffle((4.0, 0.0), (6.0, 9.0))]
    beside = [baffle((0.0, 0.0), (10.0, 0.0)), baffle((0.0, 1.0), (10.0, 1.0))]
    square = [baffle((0.0, 5.0), (10.0, 5.0)), baffle((5.0, 0.0), (5.0, 10.0))]
    for pair in (touch, beside, square):
        assert [piece for _, piece in parted(pair)] == pair


def test_a_grid_of_more_pieces_than_a_box_may_have_stays_whole():
    ways = [baffle((float(k), 0.0), (k + 9.0, 9.0)) for k in range(8)]
    ways += [baffle((float(k), 9.0), (k + 9.0, 0.0)) for k in range(8)]
    assert [piece for _, piece in parted(ways)] == ways


@given(places=st.lists(st.tuples(*[st.floats(0.0, 50.0)] * 4), min_size=1, max_size=6))
def test_the_pieces_are_the_baffles_whole(places):
    given_ones = [baffle((a, b), (c, d)) for a, b, c, d in places]
    pieces = parted(given_ones)
    for number, one in enumerate(given_ones):
        own = [piece for of, piece in pieces if of == number]
        assert own[0].start_mm == one.start_mm
        assert own[-1].end_mm == one.end_mm
        assert sum(length(piece) for piece in own) == pytest.approx(length(one), abs=50.0 * EXACT)


def length(one):
    (ax, ay), (bx, by) = one.start_mm, one.end_mm
    return ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5


@pytest.mark.parametrize(
    ("heights_mm", "seat"),
    [((9.0, 9.0), Seat.BACK), ((9.0, 9.0), Seat.PANEL), ((6.0, 4.0), Seat.PANEL)],
    ids=["standing", "one hangs", "one above the other"],
)
def test_crossed_baffles_have_a_bar_of_use_that_holds_the_walks(heights_mm, seat):
    pytest.importorskip("numba")
    box = light_box(upright(0, 0, 50, 36), led("L", 10.0, 8.0), depth_mm=14.0, paint=0.8)
    feet = (((10.0, 14.0), (40.0, 22.0)), ((20.0, 6.0), (31.0, 32.0)))
    slats = tuple(
        DrawnBaffle(
            name=f"b{number}",
            where=where(f"b{number}"),
            start_mm=start,
            end_mm=end,
            height_mm=heights_mm[number],
            sheet=SHEET,
            seat=seat if number else Seat.BACK,
        )
        for number, (start, end) in enumerate(feet)
    )
    top = panel(opening("A", upright(8, 6, 42, 30), film(0.6, 0.36)))
    scene = draw_box(top, box=replace(box, baffles=slats), currents={}).scene
    (look,) = solve(scene).looks
    assert look.bar_cd_m2 < SOUND_BAR * look.mean_cd_m2
    effort = Effort(relative_error=0.001, most_walks=2_000_000)
    (seen,) = verify(scene, seed=5, effort=effort).openings
    allowed = look.bar_cd_m2 + 3.0 * seen.mean_error_cd_m2
    assert look.mean_cd_m2 == pytest.approx(seen.mean_cd_m2, abs=allowed)
