"""The kerf: what a tool cuts along compensated lines is the piece, with shapely as the witness."""

from math import hypot, pi, sin, sqrt

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.cutting.kerf import followed, kerf_words, laying
from lamphouse.cutting.kerf_rules import LEFT_MM, look_at_kerf
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.record import replace
from lamphouse.shapes import outline
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.reach import left_in_hole, width_mm
from tolerances import EXACT

FINE_MM = 1e-6


def piece(*openings, corners=None, strands=()):
    return s.cut(s.panel(*openings, corners=corners), strands=strands).pieces[0]


def polygon(corners):
    return shapely.Polygon(flatten(corners, error_mm=FINE_MM))


def material(a_piece):
    solid = polygon(a_piece.outline.corners)
    for cutout in a_piece.cutouts:
        solid = solid.difference(polygon(cutout.corners))
    for hole in a_piece.holes:
        middle = shapely.Point(hole.x_mm, hole.y_mm)
        solid = solid.difference(middle.buffer(hole.drill.diameter_mm / 2, quad_segs=256))
    return solid


def lines(a_piece):
    """Every line the tool's middle follows."""
    return shapely.union_all(
        [polygon(each.corners).exterior for each in (a_piece.outline, *a_piece.cutouts)]
    )


SCREEN = s.opening(
    "screen", outline.rounded_rectangle(20, height_mm=12, radius_mm=3, x_mm=18, y_mm=20)
)
DISC = s.opening("disc", outline.circle(10, x_mm=42, y_mm=20))
SLOT = s.opening("slot", outline.slot(12, width_mm=3, x_mm=42, y_mm=33))


@pytest.mark.parametrize("kerf", [0.1, 0.2, 1.0])
def test_the_tool_along_compensated_lines_leaves_the_piece(kerf):
    # What falls is the sheet within half a kerf of the lines. The witness: shapely's distance.
    drawn = piece(SCREEN, DISC, SLOT)
    way = lines(followed(drawn, kerf_mm=kerf))
    keeps = material(drawn)
    edges = shapely.get_coordinates(shapely.segmentize(keeps.boundary, 0.2))
    away = shapely.distance(shapely.points(edges), way)
    # Every point of every edge lies half a kerf from the way: nothing more falls, nothing stays on.
    assert away == pytest.approx([kerf / 2] * len(away), abs=5e-5)
    assert way.distance(keeps) == pytest.approx(kerf / 2, abs=5e-5)


def test_arcs_stay_arcs_and_corners_stay_corners():
    made = followed(piece(SCREEN, DISC, SLOT), kerf_mm=0.2)
    assert len(made.outline.corners) == 4
    screen, disc, slot = (cutout.corners for cutout in made.cutouts)
    arcs = [p.radius_mm for p in outline.pieces(screen) if not p.is_straight]
    assert arcs == pytest.approx([2.9] * 4, abs=EXACT)
    assert outline.circle_of(disc).diameter_mm == pytest.approx(9.8, abs=EXACT)
    assert made.cutouts[1].diameter_mm == pytest.approx(9.8, abs=EXACT)
    assert [p.radius_mm for p in outline.pieces(slot) if not p.is_straight] == pytest.approx(
        [1.4] * 2
    )


def test_without_a_kerf_lines_are_as_drawn():
    drawn = piece(SCREEN)
    assert followed(drawn, kerf_mm=0.0) is drawn


def test_holes_the_tool_is_too_wide_for_are_left_out():
    thin = s.opening("thin", outline.rectangle(12, height_mm=0.4, x_mm=42, y_mm=33))
    made = followed(piece(SCREEN, thin), kerf_mm=0.8)
    assert made.cutout_names == ("screen",)


@pytest.mark.parametrize("kerf", [0.2, 3.0])
def test_drilled_holes_stay_for_the_drill(kerf):
    # The hole comes out as wide as its drill, whatever the kerf: common practice, no source.
    drawn = piece(SCREEN, strands=[s.strand("G1", 10, 6, hole_mm=1.2)])
    assert drawn.holes
    assert followed(drawn, kerf_mm=kerf).holes == drawn.holes
    assert "CUT054" not in dict(told(drawn, kerf_mm=kerf, compensate=True))


def told(a_piece, **habits):
    return [
        (one.code, one.message)
        for one in look_at_kerf([a_piece], habits=CuttingHabits(**habits))
        if one.code != "CUT057"
    ]


def test_a_knife_is_told_nothing():
    assert look_at_kerf([piece(SCREEN)], habits=CuttingHabits()) == ()


def test_a_hole_narrower_than_the_kerf_is_told_with_its_width():
    thin = s.opening("thin", outline.rectangle(12, height_mm=0.4, x_mm=42, y_mm=33))
    found = dict(told(piece(thin), kerf_mm=0.5, compensate=True))
    assert "0.4 mm wide" in found["CUT054"]
    assert "CUT054" not in dict(told(piece(thin), kerf_mm=0.39, compensate=True))


