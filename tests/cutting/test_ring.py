"""Rings of walls: placed as prisms they fill the ring exactly, without overlap."""

from math import cos, pi, sin

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.cutting.ring import ring_of_walls
from lamphouse.shapes.measure import drop_straight_corners
from tolerances import EXACT

SHAPES = {
    "rectangle": [(0, 0), (56, 0), (56, 38), (0, 38)],
    "square": [(0, 0), (38, 0), (38, 38), (0, 38)],
    "L": [(0, 0), (40, 0), (40, 15), (15, 15), (15, 40), (0, 40)],
    "T": [(0, 0), (12, 0), (12, 20), (25, 20), (25, 30), (-10, 30), (-10, 20), (0, 20)],
    "triangle": [(0, 0), (30, 0), (15, 26)],
    "sharp": [(0, 0), (60, 0), (0, 20)],
    "slanted reflex": [(0, 0), (50, 0), (30, 18), (44, 40), (0, 40)],
    "octagon": [(20 * cos(pi * i / 4), 20 * sin(pi * i / 4)) for i in range(8)],
    "hexagon": [(20 * cos(pi * i / 3), 20 * sin(pi * i / 3)) for i in range(6)],
}


def plan_section(wall):
    """Lay one wall down as the quadrilateral its four lengths say."""
    (ax, ay), (bx, by) = wall.start, wall.end
    side = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    ux, uy = (bx - ax) / side, (by - ay) / side
    rx, ry = uy, -ux  # to the right of the way along the side

    def spot(along, away):
        return ax + along * ux + away * rx, ay + along * uy + away * ry

    t = wall.thickness_mm
    return shapely.Polygon(
        [
            spot(wall.near_from_mm, 0),
            spot(wall.near_to_mm, 0),
            spot(wall.far_to_mm, t),
            spot(wall.far_from_mm, t),
        ]
    )


def assert_fills(walls, ring):
    """Require the walls to add up to the ring: no gap, no overlap, nothing outside."""
    sections = [plan_section(wall) for wall in walls]
    assert all(section.is_valid for section in sections)
    assert sum(section.area for section in sections) == pytest.approx(ring.area, rel=EXACT)
    union = shapely.union_all(sections)
    assert union.symmetric_difference(ring).area < 1e-7 * ring.area
    for index, section in enumerate(sections):
        for other in sections[:index]:
            assert section.intersection(other).area < 1e-7


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("thickness", [0.5, 1.0, 2.0])
def test_walls_fill_the_ring_outside(name, thickness):
    inside = shapely.Polygon(SHAPES[name])
    ring = inside.buffer(thickness, join_style="mitre", mitre_limit=50).difference(inside)
    assert_fills(ring_of_walls(SHAPES[name], thickness_mm=thickness), ring)


@pytest.mark.parametrize("name", SHAPES)
def test_strips_fill_the_ring_inside(name):
    inside = shapely.Polygon(SHAPES[name])
    ring = inside.difference(inside.buffer(-1, join_style="mitre", mitre_limit=50))
    assert_fills(ring_of_walls(SHAPES[name][::-1], thickness_mm=1.0), ring)


@st.composite
def star_polygons(draw):
    """Polygons about the origin with convex and reflex corners of any angle."""
    count = draw(st.integers(3, 9))
    reaches = draw(st.lists(st.floats(15, 40), min_size=count, max_size=count))
    return [
        (reach * cos(2 * pi * i / count), reach * sin(2 * pi * i / count))
        for i, reach in enumerate(reaches)
    ]


@given(spots=star_polygons(), thickness=st.floats(0.2, 0.8))
def test_walls_fill_the_ring_of_any_polygon(spots, thickness):
    spots = drop_straight_corners(spots)
    inside = shapely.Polygon(spots)
    walls = ring_of_walls(spots, thickness_mm=thickness)
    if min(wall.shortest_mm for wall in walls) <= 0.01:
        return
    ring = inside.buffer(thickness, join_style="mitre", mitre_limit=100).difference(inside)
    assert_fills(walls, ring)


def test_rectangle_is_cut_square_and_long_sides_run_through():
    # Worked by hand: 56 x 38 inside, 1 mm sheet: two walls 58 long, two 38 between them.
    walls = ring_of_walls(SHAPES["rectangle"], thickness_mm=1.0)
    assert [wall.length_mm for wall in walls] == pytest.approx([58, 38, 58, 38], abs=EXACT)
    bevels = [b for wall in walls for b in (wall.first_bevel_deg, wall.last_bevel_deg)]
    assert bevels == pytest.approx([0] * 8, abs=1e-6)


def test_square_has_four_equal_walls():
    walls = ring_of_walls(SHAPES["square"], thickness_mm=1.0)
    assert [wall.length_mm for wall in walls] == pytest.approx([39] * 4, abs=EXACT)


def test_octagon_is_mitred_at_half_its_turn():
    walls = ring_of_walls(SHAPES["octagon"], thickness_mm=1.0)
    bevels = [b for wall in walls for b in (wall.first_bevel_deg, wall.last_bevel_deg)]
    assert bevels == pytest.approx([22.5] * 16, abs=1e-9)


def test_corners_that_go_straight_on_are_left_out():
    assert drop_straight_corners([(0, 0), (5, 0), (9, 0), (9, 9), (0, 9)]) == (
        (0, 0),
        (9, 0),
        (9, 9),
        (0, 9),
    )
