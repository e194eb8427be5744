"""Cylinders and cones laid flat, against closed forms and against space itself."""

import json
from math import atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline
from lamphouse.shapes.bend import Bend, develop
from tolerances import EXACT, TABLE

RADII = st.floats(5.0, 400.0)
SLOPES = st.one_of(st.just(0.0), st.floats(-1.2, 1.2), st.floats(-1e-7, 1e-7))


def arcs(corners):
    return [piece for piece in outline.pieces(corners) if not piece.is_straight]


def sector(corners):
    """Give the angle of the longer edge, and the radii of both."""
    rings = {}
    for arc in arcs(corners):
        radius = round(arc.radius_mm, 6)
        rings[radius] = rings.get(radius, 0.0) + degrees(abs(arc.sweep_rad))
    return max(rings.values()), max(rings), min(rings)


def test_whole_cones_have_the_published_sectors(reference):
    for row in json.loads((reference / "unroll" / "values.json").read_text())["cones"]:
        slant = hypot(row["r"], row["h"])
        flat = develop(
            Bend(radius_mm=row["r"], sine=row["r"] / slant), angle_rad=2 * pi, up_mm=slant
        )
        angle, radius, _ = sector(flat.corners)
        assert angle == pytest.approx(row["sector_deg"], abs=TABLE * 1e-6)
        assert radius == pytest.approx(row["slant"], abs=TABLE * 1e-6)
        # Area of the sector of a cone: pi r slant.
        assert measure.area_mm2(flat.corners) == pytest.approx(pi * row["r"] * slant, rel=EXACT)


def test_frusta_have_the_published_sectors(reference):
    for row in json.loads((reference / "unroll" / "values.json").read_text())["frusta"]:
        fall = row["R"] - row["r"]
        slant = hypot(fall, row["h"])
        assert slant == pytest.approx(row["slant"], abs=TABLE * 1e-6)
        flat = develop(Bend(radius_mm=row["R"], sine=fall / slant), angle_rad=2 * pi, up_mm=slant)
        angle, outer, inner = sector(flat.corners)
        assert angle == pytest.approx(row["deg"], abs=TABLE * 1e-6)
        assert outer == pytest.approx(row["outer"], abs=TABLE * 1e-6 + 1e-6)
        assert inner == pytest.approx(row["inner"], abs=TABLE * 1e-6 + 1e-6)
        assert measure.area_mm2(flat.corners) == pytest.approx(
            pi * (row["R"] + row["r"]) * slant, rel=EXACT
        )


@given(RADII, SLOPES, st.floats(0.1, 2 * pi), st.floats(1.0, 300.0))
def test_area_is_that_of_the_wall(radius, slope, angle, up):
    # Guldin: the slant times the arc at its middle.
    sine = sin(slope)
    up = min(up, 0.95 * radius / sine) if sine > 0 else up
    flat = develop(Bend(radius_mm=radius, sine=sine), angle_rad=angle, up_mm=up)
    true = up * angle * (radius - up * sine / 2)
    assert measure.area_mm2(flat.corners) == pytest.approx(true, rel=1e-8)
    left, bottom, _, _ = measure.bounds_mm(flat.corners)
    assert (left, bottom) == pytest.approx((0, 0), abs=1e-7)


@given(RADII, SLOPES, st.floats(-3.0, 3.0), st.floats(0.0, 0.9))
def test_flat_and_bent_are_each_others_inverse(radius, slope, turn, share):
    bend = Bend(radius_mm=radius, sine=sin(slope))
    up = share * (radius / bend.sine if bend.sine > 0.05 else radius)
    again = bend.bent(bend.flat(turn, up_mm=up))
    assert again == pytest.approx((turn, up), rel=1e-9, abs=1e-9 * radius)


