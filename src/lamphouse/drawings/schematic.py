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
from lamphouse.circuit.wired import PlugPin, WiredKind, WiredPart, WiredSubAssembly
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
from lamphouse.record import Record

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
_MOST_PINS = 9
"""That a sheet shows; a plug with more shows those of the sheet's strings."""
_MINUS = "\u2212"
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
    backs = [net.name for net in wired.nets[1:] if is_rail(net)]
    right = width - _RAIL_MM * (min(len(backs), _MOST_PINS - 1) - 1)
    strings = {string.name: string for string in circuit.strings}
    rows = sorted(
        rows_of(wired, strings=strings, right_mm=right), key=lambda row: backs.index(row.back)
    )
    pins = min(_pins(wired), _MOST_PINS)
    top_mm = _PIN_MM * (pins - 1) + _HEAD_MM + _NAME_MM + CONTACT_MM + 4.0
    pages = _paged(rows, room_mm=high - top_mm - _FOOT_MM)
    part = f"{circuit.sub_assembly} / schematic"
    return tuple(
        Labelled(
            drawing=drawing_of(
                _sheet(page, wired=wired, circuit=circuit, pigtail=pigtail, right=right),
                name=f"{part} {number}",
            ),
            part=part,
            piece=f"{number} of {len(pages)}" if len(pages) > 1 else "",
            drawn=NO_SCALE,
        )
        for number, page in enumerate(pages, start=1)
    )


def _plug(wired: WiredSubAssembly) -> WiredPart | None:
    return next((part for part in wired.parts if part.kind is WiredKind.PLUG), None)


def _pins(wired: WiredSubAssembly) -> int:
    plug = _plug(wired)
    return plug.pins if plug else 2


def _paged(rows: Sequence[StringRow], *, room_mm: float) -> list[list[StringRow]]:
    """Break rows into pages: as many as fit, with no more returns than a sheet can show."""
    pages: list[list[StringRow]] = []
    left = 0.0
    for row in rows:
        backs = {one.back for one in pages[-1]} | {row.back} if pages else set()
        if not pages or row.height_mm > left or len(backs) >= _MOST_PINS:
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
    right: float,
) -> Iterator[Item]:
    """Draw rows between the common on the left and the returns on the right; pin 1 at height 0."""
    backs = list(dict.fromkeys(row.back for row in rows))
    rails = {back: right + _RAIL_MM * number for number, back in enumerate(backs)}
    contacts = _contacts(wired, backs=backs)
    yield from _head(wired, contacts, room=right - _PROBE_ROOM_MM)
    switched = any(pin.means not in (COMMON, RETURN) for pin in wired.plug_pins)
    yield from _plug_words(circuit, pigtail, room=right - _PLUG_WORDS_MM, switched=switched)
    above = -_HEAD_MM
    ends: dict[str, list[float]] = {back: [] for back in backs}
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
    at = {contact.net: contact.up_mm for contact in contacts}
    for back, wires in ends.items():
        x, y = rails[back], at[back]
        way = ((CONTACT_MM / 2, y), (x, y), (x, wires[-1]))
        yield Path(pen=Pen.MARK, corners=tuple((*corner, 0.0) for corner in way))
        yield from (moved(junction(), right_mm=x, up_mm=wire) for wire in wires[:-1])
    yield from _rail_probes(wired, at={back: at[back] for back in backs}, x_mm=right)
    yield lettered(_LEGEND, 0.0, above - _FOOT_MM / 2, LEAST_MM)


class _Contact(Record):
    """A contact as it stands on a sheet."""

    words: str
    net: str
    """Empty where it is not used."""
    switched: bool
    up_mm: float


