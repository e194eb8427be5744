"""Judges the room: what stands where, how it comes out, and what of it does not work."""

from collections.abc import Sequence

from lamphouse.design.place import Room
from lamphouse.design.surroundings import Surroundings
from lamphouse.findings import Finding
from lamphouse.record import Record
from lamphouse.room.assembled import Assembled, Placed
from lamphouse.room.clear_rules import look_at_places
from lamphouse.room.floor_rules import WirePair, no_way, out_of_reach
from lamphouse.room.plug_reach import PlugReach, PlugSpot, reach_plugs
from lamphouse.room.prisms import FloorBuild, Prism
from lamphouse.room.taking_out import Removal
from lamphouse.room.way_mends import all_ways
from lamphouse.room.way_rules import look_at_ways


class RoomPlan(Record):
    """Everything in its place, and how it comes out."""

    prisms: tuple[Prism, ...]
    """Of the sub-assemblies in the order of the file, then of what stays where it is."""
    removal: Removal
    plugs: tuple[PlugReach, ...]
    """How one gets at each plug."""

    @property
    def installing(self) -> tuple[str, ...]:
        """Sub-assemblies in an order in which they go in; without those that are locked."""
        return tuple(one.sub_assembly for one in reversed(self.removal.out))


def judge_room(
    placed: Sequence[Placed],
    *,
    plugs: Sequence[PlugSpot],
    wires: Sequence[WirePair],
    surroundings: Surroundings,
    room: Room | None,
    floor: FloorBuild,
) -> tuple[RoomPlan, tuple[Finding, ...]]:
    """Put everything in its place and judge it.

    Parameters
    ----------
    placed
        Sub-assemblies with the space of their boxes and sources; those without a stand take none.
    plugs
        Where plugs hang under the floor.
    wires
        Places that wires under the floor join.
    floor
        How it is built.

    Notes
    -----
    Bodies of two and a half dimensions: what is not upright and square is held by upright
    covers, which may be larger. Strands, wires and boards take up no space. Ways out are straight
    moves without turning.
    """
    assembled = Assembled(placed, surroundings=surroundings, room=room, floor=floor)
    removal, about_ways = look_at_ways(assembled, ways=all_ways(assembled))
    reached = reach_plugs(plugs, surroundings=surroundings, room=room, depth_mm=floor.depth_mm)
    made = RoomPlan(prisms=assembled.prisms, removal=removal, plugs=reached)
    found = (
        *look_at_places(assembled),
        *about_ways,
        *out_of_reach(reached, surroundings=surroundings, room=room, depth_mm=floor.depth_mm),
        *no_way(wires, surroundings=surroundings),
    )
    return made, found
