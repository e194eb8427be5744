"""Rules on pigtails: that there is one, what it carries, what is lost in it, and what fuses it."""

import math
from collections.abc import Iterable

import numpy as np

from lamphouse.catalogue.electric_parts import COPPER_OHM_M
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.corners import MIDDLE, level_arrays, types_of
from lamphouse.circuit.phrases import amps, percent, volts
from lamphouse.circuit.solve import Array, branch_current
from lamphouse.circuit.strings import lead_resistance_ohm
from lamphouse.circuit.trial import Feed
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Pigtail, Supply
from lamphouse.findings import Finding, Severity, Told, rule

LARGEST_LOSS = 0.05
"""Loss of a string's current that is seen beside a panel without it [PRACTICE]."""


@rule("CIR011", Severity.WARN, "Lights without a pigtail")
def no_pigtail(sub: SubAssembly) -> Iterable[Told]:
    """Find sub-assemblies with LEDs that cannot be unplugged.

    What it checks
        A sub-assembly with LEDs has a pigtail.

    Why it matters
        What cannot be unplugged cannot be lifted out, tested by itself or mended. Its currents
        are computed as if it hung on the supply's terminals.

    Example
        ::

            sub_assemblies:
              wall:
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 5 mA}

    Mend
        Give it a pigtail with a plug.

    Source
        [PRACTICE]
    """
    if sub.leds() and sub.pigtail is None:
        yield Told(
            where=sub.where,
            message=f"'{sub.name}' has LEDs but no pigtail, so it cannot be unplugged and lifted "
            "out",
            remedy="add one, such as pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, "
            "length: 150 mm}",
        )


@rule("CIR012", Severity.STOP, "A pigtail carries more than its plug or wire may")
def overloaded_pigtail(circuit: SubAssemblyCircuit, *, sub: SubAssembly) -> Iterable[Told]:
    """Find pigtails whose strings take more than the wire or a contact carries.

    What it checks
        The largest total current of a sub-assembly is at most the rated current of its wire and
        of a contact of its plug.

    Why it matters
        The contact heats, its spring softens, and the light flickers when the model is moved.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 5 V, max_current: 3 A}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 36 AWG enamelled, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 20, step: [5 mm, 0 mm], current: 10 mA}

    Mend
        Take a wire or a plug that carries the current, or split the sub-assembly's strings over
        two pigtails.

    Source
        The rows of wire and plug in the catalogue.
    """  # noqa: E501 - one line of the example is one line of a project file
    if sub.pigtail is None:
        return
    total = circuit.total_A.high
    for part, carries in (
        (f"its wire '{sub.pigtail.wire.name}'", sub.pigtail.wire.max_current_A),
        (f"a contact of its plug '{sub.pigtail.plug.name}'", sub.pigtail.plug.max_current_A),
    ):
        if total > carries:
            yield Told(
                where=sub.pigtail.where,
                message=f"the strings take up to {amps(total)} through the pigtail; {part} "
                f"carries {amps(carries)}",
                remedy=f"take one that carries {amps(total)}, or feed the strings through "
                f"{math.ceil(total / carries)} pigtails",
            )


@rule("CIR013", Severity.WARN, "A pigtail that dims its lights")
def lossy_pigtail(circuit: SubAssemblyCircuit, *, sub: SubAssembly, feed: Feed) -> Iterable[Told]:
    """Find pigtails whose resistance takes more than 5 % off the current of a string.

    What it checks
        The nominal current of every string, solved with all its neighbours drawing through the
        pigtail, against the same string on the supply's terminals.

    Why it matters
        The same panel looks paler behind a long thin lead than behind a short one, and the
        lights of a wall rise when others on the same lead go dark.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 2 A}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 36 AWG enamelled, length: 3 m}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 30, step: [5 mm, 0 mm], current: 10 mA}

    Mend
        Take the thicker wire that the finding names, or a shorter pigtail.

    Source
        Ohm's and Kirchhoff's laws, [SHOCKLEY]; copper [IACS]. The 5 % are common practice, no
        source.
    """  # noqa: E501 - one line of the example is one line of a project file
    if sub.pigtail is None or not circuit.strings:
        return
    levels = level_arrays([types_of(s.leds) for s in circuit.strings], habits=feed.habits)
    resistors = np.array([string.ohm for string in circuit.strings])

    def currents(node_V: float) -> Array:
        return branch_current(
            node_V,
            ohm=levels.leds_ohm + resistors,
            slope_V=levels.slope_V,
            log_saturation=levels.log_saturation[MIDDLE],
        )

    without = currents(feed.supply.voltage_V)
    loss = 1.0 - np.array([string.current_A.nominal for string in circuit.strings]) / without
    worst = int(loss.argmax())
    if loss[worst] <= LARGEST_LOSS:
        return
    string = circuit.strings[worst]
    kept_A = (1.0 - LARGEST_LOSS) * without
    kept_V = float((levels.voltage(kept_A, level=MIDDLE) + kept_A * resistors)[worst])
    run_ohm = circuit.lead_ohm - lead_resistance_ohm(sub.pigtail)
    allowed_ohm = (feed.supply.voltage_V - kept_V) / float(currents(kept_V).sum()) - run_ohm
    yield Told(
        where=sub.pigtail.where,
        message=f"string '{string.name}' gets {amps(string.current_A.nominal)} behind "
        f"{circuit.lead_ohm:.2g} ohm of pigtail and loom and {amps(float(without[worst]))} "
        f"without them: the {volts(circuit.lead_drop_V)} lost take "
        f"{percent(float(loss[worst]))} of its light, and {percent(LARGEST_LOSS)} are seen",
        remedy=_wire_for(sub.pigtail, allowed_ohm),
    )


