"""The fault sheet of a sub-assembly as data for the typesetter: from symptom to mend."""

from collections.abc import Iterator, Sequence
from math import ceil, hypot
from typing import Any

import numpy as np

from lamphouse.circuit.diagnosis import Suspect, meter_deviation, suspects_of
from lamphouse.circuit.fault_finder import FaultBook, weighed
from lamphouse.circuit.fault_kinds import FaultKind
from lamphouse.circuit.meter import LOOKS, Look, Probe, ProbeKind
from lamphouse.design.place import SubAssembly
from lamphouse.drawings.paper import upright
from lamphouse.outputs.fault_lines import expected_readings, shown, span_words, suspect_line
from lamphouse.plan.fault_finding import fault_book
from lamphouse.plan.result import Plan
from lamphouse.record import Record

_FIXED_MM, _SOUND_MM, _SYMPTOM_MM, _ROW_MM, _LINE_MM = 80.0, 4.1, 8.6, 2.0, 3.2
"""Height of all that is fixed on the page, of a row of sound readings, of what stands over a
symptom, round a row, and of a line in it."""
_ACROSS = 3
_NARROW_SIGNS, _POINT_SIGNS = 45, 20
"""Signs that a cause, and a point that tells, has on a line."""
_MOST_POINTS, _MOST_CAUSES = 2, 4
_MOST_READINGS = 24
_WIDE = 2.0
_APART = 4.0
"""Deviations from sound from which a voltage is worth a look."""
_WORDS = (
    "Look first, then read the current in the plug's common wire, then the voltages against the "
    "supply's minus. Rows stand by what is seen; of causes in one cell no reading tells which. "
    "Ranges hold two deviations of most builds; the worst case stands on the sheet of readings."
)


class _Row(Record):
    """One group of faults with what it shows."""

    seen: str
    suspect: Suspect
    place: int
    """Of the fault that leads it."""


