"""Folded boxes: the flat piece is folded up in space again, and every edge meets its partner."""

import csv
from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.cutting.baffle_joints import NO_BAFFLES
from lamphouse.cutting.box_development import develop_box
from lamphouse.cutting.box_frame import as_built, frame_of
from lamphouse.cutting.facets import allowance_mm
from lamphouse.cutting.folded_box import fold_line, folded_pieces
from lamphouse.design.lightbox import Build, Lid, Seat
from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

GRID = 1e-7
"""The outline of a piece is joined on a grid this fine, and its datum corner with it."""

ELL = outline.polygon([(10, 5), (50, 5), (50, 18), (30, 18), (30, 34), (10, 34)])


def frame(inside=None, *, thickness=0.5, depth=12.0, lid=Lid.BACK, **more):
    box = as_built(s.box(inside, build=Build.FOLDED, thickness_mm=thickness, depth_mm=depth,
                         lid=lid, **more))  # fmt: skip
    made, found = frame_of(box, panel="plate", sub_assembly="sample", drills=s.DRILLS, lead_mm=0.56,
                           passages=(), strands=())  # fmt: skip
    assert found == ()
    return made


def fold_up(made, thickness):
    """Fold a development in space; give each facet's map from the flat sheet's middle.

    Independent of how it was laid out: a facet hangs on its parent by a stretch that bends to an
    arc of radius t / 2 about the inner corner. Flat x, y and the side one sees are axes 0, 1, 2.
    """
    maps = []
    for facet in made.facets:
        if facet.hinge is None:
            maps.append((np.eye(3), np.zeros(3)))
            continue
        turn, shift = maps[facet.hinge.parent]
        hinge = facet.hinge
        way = np.array([*hinge.way, 0.0])
        out = np.array([hinge.way[1], -hinge.way[0], 0.0])  # to the right, away from the parent
        up = np.array([0.0, 0.0, 1.0])
        sign = np.sign(hinge.angle_rad)
        start = np.array([*hinge.start, 0.0])
        # The arc begins on the line, its centre half a thickness to the side it folds to.
        centre = start + sign * thickness / 2 * up
        angle = hinge.angle_rad

        def turned(vector, angle=angle, out=out, up=up, way=way):
            along, across, high = vector @ way, vector @ out, vector @ up
            return (along * way + (across * cos(angle) - high * sin(angle)) * out
                    + (across * sin(angle) + high * cos(angle)) * up)  # fmt: skip

        spin = np.column_stack([turned(axis) for axis in np.eye(3)])
        # The flat start of the facet lies the allowance away from the line.
        begins = start + hinge.allowance_mm * out
        ends = centre + turned(start - centre)
        local = ends - spin @ begins
        maps.append((turn @ spin, turn @ local + shift))
    return maps


def at(maps, number, x, y, off=0.0):
    turn, shift = maps[number]
    return turn @ np.array([x, y, off]) + shift


def into_box(made, spots):
    """Give the map from the folded shape into the box, fixed by the first wall's inner face."""
    wall = made.facets[0].wall
    (ax, ay), (bx, by) = spots[wall], spots[(wall + 1) % len(spots)]
    long = np.hypot(bx - ax, by - ay)
    way = np.array([(bx - ax) / long, (by - ay) / long, 0.0])
    inward = np.array([-way[1], way[0], 0.0])
    last = np.array([bx, by, 0.0])

    def place(point, thickness):
        x, y, off = point
        return last - (x - made.lefts_mm[wall]) * way + np.array([0, 0, y]) + (
            off - thickness / 2) * inward  # fmt: skip

    return place


POLYGONS = {
    "rectangle": None,
    "hexagon": outline.regular_polygon(6, across_mm=30, x_mm=30, y_mm=20),
    "ell": ELL,
    "wedge": outline.polygon([(10, 5), (50, 5), (40, 30), (18, 30)]),
    "octagon": outline.circle(36, x_mm=30, y_mm=20),
}


