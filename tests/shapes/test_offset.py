"""Offsets against identities and the published areas."""

import json
from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.offset import Join, offset, vanishes
from lamphouse.shapes.soundness import flaw_of
from tolerances import EXACT, TABLE

SQUARE = outline.rectangle(10, height_mm=10)
ELL = outline.polygon([(0, 0), (20, 0), (20, 5), (5, 5), (5, 20), (0, 20)])
TRIANGLE = outline.polygon([(0, 0), (3, 0), (0, 4)])
STATED_MM = 1e-4


def area(regions):
    return sum(
        measure.area_mm2(r.outside) - sum(measure.area_mm2(h) for h in r.holes) for r in regions
    )


@pytest.fixture
def published(reference):
    return json.loads((reference / "offset" / "values.json").read_text())


def test_mitred_offsets_have_the_published_areas(published):
    square, ell = published["square10"], published["L_20x20_arm5"]
    assert area(offset(SQUARE, by_mm=1)) == pytest.approx(square["mitre+1"], abs=EXACT)
    assert area(offset(SQUARE, by_mm=-1)) == pytest.approx(square["mitre-1"], abs=EXACT)
    assert measure.area_mm2(ELL) == pytest.approx(ell["area"], abs=EXACT)
    assert measure.length_mm(ELL) == pytest.approx(ell["perimeter"], abs=EXACT)
    assert area(offset(ELL, by_mm=1)) == pytest.approx(ell["mitre+1"], abs=EXACT)
    assert area(offset(ELL, by_mm=-0.5)) == pytest.approx(ell["mitre-0.5"], abs=EXACT)


def test_round_offsets_have_the_published_areas_within_the_chords(published):
    for corners, name in ((SQUARE, "square10"), (TRIANGLE, "tri345_round+1")):
        row = published[name]
        true = row["round+1"] if isinstance(row, dict) else row
        grown = area(offset(corners, by_mm=1, join=Join.ROUND))
        # The chords are inscribed: a little below the true area, by less than error x arc length.
        assert true - 2 * pi * STATED_MM < grown < true + TABLE * 1e-6


def test_slot_vanishes_and_all_but_vanishes(published):
    narrow = outline.rectangle(10, height_mm=1)
    assert offset(narrow, by_mm=-0.5) == ()
    assert published["slot_10x1"]["-0.5"] == "empty"
    assert area(offset(narrow, by_mm=-0.49)) == pytest.approx(
        published["slot_10x1"]["-0.49"], abs=EXACT
    )


@settings(max_examples=50)
@given(
    spots=st.lists(st.tuples(st.floats(-9, 9), st.floats(-9, 9)), min_size=3, max_size=6),
    by=st.floats(0.01, 3),
)
def test_what_vanishes_is_what_the_polygon_library_leaves_nothing_of(spots, by):
    corners = measure.anticlockwise(outline.polygon(spots))
    if flaw_of(corners) is None:
        left = shapely.Polygon(spots).buffer(-by, join_style="mitre", mitre_limit=10)
        assert vanishes(corners, shrunk_by_mm=by) == left.is_empty


@given(
    sides=st.integers(3, 12),
    across=st.floats(1, 200),
    by=st.floats(0.05, 20),
)
def test_convex_outline_grows_by_the_steiner_formula(sides, across, by):
    # Steiner: A + P d + pi d^2 for any convex outline.
    corners = outline.regular_polygon(sides, across_mm=across)
    before, round_ = measure.area_mm2(corners), measure.length_mm(corners)
    grown = area(offset(corners, by_mm=by, join=Join.ROUND))
    true = before + round_ * by + pi * by * by
    assert true - 2 * pi * by * STATED_MM - EXACT * true < grown < true * (1 + EXACT)


def test_circle_stays_a_circle():
    (region,) = offset(outline.circle(10, x_mm=3, y_mm=4), by_mm=1.5)
    assert outline.circle_of(region.outside) == outline.Round(x_mm=3, y_mm=4, diameter_mm=13)
    assert offset(outline.circle(10), by_mm=-5) == ()


def test_slot_offset_is_a_wider_slot():
    (region,) = offset(outline.slot(20, width_mm=4), by_mm=1, join=Join.ROUND)
    wider = outline.slot(22, width_mm=6)
    assert area((region,)) == pytest.approx(
        measure.area_mm2(wider), abs=STATED_MM * measure.length_mm(wider)
    )


