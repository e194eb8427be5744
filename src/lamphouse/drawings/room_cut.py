"""A section through the room: what is cut, upright, with the air between boxes and the hull.

Panels and fixed walls are filled or hatched, light boxes and sources outlined: they are hollow.
Only what is cut is drawn.
"""

from collections.abc import Iterator, Sequence

from lamphouse.design.surroundings import CutLine
from lamphouse.drawings.drawing import Drawing, Item, Pen, Text
from lamphouse.drawings.figures import rectangle
from lamphouse.drawings.floor_plan import SCALES
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.hatching import hatched
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import lying, upright
from lamphouse.drawings.room_lines import RoomScene, things_of
from lamphouse.drawings.room_view import key_below
from lamphouse.drawings.sizes import AWAY_MM, level
from lamphouse.drawings.sizes import upright as upright_size
from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.room.prisms import PrismKind
from lamphouse.shapes.footprints import footprint

_NAME_MM = 2.2
_FAR_GAP_MM = 60.0
"""A wider gap is no figure to worry about."""
_BESIDE_MM = 8.0
KEY = (
    "Filled: panels; hatched: floor, fixed walls and hull; outlined: light boxes and sources, "
    "held by upright covers. Sizes in mm: the room's height, and the air between the hull and what "
    "is next to it. What lies beyond the cut is not drawn."
)


class CutBlock(Record):
    """Something cut: from where to where along the line, and its heights. [mm]."""

    kind: PrismKind
    owner: str
    name: str
    from_mm: float
    to_mm: float
    low_mm: float
    high_mm: float


def default_cuts(scene: RoomScene) -> tuple[CutLine, ...]:
    """Give the sections that are drawn: the maker's, or through the middle both ways."""
    if scene.surroundings.cuts:
        return scene.surroundings.cuts
    left, bottom, right, top = scene.bounds_mm(margin_mm=4.0)
    room = scene.room
    x = room.width_mm / 2.0 if room else (left + right) / 2.0
    y = room.depth_mm / 2.0 if room else (bottom + top) / 2.0
    where = Where(item="room")
    return (
        CutLine(name="A", where=where, start_mm=(left, y), end_mm=(right, y)),
        CutLine(name="B", where=where, start_mm=(x, bottom), end_mm=(x, top)),
    )


def cut_blocks(scene: RoomScene, cut: CutLine) -> tuple[CutBlock, ...]:
    """Give everything that a cut goes through, what stays where it is first."""
    found = [
        _block(one.prism.kind, "", one.prism.name, span, (one.prism.low_mm, one.prism.high_mm))
        for one in scene.fixed()
        for span in one.footprint.spans(cut.start_mm, end=cut.end_mm)
    ]
    for thing in things_of(scene):
        for prism in thing.prisms:
            found += [
                _block(prism.kind, prism.owner, prism.name, span, (prism.low_mm, prism.high_mm))
                for span in footprint(prism.foot).spans(cut.start_mm, end=cut.end_mm)
            ]
    return tuple(found)


def _block(
    kind: PrismKind,
    owner: str,
    name: str,
    span: tuple[float, float],
    heights: tuple[float, float],
) -> CutBlock:
    return CutBlock(
        kind=kind,
        owner=owner,
        name=name,
        from_mm=span[0],
        to_mm=span[1],
        low_mm=heights[0],
        high_mm=heights[1],
    )


