import json
from math import pi

import numpy as np
import pytest

from lamphouse.light.edge_integrals import contour, level_sums, upright_sums
from tolerances import TABLE

TURN = np.array([[np.cos(0.3), -np.sin(0.3)], [np.sin(0.3), np.cos(0.3)]])


@pytest.fixture
def howell(reference):
    return json.loads((reference / "form_factors" / "values.json").read_text(encoding="utf-8"))


def polygons(*rings):
    rings = [np.array(ring, dtype=float) for ring in rings]
    return contour(
        np.concatenate(rings),
        end_mm=np.concatenate([np.roll(ring, -1, axis=0) for ring in rings]),
        face=np.repeat(np.arange(len(rings)), [len(ring) for ring in rings]),
        count=len(rings),
    )


def block(width, height, *, turn=None):
    ring = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float)
    return ring if turn is None else ring @ turn.T


def foot(start, end):
    return contour(
        np.array([start], dtype=float),
        end_mm=np.array([end], dtype=float),
        face=np.array([0]),
        count=1,
    )


@pytest.mark.parametrize("turn", [None, TURN])
def test_parallel_rectangles(howell, turn):
    """Howell C-11."""
    for case in howell["parallel"]:
        plate = polygons(block(case["X"], case["Y"], turn=turn))
        area = case["X"] * case["Y"]
        factor = -level_sums(plate, other=plate, gaps_mm=[1.0])[0, 0, 0] / area
        assert factor == pytest.approx(case["F"], abs=TABLE * 1e-6)


@pytest.mark.parametrize("turn", [np.eye(2), TURN])
def test_rectangles_with_a_common_edge(howell, turn):
    """Howell C-14: from the upright rectangle of height H to the level one of depth W."""
    for case in howell["perpendicular_H_W"]:
        high, deep = case["H"], case["W"]
        plate = polygons(block(1.0, deep, turn=turn))
        wall = foot(turn @ (0.0, 0.0), turn @ (1.0, 0.0))
        low, top = level_sums(plate, other=wall, gaps_mm=[0.0, high])[:, 0, 0]
        factors = {(top - low) / high, (top - low) / deep}
        assert min(abs(factor - case["F12"]) for factor in factors) < TABLE * 1e-6


def test_a_face_is_the_sum_of_its_parts():
    """Rectangles, triangles and a ring of odd edges all see the same plate."""
    plate = polygons(block(4.0, 3.0))
    whole = level_sums(plate, other=plate, gaps_mm=[2.0])[0, 0, 0]
    parts = polygons([(0, 0), (4, 0), (1, 3)], [(4, 0), (4, 3), (1, 3)], [(0, 0), (1, 3), (0, 3)])
    cut = level_sums(parts, other=plate, gaps_mm=[2.0])[0].sum()
    assert cut == pytest.approx(whole, rel=1e-7)
    assert level_sums(parts, other=parts, gaps_mm=[2.0])[0].sum() == pytest.approx(whole, rel=1e-6)


def test_two_upright_strips_across_a_corner():
    """Howell C-14 again, with the common edge upright: the upright edges alone decide."""
    places = np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
    still, lifted = upright_sums(places, gaps_mm=[0.0, 1.0])
    twice = 2.0 * (still - lifted)
    # Columns (1,0)-(0,0) and (0,0)-(0,1) of height 1 meet at the first place.
    exchange = twice[1, 0] + twice[0, 2] - twice[1, 2] - twice[0, 0]
    assert exchange == pytest.approx(0.200044, abs=TABLE * 1e-6)


def test_far_faces_exchange_as_small_ones_do():
    """A_1 A_2 cos cos / (pi r^2) at thirty times their size."""
    near = polygons(block(1.0, 1.0))
    far = polygons(block(1.0, 1.0) + np.array([18.0, 24.0]))
    value = -level_sums(near, other=far, gaps_mm=[40.0])[0, 0, 0]
    cosine = 40.0 / np.hypot(30.0, 40.0)
    assert value == pytest.approx(cosine**2 / (pi * 2500.0), rel=1e-3)
