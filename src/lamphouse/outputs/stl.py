"""A closed surface as a binary STL file, in mm [STL].

Eighty bytes that do not begin with ``solid``, the number of triangles, and for each its normal, its
corners and two empty bytes, all little-endian single precision.
"""

from math import sqrt
from struct import pack

from lamphouse.cutting.shell_mesh import Mesh, Point

HEADER = b"lamphouse, lengths in mm".ljust(80, b" ")


def render(mesh: Mesh) -> bytes:
    """Write a surface as one STL file."""
    parts = [HEADER, pack("<I", len(mesh.triangles))]
    for corners in mesh.triangles:
        points = [mesh.points_mm[one] for one in corners]
        numbers = [value for point in (_normal(*points), *points) for value in point]
        parts.append(pack("<12fH", *numbers, 0))
    return b"".join(parts)


def _normal(first: Point, second: Point, third: Point) -> Point:
    """Give the unit vector that a triangle's corners run anticlockwise about."""
    ax, ay, az = (one - other for one, other in zip(second, first, strict=True))
    bx, by, bz = (one - other for one, other in zip(third, first, strict=True))
    x, y, z = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    long = sqrt(x * x + y * y + z * z)
    return (x / long, y / long, z / long) if long else (0.0, 0.0, 0.0)
