"""Every flaw is named with its place, and sound outlines have none."""

from math import cos, inf, nan, pi, sin
from time import process_time

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.shapes import outline
from lamphouse.shapes.soundness import MOST_CORNERS, FlawKind, flaw_of

SQUARE = outline.rectangle(10, height_mm=10)


@pytest.mark.parametrize(
    ("corners", "kind", "place"),
    [
        ((), FlawKind.TOO_FEW, None),
        (((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), FlawKind.TOO_FEW, None),
        (((0.0, 0.0, 1.0),), FlawKind.TOO_FEW, None),
        (((0.0, 0.0, 0.0), (nan, 0.0, 0.0), (1.0, 1.0, 0.0)), FlawKind.NOT_A_NUMBER, None),
        (((0.0, 0.0, 0.0), (1.0, 0.0, inf), (1.0, 1.0, 0.0)), FlawKind.NOT_A_NUMBER, None),
        (((0.0, 0.0, 0.0), (1e12, 0.0, 0.0), (1.0, 1.0, 0.0)), FlawKind.TOO_FAR, (1e12, 0)),
        (((0.0, 0.0, 1e-3), (9e3, 0.0, 9e3), (9e3, 1.0, 0.0)), FlawKind.TOO_FAR, None),
        (((0.0, 0.0, 1e6), (9.0, 0.0, 0.0), (9.0, 1.0, 0.0)), FlawKind.ARC, (0, 0)),
        ((*SQUARE, (-5.0, 5.0, 0.0)), FlawKind.REPEATED, (-5, 5)),
        (tuple((x * 1e-12, y * 1e-12, b) for x, y, b in SQUARE), FlawKind.REPEATED, None),
        (outline.polygon([(0, 0), (10, 0), (5, 0)]), FlawKind.NO_AREA, None),
        (((0.0, 0.0, 0.4), (8.0, 0.0, -0.4)), FlawKind.NO_AREA, None),
        (outline.polygon([(0, 0), (5, 0), (5, 9), (5, 4), (0, 4)]), FlawKind.SPIKE, (5, 9)),
        (outline.polygon([(0, 0), (8, 6), (8, 0), (0, 6)]), FlawKind.CROSSING, (4, 3)),
        (outline.polygon([(0, 0), (9, 0), (4, 4), (9, 9), (0, 9), (4, 4)]), FlawKind.CROSSING,
         (4, 4)),
    ],
)  # fmt: skip
def test_each_flaw_is_named_with_its_place(corners, kind, place):
    flaw = flaw_of(corners)
    assert flaw is not None
    assert flaw.kind is kind
    if place is not None:
        assert (flaw.x_mm, flaw.y_mm) == pytest.approx(place, abs=1e-3)
        assert f"({place[0]:.6g}, {place[1]:.6g})" in flaw.words


def test_arc_that_swings_across_another_side_crosses():
    # The lower side bulges up by 6 mm through the upper side 4 mm away.
    corners = ((0.0, 0.0, -1.2), (10.0, 0.0, 0.0), (10.0, 4.0, 0.0), (0.0, 4.0, 0.0))
    flaw = flaw_of(corners)
    assert flaw is not None
    assert flaw.kind is FlawKind.CROSSING
    assert flaw.y_mm == pytest.approx(4, abs=2e-3)


@pytest.mark.parametrize(
    "corners",
    [
        SQUARE,
        outline.backwards(SQUARE),
        outline.circle(0.25),
        outline.slot(20, width_mm=4),
        outline.rounded_rectangle(30, height_mm=20, radius_mm=10),
        outline.regular_polygon(6, across_mm=32),
        ((0.0, 0.0, 1e-4), (10.0, 0.0, 1e-4)),
    ],
)
def test_sound_outlines_have_no_flaw(corners):
    assert flaw_of(corners) is None


@settings(max_examples=200)
@given(
    st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=3, max_size=8, unique=True)
)
def test_agrees_with_the_polygon_library_on_grid_polygons(spots):
    assert (flaw_of(outline.polygon(spots)) is None) == shapely.Polygon(spots).is_valid


@given(st.lists(st.tuples(st.floats(), st.floats(), st.floats()), max_size=6))
def test_any_numbers_end_in_an_answer(corners):
    flaw = flaw_of(tuple(corners))
    assert flaw is None or flaw.words


def test_a_hundred_thousand_corners_take_seconds():
    count = MOST_CORNERS
    many = outline.polygon(
        (500 * cos(2 * pi * i / count), 500 * sin(2 * pi * i / count)) for i in range(count)
    )
    began = process_time()
    assert flaw_of(many) is None
    more = flaw_of((*many, (0.0, 0.0, 0.0)))
    assert more is not None
    assert more.kind is FlawKind.TOO_MANY
    assert process_time() - began < 5.0
