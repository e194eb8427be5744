"""One page of each sub-assembly in big type: current, plug, looks and gates."""

from collections.abc import Iterator, Sequence
from typing import Any

from lamphouse import units
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.expected import BenchReadings, Expected, Gate
from lamphouse.circuit.loom_runs import Socket, SocketPin
from lamphouse.circuit.meter import ProbeKind
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.wire_colours import WORDS
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.drawings.sketch import sketch
from lamphouse.outputs.front_sheets import counted, milliamps
from lamphouse.outputs.glow_lines import colour_words, lines_of
from lamphouse.outputs.glow_picture import PanelPicture
from lamphouse.outputs.glow_views import panel_views
from lamphouse.outputs.reading_sheets import returns_of, shown
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity

MOST_PICTURES = 4
"""Of more lit panels the first are shown; the glow sheets have them all."""
MOST_LOOKS = 6
"""Of more lit openings the glow sheets have them all."""
MOST_PINS = 8
"""Of more pins the loom's sheet has them all."""
_ROOM_MM = {1: (176.0, 62.0), 2: (86.0, 58.0), 3: (57.0, 46.0), 4: (86.0, 29.0)}
"""Room for a picture by how many there are."""


def gate_card(
    plan: Plan, sub: SubAssembly, *, circuit: SubAssemblyCircuit | None
) -> dict[str, Any] | None:
    """Say on one page what a sub-assembly must show at each gate; None without anything lit."""
    if circuit is None:
        return None
    nominal, band = milliamps(circuit.total_A)
    supply_V = at_terminals(plan.design.supply, subs=(sub,)).voltage_V
    pictures = _pictures(plan, sub)
    return {
        "name": sub.name,
        "words": f"{counted(len(sub.leds()), 'LED')}, {counted(len(sub.strands), 'strand')}",
        "takes": nominal,
        "band": band,
        "volts": units.show(supply_V, Quantity.VOLTAGE),
        "plug": sub.pigtail.plug.name if sub.pigtail else "no plug",
        "pins": list(_pins(plan, sub)),
        "pictures": pictures,
        "across": {1: 1, 2: 2, 3: 3, 4: 2}.get(len(pictures), 1),
        "looks": list(_looks(plan, sub)),
        "gates": list(_gates(plan, sub, circuit=circuit)),
    }


def _pins(plan: Plan, sub: SubAssembly) -> Iterator[tuple[str, str, str]]:
    """Give the pins of the plug with their colours, as far as a loom is laid."""
    sockets = plan.loom.sockets if plan.loom else ()
    socket = next((one for one in sockets if one.sub_assembly == sub.name), None)
    if socket is None:
        return
    yield from (pin_words(pin) for pin in socket.pins[:MOST_PINS])
    if len(socket.pins) > MOST_PINS:
        yield "", "", f"{len(socket.pins) - MOST_PINS} more: see Loom"


def pin_words(pin: SocketPin) -> tuple[str, str, str]:
    """Give a pin with its wire's colour and what it is."""
    pole = "plus" if pin.positive else "minus"
    means = {"common": f"{pole}, common", "return": f"{pole}, steady"}.get(
        pin.means, f"{pole}, {pin.means}"
    )
    return str(pin.pin), WORDS[pin.colour], means


def socket_of(plan: Plan, name: str) -> Socket | None:
    """Find where a sub-assembly is plugged in."""
    sockets = plan.loom.sockets if plan.loom else ()
    return next((one for one in sockets if one.sub_assembly == name), None)


def _pictures(plan: Plan, sub: SubAssembly) -> list[dict[str, Any]]:
    """Picture lit panels as they glow, and draw the others with their holes."""
    glows = [glow for glow in plan.glows if glow.sub_assembly == sub.name]
    views = {view.panel.name: view for view in panel_views(plan, glows=glows)} if glows else {}
    panels = [panel for panel in sub.panels if panel.name in views]
    panels += [panel for panel in sub.panels if panel.name not in views and _is_lit(panel, sub)]
    shown_panels = panels[:MOST_PICTURES]
    room_mm = _ROOM_MM.get(len(shown_panels), _ROOM_MM[MOST_PICTURES])
    return [
        _picture(view.in_room or view.in_dark, panel.name, room_mm=room_mm)
        if (view := views.get(panel.name))
        else _drawn(panel, sub, room_mm=room_mm)
        for panel in shown_panels
    ]


