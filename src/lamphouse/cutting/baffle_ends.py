"""Where baffles end: at a wall, at the face of another baffle, at a pillar, or free in the box.

Terminology
-----------
near, far face
    The face of a baffle that one sees on its template, on the right of its way from start to end,
    and the other one.
along
    Place along the baffle's line, from its start. [mm].
"""

from collections.abc import Iterator, Sequence
from math import dist

from lamphouse.cutting.pillar_feet import ring_of
from lamphouse.cutting.wall_holes import ENDS_AT_MM
from lamphouse.design.lightbox import Baffle, Pillar
from lamphouse.record import Record, replace
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.soundness import SAME_MM
from lamphouse.shapes.stopping import stopped_mm, through

SQUARE = 0.1
"""Least sine of the angle between a baffle and what it ends at; flatter ones end free."""

MISSES_MM = 2.0
"""A baffle that stops nearer than this to a wall or a baffle was meant to meet it [PRACTICE]."""


class End(Record):
    """One end of a baffle."""

    near_mm: float
    far_mm: float
    """Along, on both faces."""
    wall: int | None = None
    """Number of the side it meets, from 0."""
    baffle: str = ""
    """Name of the baffle it meets."""
    pillar: str = ""
    """Name of the pillar it meets."""
    miss_mm: float = 0.0
    """Distance to what it stops short of; 0 where it meets something or stands free."""
    missed: str = ""
    """What it stops short of, as a sentence names it."""
    meets_at: Spot = (0.0, 0.0)
    """Where its line meets the face of what it meets or misses."""
    slant: float = 1.0
    """Sine of the angle between the baffle and what it meets."""


class Stretch(Record):
    """A baffle between its ends."""

    baffle: Baffle
    low_mm: float
    high_mm: float
    """Above the back."""
    way: Spot
    """Unit vector from start to end."""
    first: End
    last: End

    @property
    def from_mm(self) -> float:
        """Where it begins, on whichever face begins first."""
        return min(self.first.near_mm, self.first.far_mm)

    @property
    def to_mm(self) -> float:
        """Where it ends, on whichever face ends last."""
        return max(self.last.near_mm, self.last.far_mm)

    @property
    def length_mm(self) -> float:
        """Length to cut, before its ends are bevelled."""
        return self.to_mm - self.from_mm

    def shared_mm(self, other: "Stretch") -> tuple[float, float] | None:
        """Give the heights it has in common with another baffle; None where one is above."""
        low, high = max(self.low_mm, other.low_mm), min(self.high_mm, other.high_mm)
        return (low, high) if high > low + SAME_MM else None

    def spot(self, along_mm: float, *, off_mm: float = 0.0) -> Spot:
        """Give a point of its line, or beside it, to the near side where off is positive."""
        (x, y), (dx, dy) = self.baffle.start_mm, self.way
        return x + along_mm * dx + off_mm * dy, y + along_mm * dy - off_mm * dx

    @property
    def plan(self) -> tuple[Spot, ...]:
        """Its four corners seen from the panel, its ends as they are bevelled."""
        half = self.baffle.sheet.thickness_mm / 2.0
        return (
            self.spot(self.first.near_mm, off_mm=half),
            self.spot(self.last.near_mm, off_mm=half),
            self.spot(self.last.far_mm, off_mm=-half),
            self.spot(self.first.far_mm, off_mm=-half),
        )


def stretches_of(
    baffles: Sequence[Baffle],
    *,
    ring: Sequence[Spot],
    depth_mm: float,
    pillars: Sequence[Pillar] = (),
) -> tuple[Stretch, ...]:
    """Find where all baffles of a box so deep end.

    Where two end at one another in a corner, the earlier runs through and the later stops at it.
    Those that lie one above the other do not meet.
    """
    return tuple(
        stretch_of(
            baffle,
            ring=ring,
            depth_mm=depth_mm,
            others=[
                other
                for place, other in enumerate(baffles)
                if (place < number or (place > number and not _share_a_corner(baffle, other)))
                and _share_heights(baffle, other, depth_mm=depth_mm)
            ],
            pillars=pillars,
        )
        for number, baffle in enumerate(baffles)
    )


