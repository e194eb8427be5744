"""The boards of a plan: judged in every check, laid out only when a pack wants them drawn."""

from collections.abc import Iterator, Mapping

from lamphouse.board.board_rules import judge_board, no_lead
from lamphouse.board.demand import BoardDemand, demand_of
from lamphouse.board.planned_board import plan_board
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.loom_runs import Loom
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.plan.kept import Kept
from lamphouse.plan.result import Plan
from lamphouse.plan.wirings import wirings
from lamphouse.record import replace


def boarded(plan: Plan, *, only: str | None = None) -> Plan:
    """Lay out and prove the board of every sub-assembly that has one, with a pigtail.

    The findings stay as they are: a check has told them already.

    Parameters
    ----------
    only
        The one sub-assembly whose board is wanted; None for all.
    """
    boards = [
        plan_board(demand, wired=wired, seed=plan.design.seed)
        for demand, wired in demands(plan)
        if only in (None, wired.sub_assembly)
    ]
    return replace(plan, boards=tuple(boards))


def demands(plan: Plan) -> Iterator[tuple[BoardDemand, WiredSubAssembly]]:
    """Give what must stand on each board, with the circuit it must be."""
    subs = {sub.name: sub for sub in plan.design.sub_assemblies}
    for wired, circuit in zip(wirings(plan), plan.circuits, strict=True):
        demand = _demand(wired, subs[wired.sub_assembly], circuit=circuit, loom=plan.loom)
        if demand is not None and demand.parts:
            yield demand, wired


def board_findings(
    sub: SubAssembly, *, circuit: SubAssemblyCircuit | None, design: Design, kept: Kept
) -> tuple[Finding, ...]:
    """Judge the board of a sub-assembly, if it has one."""
    told = no_lead(sub)
    if circuit is None or sub.board is None or sub.pigtail is None:
        return told
    wired = wire_up(
        circuit, sub=sub, supply=design.supply, habits=design.habits, groups=design.groups
    )
    demand = _demand(wired, sub, circuit=circuit, loom=None)
    if demand is None:
        return told
    return (*told, *kept.step(judge_board, demand, pigtail=sub.pigtail, seed=design.seed))


def _demand(
    wired: WiredSubAssembly, sub: SubAssembly, *, circuit: SubAssemblyCircuit, loom: Loom | None
) -> BoardDemand | None:
    if sub.board is None or sub.pigtail is None:
        return None
    strings = {string.name: string for string in circuit.strings}
    named = [(part.name, strings[part.string]) for part in wired.parts if part.string in strings]
    return demand_of(
        wired,
        board=sub.board,
        bands={name: string.resistor_colour_bands for name, string in named},
        codes={name: string.resistor_code for name, string in named},
        pin_colours=_pin_colours(loom, sub.name),
        wire_mm=sub.pigtail.wire.outside_mm,
    )


def _pin_colours(loom: Loom | None, sub_assembly: str) -> Mapping[int, str]:
    """Give the pigtail's wires the colours of the loom's, pin by pin."""
    sockets = loom.sockets if loom else ()
    return {
        pin.pin: pin.colour
        for socket in sockets
        if socket.sub_assembly == sub_assembly
        for pin in socket.pins
    }
