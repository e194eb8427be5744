"""Shapes in words, like others and changed, and patterns of openings, against closed forms."""

from math import dist, pi

import pytest
import shapely

from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from project.projects import codes, only, read, small
from tolerances import EXACT

SCREEN = "screen: {shape: rectangle 20 x 10 mm, at: [34 mm, 26 mm], look: lit}"
FIBRE = "F: {fibre: fibre 0.5 mm, at: [5 mm, 5 mm], group: glow}"
PANEL = "outline: rectangle 84 x 52 mm"


def panel_of(text):
    design = read(text).design
    assert design is not None, [str(one) for one in read(text).findings]
    return design.sub_assemblies[0].panels[0]


def openings(more, *, panel=PANEL):
    text = small(SCREEN, f"{SCREEN}\n          {more}").replace(PANEL, panel)
    return {one.name: one.outline.corners for one in panel_of(text).openings}


def shape(words):
    return openings(f"it: {{shape: {words}, at: [20 mm, 20 mm]}}")["it"]


def middle(corners):
    left, bottom, right, top = measure.bounds_mm(corners)
    return (left + right) / 2, (bottom + top) / 2


@pytest.mark.parametrize(
    ("words", "area"),
    [
        ("rectangle 20 x 10 mm grown 1 mm", 22 * 12),
        ("rectangle 20 x 10 mm grown 1 mm round", 200 + 60 + pi),  # A + P d + pi d^2
        ("rectangle 20 x 10 mm shrunk 1 mm", 18 * 8),
        ("round 10 mm grown 1 mm", pi * 36),
        ("rectangle 20 x 10 mm rounded 2 mm", 200 - (4 - pi) * 4),
        ("rectangle 20 x 10 mm rounded 2 mm at 1", 200 - (1 - pi / 4) * 4),
        ("rectangle 20 x 10 mm rounded 2 mm at corners 1 and 3", 200 - (2 - pi / 2) * 4),
        ("rectangle 20 x 10 mm rounded 2 mm shrunk 1 mm", 18 * 8 - (4 - pi)),
        ("rectangle 20 x 10 mm mirrored", 200),
        ("like screen grown 1 mm", 22 * 12),
        ("like panel shrunk 1 mm", 82 * 50),
    ],
)
def test_a_changed_shape_has_the_area_of_the_closed_form(words, area):
    assert measure.area_mm2(shape(words)) == pytest.approx(area, abs=EXACT)
    assert middle(shape(words)) == pytest.approx((20, 20), abs=EXACT)


def test_corners_are_counted_as_written():
    # Of a rectangle anticlockwise from the lower left; of points in their order, also clockwise.
    assert min(dist(c[:2], (10, 15)) for c in shape("rectangle 20 x 10 mm rounded 2 mm at 1")) == 2
    square = "[[0 mm, 0 mm], [0 mm, 8 mm], [8 mm, 8 mm], [8 mm, 0 mm]]"
    points = f"{{points: {square}, then: rounded 1 mm at 2}}"
    made = openings(f"it: {{shape: {points}, at: [20 mm, 20 mm]}}")["it"]
    assert min(dist(corner[:2], (20, 28)) for corner in made) == pytest.approx(1, abs=EXACT)
    grown = shape("rectangle 20 x 10 mm grown 1 mm rounded 2 mm at 1")
    assert min(dist(corner[:2], (9, 14)) for corner in grown) == pytest.approx(2, abs=EXACT)


def test_mirrored_points_are_those_of_the_polygon_library():
    spots = [(0, 0), (9, 0), (9, 3), (3, 3), (3, 7), (0, 7)]
    ell = f"points: [{', '.join(f'[{x} mm, {y} mm]' for x, y in spots)}]"
    plain = openings(f"it: {{shape: {{{ell}}}, at: [20 mm, 20 mm]}}")["it"]
    for words, x, y in (("mirrored", -1.0, 1.0), ("mirrored top to bottom", 1.0, -1.0)):
        made = openings(f"it: {{shape: {{{ell}, then: {words}}}, at: [20 mm, 20 mm]}}")["it"]
        witness = shapely.affinity.scale(shapely.Polygon(flatten(plain)), x, y)
        assert shapely.Polygon(flatten(made)).symmetric_difference(witness).area < EXACT
        assert measure.signed_area_mm2(made) > 0


