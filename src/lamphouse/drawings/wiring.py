"""The strings of a sub-assembly as a diagram, from the plus of its plug to the minus.

One string to a row: its resistor with value and colour bands, the current to expect, its LEDs in
order. Follow a row with a finger from left to right.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lamphouse.circuit.branch import Band, StringDesign, SubAssemblyCircuit
from lamphouse.design.lightbox import Led
from lamphouse.design.supply import Pigtail
from lamphouse.drawings.drawing import Anchor, Item, Path, Pen, Text
from lamphouse.drawings.figures import arrowhead, rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, lines_of, shortened
from lamphouse.drawings.moves import drawing_of, moved
from lamphouse.drawings.page import NO_SCALE, Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.sizes import size_text
from lamphouse.drawings.symbols import (
    CONTACT_MM,
    LED_MM,
    RESISTOR_MM,
    contact,
    junction,
    led,
    resistor,
)
from lamphouse.units import Quantity, show

_SIGNS_MM = 10.0
"""Kept free on the left for the signs at the plug."""
_CONTACTS_MM = 8.0
"""Between the contacts of the plug."""
_HEAD_MM = 22.0
"""From the top to the first row's wire."""
_RESISTOR_MM = 17.0
"""Where the resistor begins."""
_CURRENT_MM = 49.0
"""The middle of the current's words."""
_FIRST_LED_MM = 66.0
_NEXT_LED_MM = 14.0
"""Where the LEDs of a second line begin."""
_LED_PITCH_MM = 16.0
_LED_PITCH_MOST_MM = 30.0
_RAIL_GAP_MM = 8.0
"""Between the last LED and the minus rail."""
_LINE_MM = 28.0
"""From one line of LEDs to the next line of the same string."""
_RISE_MM = 10.0
"""Kept free above a wire."""
_FALL_MM = 13.0
"""Kept free below a wire for names."""
_REASON_STEP_MM = 3.2
_ROW_GAP_MM = 5.0
_NAME_MM = 2.5
_LED_NAME_MM = 2.2
_LED_STEP_MM = 3.0
_VALUE_MM = 3.0
_BANDS_ROOM_MM = 33.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A string with its LEDs broken into lines."""

    string: StringDesign
    lines: tuple[tuple[Led, ...], ...]
    reason: tuple[str, ...]

    @property
    def height_mm(self) -> float:
        """From the room above its first wire to the gap below its last words."""
        return (
            _RISE_MM
            + (len(self.lines) - 1) * _LINE_MM
            + _FALL_MM
            + len(self.reason) * _REASON_STEP_MM
            + _ROW_GAP_MM
        )


def wiring_sheets(
    circuit: SubAssemblyCircuit, *, pigtail: Pigtail | None, paper: str
) -> tuple[Labelled, ...]:
    """Draw the strings of a sub-assembly, on as many drawings as the paper asks for.

    Parameters
    ----------
    circuit
        The designed strings; without any, nothing is drawn.
    pigtail
        The lead they hang on; None when the sub-assembly has none.
    paper
        A key of ``paper.SIZES_MM``; rows are as wide as its field.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    wide, high = upright(paper).room_mm
    width = wide - _SIGNS_MM
    rows = [_row(string, width) for string in circuit.strings]
    pages = _paged(rows, room_mm=high - _HEAD_MM)
    part = f"{circuit.sub_assembly} / wiring"
    return tuple(
        Labelled(
            drawing=drawing_of(_diagram(page, circuit, pigtail, width), name=f"{part} {number}"),
            part=part,
            piece=f"{number} of {len(pages)}" if len(pages) > 1 else "",
            drawn=NO_SCALE,
        )
        for number, page in enumerate(pages, start=1)
    )