def _share_heights(first: Baffle, other: Baffle, *, depth_mm: float) -> bool:
    """Tell whether two baffles have a height in common."""
    spans = [one.span_mm(depth_mm=depth_mm) for one in (first, other)]
    return max(low for low, _ in spans) < min(high for _, high in spans) - SAME_MM


def _share_a_corner(first: Baffle, other: Baffle) -> bool:
    """Tell whether two baffles have an end in one place."""
    reach = (first.sheet.thickness_mm + other.sheet.thickness_mm) / 2.0 + ENDS_AT_MM
    return any(
        dist(one, two) <= reach
        for one in (first.start_mm, first.end_mm)
        for two in (other.start_mm, other.end_mm)
    )


class _Face(Record):
    """A plane that an end may meet."""

    at: Spot
    normal: Spot
    half_mm: float
    """From the plane to the face itself: half a baffle's thickness, 0 for a wall."""
    gap_mm: float
    """From the end to the face."""
    wall: int | None
    baffle: str
    words: str


def stretch_of(
    baffle: Baffle,
    *,
    ring: Sequence[Spot],
    depth_mm: float,
    others: Sequence[Baffle] = (),
    pillars: Sequence[Pillar] = (),
) -> Stretch:
    """Find where a baffle ends.

    Parameters
    ----------
    baffle
        With a length.
    ring
        Corners of the inside, anticlockwise.
    depth_mm
        Of the box.
    others
        Baffles it may end at.
    pillars
        Sound ones it may end at.
    """
    length = dist(baffle.start_mm, baffle.end_mm)
    (ax, ay), (bx, by) = baffle.start_mm, baffle.end_mm
    way = ((bx - ax) / length, (by - ay) / length)
    ends = [
        _end(baffle, way=way, along=along, faces=_faces(spot, ring=ring, others=others))
        for along, spot in ((0.0, baffle.start_mm), (length, baffle.end_mm))
    ]
    for last in (False, True):
        ends[last] = _at_pillar(baffle, way=way, last=last, end=ends[last], pillars=pillars)
    low, high = baffle.span_mm(depth_mm=depth_mm)
    return Stretch(baffle=baffle, low_mm=low, high_mm=high, way=way, first=ends[0], last=ends[1])


def _at_pillar(
    baffle: Baffle, *, way: Spot, last: bool, end: End, pillars: Sequence[Pillar]
) -> End:
    """Cut an end at the first pillar it runs into, or tell which one it stops short of.

    Each face is cut where it meets the pillar; where the pillar stands out between the faces, both
    are cut back to it.
    """
    if end.wall is not None or end.baffle:
        return end
    (ax, ay), length = baffle.start_mm, dist(baffle.start_mm, baffle.end_mm)
    half = baffle.sheet.thickness_mm / 2.0

    def line(off_mm: float) -> tuple[Spot, Spot]:
        spots = [
            (ax + along * way[0] + off_mm * way[1], ay + along * way[1] - off_mm * way[0])
            for along in (0.0, length)
        ]
        return (spots[0], spots[1]) if last else (spots[1], spots[0])

    found: tuple[float, Pillar] | None = None
    for pillar in pillars:
        start, stop = line(0.0)
        along = stopped_mm(start, end=stop, ring=ring_of(pillar), within_mm=MISSES_MM)
        if along is not None and (found is None or along < found[0]):
            found = along, pillar
    if found is None:
        return end
    middle, pillar = found

    def place(run_mm: float) -> float:
        return run_mm if last else length - run_mm

    if middle - length > ENDS_AT_MM:
        x, y = ax + place(middle) * way[0], ay + place(middle) * way[1]
        words = f"pillar '{pillar.name}'"
        miss = middle - length
        return replace(end, miss_mm=miss, missed=words, meets_at=(x, y))
    runs = [
        met[0] if (met := through(line(off)[0], end=line(off)[1], ring=ring_of(pillar))) else middle
        for off in (half, -half)
    ]
    over = max(sum(runs) / 2.0 - middle, 0.0)
    near, far = (place(run - over) for run in runs)
    return End(
        near_mm=near,
        far_mm=far,
        pillar=pillar.name,
        meets_at=(ax + place(middle) * way[0], ay + place(middle) * way[1]),
    )


