"""CIEDE2000 against the 34 pairs of its test set and an outside package."""

import csv

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.difference import difference
from tolerances import EXACT, TABLE


@pytest.fixture
def pairs(reference):
    with (reference / "colour" / "ciede2000" / "values.csv").open() as file:
        return np.array([[float(cell) for cell in row] for row in list(csv.reader(file))[1:]])


def test_all_pairs_of_the_test_set(pairs):
    # Sharma, Wu and Dalal, Color Res. Appl. 30(1) 21-30 (2005), table 1: four decimals.
    assert len(pairs) == 34
    assert difference(pairs[:, :3], pairs[:, 3:6]) == pytest.approx(pairs[:, 6], abs=TABLE * 1e-4)
    assert difference(pairs[:, 3:6], pairs[:, :3]) == pytest.approx(pairs[:, 6], abs=TABLE * 1e-4)


def test_random_pairs_agree_with_another_package(witness):
    # colour-science 0.4.7.
    labs = np.random.default_rng(7).uniform([0, -100, -100], [100, 100, 100], (2, 500, 3))
    assert difference(*labs) == pytest.approx(witness.delta_E(*labs, method="CIE 2000"), abs=1e-9)


labs = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120)).map(np.array)


@given(labs, labs)
def test_it_is_the_same_both_ways_and_nothing_to_itself(one, other):
    assert difference(one, other) == pytest.approx(difference(other, one), abs=1e-7)
    assert difference(one, one) == pytest.approx(0.0, abs=EXACT)
    assert difference(one, other) >= 0
