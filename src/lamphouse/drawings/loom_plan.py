"""The loom drawing: the floor plan with the supply, splitter boards, holes, and runs between them.

Runs that go the same way are one line, with their numbers and the length of each. The loom lies
under the floor; what stands on it is drawn thin.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from lamphouse.circuit.loom_runs import Loom, Run
from lamphouse.design.place import Room, SubAssembly
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import cross, rectangle
from lamphouse.drawings.floor_plan import SCALES, FloorPlan, floor_plan
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.lettering import LEAST_MM, lines_of
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import lying, upright
from lamphouse.drawings.sizes import size_text
from lamphouse.record import Record
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.roundabout import length_of
from lamphouse.units import Quantity, show

MOST_NAMED = 100
"""Of more holes than this none is named, nor any run: the table has them."""
_SUPPLY_MM = 4.0
_LEAST_HOLE_MM = 1.6
"""A smaller hole is drawn as large, to be seen."""
_NAME_MM = 2.5
_RUN_MM = 2.0
_WORDS_MM = 2.2
_LINE_MM = 3.6
_WORDS_ROOM_MM = 15.0
"""What the words below take of the height."""
_FENCE_MM = 120.0
"""No label reaches so far beyond its field."""
_LEAST_KEY_MM = 120.0
"""Lines of the words below are at least so long."""
KEY = (
    "Seen from above, the room's front edge below. Thick corner: where places are measured from. "
    "Dots: datum corners. At a run: its numbers, and the length in mm to cut for "
    "each. Circles: holes in the floor with their diameter."
)


class _Way(Record):
    """Runs from one place to another."""

    runs: tuple[Run, ...]

    @property
    def words(self) -> str:
        """The numbers in short, and the length."""
        return f"{numbers_of(self.runs)}: {size_text(max(run.length_mm for run in self.runs))}"


def numbers_of(runs: Sequence[Run]) -> str:
    """Give the numbers of runs: ``3 to 6``, or one alone."""
    first, last = runs[0].number, runs[-1].number
    return str(first) if first == last else f"{first} to {last}"


def loom_plan(
    loom: Loom, *, subs: Sequence[SubAssembly], room: Room | None, paper: str
) -> Labelled:
    """Draw the loom on the floor plan, as large as it fits on the paper, upright or lying.

    Where names have no room beside a large drawing they are set within its field; of the drawings
    that fit, the one that leaves the fewest places unnamed is taken, the larger of equals.

    Parameters
    ----------
    loom
        As laid.
    subs, room
        What stands on the floor.
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    fields = [upright(paper).room_mm, lying(paper).room_mm]
    found: list[tuple[int, Drawing, str]] = []
    for reduction in SCALES:
        plan = floor_plan(subs, room=room, reduction=reduction)
        bare = drawing_of(_lines(loom, plan), name="")
        last = reduction == SCALES[-1]
        if not (last or _fits(bare, fields)):
            continue
        unnamed, freely = _drawn(loom, plan)
        fits = last or _fits(freely, fields)
        found += [(unnamed, freely, plan.drawn)] if fits else []
        for field_mm in fields:
            unnamed, fenced = _drawn(loom, plan, field_mm=field_mm)
            found += [(unnamed, fenced, plan.drawn)] if _fits(fenced, [field_mm]) else []
        if fits:
            break
    _, drawing, drawn = min(found, key=lambda one: one[0])
    return Labelled(drawing=drawing, part="loom", face="from above", drawn=drawn)


def _fits(drawing: Drawing, fields: Sequence[tuple[float, float]]) -> bool:
    return any(drawing.width_mm <= wide and drawing.height_mm <= high for wide, high in fields)


def _drawn(
    loom: Loom, plan: FloorPlan, *, field_mm: tuple[float, float] | None = None
) -> tuple[int, Drawing]:
    """Draw the plan with its names, and count the places that found no room for theirs.

    In a field no name lies outside it, and the holes are named first, which lie closer together
    than splitter boards.
    """
    lines = [*_lines(loom, plan)]
    ground = Ground()
    ground.add(lines, passable=True)
    if field_mm:
        ground.add(_fence(drawing_of(lines, name=""), field_mm=field_mm))
    named = [[*_names(loom, plan)], [*_holes(loom, plan)]]
    in_turn = reversed(named) if field_mm else named
    places = [_label(ground, *each) for part in in_turn for each in part]
    runs = [_label(ground, *each) for each in _run_names(loom, plan)]
    names = [item for label in (*places, *runs) for item in label]
    drawing = drawing_of((*lines, *names, *_key([*lines, *names])), name="loom")
    return sum(not label for label in places), drawing


def _fence(bare: Drawing, *, field_mm: tuple[float, float]) -> Iterator[Path]:
    """Give what lies round a field about a drawing, room for the words below left out of it."""
    left = bare.left_mm + (bare.width_mm - field_mm[0]) / 2
    right = left + field_mm[0]
    top = bare.bottom_mm + (bare.height_mm + field_mm[1]) / 2
    bottom = top - field_mm[1] + _WORDS_ROOM_MM
    far = _FENCE_MM
    for x1, y1, x2, y2 in (
        (left - far, bottom - far, left, top + far),
        (right, bottom - far, right + far, top + far),
        (left, bottom - far, right, bottom),
        (left, top, right, top + far),
    ):
        corners = ((x1, y1, 0.0), (x2, y1, 0.0), (x2, y2, 0.0), (x1, y2, 0.0))
        yield Path(pen=Pen.FRAME, corners=corners, closed=True, filled=True)


