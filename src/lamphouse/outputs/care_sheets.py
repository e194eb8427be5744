"""Papers for the next owner: label, care sheet, plug map, spares bag, programs in full."""

import math
from collections.abc import Iterator
from typing import Any

from lamphouse import units
from lamphouse.circuit.phrases import hours
from lamphouse.design.care import Care
from lamphouse.design.pattern import PatternKind
from lamphouse.design.supply import SupplyKind, Way
from lamphouse.design.whole import Design
from lamphouse.outputs.cautions import Caution
from lamphouse.outputs.feed_lines import feed_of, time_band
from lamphouse.outputs.front_sheets import counted, milliamps
from lamphouse.outputs.gate_cards import pin_words, socket_of
from lamphouse.outputs.program_files import program_files
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity

MOST_LINES = 3000
"""Of a longer program the file alone is named."""
_BUILD_ONLY = frozenset(
    {
        "Hot iron and its fumes",
        "Blades, drills and dust",
        "Hot water and warm sheet",
        "3D printing",
        "Solvents and paint",
    }
)
"""Cautions for who builds, not for who keeps the model; whoever mends it has the whole pack."""
_CLEANING = (
    "Dust with a soft dry brush, from the top down, lights off.",
    "No water, no spray, no solvent: printed film, clear paint and fibre ends take harm.",
    "Clear screens: a dry lens cloth, no pressing; film behind them marks.",
    "Keep it out of the sun and away from heaters: colours fade, plastic softens and creeps.",
    "Carry it by the baseboard, never by walls or roof. Unplug first.",
)
"""Common practice, no source."""
_NEVER = (
    "Do not feed it from anything but the supply named here, and never from the mains.",
    "Do not pull at wires: take each plug by its body. No plug is to be forced.",
    "Do not put in another LED or resistor than one of the spares bag: the light will not match.",
    "Do not bridge a fuse. When one opens, find out why first: the fault sheets tell how.",
)


def label(plan: Plan) -> dict[str, Any] | None:
    """Give the words of the label for the underside; None where nothing electrical is known."""
    if plan.load is None:
        return None
    design, care = plan.design, plan.design.care
    voltage = units.show(design.supply.voltage_V, Quantity.VOLTAGE)
    built = [care.built_by, design.day.isoformat() if design.day else ""]
    lines = [
        ("supply", f"{voltage} d.c., {design.supply.kind}"),
        ("takes", f"at most {units.show(_two(plan.load.total_A.high), Quantity.CURRENT)}"),
        ("fuse", feed_of(plan).fuse or "none"),
        ("polarity", _polarity(design)),
        ("built", ", ".join(part for part in built if part) or "________________"),
        ("spares", care.spares_in or "________________"),
    ]
    return {
        "project": design.name,
        "scale": f"1:{design.scale:g}",
        "revision": design.revision,
        "lines": lines,
        "warning": "Extra-low voltage only. Never connect to the mains.",
    }


def care(plan: Plan, *, cautions: tuple[Caution, ...]) -> dict[str, Any]:
    """Say on one page, in plain words, how the model is kept."""
    design = plan.design
    return {
        "project": design.name,
        "what": _what(plan),
        "power": list(_power(plan)),
        "hours": list(_hours(plan)),
        "cleaning": list(_CLEANING),
        "never": list(_NEVER),
        "cautions": [
            (caution.title, caution.words)
            for caution in cautions
            if caution.title not in _BUILD_ONLY
        ],
        "broken": "Something dark? Unplug and plug in once. Then look up the fault sheet of that "
        "sub-assembly: it begins with what you see, and names the reading to take."
        if any(sub.leds() for sub in design.sub_assemblies)
        else "",
        "contact": design.care.contact,
        "built_by": design.care.built_by,
    }


def plug_map(plan: Plan) -> dict[str, Any] | None:
    """Say which plug belongs to what, and what each of its pins is; None without pigtails."""
    circuits = {circuit.sub_assembly: circuit for circuit in plan.circuits}
    rows = []
    for sub in plan.design.sub_assemblies:
        if sub.pigtail is None:
            continue
        socket = socket_of(plan, sub.name)
        circuit = circuits.get(sub.name)
        takes, band = milliamps(circuit.total_A) if circuit else ("", "")
        rows.append(
            {
                "name": sub.name,
                "plug": sub.pigtail.plug.name,
                "where": f"hole {socket.hole}, feed {socket.feed}, "
                f"{socket.x_mm:.0f} mm right, {socket.y_mm:.0f} mm back"
                if socket
                else "",
                "pins": [" ".join(pin_words(pin)) for pin in socket.pins] if socket else [],
                "takes": takes,
                "band": band,
            }
        )
    if not rows:
        return None
    return {
        "words": "Measured from the front left corner of the room. Write beside each what it took "
        "when the model was finished: a plug that reads otherwise later has the fault.",
        "plugs": rows,
        "loom": plan.loom is not None,
    }


