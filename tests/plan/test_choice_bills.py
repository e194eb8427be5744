"""What is to be bought for choices, against sums by hand and the parts lists of whole plans."""

from itertools import permutations
from math import ceil
from pathlib import Path

import pytest

from lamphouse.build.buying import shopping
from lamphouse.design.prices import PartPrice
from lamphouse.findings import Where
from lamphouse.plan.asking import asked
from lamphouse.plan.choice_bills import drawn_bill
from lamphouse.plan.make import plan
from lamphouse.plan.suggest import _desk, suggest
from lamphouse.plan.suggestion_ranking import ranked
from lamphouse.project.applying import applied
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures
from lamphouse.record import replace
from lamphouse.units import Quantity, show
from tolerances import EXACT

MENDED = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml").read_text(encoding="utf-8")
WHITE = "{part: white 0603, pack: 100, price: 6.00 EUR}"
"""The price of white LEDs in the file, which has 7: 4 in 'screen box' and 3 in 'plotting box'."""
E24 = (
    *(10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30),
    *(33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91),
)
"""IEC 60063, table of the E24 series."""


def read(text):
    return read_text(text, file="mended.yaml", own_pictures=demo_pictures("saltmarsh"))


def with_whites(count):
    """Give Saltmarsh with so many white LEDs in the drawer, sold in fives at 2.50 EUR."""
    held = "{part: white 0603, count: 20}"
    assert (MENDED.count(held), MENDED.count(WHITE)) == (1, 1)
    text = MENDED.replace(held, f"{{part: white 0603, count: {count}}}")
    return text.replace(WHITE, "{part: white 0603, pack: 5, price: 2.50 EUR}")


def choices_of(text, **words):
    reading = read(text)
    request = asked(reading.design, shelf=reading.shelf, box="plotting box", **words)
    return suggest(reading.design, request=request).choices


@pytest.mark.parametrize(
    ("held", "euro_cents"),
    [
        # As drawn 7 and 1 spare, all there; 2 LEDs leave one over, a fourth opens a pack of 2.50.
        (8, {2: 0, 3: 0, 4: 250}),
        # As drawn one is missing, so a pack is bought: 2 LEDs save it, a fourth comes out of it.
        (7, {2: -250, 3: 0, 4: 0}),
        # As drawn five are missing, a whole pack: a fourth LED opens the next.
        (3, {2: 0, 3: 0, 4: 250}),
    ],
)
def test_leds_cost_what_whole_packs_cost_beyond_the_drawer(held, euro_cents):
    found = {}
    for choice in choices_of(with_whites(held)):
        if "emulsion" not in choice.words and "deep" not in choice.words:
            found[len(choice.box.leds)] = dict(choice.to_buy.totals).get("EUR", 0)
    assert found == euro_cents


def test_a_box_without_leds_has_its_bill_too():
    text = with_whites(5)
    start = text.index("            leds:", text.index("          plotting box:"))
    end = text.index("\n", text.index("P: {type: white 0603"))
    bare = text[:start] + "            leds: {}" + text[end:]
    choices = choices_of(bare, led="white 0603")
    assert choices
    for choice in choices:
        # The 5 there are serve 'screen box' and its spare; each LED of this one is to be bought.
        assert choice.price is None
        assert dict(choice.to_buy.totals) == {"EUR": 250 * ceil(len(choice.box.leds) / 5)}


def test_parts_without_a_price_are_named_and_priced_ones_are_not():
    for choice in choices_of(MENDED):
        new = "'bright white emulsion'" in choice.words
        assert ("bright white emulsion" in choice.to_buy.unpriced) == new
        assert not {"white 0603", "warm white 0603", "opal film 60"} & set(choice.to_buy.unpriced)


def priced(design, parts):
    """Give a design with a price for LEDs, films, paints and resistors, but not for paper."""
    units = {line.part: line.unit for line in parts if line.kind in {"led", "film", "paint"}}
    units |= {"bright white emulsion": "ml"}
    ohms = (base * 10.0**decade for base in E24 for decade in range(5))
    units |= {f"resistor {show(ohm, Quantity.RESISTANCE)}": "pieces" for ohm in ohms}
    prices = (
        PartPrice(
            where=Where(item="test"),
            part=part,
            pack=3.0,
            unit=unit,
            hundredths=100 + number,
            currency="EUR",
        )
        for number, (part, unit) in enumerate(units.items())
    )
    return replace(design, prices=tuple(prices))


