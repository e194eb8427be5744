"""Sheets and offcuts of the shared drawer as stock of a plan, and what is left of them when cut.

A sheet lies in the drawer as a part of its material and size, ``styrene 1.0 mm, 246 x 206 mm``;
one without a size is as large as that material is sold.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from math import floor

from lamphouse.build.buying import SHEETS, Held
from lamphouse.build.sheet_parts import sheet_of, sheet_part
from lamphouse.cutting.sheet_layout import LaidSheet
from lamphouse.design.whole import SheetInHand
from lamphouse.findings import Where
from lamphouse.plan.result import Plan
from lamphouse.plan.sheeted import sheeted
from lamphouse.record import replace
from lamphouse.storage.holding import Holding


def laid_with(plan: Plan, *, holdings: Sequence[Holding]) -> Plan:
    """Lay the pieces on the project's own stock and on what the drawer has free for it."""
    return sheeted(plan, more=tuple(_in_hand(plan, holdings=holdings)))


def kept_for(
    plan: Plan, *, holdings: Sequence[Holding], taken: Mapping[str, float]
) -> tuple[SheetInHand, ...]:
    """List the sheets of the drawer that are promised to the project, or taken for it already."""
    own = (
        replace(
            one,
            amount=dict(one.promises).get(plan.design.name, 0.0) + taken.get(one.part, 0.0),
            promises=(),
        )
        for one in holdings
    )
    return tuple(_in_hand(plan, holdings=tuple(own)))


def held_sheets(plan: Plan) -> dict[str, Held]:
    """Count the sheets a layout takes of the drawer, by material."""
    taken = Counter(one.sheet.name for one in _of_drawer(plan))
    return {name: Held(amount=count, unit=SHEETS) for name, count in taken.items()}


def wanted_sheets(plan: Plan, *, holdings: Sequence[Holding]) -> dict[str, int]:
    """Count the sheets a layout takes of the drawer, by part; ``holdings`` as it was laid with."""
    return taken_sheets(plan, more=tuple(_in_hand(plan, holdings=holdings)))


def taken_sheets(plan: Plan, *, more: Sequence[SheetInHand]) -> dict[str, int]:
    """Count the sheets a layout takes of those besides the project's own, by part."""
    own = len(plan.design.sheets)
    return dict(Counter(more[(one.stock or 0) - own - 1].where.item for one in _of_drawer(plan)))


def left_over(plan: Plan) -> dict[str, int]:
    """Count what is left of the sheets of a layout, as parts of whole millimetres."""
    layout = plan.layout
    return dict(
        Counter(
            sheet_part(
                sheet.sheet.name, width_mm=floor(one.width_mm), height_mm=floor(one.height_mm)
            )
            for sheet in (layout.sheets if layout else ())
            for one in sheet.offcuts
        )
    )


def _of_drawer(plan: Plan) -> Iterator[LaidSheet]:
    for sheet in plan.layout.sheets if plan.layout else ():
        if sheet.stock is not None and sheet.stock > len(plan.design.sheets):
            yield sheet


def _in_hand(plan: Plan, *, holdings: Sequence[Holding]) -> Iterator[SheetInHand]:
    used = {piece.sheet.name: piece.sheet for piece in plan.pieces()}
    for one in holdings:
        name, *size = sheet_of(one.part) or (one.part,)
        sheet = used.get(name)
        size = size or list((sheet and sheet.size_mm) or ())
        others = sum(amount for owner, amount in one.promises if owner != plan.design.name)
        count = floor(one.amount - others)
        if sheet and size and one.unit == "pieces" and count > 0:
            yield SheetInHand(
                where=Where(item=one.part),
                sheet=sheet,
                width_mm=size[0],
                height_mm=size[1],
                count=count,
            )
