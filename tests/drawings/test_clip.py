"""Items cut to windows against the polygon library's own intersection."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box

from lamphouse.drawings.clip import clipped, shared, within
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.moves import bounds
from lamphouse.drawings.strokes import part_of, spot_at, strokes_of
from tolerances import EXACT

WINDOW = (10.0, 5.0, 40.0, 30.0)


def dense(path, steps=400):
    """Give the points of a path, its arcs as many short chords."""
    points = []
    for piece in strokes_of(path):
        count = 1 if piece.is_straight else steps
        points += [spot_at(piece, share=n / count) for n in range(count)]
        last = piece.end
    return [*points, last]


def arc_points(corners, *, closed):
    """Give points on bulged pieces by the circle through start, middle and end (DXF bulge)."""
    points = []
    ends = corners[1:] + corners[:1] if closed else corners[1:]
    for (x0, y0, bulge), (x1, y1, _) in zip(corners, ends, strict=False):
        points.append((x0, y0))
        # The middle of the arc lies bulge times half the chord to the right of the chord.
        points.append(
            ((x0 + x1) / 2 + bulge * (y1 - y0) / 2, (y0 + y1) / 2 - bulge * (x1 - x0) / 2)
        )
    return points


coordinate = st.floats(-10, 60).map(lambda v: round(v, 3))
bulges = st.sampled_from([0.0, 0.0, 0.3, -0.7, 1.0, 1.6, -2.2])
corner = st.tuples(coordinate, coordinate, bulges)


def lengthy(corners):
    return all(
        math.dist(a[:2], b[:2]) > 0.5
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    )


paths = st.builds(
    lambda corners, closed: Path(pen=Pen.CUT, corners=tuple(corners), closed=closed),
    st.lists(corner, min_size=2, max_size=6).filter(lengthy),
    st.booleans(),
)


@settings(deadline=None)
@given(paths)
def test_the_middle_of_every_arc_stands_off_its_chord_by_half_the_bulge(path):
    for piece, middle in zip(
        strokes_of(path), arc_points(path.corners, closed=path.closed)[1::2], strict=False
    ):
        assert spot_at(piece, share=0.5) == pytest.approx(middle, abs=1e-6)


@settings(deadline=None)
@given(paths)
def test_what_is_left_is_as_long_as_the_polygon_library_says(path):
    witness = LineString(dense(path)).intersection(box(*WINDOW)).length
    # A dense line under-measures an arc of sweep a by a^2/24n^2; grazing arcs need the slack.
    left = sum(LineString(dense(piece)).length for piece in clipped(path, window=WINDOW))
    # The polygon library merges pieces that lie on one another.
    assume(LineString(dense(path)).is_simple)
    assert left == pytest.approx(witness, abs=2e-2, rel=1e-4)


@settings(deadline=None)
@given(paths)
def test_what_is_left_lies_in_the_window_and_on_the_path(path):
    whole = LineString(dense(path))
    for piece in clipped(path, window=WINDOW):
        assert within(bounds(piece), WINDOW, slack_mm=1e-6)
        assert all(whole.distance(Point(spot)) < 1e-3 for spot in dense(piece, steps=37))


@settings(deadline=None)
@given(paths)
def test_a_closed_path_cut_open_never_closes_over_the_window(path):
    assume(path.closed and not within(bounds(path), WINDOW))
    assert all(not piece.closed for piece in clipped(path, window=WINDOW))


def test_an_item_inside_comes_back_as_it_is():
    circle = Circle(pen=Pen.DRILL, x_mm=20.0, y_mm=15.0, diameter_mm=4.0)
    assert list(clipped(circle, window=WINDOW)) == [circle]


def test_a_circle_over_a_corner_leaves_the_quarter_inside():
    circle = Circle(pen=Pen.DRILL, x_mm=10.0, y_mm=5.0, diameter_mm=8.0)
    (arc,) = clipped(circle, window=WINDOW)
    assert LineString(dense(arc)).length == pytest.approx(math.pi * 8 / 4, abs=1e-4)
    assert bounds(arc) == pytest.approx((10.0, 5.0, 14.0, 9.0), abs=EXACT)


def test_a_filled_disc_keeps_the_area_inside():
    disc = Circle(pen=Pen.FRAME, x_mm=10.0, y_mm=15.0, diameter_mm=8.0, filled=True)
    (half,) = clipped(disc, window=WINDOW)
    assert half.filled
    area = Polygon([c[:2] for c in half.corners]).area
    assert area == pytest.approx(math.pi * 4**2 / 2, rel=5e-3)


def test_parts_of_an_arc_lie_on_its_circle():
    (piece,) = strokes_of(Path(pen=Pen.CUT, corners=((0.0, 0.0, 0.5), (10.0, 0.0, 0.0))))
    part = part_of(piece, first=0.2, last=0.7)
    assert part.centre == pytest.approx(piece.centre, abs=EXACT)
    assert part.radius_mm == pytest.approx(piece.radius_mm, abs=EXACT)
    assert part.sweep_rad == pytest.approx(piece.sweep_rad / 2, abs=EXACT)


TEXTS = st.builds(
    Text,
    x_mm=st.floats(0, 60),
    y_mm=st.floats(0, 20),
    words=st.sampled_from(["7", "112", "tide board", "a name that is longer than the strip"]),
    height_mm=st.just(1.8),
)


@settings(deadline=None)
@given(TEXTS)
def test_every_text_is_whole_on_some_tile(text):
    windows = [(0.0, 0.0, 50.0, 20.0), (40.0, 0.0, 90.0, 20.0)]
    held = shared([text], windows=windows)
    assert any(held)
    for texts, window in zip(held, windows, strict=True):
        for one in texts:
            assert within(bounds(one), window)
            assert one.words == text.words
