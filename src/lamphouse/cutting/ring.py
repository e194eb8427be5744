"""A ring of flat walls round a polygon, cut so that they meet without overlap or gap.

Terminology
-----------
ring
    Walls of one thickness along every side of a polygon, on its right-hand side: outside it when
    the polygon runs anticlockwise, inside it when it runs clockwise.
near face, far face
    The face of a wall on the polygon's side, and the one a thickness away.
turn
    Angle by which the outline turns left at a corner; negative where it turns right.
butt joint
    One wall runs through and the other stops against its face.
mitre joint
    Both ends are cut along the line that halves the corner.
bevel
    Angle by which an end is off square.
"""

from collections.abc import Sequence
from math import atan2, degrees, hypot, pi, radians, sin, tan

from lamphouse.record import Record
from lamphouse.shapes.measure import STRAIGHT_ON_RAD, turns_rad
from lamphouse.shapes.outline import Spot, polygon

SAME_LENGTH_MM = 1e-6
"""Walls whose lengths differ less are equally long."""

SHARPEST_RAD = radians(160.0)
"""Walls meeting more sharply than 20 degrees would end in a feather edge [PRACTICE]."""


class Wall(Record):
    """One wall of a ring. Lengths count along its side, from the side's first corner."""

    start: Spot
    """First corner of the side."""
    end: Spot
    near_from_mm: float
    near_to_mm: float
    far_from_mm: float
    far_to_mm: float
    thickness_mm: float

    @property
    def side_mm(self) -> float:
        """Length of the side itself."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def from_mm(self) -> float:
        """Where the wall begins, on whichever face begins first."""
        return min(self.near_from_mm, self.far_from_mm)

    @property
    def to_mm(self) -> float:
        """Where the wall ends, on whichever face ends last."""
        return max(self.near_to_mm, self.far_to_mm)

    @property
    def length_mm(self) -> float:
        """Length to cut, before the ends are bevelled."""
        return self.to_mm - self.from_mm

    @property
    def shortest_mm(self) -> float:
        """Length of its shorter face."""
        return min(self.near_to_mm - self.near_from_mm, self.far_to_mm - self.far_from_mm)

    @property
    def first_bevel_deg(self) -> float:
        """Bevel of the first end; positive when the far face is the longer there."""
        return degrees(atan2(self.near_from_mm - self.far_from_mm, self.thickness_mm))

    @property
    def last_bevel_deg(self) -> float:
        """Bevel of the last end; positive when the far face is the longer there."""
        return degrees(atan2(self.far_to_mm - self.near_to_mm, self.thickness_mm))


class Corner(Record):
    """How far the walls before and after a corner reach past it, on near and far face."""

    before: tuple[float, float]
    after: tuple[float, float]


def too_sharp(turn_rad: float) -> bool:
    """Tell whether two walls meet too sharply to be cut."""
    return abs(turn_rad) > SHARPEST_RAD


def _is_butt(turn_rad: float) -> bool:
    """Tell whether a butt joint needs the smaller bevel: above 60 degrees of turn."""
    return abs(pi / 2.0 - abs(turn_rad)) < abs(turn_rad) / 2.0 - STRAIGHT_ON_RAD


def _corner(turn_rad: float, *, thickness_mm: float, before_runs: bool) -> Corner:
    """Cut the two walls at a corner.

    With the turn a: the wall that runs through ends in the plane of the other's far face, at
    t / sin a on its near face and t tan(a / 2) on its far face; the other starts on the first
    one's near face, at 0 and t cot a. Where the outline turns right, near and far change places,
    and with them the two walls.
    """
    outer_tip = thickness_mm * tan(turn_rad / 2.0)
    if not _is_butt(turn_rad):
        return Corner(before=(0.0, outer_tip), after=(0.0, -outer_tip))
    through = (thickness_mm / sin(turn_rad), outer_tip)
    stopped = (0.0, thickness_mm / tan(turn_rad))
    if before_runs == (turn_rad > 0.0):
        return Corner(before=through, after=stopped)
    return Corner(
        before=(-stopped[0], -stopped[1]),
        after=(-through[0], -through[1]),
    )


def ring_of_walls(spots: Sequence[Spot], *, thickness_mm: float) -> tuple[Wall, ...]:
    """Cut the walls of a ring.

    At a corner that turns by more than 60 degrees the longer wall runs through (of two equal ones
    the earlier) and the other butts against it; at a gentler one both are mitred, which needs the
    smaller bevel there.

    Parameters
    ----------
    spots
        Corners of a sound polygon, none of which goes straight on.
    thickness_mm
        Thickness of every wall.

    Returns
    -------
    tuple of Wall
        One for each side, in order. A wall may come out with a face of no or negative length
        where a side is too short for its joints: look at ``shortest_mm``.
    """
    count = len(spots)
    sides = [
        hypot(spots[(i + 1) % count][0] - spots[i][0], spots[(i + 1) % count][1] - spots[i][1])
        for i in range(count)
    ]
    corners = [
        _corner(
            angle,
            thickness_mm=thickness_mm,
            before_runs=sides[index - 1] >= sides[index] - SAME_LENGTH_MM,
        )
        for index, angle in enumerate(turns_rad(polygon(spots)))
    ]
    walls = []
    for index in range(count):
        first, last = corners[index], corners[(index + 1) % count]
        walls.append(
            Wall(
                start=spots[index],
                end=spots[(index + 1) % count],
                near_from_mm=first.after[0],
                near_to_mm=sides[index] + last.before[0],
                far_from_mm=first.after[1],
                far_to_mm=sides[index] + last.before[1],
                thickness_mm=thickness_mm,
            )
        )
    return tuple(walls)
