"""Where a sub-assembly can be read: its lights, its plug, its test points."""

from collections.abc import Iterator

from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.meter import Probe, ProbeKind
from lamphouse.circuit.netlist import GROUND
from lamphouse.circuit.wired import TestPoint, WiredSubAssembly

PLUG = "plug"
"""The whole current, in the wire of the common."""
REST = "rest"
"""All lights that no other reading names."""


def probes_of(wired: WiredSubAssembly, *, closed: bool = False) -> tuple[Probe, ...]:
    """List the readings worth taking.

    Parameters
    ----------
    wired
        The sub-assembly.
    closed
        Whether only its plug and its lights can be reached.
    """
    every = (
        *_lights(wired),
        *_currents(wired),
        *(_voltage(wired, point) for point in wired.test_points),
        *_resistances(wired),
    )
    return tuple(probe for probe in every if probe.closed or not closed)


def resistance_between(wired: WiredSubAssembly, first: str, second: str) -> Probe:
    """Make the resistance between two test points a probe.

    Raises
    ------
    LookupError
        If there is no such point; the message names those there are.
    """
    one, other = _point(wired, first), _point(wired, second)
    return _between(wired, one, other, kind=ProbeKind.RESISTANCE)


def voltage_at(wired: WiredSubAssembly, first: str, second: str = "") -> Probe:
    """Make the voltage at a test point, against the supply's minus or another, a probe.

    Raises
    ------
    LookupError
        If there is no such point; the message names those there are.
    """
    one = _point(wired, first)
    if not second:
        return _voltage(wired, one)
    return _between(wired, one, _point(wired, second), kind=ProbeKind.VOLTAGE)


def _point(wired: WiredSubAssembly, name: str) -> TestPoint:
    points = {point.name.casefold(): point for point in wired.test_points}
    found = points.get(name.strip().casefold())
    if found is None:
        there_are = ", ".join(point.name for point in wired.test_points)
        unknown = f"no test point '{name}'; there is: {there_are}"
        raise LookupError(unknown)
    return found


def _between(
    wired: WiredSubAssembly, one: TestPoint, other: TestPoint, *, kind: ProbeKind
) -> Probe:
    if one.node == other.node:
        same = f"'{one.name}' and '{other.name}' are one place; name two"
        raise LookupError(same)
    suffix = " ohm" if kind is ProbeKind.RESISTANCE else ""
    return Probe(
        name=f"{one.name}-{other.name}{suffix}",
        kind=kind,
        words=f"from {one.name} ({one.words}) to {other.name} ({other.words})",
        first=one.node,
        second=other.node,
        closed=_at_plug(wired, one) and _at_plug(wired, other),
    )


def _at_plug(wired: WiredSubAssembly, point: TestPoint) -> bool:
    return any(point.node == pin.node for pin in wired.plug_pins)


def _lights(wired: WiredSubAssembly) -> Iterator[Probe]:
    for led in wired.netlist.junctions:
        yield Probe(
            name=led.name,
            kind=ProbeKind.LIGHT,
            words=f"how {led.name} looks",
            first=led.name,
            closed=True,
        )


def _currents(wired: WiredSubAssembly) -> Iterator[Probe]:
    """Give the whole current, and where there are several returns that of each."""
    if not wired.plug_pins:
        rail = "plus" if wired.common_positive else "minus"
        yield Probe(
            name=PLUG,
            kind=ProbeKind.CURRENT,
            words=f"the current in the lead to the board's {rail}",
            first=f"lead / {rail}",
            turned=not wired.common_positive,
            closed=True,
        )
        return
    wires = {one.first: one.name for one in wired.netlist.resistances if one.first != GROUND}
    returns = [pin for pin in wired.plug_pins if pin.positive != wired.common_positive]
    for pin in wired.plug_pins:
        common = pin.positive == wired.common_positive
        if common or len(returns) > 1:
            yield Probe(
                name=PLUG if common else f"{PLUG}.{pin.pin}",
                kind=ProbeKind.CURRENT,
                words=f"the current in the wire of pin {pin.pin} of the plug, {pin.means}",
                first=wires[pin.node],
                turned=not pin.positive,
                closed=True,
            )


def _voltage(wired: WiredSubAssembly, point: TestPoint) -> Probe:
    return Probe(
        name=point.name,
        kind=ProbeKind.VOLTAGE,
        words=f"the voltage at {point.name} ({point.words}) against the supply's minus",
        first=point.node,
        closed=_at_plug(wired, point),
    )


def _resistances(wired: WiredSubAssembly) -> Iterator[Probe]:
    """Give the resistance of every resistor in place, and that between the plug's pins."""
    at = {point.node: point for point in wired.test_points}
    pairs = [(chain.resistor.first, chain.resistor.second) for chain in chains_of(wired)]
    first, *others = [pin.node for pin in wired.plug_pins] or [""]
    pairs += [(first, other) for other in others]
    for one, other in pairs:
        yield _between(wired, at[one], at[other], kind=ProbeKind.RESISTANCE)