def _is_lit(panel: Panel, sub: SubAssembly) -> bool:
    """Tell whether anything comes through a panel: strands, or light of lamps behind it."""
    strands = any(name == panel.name for name, _ in sub.strands)
    return strands or bool(panel.openings and sub.lamps)


def _picture(picture: PanelPicture, name: str, *, room_mm: tuple[float, float]) -> dict[str, Any]:
    share = min(room_mm[0] / picture.width_mm, room_mm[1] / picture.height_mm)
    light = f"at {picture.room_lx:g} lx" if picture.room_lx else "in the dark"
    return {
        "png": list(picture.png),
        "svg": "",
        "width": picture.width_mm * share,
        "height": picture.height_mm * share,
        "words": f"{name}, lit, {light}",
    }


def _drawn(panel: Panel, sub: SubAssembly, *, room_mm: tuple[float, float]) -> dict[str, Any]:
    drawing = sketch(
        panel,
        boxes=[box for behind, box in sub.boxes if behind == panel.name],
        strands=[strand for behind, strand in sub.strands if behind == panel.name],
        room_mm=room_mm,
    )
    return {
        "png": [],
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "words": f"{panel.name}, not to scale",
    }


def _looks(plan: Plan, sub: SubAssembly) -> Iterator[tuple[str, str]]:
    """Say how bright and of which colour each opening is when lit, and how many more there are."""
    glows = [glow for glow in plan.glows if glow.sub_assembly == sub.name]
    lines = lines_of(glows, findings=plan.findings)
    for line in lines[:MOST_LOOKS]:
        bright = f"{float(f'{line.mean_cd_m2.nominal:.2g}'):g} cd/m²"
        yield line.opening, ", ".join(part for part in (bright, colour_words(line.colour)) if part)
    if len(lines) > MOST_LOOKS:
        yield f"{len(lines) - MOST_LOOKS} more", "see the glow sheet"


def _gates(
    plan: Plan, sub: SubAssembly, *, circuit: SubAssemblyCircuit
) -> Iterator[tuple[str, str]]:
    """Give each gate with the one thing it must show."""
    lit = counted(len(sub.leds()), "LED")
    benches = plan.readings.sub_assemblies if plan.readings else ()
    bench = next((one for one in benches if one.sub_assembly == sub.name), None)
    takes = " ".join(milliamps(circuit.total_A)[:1])
    yield "Each LED, loose", f"{lit} light on the tester, red probe on the anode"
    yield "Board alone, no power", "open between the rails; every resistor as its bands say"
    lights = "; ".join(part for part in (returns_of(plan, sub), f"all {lit} lit") if part)
    yield "Joined, still open", f"{_current(bench, Gate.OPEN) or takes}; {lights}"
    if any(glow.sub_assembly == sub.name for glow in plan.glows):
        yield "In the dark", "no light but through the openings; looks as pictured"
    if sub.strands:
        ends = counted(len(sub.strands), "end")
        yield "Strands", f"{ends} lit, each with its own group and no other"
    yield "Closed", f"{_current(bench, Gate.CLOSED) or takes}, as before"
    yield "In the model", f"{_current(bench, Gate.IN_MODEL) or takes}, with everything lit"


def _current(bench: BenchReadings | None, gate: Gate) -> str:
    """Give what the plug takes at a gate, with its band."""
    readings: Sequence[Expected] = bench.at(gate) if bench else ()
    plug = next((one for one in readings if one.kind is ProbeKind.CURRENT), None)
    if plug is None:
        return ""
    _, nominal, band = shown(plug)
    return f"{nominal} ({band})"
