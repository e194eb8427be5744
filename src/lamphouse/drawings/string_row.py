"""One string of a schematic: its resistor, its parts in lines, its test points, and their words.

A string leaves the common rail on the left at its resistor and ends on the rail it returns to, on
the right. One too long for the paper goes on in a line below.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from lamphouse.circuit.branch import Band, StringDesign
from lamphouse.circuit.phrases import amps
from lamphouse.circuit.wired import Net, Pin, WiredKind, WiredPart, WiredSubAssembly
from lamphouse.drawings.drawing import Anchor, Item, Path, Pen, Text
from lamphouse.drawings.figures import arrowhead, segment
from lamphouse.drawings.lettering import LEAST_MM, lines_of, shortened
from lamphouse.drawings.moves import moved
from lamphouse.drawings.resistor_body import BODY_MM, resistor_body
from lamphouse.drawings.symbols import PROBE_MM, RESISTOR_MM, probe_ring, symbol_of
from lamphouse.record import Record

RISE_MM = 12.2
"""Kept free above the first wire of a row."""
NEXT_MM = 14.0
"""Where the parts of a second line begin."""
_RESISTOR_MM = 17.0
"""Where the resistor begins."""
_KNOB_MM = 6.0
"""Where a trim knob begins; the resistor then stands farther right."""
_BEHIND_KNOB_MM = 7.0
"""By so much."""
_BESIDE_KNOB_MM = 16.0
"""Room for the name of either."""
_BODY_DOWN_MM = 5.6
"""From the wire down to the middle of the resistor's body."""
_CURRENT_MM = 49.0
"""The middle of the current's words."""
_PROBE_MM = 61.0
"""The test point between the resistor and the first LED."""
_FIRST_MM = 66.0
"""Where the first part after the resistor begins."""
_PITCH_MM = 16.0
_PITCH_MOST_MM = 30.0
_END_GAP_MM = 8.0
"""Between the last part of a line and the wire that goes on."""
_LINE_MM = 30.0
"""From one line of parts to the next line of the same string."""
_FALL_MM = 15.0
"""Kept free below a wire for names of two lines."""
_LOW_FALL_MM = 11.6
"""For names of one line, and colour bands in one."""
_REASON_STEP_MM = 3.2
_ROW_GAP_MM = 4.0
_NAME_MM = 2.5
_PART_NAME_MM = 2.2
_PART_STEP_MM = 3.4
_VALUE_MM = 3.0
_BANDS_ROOM_MM = 33.0
_HEAD_ROOM_MM = 30.0
_PACKAGE_END_MM = 53.0


class Station(Record):
    """A part of a string, with what follows it."""

    part: WiredPart
    forward: bool
    """Whether its first pin lies nearer the common."""
    probe: str
    """Name of the test point behind it; empty where the string meets its rail."""


class Line(Record):
    """What stands on one line of a string."""

    stations: tuple[Station, ...]
    first_mm: float
    """Where its first part begins."""
    pitch_mm: float
    """From one part to the next."""


class StringRow(Record):
    """A string with its parts broken into lines."""

    string: StringDesign
    back: str
    """The net it returns to."""
    knob: Station | None
    """What trims it, at the common."""
    resistor: Station
    lines: tuple[Line, ...]
    reason: tuple[str, ...]
    right_mm: float
    """Where the room for its parts ends."""

    @property
    def height_mm(self) -> float:
        """From the room above its first wire to the gap below its last words."""
        words = len(self.reason) * _REASON_STEP_MM
        return RISE_MM + self.fall_mm + self.names_mm + words + _ROW_GAP_MM

    @property
    def fall_mm(self) -> float:
        """From its first wire to its last."""
        return (len(self.lines) - 1) * _LINE_MM

    @property
    def names_mm(self) -> float:
        """From its last wire to its last name."""
        names = [_name_lines(one.part, line) for line in self.lines[-1:] for one in line.stations]
        bands = _band_lines(self.string) if len(self.lines) == 1 else ()
        flat = len(bands) < 2 and all(len(name) < 2 for name in names)
        return _LOW_FALL_MM if flat else _FALL_MM


def rows_of(
    wired: WiredSubAssembly, *, strings: Mapping[str, StringDesign], right_mm: float
) -> tuple[StringRow, ...]:
    """Walk every string from the common on, and break it into lines that fit.

    Parameters
    ----------
    wired
        Each string begins at the common with its resistor, or with a knob and its resistor.
    strings
        By name.
    right_mm
        Width there is for parts.
    """
    net_of = {pin: net for net in wired.nets for pin in net.pins}
    parts = {part.name: part for part in wired.parts}
    probes = {point.node: point.name for point in wired.test_points}
    common = wired.nets[0]
    rows = []
    for pin in common.pins:
        if parts[pin.part].kind is WiredKind.PLUG:
            continue
        stations, back = _walk(pin, parts=parts, net_of=net_of, probes=probes)
        string = strings[parts[pin.part].string]
        head = next(n for n, one in enumerate(stations) if one.part.kind is WiredKind.RESISTOR)
        room = right_mm - 2 * NEXT_MM
        rows.append(
            StringRow(
                string=string,
                back=back.name,
                knob=stations[0] if head else None,
                resistor=stations[head],
                lines=_folded(stations[head + 1 :], right_mm=right_mm),
                reason=lines_of(string.reason, height_mm=LEAST_MM, room_mm=room),
                right_mm=right_mm,
            )
        )
    return tuple(rows)


