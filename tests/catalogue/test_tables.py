"""The loader: every fault of a file at once, with its line; never an exception."""

from dataclasses import dataclass
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue.finishes import FINISHES
from lamphouse.catalogue.shelf import TABLES
from lamphouse.catalogue.tables import LARGEST_TEXT, MOST_ROWS, load
from lamphouse.findings import RULES

HEAD = "name,reflectance,shine,source,kind,date\n"
GOOD = "my paint,84 %,matt,own sample,measured,2026-11-25\n"


@dataclass
class Outcome:
    rows: dict
    found: tuple

    @property
    def codes(self):
        return [finding.code for finding in self.found]


def read(text, table=FINISHES):
    loaded = load(text, table=table, file=f"parts/{table.name}.csv")
    return Outcome({row.name: row for _, row in loaded.rows}, loaded.found)


def test_a_good_row_is_read_with_its_origin():
    outcome = read(HEAD + GOOD)
    paint = outcome.rows["my paint"]
    assert outcome.found == ()
    assert paint.reflectance == 0.84
    assert (paint.origin.source, paint.origin.kind) == ("own sample", "measured")


def test_what_spreadsheets_do_to_a_file_is_forgiven():
    text = "\ufeffName, Reflectance ,SHINE,source,kind,date,\r\n"
    text = text.replace(",\r\n", "\r\n")
    row = '"my  paint",84 %,matt,"own sample, north wall",measured,2026-11-25\r\n'
    outcome = read(text + "\r\n" + row + ",,,,,\r\n")
    assert outcome.found == ()
    assert outcome.rows["my paint"].origin.source == "own sample, north wall"


def test_columns_may_stand_in_any_order():
    outcome = read(
        "date,kind,source,shine,reflectance,name\n2026-11-25,measured,x,matt,84 %,my paint"
    )
    assert outcome.rows["my paint"].reflectance == 0.84


def test_all_faults_of_a_file_are_told_at_once_with_their_lines():
    outcome = read(
        HEAD
        + "a,84,matt,own,measured,2026-11-25\n"
        + "b,84 %,matt,,guess,25/11/2026\n"
        + GOOD
        + "c,120 %,matt,own,measured,2026-11-25\n"
        + "My Paint,80 %,matt,own,measured,2026-11-25\n"
        + ",80 %,matt,own,measured,2026-11-25\n"
        + "d,80 %,matt,own,measured,2026-11-25,surplus\n"
        + "e,80 %\n"
    )
    told = [(finding.where.line, finding.code) for finding in outcome.found]
    assert told == [
        (2, "CAT003"),
        (3, "CAT004"),
        (3, "CAT004"),
        (3, "CAT004"),
        (5, "CAT006"),
        (6, "CAT005"),
        (7, "CAT003"),
        (8, "CAT003"),
        (9, "CAT003"),
        (9, "CAT004"),
        (9, "CAT004"),
        (9, "CAT004"),
    ]
    assert list(outcome.rows) == ["my paint"]
    assert all(finding.where.file == "parts/finishes.csv" for finding in outcome.found)


def test_the_line_is_right_after_a_cell_of_two_lines():
    outcome = read(
        HEAD
        + '"two\nlines",84 %,matt,own,measured,2026-11-25\nnext,84,matt,own,measured,2026-11-25'
    )
    assert [finding.where.line for finding in outcome.found] == [4]
    assert list(outcome.rows) == ["two lines"]


def test_a_bare_number_is_told_with_what_it_may_mean():
    (finding,) = read(HEAD + "a,0.84,matt,own,measured,2026-11-25").found
    assert "'0.84' has no unit" in finding.message
    assert finding.remedy == "write 84 % or 0.84 %"


def test_wrong_columns_name_the_likely_one_and_stop_the_file():
    outcome = read("name,reflection,shine,source,kind,date,note\n" + GOOD)
    assert set(outcome.codes) == {"CAT002"}
    assert outcome.rows == {}
    remedies = [finding.remedy for finding in outcome.found]
    assert remedies[0] == "name it 'reflectance'"
    assert remedies[1] == f"make the first line {HEAD.strip()}"


def test_a_column_there_twice_is_refused():
    outcome = read("name,reflectance,reflectance,shine,source,kind,date\n")
    assert outcome.codes == ["CAT002"]


def test_semicolons_between_columns_are_told_once():
    outcome = read(HEAD.replace(",", ";") + GOOD.replace(",", ";"))
    assert outcome.codes == ["CAT002"]
    assert "semicolons" in outcome.found[0].message


