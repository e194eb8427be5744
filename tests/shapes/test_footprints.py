"""Footprints swept, moved and cut, against dense sampling and sizes computed by hand."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.shapes.bands import banded
from lamphouse.shapes.footprints import Crowd, Footprint, corridor, footprint, upright_box
from lamphouse.shapes.outline import circle, polygon, rectangle
from tolerances import EXACT

WAYS = st.floats(-28, 28).map(lambda far: round(far, 6))
STEPS = 400
NEAR_MM = 0.1
"""Between two samples of a sweep of at most 40 mm, and what the corners of both cut off."""


@st.composite
def stars(draw):
    """Shapes of any corners round a middle, some with a hole, either way round."""
    count = draw(st.integers(3, 9))
    reach = draw(st.lists(st.floats(3, 20), min_size=count, max_size=count))
    spots = [
        (far * np.cos(2 * np.pi * n / count), far * np.sin(2 * np.pi * n / count))
        for n, far in enumerate(reach)
    ]
    solid = shapely.Polygon(spots[::-1] if draw(st.booleans()) else spots)
    if draw(st.booleans()):
        solid = solid.difference(shapely.Point(0, 0).buffer(0.8, quad_segs=2))
    return solid


@settings(max_examples=25, deadline=None)
@given(solid=stars(), by=st.tuples(WAYS, WAYS))
def test_a_sweep_covers_what_dense_sampling_passes_and_no_more(solid, by):
    swept = Footprint(solid).swept(by)._shape
    passed = shapely.union_all(
        [
            shapely.affinity.translate(solid, by[0] * share, by[1] * share)
            for share in np.linspace(0.0, 1.0, STEPS)
        ]
    )
    assert passed.difference(swept.buffer(1e-5)).area < 1e-6
    assert swept.difference(passed.buffer(NEAR_MM)).area < 1e-6


def test_a_square_swept_aslant_has_the_area_of_its_hull():
    # Geometry: the square, and two parallelograms of 10 x 30 and 10 x 20 outside it.
    swept = footprint(rectangle(10, height_mm=10)).swept((30.0, 20.0))
    assert swept._shape.area == pytest.approx(100 + 10 * 30 + 10 * 20, rel=EXACT)


def test_a_ring_swept_by_less_than_its_hole_keeps_a_hole():
    ring = footprint(circle(40)).without(footprint(circle(30)))
    swept = ring.swept((10.0, 0.0))
    assert len(swept.rings()) == 2
    assert footprint(circle(60)).covers(swept)


def test_distances_are_those_of_the_library_and_spans_those_of_the_hand():
    one, other = footprint(circle(20)), footprint(rectangle(10, height_mm=10, x_mm=30))
    assert one.gap_mm(other) == pytest.approx(one._shape.distance(other._shape), rel=EXACT)
    assert one.gap_mm(other) == pytest.approx(15.0, abs=1e-6)  # 30 - 5 - 10
    both = one.joined(other)
    spans = both.spans((-20.0, 0.0), end=(60.0, 0.0))
    assert np.array(spans) == pytest.approx(np.array([(10.0, 30.0), (45.0, 55.0)]))
    assert other.spans((0.0, 20.0), end=(60.0, 20.0)) == ()
    assert other.beyond_mm(one) == pytest.approx(np.hypot(35, 5) - 10, abs=0.03)


def test_a_crowd_tells_each_meeting_once():
    members = [upright_box((n * 10.0, 0.0, n * 10.0 + 9.0, 9.0)) for n in range(20)]
    strip = corridor((4.0, 5.0), end=(34.0, 5.0), half_mm=1.0)
    alone = upright_box((500.0, 0.0, 501.0, 1.0))
    assert Crowd(members).meetings([alone, strip]) == ((1, 0), (1, 1), (1, 2), (1, 3))


@settings(max_examples=25, deadline=None)
@given(solid=stars(), count=st.integers(1, 12))
def test_bands_hold_the_whole_outline(solid, count):
    outline = polygon(solid.exterior.coords[:-1])
    boxes = shapely.union_all([shapely.box(*box) for box in banded(outline, count=count).boxes])
    assert shapely.Polygon(solid.exterior).difference(boxes.buffer(1e-9)).area < 1e-6


def test_a_rectangle_is_one_band_and_a_disc_comes_nearer_with_more():
    assert banded(rectangle(30, height_mm=20), count=8).boxes == ((-15.0, -10.0, 15.0, 10.0),)

    def area(count):
        boxes = banded(circle(40), count=count).boxes
        return sum((right - left) * (top - low) for left, low, right, top in boxes)

    assert area(1) == pytest.approx(1600, rel=1e-3)
    assert np.pi * 400 < area(16) < area(8) < area(4) < area(1)