def test_one_like_another_lies_where_that_lies_unless_it_says_so():
    found = openings("rim: {shape: like screen grown 2 mm}")
    assert measure.bounds_mm(found["rim"]) == pytest.approx((22, 19, 46, 33), abs=EXACT)
    text = small(
        SCREEN,
        SCREEN
        + "\n        overlays:\n          bezel:\n            outline: like screen grown 5 mm\n"
        "            sheet: styrene 0.5 mm\n"
        "            openings: {window: {shape: like screen shrunk 0.5 mm}}",
    )
    (bezel,) = panel_of(text).overlays
    assert measure.bounds_mm(bezel.outline.corners) == pytest.approx((19, 16, 49, 36), abs=EXACT)
    window = bezel.openings[0].outline.corners
    assert measure.bounds_mm(window) == pytest.approx((24.5, 21.5, 43.5, 30.5), abs=EXACT)
    assert codes(text) == []


def test_names_with_the_words_of_a_change_stand_in_quotes():
    text = "'old grown rim': {shape: round 4 mm, at: [10 mm, 40 mm]}"
    more = f"""{text}\n          rim: {{shape: "like 'old grown rim' grown 2 mm"}}"""
    assert outline.circle_of(openings(more)["rim"]).diameter_mm == pytest.approx(8)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("rectangle 20 x 10 mm rounded 6 mm", "write rounded 5 mm"),
        ("rectangle 20 x 10 mm rounded 12 mm at 1", "write rounded 10 mm"),
        ("rectangle 20 x 10 mm shrunk 6 mm", "write shrunk 4.99 mm"),
        ("round 10 mm shrunk 5 mm", "write shrunk 4.99 mm"),
        ("rectangle 20 x 10 mm rounded 1 mm at 7", "name some of these: 1, 2, 3, 4"),
        ("round 10 mm rounded 1 mm", "leave 'rounded 1 mm' out"),
    ],
)
def test_what_cannot_be_is_refused_with_the_largest_that_can(words, says):
    text = small(SCREEN, f"{SCREEN}\n          it: {{shape: {words}, at: [20 mm, 20 mm]}}")
    finding = only(text, "PRJ050")
    assert says in finding.remedy
    if "write" in says:  # and that does
        kept = says.removeprefix("write ")
        word = kept.split()[0]
        mended = words.replace(words[words.index(word) :].split(" at ")[0], kept)
        assert codes(text.replace(words, mended)) == []


def test_a_shape_that_falls_apart_is_refused():
    waist = (
        "{points: [[0 mm, 0 mm], [10 mm, 0 mm], [10 mm, 4 mm], [20 mm, 4 mm], [20 mm, 0 mm],"
        " [30 mm, 0 mm], [30 mm, 10 mm], [20 mm, 10 mm], [20 mm, 6 mm], [10 mm, 6 mm],"
        " [10 mm, 10 mm], [0 mm, 10 mm]], then: shrunk 1.5 mm}"
    )
    text = small(SCREEN, f"{SCREEN}\n          it: {{shape: {waist}, at: [20 mm, 20 mm]}}")
    finding = only(text, "PRJ050")
    assert "2 pieces" in finding.message
    assert finding.remedy == "write shrunk 0.99 mm"


def test_loops_and_strangers_are_told_once():
    more = "a: {shape: like b}\n          b: {shape: like a}"
    assert set(codes(small(SCREEN, f"{SCREEN}\n          {more}"))) == {"PRJ051"}
    text = small(
        SCREEN, f"{SCREEN}\n          it: {{shape: like sceen, count: 2, step: [3 mm, 0 mm]}}"
    )
    assert "write screen" in only(text, "PRJ051").remedy


