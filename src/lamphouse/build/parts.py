"""The parts list, counted from the pieces, strands and circuits of a model."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import dist, prod

from lamphouse import units
from lamphouse.catalogue.film_types import FILM
from lamphouse.catalogue.protection import FuseType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.loom_runs import Loom, Socket
from lamphouse.circuit.wire_colours import WORDS
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.design.lightbox import Build
from lamphouse.design.panel import Outline
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Supply
from lamphouse.design.whole import Design
from lamphouse.shapes.measure import bounds_mm
from lamphouse.units import Quantity

SPARE_SHARE = 0.10
"""Spare LEDs and resistors, at least one of each [PRACTICE]."""
FILM_MARGIN_MM = 3.0
"""Film laid over an opening reaches this far past it on every side [PRACTICE]."""

MELTS = "melts once"
"""Said of a fuse of which a spare is wanted."""
SLEEVE_MM = 15.0
"""Shrink sleeve over a soldered joint [PRACTICE]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One line of the parts list."""

    part: str
    kind: str
    """``sheet``, ``film``, ``led``, ``resistor``, ``knob``, ``cell``, ``fuse``, ``controller``,
    ``transistor``, ``capacitor``, ``board``, ``plug``, ``wire``, ``sleeve``, ``fibre``, ``tube``,
    ``screw``, ``magnet`` or ``drill``."""
    need: float
    unit: str
    """``pieces``, ``sheets``, ``strands``, ``m`` or ``cm2``."""
    spares: float
    have: float
    """What the project's drawer and stock hold, in the same unit."""
    used_in: tuple[str, ...]
    """Sub-assemblies, in the order of the file."""
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One use of a part in one sub-assembly."""

    kind: str
    part: str
    amount: float
    unit: str
    used_in: str
    note: str = ""
    rank: float = 0.0
    """Orders parts of one kind before their names do: resistors by value."""


KINDS = (
    *("sheet", "film", "led", "resistor", "knob", "cell", "fuse"),
    *("controller", "transistor", "capacitor"),
    *("board", "plug", "wire", "sleeve", "fibre", "tube", "screw", "magnet", "drill"),
)


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
    that of the pigtails and of the loom; where a loom is laid it is counted by colour.

    Parameters
    ----------
    further
        What controllers are built from, and what strands want.
    """
    sockets = {socket.sub_assembly: socket for socket in loom.sockets} if loom else {}
    uses = [
        *_sheet_and_drills(pieces),
        *(use for sub in design.sub_assemblies for use in _of_sub_assembly(sub)),
        *(use for sub in design.sub_assemblies for use in _fixings(sub)),
        *(use for sub in design.sub_assemblies for use in _of_pigtail(sub, sockets.get(sub.name))),
        *(_of_loom(loom) if loom else ()),
        *_of_supply(design.supply),
        *(use for circuit in circuits for use in _resistors(circuit)),
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
    for panel in sub.panels:
        for opening in panel.openings:
            for layer in opening.layers:
                yield Use(
                    kind="film",
                    part=layer.film.name,
                    amount=layer.count * _box_cm2(opening.outline, margin_mm=FILM_MARGIN_MM),
                    unit="cm2",
                    used_in=sub.name,
                    note=f"{FILM_MARGIN_MM:g} mm over on every side",
                )
    for _, box in sub.boxes:
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
    yield Use(kind="plug", part=sub.pigtail.plug.name, amount=1, unit="pieces", used_in=sub.name)
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
        if feed.fuse_type:
            yield _fuse(feed.fuse_type, used_in="loom")
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
    """Give what stands between the supply and the loom."""
    if supply.cells:
        yield Use(
            kind="cell",
            part=supply.cells.cell.name,
            amount=supply.cells.series * supply.cells.parallel,
            unit="pieces",
            used_in="supply",
            note="all of one batch, and a holder",
        )
    if supply.fuse_type:
        yield _fuse(supply.fuse_type, used_in="supply")
    if supply.protector:
        yield Use(
            kind="fuse",
            part=supply.protector.name,
            amount=1,
            unit="pieces",
            used_in="supply",
            note="in the plus lead, against reversal",
        )


def _fuse(fuse: FuseType, *, used_in: str) -> Use:
    note = "" if fuse.construction == "resettable" else MELTS
    return Use(kind="fuse", part=fuse.name, amount=1, unit="pieces", used_in=used_in, note=note)


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


def _in_hand(design: Design) -> dict[str, float]:
    have: dict[str, float] = defaultdict(float)
    for part in design.drawer:
        have[part.part] += part.count
    for sheet in design.sheets:
        have[sheet.sheet.name] += sheet.count * sheet.width_mm * sheet.height_mm / 100
    return dict(have)


def _box_cm2(outline: Outline, *, margin_mm: float = 0.0) -> float:
    """Area of the rectangle around an outline with its margin."""
    left, bottom, right, top = bounds_mm(outline.corners)
    return (right - left + 2 * margin_mm) * (top - bottom + 2 * margin_mm) / 100
