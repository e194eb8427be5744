"""Where a flat panel lies in a photograph: by its four corners, with or without the frame card."""

from math import hypot

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace import lit_rules
from lamphouse.trace.refused import TraceError
from lamphouse.trace.scales import Places, Scale

Bounds = tuple[float, float, float, float]
"""Left, bottom, right and top of the panel. [mm]."""

CORNER_PIXELS = 2.0
"""How exactly a corner is pointed at; common practice, no source."""
_LEAST_SIDE_PIXELS = 40.0
_OFF_SHARE, _OFF_MM = 0.02, 1.5
"""How far the corners may lie from the panel's by the card's scale."""
_AGAIN = (
    "read the corners anew: column and row of lower left, lower right, upper right and upper left, "
    "as the panel is seen"
)


class PanelInPhoto(Record):
    """How places of a panel are found in a photograph."""

    words: str
    matrix: NDArray[np.float64]
    """(3, 3) from panel mm to pixels, or to mm of the scale where there is one."""
    scale: Scale | None
    """Which knows tilt and lens; None where four corners are all there is."""
    pixel_mm: float
    """Size of a pixel on the panel, the larger way."""
    off_mm: float
    """How far a place may be off."""

    def to_pixels(self, places: Places) -> Places:
        """Map panel mm (n, 2) to columns and rows."""
        flat = _through(self.matrix, places)
        return flat if self.scale is None else self.scale.to_pixels(flat)


def by_corners(spots: Places, *, bounds: Bounds, shape: tuple[int, int]) -> PanelInPhoto:
    """Find a panel by its corners alone; the lens is taken to draw straight lines.

    Parameters
    ----------
    spots
        (4, 2) columns and rows of lower left, lower right, upper right, upper left.
    bounds
        Of the panel.
    shape
        Rows and columns of the photograph.

    Raises
    ------
    TraceError
        If they are not the corners of a panel that is seen from the front.
    """
    _check(spots, shape=shape)
    matrix = _homography(_corners_of(bounds), spots)
    pixel_mm = _pixel_mm(spots, bounds=bounds)
    return PanelInPhoto(
        words="four corners; the lens is taken to draw straight lines",
        matrix=matrix,
        scale=None,
        pixel_mm=pixel_mm,
        off_mm=CORNER_PIXELS * pixel_mm,
    )


def by_card(spots: Places, *, scale: Scale, bounds: Bounds, shape: tuple[int, int]) -> PanelInPhoto:
    """Find a panel by its corners, tilt and lens known from the frame card it lies on.

    Parameters
    ----------
    spots, bounds, shape
        As for :func:`by_corners`.
    scale
        Of the panel's face, from the card.

    Raises
    ------
    TraceError
        If they are not the corners of a panel that is seen from the front, or lie otherwise than
        those of this panel.
    """
    _check(spots, shape=shape)
    seen, true = scale.to_mm(spots), _corners_of(bounds)
    turn, step = _rigid(true, seen)
    off = np.hypot(*(true @ turn.T + step - seen).T)
    size = hypot(bounds[2] - bounds[0], bounds[3] - bounds[1])
    most = max(_OFF_MM, _OFF_SHARE * size)
    if not float(off.max()) <= most:
        what = (
            f"by the card's scale the corners lie {float(off.max()):.1f} mm from those of a panel "
            f"of {bounds[2] - bounds[0]:g} x {bounds[3] - bounds[1]:g} mm; at most {most:.1f} mm "
            "are allowed"
        )
        raise TraceError(lit_rules.no_panel, what, remedy=_AGAIN)
    matrix = np.eye(3)
    matrix[:2, :2], matrix[:2, 2] = turn, step
    return PanelInPhoto(
        words=f"four corners, tilt and lens from {scale.words}",
        matrix=matrix,
        scale=scale,
        pixel_mm=scale.pixel_mm,
        off_mm=max(float(np.sqrt((off**2).mean())), 0.5 * CORNER_PIXELS * scale.pixel_mm),
    )


def _corners_of(bounds: Bounds) -> Places:
    left, bottom, right, top = bounds
    return np.array(((left, bottom), (right, bottom), (right, top), (left, top)))


def _check(spots: Places, *, shape: tuple[int, int]) -> None:
    rows, columns = shape
    what = ""
    sides = np.roll(spots, -1, axis=0) - spots
    turns = (
        sides[:, 0] * np.roll(sides, -1, axis=0)[:, 1]
        - sides[:, 1] * np.roll(sides, -1, axis=0)[:, 0]
    )
    inside = ((spots >= -0.5) & (spots <= (columns - 0.5, rows - 0.5))).all()
    if not np.isfinite(spots).all() or not inside:
        what = f"a corner lies outside the photograph of {columns} x {rows} pixels"
    elif float(np.hypot(*sides.T).min()) < _LEAST_SIDE_PIXELS:
        what = f"two corners are less than {_LEAST_SIDE_PIXELS:g} pixels apart"
    elif not (turns < 0.0).all():
        mirrored = (turns > 0.0).all()
        what = "the corners run the wrong way round" if mirrored else "the corners' sides cross"
    if what:
        raise TraceError(lit_rules.no_panel, what, remedy=_AGAIN)


def _pixel_mm(spots: Places, *, bounds: Bounds) -> float:
    """Give the size of a pixel at the side where it is largest."""
    true = _corners_of(bounds)
    lengths = np.hypot(*(np.roll(true, -1, axis=0) - true).T)
    seen = np.hypot(*(np.roll(spots, -1, axis=0) - spots).T)
    return float((lengths / seen).max())


def _homography(plane: Places, spots: Places) -> NDArray[np.float64]:
    """Give the map of the plane that takes four places to four others."""
    rows, told = [], []
    for (x, y), (column, row) in zip(plane, spots, strict=True):
        rows += [[x, y, 1.0, 0.0, 0.0, 0.0, -column * x, -column * y]]
        rows += [[0.0, 0.0, 0.0, x, y, 1.0, -row * x, -row * y]]
        told += [column, row]
    found = np.linalg.solve(np.array(rows), np.array(told))
    return np.append(found, 1.0).reshape(3, 3)


def _rigid(true: Places, seen: Places) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Turn and shift one set of places onto another, by least squares."""
    middle, other = true.mean(axis=0), seen.mean(axis=0)
    left, _, right = np.linalg.svd((true - middle).T @ (seen - other))
    way = np.diag((1.0, np.sign(np.linalg.det(right.T @ left.T)) or 1.0))
    turn = right.T @ way @ left.T
    return turn, other - turn @ middle


def _through(matrix: NDArray[np.float64], places: Places) -> Places:
    mapped = np.column_stack((places, np.ones(len(places)))) @ matrix.T
    return np.asarray(mapped[:, :2] / mapped[:, 2:])
