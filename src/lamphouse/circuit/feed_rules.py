"""Rules on the feed: the named fuse, what a short of the cells does, and a reversed supply."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.protection import FUSE_DEGC, FuseType
from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import SupplyLoad
from lamphouse.circuit.discharge import short_circuit_A
from lamphouse.circuit.phrases import amps, volts
from lamphouse.circuit.pigtail_rules import weakest_part
from lamphouse.circuit.terminals import fresh_V
from lamphouse.design.supply import CircuitHabits, Pigtail, Supply, SupplyKind, Way
from lamphouse.findings import Finding, Severity, Told, Where, rule
from lamphouse.record import Record

LED_REVERSE_V = 5.0
"""What an LED stands in reverse, as most data sheets say [TYPICAL]."""
DROP_TO_MIND = 0.05
"""Share of the supply from which a diode's drop is too much for it [PRACTICE]."""
_SAME = 1e-9


class NamedFuse(Record):
    """A fuse of the catalogue in its place."""

    fuse: FuseType
    where: Where
    behind: str
    """Which strings it feeds, such as ``of feed 'day'``."""
    rated_A: float | None
    """What the maker says of it."""
    most_A: float
    """The largest current of all strings behind it."""
    wires: tuple[tuple[Where, float, str], ...]
    """What it alone guards: where, what that carries, and what it is. [A]"""


@rule("CIR060", Severity.STOP, "A fuse that opens when it is warm")
def warm_fuse(fuses: Sequence[NamedFuse], *, habits: CircuitHabits) -> Iterable[Told]:
    """Find fuses that carry the load on a cold day only.

    What it checks
        What the fuse of the supply, or of a feed, carries in the warmest air is at least the
        largest current of all strings behind it.

    Why it matters
        A resettable fuse loses about 1 % of its current for each kelvin. In a warm base it opens
        in the middle of the evening, and nobody finds out why: cold, it works.

    Example
        ::

            supply:
              {kind: plug-in supply, voltage: 12 V, max_current: 500 mA, fuse_type: resettable 80 mA}
            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 34, step: [5 mm, 0 mm], current: 5 mA}

    Mend
        Take the fuse that the finding asks for, if the wires carry it.

    Source
        The fuse's row in the catalogue [FUSES].
    """  # noqa: E501 - one line of the example is one line of a project file
    for named in fuses:
        fuse = named.fuse
        carries = fuse.hold_at_A(habits.warmest_degC)
        if named.most_A > carries:
            left = carries / fuse.hold_A
            remedy = (
                f"take one that holds {amps(named.most_A / left)} at {FUSE_DEGC:g} degC"
                if left > 0.0
                else f"keep it below {FUSE_DEGC + 1.0 / fuse.loss_per_kelvin:.0f} degC"
            )
            yield Told(
                where=named.where,
                message=f"all strings {named.behind} may take {amps(named.most_A)}; "
                f"'{fuse.name}' carries {amps(carries)} in {habits.warmest_degC:g} degC",
                remedy=remedy,
            )


@rule("CIR061", Severity.WARN, "A resettable fuse that opens too late for a wire")
def late_fuse(
    fuses: Sequence[NamedFuse], *, supply: Supply, habits: CircuitHabits
) -> Iterable[Told]:
    """Find wires and plugs that carry less than what opens a resettable fuse.

    What it checks
        What surely opens a resettable fuse in the coldest air is at most what the wire and the
        plug of every pigtail behind it carry, and behind the fuse of a feed its trunk.

    Why it matters
        Between its hold and its trip current, about twice as much, such a fuse may stay closed
        for ever. A fault in that range heats the wire.

    Example
        ::

            supply:
              {kind: plug-in supply, voltage: 12 V, max_current: 3 A, fuse_type: resettable 500 mA}

    Mend
        Take a resettable fuse of half the current, or a thicker wire.

    Source
        The fuse's row in the catalogue [FUSES]; [PRACTICE].
    """
    gives_A = supply.max_current_A
    if supply.fuse_type:
        gives_A = min(supply.fuse_type.trip_at_A(habits.coldest_degC), gives_A)
    for named in fuses:
        fuse = named.fuse
        trip = min(fuse.trip_at_A(habits.coldest_degC), gives_A)
        share = fuse.hold_A / fuse.trip_at_A(habits.coldest_degC)
        for where, carries, part in named.wires if fuse.construction == "resettable" else ():
            if fuse.hold_A <= carries * (1.0 + _SAME) < trip:
                yield Told(
                    where=where,
                    message=f"'{fuse.name}' may let {amps(trip)} through for ever in "
                    f"{habits.coldest_degC:g} degC; {part} carries {amps(carries)}",
                    remedy=f"take a resettable fuse that holds {amps(carries * share)} or less, "
                    f"or a wire and plug for {amps(trip)}",
                )