@given(half=st.floats(0.2, 1.4), kerf=st.floats(0.1, 2.0))
def test_what_is_left_in_a_corner_is_the_closed_form(half, kerf):
    # A disc of radius r in a corner of half angle a leaves r (1 / sin a - 1) to its tip.
    from math import cos

    reach = 80.0
    rhomb = outline.polygon(
        [(0, 0), (reach * cos(half), -reach * sin(half)), (2 * reach * cos(half), 0),
         (reach * cos(half), reach * sin(half))]
    )  # fmt: skip
    rest = left_in_hole(rhomb, radius_mm=kerf / 2)
    sharper = min(half, pi / 2 - half)
    assert rest.deep_mm == pytest.approx(kerf / 2 * (1 / sin(sharper) - 1), abs=2e-3 / sin(sharper))


def test_square_corners_are_told_from_the_kerf_that_shows():
    window = s.opening("window", s.box_shape(12, 8, x=30, y=20))
    # r (sqrt 2 - 1) = 0.1 mm at a kerf of 0.483 mm.
    limit = 2 * LEFT_MM / (sqrt(2) - 1)
    assert told(piece(window), kerf_mm=limit - 0.01) == []
    found = told(piece(window), kerf_mm=limit + 0.01)
    assert [code for code, _ in found] == ["CUT055"]
    assert told(piece(SCREEN), kerf_mm=limit + 0.01) == []  # its corners are rounded


def test_a_notch_of_the_outline_is_told():
    notched = outline.polygon(
        [(0, 0), (60, 0), (60, 40), (31, 40), (31, 30), (29, 30), (29, 40), (0, 40)]
    )
    assert told(piece(corners=notched), kerf_mm=0.4) == []
    found = told(piece(corners=notched), kerf_mm=2.2)
    # Ten deep and narrower than the kerf: the disc dips in by r - sqrt(r^2 - 1).
    deep = 10 - (1.1 - sqrt(1.1**2 - 1))
    assert [code for code, _ in found] == ["CUT055"]
    assert f"{hypot(deep, 0):.1f}" in found[0][1]


def test_webs_are_told_with_what_stays_of_them():
    left = s.opening("left", s.box_shape(10, 6, x=18, y=20))
    right = s.opening("right", s.box_shape(10, 6, x=28.3, y=20))
    board = piece(left, right)
    assert "nothing of it stays" in dict(told(board, kerf_mm=0.4))["CUT056"]
    assert "0.3 mm of it stays" in dict(told(board, kerf_mm=0.4, compensate=True))["CUT056"]
    assert told(board, kerf_mm=0.29) == []


def test_a_cut_takes_half_a_kerf_of_the_web_beside_a_drilled_hole():
    # Hole of 1 mm, its middle 0.7 mm from the window: a web of 0.2 mm.
    window = s.opening("window", s.box_shape(10, 6, x=18, y=20))
    board = piece(window, strands=[s.strand("G1", 23.7, 20, hole_mm=1.0)])
    assert "CUT056" not in dict(told(board, kerf_mm=0.39))
    assert "nothing of it stays" in dict(told(board, kerf_mm=0.41))["CUT056"]
    # Two drilled holes are no business of the tool.
    holes = piece(
        strands=[s.strand("G1", 20, 20, hole_mm=1.0), s.strand("G2", 21.1, 20, hole_mm=1.0)]
    )
    assert told(holes, kerf_mm=0.4) == []


def test_pieces_lie_a_kerf_farther_apart_where_lines_are_compensated():
    plain = CuttingHabits(gap_mm=2.0, edge_mm=2.0, kerf_mm=0.4)
    assert laying(plain) is plain
    wide = laying(replace(plain, compensate=True))
    assert (wide.gap_mm, wide.edge_mm) == pytest.approx((2.4, 2.2))
    assert kerf_words(plain) == ""
    assert kerf_words(replace(plain, compensate=True)) == "kerf 0.4 mm"


@settings(max_examples=30)
@given(
    x=st.floats(8, 52), y=st.floats(8, 32), wide=st.floats(0.3, 12), high=st.floats(0.3, 12),
    kerf=st.floats(0.05, 1.5),
)  # fmt: skip
def test_no_tool_ever_cuts_into_the_piece(x, y, wide, high, kerf):
    hole = s.opening("hole", s.box_shape(wide, high, x=x, y=y))
    drawn = piece(hole)
    way = lines(followed(drawn, kerf_mm=kerf))
    assert way.distance(material(drawn)) >= kerf / 2 - 1e-6


def test_the_width_of_a_hole_is_that_of_its_largest_circle():
    assert width_mm(outline.slot(20, width_mm=3)) == pytest.approx(3, abs=0.01)
    assert width_mm(outline.polygon([(0, 0), (4, 0), (0, 3)])) == pytest.approx(2, abs=0.01)
