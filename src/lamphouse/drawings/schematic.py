"""The schematic of a sub-assembly: its plug, its rails, and its strings one below the other.

The common rail stands on the left, the returns on the right, each beside those inside it, so that
no wire crosses another: strings are sorted by the pin they return to, and the rail of a later pin
passes outside. Resistors stand at the common, where they are soldered; the arrow in each string
shows which way the current flows. Wires join where one ends on another, at a dot where three meet.
"""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.phrases import amps
from lamphouse.circuit.plug_pins import COMMON, RETURN
from lamphouse.circuit.wired import Net, PlugPin, WiredKind, WiredPart, WiredSubAssembly
from lamphouse.design.supply import Pigtail
from lamphouse.drawings.drawing import Anchor, Item, Path, Pen
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import drawing_of, moved
from lamphouse.drawings.page import NO_SCALE, Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.sizes import size_text
from lamphouse.drawings.string_row import (
    RISE_MM,
    StringRow,
    amps_band,
    draw_row,
    is_rail,
    lettered,
    rows_of,
)
from lamphouse.drawings.symbols import CONTACT_MM, contact, junction, probe_ring, switch

_LEFT_MM = 14.0
"""Kept free on the left for the plug and the switches before it."""
_PIN_MM = 8.0
"""Between the contacts of the plug."""
_RAIL_MM = 5.0
"""Between the rails on the right."""
_HEAD_MM = 15.0
"""From the common's contact to the room of the first row."""
_FOOT_MM = 6.0
"""Kept free for the legend."""
_PLUG_WORDS_MM = 14.0
"""Where the words beside the common rail begin."""
_PROBE_ROOM_MM = 22.0
"""Kept free before the rails for the test points of the returns."""
_NAME_MM = 2.5
_VALUE_MM = 3.0
_LEGEND = (
    "Rings TP1, TP2 … are test points. A dot joins wires. Resistors and rails are on the board; "
    "LEDs hang on wires."
)


def schematic(
    wired: WiredSubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    pigtail: Pigtail | None,
    paper: str,
) -> tuple[Labelled, ...]:
    """Draw a sub-assembly's circuit, on as many drawings as the paper asks for.

    Parameters
    ----------
    wired
        The circuit as it is soldered; without any string, nothing is drawn.
    circuit
        The same as designed, for currents, reasons and the marks on resistors.
    pigtail
        The lead it hangs on; None when the sub-assembly has none.
    paper
        A key of ``paper.SIZES_MM``; rows are as wide as its field.

    Raises
    ------
    KeyError
        If the paper is unknown.

    References
    ----------
    [IEC60617] for the symbols, [IEC60062] for the bands and codes of resistors.
    """
    wide, high = upright(paper).room_mm
    width = wide - _LEFT_MM
    backs = [net.name for net in wired.nets if _is_back(net, wired)]
    first = width - _RAIL_MM * (len(backs) - 1)
    rails = {back: first + _RAIL_MM * number for number, back in enumerate(backs)}
    strings = {string.name: string for string in circuit.strings}
    rows = sorted(
        rows_of(wired, strings=strings, right_mm=first), key=lambda row: backs.index(row.back)
    )
    top_mm = _PIN_MM * (_pins(wired) - 1) + _HEAD_MM + _NAME_MM + CONTACT_MM + 4.0
    pages = _paged(rows, room_mm=high - top_mm - _FOOT_MM)
    part = f"{circuit.sub_assembly} / schematic"
    return tuple(
        Labelled(
            drawing=drawing_of(
                _sheet(page, wired=wired, circuit=circuit, pigtail=pigtail, rails=rails),
                name=f"{part} {number}",
            ),
            part=part,
            piece=f"{number} of {len(pages)}" if len(pages) > 1 else "",
            drawn=NO_SCALE,
        )
        for number, page in enumerate(pages, start=1)
    )


def _is_back(net: Net, wired: WiredSubAssembly) -> bool:
    """Tell a return from the common and from what lies between two parts."""
    return is_rail(net) and net != wired.nets[0]


def _plug(wired: WiredSubAssembly) -> WiredPart | None:
    return next((part for part in wired.parts if part.kind is WiredKind.PLUG), None)


def _pins(wired: WiredSubAssembly) -> int:
    plug = _plug(wired)
    return plug.pins if plug else 2


def _paged(rows: Sequence[StringRow], *, room_mm: float) -> list[list[StringRow]]:
    pages: list[list[StringRow]] = []
    left = 0.0
    for row in rows:
        if not pages or row.height_mm > left:
            pages.append([])
            left = room_mm
        pages[-1].append(row)
        left -= row.height_mm
    return pages