@rule("CIR062", Severity.STOP, "A fuse for less voltage")
def weak_fuse(fuses: Sequence[NamedFuse], *, supply: Supply) -> Iterable[Told]:
    """Find fuses that may not break the voltage of the supply.

    What it checks
        The largest voltage of the supply's fuse, and of each feed's, is at least the highest the
        supply gives.

    Why it matters
        Above it the fuse arcs, or burns when it opens.

    Example
        ::

            supply:
              {kind: plug-in supply, voltage: 24 V, max_current: 1 A, fuse_type: small}
            parts/fuses.csv: |
              name,construction,hold,trip,resistance,max voltage,loss per kelvin,source,kind,date
              small,resettable,500 mA,1 A,300 mohm,16 V,0.95 %,own bench,measured,2026-11-26

    Mend
        Take a fuse for the voltage that the finding names.

    Source
        The fuse's row in the catalogue [FUSES].
    """
    for named in fuses:
        if named.fuse.max_V < fresh_V(supply):
            yield Told(
                where=named.where,
                message=f"'{named.fuse.name}' breaks up to {volts(named.fuse.max_V)}; the supply "
                f"gives up to {volts(fresh_V(supply))}",
                remedy=f"take a fuse for {volts(fresh_V(supply))} or more",
            )


@rule("CIR063", Severity.WARN, "Two ratings for one fuse")
def two_ratings(fuses: Sequence[NamedFuse]) -> Iterable[Told]:
    """Find a fuse whose rating is not that of its type.

    What it checks
        ``fuse`` is the current of ``fuse_type`` where the supply, or a feed, gives both.

    Why it matters
        The wires are judged by one, the drop and the heat by the other.

    Example
        ::

            supply:
              {kind: plug-in supply, voltage: 12 V, max_current: 500 mA, fuse: 500 mA, fuse_type: resettable 250 mA}

    Mend
        Remove ``fuse``; the type says it.

    Source
        Design rule of this project.
    """  # noqa: E501 - one line of the example is one line of a project file
    for named in fuses:
        fuse, rated_A = named.fuse, named.rated_A
        if rated_A is not None and abs(rated_A - fuse.hold_A) > _SAME:
            yield Told(
                where=named.where,
                message=f"fuse says {amps(rated_A)}, and '{fuse.name}' carries {amps(fuse.hold_A)}",
                remedy="remove fuse, or name the type that is fitted",
            )


@rule("CIR064", Severity.WARN, "Cells without a fuse before thin wires")
def unfused_cells(supply: Supply, *, pigtails: Sequence[Pigtail]) -> Iterable[Told]:
    """Find wires that a short of the cells could burn.

    What it checks
        Where no fuse is given, the current of fresh cells through a dead short is at most what
        the wire and the plug of every pigtail carry.

    Why it matters
        Cells know no limit but their own resistance: three fresh AA cells push ten ampere
        through a pinched wire, whatever the model needs.

    Example
        ::

            supply: {kind: cells, voltage: 4.5 V, max_current: 500 mA, cells: {type: alkaline AA, count: 3}}

    Mend
        Put the fuse that the finding names right at the cells.

    Source
        Ohm's law; the rows of cell, wire and plug in the catalogue [CELLS].
    """  # noqa: E501 - one line of the example is one line of a project file
    if supply.cells is None or supply.fuse_A is not None:
        return
    short_A = short_circuit_A(supply.cells)
    for pigtail in pigtails:
        carries, part = weakest_part(pigtail)
        if supply.max_current_A <= carries < short_A:
            yield Told(
                where=pigtail.where,
                message=f"no fuse is given, and fresh cells push {short_A:.1f} A through a short; "
                f"{part} carries {amps(carries)}",
                remedy=f"put a fuse of {amps(carries)} or less right at the cells, such as fuse: "
                f"{amps(carries)}",
            )


