"""What the drawings of the room show: everything in its place, gathered and named once.

Terminology
-----------
thing
    All prisms of one panel, one light box, one source, one wall, as one outline.
"""

from collections.abc import Iterator, Sequence

from lamphouse.circuit.loom_runs import Loom
from lamphouse.design.place import Lie, Room, Stand, SubAssembly
from lamphouse.design.surroundings import Surroundings
from lamphouse.fibres.runs import Runs
from lamphouse.record import Record
from lamphouse.room.assembled import prisms_bounds
from lamphouse.room.fixed_prisms import Fixed, fixed_of
from lamphouse.room.prisms import FloorBuild, Prism, PrismKind
from lamphouse.room.room_verdict import RoomPlan
from lamphouse.shapes.footprints import Footprint, footprint, upright_box
from lamphouse.shapes.measure import Bounds
from lamphouse.shapes.outline import Spot, polygon
from lamphouse.shapes.transform import move, turn


class RoomScene(Record):
    """Everything the drawings of the room show."""

    room_plan: RoomPlan
    subs: tuple[SubAssembly, ...]
    room: Room | None
    surroundings: Surroundings
    loom: Loom | None
    floor: FloorBuild
    strands: tuple[Runs, ...] = ()

    def bounds_mm(self, *, margin_mm: float = 0.0) -> Bounds:
        """Give the rectangle on the floor plan that holds everything."""
        left, bottom, right, top = prisms_bounds(self.room_plan.prisms)
        if self.room:
            left, bottom = min(left, 0.0), min(bottom, 0.0)
            right, top = max(right, self.room.width_mm), max(top, self.room.depth_mm)
        return left - margin_mm, bottom - margin_mm, right + margin_mm, top + margin_mm

    def fixed(self) -> Iterator[Fixed]:
        """Give what stays where it is, cut to what is drawn."""
        window = upright_box(self.bounds_mm(margin_mm=5.0))
        around = fixed_of(self.surroundings, room=self.room, floor=self.floor)
        for one in around:
            cut = one.footprint.within(window)
            if not cut.is_nothing:
                yield Fixed(prism=one.prism, footprint=cut)

    def is_flat(self, name: str) -> bool:
        """Tell whether a sub-assembly lies flat."""
        return any(
            sub.name == name and sub.stand is not None and sub.stand.lies is Lie.FLAT
            for sub in self.subs
        )


class Thing(Record):
    """All prisms of one thing."""

    prisms: tuple[Prism, ...]
    footprint: Footprint

    @property
    def first(self) -> Prism:
        """One of them, for its name and kind."""
        return self.prisms[0]


def things_of(scene: RoomScene) -> tuple[Thing, ...]:
    """Gather the prisms of sub-assemblies by what they belong to, in the order of the file."""
    found: dict[tuple[str, PrismKind, str, str], list[Prism]] = {}
    for prism in scene.room_plan.prisms:
        if prism.owner:
            key = (prism.owner, prism.kind, prism.name, prism.carrier)
            found.setdefault(key, []).append(prism)
    made = []
    for prisms in found.values():
        whole = footprint(prisms[0].foot)
        for prism in prisms[1:]:
            whole = whole.joined(footprint(prism.foot))
        made.append(Thing(prisms=tuple(prisms), footprint=whole))
    return tuple(made)


def strand_ways(scene: RoomScene) -> Iterator[tuple[Spot, ...]]:
    """Give how each strand runs, seen from above; those behind bent panels are left out.

    A strand goes straight back from its hole, along behind the panel, and straight into its
    ferrule.
    """
    for runs in scene.strands:
        sub = next((one for one in scene.subs if one.name == runs.sub_assembly), None)
        if sub is None or sub.stand is None:
            continue
        bent = {panel.name for panel in sub.panels if panel.curve}
        for run in runs.runs:
            if run.panel in bent or len(run.way_mm) < 2:
                continue
            if sub.stand.lies is Lie.FLAT:
                yield _placed(run.way_mm, sub.stand)
                continue
            across = [x for x, _ in run.way_mm]
            level = [(x, run.level_mm) for x in across]
            spots = [(across[0], 0.0), *level, (across[-1], run.behind_mm)]
            yield _placed(spots, sub.stand)


def _placed(spots: Sequence[Spot], stand: Stand) -> tuple[Spot, ...]:
    turned = turn(polygon(spots), angle_deg=stand.turn_deg)
    return tuple((x, y) for x, y, _ in move(turned, x_mm=stand.x_mm, y_mm=stand.y_mm))