def test_rings_grids_and_lines_of_openings():
    ring = openings("b: {shape: round 2 mm, at: [20 mm, 20 mm], count: 6, ring: 24 mm}")
    spots = [middle(ring[f"b{number}"]) for number in range(1, 7)]
    assert spots[0] == pytest.approx((32, 20))
    assert [dist(spot, (20, 20)) for spot in spots] == pytest.approx([12] * 6)
    assert dist(spots[0], spots[1]) == pytest.approx(12)  # the chord of a sixth is the radius
    line = openings("b: {shape: round 2 mm, at: [20 mm, 20 mm], count: 5, to: [40 mm, 30 mm]}")
    assert middle(line["b5"]) == pytest.approx((40, 30))
    assert middle(line["b2"]) == pytest.approx((25, 22.5))
    grid = openings(
        "b: {shape: round 1 mm, at: [10 mm, 10 mm], count: 3, step: [4 mm, 0 mm], rows: 2,"
        " row_step: [0 mm, 3 mm], staggered: yes}"
    )
    assert [middle(grid[f"b{number}"]) for number in range(1, 7)] == [
        (10, 10),
        (14, 10),
        (18, 10),
        (12, 13),
        (16, 13),
        (20, 13),
    ]


def test_openings_along_an_outline_keep_one_pitch():
    # Round the screen 4 mm outside: a rectangle of 28 x 18 mm, 92 mm round, 8 places.
    found = openings("b: {shape: round 1 mm, along: screen, inset: -4 mm, count: 8}")
    spots = [middle(found[f"b{number}"]) for number in range(1, 9)]
    assert spots[0] == pytest.approx((20, 17))
    assert spots[1] == pytest.approx((31.5, 17))
    assert spots[3] == pytest.approx((48, 17 + 34.5 - 28))


def test_strands_follow_patterns_too():
    text = small(
        FIBRE, "F: {fibre: fibre 0.5 mm, along: screen, inset: -3 mm, count: 4, group: glow}"
    )
    strands = [strand for _, strand in read(text).design.sub_assemblies[0].strands]
    assert [one.name for one in strands] == ["F1", "F2", "F3", "F4"]
    assert (strands[0].x_mm, strands[0].y_mm) == pytest.approx((21, 18))


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("count: 3, step: [4 mm, 0 mm], ring: 20 mm", "keep one of them"),
        ("count: 3, ring: 20 mm, rows: 2, row_step: [0 mm, 3 mm]", "remove rows"),
        ("count: 3, step: [4 mm, 0 mm], rows: 2", "row_step"),
        ("count: 3", "step: [12 mm, 0 mm]"),
    ],
)
def test_patterns_that_contradict_are_told(row, says):
    more = f"b: {{shape: round 1 mm, at: [20 mm, 20 mm], {row}}}"
    finding = only(small(SCREEN, f"{SCREEN}\n          {more}"), "PRJ028")
    assert says in finding.remedy


def test_a_datum_in_the_middle_moves_the_outline_and_not_the_places():
    panel = panel_of(small(PANEL, f"{PANEL}\n        datum: middle"))
    assert measure.bounds_mm(panel.outline.corners) == pytest.approx((-42, -26, 42, 26))
    assert middle(panel.openings[0].outline.corners) == pytest.approx((34, 26))
    panel = panel_of(small(PANEL, f"{PANEL}\n        datum: [4 mm, 2 mm]"))
    assert measure.bounds_mm(panel.outline.corners) == pytest.approx((-4, -2, 80, 50))


def test_many_rows_are_counted_before_they_are_made():
    grid = "count: 500, step: [1 mm, 0 mm], rows: 500, row_step: [0 mm, 1 mm]"
    more = f"b: {{shape: round 1 mm, at: [2 mm, 2 mm], {grid}}}"
    found = read(small(SCREEN, f"{SCREEN}\n          {more}"))
    assert found.design is None
    assert any("250003" in one.message for one in found.findings)