def room_cut(scene: RoomScene, cut: CutLine, *, paper: str) -> Labelled:
    """Draw a section, as large as it fits on the paper, upright or lying.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    fields = [upright(paper).room_mm, lying(paper).room_mm]
    blocks = cut_blocks(scene, cut)
    for reduction in SCALES:
        drawing = _drawn(scene, cut, blocks, reduction=reduction)
        if reduction == SCALES[-1] or any(
            drawing.width_mm <= wide and drawing.height_mm <= high for wide, high in fields
        ):
            break
    return Labelled(
        drawing=drawing, part="room", piece=f"section {cut.name}", drawn=f"1:{reduction}"
    )


def _drawn(
    scene: RoomScene, cut: CutLine, blocks: Sequence[CutBlock], *, reduction: int
) -> Drawing:
    small = 1.0 / reduction
    lines = [item for block in blocks for item in _cut_item(block, small)]
    sizes = [*_gaps(blocks, small)]
    if scene.room:
        foot = (-_BESIDE_MM, 0.0)
        sizes += upright_size(foot, length_mm=scene.room.height_mm, drawn=small, left=True)
    ground = Ground()
    ground.add([*lines, *sizes], passable=True)
    names = [item for named in _names(blocks, small) for item in _label(ground, named)]
    head = Text(
        x_mm=0.0,
        y_mm=drawing_of([*lines, *sizes, *names], name="").bottom_mm - 6.0,
        words=f"section {cut.name}",
        height_mm=3.5,
        bold=True,
    )
    drawn = [*lines, *sizes, *names, head]
    return drawing_of((*drawn, *key_below(drawn, KEY)), name=f"room section {cut.name}")


def _label(ground: Ground, named: Named) -> tuple[Item, ...]:
    return ground.label(named, height_mm=_NAME_MM) or ground.label(named, height_mm=LEAST_MM)


def _cut_item(block: CutBlock, small: float) -> Iterator[Item]:
    box = (
        block.from_mm * small,
        block.low_mm * small,
        block.to_mm * small,
        block.high_mm * small,
    )
    if block.kind in (PrismKind.BOX, PrismKind.SOURCE):
        pen = Pen.MARK if block.kind is PrismKind.BOX else Pen.SIZE
        yield rectangle(pen, left=box[0], bottom=box[1], right=box[2], top=box[3])
        return
    yield from hatched(box, falls=block.kind is PrismKind.FLOOR)


def _gaps(blocks: Sequence[CutBlock], small: float) -> Iterator[Item]:
    """Give the air between the hull and what is next to it at the height of its middle."""
    skins = [block for block in blocks if block.kind is PrismKind.HULL]
    for block in blocks:
        if not block.owner:
            continue
        middle = (block.low_mm + block.high_mm) / 2.0
        level_with = [one for one in blocks if one.low_mm < middle < one.high_mm]
        for skin in skins:
            if skin not in level_with:
                continue
            for start, end in ((block.to_mm, skin.from_mm), (skin.to_mm, block.from_mm)):
                between = any(
                    one.from_mm < end - 1e-6 and one.to_mm > start + 1e-6 for one in level_with
                )
                if 0.0 < end - start < _FAR_GAP_MM and not between:
                    yield from level(
                        (start * small, middle * small - AWAY_MM),
                        length_mm=end - start,
                        drawn=small,
                    )


def _names(blocks: Sequence[CutBlock], small: float) -> Iterator[Named]:
    """Name each thing once, at its largest cut."""
    best: dict[tuple[str, PrismKind, str], CutBlock] = {}
    for block in blocks:
        if block.kind in (PrismKind.FLOOR, PrismKind.SOURCE):
            continue
        key = (block.owner, block.kind, block.name if block.kind is not PrismKind.PANEL else "")
        kept = best.setdefault(key, block)
        if _area(block) > _area(kept):
            best[key] = block
    for block in best.values():
        x = (block.from_mm + block.to_mm) / 2.0 * small
        y = (block.low_mm + block.high_mm) / 2.0 * small
        words = block.owner if block.kind is PrismKind.PANEL else block.name
        reach = (block.to_mm - block.from_mm) / 2.0 * small
        reach = min(reach, (block.high_mm - block.low_mm) / 2.0 * small)
        yield Named(words=words, x_mm=x, y_mm=y, rim_mm=reach, reach_mm=reach)


def _area(block: CutBlock) -> float:
    return (block.to_mm - block.from_mm) * (block.high_mm - block.low_mm)
