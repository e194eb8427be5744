"""Bundles against the best circle packings known, and holes against circles laid side by side."""

import json
import math
from math import dist, hypot, pi, sin, sqrt  # noqa: F401  the closed forms use them

import pytest

from lamphouse.circuit.wire_bundle import SNUG, around, bundle_mm, hole_mm, plug_mm
from tolerances import EXACT


@pytest.fixture
def outside(reference):
    return json.loads((reference / "loom" / "values.json").read_text())


def test_no_bundle_is_told_thinner_than_the_tables_say(outside):
    # The tables cut off after three decimals: the truth is up to 0.001 above.
    for count, ratio in outside["circles_in_a_circle"].items():
        assert ratio <= around(int(count)) <= ratio + 0.001


def test_closed_forms(outside):
    for count, form in outside["closed_forms"].items():
        exact = eval(form)
        assert exact <= around(int(count)) <= exact + 1e-4


def test_no_bundle_is_denser_than_its_area():
    for count in range(1, 200):
        assert around(count) >= sqrt(count)
        assert around(count + 1) >= around(count)


@pytest.mark.parametrize("count", [21, 31, 37, 61, 100, 187])
def test_above_twenty_the_circles_really_fit(count):
    """Lay circles of diameter 1 on a honeycomb, nearest first, and draw the circle around them."""
    reach = range(-12, 13)
    spots = [(a + b / 2, b * sqrt(3) / 2) for a in reach for b in reach]
    laid = sorted(spots, key=lambda spot: hypot(*spot))[:count]
    nearest = min(dist(p, q) for p in laid for q in laid if p != q)
    assert nearest == pytest.approx(1.0, abs=EXACT)
    assert 2 * max(hypot(*spot) for spot in laid) + 1 == pytest.approx(around(count), abs=EXACT)


def test_whole_rings_of_a_honeycomb():
    assert [around(1 + 3 * ring * (ring + 1)) for ring in (1, 3, 4)] == pytest.approx([3, 7, 9])


def test_a_mixed_bundle_counts_its_thickest_wire():
    assert bundle_mm(()) == 0.0
    assert bundle_mm((0.5, 1.0)) == 2.0
    assert bundle_mm((0.56,) * 7) == pytest.approx(3 * 0.56)


def test_a_plug_goes_through_end_first():
    assert plug_mm((8.0, 3.0, 4.0)) == 5.0


def test_a_hole_takes_the_last_plug_beside_the_wires_that_went_before():
    wires = ((0.5, 0.5), (0.5, 0.5, 0.5))
    # The second plug last, of 6 mm, beside two wires; or the first, of 5 mm, beside three.
    assert hole_mm((5.0, 6.0), wires_mm=wires) == pytest.approx(SNUG * (6.0 + 1.0))
    assert hole_mm((5.0,), wires_mm=wires[:1]) == pytest.approx(SNUG * 5.0)


def test_wires_alone_may_be_wider_than_plugs():
    wires = ((1.1,) * 37,)
    assert hole_mm((5.0,), wires_mm=wires) == pytest.approx(SNUG * 7 * 1.1)
    assert math.isfinite(hole_mm((), wires_mm=()))
