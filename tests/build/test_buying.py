"""What to buy, against sums made by hand."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.build.buying import Held, beyond, shopping
from lamphouse.build.film_rows import FilmPiece, lay_in_rows
from lamphouse.build.paint_uses import paint_ml
from lamphouse.build.parts import PartLine
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.prices import PartPrice
from lamphouse.findings import Where
from lamphouse.plan import make
from lamphouse.project.read import read_text
from tolerances import EXACT

HERE = Where(item="test")


def line(part="white 0603", *, kind="led", need=7.0, unit="pieces", spares=1.0, have=0.0):
    return PartLine(
        part=part,
        kind=kind,
        need=need,
        unit=unit,
        spares=spares,
        have=have,
        used_in=("desk",),
        note="",
    )


def price(part="white 0603", *, pack=5.0, unit="pieces", hundredths=250, currency="EUR"):
    return PartPrice(
        where=HERE, part=part, pack=pack, unit=unit, hundredths=hundredths, currency=currency
    )


def only(bill):
    (one,) = bill.lines
    return one


def test_whole_packs_are_bought_and_what_is_over_is_told():
    # 7 and 1 spare less 1 at hand are 7: two packs of 5 at 2.50 are 5.00, and 3 are over.
    one = only(shopping([line(have=1.0)], prices=[price()]))
    assert (one.get, one.packs, one.over, one.hundredths) == (7.0, 2, 3.0, 500)


def test_what_is_at_hand_is_not_bought():
    one = only(shopping([line(have=8.0)], prices=[price()]))
    assert (one.get, one.packs, one.hundredths) == (0.0, 0, 0)


def test_a_part_without_a_price_has_no_cost_and_is_counted():
    bill = shopping([line()], prices=[])
    assert (only(bill).hundredths, bill.unpriced, bill.totals) == (None, 1, ())


def test_currencies_are_never_added():
    bill = shopping(
        [line(), line("green 3 mm")],
        prices=[price(), price("green 3 mm", pack=10, hundredths=99, currency="GBP")],
    )
    assert bill.totals == (("EUR", 500), ("GBP", 99))


def test_what_one_bill_has_beyond_another_is_told_by_currency_and_by_name():
    # 7 white ones and 1 spare are two packs of 5 at 2.50, 3 and theirs are one; 10 green ones and
    # 1 spare are two packs of 10 at 0.99, 9 and theirs are one; red ones have no price.
    def bill(white, green, red):
        names = {"white 0603": white, "green 3 mm": green, "red 3 mm": red}
        return shopping(
            [line(name, need=need) for name, need in names.items()],
            prices=[price(), price("green 3 mm", pack=10, hundredths=99, currency="GBP")],
        )

    drawn = bill(7.0, 9.0, 1.0)
    more = beyond(bill(3.0, 10.0, 2.0), drawn=drawn)
    assert (more.totals, more.unpriced) == ((("EUR", -250), ("GBP", 99)), ("red 3 mm",))
    less = beyond(bill(8.0, 9.0, 0.0), drawn=drawn)
    assert (less.totals, less.unpriced) == ((), ())
    assert beyond(shopping([line()]), drawn=shopping([])).unpriced == ("white 0603",)


def test_the_price_of_a_wire_serves_every_colour_unless_one_has_its_own():
    red, blue = (
        line(f"30 AWG insulated, {colour}", kind="wire", need=2.3, unit="m", spares=0.0)
        for colour in ("red", "blue")
    )
    prices = [
        price("30 AWG insulated", pack=10.0, unit="m", hundredths=300),
        price("30 AWG insulated, blue", pack=2.0, unit="m", hundredths=90),
    ]
    bill = shopping([red, blue], prices=prices)
    assert [(one.packs, one.hundredths) for one in bill.lines] == [(1, 300), (2, 180)]


def test_what_others_are_promised_is_left_to_them():
    held = {"white 0603": Held(amount=10.0, unit="pieces", promised=5.0)}
    one = only(shopping([line()], held=held))
    assert (one.drawer, one.promised, one.get) == (5.0, 5.0, 3.0)


def test_a_drawer_that_counts_otherwise_is_not_mixed_in():
    held = {"white 0603": Held(amount=10.0, unit="m")}
    assert only(shopping([line()], held=held)).get == 8.0


def test_metres_that_come_to_whole_packs_buy_no_pack_more():
    # 0.1 + 0.2 m in packs of 0.3 m are one pack, whatever the binary sum says.
    one = only(
        shopping(
            [line("wire", kind="wire", need=0.1 + 0.2, unit="m", spares=0.0)],
            prices=[price("wire", pack=0.3, unit="m")],
        )
    )
    assert one.packs == 1


def test_a_coat_is_its_area_times_its_thickness():
    # 100 cm2 under one coat 0.1 mm thick are 1 ml; half as much again is 1.5 ml.
    assert paint_ml(10_000.0, coats=1) == pytest.approx(1.5, rel=EXACT)


SIDES = st.floats(2.0, 90.0)


@settings(deadline=None, max_examples=200)
@given(
    pieces=st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=25),
    sheets=st.lists(st.tuples(st.floats(20, 200), st.floats(20, 200)), min_size=1, max_size=3),
    gap=st.floats(0.0, 4.0),
    edge=st.floats(0.0, 5.0),
)
def test_film_in_rows_neither_overlaps_nor_leaves_its_sheet(pieces, sheets, gap, edge):
    needed = [FilmPiece(where=HERE, name="f", width_mm=w, height_mm=h) for w, h in pieces]
    habits = CuttingHabits(where=HERE, gap_mm=gap, edge_mm=edge)
    laid, left = lay_in_rows(needed, sheets=sheets, habits=habits)
    assert len(laid) + len(left) == len(needed)
    sizes = sorted(tuple(sorted((one.width_mm, one.height_mm))) for one in (*laid, *left))
    assert sizes == sorted(tuple(sorted(piece)) for piece in pieces)
    for one in laid:
        width, height = sheets[one.sheet]
        assert min(one.x_mm, one.y_mm) >= edge - 1e-5
        assert one.x_mm + one.width_mm <= width - edge + 1e-5
        assert one.y_mm + one.height_mm <= height - edge + 1e-5
    for one, other in combinations(laid, 2):
        if one.sheet == other.sheet:
            apart = max(
                one.x_mm - other.x_mm - other.width_mm,
                other.x_mm - one.x_mm - one.width_mm,
                one.y_mm - other.y_mm - other.height_mm,
                other.y_mm - one.y_mm - one.height_mm,
            )
            assert apart >= gap - 1e-5


def findings(addition, sound):
    reading = read_text(sound + addition, file="p")
    return [one for one in make.plan(reading.design).findings if one.code == "PAR001"]


def test_the_sheets_of_the_message_are_enough(sound):
    # The screen takes 36 x 26 mm and 2 mm of edge all round: none of 30 x 20 mm, one of 41 x 31.
    small = "stock:\n  - {sheet: opal film 60, size: 30 x 20 mm}\n"
    (found,) = findings(small, sound)
    assert "at least" in found.remedy
    enough = "stock:\n  - {sheet: opal film 60, size: 41 x 31 mm}\n"
    assert findings(enough, sound) == []


def test_one_more_sheet_is_said_where_one_more_does(sound):
    both = sound.replace("layers: [opal film 60]", "layers: [{film: opal film 60, films: 2}]")
    one = "stock:\n  - {sheet: opal film 60, size: 41 x 31 mm}\n"
    (found,) = findings(one, both)
    assert "one more sheet of 41 x 31 mm" in found.remedy
    assert findings(one.replace("mm}", "mm, count: 2}"), both) == []
