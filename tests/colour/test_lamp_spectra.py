"""Spectra of LEDs against published illuminants and another package."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from lamphouse.catalogue.measured_spectra import MeasuredSpectrum
from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.lamp_spectra import FAMILIES, bell, half_width_nm, lamp_spectrum, white
from lamphouse.colour.observer import chromaticity, luminance, tristimulus
from lamphouse.colour.spectrum import GRID_NM
from lamphouse.colour.temperature import temperature
from lamphouse.record import replace
from tolerances import EXACT, TABLE

LEDS = built_in().led_types


@pytest.mark.parametrize("name", [name for names in FAMILIES.values() for name in names])
def test_at_its_own_temperature_a_white_is_the_published_illuminant(name, published):
    # CIE 015:2018 tables 12.1 and 12.2: x, y to four decimals, CCT to a kelvin.
    x, y, cct = published("led_illuminants")["published"][name]
    phosphor = next(own for own, names in FAMILIES.items() if name in names)
    found = chromaticity(tristimulus(white(float(cct), phosphor=phosphor)))
    # a kelvin is 2e-4 in x at 2800 K
    assert found == pytest.approx([x, y], abs=TABLE * 1e-4 + 2e-4)


@given(st.floats(1500, 20000), st.sampled_from(["blue", "violet"]))
@example(18131.25, "blue")  # between two steps of the table
def test_a_white_has_the_temperature_asked_for(cct_K, phosphor):
    power = white(cct_K, phosphor=phosphor)
    assert temperature(tristimulus(power)).cct_K == pytest.approx(cct_K, abs=0.1)
    assert luminance(power) == pytest.approx(1.0, rel=EXACT)
    assert (power >= 0).all()


def test_between_the_published_whites_it_stays_near_the_black_body():
    # ANSI C78.377: whites for sale lie within Duv of -0.006 to 0.006.
    for cct_K in range(2800, 6600, 100):
        assert abs(temperature(tristimulus(white(float(cct_K)))).duv) < 0.006


@pytest.mark.parametrize(("peak_nm", "width_nm"), [(465, 22), (525, 33), (592, 18), (632, 18)])
def test_a_coloured_led_has_the_shape_of_ohno(peak_nm, width_nm, witness):
    # Ohno 2005 as colour-science 0.4.7 has it; its parameter is a little over the true width.
    shape = witness.SpectralShape(380, 780, 5)
    other = witness.colorimetry.sd_single_led_Ohno2005(peak_nm, width_nm / 0.92182, shape)
    ours = bell(peak_nm, width_nm=width_nm)
    # ours are means over 5 nm steps, theirs single points
    assert ours == pytest.approx(other.values, abs=0.03)
    assert chromaticity(tristimulus(ours)) == pytest.approx(
        chromaticity(tristimulus(other.values)), abs=2e-3
    )
    at = np.linspace(380, 780, 40001)
    parameter = width_nm / 0.92182
    fine = np.exp(-(((at - peak_nm) / parameter) ** 2))
    high = at[(fine + 2 * fine**5) / 3 >= 0.5]
    assert np.ptp(high) == pytest.approx(width_nm, abs=0.05)


def test_colours_of_the_catalogue_lie_where_their_names_say():
    # Hue names by dominant wavelength: common practice, no source.
    xy = {
        name: chromaticity(tristimulus(lamp_spectrum(LEDS[f"{name} 0603"]).values))
        for name in ("red", "amber", "green", "blue")
    }
    assert xy["red"][0] > 0.69
    assert 0.55 < xy["amber"][0] < 0.60
    assert xy["green"][1] > 0.65
    assert xy["blue"][0] < 0.15
    assert xy["blue"][1] < 0.08


def test_a_nitride_green_is_broader_than_a_phosphide_red():
    assert half_width_nm(LEDS["green 0603"]) > 1.5 * half_width_nm(LEDS["red 0603"])
    assert half_width_nm(replace(LEDS["red 0603"], half_width_nm=25.0)) == 25.0


def test_a_measured_led_keeps_its_spectrum():
    at = tuple(float(nm) for nm in GRID_NM)
    power = tuple(float(p) for p in bell(610.0, width_nm=40.0))
    own = replace(LEDS["red 0603"], measured=MeasuredSpectrum(wavelengths_nm=at, power=power))
    values = lamp_spectrum(own).values
    assert values / values.max() == pytest.approx(np.array(power) / max(power), abs=EXACT)