def faults(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Say what a sub-assembly reads when sound, and what else means; None without a circuit."""
    if not any(circuit.sub_assembly == sub.name for circuit in plan.circuits):
        return None
    book = fault_book(plan, sub.name)
    sound = list(_sound(book))[:_MOST_READINGS]
    room_mm = upright(plan.design.paper).height_mm - _FIXED_MM
    rows = _fitting(book, room_mm=room_mm - _SOUND_MM * ceil(len(sound) / _ACROSS))
    groups = len(set(book.groups))
    return {
        "name": sub.name,
        "words": _WORDS,
        "sound": [list(one) for one in sound],
        "symptoms": [
            {"seen": seen, "rows": [_cells(book, row) for row in together]}
            for seen, together in _by_symptom(rows)
        ],
        "rest": f"These are the likeliest {len(rows)} of {groups} kinds of fault; lamphouse fault "
        "knows all, ranks them by your readings, and says what to read next."
        + ("" if book.bundled.whole() else " Of strings alike one stands for all."),
    }


def _sound(book: FaultBook) -> Iterator[tuple[str, str, str]]:
    for one in expected_readings(book):
        band, kind = (
            (one.current_A, ProbeKind.CURRENT)
            if one.current_A
            else (one.voltage_V, ProbeKind.VOLTAGE)
        )
        if band:
            yield (
                one.probe,
                shown(band.nominal, kind=kind),
                span_words(band.low, band.high, kind=kind),
            )


def _rows(book: FaultBook) -> Iterator[_Row]:
    """Give the groups in which something single is wrong, the likeliest first.

    Where strings stand for others, what all share comes before them, each weighed as one string.
    """
    places = {fault.name: place for place, fault in enumerate(book.faults)}
    suspects = suspects_of(book.faults, belief=weighed(book), groups=book.groups)
    if not book.bundled.whole():
        suspects = tuple(sorted(suspects, key=_shared_first))
    for suspect in suspects:
        singles = [one for one in suspect.faults if one.kind is not FaultKind.DOUBLE]
        if singles and all(one.kind is not FaultKind.NOTHING for one in singles):
            lead = places[singles[0].name]
            yield _Row(seen=_seen(book, lead), suspect=suspect, place=lead)


def _shared_first(suspect: Suspect) -> tuple[bool, float]:
    first = suspect.faults[0]
    return bool(first.string), -suspect.share / (1 + first.alike)


def _fitting(book: FaultBook, *, room_mm: float) -> list[_Row]:
    """Keep as many rows as fit on the page."""
    kept: list[_Row] = []
    for row in _rows(book):
        room_mm -= _ROW_MM + _LINE_MM * _lines(_cells(book, row))
        if all(row.seen != other.seen for other in kept):
            room_mm -= _SYMPTOM_MM
        if room_mm < 0.0:
            break
        kept.append(row)
    return kept


def _lines(cells: dict[str, Any]) -> int:
    """Count the lines of the highest cell of a row."""
    causes = sum(
        max(ceil(len(one[text]) / _NARROW_SIGNS) for text in ("words", "mend"))
        for one in cells["causes"]
    )
    points = sum(ceil(len(one) / _POINT_SIGNS) for one in cells["points"])
    return max(causes + bool(cells["more"]), points)


def _by_symptom(rows: Sequence[_Row]) -> list[tuple[str, list[_Row]]]:
    """Put rows that look alike together, the likeliest look first."""
    by_look: dict[str, list[_Row]] = {}
    for row in rows:
        by_look.setdefault(row.seen, []).append(row)
    return sorted(by_look.items(), key=lambda item: -sum(row.suspect.share for row in item[1]))


def _seen(book: FaultBook, place: int) -> str:
    """Say how the lights look."""
    lights = book.foretold.lights()
    likeliest = book.foretold.looks[place].argmax(axis=-1).tolist()
    looks = {
        look: [
            light.name for light, one in zip(lights, likeliest, strict=True) if LOOKS[one] is look
        ]
        for look in LOOKS
    }
    told = [
        f"{'all' if len(names) == len(lights) else ', '.join(names)} {look}"
        for look, names in looks.items()
        if names and (look is not Look.LIT or len(names) == len(lights))
    ]
    return "; ".join(told)


def _cells(book: FaultBook, row: _Row) -> dict[str, Any]:
    line = suspect_line(row.suspect)
    causes = [{"words": one.words, "mend": one.mend} for one in line.faults[:_MOST_CAUSES]]
    more = len(line.faults) - len(causes)
    numbers = book.foretold.numbers()
    plug = next(place for place, probe in enumerate(numbers) if probe.kind is ProbeKind.CURRENT)
    return {
        "plug": _band(book, row.place, plug),
        "points": [
            f"{numbers[place].name} {_band(book, row.place, place)}"
            for place in _telling(book, row.place)
        ],
        "causes": causes,
        "more": f"or {more} more that read the same" if more > 0 else "",
    }


def _telling(book: FaultBook, place: int) -> list[int]:
    """Find the voltages that lie farthest from those of a sound sub-assembly."""
    foretold = book.foretold
    deviation = foretold.deviation()
    apart: list[tuple[float, int]] = []
    for number, probe in enumerate(foretold.numbers()):
        if probe.kind is not ProbeKind.VOLTAGE:
            continue
        sound, wrong = (float(foretold.middle[which, number]) for which in (0, place))
        own = (_own(book, probe, sound), _own(book, probe, wrong))
        spread = (float(deviation[which, number]) for which in (0, place))
        off = abs(wrong - sound)
        volts = off / hypot(*own, *spread)
        if volts >= _APART:
            apart.append((off, number))
    return [number for _, number in sorted(apart, key=lambda one: -one[0])[:_MOST_POINTS]]


def _own(book: FaultBook, probe: Probe, value: float) -> float:
    return float(meter_deviation(probe, np.array(value), meter=book.meter))


def _band(book: FaultBook, place: int, number: int) -> str:
    """Give a reading under a fault as a band."""
    probe = book.foretold.numbers()[number]
    middle = float(book.foretold.middle[place, number])
    reach = _WIDE * float(
        np.hypot(book.foretold.deviation()[place, number], _own(book, probe, middle))
    )
    return span_words(middle - reach, middle + reach, kind=probe.kind)
