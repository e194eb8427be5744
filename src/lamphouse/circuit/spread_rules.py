"""Rules on how far builds of a sub-assembly may lie apart: neighbours, and little headroom."""

from collections.abc import Callable, Iterable, Mapping

from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.mend import is_overdriven, is_weak
from lamphouse.circuit.phrases import percent, some, volts
from lamphouse.circuit.spread import Neighbours, SubAssemblySpread, spread_of
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.topology import EASY_HEADROOM
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Grouping, Supply
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.record import replace

NOTICED = 1.5
"""Neighbours differ by at most this factor [PRACTICE]: the same as openings that should match."""
_CLOSE_TOLERANCE = 0.01

Respread = Callable[[SubAssemblyCircuit, CircuitHabits], SubAssemblySpread]


@rule("CIR040", Severity.WARN, "Neighbours that would differ in brightness")
def uneven_neighbours(
    spread: SubAssemblySpread,
    *,
    circuit: SubAssemblyCircuit,
    sub: SubAssembly,
    supply: Supply,
    habits: CircuitHabits,
    respread: Respread,
) -> Iterable[Told]:
    """Find light boxes whose strings would differ to the eye in more than one build of twenty.

    What it checks
        Of the strings that shine in one light box, and in boxes of the sub-assembly whose
        openings should match, the brightest gives at most 1.5 times the light of the darkest,
        each against its wanted current, in 19 of 20 builds drawn by lot. Resistors, forward
        voltages, supply and ambient differ from build to build; the flux of the LEDs does not,
        which are of one batch. Strings that a trim knob sets are left to the eye.

    Why it matters
        On a low supply little voltage is left for the resistors, and a tenth of a volt between
        two LEDs is half of the current. One end of a screen is then darker than the other, and
        nothing is broken.

    Example
        ::

            supply: {kind: usb port, voltage: 3 V, tolerance: 5 %, max_current: 500 mA}
            circuit: {least_share: 10 %}

    Mend
        What the finding names: closer resistors, single LEDs, or a supply of more volts.

    Source
        Draws between bounds [GUM]; the factor is common practice, no source.
    """
    where = {box.name: box.where for _, box in sub.boxes}
    for seen in spread.neighbours:
        if seen.ratio <= NOTICED:
            continue
        least = _least_headroom(seen, circuit=circuit)
        yield Told(
            where=where[seen.boxes[0]],
            message=f"strings {some(seen.strings)} in '{seen.seen}' may differ in light by a "
            f"factor of {seen.ratio:.2f} or more in one build of twenty, and {NOTICED:g} is seen; "
            f"as little as {percent(least)} of the supply stands over a resistor",
            remedy=_evener(
                seen, circuit=circuit, sub=sub, supply=supply, habits=habits, respread=respread
            ),
        )


def _least_headroom(seen: Neighbours, *, circuit: SubAssemblyCircuit) -> float:
    return min(string.headroom for string in circuit.strings if string.name in seen.strings)


def _evener(
    seen: Neighbours,
    *,
    circuit: SubAssemblyCircuit,
    sub: SubAssembly,
    supply: Supply,
    habits: CircuitHabits,
    respread: Respread,
) -> str:
    """Say the first means that brings neighbours together, each drawn again."""
    close = replace(habits, resistor_tolerance=_CLOSE_TOLERANCE)

    def ratio(other: SubAssemblyCircuit, own: CircuitHabits) -> float:
        found = {one.seen: one.ratio for one in respread(other, own).neighbours}
        return found.get(seen.seen, 1.0)

    if habits.resistor_tolerance > _CLOSE_TOLERANCE and (now := ratio(circuit, close)) <= NOTICED:
        return f"take resistors of {percent(_CLOSE_TOLERANCE)}: {now:.2f}"
    if any(len(string.leds) > 1 for string in circuit.strings if string.name in seen.strings):
        alone = design_circuit(
            replace(sub, grouping=Grouping.SINGLE, strings=()),
            supply=supply,
            habits=habits,
            package=circuit.strings[0].resistor_package,
        )
        if (now := ratio(alone, habits)) <= NOTICED:
            return f"give each LED a resistor of its own (grouping: single): {now:.2f}"
    return (
        "take a supply of more volts, measure the LEDs' forward voltages and put like ones side "
        "by side, or set each string by a trim knob"
    )


@rule("CIR041", Severity.NOTE, "A string with little headroom")
def little_headroom(
    spread: SubAssemblySpread, *, circuit: SubAssemblyCircuit, habits: CircuitHabits
) -> Iterable[Told]:
    """Find strings that hold in the worst case, with little voltage over their resistor.

    What it checks
        At least 20 % of the supply's voltage stands over a string's resistor. Strings that do
        not hold in the worst case, or send too much through an LED, are told of elsewhere.

    Why it matters
        The less is left for the resistor, the more the LEDs' own spread and the room's warmth
        decide the light.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 6 V, tolerance: 0.1 %, max_current: 500 mA}
            circuit: {least_share: 10 %}

    Mend
        Leave it, if the band named will do; else shorter strings.

    Source
        A fifth to a quarter: common practice, no source. The band: draws between bounds [GUM].
    """
    bands = {one.string: one for one in spread.strings}
    for string in circuit.strings:
        if string.headroom >= EASY_HEADROOM or is_overdriven(string):
            continue
        if is_weak(string, least_share=habits.least_share):
            continue
        band = bands[string.name].current_A
        low, high = (end / string.wanted_A for end in (band.low, band.high))
        yield Told(
            where=string.where,
            message=f"{volts(string.ohm * string.current_A.nominal)} stand over the resistor, "
            f"{percent(string.headroom)} of the supply; nine builds of ten give "
            f"{100.0 * low:.0f} to {percent(high)} of the wanted current",
            remedy=_shorter(string),
        )


def _shorter(string: StringDesign) -> str:
    if len(string.leds) == 1:
        return "leave it, or take a supply of more volts"
    return "leave it, or put fewer LEDs in series"


def judge_spread(
    circuit: SubAssemblyCircuit,
    *,
    sub: SubAssembly,
    supply: Supply,
    habits: CircuitHabits,
    seed: int,
    mates: tuple[tuple[str, tuple[str, ...]], ...] = (),
) -> tuple[SubAssemblySpread, tuple[Finding, ...]]:
    """Draw many builds of a sub-assembly and tell what lies too far apart.

    Parameters
    ----------
    circuit, sub, supply, habits
        As for the worst case.
    seed
        The project's.
    mates
        Words by which openings should match, each with the light boxes behind them.
    """
    fed = at_terminals(supply, subs=(sub,))
    together: Mapping[str, tuple[str, ...]] = dict(mates)

    def respread(other: SubAssemblyCircuit, own: CircuitHabits) -> SubAssemblySpread:
        return spread_of(other, sub=sub, supply=fed, habits=own, seed=seed, mates=together)

    spread = respread(circuit, habits)
    return spread, (
        *uneven_neighbours(
            spread, circuit=circuit, sub=sub, supply=fed, habits=habits, respread=respread
        ),
        *little_headroom(spread, circuit=circuit, habits=habits),
    )
