"""A cube of colours: a function of three shares known at the corners of a grid, read in between.

A picture has a million pixels and a model costs 81 wavelengths each; so the model is computed at
the corners alone, and every pixel is read from the four corners of the tetrahedron it lies in
[TETRAHEDRAL]. Straight lines are kept, greys stay on the line of greys, and the steps between cells
meet.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.spectrum import Array
from lamphouse.record import Record

CORNERS = 17
"""Along each edge; see ``tests/colour/test_artwork_look.py`` for the error that leaves."""
_AT_ONCE = 1 << 15
"""Pixels read together, so that what is being worked on stays in the processor's cache."""

Bytes = NDArray[np.uint8]


class Cube(Record, eq=False):
    """Values at the corners of an even grid over 0 to 1 in three shares."""

    values: NDArray[np.float32]
    """(n, n, n, c); the axes stand for the shares in their order."""

    @property
    def corners(self) -> int:
        """How many along each edge."""
        return int(self.values.shape[0])


def grid(corners: int = CORNERS) -> Array:
    """Give the shares at every corner. (n ** 3, 3)."""
    along = np.linspace(0.0, 1.0, corners)
    return np.stack(np.meshgrid(along, along, along, indexing="ij"), axis=-1).reshape(-1, 3)


def cube_of(values: Array) -> Cube:
    """Make a cube of values at the corners of :func:`grid`. (n ** 3, c)."""
    corners = round(len(values) ** (1.0 / 3.0))
    shape = (corners, corners, corners, values.shape[-1])
    return Cube(values=np.ascontiguousarray(values, dtype=np.float32).reshape(shape))


def sampled(function: Callable[[Array], Array], *, corners: int = CORNERS) -> Cube:
    """Make a cube of a function of three shares, (m, 3) to (m, c)."""
    return cube_of(function(grid(corners)))


def read_at(cube: Cube, shares: Array) -> Array:
    """Read a cube anywhere.

    Parameters
    ----------
    cube
        With c values at each corner.
    shares
        0 to 1; those outside are held at the ends. (m, 3)

    Returns
    -------
    ndarray
        (m, c)
    """
    last = cube.corners - 1
    place = np.clip(shares, 0.0, 1.0) * last
    first = np.minimum(place.astype(np.int32), last - 1)
    return _between(cube, first, (place - first).astype(np.float32)).astype(np.float64)


def read_pixels(cube: Cube, pixels: Bytes) -> NDArray[np.float32]:
    """Read a cube at every pixel of a picture, 0 to 255 standing for 0 to 1.

    Parameters
    ----------
    pixels
        (..., 3)

    Returns
    -------
    ndarray
        (..., c)
    """
    last = cube.corners - 1
    place = np.arange(256) / 255.0 * last
    firsts = np.minimum(place.astype(np.int32), last - 1)
    parts = (place - firsts).astype(np.float32)
    flat = pixels.reshape(-1, 3)
    read = np.zeros((len(flat), cube.values.shape[-1]), dtype=np.float32)
    for start in range(0, len(flat), _AT_ONCE):
        some = flat[start : start + _AT_ONCE]
        read[start : start + _AT_ONCE] = _between(cube, firsts[some], parts[some])
    return read.reshape(*pixels.shape[:-1], cube.values.shape[-1])


def _between(
    cube: Cube, first: NDArray[np.int32], part: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Mix the corners of the tetrahedron each place lies in.

    The walk from the first corner of the cell to the last goes along the axis of the largest part,
    then of the middle one, then of the least.
    """
    steps = (cube.corners**2, cube.corners, 1)
    a, b, c = part[:, 0], part[:, 1], part[:, 2]
    start = first @ np.array(steps, dtype=np.int32)
    most, least = np.maximum(np.maximum(a, b), c), np.minimum(np.minimum(a, b), c)
    middle = a + b + c - most - least
    along = np.where(a == most, steps[0], np.where(b == most, steps[1], steps[2]))
    left = np.where(c == least, steps[2], np.where(b == least, steps[1], steps[0]))
    end = start + np.int32(sum(steps))
    rows = cube.values.reshape(-1, cube.values.shape[-1])
    return np.asarray(
        rows[start] * (1.0 - most)[:, None]
        + rows[start + along] * (most - middle)[:, None]
        + rows[end - left] * (middle - least)[:, None]
        + rows[end] * least[:, None]
    )
