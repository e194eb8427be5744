"""Halftone dots against textbook values and against the energy they may not make."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.halftone import clapper_yule, demichel, mixed
from tolerances import EXACT, TABLE

VALUES = json.loads(
    (Path(__file__).parents[1] / "reference/colour/halftone/values.json").read_text()
)
SIXTH_DIGIT = TABLE * 1e-6


@pytest.mark.parametrize("case", VALUES["yule_nielsen_half_covered"])
def test_dots_on_paper_mix_as_the_textbook_says(case):
    # A textbook of colour science, equations 9.1 to 9.4 (see the README beside the values).
    for n, reflectance in case["n"].items():
        ends = np.array([[case["bare"]], [case["solid"]]])
        assert mixed(np.array([0.5, 0.5]), primaries=ends, n=float(n)) == pytest.approx(
            reflectance, abs=2 * SIXTH_DIGIT
        )


@pytest.mark.parametrize("case", VALUES["film_half_covered"])
def test_dots_on_clear_film_have_no_gain(case):
    ends = np.array([[1.0], [case["ink"]]])
    assert mixed(np.array([0.5, 0.5]), primaries=ends)[0] == pytest.approx(
        case["transmittance"], abs=EXACT
    )


@pytest.mark.parametrize("case", VALUES["clapper_yule"]["cases"])
def test_ink_on_white_backing(case):
    # Clapper and Yule; the formula is from memory (README beside the values).
    given_ = VALUES["clapper_yule"]
    covered, ink = case["coverage"], case["ink"]
    reflectance = clapper_yule(
        np.array(1.0 - covered + covered * ink),
        mean_square=np.array(1.0 - covered + covered * ink**2),
        ground=np.array(given_["ground"]),
        outside=given_["outside"],
        inside=given_["inside"],
    )
    assert reflectance == pytest.approx(case["reflectance"], abs=2 * SIXTH_DIGIT)


def test_white_backing_without_ink_is_a_surface_over_a_ground():
    # Saunderson: Rm = k1 + (1 - k1) (1 - k2) R / (1 - k2 R), the same sum by another road.
    ground = np.linspace(0.0, 1.0, 11)
    nothing = np.ones_like(ground)
    clear = clapper_yule(nothing, mean_square=nothing, ground=ground, outside=0.04, inside=0.6)
    assert clear == pytest.approx(0.04 + 0.96 * 0.4 * ground / (1 - 0.6 * ground), abs=EXACT)


@given(st.lists(st.floats(0.0, 1.0), min_size=4, max_size=4))
def test_overprints_share_the_area_by_chance(coverages):
    shares = demichel(np.array(coverages))
    assert shares.sum() == pytest.approx(1.0, abs=EXACT)
    # what carries an ink, with or without others, is that ink's coverage
    for ink, coverage in enumerate(coverages):
        carries = [number for number in range(16) if number >> ink & 1]
        assert shares[carries].sum() == pytest.approx(coverage, abs=EXACT)