def _row(string: StringDesign, width_mm: float) -> _Row:
    first = _fitting(width_mm - _FIRST_LED_MM)
    later = _fitting(width_mm - _NEXT_LED_MM)
    lines = [string.leds[:first]]
    rest = string.leds[first:]
    while rest:
        lines.append(rest[:later])
        rest = rest[later:]
    room = width_mm - 2 * _NEXT_LED_MM
    reason = lines_of(string.reason, height_mm=LEAST_MM, room_mm=room)
    return _Row(string=string, lines=tuple(lines), reason=reason)


def _fitting(room_mm: float) -> int:
    """Count the LEDs that stand on a line of wire."""
    return int((room_mm - _RAIL_GAP_MM) // _LED_PITCH_MM)


def _paged(rows: Sequence[_Row], *, room_mm: float) -> list[list[_Row]]:
    pages: list[list[_Row]] = []
    left = 0.0
    for row in rows:
        if not pages or row.height_mm > left:
            pages.append([])
            left = room_mm
        pages[-1].append(row)
        left -= row.height_mm
    return pages


def _diagram(
    rows: Sequence[_Row], circuit: SubAssemblyCircuit, pigtail: Pigtail | None, width: float
) -> Iterator[Item]:
    """Draw rows between a plus rail on the left and a minus rail on the right."""
    yield from _head(circuit, pigtail, width)
    wire = -_HEAD_MM
    ends = (wire, wire)
    for number, row in enumerate(rows):
        wire -= _RISE_MM if number else 0.0
        is_last = row is rows[-1]
        yield from _string(row, wire, width)
        ends = (wire, wire - (len(row.lines) - 1) * _LINE_MM)
        if not is_last:
            yield moved(junction(), right_mm=0.0, up_mm=ends[0])
            yield moved(junction(), right_mm=width, up_mm=ends[1])
        wire -= row.height_mm - _RISE_MM
    plus, minus = -_CONTACTS_MM, 0.0
    yield segment(Pen.MARK, start=(0.0, plus - CONTACT_MM / 2), end=(0.0, ends[0]))
    yield segment(Pen.MARK, start=(CONTACT_MM / 2, minus), end=(width, minus))
    yield segment(Pen.MARK, start=(width, minus), end=(width, ends[1]))


def _head(circuit: SubAssemblyCircuit, pigtail: Pigtail | None, width: float) -> Iterator[Item]:
    """Draw the plug, and say what a meter in it reads."""
    reach = CONTACT_MM
    for sign, down in (("\u2212", 0.0), ("+", _CONTACTS_MM)):
        yield moved(contact(), right_mm=0.0, up_mm=-down)
        yield _words(sign, -reach - 0.8, -down - _VALUE_MM / 2, _VALUE_MM, Anchor.END, bold=True)
    yield rectangle(Pen.HIDDEN, left=-reach, bottom=-_CONTACTS_MM - reach, right=reach, top=reach)
    left = _RESISTOR_MM / 2
    room = width - 2 * left
    total = circuit.total_A
    reads = f"A meter in the plug reads {_amps(total.nominal)}, within {_range(total)}."
    yield _words(reads, left, -5.0, _NAME_MM, bold=True)
    if pigtail is not None:
        lead = f"{pigtail.plug.name} plug, {pigtail.wire.name}, {size_text(pigtail.length_mm)} mm"
        shown = shortened(lead, height_mm=_NAME_MM, room_mm=room)
        yield _words(shown, left, -9.5, _NAME_MM)


def _string(row: _Row, wire: float, width: float) -> Iterator[Item]:
    string = row.string
    yield from (moved(item, right_mm=_RESISTOR_MM, up_mm=wire) for item in resistor())
    yield _words(string.name, 3.0, wire + 2.0, _VALUE_MM, bold=True)
    middle = _RESISTOR_MM + RESISTOR_MM / 2
    ohms = show(string.resistor_ohm, Quantity.RESISTANCE)
    yield _words(ohms, middle, wire + 3.5, _VALUE_MM, Anchor.MIDDLE, bold=True)
    for number, line in enumerate(_resistor_words(string)):
        down = wire - 5.2 - number * 2.8
        yield _words(line, middle, down, LEAST_MM, Anchor.MIDDLE)
    current = string.current_A
    amps, within = _amps(current.nominal), _range(current)
    yield _words(amps, _CURRENT_MM, wire + 5.6, _NAME_MM, Anchor.MIDDLE, bold=True)
    yield _words(within, _CURRENT_MM, wire + 2.4, LEAST_MM, Anchor.MIDDLE)
    yield arrowhead(Pen.MARK, tip=(_CURRENT_MM + 1.5, wire), towards_deg=0)
    yield segment(Pen.MARK, start=(0.0, wire), end=(_RESISTOR_MM, wire))
    yield from _leds(row, wire, width)
    base = wire - (len(row.lines) - 1) * _LINE_MM - _FALL_MM
    for number, line in enumerate(row.reason):
        down = base - (number + 1) * _REASON_STEP_MM
        yield _words(line, _NEXT_LED_MM, down, LEAST_MM)


def _resistor_words(string: StringDesign) -> tuple[str, ...]:
    """Say how to know the resistor: its bands or its code, then its size."""
    code = string.resistor_code
    marked = f"marked {code}" if code else ", ".join(string.resistor_colour_bands)
    lines = lines_of(marked, height_mm=LEAST_MM, room_mm=_BANDS_ROOM_MM)
    return (*lines, string.resistor_package.name)


def _leds(row: _Row, wire: float, width: float) -> Iterator[Item]:
    """Draw the LEDs, line after line, with the wire that joins the lines."""
    start, first = _RESISTOR_MM + RESISTOR_MM, _FIRST_LED_MM
    for number, line in enumerate(row.lines):
        room = width - _RAIL_GAP_MM - first
        pitch = min(room / max(len(line), 1), _LED_PITCH_MOST_MM)
        ends = width if number == len(row.lines) - 1 else width - _RAIL_GAP_MM / 2
        for place, one in enumerate(line):
            x = first + place * pitch
            yield segment(Pen.MARK, start=(start, wire), end=(x, wire))
            yield from (moved(item, right_mm=x, up_mm=wire) for item in led())
            yield from _led_words(one, x + LED_MM / 2, wire, pitch)
            start = x + LED_MM
        yield segment(Pen.MARK, start=(start, wire), end=(ends, wire))
        if ends < width:
            below, left = wire - _LINE_MM, _NEXT_LED_MM / 2
            half = wire - _FALL_MM - 1.5
            corners = ((ends, wire), (ends, half), (left, half), (left, below))
            yield Path(pen=Pen.MARK, corners=tuple((x, y, 0.0) for x, y in corners))
            wire, start, first = below, left, _NEXT_LED_MM


def _led_words(one: Led, x: float, wire: float, pitch: float) -> Iterator[Item]:
    """Write an LED's name in one line or two, and its colour."""
    room = pitch - 1.5
    words = lines_of(one.name, height_mm=_LED_NAME_MM, room_mm=room, bold=True)
    name = words if len(words) < 3 else (words[0], " ".join(words[1:]))
    down = wire - 6.0
    for line in name:
        shown = shortened(line, height_mm=_LED_NAME_MM, room_mm=room, bold=True)
        yield _words(shown, x, down, _LED_NAME_MM, Anchor.MIDDLE, bold=True)
        down -= _LED_STEP_MM
    colour = shortened(one.led_type.colour, height_mm=LEAST_MM, room_mm=room)
    yield _words(colour, x, down, LEAST_MM, Anchor.MIDDLE)


def _amps(current_A: float) -> str:
    return show(current_A, Quantity.CURRENT, digits=3)


def _range(current_A: Band) -> str:
    low, high = _amps(current_A.low), _amps(current_A.high)
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"


def _words(
    words: str,
    x_mm: float,
    y_mm: float,
    height_mm: float,
    anchor: Anchor = Anchor.START,
    *,
    bold: bool = False,
) -> Text:
    return Text(x_mm=x_mm, y_mm=y_mm, words=words, height_mm=height_mm, anchor=anchor, bold=bold)
