"""Light through narrow slits along straight lines: sums that must hold, and known exchange."""

import numpy as np
import pytest

from lamphouse.light.edge_integrals import face_sums, plan_faces
from lamphouse.light.face_rays import slices
from lamphouse.light.factors import exchanges, face_areas
from lamphouse.light.interior import make_interior
from lamphouse.light.scene import Baffle
from lamphouse.light.slit_lines import add_lines, closed, seen_through
from lamphouse.light.slits import narrow_slits
from lamphouse.light.step_size import screens_of
from lamphouse.light.turning import LEVEL
from light.boxes import plain_box
from tolerances import EXACT, PHYSICS

SUMMED = 0.005
"""Of a spot's sky, summed by lines."""


def baffle(low, high, *, start=(15.0, 0.0), end=(15.0, 20.0)):
    return Baffle(start_mm=start, end_mm=end, low_mm=low, high_mm=high, reflectance=0.8)


def between_rooms(inside, *, x_mm=15.0):
    """Exchange of all faces left of a baffle with all right of it. [mm2]."""
    left = inside.centre_mm[:, 0] < x_mm - EXACT
    right = inside.centre_mm[:, 0] > x_mm + EXACT
    column, _ = inside.cavities[0].patches()
    foot = inside.cavities[0].mesh.foot_mm[column]
    own = np.flatnonzero(~left & ~right) - 2 * inside.cavities[0].cell_count
    # The sides of the baffle belong to the room that they face.
    faces_left = foot[own, 1, 1] > foot[own, 0, 1]
    left[np.flatnonzero(~left & ~right)[faces_left]] = True
    return float(inside.exchange_mm2[0][np.ix_(left, ~left)].sum())


@pytest.mark.parametrize("width", [0.05, 0.25, 1.5])
def test_rooms_exchange_just_the_area_of_the_slit_between_them(width):
    """All that passes a gap comes from one room and lands in the other: ``sum S = A`` of the gap.

    An identity of form factors: every line through the gap starts and ends in a room.
    """
    for low, high in ((width, 8.0), (0.0, 8.0 - width), (width, 8.0 - width)):
        inside = make_interior(plain_box(baffles=(baffle(low, high),)))
        area = 20.0 * (8.0 - high + low)
        assert between_rooms(inside) == pytest.approx(area, rel=PHYSICS)


def test_a_slanted_slit_lets_through_just_as_much():
    (slit,) = narrow_slits(plain_box(baffles=(baffle(0.5, 8.0, end=(18.0, 20.0)),)))
    assert slit.area_mm2 == pytest.approx(0.5 * np.hypot(3.0, 20.0))


def test_closed_baffles_reach_over_their_slits_and_no_others():
    box = plain_box(
        baffles=(baffle(0.5, 7.5), baffle(3.0, 8.0, start=(20.0, 0.0), end=(20.0, 9.0)))
    )
    found = closed(screens_of(box), slits=narrow_slits(box))
    assert found.low_mm.tolist() == [0.0, 3.0]
    assert found.high_mm.tolist() == [8.0, 8.0]


def test_a_spot_sees_of_a_slit_what_closed_integrals_say():
    """[STOKES-FF] by ``edge_integrals``: a level square and the upright rectangle of the slit."""
    box = plain_box(baffles=(baffle(0.0, 7.5),))
    inside = make_interior(box)
    part = slices(inside.cavities, first=inside.first)[0]
    left = np.array([0.0, 4.0, 8.0, 12.0, 14.0, 14.5])
    corner = np.array([(0.0, 0.0), (0.5, 0.0), (0.5, 3.0), (0.0, 3.0)])
    spots = corner + np.stack([left, np.full(6, 8.0)], axis=1)[:, None]
    for slit in narrow_slits(box):
        rows = seen_through(spots, height_mm=8.0, slits=(slit,), part=part, count=inside.face_count)
    foot = np.array([[(15.0, 20.0), (15.0, 0.0)]])
    low, high = (
        face_sums(plan_faces(spots, way=LEVEL), other=plan_faces(foot, way=LEVEL), gaps_mm=[gap])[0]
        for gap in (0.5, 0.0)
    )
    known = np.abs(high - low)[:, 0] / 1.5
    assert rows.sum(axis=1) == pytest.approx(known, rel=SUMMED)
    # All of it comes from the other room.
    assert (inside.centre_mm[rows.any(axis=0), 0] > 15.0 - EXACT).all()


def test_more_lines_change_nothing_but_chance():
    box = plain_box(
        baffles=(baffle(0.0, 7.5), baffle(0.5, 8.0, start=(22.0, 0.0), end=(22.0, 20.0)))
    )
    inside = make_interior(box)
    slits, parts = narrow_slits(box), slices(inside.cavities, first=inside.first)
    areas = [face_areas(inside.cavities[0])]
    sums = []
    for lines in (1 << 12, 1 << 16):
        (table,) = exchanges(inside.cavities, sights=[None])
        empty = np.zeros_like(table)
        add_lines([empty], areas=areas, slits=slits, parts=parts, lines=lines)
        assert (empty == empty.T).all()
        sums.append(empty.sum())
    assert sums[0] == pytest.approx(sums[1], rel=0.02)