def spares(plan: Plan) -> dict[str, Any] | None:
    """List what goes into the spares bag; None where nothing is to be spared."""
    rows = list(_spares(plan))
    if not rows:
        return None
    where = plan.design.care.spares_in
    return {
        "words": "Put these into one bag with this page when the model is finished, from the same "
        "bags the model was built from" + (f"; kept: {where}." if where else "."),
        "rows": rows,
    }


def listing(plan: Plan) -> dict[str, Any] | None:
    """Print every program in full, with how it is loaded; None without any."""
    files = program_files(plan)
    if not files:
        return None
    return {
        "files": [
            {
                "name": f"{file.folder}/{file.name}",
                "controller": file.controller,
                "sha": file.sha256,
                "build": file.build.strip().splitlines(),
                "lines": file.text.rstrip("\n").split("\n")
                if file.text.count("\n") <= MOST_LINES
                else ["The program is too long to print; its file is in the pack."],
            }
            for file in files
        ]
    }


def _what(plan: Plan) -> str:
    subs = plan.design.sub_assemblies
    leds = sum(len(sub.leds()) for sub in subs)
    strands = sum(len(sub.strands) for sub in subs)
    plugs = sum(sub.pigtail is not None for sub in subs)
    parts = [counted(leds, "LED")]
    if strands:
        parts.append(counted(strands, "fibre"))
    if plugs:
        parts.append(f"{counted(plugs, 'part')} that unplug and lift out")
    return f"A model to 1:{plan.design.scale:g}, lit from inside: {', '.join(parts)}."


def _power(plan: Plan) -> Iterator[tuple[str, str]]:
    design, feed = plan.design, feed_of(plan)
    supply = design.supply
    yield "supply", f"{supply.kind}, {units.show(supply.voltage_V, Quantity.VOLTAGE)}"
    if plan.load:
        nominal, band = milliamps(plan.load.total_A)
        yield "takes with everything lit", f"{nominal} ({band})"
    yield "fuse", feed.fuse or "none in the model"
    yield "which way round", _polarity(design)
    if feed.cells:
        yield "cells", feed.cells
    if plan.run:
        yield "bright for", time_band(plan.run.bright_h)


def _polarity(design: Design) -> str:
    supply = design.supply
    guard = f"guarded by {supply.protector.name}" if supply.protector else "no guard inside"
    if supply.way is Way.KEYED and supply.kind is not SupplyKind.CELLS:
        return "the plug goes in one way only"
    return f"plus as marked on the plug; {guard}"


def _hours(plan: Plan) -> Iterator[str]:
    wishes: Care = plan.design.care
    if wishes.hours_a_day is not None and wishes.hours_a_year is not None:
        yield (
            f"Made to be lit {hours(wishes.hours_a_day)} a day, "
            f"{counted(wishes.days_a_year, 'day')} a year: {wishes.hours_a_year:.0f} h a year."
        )
    yield "Switch it off when nobody looks: LEDs and colours live by the hour."
    if plan.design.supply.kind in (SupplyKind.CELLS, SupplyKind.POWER_BANK):
        yield "Take cells out before it is put away; old ones leak."
    if any(group.pattern.kind is not PatternKind.STEADY for group in plan.design.groups):
        yield "Parts of it flash. Say so where people come in."


def _spares(plan: Plan) -> Iterator[tuple[str, str, str]]:
    """Give spares of the parts list, one of each plug and fuse, and fasteners that get lost."""
    programs = plan.controllers.programs if plan.controllers else ()
    programmed = {one.kind.name for one in programs}
    for line in plan.parts:
        if line.spares:
            batch = "of the same batch" if "one batch" in line.note else ""
            yield f"{line.spares:g}", line.part, line.note if line.kind == "resistor" else batch
        elif line.kind in {"plug", "screw", "magnet", "fuse"}:
            yield "1", line.part, ""
        elif line.kind == "fibre" and line.unit == "m":
            yield "0.5 m", line.part, "the longest offcut"
        elif line.kind == "controller" and line.part in programmed:
            yield "1", line.part, "with the program in it"


def _two(current_A: float) -> float:
    """Round a current up to two digits: a label says no less than the truth."""
    if current_A <= 0.0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(current_A)) - 1)
    return math.ceil(current_A / step - 1e-9) * step
