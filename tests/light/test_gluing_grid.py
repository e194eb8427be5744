from math import hypot

import pytest

from lamphouse.light.gluing_grid import (
    SNAP_MM,
    Floor,
    candidates,
    even_rows,
    even_starts,
    nearest_free,
    snapped,
)
from tolerances import EXACT


def floor_of(left, bottom, right, top, *, margin=2.0, pitch=4.0, hole=None):
    """Give a rectangle with a margin, and a square that is left out."""

    def free_row(y):
        if not bottom + margin <= y <= top - margin:
            return frozenset()
        across = (left + step * SNAP_MM for step in range(int((right - left) / SNAP_MM) + 1))
        return frozenset(
            x
            for x in across
            if left + margin <= x <= right - margin
            and not (hole and hole[0] < x < hole[2] and hole[1] < y < hole[3])
        )

    return Floor(bounds=(left, bottom, right, top), free_row=free_row, pitch_mm=pitch)


@pytest.mark.parametrize(("given", "wanted"), [(3.2, 3.0), (3.3, 3.5), (-0.2, 0.0), (7.25, 7.5)])
def test_places_are_marked_in_half_millimetres(given, wanted):
    assert snapped(given) == wanted


@pytest.mark.parametrize(
    "spot", [(25.0, 20.0), (25.3, 11.0), (12.0, 7.1), (0.0, 0.0), (50.2, 30.1)]
)
def test_the_nearest_free_place_is_the_nearest_of_all(spot):
    base = floor_of(10.0, 5.0, 66.0, 43.0, hole=(20.0, 10.0, 30.0, 30.0))
    rows = [SNAP_MM * step for step in range(10, 87)]
    every = [hypot(x - spot[0], y - spot[1]) for y in rows for x in base.free_row(y)]
    found = nearest_free(base, spot=spot)
    assert base.is_free(found)
    assert hypot(found[0] - spot[0], found[1] - spot[1]) == pytest.approx(min(every), abs=EXACT)
    nowhere = floor_of(0.0, 0.0, 3.0, 3.0)
    assert nearest_free(nowhere, spot=spot) == spot


@pytest.mark.parametrize("most", [1, 7, 40, 90])
def test_candidates_stand_on_a_grid_inside_the_margin(most):
    base = floor_of(10.0, 5.0, 66.0, 43.0, hole=(20.0, 10.0, 30.0, 30.0))
    sites, pitch = candidates(base, most=most)
    assert 1 <= len(sites) <= most
    assert base.holds(sites)
    assert pitch >= base.pitch_mm
    middle_x, middle_y = base.middle()
    for x, y in sites:
        assert (x - middle_x) / pitch == pytest.approx(round((x - middle_x) / pitch), abs=EXACT)
        assert (y - middle_y) / pitch == pytest.approx(round((y - middle_y) / pitch), abs=EXACT)


def test_candidates_are_none_where_nothing_fits():
    assert candidates(floor_of(0.0, 0.0, 3.0, 3.0), most=40)[0] == ()


def test_a_wide_floor_is_not_asked_line_by_line():
    asked = []
    base = floor_of(0.0, 0.0, 900.0, 900.0)  # 1,800 lines
    counted = Floor(
        bounds=base.bounds,
        free_row=lambda y: asked.append(y) or base.free_row(y),
        pitch_mm=base.pitch_mm,
    )
    sites, _ = candidates(counted, most=40)
    assert 20 <= len(sites) <= 40
    assert len(asked) < 200


def test_even_rows_divide_the_floor_into_equal_fields():
    base = floor_of(0.0, 0.0, 40.0, 20.0)
    assert even_rows(base, rows=1, columns=2) == ((10.0, 10.0), (30.0, 10.0))
    assert even_rows(base, rows=2, columns=2) == (
        (10.0, 5.0),
        (30.0, 5.0),
        (10.0, 15.0),
        (30.0, 15.0),
    )
    assert even_rows(base, rows=9, columns=1) is None


@pytest.mark.parametrize("count", range(1, 13))
def test_starts_hold_their_number_and_keep_the_pitch(count):
    starts = even_starts(floor_of(0.0, 0.0, 60.0, 40.0), count=count)
    assert starts
    for sites in starts:
        assert len(sites) == count
        apart = [hypot(x - u, y - v) for n, (x, y) in enumerate(sites) for u, v in sites[:n]]
        assert all(gap >= 4.0 - EXACT for gap in apart)
