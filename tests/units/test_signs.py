"""Texts made plain, and the examples in the docstrings of the room."""

import doctest
import importlib

import pytest

from lamphouse.units import UnitError
from lamphouse.units.signs import LONGEST_TEXT, plain

MODULES = ("chips", "gauges", "parsing", "quantity", "signs", "wording")


def test_printed_signs_and_outer_blanks_go():
    assert plain("\u00a04.7\u202fk\u2126 ") == "4.7 kohm"


@pytest.mark.parametrize(
    "sign", ["\t", "\n", "\x00", "\x7f", "\u200b", "\u202e", "\ufeff", "\ud800"]
)
def test_signs_that_cannot_be_seen_are_refused_in_words_that_can(sign):
    with pytest.raises(UnitError, match="cannot be seen") as caught:
        plain(f"5{sign}mm")
    assert str(caught.value).isprintable()


def test_the_longest_text_passes_and_the_next_does_not():
    assert plain("1" * LONGEST_TEXT)
    with pytest.raises(UnitError, match="characters"):
        plain("1" * (LONGEST_TEXT + 1))


@pytest.mark.parametrize("module", MODULES)
def test_the_examples_in_docstrings_hold(module):
    results = doctest.testmod(importlib.import_module(f"lamphouse.units.{module}"))
    assert results.failed == 0


def test_there_are_examples_to_hold():
    finder = doctest.DocTestFinder()
    found = [
        case
        for module in MODULES
        for case in finder.find(importlib.import_module(f"lamphouse.units.{module}"))
        if case.examples
    ]
    assert len(found) >= 8
