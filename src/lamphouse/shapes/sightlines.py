"""Plane faces in space seen along one direction: the lines of them that nothing hides.

Terminology
-----------
depth
    How near a point is to the eye; larger is nearer. On a plane face it is a linear function of
    the place on the picture.
cover
    The part of a face that faces nearer to the eye hide.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.shapes.outline import Spot

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

SAME_DEPTH = 1e-6
"""Faces whose depths differ less lie in one plane and do not hide one another."""

RIM_MM = 1e-5
"""A cover is this much smaller than what it hides behind, so that its own rim stays drawn."""

LEAST_MM = 1e-3
"""Shorter pieces of line are nothing."""

_FAR = 1e5


class Face(Record):
    """A plane face as it lies on the picture."""

    rings: tuple[tuple[Spot, ...], ...]
    """Its outline, then its holes."""
    depth: tuple[float, float, float]
    """Depth at the picture's origin, and its growth along x and y."""
    drawn: tuple[tuple[bool, ...], ...]
    """For each ring, whether the edge from each corner to the next is drawn."""


class Sight(Record):
    """What is seen of one face."""

    lines: tuple[tuple[Spot, Spot], ...]
    seen_mm2: float
    """Area that nothing hides."""
    spot: Spot | None
    """A point well within it; None where nothing is seen."""


def seen_of(faces: Sequence[Face]) -> tuple[Sight, ...]:
    """Find what is seen of every face.

    Exact for plane faces that do not go through one another: each pair is compared by the line in
    which their planes meet, so that order plays no part and rings of faces that each hide the next
    come out right.

    Returns
    -------
    tuple of Sight
        In the order of the faces.
    """
    return _seen(tuple(faces))


@lru_cache(maxsize=64)  # equal formers and boxes of a model look alike
def _seen(faces: tuple[Face, ...]) -> tuple[Sight, ...]:
    import shapely

    if not faces:
        return ()
    whole = [shapely.Polygon(one.rings[0], one.rings[1:]) for one in faces]
    solids = shapely.buffer(np.array(whole, dtype=object), 0.0)
    spots = [np.array(one.rings[0]) for one in faces]
    tree = shapely.STRtree(solids)
    found = []
    for number, face in enumerate(faces):
        near = np.sort(tree.query(solids[number]))
        near = near[near != number]
        # Faces that only touch this one count too: together they hide its rim.
        near = near[shapely.dwithin(solids[number], solids[near], RIM_MM)]
        covers = [
            _nearer(solids[other], spots[other], faces[other].depth, face.depth) for other in near
        ]
        hidden = shapely.union_all([one for one in covers if one and one.area > LEAST_MM**2])
        cover = hidden.buffer(-RIM_MM, join_style="bevel")
        drawn_edges = np.array(_drawn_edges(face), dtype=float).reshape(-1, 2, 2)
        edges = shapely.multilinestrings(shapely.linestrings(drawn_edges))
        lines = shapely.get_parts(shapely.line_merge(edges.difference(cover)))
        bare = solids[number].difference(cover)
        parts = [part for part in shapely.get_parts(bare) if part.area > LEAST_MM]
        largest = max(parts, key=lambda part: part.area, default=None)
        spot = None
        if largest is not None:
            point = largest.point_on_surface()
            spot = (float(point.x), float(point.y))
        found.append(
            Sight(
                lines=tuple(
                    segment
                    for line in lines
                    if line.length > LEAST_MM
                    for segment in _segments(line)
                ),
                seen_mm2=float(bare.area),
                spot=spot,
            )
        )
    return tuple(found)


def _drawn_edges(face: Face) -> list[tuple[Spot, Spot]]:
    return [
        (start, end)
        for ring, drawn in zip(face.rings, face.drawn, strict=True)
        for start, end, is_drawn in zip(ring, ring[1:] + ring[:1], drawn, strict=True)
        if is_drawn and hypot(end[0] - start[0], end[1] - start[1]) > 0.0
    ]


def _segments(line: "BaseGeometry") -> list[tuple[Spot, Spot]]:
    spots = [(float(x), float(y)) for x, y in line.coords]
    return list(pairwise(spots))


def _nearer(
    solid: "BaseGeometry",
    spots: NDArray[np.float64],
    other: tuple[float, float, float],
    own: tuple[float, float, float],
) -> "BaseGeometry | None":
    """Give the part of the other face, by its outline, over which its plane is the nearer.

    None where there is none. A plane is compared at the corners first: most faces lie before or
    behind another as a whole.
    """
    import shapely

    level, across, up = (theirs - mine for theirs, mine in zip(other, own, strict=True))
    slope = hypot(across, up)
    if slope < 1e-12:
        return solid if level > SAME_DEPTH else None
    ahead = spots @ (across, up)
    if ahead.min() + level > SAME_DEPTH:
        return solid
    if ahead.max() + level <= SAME_DEPTH:
        return None
    # The half plane level + across x + up y > 0, as a rectangle on that side of its edge.
    nx, ny = across / slope, up / slope
    off = (SAME_DEPTH - level) / slope
    x, y = nx * off, ny * off
    half = shapely.Polygon(
        (
            (x - ny * _FAR, y + nx * _FAR),
            (x + ny * _FAR, y - nx * _FAR),
            (x + ny * _FAR + nx * _FAR, y - nx * _FAR + ny * _FAR),
            (x - ny * _FAR + nx * _FAR, y + nx * _FAR + ny * _FAR),
        )
    )
    return solid.intersection(half)
