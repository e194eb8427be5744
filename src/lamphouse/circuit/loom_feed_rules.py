"""Rules on feeds: what their wire carries, how they are shared out, and what they lose."""

import math
from collections.abc import Iterable, Mapping, Sequence

from lamphouse.catalogue.electric_parts import COPPER_OHM_M
from lamphouse.circuit.loom_runs import LaidFeed, Loom, LoomLoad
from lamphouse.circuit.phrases import amps, counted, listed, percent, volts
from lamphouse.circuit.plug_pins import COMMON
from lamphouse.design.loom import FeedWish, FloorHole
from lamphouse.design.supply import Supply
from lamphouse.findings import Severity, Told, rule

LARGEST_DROP = 0.05
"""Share of the supply's voltage that may be lost before the board [PRACTICE]."""
MOST_SOCKETS = 12
"""On one splitter board; more and nobody finds the wire [PRACTICE]."""
MOST_SHOWN = 100
"""A split of more sub-assemblies is counted and not listed."""
LOADED = 0.8
"""Share of what a wire carries up to which a proposed feed is loaded [PRACTICE]."""


@rule("LOM020", Severity.STOP, "A feed carries more than its wire may")
def overloaded_trunk(loom: Loom, *, load: LoomLoad) -> Iterable[Told]:
    """Find feeds whose trunk carries too much.

    What it checks
        The largest current of all sub-assemblies of a feed is at most the rated current of its
        wire.

    Why it matters
        The trunk lies under the floor, where nobody sees it get hot.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 3 A}
            loom: {wire: 36 AWG enamelled}
            sub_assemblies:
              desk:
                pigtail: {plug: 2-pin 1.25 mm, wire: 28 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 50, step: [1 mm, 0 mm], current: 10 mA}

    Mend
        Take a thicker wire, or the split into feeds that the finding proposes.

    Source
        The row of the wire in the catalogue. Proposed feeds are loaded to 80 percent, which is
        [PRACTICE].
    """  # noqa: E501 - one line of the example is one line of a project file
    for feed, total in zip(loom.feeds, load.feeds_A, strict=True):
        carries = feed.wire.max_current_A
        if total.high > carries:
            yield Told(
                where=feed.where,
                message=f"feed '{feed.name}' carries up to {amps(total.high)}; its wire "
                f"'{feed.wire.name}' carries {amps(carries)}",
                remedy=f"take a wire for {amps(total.high)}{_split(feed, load)}",
            )


@rule("LOM021", Severity.WARN, "Too many sockets on one splitter board")
def crowded_splitter(loom: Loom, *, load: LoomLoad) -> Iterable[Told]:
    """Find splitter boards on which nobody finds a wire again.

    What it checks
        A feed has at most 12 sub-assemblies.

    Why it matters
        One fuse then darkens all of them, and the fault may be in any.

    Example
        ::

            loom: {slack: 20 %}
            sub_assemblies:
              a1: {stands: {at: [20 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a2: {stands: {at: [40 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a3: {stands: {at: [60 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a4: {stands: {at: [80 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a5: {stands: {at: [100 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a6: {stands: {at: [120 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a7: {stands: {at: [140 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a8: {stands: {at: [160 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a9: {stands: {at: [180 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a10: {stands: {at: [200 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a11: {stands: {at: [220 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}
              a12: {stands: {at: [240 mm, 10 mm]}, pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}}

    Mend
        Take the split into feeds that the finding proposes.

    Source
        [PRACTICE]
    """  # noqa: E501 - one line of the example is one line of a project file
    for feed in loom.feeds:
        if len(feed.sub_assemblies) > MOST_SOCKETS:
            yield Told(
                where=feed.where,
                message=f"the splitter board of feed '{feed.name}' has "
                f"{counted(len(feed.sub_assemblies), 'socket')}; {MOST_SOCKETS} can still be read",
                remedy=f"make more feeds{_split(feed, load)}",
            )


def _split(feed: LaidFeed, load: LoomLoad) -> str:
    """Say how a feed could be split; empty when one sub-assembly alone is too much."""
    if len(feed.sub_assemblies) > MOST_SHOWN:
        least = math.ceil(len(feed.sub_assemblies) / MOST_SOCKETS)
        return f", or split it into {counted(least, 'feed')} at least"
    parts = proposed_feeds(feed, loads_A=plug_currents(load))
    if len(parts) < 2:
        return ""
    said = [f"{{{', '.join(part)}}}" for part in parts]
    return f", or split it into {counted(len(parts), 'feed')}: {listed(said)}"


def plug_currents(load: LoomLoad) -> Mapping[str, float]:
    """Give the largest current of every plug, by sub-assembly. [A]."""
    return {
        socket.sub_assembly: socket.pins_A[0].high if socket.pins_A else 0.0
        for socket in load.sockets
    }


