"""An identity or bank card in a picture, as a reference of standard size."""

import numpy as np

from lamphouse.trace import scale_rules
from lamphouse.trace.camera import PIXEL_SIGMA
from lamphouse.trace.paper_sheet import laid_out
from lamphouse.trace.picture_file import Levels, Picture
from lamphouse.trace.quadrilateral import Quadrilateral, four_sided
from lamphouse.trace.references import Seen
from lamphouse.trace.refused import TraceError
from lamphouse.trace.scales import Places

WIDTH_MM, HEIGHT_MM = 85.60, 53.98
"""Of an unused card of size ID-1 [ISO7810]."""
THICK_MM = 0.76
RADIUS_MM = 3.18
"""Of its corners."""
TOLERANCE_MM = 0.13
"""Of the width; 85.47 to 85.72 mm on an unused card [ISO7810]."""
_SKIP = 0.09
"""Of every side, left out at its ends: the short side has 3.18 of 53.98 mm rounded."""
_MOST_MM = 0.6
"""Four corners that fit a card no better are of something else. [rms]."""
_CORNER_MM = 0.5
"""How far the arc of a corner may lie from where it should, along its diagonal."""
_BESIDE = 3.0
"""A part beside the card lies so many times as far from its middle as its corners do."""
_ROOM_MM = 4.0
"""Round the card, where no part can lie."""


def find_id_card(picture: Picture) -> Seen:
    """Find the four-sided piece of a picture that has the proportions of a card of size ID-1.

    The part lies beside the card, on the same ground: that is lower than the card's face.

    Raises
    ------
    TraceError
        If no such piece is seen whole, or two that lie apart could be it.
    """
    fits: list[tuple[float, Seen, float]] = []
    for found in four_sided(picture.levels, skip_share=_SKIP):
        one = _as_card(picture, found)
        if one:
            fits.append(one)
    if not fits:
        what = "no card of 85.60 x 53.98 mm is seen with all of its four sides"
        remedy = "lay the whole card beside the part, on a ground much darker or lighter than it"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    fits.sort(key=lambda one: one[0])
    if len(fits) > 1 and fits[1][0] < 2.0 * fits[0][0] + 0.1:
        what = "two pieces in the picture have the proportions of the card"
        remedy = "take the picture with one card, or lay the frame card under the part"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    return fits[0][1]


def _as_card(picture: Picture, found: Quadrilateral) -> tuple[float, Seen, float] | None:
    spots, sides, plane, off_mm = laid_out(picture, found, size_mm=(WIDTH_MM, HEIGHT_MM))
    if off_mm > _MOST_MM or not _has_round_corners(picture.levels, spots):
        return None
    middle = plane.mean(axis=0)
    around = middle + (plane - middle) * (1.0 + 2.0 * _ROOM_MM / np.array((WIDTH_MM, HEIGHT_MM)))
    seen = Seen(
        spots=spots,
        plane=plane,
        share=TOLERANCE_MM / WIDTH_MM,
        words="a card of size ID-1",
        most_residual_mm=_MOST_MM,
        sigma_pixels=max(PIXEL_SIGMA, found.bow_pixels),
        sides=sides,
        reach=_BESIDE,
        base_mm=-THICK_MM,
        taken_mm=around,
    )
    return off_mm, seen, found.fill


def _has_round_corners(levels: Levels, spots: Places) -> bool:
    """Tell whether the corners are cut by arcs of the card's radius.

    Along the diagonal of a corner the arc lies ``r (2 ** 0.5 - 1)`` from where the sides cross.
    """
    import cv2

    sides_mm = np.array((WIDTH_MM, HEIGHT_MM, WIDTH_MM, HEIGHT_MM))
    expected = RADIUS_MM * (2.0**0.5 - 1.0)
    along_mm = np.arange(-2.0, 5.0, 0.1)
    off = []
    for number in range(4):
        ahead = (spots[(number + 1) % 4] - spots[number]) / sides_mm[number]
        back = (spots[number - 1] - spots[number]) / sides_mm[number - 1]
        way = (ahead + back) / 2.0**0.5  # one mm along the diagonal, in pixels
        places = (spots[number] + along_mm[:, None] * way).astype(np.float32)
        read = cv2.remap(levels, places[None, :, 0], places[None, :, 1], cv2.INTER_LINEAR)[0]
        smooth = cv2.GaussianBlur(read.reshape(1, -1), (0, 0), 2.0)[0]
        step = np.abs(np.gradient(smooth))
        off.append(float(along_mm[3 + int(step[3:-3].argmax())]) - expected)
    return float(np.median(np.abs(off))) < _CORNER_MM
