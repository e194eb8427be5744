"""The CSV lists, read back by Python's own reader and checked against RFC 4180's grammar."""

import csv
import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.outputs import parts_sheet
from lamphouse.outputs.lists import TABLES, to_bytes, to_get
from lamphouse.plan import make
from lamphouse.plan.sheeted import sheeted
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from lamphouse.record import replace
from outputs.sample_plan import NASTY, sample

FORMULA = re.compile("[=+\\-@\t\r\n\x00]")
"""First signs to guard against: OWASP ASVS 5.0, requirement 1.2.10, and a line feed."""
RECORD = re.compile(r'(?:(?:"(?:[^"]|"")*"|[^",\r\n]*)(?:,|\r\n))*')
"""The grammar of RFC 4180, section 2, as one expression; its TEXTDATA widened to all of UTF-8."""


def rows_of(data):
    return list(csv.reader(io.StringIO(data.decode(), newline=""), strict=True))


@pytest.mark.parametrize("name", TABLES)
def test_every_table_is_read_back_with_its_head(name):
    data = to_bytes(TABLES[name](sheeted(sample())))
    head, *rows = rows_of(data)
    assert rows or name in {"pins", "strands"}  # the sample has neither; their own tests have
    assert all(len(row) == len(head) for row in rows)
    assert RECORD.fullmatch(data.decode())
    assert data.endswith(b"\r\n")


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2), max_size=5))
def test_any_words_survive_and_none_is_a_formula(texts):
    rows = rows_of(to_bytes((("a", "b"), texts)))[1:]
    for given_row, read in zip(texts, rows, strict=True):
        for words, cell in zip(given_row, read, strict=True):
            assert cell in (words, f"'{words}")
            assert not FORMULA.match(cell)


def test_nasty_names_stay_words():
    plan = sample(NASTY[2], NASTY[3])
    cells = {row[0] for row in rows_of(to_bytes(TABLES["leds"](plan)))[1:]}
    assert cells == {"'=1+2", NASTY[3]}


def test_negative_numbers_stay_numbers():
    assert to_bytes((("x_mm",), [(-1.5,)])) == b"x_mm\r\n-1.5\r\n"


def test_a_ragged_row_is_refused():
    with pytest.raises(ValueError, match="2 cells under a head of 1"):
        to_bytes((("a",), [(1.0, 2.0)]))


def test_the_chart_gives_drill_75_as_the_table_does():
    # ASME B94.11M: No. 75 is 0.0210 in; the inch is 25.4 mm.
    head, first, *_ = rows_of(to_bytes(TABLES["drill_chart"](sample())))
    row = dict(zip(head, first, strict=True))
    assert (row["drill"], row["drill_in"], row["drill_mm"]) == ("#75", "0.021", "0.5334")


def test_what_to_get_is_never_less_than_nothing():
    line = sample().parts[0]
    assert to_get(replace(line, need=5.0, spares=1.0, have=2.0)) == 4.0
    assert to_get(replace(line, need=5.0, spares=1.0, have=20.0)) == 0.0


def test_knobs_and_most_builds_stand_beside_the_string():
    text = demo_text("saltmarsh", "mended.yaml")
    text = text.replace("  chart table:", "  chart table:\n    trim: yes")
    head, rows = TABLES["strings"](make.plan(read_text(text, file="project.yaml").design))
    table = [dict(zip(head, row, strict=True)) for row in rows]
    for row in table:
        assert row["least_mA"] <= row["likely_least_mA"] < row["likely_most_mA"] <= row["most_mA"]
        assert 0.0 < row["likely_least_light"] < row["likely_most_light"]
        trimmed = row["sub_assembly"] == "chart table"
        assert (row["knob_ohm"] is not None) is trimmed
        assert (row["set_ohm"] is not None) is trimmed


def test_packs_say_their_unit_and_offcuts_are_not_more_than_is_left():
    text = demo_text("saltmarsh", "mended.yaml")
    plan = sheeted(make.plan(read_text(text, file="project.yaml").design))
    sheet = parts_sheet.parts(plan)
    packs = [
        row["get"].split("\n")[1]
        for group in sheet["groups"]
        if group["name"] in ("Film", "Paint")
        for row in group["rows"]
        if "\n" in row["get"]
    ]
    assert packs
    assert all(pack.endswith((" cm²", " ml")) for pack in packs)
    left = {laid.name: laid.offcuts for laid in plan.layout.sheets}
    for name, words in sheet["offcuts"]:
        sizes = [float(number) for number in re.findall(r"\d+", words)]
        real = [side for one in left[name] for side in (one.width_mm, one.height_mm)]
        assert all(0.0 <= have - said < 1.0 for said, have in zip(sizes, real, strict=True))
