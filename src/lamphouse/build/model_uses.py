"""What a model is built from: every use of a part, read off its pieces, circuits and loom."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from math import dist, prod

from lamphouse import units
from lamphouse.build.paint_uses import paint_uses, tint_ml
from lamphouse.build.part_use import MELTS, Use
from lamphouse.catalogue.film_types import FILM
from lamphouse.catalogue.protection import FuseType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.loom_runs import Loom, Socket
from lamphouse.circuit.wire_colours import WORDS
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_pieces import bars_of
from lamphouse.cutting.wedges import held_by
from lamphouse.design.lightbox import Build
from lamphouse.design.panel import Layer, LayerKind, Opening, Outline
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Supply, SupplyKind
from lamphouse.design.whole import Design
from lamphouse.shapes.measure import bounds_mm
from lamphouse.units import Quantity

FILM_MARGIN_MM = 3.0
"""Film laid over an opening reaches this far past it on every side [PRACTICE]."""
SLEEVE_MM = 15.0
"""Shrink sleeve over a soldered joint [PRACTICE]."""


def model_uses(
    design: Design,
    *,
    pieces: Sequence[Piece],
    circuits: Sequence[SubAssemblyCircuit],
    loom: Loom | None,
) -> Iterator[Use]:
    """List every use of a part, in the order of the file within each kind of use."""
    sockets = {socket.sub_assembly: socket for socket in loom.sockets} if loom else {}
    yield from _sheet_and_drills(pieces)
    for sub in design.sub_assemblies:
        yield from _of_sub_assembly(sub)
        yield from paint_uses(sub)
    for sub in design.sub_assemblies:
        yield from _fixings(sub)
    for sub in design.sub_assemblies:
        yield from _of_pigtail(sub, sockets.get(sub.name))
    if loom:
        yield from _of_loom(loom)
    yield from _of_supply(design.supply)
    for circuit in circuits:
        yield from _resistors(circuit)


def _sheet_and_drills(pieces: Iterable[Piece]) -> Iterator[Use]:
    for piece in pieces:
        yield Use(
            kind="film" if piece.sheet.material == FILM else "sheet",
            part=piece.sheet.name,
            amount=piece.count * _box_cm2(piece.outline),
            unit="cm2",
            used_in=piece.sub_assembly,
            note="rectangles around the pieces, before laying them out",
        )
    drills = {
        (drill.name, piece.sub_assembly)
        for piece in pieces
        for hole in piece.holes
        for drill in (hole.drill, hole.pilot)
        if drill
    }
    counted: set[str] = set()
    for name, sub_assembly in sorted(drills):
        yield Use(
            kind="drill",
            part=f"drill {name}",
            amount=0 if name in counted else 1,
            unit="pieces",
            used_in=sub_assembly,
        )
        counted.add(name)


def _of_sub_assembly(sub: SubAssembly) -> Iterator[Use]:
    for led in sub.leds():
        white = led.led_type.cct_K is not None
        yield Use(
            kind="led",
            part=led.led_type.name,
            amount=1,
            unit="pieces",
            used_in=sub.name,
            note=units.both_codes(led.led_type.package)
            + ("; one batch, bought together" if white else ""),
        )
    held = Counter(
        (led.led_type, held_by(led)) for _, box in sub.boxes for led in box.leds if led.tilt_deg
    )
    for (led_type, by), count in held.items():
        yield Use(
            kind="led",
            part=led_type.name,
            amount=0,
            unit="pieces",
            used_in=sub.name,
            note=f"{count} tilted by {by}",
        )
    for panel in sub.panels:
        for opening in panel.openings:
            for layer in opening.layers:
                yield _layer(layer, opening=opening, used_in=sub.name)
    for panel_name, box in sub.boxes:
        strands = [strand for behind, strand in sub.strands if behind == panel_name]
        for bar in bars_of(box, strands=strands):
            yield Use(
                kind="bar",
                part=bar.words,
                amount=bar.length_mm / 1000,
                unit="m",
                used_in=sub.name,
                note="pillars of light boxes, cut square",
            )
        for passage in box.passages:
            if passage.film:
                sides = dist(passage.start_mm, passage.end_mm), passage.high_mm - passage.low_mm
                yield Use(
                    kind="film",
                    part=passage.film.name,
                    amount=prod(side + 2 * FILM_MARGIN_MM for side in sides) / 100,
                    unit="cm2",
                    used_in=sub.name,
                    note=f"{FILM_MARGIN_MM:g} mm over on every side",
                )
    if sub.board:
        size = sub.board.space_mm
        room = f" {size[0]:g} x {size[1]:g} mm" if size else ""
        yield Use(
            kind="board",
            part=f"{sub.board.kind} board{room}",
            amount=1,
            unit="pieces",
            used_in=sub.name,
        )


def _layer(layer: Layer, *, opening: Opening, used_in: str) -> Use:
    """Give the film of a layer with its margin, or the paint of a coat."""
    if layer.kind is LayerKind.TINT:
        amount = tint_ml(opening.outline, coats=layer.count)
        return Use(kind="paint", part=layer.film.name, amount=amount, unit="ml", used_in=used_in)
    return Use(
        kind="film",
        part=layer.film.name,
        amount=layer.count * _box_cm2(opening.outline, margin_mm=FILM_MARGIN_MM),
        unit="cm2",
        used_in=used_in,
        note=f"{FILM_MARGIN_MM:g} mm over on every side",
    )


def _fixings(sub: SubAssembly) -> Iterator[Use]:
    """Count the screws and magnets that hold light boxes closed; magnets pull in pairs."""
    for _, box in sub.boxes:
        fixing = box.fixing
        if fixing is None or box.build is not Build.PIECES:
            continue
        if fixing.magnet_mm:
            across, high = fixing.magnet_mm
            part, kind, each = f"disc magnet {across:g} x {high:g} mm", "magnet", 2
        else:
            part, kind, each = f"screw {fixing.screw}", "screw", 1
        yield Use(kind=kind, part=part, amount=each * fixing.count, unit="pieces", used_in=sub.name)


def _of_pigtail(sub: SubAssembly, socket: Socket | None) -> Iterator[Use]:
    if sub.pigtail is None:
        return
    yield Use(
        kind="plug",
        part=sub.pigtail.plug.name,
        amount=1,
        unit="pieces",
        used_in=sub.name,
        note="with its other half",
    )
    wire, length_m = sub.pigtail.wire.name, sub.pigtail.length_mm / 1000
    if socket is None:
        note = "pigtails, out and back"
        yield Use(
            kind="wire", part=wire, amount=2 * length_m, unit="m", used_in=sub.name, note=note
        )
        return
    for pin in socket.pins:
        yield Use(
            kind="wire",
            part=f"{wire}, {WORDS[pin.colour]}",
            amount=length_m,
            unit="m",
            used_in=sub.name,
            note="pigtails",
        )


def _of_loom(loom: Loom) -> Iterator[Use]:
    for run in loom.runs:
        yield Use(
            kind="wire",
            part=f"{run.wire.name}, {WORDS[run.colour]}",
            amount=run.length_mm / 1000,
            unit="m",
            used_in="loom",
            note="loom",
        )
    for feed in loom.feeds:
        yield from _fuse(feed.fuse_type, rating_A=feed.fuse_A, used_in="loom")
        width, height = feed.splitter.size_mm
        yield Use(
            kind="board",
            part=f"splitter board {width:.0f} x {height:.0f} mm",
            amount=1,
            unit="pieces",
            used_in="loom",
        )
    yield Use(
        kind="sleeve",
        part="shrink sleeve",
        amount=2 * len(loom.runs) * SLEEVE_MM / 1000,
        unit="m",
        used_in="loom",
        note=f"{SLEEVE_MM:g} mm over each end of a run; slip it on before soldering",
    )


def _of_supply(supply: Supply) -> Iterator[Use]:
    """Give the supply itself, and what stands between it and the loom."""
    if supply.kind in (SupplyKind.PLUG_IN, SupplyKind.POWER_BANK):
        voltage = units.show(supply.voltage_V, Quantity.VOLTAGE)
        current = units.show(supply.max_current_A, Quantity.CURRENT)
        yield Use(
            kind="supply",
            part=f"{supply.kind} {voltage}, {current}",
            amount=1,
            unit="pieces",
            used_in="supply",
            note="bought ready made, approved where you live",
        )
    if supply.cells:
        yield Use(
            kind="cell",
            part=supply.cells.cell.name,
            amount=supply.cells.series * supply.cells.parallel,
            unit="pieces",
            used_in="supply",
            note="all of one batch, and a holder",
        )
    yield from _fuse(supply.fuse_type, rating_A=supply.fuse_A, used_in="supply")
    if supply.protector:
        yield Use(
            kind="fuse",
            part=supply.protector.name,
            amount=1,
            unit="pieces",
            used_in="supply",
            note="in the plus lead, against reversal",
        )


def _fuse(fuse: FuseType | None, *, rating_A: float | None, used_in: str) -> Iterator[Use]:
    """Give a fuse by its name, or by its rating where the maker names none."""
    if fuse is None and rating_A is None:
        return
    part = fuse.name if fuse else f"fuse {units.show(rating_A or 0.0, Quantity.CURRENT)}"
    note = "" if fuse and fuse.construction == "resettable" else MELTS
    yield Use(kind="fuse", part=part, amount=1, unit="pieces", used_in=used_in, note=note)


def _resistors(circuit: SubAssemblyCircuit) -> Iterator[Use]:
    for string in circuit.strings:
        yield Use(
            kind="resistor",
            part=f"resistor {units.show(string.resistor_ohm, Quantity.RESISTANCE)}",
            amount=1,
            unit="pieces",
            used_in=circuit.sub_assembly,
            note=units.both_codes(string.resistor_package.name),
            rank=string.resistor_ohm,
        )
        if string.knob:
            yield Use(
                kind="knob",
                part=f"trim knob {units.show(string.knob.track_ohm, Quantity.RESISTANCE)}",
                amount=1,
                unit="pieces",
                used_in=circuit.sub_assembly,
                note="goes back into the drawer when its reading has become a resistor",
                rank=string.knob.track_ohm,
            )


def _box_cm2(outline: Outline, *, margin_mm: float = 0.0) -> float:
    """Area of the rectangle around an outline with its margin."""
    left, bottom, right, top = bounds_mm(outline.corners)
    return (right - left + 2 * margin_mm) * (top - bottom + 2 * margin_mm) / 100
