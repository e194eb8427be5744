"""The spots of an opening: the equal parts it is judged by.

Over a rectangle 8 x 6, row by row from the lower left; over a disc a middle of three sectors and
rings of 9, 15 and 21, all of equal area; over a polygon six strips of equal area, each cut into
eight of equal area. A small disc is one spot.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import pi

import numpy as np

from lamphouse.light.scene import Aperture, Disc, Patch, Rectangle, Ring
from lamphouse.light.strips import Strips, bounds, equal_cuts, strip_areas, strips_of
from lamphouse.record import Record, replace

ACROSS, UP = 8, 6
RINGS = 4


class Sector(Record):
    """A part of a disc between two radii and two angles."""

    middle_mm: tuple[float, float]
    inner_mm: float
    outer_mm: float
    start_rad: float
    end_rad: float


Cell = Strips | Sector


def area_mm2(cell: Cell) -> float:
    """Give the area of a part of an opening. [mm2]."""
    if isinstance(cell, Sector):
        turn = cell.end_rad - cell.start_rad
        return (cell.outer_mm**2 - cell.inner_mm**2) * turn / 2.0
    return float(strip_areas(cell).sum())


def ring_of(shape: Rectangle | Patch) -> Ring:
    """Give the corners of an opening with straight sides."""
    if isinstance(shape, Patch):
        return shape.ring
    left, bottom, right, top = shape.left_mm, shape.bottom_mm, shape.right_mm, shape.top_mm
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def whole_cell(aperture: Aperture) -> Cell:
    """Give an opening in one piece."""
    shape = aperture.shape
    if isinstance(shape, Disc):
        return Sector(
            middle_mm=(shape.x_mm, shape.y_mm),
            inner_mm=0.0,
            outer_mm=shape.diameter_mm / 2.0,
            start_rad=0.0,
            end_rad=2.0 * pi,
        )
    ring = ring_of(shape)
    return strips_of((ring,), window=bounds(ring))


def _polygon_spots(ring: Ring) -> list[Strips]:
    corner = np.array(ring)
    (left, bottom), (right, top) = corner.min(axis=0).tolist(), corner.max(axis=0).tolist()
    rows = equal_cuts(strips_of((ring,), window=(left, bottom, right, top)), parts=UP)
    turned = tuple((y, x) for x, y in ring)
    spots: list[Strips] = []
    for low, high in pairwise(rows):
        columns = equal_cuts(strips_of((turned,), window=(low, left, high, right)), parts=ACROSS)
        spots.extend(
            strips_of((ring,), window=(start, low, end, high)) for start, end in pairwise(columns)
        )
    return spots


def _rectangle_spots(shape: Rectangle) -> list[Strips]:
    x = np.linspace(shape.left_mm, shape.right_mm, ACROSS + 1)
    y = np.linspace(shape.bottom_mm, shape.top_mm, UP + 1)
    return [
        np.array([(low, high, left, right, left, right)])
        for low, high in pairwise(y)
        for left, right in pairwise(x)
    ]


def _disc_spots(shape: Disc) -> list[Sector]:
    spots: list[Sector] = []
    for ring in range(RINGS):
        sectors = 3 * (2 * ring + 1)
        spots.extend(
            Sector(
                middle_mm=(shape.x_mm, shape.y_mm),
                inner_mm=shape.diameter_mm / 2.0 * ring / RINGS,
                outer_mm=shape.diameter_mm / 2.0 * (ring + 1) / RINGS,
                start_rad=2.0 * pi * sector / sectors,
                end_rad=2.0 * pi * (sector + 1) / sectors,
            )
            for sector in range(sectors)
        )
    return spots


def spot_cells(aperture: Aperture, *, small_mm: float) -> Sequence[Cell]:
    """Cut an opening into its spots.

    Parameters
    ----------
    aperture
        The opening.
    small_mm
        A disc up to this diameter is one spot.
    """
    if aperture.shown:
        return [
            cell
            for shape in aperture.shown
            for cell in spot_cells(replace(aperture, shape=shape, shown=()), small_mm=small_mm)
        ]
    shape = aperture.shape
    if isinstance(shape, Disc):
        return [whole_cell(aperture)] if shape.diameter_mm <= small_mm else _disc_spots(shape)
    return _polygon_spots(shape.ring) if isinstance(shape, Patch) else _rectangle_spots(shape)
