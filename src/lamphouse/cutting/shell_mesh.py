"""A printed body as triangles, and the proof that they close round it.

Terminology
-----------
watertight
    Every edge of every triangle is also an edge of exactly one other triangle, run the other way
    round: the surface has no hole, no edge where more than two faces meet, and one outer side.
"""

from collections import Counter
from collections.abc import Iterator

from lamphouse.cutting.piece import Body
from lamphouse.record import Record
from lamphouse.shapes.carving import GRID_MM
from lamphouse.shapes.measure import area_mm2, length_mm
from lamphouse.shapes.slabs import Slabs, slabs_of

MOVES_MM = 2.0 * GRID_MM
"""Where lines of two slices cross, their corner moves onto the grid: lines move this far at most,
and a slice's area changes by no more than its rim times this."""

Point = tuple[float, float, float]
Triangle = tuple[int, int, int]


class Mesh(Record):
    """A closed surface."""

    name: str
    points_mm: tuple[Point, ...]
    triangles: tuple[Triangle, ...]
    """Numbers of points, anticlockwise seen from outside."""


def mesh_of(body: Body) -> Mesh:
    """Give the surface of a printed body.

    All slices share the corners of one plane pattern, so that no corner lies in the middle of
    another triangle's edge.
    """
    slabs = slabs_of([layer.regions for layer in body.layers])
    levels = [body.layers[0].low_mm, *(layer.high_mm for layer in body.layers)]
    points: dict[tuple[int, int], int] = {}
    triangles = [
        tuple(points.setdefault(corner, len(points)) for corner in corners)
        for number in range(len(body.layers))
        for corners in (*_flat(slabs, number), *_upright(slabs, number))
    ]
    return Mesh(
        name=body.name,
        points_mm=tuple((*slabs.spots[spot], levels[level]) for spot, level in points),
        triangles=tuple((one[0], one[1], one[2]) for one in triangles),
    )


Corner = tuple[int, int]
"""Number of a spot, and of a level."""


def _flat(slabs: Slabs, number: int) -> Iterator[tuple[Corner, Corner, Corner]]:
    """Give the level faces of a slice: what is bare above it, and below it."""
    filled = slabs.filled
    nothing = (False,) * len(slabs.triangles)
    above = filled[number + 1] if number + 1 < len(filled) else nothing
    below = filled[number - 1] if number else nothing
    for triangle, here, over, under in zip(
        slabs.triangles, filled[number], above, below, strict=True
    ):
        a, b, c = triangle
        if here and not over:
            yield (a, number + 1), (b, number + 1), (c, number + 1)
        if here and not under:
            yield (a, number), (c, number), (b, number)


def _upright(slabs: Slabs, number: int) -> Iterator[tuple[Corner, Corner, Corner]]:
    """Give the upright faces round a slice, two triangles for each edge."""
    edges = {
        edge
        for triangle, here in zip(slabs.triangles, slabs.filled[number], strict=True)
        if here
        for edge in zip(triangle, triangle[1:] + triangle[:1], strict=True)
    }
    for start, end in sorted(edges):
        if (end, start) not in edges:
            yield (start, number), (end, number), (end, number + 1)
            yield (start, number), (end, number + 1), (start, number + 1)


def volume_mm3(mesh: Mesh) -> float:
    """Give the volume inside a closed surface, by the divergence theorem. [mm3]."""
    total = 0.0
    for corners in mesh.triangles:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (mesh.points_mm[one] for one in corners)
        total += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    return total / 6.0


def body_volume_mm3(body: Body) -> float:
    """Give the volume of a body from its slices. [mm3]."""
    return sum(
        (layer.high_mm - layer.low_mm)
        * sum(
            area_mm2(region.outside) - sum(area_mm2(hole) for hole in region.holes)
            for region in layer.regions
        )
        for layer in body.layers
    )


def _walls_mm2(body: Body) -> float:
    """Give the area of all upright faces. [mm2]."""
    return sum(
        (layer.high_mm - layer.low_mm)
        * sum(
            length_mm(ring) for region in layer.regions for ring in (region.outside, *region.holes)
        )
        for layer in body.layers
    )


def crowded_edges(mesh: Mesh) -> tuple[tuple[Point, Point], ...]:
    """Give the edges along which more than two triangles meet."""
    edges = Counter(
        edge
        for corners in mesh.triangles
        for edge in zip(corners, corners[1:] + corners[:1], strict=True)
    )
    crowded = sorted({(min(edge), max(edge)) for edge, count in edges.items() if count > 1})
    return tuple((mesh.points_mm[start], mesh.points_mm[end]) for start, end in crowded)


def faults_of(mesh: Mesh, *, body: Body) -> tuple[str, ...]:
    """Prove a surface: closed, turned outwards, no empty triangle, the body's own volume.

    Returns
    -------
    tuple of str
        What is wrong; nothing for a sound one.
    """
    found = []
    edges = Counter(
        edge
        for corners in mesh.triangles
        for edge in zip(corners, corners[1:] + corners[:1], strict=True)
    )
    doubled = sum(1 for count in edges.values() if count > 1)
    open_ones = sum(1 for start, end in edges if (end, start) not in edges)
    if doubled:
        found.append(f"{doubled} edges belong to more than two triangles")
    if open_ones:
        found.append(f"{open_ones} edges have no triangle on their other side")
    if any(len(set(corners)) < 3 for corners in mesh.triangles):
        found.append("a triangle has two corners in one place")
    if len(set(mesh.points_mm)) < len(mesh.points_mm):
        found.append("two corners lie in one place")
    wanted, given = body_volume_mm3(body), volume_mm3(mesh)
    if abs(wanted - given) > MOVES_MM * _walls_mm2(body):
        found.append(f"it holds {given:.9g} mm3, and its slices {wanted:.9g} mm3")
    return tuple(found)
