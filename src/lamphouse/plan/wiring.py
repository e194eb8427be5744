"""The wiring of a plan: circuits, loom, heat and boards, and what the supply has to give."""

from collections.abc import Iterator, Mapping

from lamphouse.circuit.branch import SubAssemblyCircuit, SupplyLoad
from lamphouse.circuit.discharge import RunTime
from lamphouse.circuit.heat_rules import judge_heat
from lamphouse.circuit.laid_loom import lay_loom
from lamphouse.circuit.loom_fuse_rules import fuse_before
from lamphouse.circuit.loom_load import run_ohms
from lamphouse.circuit.loom_runs import Loom, LoomLoad, Member
from lamphouse.circuit.loom_verdict import judge_loom
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.trial import Stock
from lamphouse.circuit.verdict import judge_feed, judge_sub_assembly, judge_supply
from lamphouse.circuit.warmth import BoxHeat
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.plan.boarded import board_findings
from lamphouse.plan.kept import Kept
from lamphouse.plan.programmed import Controllers
from lamphouse.plan.resistor_stock import Judged, in_turn
from lamphouse.plan.time_lined import with_mean_light
from lamphouse.plan.under_floor import members_of
from lamphouse.record import Record, replace
from lamphouse.room.floor_rules import obstacles_of


class Wired(Record):
    """Everything between the supply's terminals and the LEDs."""

    loom: Loom | None
    loom_load: LoomLoad | None
    by_sub: tuple[SubAssemblyCircuit | None, ...]
    """In the order of the sub-assemblies; None for one without LEDs, or that cannot be designed."""
    heats: tuple[BoxHeat, ...]

    @property
    def circuits(self) -> tuple[SubAssemblyCircuit, ...]:
        """Those that there are."""
        return tuple(circuit for circuit in self.by_sub if circuit)


def wire(design: Design, *, kept: Kept) -> tuple[Wired, tuple[Finding, ...]]:
    """Design the circuits of all sub-assemblies and lay the loom to them."""
    members = members_of(design)
    loom = _loom(members, design=design, kept=kept)
    judged = list(_circuits(loom, members=members, design=design, kept=kept))
    circuits = tuple(circuit for circuit, _ in judged if circuit)
    load, load_findings = _loaded(loom, members, circuits=circuits, design=design, kept=kept)
    pairs = list(zip(design.sub_assemblies, (circuit for circuit, _ in judged), strict=True))
    warm = [
        kept.step(
            judge_heat,
            sub,
            circuit=circuit,
            habits=design.habits,
            materials=design.sheet_heat,
        )
        for sub, circuit in pairs
        if circuit
    ]
    told = [*load_findings]
    told += [finding for _, findings in judged for finding in findings]
    told += [finding for _, findings in warm for finding in findings]
    for sub, circuit in pairs:
        told += board_findings(sub, circuit=circuit, design=design, kept=kept)
    wired = Wired(
        loom=loom,
        loom_load=load,
        by_sub=tuple(circuit for circuit, _ in judged),
        heats=tuple(heat for heats, _ in warm for heat in heats),
    )
    return wired, tuple(told)


def circuits_as_drawn(design: Design, *, kept: Kept) -> tuple[SubAssemblyCircuit, ...]:
    """Design the circuits as if nothing had been built yet."""
    members = members_of(design)
    loom = _loom(members, design=design, kept=kept)
    judged = _circuits(loom, members=members, design=design, kept=kept)
    return tuple(circuit for circuit, _ in judged if circuit)


def feed(
    wired: Wired, *, design: Design, controllers: Controllers, kept: Kept
) -> tuple[SupplyLoad | None, RunTime | None, tuple[Finding, ...]]:
    """Add up what is drawn from the supply, and judge whether it lasts."""
    load, load_findings = judge_supply(
        wired.circuits,
        supply=design.supply,
        groups=design.groups,
        feeds=design.loom.feeds if design.loom else (),
        control=controllers.drawn_A(),
    )
    run, feed_findings = _feed(wired.circuits, load=load, loom=wired.loom, design=design, kept=kept)
    return load, run, (*load_findings, *feed_findings)


def _loom(members: tuple[Member, ...], *, design: Design, kept: Kept) -> Loom | None:
    if design.loom is None or not members:
        return None
    return kept.step(
        lay_loom,
        members,
        wishes=design.loom,
        room=design.room,
        around=obstacles_of(design.surroundings),
    )


def _loaded(
    loom: Loom | None,
    members: tuple[Member, ...],
    *,
    circuits: tuple[SubAssemblyCircuit, ...],
    design: Design,
    kept: Kept,
) -> tuple[LoomLoad | None, tuple[Finding, ...]]:
    if loom is None or design.loom is None:
        return None, ()
    return kept.step(
        judge_loom,
        loom,
        members=members,
        circuits=circuits,
        wishes=design.loom,
        supply=design.supply,
        habits=design.habits,
        room=design.room,
    )


def _circuits(
    loom: Loom | None, *, members: tuple[Member, ...], design: Design, kept: Kept
) -> Iterator[Judged]:
    ohms: Mapping[str, float] = run_ohms(loom, members=members) if loom else {}
    return in_turn(
        design,
        judge=lambda sub, stock: _judge(
            sub,
            loom=loom,
            design=design,
            kept=kept,
            run_ohm=ohms.get(sub.name, 0.0),
            stock=stock,
        ),
    )


def _judge(
    sub: SubAssembly,
    *,
    loom: Loom | None,
    design: Design,
    kept: Kept,
    run_ohm: float,
    stock: Stock,
) -> tuple[SubAssemblyCircuit | None, tuple[Finding, ...]]:
    supply = at_terminals(design.supply, subs=design.sub_assemblies)
    for feed in loom.feeds if loom else ():
        if sub.name in feed.sub_assemblies:
            supply = replace(supply, fuse_A=fuse_before(supply, feed=feed))
    return kept.step(
        judge_sub_assembly,
        sub,
        supply=supply,
        habits=design.habits,
        package=sub.board.resistor_package if sub.board else design.resistor_package,
        groups=design.groups,
        run_ohm=run_ohm,
        drawer=stock,
    )


def _feed(
    circuits: tuple[SubAssemblyCircuit, ...],
    *,
    load: SupplyLoad | None,
    loom: Loom | None,
    design: Design,
    kept: Kept,
) -> tuple[RunTime | None, tuple[Finding, ...]]:
    if load is None:
        return None, ()
    fused = {
        name
        for feed in (loom.feeds if loom else ())
        if feed.fuse_A is not None
        for name in feed.sub_assemblies
    }
    return kept.step(
        judge_feed,
        circuits,
        load=load,
        supply=design.supply,
        pigtails=tuple(
            sub.pigtail
            for sub in design.sub_assemblies
            if sub.pigtail and sub.leds() and sub.name not in fused
        ),
        habits=design.habits,
        groups=with_mean_light(design, kept=kept),
    )
