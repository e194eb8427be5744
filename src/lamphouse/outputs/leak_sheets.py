"""The dark-room test card of a sub-assembly as data for the typesetter."""

from collections.abc import Iterator
from typing import Any

from lamphouse.design.place import SubAssembly
from lamphouse.light.leak_look import Leak, LeakKind
from lamphouse.light.leaks import BoxLeaks
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity, show

_STEPS = (
    "Switch on the LEDs of one box alone, at the current of the bench sheet. No other light.",
    "Wait a quarter of an hour in the dark; a red lamp to read by is allowed.",
    "Look from the viewing distance first, then from a hand's breadth; turn the part all round.",
    "Cover the openings with black card: their light hides what lies beside them.",
    "Mend with the lamp on. Paint black first, then white on the lit side. Look again, tick, next.",
)
_ORDER = (
    LeakKind.FACE,
    LeakKind.STRAND,
    LeakKind.SEAM,
    LeakKind.EXIT,
    LeakKind.ENTRY,
    LeakKind.WALLS,
)
"""Front to back, as the part is turned."""
_LEAST_TOLD_CD_M2 = 1e-6
"""About where the eye ends, with a large field and after an hour in the dark (from memory)."""


def dark_room(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Say what is to be seen in the dark; None without a box whose leaks are known."""
    boxes = [leaks for leaks in plan.leaks if leaks.glow.sub_assembly == sub.name]
    if not boxes:
        return None
    away = show(boxes[0].distance_mm, Quantity.LENGTH, digits=3)
    return {
        "name": sub.name,
        "words": f"Before anything is closed, in a room without light, from {away}. Predicted with "
        "typical paint and sheet: what you see is right, and the card is a list of where to look.",
        "steps": list(_STEPS),
        "boxes": [
            {
                "name": f"{leaks.glow.panel} / {leaks.box.name}",
                "words": _made(leaks),
                "rows": list(_rows(leaks)),
            }
            for leaks in boxes
        ],
    }


def _made(leaks: BoxLeaks) -> str:
    coats = (
        "coats not given"
        if leaks.box.coats is None
        else ", ".join(f"{one.count} x {one.coat.name}" for one in leaks.box.coats) or "no coat"
    )
    seams = f"joints {leaks.box.seams}" if leaks.box.seams else "joints not given"
    return f"{leaks.box.sheet.name}, {coats}, {seams}"


def _rows(leaks: BoxLeaks) -> Iterator[tuple[str, ...]]:
    closed = leaks.box.seams is not None and not any(
        leak.kind is LeakKind.SEAM for leak in leaks.leaks
    )
    for kind in _ORDER:
        for leak in leaks.leaks:
            if leak.kind is kind:
                yield _row(leak)
        if closed and kind in {LeakKind.SEAM, LeakKind.EXIT}:
            yield (str(kind), "nothing", f"{leaks.box.seams}", "")


def _row(leak: Leak) -> tuple[str, ...]:
    place = f"{leak.kind} {leak.item}".strip()
    seen = "nothing"
    if leak.is_seen:
        shape = "glow"
        if leak.kind is LeakKind.SEAM:
            shape = "line of light"
        elif leak.kind in {LeakKind.EXIT, LeakKind.STRAND, LeakKind.ENTRY}:
            shape = "point of light"
        seen = f"{shape}, in room light too" if leak.is_seen_in_room else shape
    return place, seen, _luminance(leak.luminance_cd_m2), _luminance(leak.least_seen_cd_m2)


def _luminance(value_cd_m2: float) -> str:
    told = show(max(value_cd_m2, _LEAST_TOLD_CD_M2), Quantity.LUMINANCE, digits=2)
    return told if value_cd_m2 >= _LEAST_TOLD_CD_M2 else f"under {told}"
