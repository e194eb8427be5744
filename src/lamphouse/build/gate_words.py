"""What the meter and the eye should see at a gate, in words with figures."""

from collections.abc import Iterable, Iterator, Sequence

from lamphouse.build.made_things import MadeThings
from lamphouse.circuit.branch import Band
from lamphouse.circuit.expected import Expected, Gate
from lamphouse.circuit.meter import ProbeKind
from lamphouse.circuit.phrases import amps, ohms, volts
from lamphouse.light.box_glow import BoxGlow

MOST_ROWS = 6
"""Readings, or looks, named one by one; the readings sheet, or the glow sheet, has them all."""


def readings_at(gate: Gate, *, sub_assembly: str, made: MadeThings) -> tuple[str, ...]:
    """Say what a sub-assembly should read at a gate; empty where nothing was foretold.

    Currents come first; of many voltages or resistances the first few are named.
    """
    benches = made.readings.sub_assemblies if made.readings else ()
    expected = [
        one for bench in benches if bench.sub_assembly == sub_assembly for one in bench.at(gate)
    ]
    return tuple(_readings(expected))


def whole_readings(made: MadeThings) -> tuple[str, ...]:
    """Say what the supply and each feed should read with everything lit."""
    return tuple(_readings(made.readings.whole if made.readings else ()))


def looks_of(glows: Iterable[BoxGlow], *, sub_assembly: str) -> Iterator[str]:
    """Say how each opening should look when lit; of many the first few are named."""
    openings = [
        opening for glow in glows if glow.sub_assembly == sub_assembly for opening in glow.openings
    ]
    for opening in openings[:MOST_ROWS]:
        mean = opening.mean_cd_m2
        yield (
            f"{opening.opening}: {float(f'{mean:.2g}'):g} cd/m2, evenness "
            f"{100.0 * opening.evenness:.0f} %"
        )
    yield from _rest(len(openings), sheet="glow sheet")


def _readings(expected: Sequence[Expected]) -> Iterator[str]:
    ranked = sorted(expected, key=lambda one: one.kind is not ProbeKind.CURRENT)
    for one in ranked[:MOST_ROWS]:
        where = f" ({one.red} to {one.black})" if one.kind is ProbeKind.RESISTANCE else ""
        if one.at_A is not None:
            where = f" at {amps(one.at_A)}"
        yield f"{one.name}{where}: {_band(one.band, one.kind)}"
    yield from _rest(len(ranked), sheet="readings sheet")


def _rest(count: int, *, sheet: str) -> Iterator[str]:
    if count > MOST_ROWS:
        yield f"{count - MOST_ROWS} more on the {sheet}"


def _band(band: Band | None, kind: ProbeKind) -> str:
    if band is None:
        return "open, no number"
    show = {ProbeKind.CURRENT: amps, ProbeKind.VOLTAGE: volts, ProbeKind.RESISTANCE: ohms}[kind]
    return f"{show(band.nominal)} ({show(band.low)} to {show(band.high)})"
