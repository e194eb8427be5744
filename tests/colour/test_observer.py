"""The standard observer and published lights against CIE 15 and an outside package."""

import numpy as np
import pytest

from lamphouse.catalogue.spectral_data import led_illuminants, room_lights
from lamphouse.colour.observer import (
    chromaticity,
    luminance,
    matching,
    photopic,
    tristimulus,
    under,
    uniform_chromaticity,
)
from lamphouse.colour.spectrum import GRID_NM
from tolerances import EXACT, TABLE

PUBLISHED_LIGHTS = led_illuminants().columns | {
    name: room_lights().columns[name] for name in ("A", "D65")
}


def test_matching_functions_are_those_of_the_table(witness):
    # CIE 1931 2 degree observer, ISO/CIE 11664-1, as colour-science 0.4.7 has it at 1 nm.
    table = witness.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    at_grid = table.values[np.isin(table.wavelengths, GRID_NM)]
    assert matching() == pytest.approx(at_grid, abs=EXACT)


def test_a_watt_at_555_nm_is_683_lumens():
    # CIE 015:2018: Km = 683 lm/W, V(555 nm) = 1. A line of 1 W fills one step of 5 nm with 0.2 W.
    line = np.where(GRID_NM == 555.0, 0.2, 0.0)
    assert luminance(line) == pytest.approx(683.0, rel=EXACT)
    assert tristimulus(line)[1] == pytest.approx(683.0, rel=EXACT)


@pytest.mark.parametrize("name", PUBLISHED_LIGHTS)
def test_lights_have_the_published_chromaticity(name, published):
    # CIE 015:2018, tables 12.1 and 12.2: four decimals.
    x, y, _ = published("led_illuminants")["published"][name]
    found = chromaticity(tristimulus(np.array(PUBLISHED_LIGHTS[name])))
    assert found == pytest.approx([x, y], abs=TABLE * 1e-4 + EXACT)


def test_a_share_of_one_leaves_the_light_its_own_white():
    light = np.array(led_illuminants().columns["LED-B3"])
    white = tristimulus(light)
    assert under(light, np.ones(81)) == pytest.approx(white / white[1], rel=EXACT)
    assert photopic(light, np.full((2, 81), 0.3)) == pytest.approx([0.3, 0.3], rel=EXACT)


def test_uniform_chromaticity_of_daylight():
    # CIE 015:2018: D65 has u', v' = 0.1978, 0.4683.
    xyz = tristimulus(np.array(room_lights().columns["D65"]))
    assert uniform_chromaticity(xyz) == pytest.approx([0.1978, 0.4683], abs=TABLE * 1e-4)


def test_black_has_no_chromaticity():
    assert np.isnan(chromaticity(np.zeros((2, 3)))).all()
    assert np.isnan(uniform_chromaticity(np.zeros(3))).all()