def test_concave_arc_stays_an_arc():
    # A square with a half circle of radius 3 bitten out of its lower side; growing by 1 leaves a
    # bite of radius 2 about the same middle.
    corners = (
        (-10.0, 0.0, 0.0),
        (-3.0, 0.0, -1.0),
        (3.0, 0.0, 0.0),
        (10.0, 0.0, 0.0),
        (10.0, 10.0, 0.0),
        (-10.0, 10.0, 0.0),
    )
    (region,) = offset(corners, by_mm=1)
    (bite,) = [piece for piece in outline.pieces(region.outside) if not piece.is_straight]
    assert bite.radius_mm == pytest.approx(2, abs=EXACT)
    assert bite.centre == pytest.approx((0, 0), abs=EXACT)
    # The corners at its ends stay sharp: the tangents go on to the lower side.
    assert measure.area_mm2(region.outside) == pytest.approx(22 * 12 - 2 * pi - 4, abs=EXACT)


def test_dumbbell_splits_left_to_right():
    dumbbell = outline.polygon(
        [(0, 0), (10, 0), (10, 4), (20, 4), (20, 0), (30, 0), (30, 10), (20, 10), (20, 6),
         (10, 6), (10, 10), (0, 10)]
    )  # fmt: skip
    left, right = offset(dumbbell, by_mm=-1.5)
    assert measure.bounds_mm(left.outside) == pytest.approx((1.5, 1.5, 8.5, 8.5), abs=EXACT)
    assert measure.bounds_mm(right.outside) == pytest.approx((21.5, 1.5, 28.5, 8.5), abs=EXACT)


def test_outline_that_closes_up_leaves_a_hole():
    hook = outline.polygon(
        [(0, 0), (20, 0), (20, 20), (11, 20), (11, 15), (15, 15), (15, 5), (5, 5), (5, 15),
         (9, 15), (9, 20), (0, 20)]
    )  # fmt: skip
    (region,) = offset(hook, by_mm=1.25)
    (hole,) = region.holes
    assert measure.area_mm2(hole) == pytest.approx(7.5 * 7.5, abs=EXACT)


def test_by_nothing_is_the_same_area():
    assert area(offset(ELL, by_mm=0)) == pytest.approx(measure.area_mm2(ELL), abs=EXACT)


def round_pieces(corners):
    return sum(not piece.is_straight for piece in outline.pieces(corners))


def test_arcs_stay_arcs():
    (wider,) = offset(outline.slot(20, width_mm=4), by_mm=1)
    assert len(wider.outside) == 4
    assert area((wider,)) == pytest.approx(
        measure.area_mm2(outline.slot(22, width_mm=6)), abs=EXACT
    )
    (less,) = offset(outline.rounded_rectangle(20, height_mm=10, radius_mm=3), by_mm=-1)
    true = outline.rounded_rectangle(18, height_mm=8, radius_mm=2)
    assert round_pieces(less.outside) == 4
    assert area((less,)) == pytest.approx(measure.area_mm2(true), abs=EXACT)


@settings(max_examples=40)
@given(data=st.data())
def test_offset_of_arcs_keeps_its_distance(data):
    # The witness: shapely's distance from points of our outline to fine chords of the one before.
    # (Its own buffer is none: on chords this fine it leaves corners out.)
    points = data.draw(st.integers(3, 7))
    bulges = data.draw(st.lists(st.floats(-0.6, 0.6), min_size=points, max_size=points))
    angles = [2 * pi * k / points for k in range(points)]
    corners = tuple(
        (20 * cos(angle), 14 * sin(angle), bulge if abs(bulge) > 0.02 else 0.0)
        for angle, bulge in zip(angles, bulges, strict=True)
    )
    if flaw_of(corners):
        return
    by = data.draw(st.floats(0.05, 3.0)) * data.draw(st.sampled_from([-1.0, 1.0]))
    join = data.draw(st.sampled_from(list(Join)))
    regions = offset(corners, by_mm=by, join=join)
    before = shapely.Polygon(flatten(corners, error_mm=1e-6))
    shapely.prepare(before.exterior)
    for ring in [ring for region in regions for ring in (region.outside, *region.holes)]:
        line = shapely.LinearRing(flatten(ring, error_mm=1e-6))
        points = shapely.line_interpolate_point(line, np.linspace(0.0, line.length, 400))
        away = shapely.distance(points, before.exterior)
        assert (shapely.covers(before, points) == (by < 0)).all()
        assert away.min() > abs(by) - STATED_MM
        if join is Join.ROUND:
            assert away.max() < abs(by) + STATED_MM
    # And nothing is left out: what is far enough away, on a grid, lies in a region.
    left, bottom, right, top = before.buffer(4.0).bounds
    x, y = np.meshgrid(np.linspace(left, right, 20), np.linspace(bottom, top, 20))
    grid = shapely.points(x.ravel(), y.ravel())
    signed = shapely.distance(grid, before.exterior) * np.where(before.covers(grid), -1.0, 1.0)
    ours = shapely.union_all(
        [shapely.Polygon(flatten(r.outside), [flatten(h) for h in r.holes]) for r in regions]
    )
    assert shapely.covers(ours, grid)[signed < by - STATED_MM].all()
    assert sum(len(region.outside) for region in regions) < 8 * len(corners)
