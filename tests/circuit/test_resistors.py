import itertools

import numpy as np
import pytest

from lamphouse.circuit.resistors import (
    chip_code,
    colour_bands,
    dissipation_limit_W,
    is_sold,
    marks,
    nearest_preferred_ohm,
    preferred_ohm,
)
from tolerances import EXACT, TABLE


@pytest.mark.parametrize("series", ["E6", "E12", "E24", "E96"])
def test_preferred_values_are_the_lists_of_iec_60063_decade_by_decade(series, values):
    listed = values["e_series"][series]
    preferred = preferred_ohm(series)
    scale = 10.0 / listed[0]
    expected = [number * scale * 10**decade for decade in range(6) for number in listed] + [10e6]
    assert preferred == pytest.approx(expected, rel=EXACT)


def test_the_value_above_319_ohm(values):
    for series in ("E24", "E96"):
        preferred = preferred_ohm(series)
        above = preferred[np.searchsorted(preferred, 319.0)]
        assert above == values["e_series"][f"nearest_at_or_above_319_ohm_{series}"]


def test_e24_numbers_that_are_not_the_rounded_formula_are_sold(values):
    for number, formula in values["e_series"]["E24_not_equal_to_rounded_formula"].items():
        assert is_sold(float(number) * 100)
        assert int(number) != round(formula)
        assert round(formula) * 100.0 not in preferred_ohm("E24")


@pytest.mark.parametrize("ohm", [4800.0, 4711.0, 0.0047, 5e9])
def test_values_of_no_series_are_not_sold(ohm):
    assert not is_sold(ohm)


def test_nearest_is_nearest_in_ratio():
    # 12.0 and 15.0: the middle in ratio is 13.416, the middle in difference 13.5.
    assert nearest_preferred_ohm(13.45, series="E12") == 15.0
    assert nearest_preferred_ohm(13.40, series="E12") == 12.0


def test_derating_follows_the_rows_of_data_sheets(make, values):
    from lamphouse.record import replace

    derating = values["resistor_derating"]
    for zero, key in ((155.0, "factor_155C"), (125.0, "factor_125C")):
        package = replace(make.PACKAGE, zero_power_degC=zero)
        for ambient, factor in derating[key].items():
            limit = dissipation_limit_W(package, ambient_degC=float(ambient))
            assert limit / package.power_W == pytest.approx(factor, abs=TABLE * 1e-4)


def test_colour_bands_as_printed(rows):
    for row in rows("colour_bands.csv"):
        bands = colour_bands(float(row["ohm"]), tolerance=float(row["tolerance"]))
        assert " ".join(bands) == row["bands"], row


def test_chip_codes_as_printed(rows):
    for row in rows("chip_codes.csv"):
        code = chip_code(float(row["ohm"]), tolerance=float(row["tolerance"]))
        assert code == row["code"], row


def test_two_figure_codes_of_e96_numbers(values):
    letters = values["e_series"]["EIA96_multiplier"]
    for number, value in values["e_series"]["EIA96_code"].items():
        for letter, factor in letters.items():
            assert chip_code(float(value) * factor, tolerance=0.01) == f"{number}{letter}"


@pytest.mark.parametrize("tolerance", [0.05, 0.01])
def test_no_two_values_share_their_bands_or_their_code(tolerance):
    values = [float(ohm) for ohm in preferred_ohm("E24")]
    for mark in (colour_bands, chip_code):
        marked = [mark(ohm, tolerance=tolerance) for ohm in values]
        assert all(one != other for one, other in itertools.pairwise(sorted(marked)))


def test_a_tolerance_between_classes_takes_the_tighter_band():
    assert colour_bands(4700.0, tolerance=0.03)[-1] == "red"


def test_marks_go_by_the_package(make):
    from lamphouse.record import replace

    chip = replace(make.PACKAGE, name="0805")
    assert marks(4700.0, package=make.PACKAGE, tolerance=0.05)[0]
    assert marks(4700.0, package=chip, tolerance=0.05) == ((), "472")
    assert marks(4800.5, package=chip, tolerance=0.05) == ((), "")
