"""Flat plates in space as the faces of an isometric picture [ISO5456-3].

The three axes lie 120 degrees apart and lengths along them are drawn true: x falls to the right,
y stands upright, z falls to the left. The eye lies on the line x = y = z, before the panel.
"""

from collections.abc import Iterator, Sequence
from math import atan2, cos, degrees, pi, sin

from lamphouse.record import Record
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.sightlines import Face

Point = tuple[float, float, float]

COS, SIN = cos(pi / 6.0), sin(pi / 6.0)
"""Of the 30 degrees between an axis and the level."""

SMOOTH_DEG = 35.0
"""Edges that meet flatter belong to one round face; the line between them is not drawn."""


class Plate(Record):
    """A flat plate: its seen face, and how far behind it the other face lies."""

    part: str
    rings: tuple[tuple[Spot, ...], ...]
    """Outline and holes of the seen face in its own right and up, outline anticlockwise."""
    corner_mm: Point
    right: Point
    up: Point
    thickness_mm: float
    far_rings: tuple[tuple[Spot, ...], ...] = ()
    """The same corners on the face behind; those of the seen face without."""


def projected(point: Point) -> Spot:
    """Give a point's place on the picture."""
    x, y, z = point
    return (x - z) * COS, y - (x + z) * SIN


def depth_of(point: Point) -> float:
    """Give how near a point is to the eye."""
    return sum(point)


def _cross(first: Point, second: Point) -> Point:
    (ax, ay, az), (bx, by, bz) = first, second
    return ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx


def _plus(point: Point, *moves: tuple[float, Point]) -> Point:
    x, y, z = point
    for far, (dx, dy, dz) in moves:
        x, y, z = x + far * dx, y + far * dy, z + far * dz
    return x, y, z


def shifted(plate: Plate, *, by_mm: Point) -> Plate:
    """Move a plate."""
    x, y, z = plate.corner_mm
    return Plate(
        part=plate.part,
        rings=plate.rings,
        corner_mm=(x + by_mm[0], y + by_mm[1], z + by_mm[2]),
        right=plate.right,
        up=plate.up,
        thickness_mm=plate.thickness_mm,
        far_rings=plate.far_rings,
    )


def faces_of(plate: Plate) -> Iterator[Face]:
    """Give the faces of a plate that look towards the eye: a flat one, and its edges."""
    normal = _cross(plate.right, plate.up)
    near = [
        [_plus(plate.corner_mm, (x, plate.right), (y, plate.up)) for x, y in ring]
        for ring in plate.rings
    ]
    far = [
        [
            _plus(plate.corner_mm, (x, plate.right), (y, plate.up), (-plate.thickness_mm, normal))
            for x, y in ring
        ]
        for ring in plate.far_rings or plate.rings
    ]
    smooth = [_smooth(ring) for ring in plate.rings]
    facing = depth_of(normal)
    if abs(facing) > 1e-9:
        # The rim is drawn by this face alone; the narrow faces leave it to it.
        rings = near if facing > 0.0 else far
        yield _face(rings, drawn=[[True] * len(ring) for ring in rings], normal=normal)
    for ring, behind, soft in zip(near, far, smooth, strict=True):
        yield from _edges(ring, behind=behind, soft=soft)


def _edges(
    ring: Sequence[Point], *, behind: Sequence[Point], soft: Sequence[bool]
) -> Iterator[Face]:
    """Give the narrow faces along a ring, without the lines between the parts of a round one."""
    count = len(ring)
    quads, outward = [], []
    for index in range(count):
        after = (index + 1) % count
        quad = (ring[index], behind[index], behind[after], ring[after])
        normal = _cross(
            _plus(quad[1], (-1.0, quad[0])),
            _plus(quad[3], (-1.0, quad[0])),
        )
        quads.append(quad)
        outward.append(normal)
    faces_eye = [depth_of(normal) > 1e-9 for normal in outward]
    for index, quad in enumerate(quads):
        if faces_eye[index]:
            first = not soft[index] or not faces_eye[index - 1]
            last = not soft[(index + 1) % count] or not faces_eye[(index + 1) % count]
            yield _face([quad], drawn=[[first, True, last, True]], normal=outward[index])


def _face(
    rings: Sequence[Sequence[Point]], *, drawn: Sequence[Sequence[bool]], normal: Point
) -> Face:
    """Lay a face on the picture, with its depth as a function of the place there.

    The point of a plane n . p = c that is seen at a place lies on the line of sight through it, so
    its depth follows from three numbers.
    """
    flat = tuple(tuple(projected(point) for point in ring) for ring in rings)
    at = rings[0][0]
    u, v = projected(at)
    nx, ny, nz = normal
    whole = nx + ny + nz
    # Moving by (du, dv) on the picture: x + t, y + t, z + t keep the place; solve for t.
    across = (nx / (2.0 * COS), -nz / (2.0 * COS))
    grow_u = -3.0 * (across[0] + across[1]) / whole
    grow_v = 1.0 - 3.0 * ny / whole
    level = depth_of(at) - grow_u * u - grow_v * v
    return Face(
        rings=flat,
        depth=(level, grow_u, grow_v),
        drawn=tuple(tuple(ring) for ring in drawn),
    )


def _smooth(ring: Sequence[Spot]) -> list[bool]:
    """Tell at which corners of a ring its two edges belong to one round line."""
    found = []
    for index, (x, y) in enumerate(ring):
        px, py = ring[index - 1]
        nx, ny = ring[(index + 1) % len(ring)]
        turn = atan2(
            (x - px) * (ny - y) - (y - py) * (nx - x),
            (x - px) * (nx - x) + (y - py) * (ny - y),
        )
        found.append(abs(degrees(turn)) < SMOOTH_DEG)
    return found