@pytest.mark.parametrize("inside", POLYGONS.values(), ids=POLYGONS)
@pytest.mark.parametrize("thickness", [0.3, 0.5, 1.0])
def test_folded_up_every_edge_meets_its_partner(inside, thickness):
    held = frame(inside, thickness=thickness)
    made = develop_box(held)
    assert made.meets == ()
    maps = fold_up(made, thickness)
    place = into_box(made, held.spots)
    spots, high, count = held.spots, held.box.depth_mm, len(held.spots)
    turns = measure.turns_rad(outline.polygon(spots))
    for number, facet in enumerate(made.facets):
        half = thickness / 2
        if facet.name.startswith("wall"):
            # The inner face of a wall stands on the side of the inside, its edges on the levels.
            for x, y, _ in facet.corners:
                point = place(at(maps, number, x, y, half), thickness)
                index = facet.wall
                (ax, ay), (bx, by) = spots[index], spots[(index + 1) % count]
                long = np.hypot(bx - ax, by - ay)
                off = ((point[0] - ax) * (by - ay) - (point[1] - ay) * (bx - ax)) / long
                assert off == pytest.approx(0.0, abs=EXACT)
                assert min(abs(point[2]), abs(point[2] - high)) < EXACT
        elif facet.name == "back":
            corners = [place(at(maps, number, x, y, half), thickness) for x, y, _ in facet.corners]
            assert max(abs(point[2]) for point in corners) < EXACT  # its inner face is the level 0
            flat = shapely.Polygon([point[:2] for point in corners])
            inner = shapely.Polygon(spots)
            assert inner.difference(flat).area < 1e-9
            # On its free sides it reaches under the walls to their outer faces, a thickness out.
            bound = shapely.Polygon(flatten(held.outside))
            assert flat.difference(bound).area < 1e-9
        else:
            # A flap's inner face lies on the outer face of its wall, wholly.
            index = facet.wall
            (ax, ay), (bx, by) = spots[index], spots[(index + 1) % count]
            long = np.hypot(bx - ax, by - ay)
            for x, y, _ in facet.corners:
                point = place(at(maps, number, x, y, half), thickness)
                off = ((point[0] - ax) * (by - ay) - (point[1] - ay) * (bx - ax)) / long
                assert off == pytest.approx(thickness, abs=EXACT)
                along = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / long
                assert -3 * thickness <= along <= long + 3 * thickness
                assert -EXACT <= point[2] <= high + EXACT
    # Neighbouring walls leave no more between them than the bend itself: where the inside turns
    # left their inner faces meet in the corner.
    walls = {facet.wall: number for number, facet in enumerate(made.facets)
             if facet.name.startswith("wall")}  # fmt: skip
    seam = made.facets[count].wall
    for index in range(count):
        if index == seam or turns[index] < 0:
            continue
        before, after = walls[(index - 1) % count], walls[index]
        left = made.facets[before].corners
        right = made.facets[after].corners
        # Seen from inside the wall before lies to the right of the one after.
        one = place(at(maps, before, left[0][0], 0.0, thickness / 2), thickness)
        two = place(at(maps, after, right[1][0], 0.0, thickness / 2), thickness)
        corner = np.array([*spots[index], 0.0])
        assert one == pytest.approx(corner, abs=EXACT)
        assert two == pytest.approx(corner, abs=EXACT)


@settings(max_examples=40)
@given(
    sides=st.integers(3, 9),
    across=st.floats(14, 60),
    depth=st.floats(6, 30),
    thickness=st.sampled_from([0.3, 0.5]),
    lid=st.sampled_from(Lid),
)
def test_no_part_of_the_flat_piece_lies_on_another(sides, across, depth, thickness, lid):
    held = frame(outline.regular_polygon(sides, across_mm=across, x_mm=30, y_mm=20),
                 thickness=thickness, depth=depth, lid=lid)  # fmt: skip
    made = develop_box(held)
    rings = [ring for facet in made.facets for ring in (facet.corners, facet.bridge) if ring]
    parts = [shapely.Polygon([(x, y) for x, y, _ in ring]) for ring in rings]
    for number, one in enumerate(parts):
        for other in parts[:number]:
            assert one.intersection(other).area < 1e-6
    pieces, found = folded_pieces(held, baffling=NO_BAFFLES)
    assert found == ()
    whole = sum(one.area for one in parts)
    notch = 0.0 if lid is Lid.BACK else held.box.wire_exit_mm * (thickness + 2.0)
    assert measure.area_mm2(pieces[0].outline.corners) == pytest.approx(whole - notch, abs=1e-3)


