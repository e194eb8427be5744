"""The parts list as data for the typesetter: what to buy, in packs, with offcuts and rough cost."""

import math
from collections.abc import Iterator
from typing import Any

from lamphouse.build.buying import BuyLine, Shopping, money, shopping
from lamphouse.build.part_use import KINDS
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.outputs.front_sheets import counted
from lamphouse.plan.result import Plan

HEADINGS = {
    "sheet": "Sheet",
    "bar": "Rods and bars",
    "film": "Film",
    "paint": "Paint",
    "led": "LEDs",
    "resistor": "Resistors",
    "knob": "Trim knobs",
    "supply": "Supply",
    "cell": "Cells",
    "fuse": "Fuses and protection",
    "controller": "Controllers",
    "transistor": "Transistors and diodes",
    "capacitor": "Capacitors",
    "board": "Boards",
    "plug": "Plugs",
    "wire": "Wire",
    "sleeve": "Sleeves",
    "fibre": "Fibre",
    "tube": "Tube",
    "screw": "Screws",
    "magnet": "Magnets",
    "drill": "Drills",
}
"""Headings of the kinds of parts."""
_UNITS = {"pieces": "", "sheets": "sheets", "cm2": "cm²", "strands": "strands", "m": "m"}
_NOTHING = "–"  # noqa: RUF001 - a dash for nothing
_WORDS = (
    "For the whole model. What to get is need and spares less what you have. LEDs of one white "
    "come from one bag: buy them together, spares too. The leads that join LEDs to their board are "
    "not counted."
)
_PAINT_WORDS = (
    "Paint is what to have in the jar: two coats 0.1 mm wet, or as many as you named, and half as "
    "much again for brush and cup."
)
"""Common practice, no source."""


def parts(plan: Plan) -> dict[str, Any]:
    """List what the whole model needs, by kind."""
    bill = shopping(plan.parts, prices=plan.design.prices)
    groups = {kind: [line for line in bill.lines if line.line.kind == kind] for kind in KINDS}
    priced = any(line.hundredths is not None for line in bill.lines)
    return {
        "words": f"{_WORDS} {_PAINT_WORDS}" if groups["paint"] else _WORDS,
        "priced": priced,
        "groups": [
            {"name": HEADINGS[kind], "rows": [_part(line, priced=priced) for line in same]}
            for kind, same in groups.items()
            if same
        ],
        "offcuts": list(_offcuts(plan.layout)) if plan.layout else [],
        "cost": _cost(bill),
    }


def _part(bought: BuyLine, *, priced: bool) -> dict[str, str]:
    line = bought.line
    unit = _UNITS.get(line.unit, line.unit)
    cost = ""
    if priced:
        cost = money(bought.hundredths, bought.currency) if bought.hundredths else _NOTHING
    return {
        "part": line.part,
        "note": line.note,
        "need": _amount(line.need, unit),
        "spares": _amount(line.spares, ""),
        "have": _amount(line.have, unit),
        "get": _amount(bought.get, unit) + _packs(bought),
        "used": ", ".join(line.used_in),
        "cost": cost,
    }


def _packs(bought: BuyLine) -> str:
    if not bought.packs or bought.pack is None or (bought.pack == 1.0 and bought.packs < 2):
        return ""
    unit = _UNITS.get(bought.line.unit, bought.line.unit)
    return f"\n{bought.packs} × {bought.pack:g} {unit}".rstrip()  # noqa: RUF001 - a times sign


def _amount(value: float, unit: str) -> str:
    """Give an amount to buy by: areas and paint rounded up to the whole unit."""
    if not value:
        return _NOTHING
    shown = str(math.ceil(value)) if unit in ("cm²", "ml") else f"{value:.3g}"
    unit = unit.removesuffix("s") if value == 1.0 else unit
    return f"{shown} {unit}".strip()


def _offcuts(layout: SheetLayout) -> Iterator[tuple[str, str]]:
    """Say what stays whole of each sheet, for the stock list."""
    for sheet in layout.sheets:
        sizes = [f"{int(one.width_mm)} × {int(one.height_mm)}" for one in sheet.offcuts]  # noqa: RUF001
        if sizes:
            yield sheet.name, ", ".join(sizes) + " mm"


def _cost(bill: Shopping) -> str:
    """Say what it costs by the maker's own prices, and for how many parts nothing is said."""
    if not bill.totals:
        return ""
    sums = " and ".join(money(total, currency) for currency, total in bill.totals)
    rest = counted(bill.unpriced, "part")
    without = f"; {rest} to buy without a price in your list" if bill.unpriced else ""
    return f"Roughly {sums} by your own prices, whole packs{without}."