def _faces(spot: Spot, *, ring: Sequence[Spot], others: Sequence[Baffle]) -> Iterator[_Face]:
    """List the faces near one end of a baffle: sides of the inside, sides of other baffles."""
    sides = [
        (start, ring[(index + 1) % len(ring)], 0.0, index, "", f"wall {index + 1}")
        for index, start in enumerate(ring)
    ]
    for start, end, half, wall, name, words in (
        *sides,
        *(
            (one.start_mm, one.end_mm, one.sheet.thickness_mm / 2.0, None, one.name, one.name)
            for one in others
        ),
    ):
        long = dist(start, end)
        normal = ((start[1] - end[1]) / long, (end[0] - start[0]) / long)
        gap = nearest_side(spot, ring=(start, end)).gap_mm
        yield _Face(
            at=start,
            normal=normal,
            half_mm=half,
            gap_mm=max(gap - half, 0.0),
            wall=wall,
            baffle=name,
            words=f"baffle '{words}'" if name else words,
        )


def _cut_at(face: _Face, *, baffle: Baffle, way: Spot, outward: float) -> End | None:
    """Cut an end in the plane of a face; None where the baffle runs nearly along it."""
    slope = way[0] * face.normal[0] + way[1] * face.normal[1]
    if abs(slope) < SQUARE:
        return None
    side = face.half_mm * (-outward if slope > 0.0 else outward)
    at = (face.at[0] + side * face.normal[0], face.at[1] + side * face.normal[1])
    half = baffle.sheet.thickness_mm / 2.0
    near, far, middle = (
        _where(baffle, way=way, normal=face.normal, at=at, off_mm=off) for off in (half, -half, 0.0)
    )
    x, y = baffle.start_mm
    return End(
        near_mm=near,
        far_mm=far,
        wall=face.wall,
        baffle=face.baffle,
        meets_at=(x + middle * way[0], y + middle * way[1]),
        slant=abs(slope),
    )


def _end(baffle: Baffle, *, way: Spot, along: float, faces: Iterator[_Face]) -> End:
    """Cut one end against what it meets; tell what it stops short of.

    In a corner it is cut back to whichever wall it meets first on each of its faces.
    """
    outward = 1.0 if along > 0.0 else -1.0
    met: End | None = None
    missed = End(near_mm=along, far_mm=along)
    for face in sorted(faces, key=lambda one: one.gap_mm):
        end = _cut_at(face, baffle=baffle, way=way, outward=outward)
        if face.gap_mm > MISSES_MM or end is None:
            continue
        if met is not None and face.gap_mm <= baffle.sheet.thickness_mm / 2.0 + ENDS_AT_MM:
            met = replace(
                met,
                near_mm=outward * min(outward * met.near_mm, outward * end.near_mm),
                far_mm=outward * min(outward * met.far_mm, outward * end.far_mm),
            )
        elif face.gap_mm <= ENDS_AT_MM:
            met = end
        else:
            (x, y), (mx, my) = baffle.start_mm, end.meets_at
            reach = outward * ((mx - x) * way[0] + (my - y) * way[1] - along)
            if not missed.missed and 0.0 < reach <= 2.0 * MISSES_MM:
                missed = replace(
                    missed, miss_mm=face.gap_mm, missed=face.words, meets_at=end.meets_at
                )
    return met or missed


def _where(baffle: Baffle, *, way: Spot, normal: Spot, at: Spot, off_mm: float) -> float:
    """Give the place along at which the line beside a baffle's own meets a plane."""
    slope = way[0] * normal[0] + way[1] * normal[1]
    x, y = baffle.start_mm
    beside = off_mm * (way[1] * normal[0] - way[0] * normal[1])
    return (((at[0] - x) * normal[0] + (at[1] - y) * normal[1]) - beside) / slope