def _wire_for(pigtail: Pigtail, allowed_ohm: float) -> str:
    """Name the copper that keeps a pigtail's resistance, out and back, within a limit."""
    one_way = 0.5 * allowed_ohm - pigtail.plug.contact_ohm
    if one_way <= 0.0:
        return "feed the strings through two pigtails, each with a plug of its own"
    ohm_per_m = one_way / (pigtail.length_mm / 1000.0)
    copper_mm = 1000.0 * math.sqrt(4.0 * COPPER_OHM_M / (math.pi * ohm_per_m))
    shorter_mm = 1000.0 * one_way / pigtail.wire.ohm_per_m
    return (
        f"take a wire of at most {ohm_per_m:.2g} ohm/m (copper of {copper_mm:.2f} mm), or a "
        f"pigtail of at most {shorter_mm:.0f} mm"
    )


@rule("CIR009", Severity.STOP, "A fuse larger than a pigtail carries")
def large_fuse(supply: Supply, *, sub: SubAssembly, circuit: SubAssemblyCircuit) -> Iterable[Told]:
    """Find pigtails that would burn before the fuse does.

    What it checks
        The fuse's rating is at most what the wire and the plug of every pigtail carry.

    Why it matters
        A pinched wire in a wall passes whatever the fuse lets through, and gets hot where
        nobody sees it.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 3 A, fuse: 2 A}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 5 mA}

    Mend
        Take the smaller fuse that the finding names, or give the pigtail a fuse of its own.

    Source
        [PRACTICE]; a fuse protects the wire behind it, so its rating stays within the wire's.
        The limits are those of the rows of wire and plug in the catalogue.
    """
    if supply.fuse_A is None or sub.pigtail is None or not sub.leds():
        return
    carries, part = weakest_part(sub.pigtail)
    if supply.fuse_A > carries * (1.0 + 1e-9):
        yield Told(
            where=sub.pigtail.where,
            message=f"the fuse lets {amps(supply.fuse_A)} through; {part} carries {amps(carries)}",
            remedy=f"fuse the supply, or this pigtail alone, with {amps(carries)} or less (its "
            f"strings take up to {amps(circuit.total_A.high)})",
        )


@rule("CIR010", Severity.WARN, "No fuse before thin wires")
def no_fuse(supply: Supply, *, sub: SubAssembly, circuit: SubAssemblyCircuit) -> Iterable[Told]:
    """Find pigtails that a short circuit could heat without end.

    What it checks
        Where no fuse is given, the supply itself gives no more than the wire and the plug of
        every pigtail carry.

    Why it matters
        A pinched wire then passes all the supply gives, and gets hot where nobody sees it.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 3 A}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 5 mA}

    Mend
        Put the fuse that the finding names into the feed.

    Source
        [PRACTICE]; the limits are those of the rows of wire and plug in the catalogue.
    """
    if supply.fuse_A is not None or sub.pigtail is None or not sub.leds():
        return
    carries, part = weakest_part(sub.pigtail)
    if supply.max_current_A > carries * (1.0 + 1e-9):
        yield Told(
            where=sub.pigtail.where,
            message=f"no fuse is given and the supply gives {amps(supply.max_current_A)}; {part} "
            f"carries {amps(carries)}",
            remedy=f"put a fuse of {amps(carries)} or less into the feed (the strings of this "
            f"pigtail take up to {amps(circuit.total_A.high)})",
        )


def weakest_part(pigtail: Pigtail) -> tuple[float, str]:
    """Give the current a pigtail carries, and the part that sets it, in A."""
    wire, plug = pigtail.wire, pigtail.plug
    if wire.max_current_A <= plug.max_current_A:
        return wire.max_current_A, f"its wire '{wire.name}'"
    return plug.max_current_A, f"its plug '{plug.name}'"


def pigtail_findings(
    circuit: SubAssemblyCircuit, *, sub: SubAssembly, feed: Feed
) -> tuple[Finding, ...]:
    """Run every rule on the pigtail of a sub-assembly."""
    return (
        *no_pigtail(sub),
        *overloaded_pigtail(circuit, sub=sub),
        *lossy_pigtail(circuit, sub=sub, feed=feed),
        *large_fuse(feed.supply, sub=sub, circuit=circuit),
        *no_fuse(feed.supply, sub=sub, circuit=circuit),
    )
