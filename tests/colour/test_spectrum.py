"""Readings brought onto the grid, against an outside package and closed forms."""

import numpy as np
import pytest

from lamphouse.catalogue.spectral_data import led_illuminants
from lamphouse.colour.spectrum import GRID_NM, SpectrumError, fixed, on_grid, outside_nm
from tolerances import EXACT, PHYSICS

B3 = np.array(led_illuminants().columns["LED-B3"])


def test_readings_on_the_grid_stay_as_they_are():
    assert on_grid(GRID_NM, B3) == pytest.approx(B3, abs=EXACT)


def test_even_readings_are_joined_as_sprague_joins_them(witness):
    # CIE 167:2005, as colour-science 0.4.7 has it.
    curve = witness.SpragueInterpolator(GRID_NM[::2], B3[::2])
    assert on_grid(GRID_NM[::2], B3[::2]) == pytest.approx(curve(GRID_NM), abs=EXACT)


def test_uneven_readings_of_a_cubic_give_the_cubic():
    # A cubic spline through points of a cubic is that cubic.
    at = np.array([380.0, 391, 405, 420, 440, 455, 475, 490, 510, 530, 541, 560, 580, 600, 615])
    at = np.concatenate([at, np.arange(633.0, 781.0, 14.7), [781.0]])
    cubic = np.polynomial.Polynomial([0.4, 0.2, -0.1, 0.05])
    drawn = on_grid(at, cubic((at - 580.0) / 200.0))
    assert drawn == pytest.approx(cubic((GRID_NM - 580.0) / 200.0), abs=1e-9)


def test_fine_readings_keep_the_light_of_a_narrow_line():
    # A line of 1 nm between two points of the grid: the light is the area under it, 1.
    at = np.arange(380.0, 780.5, 0.5)
    line = np.maximum(0.0, 1.0 - np.abs(at - 552.5))
    assert on_grid(at, line).sum() * 5.0 == pytest.approx(1.0, rel=5 * PHYSICS)


def test_the_last_reading_holds_beyond_the_readings():
    # CIE 015:2018: values that were not measured may be set to the nearest that was.
    at = np.arange(400.0, 701.0, 10.0)
    drawn = on_grid(at, np.linspace(0.2, 0.8, len(at)))
    assert drawn[GRID_NM <= 400.0] == pytest.approx(0.2)
    assert drawn[GRID_NM >= 700.0] == pytest.approx(0.8)
    assert outside_nm(at) == (20.0, 80.0)


@pytest.mark.parametrize(
    ("at", "values", "said"),
    [
        ([400.0, 500.0, 700.0], [1.0, 1.0, 1.0], "a gap of 200 nm after 500 nm"),
        ([410.0, 420.0], [1.0, 1.0], "410 to 420 nm do not reach"),
        ([400.0, 390.0, 700.0], [1.0, 1.0, 1.0], "do not rise after 400 nm"),
        ([400.0, np.nan], [1.0, 1.0], "not a number"),
        ([400.0], [1.0], "wavelengths for"),
    ],
)
def test_readings_that_make_no_spectrum_are_refused(at, values, said):
    with pytest.raises(SpectrumError, match=said):
        on_grid(np.array(at), np.array(values))


def test_a_curve_dips_below_zero_only_where_readings_do():
    at = np.arange(380.0, 781.0, 20.0)
    spike = np.where(at == 580.0, 1.0, 0.0)
    assert on_grid(at, spike).min() == 0.0
    assert not fixed([1.0]).flags.writeable
