"""Readers of one cell: what they take and what they say when they do not."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue import cells
from lamphouse.catalogue.cells import OutOfRange, Span
from lamphouse.units import Quantity, UnitError

ANY = Span(above=0, most=1e12, why="for the test")
READERS = (
    cells.amount(Quantity.LENGTH, span=ANY),
    cells.several(Quantity.LENGTH, count=2, span=ANY),
    cells.band(Quantity.LENGTH, span=ANY),
    cells.pair(Quantity.FLUX, Quantity.CURRENT, spans=(ANY, ANY)),
    cells.number(span=ANY),
    cells.whole_number(span=ANY),
    cells.one_of("matt", "mirror"),
    cells.or_word("computed", otherwise=cells.words),
    cells.forward_curve,
    cells.words,
    cells.day,
)


def test_the_forward_curve_is_sorted_by_current():
    curve = cells.forward_curve("2.80 V at 5 mA; 2.65 V at 1 mA;3.05V at 20mA")
    assert curve == ((0.001, 2.65), (0.005, 2.8), (0.02, 3.05))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "2.65 V at 2 mA; 2.60 V at 5 mA",
            "does not rise from '2.65 V at 2 mA' to '2.6 V at 5 mA'",
        ),
        ("2.65 V at 1 mA; 2.65 V at 5 mA", "does not rise"),
        ("2.65 V at 1 mA; 2.70 V at 1 mA", "does not rise"),
        ("2.65 V at 1 mA; 2.70 V at 0 mA", "needs a current"),
        ("2.65 V at 1 mA; -2.70 V at 3 mA", "need a forward voltage"),
    ],
)
def test_no_led_has_such_a_curve(text, says):
    with pytest.raises(OutOfRange, match=says):
        cells.forward_curve(text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2.65 V at 1 mA", "2 to 20 points, not 1"),
        ("; ;", "not 0"),
        ("2.65 V; 2.70 V", "does not say at which current"),
        ("2.65 at 1 mA; 2.70 V at 5 mA", "has no unit"),
        ("1 mA at 2.65 V; 5 mA at 2.70 V", "is a current; a voltage is wanted"),
        (";".join(f"{2 + n / 100} V at {n} mA" for n in range(1, 23)), "not 22"),
    ],
)
def test_a_curve_that_is_not_clear(text, says):
    with pytest.raises(UnitError, match=says) as caught:
        cells.forward_curve(text)
    assert not isinstance(caught.value, OutOfRange)


@pytest.mark.parametrize("text", ["0 mm", "-1 mm", "21 mm", "1 m"])
def test_a_size_out_of_its_span_names_the_limits(text):
    read = cells.amount(Quantity.LENGTH, span=Span(above=0, most=20, why="sheets are thin"))
    with pytest.raises(OutOfRange, match="sheets are thin") as caught:
        read(text)
    assert caught.value.remedy == "write a value above 0 mm up to 20 mm"
    assert read("20 mm") == 20


def test_a_wrong_word_names_the_right_one():
    with pytest.raises(UnitError) as caught:
        cells.one_of("matt", "mirror")("Mirrored")
    assert caught.value.remedy == "write 'mirror'"


@pytest.mark.parametrize("text", ["1e3", "0x10", "1_000", "\u0662", "nan", "inf", "-1", "1/2", ""])
def test_a_plain_number_is_digits_only(text):
    with pytest.raises(UnitError):
        cells.number(span=ANY)(text)


@pytest.mark.parametrize("text", ["2026-02-31", "20261125", "2026-W48-3", "25.11.2026", "2026-1-5"])
def test_a_day_is_written_year_first(text):
    with pytest.raises(UnitError, match="is not a date"):
        cells.day(text)
    assert cells.day("2026-11-25") == date(2026, 11, 25)


def test_nearest_forgives_capitals_and_slips():
    names = ("white 0603", "warm white 0603", "red 3 mm")
    assert cells.nearest("White 0603", names) == "white 0603"
    assert cells.nearest("warmwhite0603", names) == "warm white 0603"
    assert cells.nearest("zzz", names) is None
    assert cells.nearest("", names) is None


@given(text=st.text(max_size=60), reader=st.sampled_from(READERS))
def test_no_cell_raises_anything_but_a_refusal(text, reader):
    refusal = None
    try:
        reader(text)
    except UnitError as raised:
        refusal = raised
    assert refusal is None or (refusal.problem and refusal.remedy)