INSIDE = MENDED.replace(
    "            depth: 15 mm ",
    "            inner_diffuser: {film: opal film 60, height: 7 mm}\n            depth: 15 mm ",
).replace("{sheet: styrene 1.0 mm, size: ", "{sheet: styrene 2.0 mm, size: ")
"""With a film inside 'plotting box' that other boxes have as a layer, and no sheet for walls."""


@pytest.mark.parametrize(
    ("text", "box", "words"),
    [
        (MENDED, "tide box", {}),
        (MENDED, "tide box", {"look": "window glow", "thorough": True}),
        (INSIDE, "plotting box", {}),
    ],
    ids=["as the file says", "a dimmer look", "with a film inside"],
)
def test_a_choice_costs_what_the_parts_lists_before_and_after_differ_by(text, box, words):
    reading = read(text)
    before = plan(reading.design).parts
    design = priced(reading.design, before)
    drawn = shopping(before, prices=design.prices)
    had = {one.line.part: one.get for one in drawn.lines}
    request = asked(design, shelf=reading.shelf, box=box, **words)
    choices = suggest(design, request=request).choices
    assert choices
    for choice in choices:
        again = read(applied(text, request=request, choice=choice, reason="a trial"))
        bill = shopping(plan(again.design).parts, prices=design.prices)
        ((currency, total),), ((_, total_drawn),) = bill.totals, drawn.totals
        assert dict(choice.to_buy.totals).get(currency, 0) == total - total_drawn
        assert set(choice.to_buy.unpriced) == {
            one.line.part
            for one in bill.lines
            if one.hundredths is None
            and one.get > had.get(one.line.part, 0.0) + EXACT
            and one.line.kind not in {"sheet", "drill"}
        }


def test_the_holes_of_an_inner_diffuser_ask_for_no_drill():
    fibre = "{fibre: fibre 0.5 mm, at: [45 mm, 75 mm], group: beacon}"
    strand = f"        strands:\n          X: {fibre}\n"
    at = INSIDE.index("        masks:", INSIDE.index("plotting box:"))
    design = read(INSIDE[:at] + strand + INSIDE[at:]).design
    drills = {line.part for line in plan(design).parts if line.kind == "drill"}
    found = drawn_bill(design)
    assert drills
    assert [piece.sheet.name for piece in found.diffusers] == ["opal film 60"]
    assert not any(one.line.kind == "drill" for one in found.bill.lines)


@pytest.mark.parametrize("currency", ["EUR", "GBP"])
def test_of_equal_choices_the_cheapest_comes_first_where_money_compares(currency):
    # Two finishes that differ in name and price alone glow alike: one jar of either is bought.
    reading = read(MENDED)
    prices = tuple(
        PartPrice(
            where=Where(item="test"),
            part=part,
            pack=17.0,
            unit="ml",
            hundredths=hundredths,
            currency=paid_in,
        )
        for part, hundredths, paid_in in (
            ("plain paint", 200, "EUR"),
            ("fine paint", 900, currency),
        )
    )
    design = replace(reading.design, prices=prices)
    request = asked(design, shelf=reading.shelf, box="plotting box")
    first = suggest(design, request=request).choices[0]
    plain, fine, unpriced = (
        replace(first, box=replace(first.box, finish=replace(first.box.finish, name=name)))
        for name in ("plain paint", "fine paint", "rare paint")
    )
    desk = _desk(design, request=request)
    for given in permutations((plain, fine, unpriced)):
        found = [one.box.finish.name for one in ranked(given, desk=desk, drawn=None)]
        as_given = [one.box.finish.name for one in given if one is not unpriced]
        best = as_given if currency == "GBP" else ["plain paint", "fine paint"]
        assert found == [*best, "rare paint"]
