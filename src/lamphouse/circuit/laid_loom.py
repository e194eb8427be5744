"""Lays the loom: feeds, holes, sockets, splitter boards, and every run with its length and number.

Runs lie straight along the underside of the floor, and round what stands there. A pigtail comes
down at its hole, and its plug goes into a socket that hangs under the hole on wires from the feed's
splitter board. What blinks is switched at the supply, so that the return of each source group has a
run of its own all the way.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

from lamphouse.catalogue.electric_parts import WireType
from lamphouse.circuit.grouping import loose_bunches, wished_bunches
from lamphouse.circuit.loom_runs import (
    LaidFeed,
    LaidHole,
    Loom,
    Member,
    Run,
    Socket,
    SocketPin,
    Splitter,
    SplitterRow,
)
from lamphouse.circuit.plug_pins import COMMON, RETURN, PinUse, pins_of
from lamphouse.circuit.splitter_place import Blocked, board_mm, place_board
from lamphouse.circuit.wire_bundle import hole_mm, plug_mm
from lamphouse.circuit.wire_colours import colour_of
from lamphouse.design.loom import FeedWish, FloorHole, LoomWishes
from lamphouse.design.place import Room, Stand, SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.record import Record, replace
from lamphouse.shapes.detour import detour
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.roundabout import length_of

END_MM = 10.0
"""Of a run at each end, to strip, tin and hold [PRACTICE]."""
ROUND_MM = 5.0
"""Lengths are cut to whole steps, rounded up."""
HOLE_STEP_MM = 0.5
BOARD_HIGH_MM = 6.0
"""Of a splitter board with its wires and joints [PRACTICE]."""
REST = "rest"
"""The feed of what no feed of the maker's names."""
ALL = "F1"
"""The one feed where the maker names none."""


def member_of(
    sub: SubAssembly,
    *,
    groups: Sequence[SourceGroup],
    supply_V: float,
    common_positive: bool = True,
) -> Member | None:
    """Give a sub-assembly as the loom sees it; None without a pigtail."""
    if sub.pigtail is None:
        return None
    bunches = wished_bunches(sub) + loose_bunches(sub, supply_V=supply_V)
    return Member(
        name=sub.name,
        where=sub.where,
        stand=sub.stand,
        pigtail=sub.pigtail,
        pins=pins_of(sub, groups=groups, common_positive=common_positive),
        wanted_A=sum(bunch.wanted_A * len(bunch.rows()) for bunch in bunches),
    )


def lay_loom(
    members: Sequence[Member],
    *,
    wishes: LoomWishes,
    room: Room | None,
    around: tuple[Corners, ...] = (),
) -> Loom | None:
    """Lay the loom of a model.

    Parameters
    ----------
    members
        Its sub-assemblies with a pigtail, in the order of the file.
    wishes
        As the maker decided.
    room
        To know its edges.
    around
        Sound outlines of what stands under the floor. Where no way leads round it, a run is laid
        straight; a rule of the room tells it.

    Returns
    -------
    Loom or None
        None where no pigtail has a place on the floor plan.

    Notes
    -----
    The board of a sub-assembly is taken to sit at its datum corner, and copper to be at 20 degC.
    """
    standing = tuple(member for member in members if member.stand)
    if not standing:
        return None
    holes = tuple(_holes(standing, wishes=wishes, room=room))
    hole_of = {name: hole for hole in holes for name in hole.sub_assemblies}
    places = {m.name: _place(m, hole=hole_of[m.name], wishes=wishes) for m in standing}
    layer = _Layer(
        wishes=wishes,
        room_mm=(room.width_mm, room.depth_mm) if room else None,
        places=places,
        returns=_returns(standing),
        around=around,
    )
    feeds: list[LaidFeed] = []
    runs: list[Run] = []
    blocked = [
        Blocked(x_mm=hole.x_mm, y_mm=hole.y_mm, half_mm=(hole.diameter_mm / 2,) * 2)
        for hole in holes
    ]
    blocked += [_below(corners) for corners in around]
    for wish, own in _shared_out(standing, wishes=wishes):
        feed, laid = layer.feed(wish, own, blocked=blocked, first=len(runs) + 1)
        feeds.append(feed)
        runs += laid
        board = feed.splitter
        half = (board.size_mm[0] / 2, board.size_mm[1] / 2)
        blocked.append(Blocked(x_mm=board.x_mm, y_mm=board.y_mm, half_mm=half))
    by_name: dict[str, list[Run]] = {}
    for run in runs:
        by_name.setdefault(run.sub_assembly, []).append(run)
    return Loom(
        where=wishes.where,
        supply_mm=layer.supply_mm,
        feeds=tuple(feeds),
        sockets=tuple(layer.socket(m, runs=by_name[m.name]) for m in standing),
        holes=holes,
        runs=tuple(runs),
        depth_mm=wishes.depth_mm,
        needed_depth_mm=max(BOARD_HIGH_MM, *(max(m.pigtail.plug.body_mm) for m in standing)),
        service_mm=wishes.service_mm,
        without_stand=tuple(member.name for member in members if member.stand is None),
    )