@pytest.mark.parametrize(
    "text", ["", "\n\n", " , ,\n", HEAD + '"never closed,84 %', HEAD + '"a"b,1']
)
def test_what_is_no_table_is_one_finding(text):
    assert read(text).codes == ["CAT001"]


def test_a_hostile_file_of_50_mib_is_refused_at_once():
    text = "x," * (25 * 1024 * 1024)
    start = process_time()
    outcome = read(text)
    assert process_time() - start < 0.05
    assert outcome.codes == ["CAT001"]
    assert f"{LARGEST_TEXT:,}" in outcome.found[0].message


HOSTILE = {
    "one line of a million names": "name," * (LARGEST_TEXT // 5),
    "rows of bad cells": HEAD + "a,0,mit,,guess,now\n" * MOST_ROWS,
    "a row of nothing but commas": HEAD + "a" + "," * 900_000,
    "one row of quotes": HEAD + '""' * 400_000,
    "long cells": HEAD + f"a,{'7' * 900} %,matt,x,{'measure' * 100},2026-11-25\n" * 500,
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_costs_little_time(text):
    assert len(text) <= LARGEST_TEXT
    start = process_time()
    assert read(text).found
    assert process_time() - start < 2


def test_too_many_rows_are_refused():
    assert read(HEAD + "a\n" * (MOST_ROWS + 1)).codes == ["CAT001"]
    assert "CAT001" not in read(HEAD + "a\n" * MOST_ROWS).codes


def test_a_giant_cell_is_not_echoed():
    outcome = read(HEAD + f"a,{'9' * 5000} %,matt,own,measured,2026-11-25")
    assert outcome.codes == ["CAT003"]
    assert len(outcome.found[0].message) < 200


CELL = st.one_of(
    st.text(max_size=30),
    st.sampled_from(
        [
            "84 %",
            "0 mm",
            "1 x 2 mm",
            "2.6 V at 1 mA; 2.8 V at 5 mA",
            "0603",
            "nan mm",
            '"',
            "\r",
            ";",
        ]
    ),
)
LINES = st.lists(st.lists(CELL, max_size=16).map(",".join), max_size=8).map("\n".join)


@given(name=st.sampled_from(sorted(TABLES)), text=st.one_of(st.text(max_size=300), LINES))
def test_no_text_raises_with_or_without_the_right_head(name, text):
    table = TABLES[name]
    for whole in (text, ",".join(table.header) + "\n" + text):
        outcome = read(whole, table)
        assert all(finding.message and finding.remedy for finding in outcome.found)


BUILT_IN_ROWS = {
    "sheet_stock": "a,styrene,0.75 mm,300 x 200 mm",
    "sheet_light": "a,75 %,9.35,0.01",
    "sheet_heat": "a,0.16,70 degC",
    "wall_coats": "a,2.5",
    "film_types": "a,gel,0.1 mm,50 %,50 %",
    "fibre_types": "a,0.5 mm,0.50,0.02 to 0.05 mm,16 mm",
    "led_types": "a,0603,1.6 x 0.8 x 0.6 mm,red,630 nm,,1.7 V at 1 mA; 2 V at 20 mA,0.1 V,-2 mV/K,"
    "20 mA,0.1 lm at 5 mA,120 deg",
    "wires": "a,30 AWG,0.5 mm,340 ohm/km,500 mA",
    "plugs": "a,2,1.25 mm,1 A,30 mohm,4 x 4 x 3 mm",
    "resistor_packages": "a,0.1 W,70 degC,155 degC,50 V,1.6 x 0.8 x 0.45 mm",
    "cell_types": "a,LR6,alkaline,14.5 x 14.5 x 50.5 mm,1.5 V,1.6 V at 0 %; 0.8 V at 100 %,"
    "150 mohm,500 mohm,1.8 to 3 Ah,25 mA,0.9 V,500 mA,",
    "fuses": "a,resettable,500 mA,1 A,1 ohm,60 V,1 %",
    "protectors": "a,0.2 V,0.4 V,0 ohm,1 A,40 V",
    "controllers": "a,C,chip,8 MHz,PA0 to PA7 PB1,PC0,4,as supply,3 to 5 V,8 mA,20 mA,100 mA,"
    "25 ohm,8192,512,19 x 8 mm",
    "switches": "a,npn,40 V,200 mA,20,0.95 V,,0.3 V,0 ohm",
    "timer_chips": "a,3 to 15 V,1 mA,10 mA,50 mA,1.5 V,0.5 V,3 %,3.3 Mohm,30 ohm",
    "drills": "a,0.55 mm",
}
ORIGIN = ",own bench,measured,2026-11-25"


@pytest.mark.parametrize("name", BUILT_IN_ROWS)
def test_a_sound_row_of_each_table_is_taken(name):
    table = TABLES[name]
    outcome = read(f"{','.join(table.needed)}\n{BUILT_IN_ROWS[name]}{ORIGIN}", table)
    assert outcome.found == ()
    assert list(outcome.rows) == ["a"]


@pytest.mark.parametrize(
    ("name", "good", "bad", "says"),
    [
        ("sheet_stock", "0.75 mm", "0 mm", "a sheet has a thickness"),
        ("sheet_stock", "300 x 200 mm", "300 x 0 mm", "length and a width"),
        ("sheet_light", "9.35", "1000000", "a sheet adds no light"),
        ("sheet_light", "75 %", "100 %", "throws back less light"),
        ("wall_coats", "2.5", "0", "a coat takes light away"),
        ("film_types", "50 %,50 %", "50 %,50.1 %", "more light than comes in"),
        ("film_types", "50 %,50 %", "-1 %,50 %", "none and all"),
        ("fibre_types", "0.50", "1.2", "sine of an angle"),
        ("fibre_types", "16 mm", "0.4 mm", "less than the fibre is thick"),
        ("led_types", "2 V at 20 mA", "1.6 V at 20 mA", "does not rise"),
        ("led_types", "-2 mV/K", "2 mV/K", "less voltage when it gets warm"),
        ("led_types", "0.1 lm", "7 lm", "more light than the power can give, 6.83 lm"),
        ("led_types", "630 nm,", ",", "either a peak or a white point"),
        ("led_types", "630 nm,", "630 nm,3000 K", "either a peak or a white point"),
        ("led_types", "630 nm", "940 nm", "light the eye can see"),
        ("led_types", "1.6 x 0.8 x 0.6", "0.6 x 0.3 x 0.3", "is not package 0603 (metric 1608)"),
        ("led_types", "0.1 V", "1.7 V", "to nothing"),
        ("wires", "0.5 mm", "0.25 mm", "less than 0.2546 mm of copper inside"),
        ("wires", "340 ohm/km", "34 ohm/km", "less than copper of this size has"),
        ("plugs", ",2,", ",0,", "a plug has contacts"),
        ("resistor_packages", "155 degC", "70 degC", "cannot both be"),
        ("sheet_heat", "70 degC", "20 degC", "sheet is firm in a room"),
        ("cell_types", "0.8 V at", "1.7 V at", "does not fall"),
        ("cell_types", "at 0 %", "at 5 %", "from 0 % to 100 %"),
        ("cell_types", "500 mohm", "100 mohm", "falls as the cell empties"),
        ("cell_types", "0.9 V", "1.6 V", "leaves nothing"),
        ("fuses", "1 A", "400 mA", "cannot carry 500 mA for ever"),
        ("protectors", "0.2 V", "0.5 V", "less than the least"),
        ("controllers", "8 MHz", "1 MHz", "clocks of 8 to 20 MHz"),
        ("controllers", "PC0", "PE0", "by port and bit"),
        ("controllers", "8192", "65536", "tables of 32 KiB"),
        ("controllers", "C,chip", "MicroPython,chip", "called by number"),
        ("controllers", "20 mA", "200 mA", "more than all of them together"),
        ("switches", ",20,", ",,", "a bipolar transistor has a gain"),
        ("switches", "0.95 V,,", "0.95 V,12 V,", "a largest gate voltage"),
        ("timer_chips", "3 %", "30 %", "keeps time to some share"),
        ("drills", "0.55 mm", "0 mm", "a drill has a diameter"),
    ],
)
def test_numbers_no_real_part_has_are_refused(name, good, bad, says):
    table = TABLES[name]
    row = BUILT_IN_ROWS[name].replace(good, bad, 1)
    assert row != BUILT_IN_ROWS[name]
    outcome = read(f"{','.join(table.needed)}\n{row}{ORIGIN}", table)
    assert outcome.codes == ["CAT006"]
    assert says in outcome.found[0].message
    assert outcome.rows == {}


def test_the_page_of_the_limits_names_them():
    for limit in (LARGEST_TEXT, MOST_ROWS):
        assert f"{limit:,}".replace(",", " ") in RULES["CAT001"].page
