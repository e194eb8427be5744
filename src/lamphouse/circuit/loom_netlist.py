"""The whole model as one circuit: its sub-assemblies behind the runs of the loom."""

from collections.abc import Iterable

from lamphouse.circuit.loom_runs import Loom, Run
from lamphouse.circuit.netlist import GROUND, Netlist, Resistance, Role
from lamphouse.circuit.wired import PlugPin, WiredSubAssembly
from lamphouse.circuit.wiring_up import SUPPLY, whole_netlist
from lamphouse.record import replace


def netlist_of(loom: Loom, *, wired: Iterable[WiredSubAssembly]) -> Netlist:
    """Join all sub-assemblies by the runs of the loom.

    Every run becomes a resistance called ``run 7``, and the named fuse of a feed one called
    ``fuse day`` before its trunk, in the place of the resistance that a
    sub-assembly's own circuit has for its runs. Sub-assemblies without a socket stay on the
    supply's terminals, with the supply as it is in their own circuits.

    Parameters
    ----------
    loom
        As laid.
    wired
        Its sub-assemblies, each with its own supply.
    """
    every = tuple(wired)
    whole = whole_netlist(every)
    sockets = dict(move for one in every for move in _moves(loom, one))
    laid = {name for one in every for name in _own_runs(loom, one)}
    resistances = tuple(
        replace(
            element,
            first=sockets.get(element.name, element.first),
            ohm=0.0 if element.name in laid else element.ohm,
        )
        for element in whole.resistances
    )
    fused = {feed.name for feed in loom.feeds if feed.fuse_ohm > 0.0}
    runs = tuple(_resistance(run, fused=run.feed in fused) for run in loom.runs)
    return replace(whole, resistances=(*resistances, *_fuses(loom), *runs))


def _moves(loom: Loom, one: WiredSubAssembly) -> Iterable[tuple[str, str]]:
    """Give the elements that leave the supply's terminals for a pin of the socket."""
    towards = {resistance.second: resistance for resistance in one.netlist.resistances}
    for pin in _pins_at_socket(loom, one):
        first = towards[pin.node]
        while first.first not in (SUPPLY, GROUND):
            first = towards[first.first]
        yield f"{one.sub_assembly} / {first.name}", _pin(one.sub_assembly, pin.pin)


def _own_runs(loom: Loom, one: WiredSubAssembly) -> Iterable[str]:
    """Name what stands for the loom in the circuit of one sub-assembly."""
    return (f"{one.sub_assembly} / run / {pin.node}" for pin in _pins_at_socket(loom, one))


def _pins_at_socket(loom: Loom, one: WiredSubAssembly) -> Iterable[PlugPin]:
    socket = loom.socket(one.sub_assembly)
    there = {pin.pin for pin in socket.pins} if socket else set()
    return (pin for pin in one.plug_pins if pin.pin in there)


def _fuses(loom: Loom) -> Iterable[Resistance]:
    """Give the fuses in the plus leads of feeds."""
    return (
        Resistance(
            name=f"fuse {feed.name}",
            first=SUPPLY,
            second=_fused(feed.name),
            ohm=feed.fuse_ohm,
            role=Role.WIRE,
        )
        for feed in loom.feeds
        if feed.fuse_ohm > 0.0
    )


def _resistance(run: Run, *, fused: bool) -> Resistance:
    plus = _fused(run.feed) if fused else SUPPLY
    terminal = plus if run.positive else GROUND
    pads = f"{run.feed} / {run.means}"
    ends = (pads, _pin(run.sub_assembly, run.pin)) if run.sub_assembly else (terminal, pads)
    return Resistance(
        name=f"run {run.number}", first=ends[0], second=ends[1], ohm=run.ohm, role=Role.WIRE
    )


def _fused(feed: str) -> str:
    return f"{feed} / behind the fuse"


def _pin(sub_assembly: str, pin: int) -> str:
    return f"socket / {sub_assembly} / {pin}"