def test_fold_allowance_is_that_of_the_handbook(reference):
    with (reference / "bend" / "values.csv").open(encoding="utf-8") as file:
        rows = [{key: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
    for row in rows:  # the table against its own formula first
        angle = radians(row["deg"])
        assert angle * (row["r"] + row["K"] * row["t"]) == pytest.approx(row["allowance"], abs=5e-5)
    scored = rows[-1]
    assert (scored["r"], scored["K"]) == (0, 0.5)
    assert allowance_mm(radians(scored["deg"]), thickness_mm=scored["t"]) == pytest.approx(
        scored["allowance"], abs=5e-7
    )


def test_a_box_worked_by_hand():
    # 20 x 16 inside, 10 deep, card 0.5: four walls as long as the inside, four folds of
    # pi/4 x 0.5, the seam's wall longer by the thickness it runs past, and the flap of 6 mm.
    held = frame(depth=10.0)
    pieces, _ = folded_pieces(held, baffling=NO_BAFFLES)
    width, _ = measure.size_mm(pieces[0].outline.corners)
    fold = pi / 4 * 0.5
    assert width == pytest.approx(20 + 16 + 20 + 16 + 0.5 + 4 * fold + 6.0, abs=1e-6)
    assert len(pieces[0].folds) == 4 + 1 + 3
    assert {round(one.angle_deg, 6) for one in pieces[0].folds} == {90.0}
    assert {round(one.allowance_mm, 9) for one in pieces[0].folds} == {round(fold, 9)}


def test_a_fold_where_the_inside_turns_right_is_told_to_go_back():
    (piece,), _ = folded_pieces(frame(ELL), baffling=NO_BAFFLES)
    assert sorted({round(one.angle_deg) for one in piece.folds}) == [-90, 90]
    (note,) = [note for note in piece.notes if "fold back" in note]
    # The inside turns right between its third and its fourth side.
    assert note == "wall 4 to wall 3: fold back, scored on this face"


def test_score_lines_lie_in_the_middle_of_what_bends():
    made = develop_box(frame())
    for facet in made.facets:
        if facet.hinge:
            line = shapely.LineString(fold_line(facet))
            bridge = shapely.Polygon([(x, y) for x, y, _ in facet.bridge])
            far = max(line.distance(shapely.Point(x, y)) for x, y, _ in facet.bridge)
            assert far == pytest.approx(facet.hinge.allowance_mm / 2, abs=1e-9)
            assert bridge.buffer(1e-9).covers(line)


def test_leds_on_the_flat_piece_come_back_to_their_places_in_the_box():
    leds = (s.led("A", 27, 22, turn_deg=30), s.led("W", 40, 18, seat=Seat.WALL, height_mm=4))
    held = frame(leds=leds)
    made = develop_box(held)
    (piece, *_), found = folded_pieces(held, baffling=NO_BAFFLES)
    assert found == ()
    left = min(x for facet in made.facets for x, *_ in (*facet.corners, *facet.bridge))
    bottom = min(y for facet in made.facets for _, y, _ in (*facet.corners, *facet.bridge))
    maps, place = fold_up(made, 0.5), into_box(made, held.spots)
    seats = {seat.led: seat for seat in piece.seats}
    back = next(n for n, one in enumerate(made.facets) if one.name == "back")
    seat = seats["A"]
    x, y = seat.x_mm + left, seat.y_mm + bottom
    assert place(at(maps, back, x, y, 0.25), 0.5) == pytest.approx([27, 22, 0], abs=GRID)
    ahead = np.array([cos(radians(seat.turn_deg)), sin(radians(seat.turn_deg))])
    there = place(at(maps, back, x + ahead[0], y + ahead[1], 0.25), 0.5) - [27, 22, 0]
    assert there == pytest.approx([cos(radians(30)), sin(radians(30)), 0], abs=GRID)
    wall = next(n for n, one in enumerate(made.facets) if one.wall == 1 and "wall" in one.name)
    seat = seats["W"]
    point = place(at(maps, wall, seat.x_mm + left, seat.y_mm + bottom, 0.25), 0.5)
    assert point == pytest.approx([40, 18, 4], abs=GRID)


@pytest.mark.parametrize(
    ("box", "code", "words"),
    [
        (s.box(build=Build.FOLDED), "CUT074", "'styrene' of 0.5 mm or thinner"),
        (s.box(build=Build.FOLDED, thickness_mm=0.5, depth_mm=4), "CUT075", "5 mm deep"),
    ],
)
def test_what_cannot_be_folded_is_told_with_the_mend(box, code, words):
    cut = s.cut(s.panel(), boxes=[box])
    assert [finding.code for finding in cut.findings] == [code]
    assert words in cut.findings[0].remedy