@rule("CIR065", Severity.WARN, "A reversed supply would reach the LEDs")
def unprotected(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find supplies that can be put in the wrong way round and are strong enough to harm LEDs.

    What it checks
        A supply with ``plug: either way``, or of cells, has ``reverse_protection`` where it gives
        more than the 5 V that an LED stands in reverse.

    Why it matters
        In reverse one LED of a string may take the whole voltage. It is weakened at once and
        fails months later, behind glue.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA, plug: either way}

    Mend
        Put the part that the finding names into the plus lead, or use a plug with a key.

    Source
        [TYPICAL]: 5 V is what most data sheets of LEDs allow; the drops are those of the rows
        [PROTECTORS].
    """
    turned = supply.way is Way.EITHER or supply.kind is SupplyKind.CELLS
    if (
        not (turned and load.total_A.high > 0.0)
        or supply.protector
        or fresh_V(supply) <= LED_REVERSE_V
    ):
        return
    diode = built_in().protectors["schottky diode"]
    left_V = supply.voltage_V - diode.most_drop_V
    takes = f"takes at most {volts(diode.most_drop_V)} and leaves {volts(left_V)}"
    remedy = f"write reverse_protection: {diode.name}, which {takes}"
    if diode.most_drop_V > DROP_TO_MIND * supply.voltage_V:
        remedy += "; a p-channel mosfet takes next to nothing"
    yield Told(
        where=supply.where,
        message=f"it can be put in the wrong way round: up to {volts(fresh_V(supply))} would "
        f"stand across LEDs that bear {volts(LED_REVERSE_V)} in reverse",
        remedy=remedy,
    )


@rule("CIR066", Severity.STOP, "A protecting part beyond its limits")
def weak_protector(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find diodes and transistors in the feed that carry or block too much.

    What it checks
        The largest total current is at most what the part carries, and the highest voltage of
        the supply at most what it blocks.

    Why it matters
        An overloaded diode melts its way to a short, and then protects nothing.

    Example
        ::

            supply:
              {kind: plug-in supply, voltage: 24 V, max_current: 1 A, reverse_protection: p-channel mosfet}

    Mend
        Take a part for the current and voltage that the finding names.

    Source
        The part's row in the catalogue [PROTECTORS].
    """  # noqa: E501 - one line of the example is one line of a project file
    part = supply.protector
    if part is None:
        return
    if load.total_A.high > part.max_current_A:
        yield Told(
            where=supply.where,
            message=f"{load.drawn_by} may take {amps(load.total_A.high)}; '{part.name}' "
            f"carries {amps(part.max_current_A)}",
            remedy=f"take one for {amps(load.total_A.high)} or more",
        )
    if fresh_V(supply) > part.max_V:
        yield Told(
            where=supply.where,
            message=f"'{part.name}' blocks {volts(part.max_V)}; the supply gives up to "
            f"{volts(fresh_V(supply))}",
            remedy=f"take one for {volts(fresh_V(supply))} or more",
        )


def named_fuse_findings(
    fuses: Sequence[NamedFuse], *, supply: Supply, habits: CircuitHabits
) -> tuple[Finding, ...]:
    """Run every rule on fuses of the catalogue, be they the supply's or those of feeds."""
    return (
        *warm_fuse(fuses, habits=habits),
        *late_fuse(fuses, supply=supply, habits=habits),
        *weak_fuse(fuses, supply=supply),
        *two_ratings(fuses),
    )


def feed_findings(
    supply: Supply, *, load: SupplyLoad, pigtails: Sequence[Pigtail], habits: CircuitHabits
) -> tuple[Finding, ...]:
    """Run every rule on fuse and protection.

    Parameters
    ----------
    supply, load, habits
        Of the whole model.
    pigtails
        Of every sub-assembly with LEDs that only the supply's own fuse guards.
    """
    own = supply.fuse_type and NamedFuse(
        fuse=supply.fuse_type,
        where=supply.where,
        behind="together",
        rated_A=supply.fuse_A,
        most_A=load.total_A.high,
        wires=tuple((pigtail.where, *weakest_part(pigtail)) for pigtail in pigtails),
    )
    return (
        *named_fuse_findings((own,) if own else (), supply=supply, habits=habits),
        *unfused_cells(supply, pigtails=pigtails),
        *unprotected(supply, load=load),
        *weak_protector(supply, load=load),
    )