def _sheet(
    rows: Sequence[StringRow],
    *,
    wired: WiredSubAssembly,
    circuit: SubAssemblyCircuit,
    pigtail: Pigtail | None,
    rails: Mapping[str, float],
) -> Iterator[Item]:
    """Draw rows between the common on the left and the returns on the right; pin 1 at height 0."""
    at = _contacts(wired)
    yield from _head(wired, at=at, used={row.back for row in rows}, room=min(rails.values()))
    yield from _plug_words(circuit, pigtail, room=min(rails.values()) - _PLUG_WORDS_MM)
    above = -_HEAD_MM
    ends: dict[str, list[float]] = {row.back: [] for row in rows}
    starts = []
    for row in rows:
        wire = above - RISE_MM
        yield from draw_row(
            row, wire_mm=wire, rail_mm=rails[row.back], forward=wired.common_positive
        )
        starts.append(wire)
        ends[row.back].append(wire - row.fall_mm)
        above -= row.height_mm
    yield segment(Pen.MARK, start=(0.0, -CONTACT_MM / 2), end=(0.0, starts[-1]))
    yield from (moved(junction(), right_mm=0.0, up_mm=wire) for wire in starts[:-1])
    for back, wires in ends.items():
        x, y = rails[back], at[back]
        way = ((CONTACT_MM / 2, y), (x, y), (x, wires[-1]))
        yield Path(pen=Pen.MARK, corners=tuple((*corner, 0.0) for corner in way))
        yield from (moved(junction(), right_mm=x, up_mm=wire) for wire in wires[:-1])
    yield from _rail_probes(wired, at=at, ends=ends, x_mm=min(rails.values()) - _PROBE_ROOM_MM / 2)
    yield lettered(_LEGEND, 0.0, above - _FOOT_MM / 2, LEAST_MM)


def _contacts(wired: WiredSubAssembly) -> dict[str, float]:
    """Give the height of each net's contact."""
    rails = [net.name for net in wired.nets if _is_back(net, wired)]
    return {wired.nets[0].name: 0.0} | {
        name: _PIN_MM * number for number, name in enumerate(rails, start=1)
    }


def _head(
    wired: WiredSubAssembly, *, at: Mapping[str, float], used: set[str], room: float
) -> Iterator[Item]:
    """Draw the plug with its pins, what each carries, and the switches before it."""
    plug, pins = _plug(wired), {pin.pin: pin for pin in wired.plug_pins}
    reach, top = CONTACT_MM, _PIN_MM * (_pins(wired) - 1)
    for number in range(1, _pins(wired) + 1):
        y = _PIN_MM * (number - 1)
        yield moved(contact(), right_mm=0.0, up_mm=y)
        said = _pin_words(number, pins=pins, wired=wired)
        net = next((name for name, height in at.items() if height == y), None)
        if number > 1 and net is not None and net not in used:
            said = f"{said}: on another sheet"
        shown = shortened(said, height_mm=_NAME_MM, room_mm=room - _PROBE_ROOM_MM, bold=True)
        # Beside the rail that goes down from pin 1; above the wires that go right from the others.
        yield lettered(shown, reach + 1.0, y + (1.2 if number > 1 else -1.25), _NAME_MM, bold=True)
        pin = pins.get(number)
        if pin is not None and pin.means not in (COMMON, RETURN):
            yield from switch().placed(-reach - 9.2, y)
    if plug is not None:
        yield rectangle(Pen.HIDDEN, left=-reach, bottom=-reach, right=reach, top=top + reach)
        yield lettered(plug.name, reach, top + reach + 1.2, _VALUE_MM, anchor=Anchor.END, bold=True)


def _pin_words(number: int, *, pins: Mapping[int, PlugPin], wired: WiredSubAssembly) -> str:
    """Say a pin's number, its sign and what it carries."""
    if not pins:
        positive = wired.common_positive == (number == 1)
        return f"{'+' if positive else _MINUS} of the supply"
    pin = pins.get(number)
    if pin is None:
        return f"{number}  not used"
    sign = "+" if pin.positive else _MINUS
    means = {COMMON: "common", RETURN: "return"}.get(pin.means)
    return f"{number} {sign} {means or f'{pin.means}, switched under the floor'}"


_MINUS = "\u2212"


def _plug_words(
    circuit: SubAssemblyCircuit, pigtail: Pigtail | None, *, room: float
) -> Iterator[Item]:
    """Say what a meter in the plug reads, and what the lead is."""
    total = circuit.total_A
    reads = f"A meter in the common wire reads {amps(total.nominal)}, within {amps_band(total)}."
    yield lettered(reads, _PLUG_WORDS_MM, -7.0, _NAME_MM, bold=True)
    if pigtail is not None:
        lead = f"{pigtail.plug.name} plug, {pigtail.wire.name}, {size_text(pigtail.length_mm)} mm"
        shown = shortened(lead, height_mm=_NAME_MM, room_mm=room)
        yield lettered(shown, _PLUG_WORDS_MM, -11.5, _NAME_MM)


def _rail_probes(
    wired: WiredSubAssembly, *, at: Mapping[str, float], ends: Mapping[str, object], x_mm: float
) -> Iterator[Item]:
    """Draw the test points of the rails: beside the common, above the returns."""
    for point in wired.test_points:
        if point.node == wired.nets[0].name:
            yield moved(probe_ring(), right_mm=0.0, up_mm=-_HEAD_MM / 2)
            yield lettered(point.name, 1.8, -_HEAD_MM / 2 - LEAST_MM / 2, LEAST_MM)
        elif point.node in ends:
            y = at[point.node]
            yield moved(probe_ring(), right_mm=x_mm, up_mm=y)
            yield lettered(point.name, x_mm, y + 1.4, LEAST_MM, anchor=Anchor.MIDDLE)