class _Place(Record):
    """Where a pigtail comes through the floor, and what its length does."""

    hole: LaidHole
    reach_mm: float
    """From the board to a plug under the floor, without slack."""
    drawn_mm: float
    """What the pigtail itself lacks when its sub-assembly is lifted out."""

    @property
    def spot(self) -> Spot:
        """The middle of the hole."""
        return self.hole.x_mm, self.hole.y_mm


class _Layer(Record):
    """Lays the feeds of one loom."""

    wishes: LoomWishes
    room_mm: tuple[float, float] | None
    places: Mapping[str, _Place]
    returns: Sequence[str]
    """Switched returns of the model, which share out the colours."""
    around: tuple[Corners, ...]
    """What stands under the floor."""

    @property
    def supply_mm(self) -> Spot:
        """Where the supply's lead comes in."""
        if self.wishes.supply_mm is not None:
            return self.wishes.supply_mm
        return (self.room_mm[0] / 2, self.room_mm[1]) if self.room_mm else (0.0, 0.0)

    def feed(
        self, wish: FeedWish, own: Sequence[Member], *, blocked: Sequence[Blocked], first: int
    ) -> tuple[LaidFeed, list[Run]]:
        """Lay one feed: its trunk, then the runs to each socket in the order of the pins."""
        nets = _nets(own)
        users = [use.means for member in own for use in _fitting(member)]
        size = board_mm(len(nets), pads=1 + max(users.count(net.means) for net in nets))
        at = wish.splitter_mm or place_board(
            [self.supply_mm, *(self.places[member.name].spot for member in own)],
            wires=[len(nets), *(len(_fitting(member)) for member in own)],
            size_mm=size,
            blocked=blocked,
            room_mm=self.room_mm,
        )
        trunk = wish.wire or self.wishes.trunk
        supply, board = ("supply", self.supply_mm), (f"splitter {wish.name}", at)
        numbers = iter(range(first, first + len(nets) + len(users)))
        runs = [
            self._run(next(numbers), wish.name, net, trunk, start=supply, end=board) for net in nets
        ]
        for member in own:
            socket = (f"socket {member.name}", self.places[member.name].spot)
            runs += [
                self._run(
                    next(numbers),
                    wish.name,
                    use,
                    member.pigtail.wire,
                    start=board,
                    end=socket,
                    member=member.name,
                )
                for use in _fitting(member)
            ]
        rows = tuple(
            SplitterRow(
                sign=net.sign, runs=tuple(run.number for run in runs if run.means == net.means)
            )
            for net in nets
        )
        feed = LaidFeed(
            name=wish.name,
            where=wish.where,
            sub_assemblies=tuple(member.name for member in own),
            fuse_A=wish.fuse_A,
            fuse_type=wish.fuse_type,
            switched=wish.switched,
            wire=trunk,
            splitter=Splitter(name=board[0], x_mm=at[0], y_mm=at[1], size_mm=size, rows=rows),
        )
        return feed, runs

    def _run(
        self,
        number: int,
        feed: str,
        use: PinUse,
        wire: WireType,
        *,
        start: tuple[str, Spot],
        end: tuple[str, Spot],
        member: str = "",
    ) -> Run:
        drawn_mm = self.places[member].drawn_mm if member else 0.0
        corners = detour(start[1], end=end[1], around=self.around) or (start[1], end[1])
        way_mm = length_of(corners) + drawn_mm
        length_mm = stepped(way_mm * (1.0 + self.wishes.slack) + 2 * END_MM, ROUND_MM)
        return Run(
            number=number,
            feed=feed,
            sub_assembly=member,
            pin=use.pin,
            means=use.means,
            sign=use.sign,
            positive=use.positive,
            start=start[0],
            end=end[0],
            start_mm=start[1],
            end_mm=end[1],
            way_mm=corners,
            colour=colour_of(use.means, returns=self.returns, positive=use.positive),
            wire=wire,
            length_mm=length_mm,
            ohm=length_mm / 1000.0 * wire.ohm_per_m,
        )

    def socket(self, member: Member, *, runs: Sequence[Run]) -> Socket:
        """Describe the socket of a member from the runs that lead to it."""
        place, pigtail = self.places[member.name], member.pigtail
        return Socket(
            sub_assembly=member.name,
            where=pigtail.where,
            feed=runs[0].feed,
            hole=place.hole.name,
            x_mm=place.hole.x_mm,
            y_mm=place.hole.y_mm,
            plug=pigtail.plug,
            wire=pigtail.wire,
            pigtail_mm=pigtail.length_mm,
            reach_mm=stepped(place.reach_mm * (1.0 + self.wishes.slack), ROUND_MM),
            drawn_mm=place.drawn_mm,
            pins=tuple(
                SocketPin(
                    pin=run.pin,
                    run=run.number,
                    colour=run.colour,
                    means=run.means,
                    sign=run.sign,
                    positive=run.positive,
                )
                for run in runs
            ),
            wanted_pins=len(member.pins),
        )


