"""The front door: the circuit of a sub-assembly, and the load of the whole model, with findings."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.circuit.branch import Band, SubAssemblyCircuit, SupplyLoad
from lamphouse.circuit.cell_rules import cell_findings
from lamphouse.circuit.discharge import RunTime, run_time
from lamphouse.circuit.exit_rules import tight_exit
from lamphouse.circuit.feed_rules import feed_findings
from lamphouse.circuit.knob_rules import knob_findings
from lamphouse.circuit.load import supply_load
from lamphouse.circuit.pigtail_rules import pigtail_findings
from lamphouse.circuit.string_rules import string_findings
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.supply_rules import above_ceiling, designable_supply, supply_findings
from lamphouse.circuit.surge_rules import surge_findings
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.trial import Feed, Stock
from lamphouse.circuit.wish_rules import wish_findings
from lamphouse.design.loom import FeedWish
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CircuitHabits, Pigtail, Supply
from lamphouse.findings import Finding


def judge_sub_assembly(
    sub: SubAssembly,
    *,
    supply: Supply,
    habits: CircuitHabits,
    package: ResistorPackage,
    groups: Sequence[SourceGroup] = (),
    run_ohm: float = 0.0,
    drawer: Stock = (),
) -> tuple[SubAssemblyCircuit | None, tuple[Finding, ...]]:
    """Design the strings of a sub-assembly and tell everything that is wrong with them.

    Parameters
    ----------
    sub, supply, habits
        As the maker decided.
    package
        The row of the shelf that the sub-assembly's board names for its resistors.
    groups
        The model's source groups, to know which of them blink.
    run_ohm
        Of the loom between the supply and the pigtail, out and back.
    drawer
        Resistors that no sub-assembly before it takes.

    Returns
    -------
    tuple
        The circuit, None where the supply is refused or there is no LED; and the findings.
    """
    found = wish_findings(sub, groups=groups)
    supply = at_terminals(supply, subs=(sub,))
    if not designable_supply(supply) or not sub.leds():
        return None, found
    circuit = design_circuit(
        sub, supply=supply, habits=habits, package=package, run_ohm=run_ohm, drawer=drawer
    )
    feed = Feed(
        supply=supply,
        habits=habits,
        package=package,
        lead_ohm=circuit.lead_ohm,
        drawer=drawer if habits.prefer_drawer else (),
    )
    return circuit, (
        *found,
        *string_findings(circuit, sub=sub, feed=feed),
        *knob_findings(circuit, feed=feed),
        *pigtail_findings(circuit, sub=sub, feed=feed),
        *tight_exit(circuit, sub=sub),
    )


def judge_supply(
    circuits: Sequence[SubAssemblyCircuit],
    *,
    supply: Supply,
    groups: Sequence[SourceGroup] = (),
    feeds: Sequence[FeedWish] = (),
    control: Mapping[str, Band] = MappingProxyType({}),
) -> tuple[SupplyLoad | None, tuple[Finding, ...]]:
    """Sum up the load on the supply and tell everything that is wrong with it.

    Parameters
    ----------
    control
        What controllers draw themselves, by the sub-assembly they stand in.

    Returns
    -------
    tuple
        The load, None where the supply is refused; and the findings.
    """
    refused = above_ceiling(supply)
    if refused:
        return None, refused
    load = supply_load(circuits, supply=supply, groups=groups, feeds=feeds, control=control)
    return load, supply_findings(supply, load=load)


def judge_feed(
    circuits: Sequence[SubAssemblyCircuit],
    *,
    load: SupplyLoad,
    supply: Supply,
    pigtails: Sequence[Pigtail],
    habits: CircuitHabits,
    groups: Sequence[SourceGroup] = (),
) -> tuple[RunTime | None, tuple[Finding, ...]]:
    """Discharge the cells, and tell everything that is wrong with cells, fuse and protection.

    Parameters
    ----------
    circuits, load
        Of the whole model.
    supply, habits, groups
        As the maker decided.
    pigtails
        Of every sub-assembly with LEDs that only the supply's own fuse guards.

    Returns
    -------
    tuple
        The run time, None without named cells; and the findings.
    """

    def rerun(other: Supply) -> RunTime | None:
        return run_time(circuits, supply=other, habits=habits, groups=groups, own_A=load.own_A)

    run = rerun(supply)
    return run, (
        *cell_findings(supply, load=load, run=run, rerun=rerun),
        *feed_findings(supply, load=load, pigtails=pigtails, habits=habits),
        *surge_findings(supply),
    )