def is_rail(net: Net) -> bool:
    """Tell a rail from what lies between two parts of a string."""
    return net.name.partition(" / ")[0] in ("plus", "minus")


def _walk(
    pin: Pin,
    *,
    parts: Mapping[str, WiredPart],
    net_of: Mapping[Pin, Net],
    probes: Mapping[str, str],
) -> tuple[list[Station], Net]:
    stations = []
    while True:
        out = Pin(part=pin.part, pin=2 if pin.pin == 1 else 1)
        net = net_of[out]
        on_rail = is_rail(net)
        probe = "" if on_rail else probes.get(net.name, "")
        stations.append(Station(part=parts[pin.part], forward=pin.pin == 1, probe=probe))
        if on_rail:
            return stations, net
        (pin,) = (other for other in net.pins if other.part != out.part)


def _folded(stations: Sequence[Station], *, right_mm: float) -> tuple[Line, ...]:
    """Break parts into lines; a string without any still has its wire."""
    lines: list[Line] = []
    rest, first = tuple(stations), _FIRST_MM
    while rest or not lines:
        room = right_mm - _END_GAP_MM - first
        held = rest[: max(int(room // _PITCH_MM), 1)]
        pitch = min(room / max(len(held), 1), _PITCH_MOST_MM)
        lines.append(Line(stations=held, first_mm=first, pitch_mm=pitch))
        rest, first = rest[len(held) :], NEXT_MM
    return tuple(lines)


def draw_row(row: StringRow, *, wire_mm: float, rail_mm: float, forward: bool) -> Iterator[Item]:
    """Draw a string from the common rail to the one it returns to.

    Parameters
    ----------
    row
        The string.
    wire_mm
        Height of its first wire; the common rail stands at the left, at 0.
    rail_mm
        Where the rail stands that it returns to.
    forward
        Whether the current flows away from the common.
    """
    string = row.string
    yield from _resistor(row, wire_mm)
    current = string.current_A
    yield _centred(amps(current.nominal), _CURRENT_MM, wire_mm + 5.6, _NAME_MM, bold=True)
    yield _centred(amps_band(current), _CURRENT_MM, wire_mm + 2.4, LEAST_MM)
    tip = _CURRENT_MM + (1.5 if forward else -1.5)
    yield arrowhead(Pen.MARK, tip=(tip, wire_mm), towards_deg=0 if forward else 180)
    yield from _lines(row, wire_mm, rail_mm)
    base = wire_mm - row.fall_mm - row.names_mm
    for number, line in enumerate(row.reason, start=1):
        down = base - number * _REASON_STEP_MM
        yield lettered(line, NEXT_MM, down, LEAST_MM)


def _left_of(row: StringRow) -> float:
    """Give the place of the resistor's left end."""
    return _RESISTOR_MM + (_BEHIND_KNOB_MM if row.knob else 0.0)


def _resistor(row: StringRow, wire: float) -> Iterator[Item]:
    """Draw the resistor with its name and value, and below it the part as it looks."""
    string, station = row.string, row.resistor
    left = _left_of(row)
    middle = left + RESISTOR_MM / 2
    room = _HEAD_ROOM_MM
    start = 0.0
    if row.knob:
        knob = symbol_of(row.knob.part.kind)
        start, room = _KNOB_MM + knob.length_mm, _BESIDE_KNOB_MM
        yield segment(Pen.MARK, start=(0.0, wire), end=(_KNOB_MM, wire))
        yield from knob.placed(_KNOB_MM, wire)
        named = f"{row.knob.part.name}  {row.knob.part.value}"
        shown = shortened(named, height_mm=_PART_NAME_MM, room_mm=room, bold=True)
        above = wire + 4.2
        yield _centred(shown, _KNOB_MM + knob.length_mm / 2, above, _PART_NAME_MM, bold=True)
        yield from _probe(row.knob.probe, (start + left) / 2, wire)
    yield segment(Pen.MARK, start=(start, wire), end=(left, wire))
    yield from symbol_of(station.part.kind).placed(left, wire, forward=station.forward)
    name = shortened(string.name, height_mm=_VALUE_MM, room_mm=_HEAD_ROOM_MM, bold=True)
    yield lettered(name, 2.0, wire + 8.4, _VALUE_MM, bold=True)
    named = f"{station.part.name}  {station.part.value}"
    shown = shortened(named, height_mm=_VALUE_MM, room_mm=room, bold=True)
    yield _centred(shown, middle, wire + 3.2, _VALUE_MM, bold=True)
    body = resistor_body(string)
    centre = wire - _BODY_DOWN_MM
    yield from (moved(item, right_mm=middle, up_mm=centre) for item in body)
    yield _package(string, middle, centre, before=row.knob is not None)
    for number, line in enumerate(_band_lines(string)):
        yield _centred(line, middle, centre - 4.6 - number * 2.8, LEAST_MM)


def _package(string: StringDesign, middle: float, centre: float, *, before: bool) -> Text:
    """Write the resistor's package behind its body; before it, where a knob has moved it."""
    off = BODY_MM / 2 + 4.0
    x, anchor = (middle - off, Anchor.END) if before else (middle + off, Anchor.START)
    room = x if before else _PACKAGE_END_MM - x
    shown = shortened(string.resistor_package.name, height_mm=LEAST_MM, room_mm=room - 1.0)
    return lettered(shown, x, centre - LEAST_MM / 2, LEAST_MM, anchor=anchor)


def _band_lines(string: StringDesign) -> tuple[str, ...]:
    """Give the colours of a resistor's bands, broken into lines."""
    bands = ", ".join(string.resistor_colour_bands)
    return lines_of(bands, height_mm=LEAST_MM, room_mm=_BANDS_ROOM_MM)


def _lines(row: StringRow, wire: float, rail: float) -> Iterator[Item]:
    """Draw the parts, line after line, with the wire that joins the lines."""
    start = _left_of(row) + RESISTOR_MM
    yield from _probe(row.resistor.probe, _PROBE_MM, wire)
    turn = row.right_mm - _END_GAP_MM / 2
    for number, line in enumerate(row.lines):
        for place, station in enumerate(line.stations):
            x = line.first_mm + place * line.pitch_mm
            symbol = symbol_of(station.part.kind)
            yield segment(Pen.MARK, start=(start, wire), end=(x, wire))
            yield from symbol.placed(x, wire, forward=station.forward)
            yield from _part_words(row, station.part, x + symbol.length_mm / 2, wire, line)
            start = x + symbol.length_mm
            yield from _probe(station.probe, (start + x + line.pitch_mm) / 2, wire)
        if number == len(row.lines) - 1:
            yield segment(Pen.MARK, start=(start, wire), end=(rail, wire))
            continue
        below, left = wire - _LINE_MM, NEXT_MM / 2
        half = wire - _FALL_MM - 1.5
        way = ((start, wire), (turn, wire), (turn, half), (left, half), (left, below))
        yield Path(pen=Pen.MARK, corners=tuple((x, y, 0.0) for x, y in way))
        wire, start = below, left


def _probe(name: str, x: float, wire: float) -> Iterator[Item]:
    """Draw a test point on a wire, its name below."""
    if name:
        yield moved(probe_ring(), right_mm=x, up_mm=wire)
        yield _centred(name, x, wire - PROBE_MM / 2 - 0.6 - LEAST_MM, LEAST_MM)


def _part_words(
    row: StringRow, part: WiredPart, x: float, wire: float, line: Line
) -> Iterator[Item]:
    """Write a part's name in one line or two, and its colour or value."""
    down = wire - 6.6
    for words in _name_lines(part, line):
        yield _centred(words, x, down, _PART_NAME_MM, bold=True)
        down -= _PART_STEP_MM
    colours = {led.name: led.led_type.colour for led in row.string.leds}
    value = colours.get(part.name, part.value)
    shown = shortened(value, height_mm=LEAST_MM, room_mm=_name_room(line))
    yield _centred(shown, x, down, LEAST_MM)


def _name_lines(part: WiredPart, line: Line) -> tuple[str, ...]:
    """Break a part's name into a line or two, the second shortened."""
    room = _name_room(line)
    words = lines_of(part.name, height_mm=_PART_NAME_MM, room_mm=room, bold=True)
    name = words if len(words) < 3 else (words[0], " ".join(words[1:]))
    return tuple(shortened(one, height_mm=_PART_NAME_MM, room_mm=room, bold=True) for one in name)


def _name_room(line: Line) -> float:
    return line.pitch_mm - 1.5


def amps_band(current_A: Band) -> str:
    """Give the ends of a band of current, their unit once: ``1.21 to 1.76 mA``."""
    low, high = amps(current_A.low), amps(current_A.high)
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"


def lettered(
    words: str,
    x_mm: float,
    y_mm: float,
    height_mm: float,
    *,
    anchor: Anchor = Anchor.START,
    bold: bool = False,
) -> Text:
    """Write words on the baseline at a place."""
    return Text(x_mm=x_mm, y_mm=y_mm, words=words, height_mm=height_mm, anchor=anchor, bold=bold)


_centred = partial(lettered, anchor=Anchor.MIDDLE)
