"""The sheets of one sub-assembly as data for the typesetter."""

import math
from collections.abc import Iterator, Sequence
from typing import Any

from lamphouse import units
from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.spread import StringSpread
from lamphouse.circuit.terminals import at_terminals
from lamphouse.cutting.piece import DrilledHole, Piece
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import Strand
from lamphouse.design.supply import Common
from lamphouse.drawings.paper import upright
from lamphouse.drawings.sketch import sketch
from lamphouse.outputs.front_sheets import counted, milliamps, standing_stops
from lamphouse.outputs.lists import INCH_MM
from lamphouse.outputs.reading_sheets import returns_of
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity

_PICTURES_MM = 88.0
"""Width for all pictures of a sub-assembly, beside its gate."""
_NOT_PICTURES_MM = 203.0
"""Height that everything else on a full bench sheet takes."""
_TALL_PAPER_MM = 290.0
"""On shorter paper the tables of a bench sheet stand closer."""
_CAPTION_MM = 11.0
_LEAST_PICTURE_MM = 18.0
_TALLEST_PICTURE_MM = 66.0
_IN_ONE_COLUMN = 3


def bench(plan: Plan, sub: SubAssembly, *, circuit: SubAssemblyCircuit | None) -> dict[str, Any]:
    """Say on one sheet what a sub-assembly is made of and what it must read before it is closed."""
    stops = standing_stops(plan.findings, within=sub.name)
    strings = circuit.strings if circuit else ()
    spreads = {
        one.string: one
        for spread in plan.spreads
        if spread.sub_assembly == sub.name
        for one in spread.strings
    }
    return {
        "name": sub.name,
        "words": _made_of(sub),
        "alarm": f"{counted(stops, 'stop')} here to mend first: see Findings." if stops else "",
        "tight": upright(plan.design.paper).height_mm < _TALL_PAPER_MM,
        "across": _across(sub),
        "pictures": [_picture(panel, sub, paper=plan.design.paper) for panel in sub.panels],
        "gate": _gate(
            circuit,
            supply_V=at_terminals(plan.design.supply, subs=(sub,)).voltage_V,
            common=plan.design.habits.common,
            together=returns_of(plan, sub),
        )
        if circuit
        else None,
        "leads": list(_leads(sub, circuit)),
        "topology": _topology(circuit),
        "strings": [_string(string, spreads.get(string.name)) for string in strings],
        "leds": list(_leds(sub, strings)),
        "strands": list(_strands(sub)),
    }


def drills(sub: SubAssembly, pieces: Sequence[Piece]) -> dict[str, Any]:
    """Chart the holes of a sub-assembly's pieces."""
    return {
        "name": sub.name,
        "words": "Places are measured from the datum marked on the template, if nothing else the "
        "lower left corner of the face named. Drill from that face, pilot first, slowly. Tick each "
        "hole.",
        "charts": [_chart(piece) for piece in pieces],
    }


def _made_of(sub: SubAssembly) -> str:
    counts = (
        (len(sub.panels), "panel", ""),
        (len(sub.boxes), "light box", "light boxes"),
        (len(sub.leds()), "LED", ""),
        (len(sub.strands), "strand", ""),
    )
    return ", ".join(counted(*count) for count in counts if count[0]) + "."


def _across(sub: SubAssembly) -> int:
    """Give the number of pictures side by side."""
    return 1 if len(sub.panels) <= _IN_ONE_COLUMN else 2


def _picture(panel: Panel, sub: SubAssembly, *, paper: str) -> dict[str, Any]:
    across = _across(sub)
    rows = math.ceil(len(sub.panels) / across)
    share_mm = (upright(paper).height_mm - _NOT_PICTURES_MM) / rows - _CAPTION_MM
    height_mm = min(max(_LEAST_PICTURE_MM, share_mm), _TALLEST_PICTURE_MM)
    drawing = sketch(
        panel,
        boxes=[box for behind, box in sub.boxes if behind == panel.name],
        strands=[strand for behind, strand in sub.strands if behind == panel.name],
        room_mm=(_PICTURES_MM / across, height_mm),
    )
    return {
        "name": panel.name,
        "words": f"{panel.outline.words}, {panel.sheet.name}; not to scale",
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
    }


def _gate(
    circuit: SubAssemblyCircuit, *, supply_V: float, common: Common, together: str
) -> dict[str, str]:
    nominal, band = milliamps(circuit.total_A)
    voltage = units.show(supply_V, Quantity.VOLTAGE)
    lead = "plus" if common is Common.POSITIVE else "minus"
    return {
        "how": f"Put a meter into the {lead} lead of the pigtail and feed {voltage}"
        f"{f', {together}' if together else ''}. It reads",
        "nominal": nominal,
        "range": f"{band} at the extremes",
        "outside": "Less: a string is open, or an LED is the wrong way round. More: a short, or a "
        "resistor too small. Do not close it until it reads within the band.",
    }


