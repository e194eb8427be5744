"""A panel small, for the bench sheet: its openings, the boxes behind it, its LEDs and strands.

Lines are scaled to the room there is; lettering keeps its height, so that it stays readable.
"""

from collections.abc import Iterator, Sequence

from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Outline, Panel
from lamphouse.design.strand import Strand
from lamphouse.drawings.drawing import Circle, Drawing, Item, Path, Pen
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.moves import drawing_of
from lamphouse.shapes.measure import size_mm

_LED_MM = 1.8
"""Diameter of the dot that stands for an LED."""
_STRAND_MM = 0.7
_EDGE_MM = 2.0
"""Left around the panel for labels that find no room on it."""


def sketch(
    panel: Panel,
    *,
    boxes: Sequence[LightBox],
    strands: Sequence[Strand],
    room_mm: tuple[float, float],
) -> Drawing:
    """Draw a panel so that it fits a room.

    Parameters
    ----------
    panel
        The panel, seen from the front; a curved one as it lies flat.
    boxes, strands
        The light boxes behind it and the strands that come out of it.
    room_mm
        Width and height for the whole picture.

    Returns
    -------
    Drawing
        Not to scale: nothing may be measured from it.
    """
    width, height = size_mm(panel.outline.corners)
    scale = min((room_mm[0] - 2 * _EDGE_MM) / width, (room_mm[1] - 2 * _EDGE_MM) / height)
    lines = [*_lines(panel, boxes, scale), *_dots(boxes, strands, scale)]
    ground = Ground()
    ground.add(lines)
    labels = [item for named in _names(boxes, strands, scale) for item in _label(ground, named)]
    return drawing_of((*lines, *labels), name=panel.name)


def _label(ground: Ground, named: Named) -> tuple[Item, ...]:
    return ground.label(named, height_mm=LEAST_MM)


def _lines(panel: Panel, boxes: Sequence[LightBox], scale: float) -> Iterator[Item]:
    yield _scaled(Pen.CUT, panel.outline, scale)
    for opening in panel.openings:
        yield _scaled(Pen.MARK, opening.outline, scale)
    for box in boxes:
        yield _scaled(Pen.HIDDEN, box.inside, scale)


def _scaled(pen: Pen, outline: Outline, scale: float) -> Path:
    corners = tuple((x * scale, y * scale, bulge) for x, y, bulge in outline.corners)
    return Path(pen=pen, corners=corners, closed=True)


def _dots(boxes: Sequence[LightBox], strands: Sequence[Strand], scale: float) -> Iterator[Circle]:
    for x, y in ((led.x_mm, led.y_mm) for box in boxes for led in box.leds):
        yield Circle(pen=Pen.TEXT, x_mm=x * scale, y_mm=y * scale, diameter_mm=_LED_MM, filled=True)
    for x, y in ((strand.x_mm, strand.y_mm) for strand in strands):
        yield Circle(
            pen=Pen.TEXT, x_mm=x * scale, y_mm=y * scale, diameter_mm=_STRAND_MM, filled=True
        )


def _names(boxes: Sequence[LightBox], strands: Sequence[Strand], scale: float) -> Iterator[Named]:
    for led in (led for box in boxes for led in box.leds):
        yield _named(led.name, led.x_mm * scale, led.y_mm * scale, _LED_MM / 2)
    for strand in _flagged(strands):
        yield _named(strand.name, strand.x_mm * scale, strand.y_mm * scale, _STRAND_MM / 2)


def _flagged(strands: Sequence[Strand]) -> Iterator[Strand]:
    """Give the first and the last strand of each source group: a row is read from its ends."""
    groups: dict[str, list[Strand]] = {}
    for strand in strands:
        groups.setdefault(strand.group, []).append(strand)
    for group in groups.values():
        yield group[0]
        if len(group) > 1:
            yield group[-1]


def _named(words: str, x_mm: float, y_mm: float, reach_mm: float) -> Named:
    return Named(words=words, x_mm=x_mm, y_mm=y_mm, reach_mm=reach_mm, rim_mm=reach_mm)
