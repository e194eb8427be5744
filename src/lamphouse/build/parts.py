"""The parts list, counted from the pieces, strands and circuits of a model."""

import math
from collections import Counter, defaultdict
from collections.abc import Sequence

from lamphouse.build.model_uses import model_uses
from lamphouse.build.part_use import KINDS, MELTS, Use
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.loom_runs import Loom
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.design.whole import Design
from lamphouse.record import Record, replace

SPARE_SHARE = 0.10
"""Spare LEDs and resistors, at least one of each [PRACTICE]."""


class PartLine(Record):
    """One line of the parts list."""

    part: str
    kind: str
    """One of ``part_use.KINDS``."""
    need: float
    unit: str
    """``pieces``, ``sheets``, ``strands``, ``m``, ``cm2`` or ``ml``."""
    spares: float
    have: float
    """What the project's drawer and stock hold, in the same unit."""
    used_in: tuple[str, ...]
    """Sub-assemblies, in the order of the file."""
    note: str


def parts_list(
    design: Design,
    *,
    pieces: Sequence[Piece],
    circuits: Sequence[SubAssemblyCircuit],
    loom: Loom | None = None,
    further: Sequence[Use] = (),
) -> tuple[PartLine, ...]:
    """Count what the model needs.

    Sheet is counted by the rectangles around its pieces, before they are laid on a sheet. Wire is
    that of the pigtails and of the loom; where a loom is laid it is counted by colour. What joins
    LEDs to their board is not in it.

    Parameters
    ----------
    further
        What controllers are built from, and what strands want.
    """
    uses = [
        *model_uses(design, pieces=pieces, circuits=circuits, loom=loom),
        *further,
    ]
    grouped: dict[tuple[str, str, str], list[Use]] = defaultdict(list)
    for use in uses:
        grouped[use.kind, use.part, use.unit].append(use)
    have = _in_hand(design)
    ordered = sorted(
        grouped.values(),
        key=lambda uses: (KINDS.index(uses[0].kind), uses[0].rank, uses[0].part),
    )
    return tuple(_line(uses, have=have.get(uses[0].part, 0.0)) for uses in ordered)


def with_sheets(parts: Sequence[PartLine], *, layout: SheetLayout) -> tuple[PartLine, ...]:
    """Count the sheets of a layout in place of the rectangles around its pieces.

    What one has of a sheet is then as many of its sheets as the layout uses.
    """
    buy = layout.to_buy()
    used = Counter(one.sheet.name for one in layout.sheets)
    return tuple(
        replace(
            line,
            need=used[line.part],
            unit="sheets",
            have=used[line.part] - buy.get(line.part, 0),
            note="as laid on the pages of the sheets",
        )
        if line.kind == "sheet" and used[line.part]
        else line
        for line in parts
    )


def _line(uses: Sequence[Use], *, have: float) -> PartLine:
    need = sum(use.amount for use in uses)
    spared = uses[0].kind in {"led", "resistor"} or uses[0].note == MELTS
    return PartLine(
        part=uses[0].part,
        kind=uses[0].kind,
        need=need,
        unit=uses[0].unit,
        spares=max(1, math.ceil(need * SPARE_SHARE)) if spared else 0,
        have=have,
        used_in=tuple(dict.fromkeys(use.used_in for use in uses)),
        note="; ".join(dict.fromkeys(use.note for use in uses if use.note)),
    )


def _in_hand(design: Design) -> dict[str, float]:
    have: dict[str, float] = defaultdict(float)
    for part in design.drawer:
        have[part.part] += part.count
    for sheet in design.sheets:
        have[sheet.sheet.name] += sheet.count * sheet.width_mm * sheet.height_mm / 100
    return dict(have)
