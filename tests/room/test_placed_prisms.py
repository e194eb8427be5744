"""Where things stand, against places computed by hand."""

from math import cos, radians, sin, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.room.bent_prisms import box_behind, ring_sectors
from lamphouse.room.prisms import PrismKind
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.transform import move, turn
from room.rooms import plan_of, wall
from tolerances import EXACT

BAY = """\
  bay:
    stands: {{at: [300 mm, 160 mm], turn: 270 deg}}
    panels:
      glazing:
        curve: {{inner_radius: {radius} mm, angle: {angle} deg{more}, layers: [styrene 0.5 mm]}}
        height: 70 mm
"""


def prisms(plan, owner, kind=None):
    return [p for p in plan.room_plan.prisms if p.owner == owner and kind in (None, p.kind)]


def box_around(found):
    boxes = np.array([bounds_mm(p.foot) for p in found])
    return (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))


def test_an_upright_wall_stands_on_its_foot_with_its_box_behind():
    plan = plan_of(wall("pier", (40, 60), box=12))
    (panel,) = prisms(plan, "pier", PrismKind.PANEL)
    assert bounds_mm(panel.foot) == pytest.approx((40, 60, 120, 61))
    assert (panel.low_mm, panel.high_mm) == pytest.approx((0, 50))
    (box,) = prisms(plan, "pier", PrismKind.BOX)
    # Inside 60 x 30 with 1 mm walls, 12 mm and the back behind 1 mm of panel.
    assert bounds_mm(box.foot) == pytest.approx((49, 61, 111, 74))
    assert (box.low_mm, box.high_mm) == pytest.approx((9, 41))


def test_a_turned_wall_goes_towards_the_front_and_its_box_to_the_right():
    plan = plan_of(wall("pier", (300, 160), more=", turn: 270 deg, up: 20 mm", box=12))
    (panel,) = prisms(plan, "pier", PrismKind.PANEL)
    assert bounds_mm(panel.foot) == pytest.approx((300, 80, 301, 160))
    (box,) = prisms(plan, "pier", PrismKind.BOX)
    assert bounds_mm(box.foot) == pytest.approx((301, 89, 314, 151))
    assert (box.low_mm, box.high_mm) == pytest.approx((29, 61))


@pytest.mark.parametrize(
    ("more", "panel_at", "box_at"),
    [
        (", up: 40 mm", (39, 40), (26, 39)),
        (", up: 40 mm, looks: down", (40, 41), (41, 54)),
        (", up: 120 mm", (120, 121), (121, 134)),
        (", up: 120 mm, looks: up", (119, 120), (106, 119)),
    ],
)
def test_a_table_has_its_box_below_and_a_ceiling_above(more, panel_at, box_at):
    plan = plan_of(wall("top", (40, 60), more=f"{more}, lies: flat", box=12))
    (panel,) = prisms(plan, "top", PrismKind.PANEL)
    assert (panel.low_mm, panel.high_mm) == pytest.approx(panel_at)
    assert bounds_mm(panel.foot) == pytest.approx((40, 60, 120, 110))
    (box,) = prisms(plan, "top", PrismKind.BOX)
    assert (box.low_mm, box.high_mm) == pytest.approx(box_at)


def test_a_bent_wall_stands_on_its_chord_and_bulges_away():
    plan = plan_of(BAY.format(radius=60, angle=120, more=""))
    found = prisms(plan, "bay")
    chord, sagitta = 120 * sin(radians(60)), 60 * (1 - cos(radians(60)))
    left, bottom, right, top = box_around(found)
    # The ends of the outer face lie half a millimetre farther out along the radius.
    assert left == pytest.approx(300)
    assert right == pytest.approx(300 + sagitta + 0.5)
    assert (bottom, top) == pytest.approx(
        (160 - chord - 0.5 * sin(radians(60)), 160 + 0.5 * sin(radians(60)))
    )
    assert sum(area_mm2(p.foot) for p in found) == pytest.approx(
        radians(120) / 2 * (60.5**2 - 60**2), rel=EXACT
    )


def test_a_cone_is_held_by_bands_that_narrow():
    plan = plan_of(BAY.format(radius=60, angle=180, more=", upper_radius: 30 mm"))
    found = sorted(prisms(plan, "bay"), key=lambda prism: prism.low_mm)
    assert len(found) > 3
    reach = [box_around([prism])[2] for prism in found]
    assert reach == sorted(reach, reverse=True)
    slope = 70 / sqrt(70**2 + 30**2)
    for prism in found:
        wide = 60 - 30 * prism.low_mm / 70 + 0.5 / slope
        assert box_around([prism])[2] == pytest.approx(300 + wide, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(half=st.floats(0.1, np.pi), inner=st.floats(0, 50), more=st.floats(0.5, 20))
def test_sectors_have_the_area_of_their_ring(half, inner, more):
    feet = list(ring_sectors((3.0, 4.0), inner_mm=inner, outer_mm=inner + more, half_rad=half))
    true = half * ((inner + more) ** 2 - inner**2)
    assert sum(area_mm2(foot) for foot in feet) == pytest.approx(true, rel=1e-6)
    for foot in feet:
        assert shapely.Polygon(flatten(foot, error_mm=0.01)).is_valid


def test_a_flat_box_behind_a_bent_wall_is_square_to_it():
    plan = plan_of(BAY.format(radius=60, angle=120, more=""))
    curve = plan.design.sub_assemblies[0].panels[0].curve
    long = 60 * radians(120)
    foot = box_behind(curve, left_mm=long / 2 - 10, right_mm=long / 2 + 10, deep_mm=15)
    chord = 120 * sin(radians(60))
    left, bottom, right, top = bounds_mm(foot)
    assert (left, right) == pytest.approx((chord / 2 - 10, chord / 2 + 10))
    rear = 60 * (1 - cos(radians(60))) + 0.5
    assert top == pytest.approx(rear + 15)
    assert bottom == pytest.approx(rear - 60.5 + sqrt(60.5**2 - 10**2))
    # A quarter along, it is the same box turned by a quarter of the angle about the axis.
    aside = box_behind(curve, left_mm=long / 4 - 10, right_mm=long / 4 + 10, deep_mm=15)
    axis = (chord / 2, -60 * cos(radians(60)))
    centred = turn(move(foot, x_mm=-axis[0], y_mm=-axis[1]), angle_deg=30)
    expected = move(centred, x_mm=axis[0], y_mm=axis[1])
    assert np.array(aside) == pytest.approx(np.array(expected))
