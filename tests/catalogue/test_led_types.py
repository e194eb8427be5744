"""Typical LEDs against published readings and against physics."""

import json
from math import log, pi

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from tolerances import EXACT

LEDS = built_in().led_types
THERMAL_V = 1.380649e-23 * 298.15 / 1.602176634e-19
"""k/q T at 25 degC, from the exact SI constants."""
PHOTON_V_NM = 6.62607015e-34 * 299792458 / 1.602176634e-19 * 1e9
"""h c/q, from the exact SI constants: 1239.84 V nm."""
FIT_V = 0.010
"""A diode with series resistance is this close to every printed point."""
COLOURS = ("white", "warm white", "red", "amber", "green", "blue")
PACKAGES = ("0402", "0603", "0805", "1206", "3 mm", "5 mm")


@pytest.fixture
def published(reference):
    return json.loads((reference / "led_readings" / "values.json").read_text())


def fit(led):
    """Fit V = a + n VT ln I + Rs I by least squares; give n, Rs and the worst miss."""
    current_A, volts = np.array(led.curve).T
    terms = np.column_stack([np.ones_like(current_A), THERMAL_V * np.log(current_A), current_A])
    solution = np.linalg.lstsq(terms, volts, rcond=None)[0]
    return solution[1], solution[2], np.abs(terms @ solution - volts).max()


def volts_at(led, current_A):
    """Read the curve at a current, straight between points over the logarithm of it."""
    currents, volts = zip(*led.curve, strict=True)
    return np.interp(log(current_A), np.log(currents), volts)


def test_every_colour_comes_in_every_package():
    assert set(LEDS) == {f"{colour} {package}" for colour in COLOURS for package in PACKAGES}


@pytest.mark.parametrize("name", LEDS)
def test_a_diode_with_series_resistance_fits_the_curve(name):
    ideality, series_ohm, worst_V = fit(LEDS[name])
    assert worst_V < FIT_V
    assert ideality > 1
    assert series_ohm > 0


@pytest.mark.parametrize("name", LEDS)
def test_the_curve_spans_the_currents_models_use(name):
    led = LEDS[name]
    assert led.curve[0][0] == pytest.approx(0.3e-3, abs=EXACT)
    assert led.curve[-1][0] == pytest.approx(led.max_current_A, abs=EXACT)
    assert len(led.curve) >= 4


def test_published_readings_lie_within_the_spread(published):
    for name, current_A, reading_V in published["readings"]:
        led = LEDS[name]
        assert abs(volts_at(led, current_A) - reading_V) <= led.spread_V, name


def test_flux_of_0603_parts_is_that_of_data_sheets(published):
    for colour, (least_cd, most_cd) in published["intensity_0603_cd_at_5mA"].items():
        led = LEDS[f"{colour} 0603"]
        assert led.flux_current_A == 0.005
        assert pi * least_cd <= led.flux_lm <= pi * most_cd
    least_lm, most_lm = published["white_0603_lm_at_5mA"]
    assert least_lm <= LEDS["white 0603"].flux_lm <= most_lm


@pytest.mark.parametrize("name", [name for name, led in LEDS.items() if led.peak_nm])
def test_no_led_gives_more_light_than_its_power_at_its_colour(name, published):
    led = LEDS[name]
    nm, seen = zip(*((float(nm), share) for nm, share in published["V"].items()), strict=True)
    lumens_per_watt = 683.002 * np.interp(led.peak_nm, nm, seen)
    watts = led.flux_current_A * volts_at(led, led.flux_current_A)
    # Small indicator LEDs turn 5 to 50 percent of their power into light; common practice.
    assert 0.03 < led.flux_lm / (lumens_per_watt * watts) < 0.5


@pytest.mark.parametrize("name", [name for name, led in LEDS.items() if led.peak_nm])
def test_the_forward_voltage_lifts_an_electron_to_the_colour(name):
    led = LEDS[name]
    photon_V = PHOTON_V_NM / led.peak_nm
    assert 0.95 * photon_V < led.curve[-1][1] < photon_V + 0.8


def test_warm_white_is_the_dimmer_white():
    for package in PACKAGES:
        white, warm = LEDS[f"white {package}"], LEDS[f"warm white {package}"]
        assert warm.flux_lm < white.flux_lm
        assert warm.cct_K < 3500 < white.cct_K


def test_every_led_is_honestly_typical():
    assert {led.origin.kind for led in LEDS.values()} == {"typical"}
    assert all(-0.004 <= led.drift_V_per_K <= -0.002 for led in LEDS.values())
