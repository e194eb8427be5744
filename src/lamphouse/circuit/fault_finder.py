"""The front door of the fault finder: a sub-assembly's faults solved beforehand, then readings."""

from collections.abc import Iterator, Sequence

from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.diagnosis import (
    MOST_MISFIT,
    Belief,
    Suspect,
    believe,
    groups_of,
    suspects_of,
)
from lamphouse.circuit.double_faults import double_faults
from lamphouse.circuit.fault_kinds import Fault
from lamphouse.circuit.faults import single_faults
from lamphouse.circuit.foretold import Foretold, Spread, foretell, spread_of
from lamphouse.circuit.meter import Meter, Probe, ProbeKind, Reading
from lamphouse.circuit.netlist import GROUND
from lamphouse.circuit.next_reading import NextReading, next_reading
from lamphouse.circuit.probes import probes_of
from lamphouse.circuit.string_bundles import Bundled, bundle
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record


class FaultBook(Record):
    """Everything that can be wrong with a sub-assembly, and what each would read."""

    wired: WiredSubAssembly
    bundled: Bundled
    """What of it was solved: all, or of many strings alike one."""
    faults: tuple[Fault, ...]
    """The first is that nothing is."""
    foretold: Foretold
    groups: tuple[int, ...]
    """For each fault the place of the one that leads those no reading can tell from it."""
    spread: Spread
    meter: Meter


class Diagnosis(Record):
    """What readings say about a sub-assembly."""

    readings: tuple[Reading, ...]
    suspects: tuple[Suspect, ...]
    """The likeliest first."""
    misfit: float
    """Deviations by which the best fault misses the readings, on the mean of them."""
    then: NextReading | None
    """What to read next; None where no reading tells more."""

    def fits(self) -> bool:
        """Tell whether any fault explains the readings."""
        return self.misfit <= MOST_MISFIT


def open_book(
    wired: WiredSubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    supply: Supply,
    habits: CircuitHabits,
    led_types: Sequence[LedType] = (),
    meter: Meter | None = None,
    closed: bool = False,
    readings: Sequence[Reading] = (),
) -> FaultBook:
    """Solve everything that can be wrong with a sub-assembly.

    Of a large one only the strings that the readings point at are solved each for itself, with one
    of each kind for the others, so that time and memory stay bounded; see
    :func:`lamphouse.circuit.string_bundles.bundle`. For other readings it is opened anew.

    Parameters
    ----------
    wired, circuit
        As soldered and as designed.
    supply, habits
        For the spread of good parts.
    led_types
        Those on the bench, of which one may have got into another's place.
    meter
        With what is read; one of 1 percent and 2 digits by default.
    closed
        Whether only plug and lights can be reached.
    readings
        By which the strings of a large sub-assembly are chosen; :func:`diagnose` weighs them.
    """
    meter = meter or Meter()
    singles = single_faults(
        wired, circuit=circuit, supply=supply, series=habits.series, led_types=led_types
    )
    spread = spread_of(wired, circuit=circuit, supply=supply, habits=habits)
    bundled = bundle(wired, spread=spread, readings=readings)
    singles, spread = bundled.solvable(singles), bundled.spread(spread)
    faults = bundled.for_all((*singles, *double_faults(singles, wired=wired)))
    foretold = foretell(
        bundled.netlist,
        faults,
        probes=[one for one in probes_of(wired, closed=closed) if _solved(bundled, one)],
        spread=spread,
        meter=meter,
        together=True,
    )
    return FaultBook(
        wired=wired,
        bundled=bundled,
        faults=faults,
        foretold=foretold,
        groups=groups_of(faults, foretold, meter=meter),
        spread=spread,
        meter=meter,
    )


def diagnose(
    book: FaultBook,
    readings: Sequence[Reading] = (),
    *,
    solved: dict[Probe, Foretold] | None = None,
) -> Diagnosis:
    """Rank the faults by readings, and choose the next one.

    Parameters
    ----------
    book
        The sub-assembly's faults.
    readings
        In any order. A probe read twice counts once; lights of strings not solved do not count.
    solved
        Kept from one call to the next: what each probe that was read reads under every fault.

    Raises
    ------
    ValueError
        If a probe has two readings that contradict each other, a reading is no number, or a point
        lies in a string that was not solved.
    """
    readings = _once(readings)
    told, readings = readings, _usable(book, readings)
    taken = _taken(book, readings, solved={} if solved is None else solved)
    belief: Belief = believe(book.faults, taken, readings=readings, meter=book.meter)
    suspects = suspects_of(book.faults, belief=belief, groups=book.groups)
    then = None
    for askable in _askable(book):
        then = then or next_reading(
            book.faults,
            askable,
            taken=taken,
            readings=readings,
            belief=belief,
            groups=book.groups,
            suspects=suspects,
            meter=book.meter,
        )
    return Diagnosis(readings=told, suspects=suspects, misfit=float(belief.misfit.min()), then=then)


def weighed(book: FaultBook) -> Belief:
    """Give what is believed before any reading: every fault by its weight."""
    return believe(book.faults, book.foretold, readings=(), meter=book.meter)


def _askable(book: FaultBook) -> Iterator[Foretold]:
    """Give what may be read next, and what only where none of that tells anything more.

    The latter are points of strings that stand for others: there it may be another of them.
    """
    shared = book.bundled.shared
    yield book.foretold.only(
        [
            one
            for one in book.foretold.probes
            if one.kind is ProbeKind.LIGHT or shared.isdisjoint((one.first, one.second))
        ]
    )
    if shared:
        yield book.foretold


def _taken(
    book: FaultBook, readings: Sequence[Reading], *, solved: dict[Probe, Foretold]
) -> Foretold:
    """Solve every probe that was read, the meter on it alone; lights are solved already."""
    lights = book.foretold.only(book.foretold.lights())
    for reading in readings:
        probe = reading.probe
        if probe.kind is not ProbeKind.LIGHT and probe not in solved:
            solved[probe] = foretell(
                book.bundled.netlist,
                book.faults,
                probes=[probe],
                spread=book.spread,
                meter=book.meter,
            )
    numbers = [
        solved[reading.probe] for reading in readings if reading.probe.kind is not ProbeKind.LIGHT
    ]
    taken = lights
    for one in numbers:
        taken = one.beside(taken)
    return taken


def _solved(bundled: Bundled, probe: Probe) -> bool:
    return bundled.knows(probe.first, probe.second or GROUND)


def _usable(book: FaultBook, readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """Keep the readings that were solved."""
    far = [one for one in readings if not _solved(book.bundled, one.probe)]
    for reading in far:
        if reading.probe.kind is not ProbeKind.LIGHT:
            unsolved = (
                f"'{reading.probe.name}' is one point too many: of so large a sub-assembly "
                f"{len(book.bundled.kept)} strings are solved at once; give the readings of fewer"
            )
            raise ValueError(unsolved)
    return tuple(one for one in readings if one not in far)


def _once(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    kept: dict[Probe, Reading] = {}
    for reading in readings:
        before = kept.setdefault(reading.probe, reading)
        if before is not reading and before.value != reading.value:
            twice = (
                f"'{reading.probe.name}' is read twice, {before.value} and {reading.value}; "
                "give the one you trust"
            )
            raise ValueError(twice)
    return tuple(kept.values())
