"""The run of every strand of a sub-assembly: from its hole, behind the panels, to its ferrule.

Terminology
-----------
run
    A strand as it lies: straight back from its hole, round the light boxes and the board in a plane
    behind them or beside them, and straight into the ferrule of its bundle.
level
    How far behind the panel a strand stays straight before it may turn aside. Boxes that reach
    no farther back than that do not stand in its way.
"""

from collections.abc import Iterator, Sequence
from functools import cache
from math import ceil

from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import Head, SourceGroup, Strand
from lamphouse.fibres.source_places import Seated, seated
from lamphouse.fibres.strand_light import LEAST_BEND_RADII
from lamphouse.fibres.swing import swing
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle, rectangle
from lamphouse.shapes.roundabout import Roundabout, length_of
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import gap_mm
from lamphouse.shapes.transform import move

STRAIGHT_MM = 5.0
"""A strand stays straight this far behind its hole, for glue and for a clean exit [PRACTICE]."""
FERRULE_MM = 15.0
"""Length of a ferrule, its strands straight within it [PRACTICE]."""
TRIM_MM = 3.0
"""Left over at each end, cut off square when the bundle is polished [PRACTICE]."""
PROUD_MM = 1.0
SET_BACK_MM = 0.5
"""How far a proud tip stands out, and one behind a decal lies back [PRACTICE]."""
MUSHROOM_DIAMETERS = 1.4
"""Fibre that melts into a half ball 1.6 times as wide: two thirds of 0.8 cubed over a quarter."""
CLEAR_MM = 1.0
"""Kept between a strand and the outside of a box [PRACTICE]."""
SLACK_MM, SLACK_SHARE = 10.0, 0.05
"""Added to every run: a fibre longer than needed is hidden in a curve, one too short is lost."""
STEP_MM = 5.0
"""Strands are cut to whole steps, so that few stops of the jig make them all."""
SHARES = (1.0, 0.5, 0.0)
"""Bend radii tried round boxes, from the fibre's own down to what hot water can form."""


class StrandRun(Record):
    """One strand from end to end."""

    strand: Strand
    panel: str
    source_sub_assembly: str
    way_mm: tuple[Spot, ...]
    """From its hole to its source, in the plane of the sub-assembly."""
    level_mm: float
    behind_mm: float
    """Of its ferrule."""
    radius_mm: float | None
    """Of its tightest bend; None where it runs straight."""
    run_mm: float
    """Along the fibre, from the face to the polished end of the bundle."""
    cut_mm: float
    """To cut it to, slack and trimming in."""
    in_box: str
    """The light box it runs through; empty when none."""

    @property
    def is_formed(self) -> bool:
        """Whether it is bent tighter than the fibre keeps by itself, and wants hot water."""
        return self.radius_mm is not None and self.radius_mm < self.strand.fibre.bend_radius_mm

    @property
    def least_radius_mm(self) -> float:
        """Tightest bend that can be formed."""
        return LEAST_BEND_RADII * self.strand.fibre.diameter_mm / 2.0


class Blocked(Record):
    """A strand that finds no way."""

    strand: Strand
    panel: str
    goal_mm: Spot


class Runs(Record):
    """Everything led through one sub-assembly."""

    sub_assembly: str
    seats: tuple[Seated, ...]
    runs: tuple[StrandRun, ...]
    """In the order of the file."""
    blocked: tuple[Blocked, ...]
    strangers: tuple[Strand, ...]
    """Strands whose source stands in another sub-assembly: their length cannot be known."""


class Hole(Record):
    """Where a strand comes out, in the plane of its sub-assembly."""

    strand: Strand
    panel: Panel
    spot_mm: Spot
    box: LightBox | None

    @property
    def sheet_mm(self) -> float:
        """Thickness it goes through."""
        curve = self.panel.curve
        if curve is None:
            return self.panel.sheet.thickness_mm
        return sum(layer.sheet.thickness_mm for layer in curve.layers)

    def stretch(self, level_mm: float) -> float:
        """By how much a way behind a bent panel is longer than on its inner face."""
        curve = self.panel.curve
        if curve is None:
            return 1.0
        out = self.sheet_mm + level_mm + self.strand.fibre.bend_radius_mm
        return (curve.inner_radius_mm + out) / curve.inner_radius_mm


