"""Shortest strips against the best lengths known [ESICUP], every one proved."""

import sys

import pytest

from cutting.stock_samples import best_lengths, strip
from lamphouse.cutting.sheet_proof import LayoutFault, prove_strip
from lamphouse.cutting.sheet_squeeze import SqueezeMissing, squeeze_strip
from lamphouse.cutting.sheet_strip import StripShape, lay_strip, strip_of
from lamphouse.shapes.measure import area_mm2
from lamphouse.shapes.outline import rectangle

BEST = best_lengths()
BROKEN = 0.999
"""A strip shorter than this share of the best means a broken proof, as the reference says."""


@pytest.mark.parametrize("name", BEST)
def test_the_reference_is_read_whole(name):
    height, shapes = strip(name)
    row = BEST[name]
    assert height == float(row["height"])
    assert sum(shape.count for shape in shapes) == int(row["copies"])
    area = sum(shape.count * area_mm2(shape.outline) for shape in shapes)
    assert area == pytest.approx(float(row["area"]), rel=1e-6)


@pytest.mark.parametrize("name", BEST)
def test_few_orders_already_come_near_the_best(name):
    height, shapes = strip(name)
    found = lay_strip(shapes, height_mm=height, tries=40, seed=1, cells=120)
    prove_strip(found, shapes=shapes)
    assert BROKEN <= found.length_mm / float(BEST[name]["best_length"]) <= 1.4


@pytest.mark.slow
@pytest.mark.parametrize("name", BEST)
def test_a_quarter_more_than_the_best_at_most(name):
    height, shapes = strip(name)
    found = lay_strip(shapes, height_mm=height, tries=400, seed=1)
    prove_strip(found, shapes=shapes)
    assert BROKEN <= found.length_mm / float(BEST[name]["best_length"]) <= 1.25


def test_squares_that_fill_a_strip_fill_it():
    shapes = [StripShape(outline=rectangle(10, height_mm=10), count=12)]
    found = lay_strip(shapes, height_mm=30, tries=5, seed=1)
    prove_strip(found, shapes=shapes)
    assert found.length_mm == pytest.approx(40.0)


def test_the_gap_stands_between_but_not_at_the_edges():
    shapes = [StripShape(outline=rectangle(10, height_mm=10), count=4)]
    found = lay_strip(shapes, height_mm=22, gap_mm=2, tries=5, seed=1)
    prove_strip(found, shapes=shapes)
    assert found.length_mm == pytest.approx(22.0)


def test_a_shape_higher_than_the_strip_is_refused():
    with pytest.raises(ValueError, match="does not fit"):
        lay_strip([StripShape(outline=rectangle(5, height_mm=50))], height_mm=30, tries=5, seed=1)


def test_the_proof_sees_what_is_wrong_with_a_strip():
    height, shapes = strip("fu")
    found = lay_strip(shapes, height_mm=height, tries=5, seed=1)
    lacking = strip_of(shapes, places=found.places[1:], height_mm=height, gap_mm=0)
    with pytest.raises(LayoutFault, match="wanted"):
        prove_strip(lacking, shapes=shapes)
    closer = strip_of(shapes, places=found.places, height_mm=height, gap_mm=1)
    with pytest.raises(LayoutFault, match="apart"):
        prove_strip(closer, shapes=shapes)
    lower = strip_of(shapes, places=found.places, height_mm=height - 2, gap_mm=0)
    with pytest.raises(LayoutFault, match="sticks out"):
        prove_strip(lower, shapes=shapes)


@pytest.mark.slow
def test_the_squeeze_comes_closer_and_is_proved():
    pytest.importorskip("spyrrow")
    height, shapes = strip("swim")
    found = squeeze_strip(shapes, height_mm=height, seconds=10, seed=1)
    prove_strip(found, shapes=shapes)
    assert BROKEN <= found.length_mm / float(BEST["swim"]["best_length"]) <= 1.25


def test_without_the_library_the_squeeze_says_so(monkeypatch):
    monkeypatch.setitem(sys.modules, "spyrrow", None)
    with pytest.raises(SqueezeMissing, match="needs the library spyrrow"):
        squeeze_strip(
            [StripShape(outline=rectangle(5, height_mm=5))], height_mm=9, seconds=2, seed=1
        )
