"""Rules on what must go through the floor or find room under it: plugs, bundles, pigtails."""

import math
from collections.abc import Iterable, Iterator, Sequence

from lamphouse.circuit.loom_runs import LaidHole, Loom, Member
from lamphouse.circuit.phrases import some
from lamphouse.circuit.wire_bundle import SNUG
from lamphouse.findings import Severity, Told, rule
from lamphouse.units import Quantity, show

WEB_MM = 3.0
"""Floor left between two holes, so that it does not break out [PRACTICE]."""


def _mm(length_mm: float) -> str:
    return show(length_mm, Quantity.LENGTH, digits=4)


@rule("LOM001", Severity.STOP, "A pigtail does not reach through the floor")
def short_pigtail(loom: Loom) -> Iterable[Told]:
    """Find pigtails whose plug stays above the floor.

    What it checks
        A pigtail is as long as the way from the datum corner, where its board is taken to sit,
        across to its hole and down through the floor by the length of its plug, with the loom's
        slack.

    Why it matters
        The plug hangs in the air behind a wall that is glued in, and its socket cannot be
        fetched from below.

    Example
        ::

            loom: {floor: 6 mm}
            sub_assemblies:
              desk:
                stands: {at: [40 mm, 60 mm], up: 150 mm}

    Mend
        Take the length that the finding gives, or bring the hole nearer.

    Source
        Plain geometry; the slack is the project's.
    """
    for socket in loom.sockets:
        if socket.pigtail_mm < socket.reach_mm:
            yield Told(
                where=socket.where,
                message=f"the pigtail is {_mm(socket.pigtail_mm)} long; from the datum corner "
                f"through hole '{socket.hole}' to a plug under the floor it takes "
                f"{_mm(socket.reach_mm)} with slack",
                remedy=f"make it {_mm(socket.reach_mm)}, or bring the hole nearer to the datum "
                "corner",
            )


@rule("LOM002", Severity.STOP, "A plug or its wires do not go through the hole")
def tight_hole(loom: Loom) -> Iterable[Told]:
    """Find drilled holes that are too small for what must come through.

    What it checks
        Where a hole's diameter is given, every plug in turn goes through it end first, beside
        the wires of those that went before, and so do all wires together.

    Why it matters
        The plug is crimped on before the wall goes in; a hole that is too small is found when
        the wall is glued and the floor painted.

    Example
        ::

            loom:
              holes:
                H1: {at: [40 mm, 60 mm], for: [desk], diameter: 4 mm}

    Mend
        Drill the hole to the diameter that the finding gives.

    Source
        Smallest circle around a plug's two short sides; bundles of wires after [CIRCLE-PACKING];
        5 percent of play is [PRACTICE].
    """
    for hole in loom.holes:
        if hole.given_mm is not None and hole.given_mm < hole.needed_mm:
            yield Told(
                where=hole.where,
                message=f"the hole is {_mm(hole.given_mm)} wide; the plugs and wires of "
                f"{some(hole.sub_assemblies)} "
                f"need {_mm(hole.needed_mm)}, {SNUG - 1.0:.0%} of play included",
                remedy=f"drill it to {_mm(hole.needed_mm)}, or give each pigtail a hole of its own",
            )


@rule("LOM003", Severity.STOP, "Too little room under the floor")
def shallow_floor(loom: Loom) -> Iterable[Told]:
    """Find floors with less below them than a plug or a splitter board needs.

    What it checks
        The given depth below the floor is at least the longest plug, which hangs down from its
        hole, and at least a splitter board with its wires.

    Why it matters
        A plug that stands on the baseboard cannot be pushed down far enough to be joined, and a
        board that is squeezed in rubs its joints through.

    Example
        ::

            loom: {depth: 4 mm}

    Mend
        Raise the floor as the finding says, or take a plug with a shorter body.

    Source
        Bodies of plugs: the catalogue; 6 mm for a splitter board are [PRACTICE].
    """
    if loom.depth_mm is not None and loom.depth_mm < loom.needed_depth_mm:
        longest = max(loom.sockets, key=lambda socket: max(socket.plug.body_mm))
        yield Told(
            where=loom.where,
            message=f"there is {_mm(loom.depth_mm)} below the floor; a plug '{longest.plug.name}' "
            f"and a splitter board need {_mm(loom.needed_depth_mm)}",
            remedy=f"raise the floor by {_mm(loom.needed_depth_mm - loom.depth_mm)}",
        )


