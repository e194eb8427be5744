"""A plain sheet of paper in a picture, as a reference of standard size."""

from typing import NamedTuple

import numpy as np

from lamphouse.findings import Finding
from lamphouse.trace import scale_rules
from lamphouse.trace.camera import PIXEL_SIGMA, fit_camera, proportions, usual_focal
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.quadrilateral import Quadrilateral, four_sided
from lamphouse.trace.references import Seen
from lamphouse.trace.refused import TraceError, finding
from lamphouse.trace.scales import Places

SHEETS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height [ISO216]; Letter is 8 1/2 x 11 in, [PRACTICE]."""
EITHER = "either"
"""What a maker says who does not know the size."""
TOLERANCE_MM = 2.0
"""Of a side between 150 and 600 mm [ISO216]; taken for Letter as well."""
FLAT_MM = 0.3
"""Sides bent by more (rms) are told."""
_SKIP = 0.04
"""Of every side, left out at its ends."""
_RIM_MM = 3.0
_MOST_MM = 1.5
"""Four corners that fit a sheet no better are another size of paper. [rms]."""
_LIFT = 8.0
"""A curled sheet is mistaken by so many times what its sides are seen bent (rms): both sides of a
pair are, and a lens that bends them cannot be told apart. Found on synthetic pictures."""
_MOST_ZOOM = 2.0
"""Of the usual focal length: beyond it a sheet of other proportions would pass for a tilted one."""
_UNSEEN_MM = 3.0
"""What a curl that is not seen does to the shorter side; two real photographs of a sheet among the
tests are off by one to two percent."""
_SURE = 3.0
"""Standard deviations by which the proportions of a sheet must miss those of another size."""
_LEAST_SHARE = 0.05
"""Of the picture, that the sheet covers at least."""


def find_sheet(picture: Picture, *, size: str) -> Seen:
    """Find the largest four-sided piece of a picture and take it for a sheet of paper.

    Parameters
    ----------
    picture
        A photograph with the whole sheet on something darker or lighter than paper.
    size
        A key of ``SHEETS_MM``, or ``EITHER``: then it is told by its proportions.

    Raises
    ------
    TraceError
        If no whole sheet is seen, it is not of this size, or it could be of either.
    """
    whole = picture.levels.size
    for found in four_sided(picture.levels, skip_share=_SKIP):
        if _covered(found.corners) > _LEAST_SHARE * whole:
            name, first = _size_of(picture, found, size)
            return _as_sheet(picture, found, name, first=first)
    named = "paper" if size == EITHER else size
    what = f"no whole sheet of {named} is seen with all of its four sides"
    remedy = (
        "take the picture again with the whole sheet in it, on something much darker than paper"
    )
    raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)


def _covered(corners: Places) -> float:
    x, y = corners.T
    return 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))


def _size_of(picture: Picture, found: Quadrilateral, size: str) -> tuple[str, int]:
    """Tell which sheet it is by how long it is for its width, and at which corner its width begins.

    How far the sides are bent, what may be off in a cut sheet and a curl nobody sees count as in
    the uncertainty of a length.
    """
    ratio, spread = proportions(
        found.corners,
        size=_size(picture),
        focal_35_mm=picture.header.focal_35_mm,
        sigma_pixels=max(PIXEL_SIGMA, found.bow_pixels),
    )
    pixel_mm = min(SHEETS_MM["A4"]) / (_covered(found.corners) * np.exp(-abs(ratio))) ** 0.5
    doubt = float(np.hypot(spread, _doubt_mm(found.bow_pixels * pixel_mm) / 2.0 / 210.0))
    off = {
        name: abs(abs(ratio) - float(np.log(long / short))) / doubt
        for name, (short, long) in SHEETS_MM.items()
    }
    fits = [name for name, far in off.items() if far < _SURE]
    seen = f"the sheet is {np.exp(abs(ratio)):.3f} times as long as wide, within {2 * doubt:.1%}"
    if not fits:
        what = f"{seen}: that is none of {', '.join(SHEETS_MM)}"
        remedy = "lay the part on a flat sheet of one of them, or name another scale"
        raise TraceError(scale_rules.residual_too_large, what, remedy=remedy)
    if size == EITHER and len(fits) > 1:
        what = f"{seen}, so it could be {' or '.join(SHEETS_MM)}"
        remedy = "say which it is: --sheet A4 or --sheet Letter"
        raise TraceError(scale_rules.sheet_in_doubt, what, remedy=remedy)
    if size not in (EITHER, *fits):
        what = f"{seen}: that is {fits[0]} and not {size}"
        remedy = f"say --sheet {fits[0]} if it is one, or lay the part on a sheet of {size}"
        raise TraceError(scale_rules.residual_too_large, what, remedy=remedy)
    return (fits[0] if size == EITHER else size), int(ratio < 0.0)


def _doubt_mm(bow_mm: float) -> float:
    """Give how far a side of a sheet may be off. [two standard deviations]."""
    return float(np.linalg.norm((TOLERANCE_MM, _LIFT * bow_mm, _UNSEEN_MM)))


def _as_sheet(picture: Picture, found: Quadrilateral, size: str, *, first: int) -> Seen:
    short, long = SHEETS_MM[size]
    spots, sides, plane, off_mm, _ = _laid(picture, found, size_mm=(short, long), first=first)
    if off_mm > _MOST_MM:
        what = f"no likely camera sees the corners of {size} where the sheet's are"
        remedy = f"use a sheet of {size} that lies flat, or name the size it has"
        raise TraceError(scale_rules.residual_too_large, what, remedy=remedy)
    pixel_mm = (_covered(plane) / _covered(spots)) ** 0.5
    bow_mm = found.bow_pixels * pixel_mm
    told: tuple[Finding, ...] = ()
    if bow_mm > FLAT_MM:
        what = f"the sides of the sheet are bent by {bow_mm:.1f} mm (rms); {FLAT_MM:g} mm is flat"
        told = (finding(scale_rules.sheet_not_flat, what, remedy="tape it down at its corners"),)
    ring = np.array(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    inner = _RIM_MM + ring * (np.array((short, long)) - 2.0 * _RIM_MM)
    return Seen(
        spots=spots,
        plane=plane,
        share=_doubt_mm(bow_mm) / short,
        words=f"a sheet of {size}, within {TOLERANCE_MM:g} mm a side",
        most_residual_mm=_MOST_MM,
        sigma_pixels=max(PIXEL_SIGMA, found.bow_pixels),
        sides=sides,
        window_mm=inner,
        findings=told,
    )


def laid_out(
    picture: Picture, found: Quadrilateral, *, size_mm: tuple[float, float]
) -> tuple[Places, tuple[Places, ...], Places, float]:
    """Lay a rectangle of known sides on four corners, the way round that fits better.

    Returns
    -------
    array, tuple of array, array, float
        The corners and places along the sides in pixels, the corners in mm, and how far a likely
        camera leaves them apart. [mm rms].
    """
    usual = usual_focal(_size(picture), picture.header.focal_35_mm)
    ways = [_laid(picture, found, size_mm=size_mm, first=first) for first in (0, 1)]
    off_mm = [  # only a camera that there is not would see the others
        one.off_mm if 1.0 / _MOST_ZOOM < one.focal / usual < _MOST_ZOOM else np.inf for one in ways
    ]
    best = int(np.argmin(off_mm))
    return ways[best].spots, ways[best].sides, ways[best].plane, off_mm[best]


class _Laid(NamedTuple):
    """A rectangle of known sides on four corners, one way round."""

    spots: Places
    sides: tuple[Places, ...]
    plane: Places
    off_mm: float
    """How far the camera leaves the corners apart, rms."""
    focal: float


def _laid(
    picture: Picture, found: Quadrilateral, *, size_mm: tuple[float, float], first: int
) -> _Laid:
    """Lay a rectangle on four corners, its width from the corner of this number to the next."""
    width, height = size_mm
    plane = np.array(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)))
    spots = np.roll(found.corners, -first, axis=0)
    camera, off = fit_camera(
        spots,
        plane,
        size=_size(picture),
        focal_35_mm=picture.header.focal_35_mm,
        height_mm=0.0,
        share=0.0,
        words="",
    )
    return _Laid(
        spots=spots,
        sides=(*found.sides[first:], *found.sides[:first]),
        plane=plane,
        off_mm=float(np.sqrt((off**2).sum(axis=1).mean())),
        focal=camera.values[0],
    )


def _size(picture: Picture) -> tuple[int, int]:
    return picture.levels.shape[1], picture.levels.shape[0]