def lead(sub: SubAssembly, *, groups: Sequence[SourceGroup]) -> Runs:
    """Lead every strand of a sub-assembly to its source.

    Parameters
    ----------
    sub
        With its panels at their places; panels without one lie over one another.
    groups
        Of the whole model.
    """
    own = {group.name: group for group in groups if group.source}
    holes = list(_holes(sub))
    here = [hole for hole in holes if _home(hole, own) == sub.name]
    obstacles = tuple(_obstacles(sub))
    needed = {
        name: _least_behind([hole for hole in here if hole.strand.group == name], obstacles)
        for name in dict.fromkeys(hole.strand.group for hole in here)
    }
    seats = seated(
        [own[name] for name in needed],
        holes_mm={
            name: [hole.spot_mm for hole in here if hole.strand.group == name] for name in needed
        },
        least_behind_mm=needed,
        panels=sub.panels,
        obstacles=obstacles,
    )
    by_group = {seat.group: seat for seat in seats}
    ways = _Ways(obstacles)
    runs, blocked = [], []
    ground = board_ground(sub)
    for hole in here:
        seat = by_group[hole.strand.group]
        run = (
            None
            if ground and _is_under(hole, ground=ground)
            else ways.best(hole, seat=seat, sub_assembly=sub.name)
        )
        if run is None:
            blocked.append(Blocked(strand=hole.strand, panel=hole.panel.name, goal_mm=seat.spot_mm))
        else:
            runs.append(run)
    return Runs(
        sub_assembly=sub.name,
        seats=seats,
        runs=tuple(runs),
        blocked=tuple(blocked),
        strangers=tuple(hole.strand for hole in holes if _home(hole, own) not in {sub.name, ""}),
    )


def _home(hole: Hole, own: dict[str, SourceGroup]) -> str:
    group = own.get(hole.strand.group)
    return group.sub_assembly if group else ""


def _holes(sub: SubAssembly) -> Iterator[Hole]:
    panels = {panel.name: panel for panel in sub.panels}
    sound = [(name, box) for name, box in sub.boxes if not flaw_of(box.inside.corners)]
    edges = {id(box): bounds_mm(box.inside.corners) for _, box in sound}
    for name, strand in sub.strands:
        panel = panels[name]
        box = next(
            (
                box
                for behind, box in sound
                if behind == name and _runs_through(strand, box=box, edges_mm=edges[id(box)])
            ),
            None,
        )
        place = (panel.at_mm[0] + strand.x_mm, panel.at_mm[1] + strand.y_mm)
        yield Hole(strand=strand, panel=panel, spot_mm=place, box=box)


def _runs_through(
    strand: Strand, *, box: LightBox, edges_mm: tuple[float, float, float, float]
) -> bool:
    """Whether a strand stands in a box or in its wall."""
    wall, (left, bottom, right, top) = box.sheet.thickness_mm, edges_mm
    if not (left - wall < strand.x_mm < right + wall and bottom - wall < strand.y_mm < top + wall):
        return False
    body = circle(strand.fibre.diameter_mm, x_mm=strand.x_mm, y_mm=strand.y_mm)
    return gap_mm(body, other=box.inside.corners) < wall


def _obstacles(sub: SubAssembly) -> Iterator[tuple[Corners, float, float]]:
    """Give each sound box, and the board: its inside in the plane, its wall, how far it reaches."""
    places = {panel.name: panel.at_mm for panel in sub.panels}
    for name, box in sub.boxes:
        if not flaw_of(box.inside.corners):
            x_mm, y_mm = places[name]
            yield move(box.inside.corners, x_mm=x_mm, y_mm=y_mm), box.sheet.thickness_mm, back(box)
    ground = board_ground(sub)
    if sub.board and ground:
        yield ground, 0.0, sub.board.behind_mm


def board_ground(sub: SubAssembly) -> Corners | None:
    """Give what the board of a sub-assembly covers in its plane; None where that is not known."""
    board = sub.board
    if board is None or board.at_mm is None or board.space_mm is None:
        return None
    (x, y), (wide, high) = board.at_mm, board.space_mm
    return rectangle(wide, height_mm=high, x_mm=x, y_mm=y)


def back(box: LightBox) -> float:
    """How far the outside of a box lies behind its panel, a lid over its back counted. [mm]."""
    return box.depth_mm + 2.0 * box.sheet.thickness_mm


def _is_under(hole: Hole, *, ground: Corners) -> bool:
    """Whether a strand would run into the board, straight back from its hole."""
    body = circle(hole.strand.fibre.diameter_mm, x_mm=hole.spot_mm[0], y_mm=hole.spot_mm[1])
    return gap_mm(body, other=ground) < CLEAR_MM