def _contacts(wired: WiredSubAssembly, *, backs: Sequence[str]) -> list[_Contact]:
    """List the plug's pins, the first lowest; of a plug with many, those on this sheet."""
    plug = _plug(wired)
    rails = [net.name for net in wired.nets if is_rail(net)]
    pins_of = ((pin, net.name) for net in wired.nets for pin in net.pins)
    nets = {pin.pin: name for pin, name in pins_of if plug and pin.part == plug.name}
    nets = nets or dict(enumerate(rails, start=1))
    numbers = [
        number
        for number in range(1, _pins(wired) + 1)
        if _pins(wired) <= _MOST_PINS or number == 1 or nets.get(number) in backs
    ]
    pins = {pin.pin: pin for pin in wired.plug_pins}
    contacts = []
    for place, number in enumerate(numbers):
        net, pin = nets.get(number, ""), pins.get(number)
        words = _pin_words(number, pin=pin) if plug else _terminal_words(number, wired=wired)
        elsewhere = ": on another sheet" if net and number > 1 and net not in backs else ""
        contacts.append(
            _Contact(
                words=f"{words}{elsewhere}",
                net=net,
                switched=pin is not None and pin.means not in (COMMON, RETURN),
                up_mm=_PIN_MM * place,
            )
        )
    return contacts


def _head(wired: WiredSubAssembly, contacts: Sequence[_Contact], *, room: float) -> Iterator[Item]:
    """Draw the plug with its pins, what each carries, and the switches before it."""
    reach, plug = CONTACT_MM, _plug(wired)
    for one in contacts:
        y = one.up_mm
        yield moved(contact(), right_mm=0.0, up_mm=y)
        shown = shortened(one.words, height_mm=_NAME_MM, room_mm=room, bold=True)
        # Beside the rail that goes down from pin 1; above the wires that go right from the others.
        yield lettered(shown, reach + 1.0, y + (1.2 if y else -1.25), _NAME_MM, bold=True)
        if one.switched:
            yield from switch().placed(-reach - 9.2, y)
    if plug is not None:
        top = contacts[-1].up_mm + reach
        yield rectangle(Pen.HIDDEN, left=-reach, bottom=-reach, right=reach, top=top)
        yield lettered(plug.name, reach, top + 1.2, _VALUE_MM, anchor=Anchor.END, bold=True)


def _pin_words(number: int, *, pin: PlugPin | None) -> str:
    """Say a pin's number, its sign and what it carries."""
    if pin is None:
        return f"{number} not used"
    means = {COMMON: "common", RETURN: "return"}.get(pin.means)
    said = means or f"{pin.means}, switched under the floor"
    return f"{number} {'+' if pin.positive else _MINUS} {said}"


def _terminal_words(number: int, *, wired: WiredSubAssembly) -> str:
    """Say which of the supply's terminals one of two is."""
    return f"{'+' if wired.common_positive == (number == 1) else _MINUS} of the supply"


def _plug_words(
    circuit: SubAssemblyCircuit, pigtail: Pigtail | None, *, room: float, switched: bool
) -> Iterator[Item]:
    """Say what a meter in the plug reads, and what the lead is."""
    total = circuit.total_A
    says = "Common wire, every switch closed:" if switched else "A meter in the common wire reads"
    reads = f"{says} {amps(total.nominal)}, within {amps_band(total)}."
    yield lettered(reads, _PLUG_WORDS_MM, -7.0, _NAME_MM, bold=True)
    if pigtail is not None:
        lead = f"{pigtail.plug.name} plug, {pigtail.wire.name}, {size_text(pigtail.length_mm)} mm"
        shown = shortened(lead, height_mm=_NAME_MM, room_mm=room)
        yield lettered(shown, _PLUG_WORDS_MM, -11.5, _NAME_MM)


def _rail_probes(
    wired: WiredSubAssembly, *, at: Mapping[str, float], x_mm: float
) -> Iterator[Item]:
    """Draw the test points of the rails: beside the common, above the returns."""
    for point in wired.test_points:
        if point.node == wired.nets[0].name:
            yield moved(probe_ring(), right_mm=0.0, up_mm=-_HEAD_MM / 2)
            yield lettered(point.name, 1.8, -_HEAD_MM / 2 - LEAST_MM / 2, LEAST_MM)
        elif point.node in at:
            x, y = x_mm - _PROBE_ROOM_MM / 2, at[point.node]
            yield moved(probe_ring(), right_mm=x, up_mm=y)
            yield lettered(point.name, x, y + 1.4, LEAST_MM, anchor=Anchor.MIDDLE)
