"""The room from above: everything in its place, wires and plugs, and how each thing comes out.

Panels are solid, light boxes and sources behind them thin; what lies flat is dashed. The loom
under the floor is drawn too, with what stands in its way.
"""

from collections.abc import Iterator, Sequence
from math import atan2, degrees, hypot

from lamphouse.design.surroundings import CutLine
from lamphouse.drawings.drawing import Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import ARROW_MM, arrowhead, cross, rectangle, segment
from lamphouse.drawings.floor_plan import SCALES
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.lettering import LEAST_MM, lines_of
from lamphouse.drawings.moves import drawing_of, scaled
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import lying, upright
from lamphouse.drawings.room_lines import RoomScene, Thing, strand_ways, things_of
from lamphouse.room.prisms import PrismKind
from lamphouse.room.taking_out import TakenOut
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot

_NAME_MM, _SMALL_MM = 2.5, 2.0
_ALONG = (0.0, 0.25, -0.25)
"""Where within a hatch its name may stand, as shares of its width from the middle."""
_LINE_MM = 3.6
_WORDS_MM = 2.2
_LEAST_KEY_MM = 120.0
_ARROW_LONG_MM = 9.0
_CORNER_MM = 8.0
_PAST_MM = 6.0
"""What the line of a cut goes past what it cuts, on paper."""
_LETTER_MM = 3.5
KEY = (
    "Seen from above, the room's front edge below. Thick: panels; thin: light boxes and sources "
    "behind them, wires and strands; dashed: what lies flat, and what stands under the floor. "
    "Arrows: the way each comes out, a ringed dot: lifted, with its number in the order of taking "
    "out. Circles: holes in the floor. Letters: where sections are cut, and which way they look."
)


