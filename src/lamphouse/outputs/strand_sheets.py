"""The sheets of strands as data for the typesetter: cut list, threading, bundles, mix-up check."""

from collections.abc import Iterator
from typing import Any

from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import Head
from lamphouse.drawings.bundle_view import bundle_view
from lamphouse.drawings.drawing import Drawing
from lamphouse.drawings.glow_check import glow_check
from lamphouse.fibres.bundle import Bundle
from lamphouse.fibres.runs import FERRULE_MM, TRIM_MM
from lamphouse.fibres.strand_table import StrandRow
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan
from lamphouse.plan.stranded import COLLAR_MM
from lamphouse.units import Quantity, show

_CUTTING = (
    "Set the jig's stop, cut its strands square with a fresh blade, flag both ends, then the next.",
    "Melt mushroom heads near, not on, a hot iron, before threading: they hold the strand.",
    "Glue with white glue or clear water-based glue; cyanoacrylate makes the fibre brittle.",
)
_THREADING = (
    "Thread in this order. Tick each strand when its flag is in the right bundle.",
    "Leave the strand straight for 5 mm behind its hole. Trim flush tips last, after the paint.",
)
_CHECK = (
    "Light one group alone: hold a torch to its bundle, or feed its LED through the resistor of "
    "the bench sheet. The full dots must glow and no other. Tick, then the next group. A dot that "
    "fails: pull that strand out of its bundle by its flag before anything is glued."
)
_PICTURE_MM = (84.0, 44.0)
_LARGE_MM = (172.0, 60.0)
_MANY = 12
"""Lit holes above this number get a picture across the page."""


def strands(plan: Plan) -> dict[str, Any] | None:
    """Give the cut list of the whole model; None where it has no strands."""
    if plan.strands is None or not plan.strands.rows:
        return None
    metres: dict[str, float] = {}
    for stop in plan.strands.stops:
        metres[stop.fibre] = metres.get(stop.fibre, 0.0) + len(stop.flags) * stop.cut_mm * 1e-3
    return {
        "steps": list(_CUTTING),
        "total": ", ".join(f"{length:.2f} m of {fibre}" for fibre, length in metres.items()),
        "stops": [
            (
                stop.name,
                stop.fibre,
                f"{stop.cut_mm:g} mm",
                str(len(stop.flags)),
                _shortly(stop.flags),
            )
            for stop in plan.strands.stops
        ],
    }


def _shortly(flags: tuple[str, ...]) -> str:
    return ", ".join(flags)


def threading(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Give the threading list and the bundles of a sub-assembly; None without strands."""
    own = [row for row in (plan.strands.rows if plan.strands else ()) if _is_in(row, sub)]
    bundles = [
        bundle
        for bundle in (plan.strands.bundles if plan.strands else ())
        if bundle.group.sub_assembly == sub.name
    ]
    if not own and not bundles:
        return None
    return {
        "name": sub.name,
        "steps": list(_THREADING),
        "rows": [_row(row) for row in sorted(own, key=lambda row: row.thread)],
        "bundles": [_bundle(bundle, plan=plan) for bundle in bundles],
    }


def _is_in(row: StrandRow, sub: SubAssembly) -> bool:
    return row.sub_assembly == sub.name


def _row(row: StrandRow) -> tuple[str, ...]:
    return (
        str(row.thread),
        row.flag,
        f"{row.panel}, hole {row.hole}" if row.hole is not None else row.panel,
        row.drill,
        row.fibre.removeprefix("fibre "),
        f"{row.stop}, {row.cut_mm:g} mm",
        row.group,
        row.pin,
        "; ".join(_notes(row)),
    )


def _notes(row: StrandRow) -> Iterator[str]:
    if row.head is not Head.FLUSH:
        yield str(row.head)
    if row.in_box:
        yield f"through {row.in_box}"
    if row.formed_mm is not None:
        yield f"form to {row.formed_mm:.0f} mm radius"


def _bundle(bundle: Bundle, *, plan: Plan) -> dict[str, Any]:
    led = bundle.group.source
    tips = [each.tip.luminance_cd_m2 for each in bundle.lit]
    candelas = [each.tip.intensity_cd for each in bundle.lit]
    seat = next(
        (
            seat
            for runs in (plan.strands.led if plan.strands else ())
            for seat in runs.seats
            if seat.group == bundle.group.name
        ),
        None,
    )
    ferrule = bundle.ferrule
    collar = bundle.collar
    facts = [
        ("LED", led.led_type.name if led else ""),
        ("bundle", f"{len(bundle.lit)} strands, {bundle.packing.bore_mm:.2f} mm across"),
        (
            "ferrule",
            f"{ferrule.name}, {ferrule.inside_mm:g} mm inside, {FERRULE_MM:g} mm long"
            if ferrule
            else "no tube fits",
        ),
        (
            "collar",
            f"{collar.name}, {COLLAR_MM:g} mm long; sleeve or paint fills "
            f"{collar.inside_mm - bundle.collar_over_mm:.2f} mm"
            if collar
            else "black heat-shrink over both",
        ),
        (
            "gap",
            f"{bundle.gap_mm:g} mm from the LED"
            + (f", behind {bundle.group.seat.diffuser.name}" if bundle.group.seat.diffuser else ""),
        ),
        ("light taken", f"{bundle.coupled:.0%} of the LED's"),
        ("tips", " to ".join(dict.fromkeys((_luminance(min(tips)), _luminance(max(tips)))))),
        ("each", f"{1e3 * sum(candelas) / len(candelas):.2g} mcd"),
    ]
    if seat:
        x, y = seat.spot_mm
        facts.append(("stands", f"{x:g} mm right, {y:g} mm up, mouth {seat.behind_mm:g} mm behind"))
    return {
        "name": bundle.group.name,
        "picture": _picture(bundle_view(bundle)),
        "facts": facts,
        "words": f"Seen from the LED. Let the ends stand out by {TRIM_MM:g} mm, glue, cut them off "
        "square, polish flat. "
        "Black the LED's sides: what leaves there glows through thin panels.",
    }


def _luminance(value_cd_m2: float) -> str:
    return show(value_cd_m2, Quantity.LUMINANCE, digits=2)


def mix_up(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Give the check against mixed-up strands; None without strands."""
    rows = [row for row in (plan.strands.rows if plan.strands else ()) if _is_in(row, sub)]
    if not rows:
        return None
    return {
        "name": sub.name,
        "words": _CHECK,
        "groups": [
            {
                "name": group,
                "words": f"{len(own)} holes glow; source {own[0].source}"
                + (f", {own[0].pin}" if own[0].pin else ""),
                "flags": [row.flag for row in own],
                "pictures": [
                    _shown(sub, panel=panel, group=group)
                    for panel in dict.fromkeys(row.panel for row in own)
                ],
            }
            for group in dict.fromkeys(row.group for row in rows)
            for own in ([row for row in rows if row.group == group],)
        ],
    }


def _shown(sub: SubAssembly, *, panel: str, group: str) -> dict[str, Any]:
    piece = next(each for each in sub.panels if each.name == panel)
    strands_ = sub.strands_of(panel)
    lit = sum(strand.group == group for strand in strands_)
    room = _LARGE_MM if lit > _MANY else _PICTURE_MM
    drawing = glow_check(piece, strands=strands_, group=group, room_mm=room)
    return {**_picture(drawing), "panel": panel}


def _picture(drawing: Drawing) -> dict[str, Any]:
    return {
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "name": drawing.name,
    }
