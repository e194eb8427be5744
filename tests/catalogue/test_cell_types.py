"""Cells and fuses of the catalogue against handbook sizes, published bands and data pages."""

import json
from statistics import mean

import pytest

from lamphouse.catalogue.shelf import built_in

CELLS = built_in().cell_types
FUSES = built_in().fuses
BY_MEMORY = 0.1
"""What is left of a resettable fuse when warm is known within this share."""


@pytest.fixture
def published(reference):
    return json.loads((reference / "cells" / "values.json").read_text())


def test_sizes_are_those_of_the_handbook(published):
    names = {"R03": "alkaline AAA", "R6": "alkaline AA", "R14": "alkaline C", "R20": "alkaline D"}
    for size, name in (names | {"CR2032": "coin CR2032"}).items():
        diameter, height = published["sizes_mm"][size]
        assert CELLS[name].size_mm == (diameter, diameter, height)
    for name in ("NiMH AA", "NiMH AAA"):
        assert CELLS[name].size_mm == CELLS[name.replace("NiMH", "alkaline")].size_mm


def test_capacities_lie_in_the_published_bands(published):
    known = {cell.designation: cell for cell in CELLS.values()}
    for designation, (least, most) in published["capacity_mAh"].items():
        cell = known[designation]
        assert least <= 1000 * cell.least_Ah < 1000 * cell.most_Ah <= most


def test_a_fresh_alkaline_cell_is_what_seven_measured_ones_are(published):
    measured = published["fresh_alkaline_AA_V"]
    assert CELLS["alkaline AA"].fresh_V == pytest.approx(mean(measured), abs=max(measured) - 1.578)
    block = CELLS["alkaline 9 V"]
    assert [volts / 6 for _, volts in block.open_V] == pytest.approx(
        [volts for _, volts in CELLS["alkaline AA"].open_V]
    )


def test_the_coin_resists_as_its_data_sheet_was_read(published):
    coin, given = CELLS["coin CR2032"], published["coin_CR2032"]
    middle_Ah = 0.5 * (coin.least_Ah + coin.most_Ah)
    for mAh, ohm in ((0, given["ohm_to_150_mAh"][0]), (170, given["ohm_at_170_mAh"])):
        at = coin.fresh_ohm + (coin.empty_ohm - coin.fresh_ohm) * mAh / 1000 / middle_Ah
        assert at == pytest.approx(ohm, rel=0.2)
    assert 1000 * coin.max_current_A == given["continuous_mA"]
    assert [cell.name for cell in CELLS.values() if cell.is_coin] == ["coin CR2032"]


def test_the_lithium_ion_cell_keeps_to_its_protection(published):
    cell, given = CELLS["Li-ion 18650 protected"], published["li_ion"]
    assert cell.fresh_V == given["charge_V"]
    assert given["cut_off_V"][0] <= cell.cut_off_V <= given["cut_off_V"][1]


def test_resettable_fuses_are_the_published_rows_and_lose_as_told(published):
    given = published["resettable"]
    rows = {fuse.hold_A: fuse for fuse in FUSES.values() if fuse.construction == "resettable"}
    for row in given["data_rows"]:
        assert rows[row["Ihold"]].trip_A == row["Itrip"]
    for fuse in rows.values():
        assert 2.0 <= fuse.trip_A / fuse.hold_A <= 3.0
        for degC, left in given["derating_typical"].items():
            found = fuse.hold_at_A(float(degC[:-1])) / fuse.hold_A
            assert found == pytest.approx(left, rel=BY_MEMORY)
        assert fuse.hold_at_A(23.0) == fuse.hold_A
        assert fuse.hold_at_A(300.0) == 0.0