def _below(corners: Corners) -> Blocked:
    """Give the rectangle around what stands under the floor, where no splitter board lies."""
    left, bottom, right, top = bounds_mm(corners)
    return Blocked(
        x_mm=(left + right) / 2.0,
        y_mm=(bottom + top) / 2.0,
        half_mm=((right - left) / 2.0, (top - bottom) / 2.0),
    )


def _shared_out(
    members: Sequence[Member], *, wishes: LoomWishes
) -> Iterator[tuple[FeedWish, list[Member]]]:
    """Give each feed its members: the first feed that names one has it, and one has the rest."""
    left = {member.name: member for member in members}
    for wish in wishes.feeds:
        if own := _taken(left, names=wish.sub_assemblies):
            yield wish, own
    if left:
        taken = {wish.name for wish in wishes.feeds}
        name = REST if taken else ALL
        while name in taken:
            name += "+"
        where = replace(wishes.where, item=f"{wishes.where.item} / {name}")
        yield FeedWish(name=name, where=where, sub_assemblies=()), list(left.values())


def _taken(left: dict[str, Member], *, names: Sequence[str]) -> list[Member]:
    """Take the members of these names away, in the order of the file."""
    wanted = set(names) & left.keys()
    own = [member for name, member in left.items() if name in wanted]
    for name in wanted:
        del left[name]
    return own


def _holes(
    members: Sequence[Member], *, wishes: LoomWishes, room: Room | None
) -> Iterator[LaidHole]:
    """Give the maker's holes, each pigtail in the first that names it, then one to each left.

    A hole of the tool's own lies at the sub-assembly's datum, and where that is on the edge of the
    floor so far in that all of it is on the floor.
    """
    left = {member.name: member for member in members}
    for hole in wishes.holes:
        if own := _taken(left, names=hole.sub_assemblies):
            yield _laid_hole(hole, own)
    for member in left.values():
        if member.stand:
            hole = FloorHole(
                name=member.name,
                where=member.where,
                x_mm=member.stand.x_mm,
                y_mm=member.stand.y_mm,
                sub_assemblies=(member.name,),
            )
            yield _on_floor(_laid_hole(hole, [member]), room=room)


def _on_floor(hole: LaidHole, *, room: Room | None) -> LaidHole:
    """Move a hole so far in that none of it runs over the floor's edge."""
    if room is None:
        return hole
    half_mm = hole.diameter_mm / 2
    return replace(
        hole,
        x_mm=min(max(hole.x_mm, half_mm), max(room.width_mm - half_mm, half_mm)),
        y_mm=min(max(hole.y_mm, half_mm), max(room.depth_mm - half_mm, half_mm)),
    )


def _laid_hole(hole: FloorHole, own: Sequence[Member]) -> LaidHole:
    needed_mm = hole_mm(
        tuple(plug_mm(member.pigtail.plug.body_mm) for member in own),
        wires_mm=tuple((m.pigtail.wire.outside_mm,) * len(_fitting(m)) for m in own),
    )
    return LaidHole(
        name=hole.name,
        where=hole.where,
        x_mm=hole.x_mm,
        y_mm=hole.y_mm,
        sub_assemblies=tuple(member.name for member in own),
        given_mm=hole.diameter_mm,
        needed_mm=stepped(needed_mm, HOLE_STEP_MM),
    )


def _place(member: Member, *, hole: LaidHole, wishes: LoomWishes) -> _Place:
    stand, plug = member.stand or Stand(x_mm=hole.x_mm, y_mm=hole.y_mm), member.pigtail.plug
    aside_mm = math.dist((stand.x_mm, stand.y_mm), (hole.x_mm, hole.y_mm))
    reach_mm = aside_mm + max(stand.up_mm, 0.0) + wishes.floor_mm + max(plug.body_mm)
    spare_mm = max(member.pigtail.length_mm - reach_mm, 0.0)
    return _Place(hole=hole, reach_mm=reach_mm, drawn_mm=max(wishes.service_mm - spare_mm, 0.0))


def _fitting(member: Member) -> tuple[PinUse, ...]:
    """Give the uses that the plug has pins for."""
    return member.pins[: member.pigtail.plug.pins]


def _returns(members: Sequence[Member]) -> tuple[str, ...]:
    """List switched returns by name, so that the order of the file is no matter."""
    means = {use.means for member in members for use in member.pins}
    return tuple(sorted(means - {COMMON, RETURN}))


def _nets(own: Sequence[Member]) -> tuple[PinUse, ...]:
    """List what a feed's trunk carries: common, the steady return, then the switched ones."""
    poles = {use.means: use.positive for member in own for use in _fitting(member)}
    steady = [what for what in (COMMON, RETURN) if what in poles]
    switched = sorted(poles.keys() - {COMMON, RETURN})
    return tuple(PinUse(pin=0, means=what, positive=poles[what]) for what in (*steady, *switched))


def stepped(length_mm: float, step_mm: float) -> float:
    """Round a length up to whole steps, forgiving a rounding error. [mm]."""
    return math.ceil(length_mm / step_mm - 1e-9) * step_mm
