"""The faces of a section that have another finish than the rest: a line along each, walls named."""

from collections.abc import Iterator
from math import inf

from lamphouse.design.box_faces import (
    BACK,
    PANEL,
    WALLS,
    baffle_finish,
    finish_of,
    finishes_in,
    in_words,
    pillar_finish,
    wall_beside,
)
from lamphouse.drawings.drawing import Anchor, Item, Path, Pen, Text
from lamphouse.drawings.figures import segment
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.section_cut import Cut, spans_of
from lamphouse.drawings.section_plane import Crossing

_OFF_MM = 0.8
"""From a face to the line along it, on the drawing."""
_WORDS_OFF_MM = 1.6


def inside_words(cut: Cut) -> str:
    """Say what the inside is finished with, and what the lines along faces are."""
    words = in_words(cut.box)
    if len(finishes_in(cut.box)) == 1:
        return f"inside, panel too, {words}"
    marked = f"; lines along faces: not {cut.box.finish.name}" if any(paint_of(cut)) else ""
    return f"inside: {words}{marked}"


def paint_of(cut: Cut) -> Iterator[Item]:
    """Draw a line along every face in the cut whose finish is not that of the box."""
    box, depth, off = cut.box, cut.box.depth_mm, _OFF_MM / cut.drawn
    walls = {wall.u_mm for span in cut.between_walls for wall in span}
    own_back, own_panel = (finish_of(box, face) != box.finish for face in (BACK, PANEL))
    for left, right in cut.spans:
        start, end = left.u_mm + off, right.u_mm - off
        if own_back:
            yield _line(cut, (start, off), (end, off))
        if own_panel:
            for first, last in _between_openings(cut, start, end):
                yield _line(cut, (first, depth - off), (last, depth - off))
        for face, inward in ((left, 1.0), (right, -1.0)):
            lined = _wall if face.u_mm in walls else _pillar
            yield from lined(cut, face, inward=inward)
    for baffle, cross in cut.baffles:
        if baffle_finish(box, baffle) != box.finish:
            half = cross.slant * baffle.sheet.thickness_mm / 2.0 + off
            low, high = baffle.span_mm(depth_mm=depth)
            for u in (cross.u_mm - half, cross.u_mm + half):
                yield _line(cut, (u, max(low, off)), (u, min(high, depth - off)))


def _wall(cut: Cut, wall: Crossing, *, inward: float) -> Iterator[Item]:
    """Draw the line along a wall, with the name its piece has."""
    box, off = cut.box, _OFF_MM / cut.drawn
    spot = (wall.u_mm, cut.plane.level_mm)
    name = wall_beside(box, spot if cut.plane.along == "x" else spot[::-1])
    if finish_of(box, name) == box.finish:
        return
    u = wall.u_mm + inward * off
    yield _line(cut, (u, off), (u, box.depth_mm - off))
    if name != WALLS:
        x, y = cut.place(wall.u_mm, box.depth_mm)
        yield Text(
            x_mm=x + inward * _WORDS_OFF_MM,
            y_mm=y - _WORDS_OFF_MM - LEAST_MM,
            words=name,
            height_mm=LEAST_MM,
            anchor=Anchor.START if inward > 0.0 else Anchor.END,
        )


def _pillar(cut: Cut, side: Crossing, *, inward: float) -> Iterator[Item]:
    """Draw the line along the side of a pillar."""
    box, off = cut.box, _OFF_MM / cut.drawn
    near = min(
        box.pillars,
        key=lambda pillar: min(
            (
                abs(end - side.u_mm)
                for span in spans_of(pillar.outline, plane=cut.plane)
                for end in span
            ),
            default=inf,
        ),
    )
    if pillar_finish(box, near) != box.finish:
        u = side.u_mm + inward * off
        yield _line(cut, (u, off), (u, box.depth_mm - off))


def _between_openings(cut: Cut, start: float, end: float) -> Iterator[tuple[float, float]]:
    """Give the stretches of the panel's rear face that no opening takes."""
    taken = sorted(
        span
        for opening in cut.panel.openings
        for span in spans_of(opening.outline, plane=cut.plane)
    )
    for first, last in taken:
        if start < min(first, end):
            yield start, min(first, end)
        start = max(start, last)
    if start < end:
        yield start, end


def _line(cut: Cut, start: tuple[float, float], end: tuple[float, float]) -> Path:
    return segment(Pen.MARK, start=cut.place(*start), end=cut.place(*end))