def proposed_feeds(feed: LaidFeed, *, loads_A: Mapping[str, float]) -> tuple[tuple[str, ...], ...]:
    """Split a feed so that no trunk carries more than 80 percent and no board has over 12 sockets.

    The heaviest load first, each into the first feed that still takes it.

    Returns
    -------
    tuple of tuple of str
        Sub-assemblies of each feed, in the order of the file; one alone where its own load is
        more than the wire carries.
    """
    room_A = LOADED * feed.wire.max_current_A
    order = sorted(feed.sub_assemblies, key=lambda name: (-loads_A[name], name))
    parts: list[list[str]] = []
    for name in order:
        for part in parts:
            carried = sum(loads_A[other] for other in part)
            if len(part) < MOST_SOCKETS and carried + loads_A[name] <= room_A:
                part.append(name)
                break
        else:
            parts.append([name])
    return tuple(tuple(sorted(part, key=feed.sub_assemblies.index)) for part in parts)


@rule("LOM022", Severity.WARN, "Too much is lost under the floor")
def lossy_loom(loom: Loom, *, load: LoomLoad, supply: Supply) -> Iterable[Told]:
    """Find sub-assemblies that get too little voltage at the end of the loom.

    What it checks
        From the supply to the board and back, the feed's fuse, trunk, runs, plug and pigtail
        lose at most 5 percent of the supply's voltage when everything is lit and draws its most.

    Why it matters
        The lights at the far end are paler, and all of them dip when a neighbour lights up.

    Example
        ::

            loom: {wire: 36 AWG enamelled}
            sub_assemblies:
              desk:
                pigtail: {plug: 2-pin 1.25 mm, wire: 36 AWG enamelled, length: 1.5 m}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 30, step: [1 mm, 0 mm], current: 10 mA}

    Mend
        Take the thicker trunk that the finding names, or a shorter or thicker pigtail.

    Source
        Ohm's law; copper [IACS]. The 5 percent are common practice, no source.
    """  # noqa: E501 - one line of the example is one line of a project file
    allowed_V = LARGEST_DROP * supply.voltage_V
    feeds = {feed.name: feed for feed in loom.feeds}
    feeds_A = dict(zip(feeds, load.feeds_A, strict=True))
    trunks_V = _trunk_drops(loom, load)
    for socket, carried in zip(loom.sockets, load.sockets, strict=True):
        if carried.drop_V > allowed_V:
            trunk_V = trunks_V[socket.feed]
            fuse_V = feeds[socket.feed].fuse_ohm * feeds_A[socket.feed].high
            spare_V = allowed_V - (carried.drop_V - trunk_V)
            yield Told(
                where=socket.where,
                message=f"up to {volts(carried.drop_V)} of {volts(supply.voltage_V)} are lost on "
                f"the way to '{socket.sub_assembly}' and back, {volts(carried.loom_drop_V)} of it "
                f"under the floor{f' ({volts(fuse_V)} in the fuse)' if fuse_V else ''}; "
                f"{percent(LARGEST_DROP)} are seen",
                remedy=_thicker(
                    feeds[socket.feed].wire.ohm_per_m, spare_V / trunk_V if trunk_V else 0.0
                )
                + (", or take a fuse of less resistance" if fuse_V else ""),
            )


def _trunk_drops(loom: Loom, load: LoomLoad) -> dict[str, float]:
    """Give what the trunk of each feed loses out and back by the worst of its returns. [V]."""
    out: dict[str, float] = {}
    back: dict[str, float] = {}
    for run, carried in zip(loom.runs, load.runs, strict=True):
        if not run.sub_assembly:
            side = out if run.means == COMMON else back
            side[run.feed] = max(side.get(run.feed, 0.0), carried.drop_V)
    return {feed: lost + back.get(feed, 0.0) for feed, lost in out.items()}


def _thicker(ohm_per_m: float, share: float) -> str:
    """Name the copper of a trunk that loses only a share of what it does."""
    if share <= 0.0:
        return (
            "the trunk is not enough: take thicker wire for the pigtail, from which the runs to "
            "its socket are made too, or split its strings over two pigtails"
        )
    step = 10.0 ** (math.floor(math.log10(ohm_per_m * share)) - 1)
    most = math.floor(ohm_per_m * share / step) * step
    copper_mm = math.ceil(1e5 * math.sqrt(4.0 * COPPER_OHM_M / (math.pi * most))) / 100.0
    return (
        f"take a trunk of at most {most:.2g} ohm/m (copper of {copper_mm:g} mm), or a feed of its "
        "own"
    )


@rule("LOM023", Severity.WARN, "A sub-assembly in two places")
def named_twice(wishes: Sequence[FeedWish | FloorHole], *, what: str) -> Iterable[Told]:
    """Find sub-assemblies that two feeds, or two holes, name.

    What it checks
        Each sub-assembly stands in one feed and in one hole at most.

    Why it matters
        It has one pigtail. The first feed or hole that names it counts.

    Example
        ::

            loom:
              feeds:
                day: {sub_assemblies: [desk]}
                night: {sub_assemblies: [desk]}

    Mend
        Take it out of the one that the finding names.

    Source
        Design rule of this project.
    """
    first: dict[str, str] = {}
    for wish in wishes:
        for name in wish.sub_assemblies:
            if first.setdefault(name, wish.name) != wish.name:
                yield Told(
                    where=wish.where,
                    message=f"'{name}' stands in {what} '{first[name]}' already, which counts",
                    remedy=f"take '{name}' out of '{wish.name}', or out of '{first[name]}'",
                )
