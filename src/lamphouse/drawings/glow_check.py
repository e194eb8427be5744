"""A panel small, with the holes of one source group lit and all others dark."""

from collections.abc import Iterator, Sequence

from lamphouse.design.panel import Panel
from lamphouse.design.strand import Strand
from lamphouse.drawings.drawing import Circle, Drawing, Item, Path, Pen
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.moves import drawing_of
from lamphouse.shapes.measure import size_mm

_LIT_MM, _DARK_MM = 1.6, 0.9
_EDGE_MM = 2.0


def glow_check(
    panel: Panel, *, strands: Sequence[Strand], group: str, room_mm: tuple[float, float]
) -> Drawing:
    """Draw which holes of a panel must glow when one group is lit.

    Parameters
    ----------
    panel
        Seen from the front.
    strands
        All that come out of it.
    group
        The one that is lit: its holes are drawn full and named, the others empty.
    room_mm
        Width and height for the picture; it is not to scale.
    """
    width, height = size_mm(panel.outline.corners)
    scale = min((room_mm[0] - 2 * _EDGE_MM) / width, (room_mm[1] - 2 * _EDGE_MM) / height)
    lines = list(_lines(panel, strands, group=group, scale=scale))
    ground = Ground()
    ground.add(lines)
    labels = [
        item
        for strand in strands
        if strand.group == group
        for item in ground.label(
            Named(
                words=strand.name,
                x_mm=strand.x_mm * scale,
                y_mm=strand.y_mm * scale,
                reach_mm=_LIT_MM / 2.0,
                rim_mm=_LIT_MM / 2.0,
            ),
            height_mm=LEAST_MM,
        )
    ]
    return drawing_of((*lines, *labels), name=f"{panel.name}, {group}")


def _lines(panel: Panel, strands: Sequence[Strand], *, group: str, scale: float) -> Iterator[Item]:
    corners = tuple((x * scale, y * scale, bulge) for x, y, bulge in panel.outline.corners)
    yield Path(pen=Pen.CUT, corners=corners, closed=True)
    for opening in panel.openings:
        corners = tuple((x * scale, y * scale, bulge) for x, y, bulge in opening.outline.corners)
        yield Path(pen=Pen.HIDDEN, corners=corners, closed=True)
    for strand in strands:
        is_lit = strand.group == group
        yield Circle(
            pen=Pen.TEXT if is_lit else Pen.MARK,
            x_mm=strand.x_mm * scale,
            y_mm=strand.y_mm * scale,
            diameter_mm=_LIT_MM if is_lit else _DARK_MM,
            filled=is_lit,
        )