def _ways(loom: Loom) -> tuple[_Way, ...]:
    return tuple(
        _Way(runs=tuple(runs))
        for _, runs in groupby(loom.runs, key=lambda run: (run.feed, run.sub_assembly))
    )


def _label(ground: Ground, named: Named, height_mm: float) -> tuple[Item, ...]:
    """Set a label, smaller where it does not fit; the table has what finds no room at all."""
    return ground.label(named, height_mm=height_mm) or ground.label(named, height_mm=LEAST_MM)


def _lines(loom: Loom, plan: FloorPlan) -> Iterator[Item]:
    yield from plan.items
    for way in _ways(loom):
        run = way.runs[0]
        pen = Pen.MARK if run.sub_assembly else Pen.CUT
        spots = tuple((*plan.spot(*spot), 0.0) for spot in run.way_mm)
        yield Path(pen=pen, corners=spots)
    x, y = plan.spot(*loom.supply_mm)
    half = _SUPPLY_MM / 2
    yield rectangle(Pen.CUT, left=x - half, bottom=y - half, right=x + half, top=y + half)
    yield from cross(Pen.CUT, x_mm=x, y_mm=y, reach_mm=half * 0.6)
    for feed in loom.feeds:
        board = feed.splitter
        x, y = plan.spot(board.x_mm, board.y_mm)
        width, height = plan.spot(*board.size_mm)
        yield rectangle(
            Pen.CUT,
            left=x - width / 2,
            bottom=y - height / 2,
            right=x + width / 2,
            top=y + height / 2,
        )
    for hole in loom.holes:
        x, y = plan.spot(hole.x_mm, hole.y_mm)
        across = max(hole.diameter_mm / plan.reduction, _LEAST_HOLE_MM)
        yield Circle(pen=Pen.DRILL, x_mm=x, y_mm=y, diameter_mm=across)


def _names(loom: Loom, plan: FloorPlan) -> Iterator[tuple[Named, float]]:
    x, y = plan.spot(*loom.supply_mm)
    yield _named("supply", x, y, _SUPPLY_MM / 2), _NAME_MM
    for feed in loom.feeds:
        board = feed.splitter
        x, y = plan.spot(board.x_mm, board.y_mm)
        reach = max(board.size_mm) / 2 / plan.reduction
        fuse = f", fuse {show(feed.fuse_A, Quantity.CURRENT)}" if feed.fuse_A else ""
        switch = ", own switch" if feed.switched else ""
        yield _named(f"{board.name}{fuse}{switch}", x, y, reach), _NAME_MM


def _holes(loom: Loom, plan: FloorPlan) -> Iterator[tuple[Named, float]]:
    if len(loom.holes) > MOST_NAMED:
        return
    for hole in loom.holes:
        x, y = plan.spot(hole.x_mm, hole.y_mm)
        who = ", ".join(hole.sub_assemblies)
        name = who if hole.name == who else f"{hole.name} {who}"
        words = f"{name}, \u00d8 {size_text(hole.diameter_mm)}"
        reach = max(hole.diameter_mm / plan.reduction, _LEAST_HOLE_MM) / 2
        yield _named(words, x, y, reach), _NAME_MM


def _run_names(loom: Loom, plan: FloorPlan) -> Iterator[tuple[Named, float]]:
    if len(loom.holes) > MOST_NAMED:
        return
    for way in _ways(loom):
        run = way.runs[0]
        x, y = plan.spot(*halfway(run.way_mm))
        yield _named(way.words, x, y, 0.0), _RUN_MM


def halfway(way: Sequence[Spot]) -> Spot:
    """Give the place half along a way."""
    left = length_of(way) / 2.0
    for start, end in pairwise(way):
        far = math.dist(start, end)
        if far and far >= left:
            share = left / far
            return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
        left -= far
    return way[-1]


def _named(words: str, x_mm: float, y_mm: float, reach_mm: float) -> Named:
    return Named(words=words, x_mm=x_mm, y_mm=y_mm, rim_mm=reach_mm, reach_mm=reach_mm)


def _key(items: Sequence[Item]) -> Iterator[Text]:
    """Say below the drawing how to read it."""
    whole = drawing_of(items, name="")
    broken = lines_of(KEY, height_mm=_WORDS_MM, room_mm=max(whole.width_mm, _LEAST_KEY_MM))
    for number, words in enumerate(broken, start=1):
        yield Text(
            x_mm=whole.left_mm + whole.width_mm / 2,
            y_mm=whole.bottom_mm - 2.0 - number * _LINE_MM,
            words=words,
            height_mm=_WORDS_MM,
            anchor=Anchor.MIDDLE,
        )
