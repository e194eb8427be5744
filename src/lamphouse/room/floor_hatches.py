"""Hatches that let what hangs below a table through the floor, each tried."""

from collections.abc import Sequence
from math import ceil, floor

from lamphouse.design.panel import Outline
from lamphouse.design.surroundings import Hatch
from lamphouse.record import replace
from lamphouse.room.assembled import Assembled, prisms_bounds
from lamphouse.room.clear_mends import at_mm, in_mm
from lamphouse.room.prisms import FLOOR, Prism, PrismKind
from lamphouse.shapes.outline import rectangle

AROUND_MM = 3.0
"""Of air round what goes through a hatch [PRACTICE]."""


def hatch_under(assembled: Assembled, name: str, *, sources: Sequence[Prism]) -> str:
    """Say which hatch lets sources through the floor, in whole mm."""
    left, bottom, right, top = prisms_bounds(sources)
    wide = 2.0 * ceil((right - left) / 2.0 + AROUND_MM)
    deep = 2.0 * ceil((top - bottom) / 2.0 + AROUND_MM)
    x_mm, y_mm = floor((left + right) / 2.0 + 0.5), floor((bottom + top) / 2.0 + 0.5)
    words = f"rectangle {in_mm(wide).removesuffix(' mm')} x {in_mm(deep)}"
    outline = Outline(corners=rectangle(wide, height_mm=deep, x_mm=x_mm, y_mm=y_mm), words=words)
    around = assembled.surroundings
    hatch = Hatch(name="hatch", where=around.where, outline=outline)
    trial = Assembled(
        tuple(assembled.placed.values()),
        surroundings=replace(around, hatches=(*around.hatches, hatch)),
        room=assembled.room,
        floor=assembled.floor,
    )
    left_over = any(
        prism.kind is PrismKind.SOURCE and other.name == FLOOR
        for prism, other in trial.clashes(trial.own[name])
    )
    if left_over:
        return "stand it higher, or seat the sources nearer to its rear"
    return (
        f"cut a hatch: hatches: {{H: {{shape: {words}, at: {at_mm(x_mm, y_mm)}}}}}; this was tried"
    )
