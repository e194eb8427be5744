"""The sheets of a section: walls, back, baffles, pillars, panel, overlays and the films between."""

from collections.abc import Iterator

from lamphouse.cutting.wall_holes import WallHole
from lamphouse.design.lightbox import Lid
from lamphouse.design.panel import Opening, Panel
from lamphouse.drawings.drawing import Item, Pen
from lamphouse.drawings.figures import rectangle
from lamphouse.drawings.hatching import hatched
from lamphouse.drawings.section_cut import MARGIN_MM, Cut, spans_of
from lamphouse.drawings.section_plane import Crossing, Span, edge_crossing

_LEAST_FILM_MM = 0.4
"""A thinner film is drawn as thick as this, to be seen."""
_ON_WALL_MM = 0.2
"""A passage whose end lies this near to a wall in the cut is in it."""


def sheets_of(cut: Cut) -> Iterator[Item]:
    """Draw everything flat that the cut goes through."""
    depth, wall = cut.box.depth_mm, cut.wall_mm
    over = cut.box.lid is Lid.OVER
    for left, right in cut.between_walls:
        inner = (left.u_mm, right.u_mm)
        wide = (left.u_mm - left.slant * wall, right.u_mm + right.slant * wall)
        foot = -wall if over else 0.0
        yield from _wall(cut, left, beyond=wide[0], heights=(foot, depth))
        yield from _wall(cut, right, beyond=wide[1], heights=(foot, depth))
        yield from hatched(cut.sheet(inner if over else wide, (-wall, 0.0)), falls=True)
        if over:
            yield from hatched(cut.sheet(wide, (-2.0 * wall, -wall)))
    if cut.box.inner_diffuser:
        low = cut.box.inner_diffuser.height_mm
        for left, right in cut.spans:
            high = low + cut.box.inner_diffuser.film.thickness_mm
            film = cut.sheet((left.u_mm, right.u_mm), (low, high))
            yield from hatched(film, pen=Pen.MARK)
    for pillar in cut.box.pillars:
        for span in spans_of(pillar.outline, plane=cut.plane):
            yield from hatched(cut.sheet(span, (0.0, depth)))
    for baffle, cross in cut.baffles:
        half = cross.slant * baffle.sheet.thickness_mm / 2.0
        span = (cross.u_mm - half, cross.u_mm + half)
        heights = baffle.span_mm(depth_mm=cut.box.depth_mm)
        yield from hatched(cut.sheet(span, heights))
    yield from _off_the_cut(cut)
    yield from _face(cut, cut.panel, heights=(cut.box.depth_mm, cut.head_mm), falls=True)
    for opening in cut.panel.openings:
        for span in spans_of(opening.outline, plane=cut.plane):
            if _broken_off(cut)[0] < span[0] and span[1] < _broken_off(cut)[1]:
                yield from _layers(cut, opening, span)
    for overlay, low, high in cut.overlays:
        yield from _face(cut, overlay, heights=(low, high), falls=False)


def hole_at(cut: Cut, wall: Crossing) -> WallHole | None:
    """Give the passage that the cut goes through at a wall; None where there is none."""
    for hole in cut.holes:
        cross = edge_crossing(cut.plane, hole.ends_mm)
        if cross and abs(cross.u_mm - wall.u_mm) <= _ON_WALL_MM:
            return hole
    return None


def _wall(cut: Cut, wall: Crossing, *, beyond: float, heights: Span) -> Iterator[Item]:
    """Draw a wall from its inner face to beyond it, with the passage through it."""
    across = (min(wall.u_mm, beyond), max(wall.u_mm, beyond))
    hole = hole_at(cut, wall)
    if hole is None:
        yield from hatched(cut.sheet(across, heights))
        return
    yield from hatched(cut.sheet(across, (heights[0], hole.low_mm)))
    yield from hatched(cut.sheet(across, (hole.high_mm, heights[1])))
    if hole.film:
        thick = max(hole.film.thickness_mm, _LEAST_FILM_MM / cut.drawn)
        inside = wall.u_mm + (thick if beyond < wall.u_mm else -thick)
        span = (min(wall.u_mm, inside), max(wall.u_mm, inside))
        yield from hatched(cut.sheet(span, (hole.low_mm, hole.high_mm)), pen=Pen.MARK)


def _off_the_cut(cut: Cut) -> Iterator[Item]:
    """Draw passages that lie before or behind the cut, dashed."""
    for hole in cut.holes:
        if edge_crossing(cut.plane, hole.ends_mm) is None:
            span = sorted(cut.plane.turned(end)[0] for end in hole.ends_mm)
            left, bottom, right, top = cut.sheet((span[0], span[1]), (hole.low_mm, hole.high_mm))
            yield rectangle(Pen.HIDDEN, left=left, bottom=bottom, right=right, top=top)


def _broken_off(cut: Cut) -> Span:
    """Give the places where the panel is broken off, a little beyond the box."""
    beyond = MARGIN_MM / cut.drawn
    return cut.outer[0] - beyond, cut.outer[1] + beyond


def _face(cut: Cut, face: Panel, *, heights: Span, falls: bool) -> Iterator[Item]:
    """Draw a panel or an overlay with its openings."""
    first, last = _broken_off(cut)
    open_spans = sorted(
        span for opening in face.openings for span in spans_of(opening.outline, plane=cut.plane)
    )
    for low, high in spans_of(face.outline, plane=cut.plane):
        ends = [max(low, first)]
        for start, end in open_spans:
            if ends[0] < start and end < min(high, last):
                ends += [start, end]
        ends.append(min(high, last))
        for left, right in zip(ends[::2], ends[1::2], strict=True):
            yield from hatched(cut.sheet((left, right), heights), falls=falls)


def _layers(cut: Cut, opening: Opening, span: Span) -> Iterator[Item]:
    low = cut.box.depth_mm
    for layer in opening.layers:
        high = low + max(layer.film.thickness_mm * layer.count, _LEAST_FILM_MM / cut.drawn)
        yield from hatched(cut.sheet(span, (low, high)), pen=Pen.MARK)
        low = high
