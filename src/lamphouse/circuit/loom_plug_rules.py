"""Rules on the plugs of a model: enough pins, one family, none that fits a wrong socket."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from lamphouse.circuit.loom_runs import Loom, Socket
from lamphouse.circuit.phrases import some
from lamphouse.findings import Severity, Told, rule
from lamphouse.units import Quantity, show


@rule("LOM010", Severity.STOP, "A plug with too few pins")
def few_pins(loom: Loom) -> Iterable[Told]:
    """Find plugs that cannot carry every return of their sub-assembly.

    What it checks
        A plug has a pin for plus, one for the return of what burns steadily, and one for each
        source group that blinks, which is switched at the supply.

    Why it matters
        Two groups on one pin blink together, whatever their patterns say.

    Example
        ::

            groups:
              alarm: {in: desk, source: {led: red 3 mm, current: 5 mA}, pattern: {kind: beacon, period: 2 s}}

    Mend
        Take a plug with the pins that the finding counts.

    Source
        Kirchhoff's current law.
    """  # noqa: E501 - one line of the example is one line of a project file
    for socket in loom.sockets:
        if socket.plug.pins < socket.wanted_pins:
            yield Told(
                where=socket.where,
                message=f"the plug '{socket.plug.name}' has {socket.plug.pins} pins; plus and the "
                f"returns of what is switched apart need {socket.wanted_pins}",
                remedy=f"take a plug with at least {socket.wanted_pins} pins, such as "
                f"{socket.wanted_pins}-pin {show(socket.plug.pitch_mm, Quantity.LENGTH)}",
            )


@rule("LOM011", Severity.WARN, "Two plugs that can be swapped")
def swapped(loom: Loom) -> Iterable[Told]:
    """Find plugs that fit each other's sockets and must not.

    What it checks
        No two pigtails have the same plug while their pins mean different things, or hang on
        feeds that are switched or fused apart, and one reaches the socket of the other: they lie
        no farther apart than its length and what the socket is drawn up by.

    Why it matters
        After a cleaning the plugs go back as they fit. Then one wall blinks with the other's
        pattern, stays dark, or hangs on the wrong switch and fuse.

    Example
        ::

            loom:
              feeds:
                night: {sub_assemblies: [shelf], switch: yes}
            sub_assemblies:
              shelf:
                stands: {at: [150 mm, 60 mm]}
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 1 mA}

    Mend
        Give one a plug with more pins or of another pitch, or key it: pull a pin that is not
        used from the plug and fill its place in the socket. A flag on both halves is the least.

    Source
        [PRACTICE]
    """
    apart = {feed.name: feed.switched or feed.fuse_A is not None for feed in loom.feeds}
    kinds: dict[str, dict[tuple[tuple[str, ...], str], list[Socket]]] = {}
    for socket in loom.sockets:
        use = (_meanings(socket), socket.feed if apart[socket.feed] else "")
        kinds.setdefault(socket.plug.name, {}).setdefault(use, []).append(socket)
    taken = {socket.plug.pins for socket in loom.sockets}
    for plug, uses in kinds.items():
        if len(uses) > 1:
            yield from _told(plug, list(uses.values()), taken=taken)


def _told(plug: str, uses: Sequence[Sequence[Socket]], *, taken: set[int]) -> Iterator[Told]:
    """Tell of each use but the commonest, against the commonest and those before it."""
    first = max(uses, key=len)
    before = [first]
    for sockets in uses:
        if sockets is first:
            continue
        near = [
            (own, other) for use in before for other in use for own in sockets if _reach(own, other)
        ]
        before.append(sockets)
        if not near:
            continue
        own, other = near[0]
        mine, theirs = (
            some(list(dict.fromkeys(one.sub_assembly for one in part)))
            for part in zip(*near, strict=True)
        )
        free = next(n for n in range(own.wanted_pins, 100) if n not in taken)
        pitch = show(own.plug.pitch_mm, Quantity.LENGTH)
        yield Told(
            where=own.where,
            message=f"{mine} and {theirs} have the same plug '{plug}', and "
            f"their sockets are not alike: {_described(own)} against {_described(other)}",
            remedy=f"no plug has {free} pins yet: take {free}-pin {pitch} for {mine}, or "
            "key one of them, and put the printed flags on plug and socket",
        )


def _reach(one: Socket, other: Socket) -> bool:
    """Tell whether the plug of one goes into the socket of the other."""
    apart_mm = math.dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm))
    return apart_mm <= max(one.pigtail_mm + other.drawn_mm, other.pigtail_mm + one.drawn_mm)


def _meanings(socket: Socket) -> tuple[str, ...]:
    return tuple(pin.means for pin in socket.pins)


def _described(socket: Socket) -> str:
    return f"{', '.join(_meanings(socket))} on feed '{socket.feed}'"


@rule("LOM012", Severity.NOTE, "Plugs of several families")
def mixed_families(loom: Loom) -> Iterable[Told]:
    """Find models whose plugs are not of one pitch.

    What it checks
        All pigtails have plugs of the same pitch.

    Why it matters
        Each family wants its own contacts and its own crimping tool, and a spare of one does not
        serve the other.

    Example
        ::

            sub_assemblies:
              shelf:
                stands: {at: [200 mm, 60 mm]}
                pigtail: {plug: 2-pin 2.0 mm, wire: 28 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 1 mA}

    Mend
        Take the pitch that most of them have.

    Source
        [PRACTICE]
    """
    pitches = Counter(socket.plug.pitch_mm for socket in loom.sockets)
    if len(pitches) < 2:
        return
    usual = min(pitches, key=lambda pitch: (-pitches[pitch], pitch))
    odd = [socket for socket in loom.sockets if socket.plug.pitch_mm != usual]
    yield Told(
        where=odd[0].where,
        message=f"most plugs have a pitch of {show(usual, Quantity.LENGTH)}, and "
        f"{some([s.sub_assembly for s in odd])} are of another, such as '{odd[0].plug.name}'",
        remedy=f"take plugs of {show(usual, Quantity.LENGTH)} there, unless they carry too little",
    )
