"""What the runs of a loom carry and lose, and the resistance each sub-assembly sees in them."""

from collections.abc import Mapping, Sequence

from lamphouse.circuit.branch import Band, StringDesign, SubAssemblyCircuit
from lamphouse.circuit.loom_runs import Loom, LoomLoad, Member, Run, RunLoad, Socket, SocketLoad
from lamphouse.circuit.plug_pins import COMMON, RETURN

_NOTHING = Band(low=0.0, nominal=0.0, high=0.0)


def run_ohms(loom: Loom, *, members: Sequence[Member]) -> Mapping[str, float]:
    """Give the resistance of the loom that each sub-assembly's own current would feel.

    Trunk and fuse carry the neighbours' currents too. In proportion to what is wanted, their
    resistance counts as many times as they all take more than this sub-assembly. All current is
    taken to come back through one return, so that the drop is never told too small by switched
    returns.

    Returns
    -------
    dict of str to float
        Out and back, by sub-assembly; nothing for those that take no current. [ohm]
    """
    wanted = {member.name: member.wanted_A for member in members}
    ways: dict[tuple[str, str], list[Run]] = {}
    for run in loom.runs:
        ways.setdefault((run.feed, run.sub_assembly), []).append(run)
    found: dict[str, float] = {}
    for feed in loom.feeds:
        trunk_ohm = feed.fuse_ohm + _out_and_back(ways[feed.name, ""])
        feed_A = sum(wanted[name] for name in feed.sub_assemblies)
        for name in feed.sub_assemblies:
            if wanted[name] > 0.0:
                own_ohm = _out_and_back(ways[feed.name, name])
                found[name] = own_ohm + trunk_ohm * feed_A / wanted[name]
    return found


def load_loom(loom: Loom, *, circuits: Sequence[SubAssemblyCircuit]) -> LoomLoad:
    """Sum up what every run carries when all is lit, and what is lost on the way.

    Parameters
    ----------
    loom
        As laid.
    circuits
        Of its sub-assemblies; those without one take nothing.
    """
    circuit_of = {circuit.sub_assembly: circuit for circuit in circuits}
    pins = {s.sub_assembly: _pins_A(s, circuit_of.get(s.sub_assembly)) for s in loom.sockets}
    carried = {(socket.feed, pin.means): _NOTHING for socket in loom.sockets for pin in socket.pins}
    for socket in loom.sockets:
        for pin, current_A in zip(socket.pins, pins[socket.sub_assembly], strict=True):
            key = (socket.feed, pin.means)
            carried[key] = added(carried[key], current_A)
    runs = tuple(
        _run_load(
            run,
            pins[run.sub_assembly][run.pin - 1]
            if run.sub_assembly
            else carried[run.feed, run.means],
        )
        for run in loom.runs
    )
    lost = {run.number: load.drop_V for run, load in zip(loom.runs, runs, strict=True)}
    trunk = {(run.feed, run.means): lost[run.number] for run in loom.runs if not run.sub_assembly}
    fuses_V = {feed.name: feed.fuse_ohm * carried[feed.name, COMMON].high for feed in loom.feeds}
    return LoomLoad(
        runs=runs,
        sockets=tuple(
            _socket_load(
                s, pins_A=pins[s.sub_assembly], lost=lost, trunk=trunk, fuse_V=fuses_V[s.feed]
            )
            for s in loom.sockets
        ),
        feeds_A=tuple(carried[feed.name, COMMON] for feed in loom.feeds),
    )


def added(one: Band, other: Band) -> Band:
    """Add two currents that are low together and high together. [A]."""
    return Band(
        low=one.low + other.low, nominal=one.nominal + other.nominal, high=one.high + other.high
    )


def _out_and_back(runs: Sequence[Run]) -> float:
    out = sum(run.ohm for run in runs if run.means == COMMON)
    return out + max((run.ohm for run in runs if run.means != COMMON), default=0.0)


def _pins_A(socket: Socket, circuit: SubAssemblyCircuit | None) -> tuple[Band, ...]:
    """Share out a sub-assembly's current to the pins; what lacks a pin counts in the first."""
    if circuit is None:
        return (_NOTHING,) * len(socket.pins)
    switched = {pin.means for pin in socket.pins} - {COMMON, RETURN}
    return tuple(
        circuit.total_A
        if pin.means == COMMON
        else _through(pin.means, strings=circuit.strings, switched=switched)
        for pin in socket.pins
    )


def _through(means: str, *, strings: Sequence[StringDesign], switched: set[str]) -> Band:
    total = _NOTHING
    for string in strings:
        group = string.leds[0].group
        if means == (group if group in switched else RETURN):
            total = added(total, string.current_A)
    return total


def _run_load(run: Run, current_A: Band) -> RunLoad:
    return RunLoad(number=run.number, current_A=current_A, drop_V=run.ohm * current_A.high)


def _socket_load(
    socket: Socket,
    *,
    pins_A: tuple[Band, ...],
    lost: Mapping[int, float],
    trunk: Mapping[tuple[str, str], float],
    fuse_V: float,
) -> SocketLoad:
    ohm = socket.pigtail_mm / 1000.0 * socket.wire.ohm_per_m + socket.plug.contact_ohm
    loom_V = {p.means: lost[p.run] + trunk[socket.feed, p.means] for p in socket.pins}
    board_V = {
        pin.means: loom_V[pin.means] + ohm * current_A.high
        for pin, current_A in zip(socket.pins, pins_A, strict=True)
    }
    return SocketLoad(
        sub_assembly=socket.sub_assembly,
        pins_A=pins_A,
        loom_drop_V=fuse_V + _round_trip(loom_V),
        drop_V=fuse_V + _round_trip(board_V),
    )


def _round_trip(drops_V: Mapping[str, float]) -> float:
    """Add the plus side to the worst of the returns."""
    back = (drop for means, drop in drops_V.items() if means != COMMON)
    return drops_V.get(COMMON, 0.0) + max(back, default=0.0)
