"""An identity or bank card in a picture, as a reference of standard size."""

import numpy as np

from lamphouse.trace import scale_rules
from lamphouse.trace.camera import PIXEL_SIGMA
from lamphouse.trace.paper_sheet import laid_out
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.quadrilateral import Quadrilateral, four_sided
from lamphouse.trace.references import Seen
from lamphouse.trace.refused import TraceError

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
    spots, plane, off_mm = laid_out(picture, found.corners, size_mm=(WIDTH_MM, HEIGHT_MM))
    if off_mm > _MOST_MM:
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
        base_mm=-THICK_MM,
        taken_mm=around,
    )
    return off_mm, seen, found.fill
