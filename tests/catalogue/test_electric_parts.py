"""Wires, plugs, resistor packages and preferred numbers against published tables."""

import json
from math import pi

import pytest

from lamphouse.catalogue.electric_parts import SERIES, copper_ohm_per_m
from lamphouse.catalogue.shelf import built_in
from tolerances import EXACT, PHYSICS, TABLE

WIRES = built_in().wires
PACKAGES = built_in().resistor_packages
IACS_OHM_M = 1.7241e-8
"""Annealed copper at 20 degC; IACS."""


@pytest.fixture
def published(reference):
    return lambda case: json.loads((reference / case / "values.json").read_text())


@pytest.mark.parametrize("name", ["E6", "E12", "E24", "E96"])
def test_series_are_those_of_iec_60063(name, published):
    assert list(SERIES[name]) == published("eseries")[name]


def test_e24_is_not_its_rounded_formula_and_e96_is(published):
    differ = published("eseries")["E24_not_equal_to_rounded_formula"]
    rounded = [round(10 * 10 ** (i / 24)) for i in range(24)]
    odd = [
        str(value)
        for value, formula in zip(SERIES["E24"], rounded, strict=True)
        if value != formula
    ]
    assert odd == list(differ)
    assert SERIES["E96"] == tuple(round(100 * 10 ** (i / 96)) for i in range(96))


def test_awg_agrees_with_two_published_tables(published):
    tables = published("wires")
    for gauge, row in tables["awg"].items():
        for name in (f"{gauge} AWG insulated", f"{gauge} AWG enamelled"):
            if name in WIRES:
                wire = WIRES[name]
                assert wire.copper_mm == pytest.approx(row["d_mm"], abs=TABLE * 0.001)
                digit = 1 if row["ohm_per_km"] >= 100 else 0.1
                assert wire.ohm_per_m * 1000 == pytest.approx(row["ohm_per_km"], abs=TABLE * digit)
    for gauge, ohms in tables["awg_ohm_per_100ft"].items():
        per_100ft = WIRES[f"{gauge} AWG insulated"].ohm_per_m * 30.48
        assert per_100ft == pytest.approx(ohms, rel=PHYSICS)


def test_every_awg_row_has_the_resistance_of_iacs_copper(published):
    for gauge, ohm_per_km in published("wires")["awg_all"].items():
        if f"{gauge} AWG enamelled" in WIRES:
            found = WIRES[f"{gauge} AWG enamelled"].ohm_per_m * 1000
            assert found == pytest.approx(ohm_per_km, abs=TABLE * 0.01)


def test_drops_of_the_worked_examples(published):
    for case in published("wires")["drop"]:
        name = f"{case['awg']} AWG insulated"
        wire = WIRES.get(name) or WIRES[f"{case['awg']} AWG enamelled"]
        drop_V = 2 * case["length_m"] * wire.ohm_per_m * case["I_A"]
        assert drop_V == pytest.approx(case["drop_V_out_and_back"], rel=PHYSICS / 10)


def test_bunched_wire_lies_between_solid_copper_and_the_standard_s_most(published):
    tables = published("wires")
    for make_up, area in tables["bunched_mm2"].items():
        wire = WIRES[f"{make_up} insulated"]
        strands, strand_mm = (float(part) for part in make_up.split("/"))
        copper_mm2 = strands * pi * strand_mm**2 / 4
        assert pi * wire.copper_mm**2 / 4 == pytest.approx(copper_mm2, rel=PHYSICS)
        solid_ohm_per_m = IACS_OHM_M / (copper_mm2 * 1e-6)
        assert solid_ohm_per_m < wire.ohm_per_m
        assert wire.ohm_per_m * 1000 <= tables["largest_ohm_per_km"][area] + EXACT


def test_enamel_by_swg_is_that_of_grade_1(published):
    for gauge, (copper_mm, outside_mm) in published("wires")["grade1_by_swg_mm"].items():
        wire = WIRES[f"{gauge} SWG enamelled"]
        assert wire.copper_mm == pytest.approx(copper_mm, abs=TABLE * 0.001 + EXACT)
        assert wire.outside_mm == pytest.approx(outside_mm, abs=TABLE * 0.001)


def test_enamel_grows_with_the_copper():
    enamelled = sorted(
        (wire.copper_mm, wire.outside_mm) for name, wire in WIRES.items() if "enamelled" in name
    )
    outside = [size for _, size in enamelled]
    assert outside == sorted(outside)
    assert all(1.05 < out / copper < 1.22 for copper, out in enamelled)


def test_current_of_awg_wire_lies_between_the_handbook_s_two_columns(published):
    tables = published("wires")
    for gauge, most in tables["chassis_A"].items():
        wire = WIRES[f"{gauge} AWG insulated"]
        assert tables["transmission_A"][gauge] < wire.max_current_A < most


def test_copper_ohm_per_m_of_a_round_wire_of_1_mm2():
    # IACS by definition: 58 m/(ohm mm2) within the digits of 1.7241e-8, so 1/58 ohm a metre.
    assert copper_ohm_per_m(2 / pi**0.5) == pytest.approx(1 / 58, rel=PHYSICS / 10)


def test_chip_resistors_are_those_of_the_data_sheets(published):
    values = published("resistors")
    for code, power_W in values["P70_W"].items():
        package = PACKAGES[code]
        assert package.power_W == power_W
        assert package.body_mm == pytest.approx(values["chip_mm"][code], abs=0.05 + EXACT)
        share = {
            float(t): (package.zero_power_degC - float(t))
            / (package.zero_power_degC - package.full_power_degC)
            for t in values["factor_155C"]
        }
        for t, factor in values["factor_155C"].items():
            assert min(1.0, share[float(t)]) == pytest.approx(factor, abs=TABLE * 1e-4)


def test_chip_resistors_stand_no_more_than_the_least_data_sheet_says(published):
    for code, limit in published("resistors")["Vmax_V"].items():
        least = min(limit) if isinstance(limit, list) else limit
        assert PACKAGES[code].max_V <= least


def test_axial_resistors_are_rated_by_their_name():
    for name, power_W in (("1/8", 0.125), ("1/4", 0.25), ("1/2", 0.5)):
        assert PACKAGES[f"axial {name} W"].power_W == power_W


def test_plugs_keep_their_pitch():
    for name, plug in built_in().plugs.items():
        pins, pitch = name.split("-pin ")
        assert plug.pins == int(pins)
        assert plug.pitch_mm == float(pitch.removesuffix(" mm"))
        assert plug.body_mm[0] > (plug.pins - 1) * plug.pitch_mm
        # Common practice, no source: small crimp contacts carry 1 to 3 A at most.
        assert 0.5 <= plug.max_current_A <= 3