@given(RADII, st.floats(0.02, 1.2), st.floats(-3.0, 3.0), st.floats(0.0, 0.9), st.booleans())
def test_points_lie_where_space_says(radius, slope, turn, share, widens):
    # In space: the apex is where two lines of the wall meet; the distance from it along the wall
    # and the arc at that distance are the polar coordinates of the flat sector.
    up = share * radius / sin(slope)
    lean = -slope if widens else slope
    bottom = np.array((radius, 0.0))  # distance from the axis, height
    along = np.array((-sin(lean), cos(lean)))
    apex = np.array((0.0, radius * cos(lean) / sin(lean)))
    point = bottom + up * along
    far = hypot(*(point - apex))
    arc = point[0] * turn
    x, y = Bend(radius_mm=radius, sine=sin(lean)).flat(turn, up_mm=up)
    centre_y = hypot(*(bottom - apex)) * (1 if lean > 0 else -1)
    assert hypot(x, y - centre_y) == pytest.approx(far, rel=1e-9)
    assert far * atan2(x, (centre_y - y) * (1 if lean > 0 else -1)) == pytest.approx(
        arc, rel=1e-8, abs=1e-8
    )


@given(RADII, SLOPES, st.floats(-2.0, 2.0), st.floats(0.0, 0.8), st.floats(0.0, 2 * pi))
def test_small_steps_are_as_long_flat_as_in_space(radius, slope, turn, share, way):
    bend = Bend(radius_mm=radius, sine=sin(slope))
    up = share * (radius / bend.sine if bend.sine > 0.05 else radius)
    step = 1e-4 * radius

    def place(a, s):
        wide = radius - s * sin(slope)
        return np.array((wide * cos(a), wide * sin(a), s * cos(slope)))

    turned = turn + step * cos(way) / bend.radius_at_mm(up)
    risen = up + step * sin(way) * 0.5
    in_space = np.linalg.norm(place(turned, risen) - place(turn, up))
    flat = np.subtract(bend.flat(turned, up_mm=risen), bend.flat(turn, up_mm=up))
    assert hypot(*flat) == pytest.approx(in_space, rel=1e-3)


def test_a_cone_that_is_nearly_a_cylinder_is_one():
    for sine in (1e-4, 1e-8, 1e-12, -1e-12):
        near = Bend(radius_mm=140.0, sine=sine).flat(1.0, up_mm=50.0)
        assert near == pytest.approx((140.0, 50.0), abs=200 * 140 * abs(sine) + 1e-12)


def test_outward_face_lies_on_the_normal():
    # Square to a wall that leans by 30 degrees, 2 mm out are 2 cos 30 from the axis.
    out = Bend(radius_mm=50.0, sine=0.5).outwards(2.0)
    assert out.radius_mm == pytest.approx(50 + 2 * sqrt(3) / 2, rel=EXACT)
    assert out.sine == 0.5


def test_lap_goes_on_at_the_right_end():
    plain = develop(Bend(radius_mm=30.0), angle_rad=2 * pi, up_mm=20.0)
    lapped = develop(Bend(radius_mm=30.0), angle_rad=2 * pi, up_mm=20.0, lap_rad=0.2)
    assert measure.size_mm(lapped.corners)[0] - measure.size_mm(plain.corners)[0] == pytest.approx(
        6.0, abs=EXACT
    )
    assert lapped.strip(pi, end_rad=pi + 0.2, up_mm=20.0)[0][:2] == pytest.approx(
        (60 * pi, 0), abs=EXACT
    )


@pytest.mark.parametrize("slope", [20, -20, 69])
def test_sectors_past_half_a_turn_keep_two_arcs_an_edge(slope):
    up = 20.0
    flat = develop(Bend(radius_mm=40.0, sine=sin(radians(slope))), angle_rad=2 * pi, up_mm=up)
    expected = 2 * pi * abs(sin(radians(slope)))
    total = sum(abs(arc.sweep_rad) for arc in arcs(flat.corners)) / 2
    assert total == pytest.approx(expected, rel=EXACT)
    assert len(arcs(flat.corners)) == (4 if expected > pi else 2)