def _least_behind(
    holes: Sequence[Hole], obstacles: Sequence[tuple[Corners, float, float]]
) -> float:
    """Give the depth of a ferrule at which every strand swings over at its own radius."""
    deepest = max((far for _, _, far in obstacles), default=0.0)
    needed = max(
        (max(_own_level(hole), deepest + STRAIGHT_MM if obstacles else 0.0))
        + 2.0 * hole.strand.fibre.bend_radius_mm
        for hole in holes
    )
    return STEP_MM * ceil(needed / STEP_MM)


def _own_level(hole: Hole) -> float:
    return STRAIGHT_MM if hole.box is None else back(hole.box) + STRAIGHT_MM


class _Ways:
    """The ways round the boxes of one sub-assembly, each network of them built once."""

    def __init__(self, obstacles: Sequence[tuple[Corners, float, float]]) -> None:
        self._obstacles = obstacles
        self._network = cache(self._built)

    def _built(self, goal: Spot, level_mm: float, radius_mm: float) -> Roundabout:
        standing = [each for each in self._obstacles if each[2] > level_mm]
        wall = max((wall for _, wall, _ in standing), default=0.0)
        clear = wall + CLEAR_MM
        return Roundabout(
            [corners for corners, _, _ in standing],
            goal=goal,
            radius_mm=max(radius_mm, clear),
            clear_mm=clear,
        )

    def _levels(self, hole: Hole) -> list[float]:
        own = _own_level(hole)
        deeper = {far + STRAIGHT_MM for _, _, far in self._obstacles if far + STRAIGHT_MM > own}
        return [own, *sorted(deeper)]

    def best(self, hole: Hole, *, seat: Seated, sub_assembly: str) -> StrandRun | None:
        """Give the gentlest run of a strand, of equally gentle ones the shortest."""
        found = []
        for level in self._levels(hole):
            # Deeper than its own level only where the ferrule lies deep enough to turn back.
            if level > _own_level(hole) and level >= seat.behind_mm:
                continue
            run = self._at(hole, seat=seat, level_mm=level, sub_assembly=sub_assembly)
            if run:
                found.append(run)
        return min(
            found,
            key=lambda run: (
                -min(run.radius_mm or 1e9, hole.strand.fibre.bend_radius_mm),
                run.run_mm,
            ),
            default=None,
        )

    def _at(
        self, hole: Hole, *, seat: Seated, level_mm: float, sub_assembly: str
    ) -> StrandRun | None:
        fibre = hole.strand.fibre
        least = LEAST_BEND_RADII * fibre.diameter_mm / 2.0
        for share in SHARES:
            radius = max(share * fibre.bend_radius_mm, least)
            way = self._network(seat.spot_mm, level_mm, radius).way(hole.spot_mm)
            if way is None:
                continue
            across = length_of(way) * hole.stretch(level_mm)
            swung = swing(
                across,
                depth_mm=max(seat.behind_mm - level_mm, 0.0),
                radius_mm=fibre.bend_radius_mm,
            )
            bends = [radius] if len(way) > 2 else []
            bends += [swung.radius_mm] if swung.radius_mm is not None else []
            run_mm = _head_mm(hole) + level_mm + swung.length_mm + FERRULE_MM
            cut = run_mm * (1.0 + SLACK_SHARE) + SLACK_MM + TRIM_MM * (1 + _is_trimmed(hole))
            return StrandRun(
                strand=hole.strand,
                panel=hole.panel.name,
                source_sub_assembly=sub_assembly,
                way_mm=way,
                level_mm=level_mm,
                behind_mm=seat.behind_mm,
                radius_mm=min(bends, default=None),
                run_mm=run_mm,
                cut_mm=STEP_MM * ceil(cut / STEP_MM),
                in_box=hole.box.name if hole.box else "",
            )
        return None


def _is_trimmed(hole: Hole) -> bool:
    """Whether the tip is cut at the face after threading; a mushroom is formed before."""
    return hole.strand.head in {Head.FLUSH, Head.PROUD}


def _head_mm(hole: Hole) -> float:
    """Fibre from the rear face of the panel to its tip, as it was before a head was melted."""
    wide = hole.strand.fibre.diameter_mm
    more = {
        Head.FLUSH: 0.0,
        Head.PROUD: PROUD_MM,
        Head.MUSHROOM: MUSHROOM_DIAMETERS * wide,
        Head.SET_BACK: -min(SET_BACK_MM, hole.sheet_mm / 2.0),
    }
    return hole.sheet_mm + more[hole.strand.head]
