"""A plain checkerboard in a picture, as a reference whose squares the maker has measured."""

import numpy as np

from lamphouse.trace import scale_rules
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.references import Seen
from lamphouse.trace.refused import TraceError
from lamphouse.trace.scales import Places

MOST_CORNERS = 100
"""Along one side."""
READING_MM = 0.2
"""How exactly a maker reads a ruler laid along the board; common practice, no source."""
_MOST_RESIDUAL_MM = 0.15


def find_checkerboard(picture: Picture, *, corners: tuple[int, int], square_mm: float) -> Seen:
    """Find the inner corners of a checkerboard.

    Parameters
    ----------
    picture
        With all these corners.
    corners
        Inner corners along both sides, in any order; 3 at least.
    square_mm
        Side of a square, as measured over many of them.

    Raises
    ------
    TraceError
        If they are not all seen.
    """
    import cv2

    across, up = corners
    bytes_ = np.clip(picture.levels, 0.0, 255.0).astype(np.uint8)
    how = cv2.CALIB_CB_EXHAUSTIVE + cv2.CALIB_CB_ACCURACY
    is_seen, found = cv2.findChessboardCornersSB(bytes_, (across, up), flags=how)
    if not is_seen:
        what = f"the board's {across} x {up} inner corners are not all seen"
        remedy = "count the inner corners again, and have all of them in the picture, uncovered"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    spots = found.reshape(-1, 2).astype(np.float64)
    plane = np.array([(x, -y) for y in range(up) for x in range(across)], dtype=float)
    if _is_mirrored(spots, plane):
        plane[:, 0] *= -1.0  # the library may begin at the other end of a row
    longest = max(across, up) - 1
    return Seen(
        spots=spots,
        plane=plane * square_mm,
        share=READING_MM / (longest * square_mm),
        words=f"a checkerboard of {square_mm:g} mm squares",
        most_residual_mm=_MOST_RESIDUAL_MM,
    )


def _is_mirrored(spots: Places, plane: Places) -> bool:
    """Tell whether the board would be seen from behind: rows run down, y runs up."""
    terms = np.column_stack((plane, np.ones(len(plane))))
    turn = np.linalg.lstsq(terms, spots, rcond=None)[0][:2]
    return bool(np.linalg.det(turn) > 0.0)
