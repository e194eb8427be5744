import json
import tracemalloc
from math import pi

import numpy as np
import pytest

from lamphouse.light import glints
from lamphouse.light.interior import make_interior
from lamphouse.light.pieces import squared
from lamphouse.light.polygons import Polygons
from light.boxes import plain_box
from tolerances import TABLE


def test_an_element_sees_a_rectangle_under_the_angle_of_the_catalogue(reference):
    """Howell B-3: an element level with a rectangle, straight below its corner."""
    howell = json.loads((reference / "form_factors" / "values.json").read_text(encoding="utf-8"))
    for case in howell["element_corner"]:
        wide, high = case["A"], case["B"]
        corner = np.array([(0, 0, 1), (wide, 0, 1), (wide, high, 1), (0, high, 1)], dtype=float)
        share = glints.angles(corner.T[..., None], normal=np.array([[0.0], [0.0], [1.0]]))[0]
        assert share == pytest.approx(case["F"], abs=TABLE * 1e-6)


def test_many_glints_and_polygons_take_little_memory():
    """Of a hostile box: 2,000 glints onto 200 polygons of 24 corners are 10 million corners."""
    rng = np.random.default_rng(5)
    count = 2000
    many = glints.Glints(
        place_mm=np.stack([*rng.uniform(0.0, 30.0, (2, count)), np.zeros(count)]),
        sent=np.full(count, 1.0 / count),
        on=np.zeros(count, dtype=int),
        plane=np.array([[0.0], [0.0], [1.0], [0.0]]),
    )
    turn = np.linspace(0.0, 2.0 * pi, 24, endpoint=False)
    middle = np.column_stack([rng.uniform(0.0, 30.0, (200, 2)), np.full(200, 8.0)])
    ring = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(24)])
    tracemalloc.start()
    polygons = Polygons(
        corner_mm=(middle[:, None] + 0.1 * ring).T,
        middle=squared(middle.T),
        plane=np.tile([[0.0], [0.0], [-1.0], [8.0]], 200),
    )
    screens = make_interior(plain_box()).screens
    landed = glints.landed_of(many, onto=polygons, screens=screens)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    # An element straight below a small disc at height h gives r^2 / (h^2 + r^2) at most.
    assert 0.0 < landed.max() < 0.01 / 64.0
    assert peak < 40 * 2**20