@rule("LOM004", Severity.WARN, "Two holes in the floor run into each other")
def close_holes(loom: Loom) -> Iterable[Told]:
    """Find holes that leave no floor between them.

    What it checks
        Between the edges of two holes there are at least 3 mm.

    Why it matters
        The second drill wanders into the first hole, and two pigtails that come up through one
        ragged slot chafe.

    Example
        ::

            sub_assemblies:
              shelf:
                stands: {at: [43 mm, 60 mm]}
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 1 mA}

    Mend
        Let both pigtails share one hole, or move one of the holes.

    Source
        The 3 mm are [PRACTICE].
    """
    for one, other, apart_mm in _close_pairs(loom.holes):
        left_mm = _left_mm(one, other, apart_mm)
        names = (*one.sub_assemblies, *other.sub_assemblies)
        yield Told(
            where=other.where,
            message=f"the holes of {some(names)} are {_mm(apart_mm)} apart from middle to middle, "
            f"which leaves {_mm(max(left_mm, 0.0))} of floor between them; {_mm(WEB_MM)} hold",
            remedy=f"move one by {_mm(WEB_MM - left_mm)}, or let them share one: holes: "
            f"{{H: {{at: {_at(one, other)}, for: [{', '.join(names)}]}}}}",
        )


def _close_pairs(holes: Sequence[LaidHole]) -> Iterator[tuple[LaidHole, LaidHole, float]]:
    """Give each hole with one that it is too close to, and how far apart their middles are."""
    order = sorted(holes, key=lambda hole: (hole.x_mm, hole.y_mm, hole.name))
    reach_mm = max((hole.diameter_mm for hole in holes), default=0.0) + WEB_MM
    for number, other in enumerate(order):
        for one in reversed(order[:number]):
            if other.x_mm - one.x_mm >= reach_mm:
                break
            apart_mm = math.dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm))
            if _left_mm(one, other, apart_mm) < WEB_MM:
                yield one, other, apart_mm
                break


def _left_mm(one: LaidHole, other: LaidHole, apart_mm: float) -> float:
    return apart_mm - (one.diameter_mm + other.diameter_mm) / 2


def _at(one: LaidHole, other: LaidHole) -> str:
    x_mm, y_mm = (one.x_mm + other.x_mm) / 2, (one.y_mm + other.y_mm) / 2
    return f"[{x_mm:.4g} mm, {y_mm:.4g} mm]"


@rule("LOM005", Severity.NOTE, "A pigtail without a place on the floor plan")
def no_stand(loom: Loom, *, members: Iterable[Member]) -> Iterable[Told]:
    """Find sub-assemblies with a pigtail that no run can lead to.

    What it checks
        Every sub-assembly with a pigtail stands somewhere.

    Why it matters
        Its wires under the floor have no length, and are missing from the loom and from the parts
        list.

    Example
        ::

            sub_assemblies:
              shelf:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 1 mA}

    Mend
        Say where it stands.

    Source
        Design rule of this project.
    """
    where = {member.name: member.where for member in members}
    for name in loom.without_stand:
        yield Told(
            where=where[name],
            message=f"'{name}' has a pigtail and no place on the floor plan, so no run leads to it",
            remedy="say where its datum corner stands, such as stands: {at: [40 mm, 60 mm]}",
        )


@rule("LOM006", Severity.WARN, "Something of the loom lies outside the room")
def outside(loom: Loom, *, room_mm: tuple[float, float] | None) -> Iterable[Told]:
    """Find holes, splitter boards and the supply's lead outside the floor.

    What it checks
        The middle of every hole and splitter board, and the place where the supply comes in, lie
        on the room's floor, edges included.

    Why it matters
        A wire that leaves the model is caught when it is carried.

    Example
        ::

            loom: {supply_at: [320 mm, 100 mm]}

    Mend
        Move it to the place that the finding gives.

    Source
        Plain geometry.
    """
    if room_mm is None:
        return
    things = (
        ("the supply's lead comes in", loom.where, loom.supply_mm),
        *((f"hole '{h.name}' is", h.where, (h.x_mm, h.y_mm)) for h in loom.holes),
        *(
            (f"{feed.splitter.name} lies", feed.where, (feed.splitter.x_mm, feed.splitter.y_mm))
            for feed in loom.feeds
        ),
    )
    for what, where, (x_mm, y_mm) in things:
        inside = (min(max(x_mm, 0.0), room_mm[0]), min(max(y_mm, 0.0), room_mm[1]))
        if inside != (x_mm, y_mm):
            yield Told(
                where=where,
                message=f"{what} at {x_mm:.4g}, {y_mm:.4g} mm; the floor goes to "
                f"{room_mm[0]:.4g}, {room_mm[1]:.4g} mm",
                remedy=f"the nearest place on it is [{inside[0]:.4g} mm, {inside[1]:.4g} mm]",
            )
