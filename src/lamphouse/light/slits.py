"""Narrow slits over and under baffles, and how the mesh grows finer beside them.

Most of what passes a slit comes from strips of faces about as wide as the slit, and lands on such.
So lines run beside the baffle, layers grow away from the slit, and the grid lies along it;
``slit_lines`` tells what passes. A slit under an inner sheet is left as it is: what passes there is
little beside what the sheet sends to both sides.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lamphouse.light.scene import Box, Spot
from lamphouse.light.uprights import TOUCH_MM, Segment, segments
from lamphouse.record import Record, replace

NARROW = 0.25
"""A slit is narrow below this share of the height of its slice of the box."""

ASIDE = (1.0, 3.0, 8.0)
"""Widths of a slit at which lines of the plan run beside its baffle, on both sides."""

APART = (2.0, 6.0)
"""Widths of a slit at which layers end, from the face that it lies along."""

DOUBT = 0.005
"""What is left, relative; found on slits of 0.25 to 1.5 mm walked at random, held by others."""


class Slit(Record):
    """A narrow slit over or under a baffle."""

    wall: Segment
    """One side of the baffle."""
    low_mm: float
    high_mm: float
    cavity: int
    """Slice of the box that it lies in, from the back."""

    @property
    def width_mm(self) -> float:
        """From the baffle's edge to the face that it lies along."""
        return self.high_mm - self.low_mm

    @property
    def area_mm2(self) -> float:
        """Width times length."""
        return self.width_mm * self.wall.length_mm


def narrow_slits(box: Box) -> tuple[Slit, ...]:
    """List the narrow slits of a box; one that another baffle fills or parts is none."""
    levels = [0.0, box.depth_mm]
    if box.sheet is not None:
        levels.insert(1, box.sheet.height_mm)
    baffles = [wall for wall in segments(box) if wall.is_baffle][::2]
    slits = (
        Slit(
            wall=wall,
            low_mm=min(face, face + way * gap),
            high_mm=max(face, face + way * gap),
            cavity=cavity,
        )
        for wall in baffles
        for cavity, (low, high) in enumerate(pairwise(levels))
        for gap, face, way in _slits(wall, low_mm=low, high_mm=high, depth_mm=box.depth_mm)
    )
    return tuple(slit for slit in slits if not any(_fills(each, slit=slit) for each in baffles))


def _fills(wall: Segment, *, slit: Slit) -> bool:
    """Tell whether a baffle in the plane of a slit reaches over some of it."""
    if wall.low_mm > slit.high_mm - TOUCH_MM or wall.high_mm < slit.low_mm + TOUCH_MM:
        return False
    (ax, ay), (bx, by) = slit.wall.start_mm, slit.wall.end_mm
    ux, uy = (bx - ax) / slit.wall.length_mm, (by - ay) / slit.wall.length_mm
    feet = [(x - ax, y - ay) for x, y in (wall.start_mm, wall.end_mm)]
    if max(abs(x * uy - y * ux) for x, y in feet) > TOUCH_MM:
        return False
    low, high = sorted(x * ux + y * uy for x, y in feet)
    return low < slit.wall.length_mm - TOUCH_MM and high > TOUCH_MM


def _slits(
    wall: Segment, *, low_mm: float, high_mm: float, depth_mm: float
) -> Iterator[tuple[float, float, float]]:
    """Give width, face and way from it of the narrow slits of a baffle in a slice of the box."""
    if wall.low_mm < high_mm - TOUCH_MM and wall.high_mm > low_mm + TOUCH_MM:
        below, above = wall.low_mm - low_mm, high_mm - wall.high_mm
        if high_mm < depth_mm - TOUCH_MM:
            above = 0.0
        for gap, face, way in ((below, low_mm, 1.0), (above, high_mm, -1.0)):
            if TOUCH_MM < gap < NARROW * (high_mm - low_mm):
                yield gap, face, way


def lines_beside(box: Box, *, step_mm: float) -> tuple[Segment, ...]:
    """Give lines beside the baffles along the grid with narrow slits, each as long as its baffle.

    Parameters
    ----------
    box
        Turned so that its grid lies along the axes.
    step_mm
        Coarse step in plan.
    """
    slits = [slit for slit in narrow_slits(box) if not slit.wall.slants]
    return tuple(
        _shifted(slit.wall, by_mm=way * share * slit.width_mm)
        for slit in slits
        for share in ASIDE
        if share * slit.width_mm < step_mm
        for way in (-1.0, 1.0)
    )


def cuts_beside(box: Box, *, step_mm: float) -> tuple[tuple[Segment, ...], tuple[Segment, ...]]:
    """Give such lines beside slanted baffles: those that part coarse cells, and those midway."""
    whole: list[Segment] = []
    midway: list[Segment] = []
    for slit in narrow_slits(box):
        for low, high in pairwise((0.0, *ASIDE)):
            if slit.wall.slants and high * slit.width_mm < step_mm:
                for lines, share in ((whole, high), (midway, (low + high) / 2.0)):
                    lines += [
                        _shifted(slit.wall, by_mm=way * share * slit.width_mm)
                        for way in (-1.0, 1.0)
                    ]
    return tuple(whole), tuple(midway)


def _shifted(wall: Segment, *, by_mm: float) -> Segment:
    """Move a foot line to its left."""
    (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
    dx, dy = (bx - ax) / wall.length_mm * by_mm, (by - ay) / wall.length_mm * by_mm

    def moved(spot: Spot) -> Spot:
        return spot[0] - dy, spot[1] + dx

    return replace(wall, start_mm=moved(wall.start_mm), end_mm=moved(wall.end_mm))


def levels_beside(
    walls: Sequence[Segment], *, low_mm: float, high_mm: float, depth_mm: float, step_mm: float
) -> set[float]:
    """Give levels that layers of a slice end at beside narrow slits, ever farther away.

    Parameters
    ----------
    walls
        Those that reach into the slice.
    low_mm, high_mm
        The slice.
    depth_mm
        Of the box.
    step_mm
        Greatest coarse step in height.
    """
    levels = {
        face + way * share * gap
        for wall in walls
        if wall.is_baffle
        for gap, face, way in _slits(wall, low_mm=low_mm, high_mm=high_mm, depth_mm=depth_mm)
        for share in APART
        if share * gap < step_mm
    }
    return {level for level in levels if low_mm < level < high_mm}


def doubt_of(box: Box, *, step_mm: float) -> float:
    """Give what figures may be off by in a box with slits narrower than the fine step, relative."""
    return DOUBT if any(slit.width_mm < step_mm for slit in narrow_slits(box)) else 0.0
