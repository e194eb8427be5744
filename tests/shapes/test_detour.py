"""Ways under the floor against shortest paths on a visibility graph of networkx."""

from itertools import combinations
from math import dist, hypot

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lamphouse.shapes.detour import CLEAR_MM, detour
from lamphouse.shapes.outline import circle, rectangle
from lamphouse.shapes.roundabout import length_of
from tolerances import EXACT

CHORDS = 16
"""In a quarter circle, of the witness."""
LONGER = 0.01
"""What the coarse chords of a way add at most, relative."""

BOXES = st.lists(
    st.tuples(st.floats(10, 90), st.floats(10, 90), st.floats(4, 30), st.floats(4, 30)),
    min_size=1,
    max_size=4,
)


def witness(start, end, solids):
    """Give the length of the shortest way round the grown obstacles; None where there is none."""
    wide = shapely.union_all([solid.buffer(CLEAR_MM, quad_segs=CHORDS) for solid in solids])
    inner = wide.buffer(-1e-6)
    spots = [start, end, *map(tuple, np.unique(shapely.get_coordinates(wide), axis=0))]
    graph = nx.Graph()
    graph.add_nodes_from(range(len(spots)))
    pairs = np.array(list(combinations(range(len(spots)), 2)))
    lines = shapely.linestrings(np.array(spots)[pairs])
    shapely.prepare(inner)
    for (a, b), barred in zip(pairs, shapely.intersects(inner, lines), strict=True):
        if not barred:
            graph.add_edge(a, b, weight=dist(spots[a], spots[b]))
    try:
        return nx.dijkstra_path_length(graph, 0, 1)
    except nx.NetworkXNoPath:
        return None


@settings(max_examples=25, deadline=None)
@given(boxes=BOXES, start=st.tuples(st.floats(0, 100), st.floats(0, 5)))
def test_ways_are_as_short_as_on_the_visibility_graph(boxes, start):
    end = (50.0, 120.0)
    outlines = tuple(rectangle(w, height_mm=h, x_mm=x, y_mm=y) for x, y, w, h in boxes)
    solids = [shapely.box(x - w / 2, y - h / 2, x + w / 2, y + h / 2) for x, y, w, h in boxes]
    near = min(shapely.distance(solid, shapely.Point(start)) for solid in solids)
    assume(abs(near - CLEAR_MM) > 0.3)
    found = detour(start, end=end, around=outlines)
    if near < CLEAR_MM:
        assert found is None
        return
    length = witness(start, end, solids)
    assert length is not None
    assert found is not None
    assert found[0] == start
    assert found[-1] == end
    # The witness cuts its arcs by chords within 0.01 mm too, so it may be a hair longer or shorter.
    assert length * (1 - 1e-3) <= length_of(found) <= length * (1 + LONGER)
    for solid in solids:
        assert solid.distance(shapely.LineString(found)) > CLEAR_MM - 0.05


def test_nothing_in_the_way_is_straight():
    assert detour((0.0, 0.0), end=(30.0, 40.0), around=()) == ((0.0, 0.0), (30.0, 40.0))
    far = (circle(10, x_mm=200),)
    assert detour((0.0, 0.0), end=(30.0, 40.0), around=far) == ((0.0, 0.0), (30.0, 40.0))


def test_round_a_leg_by_two_tangents_and_an_arc():
    # Geometry: a round leg of 20 mm between ends 100 mm apart, kept clear by 2 mm: tangents from
    # 50 mm to a circle of 12 mm, and its arc.
    found = detour((-50.0, 0.0), end=(50.0, 0.0), around=(circle(20),))
    tangent = hypot(50, 0) ** 2 - 12**2
    exact = 2 * tangent**0.5 + 12 * 2 * np.arcsin(12 / 50)
    assert exact <= length_of(found) <= exact * (1 + LONGER)


def test_an_end_that_is_walled_in_has_no_way():
    ring = tuple(
        rectangle(w, height_mm=h, x_mm=x, y_mm=y)
        for x, y, w, h in ((0, 20, 44, 4), (0, -20, 44, 4), (20, 0, 4, 44), (-20, 0, 4, 44))
    )
    assert detour((0.0, 0.0), end=(100.0, 0.0), around=ring) is None
    assert detour((0.0, 0.0), end=(5.0, 5.0), around=ring) == ((0.0, 0.0), (5.0, 5.0))


def test_the_same_way_both_ways():
    around = (rectangle(20, height_mm=60, x_mm=40),)
    there = detour((0.0, 0.0), end=(90.0, 10.0), around=around)
    back = detour((90.0, 10.0), end=(0.0, 0.0), around=around)
    assert length_of(there) == pytest.approx(length_of(back), rel=EXACT)
