"""CCT and Duv against published illuminants and another package."""

import numpy as np
import pytest

from lamphouse.colour.display import white_xyz
from lamphouse.colour.observer import chromaticity, whole_observer
from lamphouse.colour.temperature import planck, temperature
from tolerances import TABLE


def test_the_black_body_has_the_chromaticity_of_another_package(published):
    # colour-science 0.4.7, five decimals.
    wavelengths, table = whole_observer()
    for kelvin, xy in published("temperature")["planck_xy"].items():
        found = chromaticity(planck(float(kelvin), at_nm=wavelengths) @ table)
        assert found == pytest.approx(xy, abs=TABLE * 1e-5 + 1e-9)


def test_cct_and_duv_by_ohno(published):
    # Ohno, Leukos 10(1), 2014, as colour-science 0.4.7 has it: 1 K, 1e-5.
    for case in published("temperature")["cases"]:
        found = temperature(white_xyz(tuple(case["xy"])))
        assert found.cct_K == pytest.approx(case["ohno"][0], abs=1.0)
        assert found.duv == pytest.approx(case["ohno"][1], abs=1e-5)


def test_published_led_illuminants(published):
    # CIE 015:2018 tables 12.1 and 12.2: x and y to four decimals leave the CCT open by 2 K.
    values = published("led_illuminants")
    for name, (x, y, cct) in values["published"].items():
        assert temperature(white_xyz((x, y))).cct_K == pytest.approx(cct, abs=2.0), name
    for name, (cct, duv) in values["ohno2013_from_xy"].items():
        x, y, _ = values["published"][name]
        found = temperature(white_xyz((x, y)))
        assert (found.cct_K, found.duv) == pytest.approx((cct, duv), rel=2e-4, abs=1e-5)


@pytest.mark.parametrize("xy", [(0.30, 0.36), (0.45, 0.36), (0.5, 0.45), (0.29, 0.29)])
def test_off_the_line_it_agrees_with_another_package(xy, witness):
    # colour-science 0.4.7.
    cct, duv = witness.temperature.XYZ_to_CCT_Ohno2013(white_xyz(xy))
    found = temperature(white_xyz(xy))
    assert found.cct_K == pytest.approx(cct, rel=2e-4)
    assert found.duv == pytest.approx(duv, abs=1e-5)


def test_a_colour_has_no_temperature():
    # CIE 015:2018: none farther than 5e-2 off the line.
    assert temperature(white_xyz((0.17, 0.70))) is None
    assert temperature(white_xyz((0.15, 0.06))) is None
    assert temperature(np.zeros(3)) is None
