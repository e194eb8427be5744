"""A light box with the plane it is cut by for its section, and how large it is drawn."""

from collections.abc import Sequence

from lamphouse.cutting.wall_holes import WallHole
from lamphouse.design.lightbox import Baffle, Lid, LightBox
from lamphouse.design.panel import Outline, Panel
from lamphouse.drawings.moves import Box
from lamphouse.drawings.section_plane import (
    Crossing,
    Plane,
    Span,
    clear_spans,
    edge_crossing,
    spans_in,
)
from lamphouse.drawings.sizes import AWAY_MM
from lamphouse.light import scene
from lamphouse.record import Record, replace
from lamphouse.shapes.flatten import flatten

MARGIN_MM = 5.0
"""What the panel goes on beyond the box before it is broken off, on the drawing."""
SIDE_MM = MARGIN_MM + AWAY_MM + 4.0
"""From the box to the left end of the words, beyond the size on the left."""
_CHORD_ERROR_MM = 0.02
_OVER_MM, _UNDER_MM = 6.0, 24.0
"""For the sizes and words over the panel and under the back."""


class Cut(Record):
    """A box with the plane it is cut by, and how large it is drawn."""

    box: LightBox
    panel: Panel
    scene: scene.Box
    plane: Plane
    spans: Sequence[tuple[Crossing, Crossing]]
    drawn: float
    holes: Sequence[WallHole] = ()
    """Passages in the walls of the box."""

    @property
    def wall_mm(self) -> float:
        """Thickness of walls, back and lid."""
        return self.box.sheet.thickness_mm

    @property
    def between_walls(self) -> list[tuple[Crossing, Crossing]]:
        """Stretches of the cut from wall to wall, with the pillars in them."""
        return clear_spans(self.plane, replace(self.scene, holes=()))

    @property
    def baffles(self) -> list[tuple[Baffle, Crossing]]:
        """Baffles with where the cut goes through them; what of one lies in a pillar is not there.

        A baffle that is drawn into a pillar ends on its face.
        """
        pillars = [
            span
            for pillar in self.box.pillars
            for span in spans_of(pillar.outline, plane=self.plane)
        ]
        return [
            (baffle, cross)
            for baffle in self.box.baffles
            if (cross := edge_crossing(self.plane, (baffle.start_mm, baffle.end_mm)))
            and not any(low < cross.u_mm < high for low, high in pillars)
        ]

    @property
    def outer(self) -> Span:
        """The box over its walls."""
        first, last = self.spans[0][0], self.spans[-1][1]
        return first.u_mm - first.slant * self.wall_mm, last.u_mm + last.slant * self.wall_mm

    @property
    def foot_mm(self) -> float:
        """Height of the outermost face at the rear, below the inner face of the back."""
        return -self.wall_mm * (2.0 if self.box.lid is Lid.OVER else 1.0)

    @property
    def head_mm(self) -> float:
        """Height of the panel's front."""
        return self.box.depth_mm + self.panel.sheet.thickness_mm

    @property
    def crown_mm(self) -> float:
        """Height of the foremost face, overlays included."""
        return max([self.head_mm, *(top for _, _, top in self.overlays)])

    @property
    def overlays(self) -> list[tuple[Panel, float, float]]:
        """The overlays over the box in the cut, each from its rear face to its front.

        One that lies over another in the cut lies on it.
        """
        laid: list[tuple[Panel, float, float]] = []
        for overlay in self.panel.overlays:
            spans = spans_of(overlay.outline, plane=self.plane)
            if not _meet(spans, [self.outer]):
                continue
            under = [
                top for one, _, top in laid if _meet(spans, spans_of(one.outline, plane=self.plane))
            ]
            low = max(under, default=self.head_mm)
            laid.append((overlay, low, low + overlay.sheet.thickness_mm))
        return laid

    def fits(self, room_mm: tuple[float, float]) -> bool:
        """Tell whether the drawing fits a room with its sizes and words."""
        wide = (self.outer[1] - self.outer[0]) * self.drawn + 2.0 * SIDE_MM
        high = (self.crown_mm - self.foot_mm) * self.drawn + _OVER_MM + _UNDER_MM
        return wide <= room_mm[0] and high <= room_mm[1]

    def place(self, u_mm: float, z_mm: float) -> tuple[float, float]:
        """Give the place on the drawing of a place in the cut."""
        return u_mm * self.drawn, z_mm * self.drawn

    def sheet(self, u: Span, z: Span) -> Box:
        """Give a rectangle of the cut on the drawing."""
        (left, bottom), (right, top) = self.place(u[0], z[0]), self.place(u[1], z[1])
        return left, bottom, right, top


def spans_of(shape: Outline, *, plane: Plane) -> list[Span]:
    """Give the stretches of a cut that run inside an outline."""
    return spans_in(plane, flatten(shape.corners, error_mm=_CHORD_ERROR_MM))


def _meet(one: Sequence[Span], other: Sequence[Span]) -> bool:
    return any(low < end and start < high for low, high in one for start, end in other)