def room_view(scene: RoomScene, *, cuts: Sequence[CutLine], paper: str) -> Labelled:
    """Draw the room from above, as large as it fits on the paper, upright or lying.

    Parameters
    ----------
    cuts
        Sections that are drawn as well.
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    fields = [upright(paper).room_mm, lying(paper).room_mm]
    things = things_of(scene)
    for reduction in SCALES:
        drawing = _drawn(scene, things, cuts=cuts, reduction=reduction)
        if reduction == SCALES[-1] or any(
            drawing.width_mm <= wide and drawing.height_mm <= high for wide, high in fields
        ):
            break
    return Labelled(drawing=drawing, part="room", face="from above", drawn=f"1:{reduction}")


def _drawn(
    scene: RoomScene, things: Sequence[Thing], *, cuts: Sequence[CutLine], reduction: int
) -> Drawing:
    small = 1.0 / reduction
    lines = [scaled(item, factor=small) for item in _lines(scene, things)]
    lines += _zero()
    lines += [item for cut in cuts for item in _cut(cut, small)]
    arrows = [item for out in scene.room_plan.removal.out for item in _arrow(out, things, small)]
    ground = Ground()
    ground.add([*lines, *arrows], passable=True)
    names = [
        item
        for tries, height in _names(scene, things, small)
        for item in _label(ground, tries, height)
    ]
    drawn = [*lines, *arrows, *names]
    return drawing_of((*drawn, *key_below(drawn, KEY)), name="room")


def _lines(scene: RoomScene, things: Sequence[Thing]) -> Iterator[Item]:
    """Draw everything at its full size."""
    if scene.room:
        yield rectangle(
            Pen.FRAME, left=0.0, bottom=0.0, right=scene.room.width_mm, top=scene.room.depth_mm
        )
    for fixed in scene.fixed():
        if fixed.prism.kind is PrismKind.FLOOR:
            continue
        filled = fixed.prism.kind is PrismKind.WALL
        for ring in fixed.footprint.rings():
            yield _ring(Pen.CUT, ring, filled=filled)
    pens = {PrismKind.PANEL: Pen.CUT, PrismKind.BOX: Pen.MARK, PrismKind.SOURCE: Pen.SIZE}
    for thing in things:
        flat = thing.first.kind is PrismKind.PANEL and scene.is_flat(thing.first.owner)
        pen = Pen.HIDDEN if flat else pens[thing.first.kind]
        for ring in thing.footprint.rings():
            yield _ring(pen, ring)
    for way in dict.fromkeys(strand_ways(scene)):
        yield Path(pen=Pen.SIZE, corners=tuple((x, y, 0.0) for x, y in way))
    yield from _below(scene)


def _below(scene: RoomScene) -> Iterator[Item]:
    """Draw what lies under the floor."""
    for thing in scene.surroundings.under_floor:
        yield Path(pen=Pen.HIDDEN, corners=thing.outline.corners, closed=True)
    for hatch in scene.surroundings.hatches:
        yield Path(pen=Pen.SCORE, corners=hatch.outline.corners, closed=True)
    loom = scene.loom
    if loom is None:
        return
    for way in dict.fromkeys(run.way_mm for run in loom.runs):
        yield Path(pen=Pen.MARK, corners=tuple((x, y, 0.0) for x, y in way))
    for hole in loom.holes:
        yield Circle(pen=Pen.DRILL, x_mm=hole.x_mm, y_mm=hole.y_mm, diameter_mm=hole.diameter_mm)
    for feed in loom.feeds:
        board = feed.splitter
        half = (board.size_mm[0] / 2.0, board.size_mm[1] / 2.0)
        yield rectangle(
            Pen.MARK,
            left=board.x_mm - half[0],
            bottom=board.y_mm - half[1],
            right=board.x_mm + half[0],
            top=board.y_mm + half[1],
        )
    yield from cross(Pen.CUT, x_mm=loom.supply_mm[0], y_mm=loom.supply_mm[1], reach_mm=4.0)


def _ring(pen: Pen, ring: Sequence[Spot], *, filled: bool = False) -> Path:
    return Path(pen=pen, corners=tuple((x, y, 0.0) for x, y in ring), closed=True, filled=filled)


def _zero() -> tuple[Item, Item]:
    return (
        segment(Pen.DATUM, start=(0.0, 0.0), end=(_CORNER_MM, 0.0)),
        segment(Pen.DATUM, start=(0.0, 0.0), end=(0.0, _CORNER_MM)),
    )


def _cut(cut: CutLine, small: float) -> Iterator[Item]:
    """Draw the line of a cut with its letter and the way it looks at both ends."""
    start, end = ((x * small, y * small) for x, y in (cut.start_mm, cut.end_mm))
    long = hypot(end[0] - start[0], end[1] - start[1])
    if not long:
        return
    way = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
    look = (-way[1], way[0])
    first = (start[0] - way[0] * _PAST_MM, start[1] - way[1] * _PAST_MM)
    last = (end[0] + way[0] * _PAST_MM, end[1] + way[1] * _PAST_MM)
    yield segment(Pen.CENTRE, start=first, end=last)
    for x, y in (first, last):
        tip = (x + look[0] * 5.0, y + look[1] * 5.0)
        yield segment(Pen.SIZE, start=(x, y), end=tip)
        yield arrowhead(Pen.SIZE, tip=tip, towards_deg=degrees(atan2(look[1], look[0])))
        yield Text(
            x_mm=x - look[0] * 3.0 + way[0] - _LETTER_MM / 3.0,
            y_mm=y - look[1] * 3.0 - _LETTER_MM / 2.0,
            words=cut.name,
            height_mm=_LETTER_MM,
            bold=True,
        )


def middle_of(name: str, things: Sequence[Thing]) -> tuple[Spot, Spot]:
    """Give the middle of a sub-assembly on the floor plan, and half its sides. [mm]."""
    boxes = [thing.footprint.bounds_mm for thing in things if thing.first.owner == name]
    left, bottom = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, top = max(box[2] for box in boxes), max(box[3] for box in boxes)
    return ((left + right) / 2.0, (bottom + top) / 2.0), (
        (right - left) / 2.0,
        (top - bottom) / 2.0,
    )


def _arrow(out: TakenOut, things: Sequence[Thing], small: float) -> Iterator[Item]:
    """Draw the way out: an arrow from its front, or a ringed dot where it is lifted."""
    (x, y), (wide, deep) = middle_of(out.sub_assembly, things)
    right, back = out.towards_mm
    if not (right or back):
        yield Circle(pen=Pen.SIZE, x_mm=x * small, y_mm=y * small, diameter_mm=3.2)
        yield Circle(pen=Pen.SIZE, x_mm=x * small, y_mm=y * small, diameter_mm=0.9, filled=True)
        return
    away = abs(right) * wide + abs(back) * deep
    start = ((x + right * away) * small, (y + back * away) * small)
    tip = (start[0] + right * _ARROW_LONG_MM, start[1] + back * _ARROW_LONG_MM)
    shaft = (tip[0] - right * ARROW_MM / 2.0, tip[1] - back * ARROW_MM / 2.0)
    yield segment(Pen.SIZE, start=start, end=shaft)
    yield arrowhead(Pen.SIZE, tip=tip, towards_deg=degrees(atan2(back, right)))


def _label(ground: Ground, tries: Sequence[Named], height_mm: float) -> tuple[Item, ...]:
    """Set a label at the first of its places that has room, smaller where none has."""
    for height in (height_mm, LEAST_MM):
        for named in tries:
            if items := ground.label(named, height_mm=height, far=named.reach_mm > 0.0):
                return items
    return ()


def _names(
    scene: RoomScene, things: Sequence[Thing], small: float
) -> Iterator[tuple[tuple[Named, ...], float]]:
    """Give what is named, each with the places where its name may stand, the best first."""
    order = {out.sub_assembly: number for number, out in enumerate(scene.room_plan.removal.out, 1)}
    for name in dict.fromkeys(thing.first.owner for thing in things):
        middle, half = middle_of(name, things)
        number = f"{order[name]} " if name in order else ""
        stand = next(sub.stand for sub in scene.subs if sub.name == name)
        up = f", up {stand.up_mm:g}" if stand and stand.up_mm else ""
        words = f"{number}{name}{up}"
        yield tuple(_named(words, spot, 2.0) for spot in _spots(middle, half, small)), _NAME_MM
    for thing in things:
        if thing.first.kind is PrismKind.BOX:
            left, bottom, right, top = thing.footprint.bounds_mm
            middle = ((left + right) / 2.0, (bottom + top) / 2.0)
            half = ((right - left) / 2.0, (top - bottom) / 2.0)
            spots = _spots(middle, half, small)
            yield tuple(_named(thing.first.name, spot, 0.4) for spot in spots), _SMALL_MM
    around = scene.surroundings
    below = [(thing.name, thing.outline) for thing in around.under_floor]
    below += [(hatch.name, hatch.outline) for hatch in around.hatches]
    for words, outline in below:
        spot, reach = _spot_of(outline.corners, small)
        left, _, right, _ = bounds_mm(outline.corners)
        inside = [(spot[0] + share * (right - left) * small, spot[1]) for share in _ALONG]
        tries = (*(_named(words, one, 0.0) for one in inside), _named(words, spot, reach))
        yield (*tries, _named(words, spot, 0.4)), _SMALL_MM
    for wall in scene.surroundings.walls:
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        spot = wall.via_mm or ((ax + bx) / 2.0, (ay + by) / 2.0)
        yield (_named(wall.name, (spot[0] * small, spot[1] * small), 1.0),), _SMALL_MM
    if scene.loom:
        for socket in scene.loom.sockets:
            words = f"plug {socket.sub_assembly}"
            yield (_named(words, (socket.x_mm * small, socket.y_mm * small), 1.2),), _SMALL_MM


def _spots(middle: Spot, half: Spot, small: float) -> tuple[Spot, ...]:
    """Give the middle of a thing, then the middles of its sides, then its corners, on paper."""
    steps = ((0, 0), (0, -1), (0, 1), (-1, 0), (1, 0), (-1, -1), (1, -1), (-1, 1), (1, 1))
    return tuple(
        ((middle[0] + right * half[0]) * small, (middle[1] + up * half[1]) * small)
        for right, up in steps
    )


def _spot_of(corners: Corners, small: float) -> tuple[Spot, float]:
    left, bottom, right, top = bounds_mm(corners)
    spot = ((left + right) / 2.0 * small, (bottom + top) / 2.0 * small)
    return spot, min(right - left, top - bottom) / 2.0 * small


def _named(words: str, spot: Spot, reach_mm: float) -> Named:
    return Named(words=words, x_mm=spot[0], y_mm=spot[1], rim_mm=reach_mm, reach_mm=reach_mm)


def key_below(items: Sequence[Item], key: str) -> Iterator[Text]:
    """Say below a drawing how to read it."""
    whole = drawing_of(items, name="")
    broken = lines_of(key, height_mm=_WORDS_MM, room_mm=max(whole.width_mm, _LEAST_KEY_MM))
    for number, words in enumerate(broken, start=1):
        yield Text(
            x_mm=whole.left_mm,
            y_mm=whole.bottom_mm - 2.0 - number * _LINE_MM,
            words=words,
            height_mm=_WORDS_MM,
        )
