"""Number drills and wire gauges against published tables."""

import csv

import pytest

from lamphouse.units import NUMBER_DRILLS_IN, SWG_IN, Quantity, UnitError, awg_mm, parse
from tolerances import EXACT, TABLE


def rows(path):
    with path.open(newline="") as lines:
        return list(csv.DictReader(lines))


def last_digit(printed):
    return 10.0 ** -len(printed.partition(".")[2])


def test_every_number_drill_is_as_printed(reference):
    table = rows(reference / "drills" / "values.csv")
    assert [int(row["number"]) for row in table] == list(range(80, 0, -1))
    assert {int(row["number"]): float(row["inch"]) for row in table} == NUMBER_DRILLS_IN


def test_number_drills_read_in_mm_as_printed(reference):
    table = [row for row in rows(reference / "drills" / "values.csv") if row["mm"]]
    assert len(table) == 26
    for row in table:
        assert parse(f"#{row['number']}", Quantity.LENGTH) == pytest.approx(
            float(row["mm"]), abs=EXACT
        )


def test_every_british_gauge_is_as_printed(reference):
    table = rows(reference / "wire" / "swg.csv")
    assert {int(row["gauge"]): float(row["inch"]) for row in table} == SWG_IN
    for row in table:
        assert parse(f"{row['gauge']} SWG", Quantity.LENGTH) == pytest.approx(
            float(row["mm"]), abs=TABLE * last_digit(row["mm"]) * (1 + EXACT)
        )


def test_american_gauges_round_to_the_printed_inches(reference):
    table = rows(reference / "wire" / "awg.csv")
    assert [int(row["gauge"]) for row in table] == list(range(51))
    for row in table:
        printed = row["inch"]
        assert awg_mm(int(row["gauge"])) / 25.4 == pytest.approx(
            float(printed), abs=TABLE * last_digit(printed)
        )


def test_american_gauges_round_to_the_printed_mm(reference):
    for row in rows(reference / "wire" / "awg_mm.csv"):
        assert parse(f"{row['gauge']} AWG", Quantity.LENGTH) == pytest.approx(
            float(row["mm"]), abs=TABLE * last_digit(row["mm"])
        )


def test_six_gauges_halve_the_wire_nearly():
    # ASTM B258: the ratio of neighbours is the 39th root of 92, so six make 2.0050.
    assert awg_mm(24) / awg_mm(30) == pytest.approx(2.0050, abs=TABLE * 1e-4)


@pytest.mark.parametrize(
    "text",
    [
        "#75",
        "# 75",
        "no. 75",
        "no 75",
        "No. 75",
        "number 75",
        "drill 75",
        "drill #75",
        "drill no. 75",
    ],
)
def test_a_drill_is_named_in_any_common_way(text):
    assert parse(text, Quantity.LENGTH) == 0.5334


@pytest.mark.parametrize("text", ["30 AWG", "30AWG", "AWG 30", "AWG30", "30 awg"])
def test_a_gauge_is_named_in_any_common_way(text):
    assert parse(text, Quantity.LENGTH) == awg_mm(30)


@pytest.mark.parametrize("text", ["#0", "#81", "drill 100", "51 SWG", "57 AWG", "0000 AWG"])
def test_numbers_off_the_table_are_refused(text):
    with pytest.raises(UnitError, match="mm"):
        parse(text, Quantity.LENGTH)


@pytest.mark.parametrize("gauge", [-1, 57, 10**6])
def test_the_gauge_formula_is_not_stretched(gauge):
    with pytest.raises(UnitError, match="outside"):
        awg_mm(gauge)


@pytest.mark.parametrize("table", [NUMBER_DRILLS_IN, SWG_IN])
def test_tables_fall_and_cannot_be_changed(table):
    sizes = [table[number] for number in sorted(table)]
    assert sizes == sorted(set(sizes), reverse=True)
    with pytest.raises(TypeError):
        table[1] = 0.0
