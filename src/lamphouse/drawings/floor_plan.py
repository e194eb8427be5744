"""The floor plan: the room from above, with the place of every sub-assembly.

Seen from above, the front edge of the room below. An upright sub-assembly is the line of its foot,
a bent one an arc that goes back from it, and one that lies flat the rectangle of its face, a vault
the ground it spans. With several panels the widest one is drawn.
"""

import math
from collections.abc import Iterator, Sequence

from lamphouse.design.panel import Panel
from lamphouse.design.place import Lie, Room, Stand, SubAssembly
from lamphouse.drawings.drawing import Circle, Item, Path, Pen
from lamphouse.drawings.figures import segment
from lamphouse.drawings.moves import moved, turned
from lamphouse.record import Record
from lamphouse.shapes.measure import size_mm

SCALES = (1, 2, 5, 10, 20, 50, 100)
"""Reductions of [ISO5455]."""
DATUM_MM = 1.2
"""Diameter of the dot on a datum corner, on paper."""
_CORNER_MM = 8.0
"""Length of the datum lines at the room's corner, on paper."""


class FloorPlan(Record):
    """A floor plan to draw more on."""

    reduction: int
    """Full size over drawn size."""
    items: tuple[Item, ...]

    @property
    def drawn(self) -> str:
        """The scale as a title block says it."""
        return f"1:{self.reduction}"

    def spot(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Give the place on paper of a place on the floor. [mm]."""
        return x_mm / self.reduction, y_mm / self.reduction


def floor_plan(subs: Sequence[SubAssembly], *, room: Room | None, reduction: int) -> FloorPlan:
    """Draw the floor plan.

    Parameters
    ----------
    subs
        Those without a stand are left out.
    room
        Its walls; None draws none.
    reduction
        Full size over drawn size, one of ``SCALES``.
    """
    feet = (footprint(sub, reduction=reduction) for sub in subs)
    walls = (_smaller(item, reduction) for item in _walls(room))
    drawn = (*walls, *(foot for foot in feet if foot))
    corners = (_datum(sub.stand, reduction) for sub in subs if sub.stand)
    return FloorPlan(reduction=reduction, items=(*drawn, *_zero(), *corners))


def _walls(room: Room | None) -> Iterator[Path]:
    if room:
        corners = ((0, 0), (room.width_mm, 0), (room.width_mm, room.depth_mm), (0, room.depth_mm))
        yield Path(pen=Pen.FRAME, corners=tuple((x, y, 0.0) for x, y in corners), closed=True)


def footprint(sub: SubAssembly, *, reduction: int) -> Path | None:
    """Draw where a sub-assembly stands; None for one without a place."""
    if not sub.stand or not sub.panels:
        return None
    panel = max(sub.panels, key=lambda panel: size_mm(panel.outline.corners)[0])
    foot = turned(_foot(panel, sub.stand), turn_deg=sub.stand.turn_deg)
    return _smaller(moved(foot, right_mm=sub.stand.x_mm, up_mm=sub.stand.y_mm), reduction)


def _foot(panel: Panel, stand: Stand) -> Path:
    """Draw the foot of a panel from its datum corner to the right."""
    width, height = size_mm(panel.outline.corners)
    sweep = math.radians(panel.curve.angle_deg) if panel.curve else 0.0
    if panel.curve:
        width = 2.0 * panel.curve.inner_radius_mm * math.sin(min(sweep, math.pi) / 2)
    if stand.lies is Lie.FLAT:
        corners = ((0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, height, 0.0), (0.0, height, 0.0))
        return Path(pen=Pen.HIDDEN, corners=corners, closed=True)
    if panel.curve:
        bulge = -math.tan(min(sweep, math.pi) / 4)
        return Path(pen=Pen.CUT, corners=((0.0, 0.0, bulge), (width, 0.0, 0.0)))
    return segment(Pen.CUT, start=(0.0, 0.0), end=(width, 0.0))


def _smaller(item: Path, reduction: int) -> Path:
    corners = tuple((x / reduction, y / reduction, bulge) for x, y, bulge in item.corners)
    return Path(pen=item.pen, corners=corners, closed=item.closed)


def _zero() -> tuple[Item, Item]:
    """Mark the corner all places are measured from."""
    return (
        segment(Pen.DATUM, start=(0.0, 0.0), end=(_CORNER_MM, 0.0)),
        segment(Pen.DATUM, start=(0.0, 0.0), end=(0.0, _CORNER_MM)),
    )


def _datum(stand: Stand, reduction: int) -> Circle:
    return Circle(
        pen=Pen.TEXT,
        x_mm=stand.x_mm / reduction,
        y_mm=stand.y_mm / reduction,
        diameter_mm=DATUM_MM,
        filled=True,
    )
