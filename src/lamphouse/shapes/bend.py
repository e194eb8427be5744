"""Walls bent from sheet, part of a cylinder or of a cone: points on them developed flat, and back.

Terminology
-----------
turn
    Angle round the axis from the middle of the wall, positive to the right.
up
    Length along the slope, square to the lower edge; 0 at the lower edge.
sine
    Of the slope: what the radius loses with each millimetre up; 0 for a cylinder.

A cone developed about its apex is a sector whose angle is that of the wall times the sine
[DEVELOPMENT]. Written from the middle of the lower edge instead of from the apex, the same formula
holds for cones of any slope and for the cylinder, whose apex is nowhere.
"""

from math import atan2, cos, hypot, pi, sin, sqrt, tan

from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.transform import move

WIDE_RAD = pi
"""An arc that turns more is written as two."""

POINT_MM = 1e-9
"""A radius below this is a point."""


_STRAIGHT = 1e-12
"""A wall whose slope has a smaller sine stands upright."""


def _sinc(angle_rad: float) -> float:
    return sin(angle_rad) / angle_rad if angle_rad else 1.0


class Bend(Record):
    """One face of a bent wall."""

    radius_mm: float
    """At the lower edge."""
    sine: float = 0.0
    """Within -1 and 1, both left out; below 0 the wall widens upwards."""

    def radius_at_mm(self, up_mm: float) -> float:
        """Give the radius some way up the slope."""
        return self.radius_mm - up_mm * self.sine

    def outwards(self, by_mm: float) -> "Bend":
        """Give the face that lies some way outside of this one, along its normal."""
        return Bend(radius_mm=self.radius_mm + by_mm * sqrt(1.0 - self.sine**2), sine=self.sine)

    def flat(self, turn_rad: float, *, up_mm: float) -> Spot:
        """Develop a point; the middle of the lower edge comes to 0, 0. [mm]."""
        turned = turn_rad * self.sine
        half = turned / 2.0
        return (
            self.radius_at_mm(up_mm) * turn_rad * _sinc(turned),
            up_mm * cos(turned) + self.radius_mm * turn_rad * _sinc(half) * sin(half),
        )

    def bent(self, spot: Spot) -> tuple[float, float]:
        """Give turn and up of a developed point. [rad, mm]."""
        x, y = spot
        if abs(self.sine) < _STRAIGHT:
            return x / self.radius_mm, y
        across, along = self.sine * x, self.radius_mm - self.sine * y
        away = hypot(across, along)
        up_mm = (2.0 * self.radius_mm * y - self.sine * (x * x + y * y)) / (self.radius_mm + away)
        return atan2(across, along) / self.sine, up_mm


class Development(Record):
    """A face of a wall laid flat, the lower left corner of the box around it at 0, 0."""

    bend: Bend
    angle_rad: float
    """Of the wall, without a lap."""
    corners: Corners
    """Lower left, lower right, upper right, upper left; arcs are true arcs. A face that ends in a
    point has one upper corner."""
    shift_mm: Spot
    """What :meth:`Bend.flat` was moved by."""

    def flat(self, turn_rad: float, *, up_mm: float) -> Spot:
        """Develop a point of the wall into its place. [mm]."""
        x, y = self.bend.flat(turn_rad, up_mm=up_mm)
        return x + self.shift_mm[0], y + self.shift_mm[1]

    def bent(self, spot: Spot) -> tuple[float, float]:
        """Give turn and up of a point of the flat piece. [rad, mm]."""
        return self.bend.bent((spot[0] - self.shift_mm[0], spot[1] - self.shift_mm[1]))

    def strip(self, start_rad: float, *, end_rad: float, up_mm: float) -> Corners:
        """Give the piece of the flat wall between two turns, up to a height on the slope."""
        return move(
            _strip(self.bend, start_rad, end_rad, up_mm),
            x_mm=self.shift_mm[0],
            y_mm=self.shift_mm[1],
        )


def develop(bend: Bend, *, angle_rad: float, up_mm: float, lap_rad: float = 0.0) -> Development:
    """Lay one face of a wall flat.

    Parameters
    ----------
    bend
        The face.
    angle_rad
        What the wall goes round, above 0.
    up_mm
        Its height along the slope, above 0.
    lap_rad
        What it goes on at its right end, to be glued on its left end.
    """
    half = angle_rad / 2.0
    corners = _strip(bend, -half, half + lap_rad, up_mm)
    left, bottom, _, _ = bounds_mm(corners)
    return Development(
        bend=bend,
        angle_rad=angle_rad,
        corners=move(corners, x_mm=-left, y_mm=-bottom),
        shift_mm=(-left, -bottom),
    )


def _strip(bend: Bend, start_rad: float, end_rad: float, up_mm: float) -> Corners:
    """Go round a piece of a wall, anticlockwise."""
    turns = [start_rad, end_rad]
    if abs((end_rad - start_rad) * bend.sine) > WIDE_RAD:
        turns.insert(1, (start_rad + end_rad) / 2.0)
    bulge = tan((turns[1] - turns[0]) * bend.sine / 4.0)
    lower = [(*bend.flat(turn, up_mm=0.0), bulge) for turn in turns]
    upper = [(*bend.flat(turn, up_mm=up_mm), -bulge) for turn in reversed(turns)]
    lower[-1] = (*lower[-1][:2], 0.0)
    upper[-1] = (*upper[-1][:2], 0.0)
    if abs(bend.radius_at_mm(up_mm)) <= POINT_MM:
        upper = upper[-1:]
    return (*lower, *upper)
