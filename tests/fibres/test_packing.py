"""Packings against the published optima, and checked circle by circle by other arithmetic."""

import json
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
import shapely

from lamphouse.fibres.equal_packings import SPOTS
from lamphouse.fibres.packing import MOST, pack, searched
from lamphouse.fibres.tightening import radius_of
from tolerances import EXACT, PHYSICS

VALUES = json.loads(
    (Path(__file__).parents[1] / "reference" / "fibres" / "values.json").read_text()
)
RATIOS = {int(count): ratio for count, ratio in VALUES["circle_packing"].items()}
PROVEN = {*range(1, 15), 19}
OFF = 0.005
"""How far above the best known radius a packing may lie."""


def overlaps(packing):
    """Exact squares of rationals: deepest overlap squared away, and the farthest rim."""
    spots = [tuple(map(Fraction, spot)) for spot in packing.spots_mm]
    wide = [Fraction(each) for each in packing.diameters_mm]
    for number, (x, y) in enumerate(spots):
        for other in range(number):
            apart = (x - spots[other][0]) ** 2 + (y - spots[other][1]) ** 2
            yield float(((wide[number] + wide[other]) / 2) ** 2 - apart)
        room = (Fraction(packing.bore_mm) - wide[number]) / 2
        yield float(x * x + y * y - room * room)


@pytest.mark.parametrize("count", sorted(RATIOS))
def test_equal_circles_reach_the_best_known_radius(count):
    packing = pack((1.0,) * count)
    best = RATIOS[count]
    assert packing.bore_mm <= best * (1.0 + OFF)
    # The seventh decimal of the table is rounded.
    assert count not in PROVEN or packing.bore_mm >= best - 1e-6
    assert max(overlaps(packing)) <= EXACT


@pytest.mark.parametrize(
    ("count", "diameter_mm", "key"), [(7, 0.25, "7x0.25"), (19, 0.25, "19x0.25"), (3, 0.5, "3x0.5")]
)
def test_bundles_need_the_published_hole(count, diameter_mm, key):
    printed = VALUES["bundle_hole_mm"][key]
    assert pack((diameter_mm,) * count).bore_mm == pytest.approx(printed, rel=OFF, abs=5e-5)


@pytest.mark.parametrize(
    "diameters",
    [
        (0.25,) * 20 + (0.5,) * 8 + (1.0,) * 3,
        (1.0, 0.25, 0.25),
        (0.5,) * 70,
        (2.0,) + (0.25,) * 25,
    ],
)
def test_mixed_and_many_never_overlap(diameters):
    packing = pack(diameters)
    assert packing.diameters_mm == diameters
    assert max(overlaps(packing)) <= EXACT
    discs = [
        shapely.Point(spot).buffer(wide / 2.0, quad_segs=64)
        for spot, wide in zip(packing.spots_mm, diameters, strict=True)
    ]
    area = shapely.union_all(discs).area
    assert area == pytest.approx(sum(disc.area for disc in discs), rel=1e-6)
    assert (
        shapely.Point(0, 0)
        .buffer(packing.bore_mm / 2.0 + 1e-6, quad_segs=4096)
        .covers(shapely.union_all(discs))
    )


def test_two_unequal_circles_lie_side_by_side():
    assert pack((3.0, 1.0)).bore_mm == pytest.approx(4.0, rel=1e-6)


def test_two_hundred_are_as_dense_as_practice_says():
    # Common practice, no source: N is about 0.7 (D / d)^2.
    packing = pack((0.5,) * 200)
    assert 200 / (packing.bore_mm / 0.5) ** 2 >= 0.8
    assert max(overlaps(packing)) <= EXACT


def test_the_same_strands_give_the_same_packing():
    first = pack((0.5,) * 9)
    pack.cache_clear()
    assert pack((0.5,) * 9) == first


@pytest.mark.parametrize(
    "bad", [(), (0.0,), (1.0, -1.0), (float("nan"),), (float("inf"),), (1.0,) * (MOST + 1)]
)
def test_what_cannot_be_packed_is_refused(bad):
    with pytest.raises(ValueError, match="positive diameters"):
        pack(bad)


@pytest.mark.parametrize("count", [2, 7, 11, 19])
def test_what_is_kept_is_what_the_search_finds(count):
    found, kept = searched(np.ones(count)), np.array(SPOTS[count - 2])
    assert radius_of(found, radii=np.ones(count)) == pytest.approx(
        radius_of(kept, radii=np.ones(count)), rel=PHYSICS
    )
