"""The workbook, opened by a library that others wrote and by the plain format's own words."""

import io
import zipfile
from xml.etree import ElementTree

import pytest

from lamphouse.outputs.parts_lines import bought
from lamphouse.outputs.parts_table import HEAD, table, to_workbook
from lamphouse.outputs.xlsx import Formula, workbook
from lamphouse.plan import make
from lamphouse.project.read import read_text
from outputs.sample_plan import NASTY
from tolerances import EXACT

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
PRICES = """
prices:
  - {part: white 0603, pack: 2, price: 1.25 EUR}
  - {part: fibre 0.5 mm, pack: 10 m, price: 3.00 GBP}
"""


@pytest.fixture
def bill(sound):
    return bought(make.plan(read_text(sound + PRICES, file="p").design))


def rows_of(data):
    """Read cells by the format's own words: letters to text, number or (formula, value)."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        sheet = ElementTree.fromstring(archive.read("xl/worksheets/sheet1.xml"))
    for row in sheet.iter(f"{MAIN}row"):
        cells = {}
        for cell in row:
            text, code, value = (
                cell.find(f"{MAIN}is/{MAIN}t"),
                cell.find(f"{MAIN}f"),
                cell.find(f"{MAIN}v"),
            )
            letter = cell.get("r").rstrip("0123456789")
            if text is not None:
                cells[letter] = text.text
            elif code is not None:
                cells[letter] = (code.text, float(value.text))
            else:
                cells[letter] = float(value.text)
        yield cells


def test_formulas_carry_what_they_come_to(bill):
    head, *rows = rows_of(to_workbook(bill, title="Sound"))
    assert tuple(head.values()) == HEAD
    white = next(row for row in rows if row.get("B") == "white 0603")
    code, get = white["H"]
    number = 1 + next(i for i, row in enumerate(rows, start=1) if row is white)
    assert code == f"MAX(0,C{number}+E{number}-F{number}-G{number})"
    assert get == white["C"] + white["E"] - white["F"] - white["G"] == 3.0
    assert white["J"][1] == 2.0
    assert white["L"] == (f"J{number}*K{number}", pytest.approx(2.5, rel=EXACT))
    totals = [(row["M"], row["L"][1]) for row in rows if row.get("A") == "total"]
    assert totals == [("EUR", 2.5), ("GBP", 3.0)]


def test_the_same_bytes_twice_and_no_clock(bill):
    data = to_workbook(bill, title="Sound")
    assert data == to_workbook(bill, title="Sound")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@pytest.mark.parametrize("words", [*NASTY, "a\x00b\x0bc", "é Ω", "x" * 40_000])
def test_no_text_is_read_as_anything_else(words):
    data = workbook(
        words, head=("a",), rows=[(words,), (Formula(code="1+1", value=2.0),)], widths=(9,)
    )
    _, told, sums = rows_of(data)
    assert told["A"] == words.replace("\x00", "").replace("\x0b", "")[:32_767]
    assert sums["A"] == ("1+1", 2.0)


def test_another_library_opens_it(bill):
    openpyxl = pytest.importorskip("openpyxl")
    data = to_workbook(bill, title="Sound")
    live = openpyxl.load_workbook(io.BytesIO(data))["parts"]
    shown = openpyxl.load_workbook(io.BytesIO(data), data_only=True)["parts"]
    assert tuple(cell.value for cell in shown[1]) == HEAD
    head, rows = table(bill)
    for got, wanted in zip(shown.iter_rows(min_row=2, values_only=True), rows, strict=False):
        for name, value, expected in zip(head, got, wanted, strict=True):
            if isinstance(expected, float):
                assert value == pytest.approx(expected, rel=1e-9), name
            else:
                assert (value or "") == (expected or ""), name
    assert live["H2"].value.startswith("=MAX(0,")
    assert live.freeze_panes == "A2"