def _leads(sub: SubAssembly, circuit: SubAssemblyCircuit | None) -> Iterator[tuple[str, str]]:
    if sub.pigtail:
        yield "plug", sub.pigtail.plug.name
        length = units.show(sub.pigtail.length_mm, Quantity.LENGTH)
        yield "pigtail", f"{sub.pigtail.wire.name}, {length}"
    if circuit:
        drop = units.show(circuit.lead_drop_V, Quantity.VOLTAGE, digits=2)
        yield "lost on the way", f"{drop} from the supply and back"
    if sub.board:
        size = sub.board.space_mm
        room = f", room {size[0]:g} × {size[1]:g} mm" if size else ""  # noqa: RUF001 - a times sign
        yield "board", f"{sub.board.kind}{room}"
    if sub.stand:
        place = f"x {sub.stand.x_mm:g}, y {sub.stand.y_mm:g}, up {sub.stand.up_mm:g} mm"
        yield "stands at", f"{place}, turned {sub.stand.turn_deg:g}°"


def _topology(circuit: SubAssemblyCircuit | None) -> str:
    """Say how the LEDs are put together, and what to do with knobs."""
    if circuit is None or not circuit.topology:
        return ""
    words = f"{circuit.topology[0].upper()}{circuit.topology[1:]}."
    if any(string.knob for string in circuit.strings):
        words += (
            " Turn each knob until the light is right; pull the plug, measure across the knob, and "
            "write resistor and reading together as the string's resistor."
        )
    return words


def _measured(string: StringDesign) -> str:
    """Say what a resistor measures, where that is known."""
    if string.measured_ohm is None:
        return ""
    return f"measured {units.show(string.measured_ohm, Quantity.RESISTANCE, digits=3)}"


def _string(string: StringDesign, spread: StringSpread | None) -> dict[str, Any]:
    nominal, band = milliamps(string.current_A)
    bands = list(string.resistor_colour_bands)
    marking = " ".join(bands) or (f"code {string.resistor_code}" if string.resistor_code else "")
    if string.knob:
        track, at = (
            units.show(ohm, Quantity.RESISTANCE, digits=2)
            for ohm in (string.knob.track_ohm, string.knob.set_ohm)
        )
        marking += f"\nknob {track} at {at}"
    return {
        "name": string.name,
        "leds": " → ".join(led.name for led in string.leds),
        "value": units.show(string.resistor_ohm, Quantity.RESISTANCE),
        "bands": bands,
        "marking": "\n".join(
            part
            for part in (
                marking,
                units.both_codes(string.resistor_package.name),
                _measured(string),
            )
            if part
        ),
        "nominal": nominal,
        "range": band,
        "light": _light(spread) if spread else "",
    }


def _light(spread: StringSpread) -> str:
    """Say the light of an LED in nine builds of ten, against the wanted one."""
    return f"{100.0 * spread.light.low:.0f} to {100.0 * spread.light.high:.0f} %"


def _leds(sub: SubAssembly, strings: Sequence[StringDesign]) -> Iterator[dict[str, str]]:
    in_string = {led.name: string.name for string in strings for led in string.leds}
    placed: list[tuple[str, Led]] = [(box.name, led) for _, box in sub.boxes for led in box.leds]
    placed += [("source" if led.group else "lamp", led) for led in sub.lamps]
    for place, led in placed:
        yield {
            "name": led.name,
            "kind": led.led_type.name,
            "place": f"{place}, tilted {led.tilt_deg:g}°" if led.tilt_deg else place,
            "string": in_string.get(led.name, ""),
        }


def _strands(sub: SubAssembly) -> Iterator[tuple[str, str, str, str, str]]:
    groups: dict[tuple[str, str, str], list[Strand]] = {}
    for panel, strand in sub.strands:
        groups.setdefault((panel, strand.fibre.name, strand.group), []).append(strand)
    for (panel, fibre, group), strands in groups.items():
        first, last = strands[0].name, strands[-1].name
        flags = first if len(strands) == 1 else f"{first} to {last}"
        yield flags, panel, str(len(strands)), fibre, group


def _chart(piece: Piece) -> dict[str, Any]:
    sizes: dict[str, int] = {}
    for hole in piece.holes:
        sizes[hole.drill.name] = sizes.get(hole.drill.name, 0) + 1
    with_drills = ", ".join(f"{count} with {name}" for name, count in sizes.items())
    cut = f", {counted(piece.count, 'piece')}" if piece.count > 1 else ""
    return {
        "name": piece.name,
        "words": f"{piece.sheet.name}, {piece.face}{cut}: {with_drills}.",
        "rows": [_hole(hole) for hole in piece.holes],
    }


def _hole(hole: DrilledHole) -> tuple[str, ...]:
    return (
        str(hole.number),
        hole.purpose,
        f"{hole.x_mm:.2f}",
        f"{hole.y_mm:.2f}",
        hole.drill.name,
        f"{hole.drill.diameter_mm:.3f}",
        f"{hole.drill.diameter_mm / INCH_MM:.4f}",
        hole.twin.name if hole.twin else "",
        hole.pilot.name if hole.pilot else "",
    )
