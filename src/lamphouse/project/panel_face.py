"""The face of a panel that places and shapes are put on: flat, bent to a cylinder, or to a cone.

Terminology
-----------
panel plane
    What the maker writes places in: x to the right, y up from the lower left corner. On a bent
    wall x is the arc length along the lower edge of the inner face, y the length along the slope.
developed face
    The inner face laid flat, in true size. Of a plane and of a cylinder it is the panel plane.

On a cone a shape is as wide as written at the height of its own middle. Its level sides stay level
and its upright sides run up the slope, so a window looks right from inside; a round hole stays
round.
"""

from collections.abc import Callable
from math import atan2, cos, degrees, pi, radians, sin

from lamphouse.design.panel import Curve, CurveLayer, Outline
from lamphouse.project.fields.curve_fields import CurveFields
from lamphouse.project.outlines import placed
from lamphouse.record import Record
from lamphouse.shapes.bend import POINT_MM, Bend, Development, develop
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle_of, rectangle
from lamphouse.shapes.warping import warped

DRAWN_MM = 1e-4
"""How far lines and arcs may be from a shape on a cone."""


class Face(Record):
    """Where places of a panel come to on its developed face."""

    cone: Development | None = None
    """None where the panel plane is the developed face."""

    def spot(self, x_mm: float, *, y_mm: float) -> Spot:
        """Give the place of a point. [mm]."""
        return self._of(x_mm, 0.0)((0.0, y_mm)) if self.cone else (x_mm, y_mm)

    def put(self, corners: Corners, *, words: str, x_mm: float, y_mm: float) -> Outline:
        """Put a shape around 0, 0 into its place."""
        if self.cone is None or circle_of(corners):
            x_mm, y_mm = self.spot(x_mm, y_mm=y_mm)
            return placed(corners, words=words, x_mm=x_mm, y_mm=y_mm)
        if not self._is_on_it(corners, x_mm, y_mm):
            return placed(corners, words=words, x_mm=x_mm, y_mm=y_mm)
        bent = warped(corners, by=self._of(x_mm, y_mm), error_mm=DRAWN_MM)
        return placed(bent, words=words, x_mm=0.0, y_mm=0.0)

    def _is_on_it(self, corners: Corners, x_mm: float, y_mm: float) -> bool:
        """Tell whether all of a shape has a place on the sector once round its apex.

        What has none stays as it was written, far too large or away from the wall, to be told.
        """
        if self.cone is None:
            return True
        bend = self.cone.bend
        left, bottom, right, top = bounds_mm(corners)
        narrow = min(bend.radius_at_mm(y_mm + up) for up in (bottom, top))
        wide = bend.radius_at_mm(y_mm)
        if narrow < -POINT_MM or wide <= POINT_MM:
            return False
        middle = x_mm / bend.radius_mm - self.cone.angle_rad / 2.0
        turns = (middle + left / wide, middle + right / wide)
        return all(abs(turn * bend.sine) <= pi for turn in turns)

    def _of(self, x_mm: float, y_mm: float) -> Callable[[Spot], Spot]:
        """Map points around a place of the panel plane onto the developed face."""
        if self.cone is None:
            return lambda spot: (x_mm + spot[0], y_mm + spot[1])
        cone, bend = self.cone, self.cone.bend
        middle_rad = x_mm / bend.radius_mm - cone.angle_rad / 2.0
        wide_mm = bend.radius_at_mm(y_mm)
        if wide_mm <= POINT_MM or abs(middle_rad * bend.sine) > pi:
            return lambda spot: (x_mm + spot[0], y_mm + spot[1])
        return lambda spot: cone.flat(middle_rad + spot[0] / wide_mm, up_mm=y_mm + spot[1])


FLAT = Face()


def curve_of(fields: CurveFields, *, height_mm: float, layers: tuple[CurveLayer, ...]) -> Curve:
    """Make the record of a bend; its former's sheet comes later, from the shelf."""
    if fields.upper_radius is not None:
        slope_rad = atan2(fields.inner_radius - fields.upper_radius, height_mm)
    else:
        slope_rad = radians(fields.slope or 0.0)
    return Curve(
        inner_radius_mm=fields.inner_radius,
        angle_deg=fields.angle,
        layers=layers,
        along_mm=height_mm / cos(slope_rad),
        slope_deg=degrees(slope_rad),
        lap_mm=fields.lap or 0.0,
    )


def inner_face(curve: Curve) -> tuple[Outline, Face]:
    """Lay the inner face of a bent wall flat."""
    angle_rad = radians(curve.angle_deg)
    if not curve.slope_deg:
        width_mm = curve.inner_radius_mm * angle_rad
        words = f"developed rectangle {width_mm:.1f} x {curve.along_mm:g} mm"
        corners = rectangle(width_mm, height_mm=curve.along_mm)
        half = width_mm / 2.0, curve.along_mm / 2.0
        return placed(corners, words=words, x_mm=half[0], y_mm=half[1]), FLAT
    bend = Bend(radius_mm=curve.inner_radius_mm, sine=sin(radians(curve.slope_deg)))
    cone = develop(bend, angle_rad=angle_rad, up_mm=curve.along_mm)
    sector = curve.angle_deg * abs(bend.sine)
    words = f"developed sector of {sector:.2f} deg, {curve.along_mm:.2f} mm along the slope"
    return placed(cone.corners, words=words, x_mm=0.0, y_mm=0.0), Face(cone=cone)
