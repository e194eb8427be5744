"""A plain sheet of paper in a picture, as a reference of standard size."""

import numpy as np

from lamphouse.findings import Finding
from lamphouse.trace import scale_rules
from lamphouse.trace.camera import PIXEL_SIGMA, fit_camera, usual_focal
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.quadrilateral import Quadrilateral, four_sided
from lamphouse.trace.references import Seen
from lamphouse.trace.refused import TraceError, finding
from lamphouse.trace.scales import Places

SHEETS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height [ISO216]; Letter is 8 1/2 x 11 in, [PRACTICE]."""
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
_LEAST_SHARE = 0.05
"""Of the picture, that the sheet covers at least."""


def find_sheet(picture: Picture, *, size: str) -> Seen:
    """Find the largest four-sided piece of a picture and take it for a sheet of paper.

    Parameters
    ----------
    picture
        A photograph with the whole sheet on something darker or lighter than paper.
    size
        A key of ``SHEETS_MM``.

    Raises
    ------
    TraceError
        If no whole sheet is seen, or it is not of this size.
    """
    whole = picture.levels.size
    for found in four_sided(picture.levels, skip_share=_SKIP):
        if _covered(found.corners) > _LEAST_SHARE * whole:
            return _as_sheet(picture, found, size)
    what = f"no whole sheet of {size} is seen with all of its four sides"
    remedy = (
        "take the picture again with the whole sheet in it, on something much darker than paper"
    )
    raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)


def _covered(corners: Places) -> float:
    x, y = corners.T
    return 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))


def _as_sheet(picture: Picture, found: Quadrilateral, size: str) -> Seen:
    short, long = SHEETS_MM[size]
    spots, sides, plane, off_mm = laid_out(picture, found, size_mm=(short, long))
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
        share=float(np.linalg.norm((TOLERANCE_MM, _LIFT * bow_mm, _UNSEEN_MM))) / short,
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
    width, height = size_mm
    size = (picture.levels.shape[1], picture.levels.shape[0])
    plane = np.array(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)))
    usual = usual_focal(size, picture.header.focal_35_mm)
    best: tuple[float, int] | None = None
    for first in (0, 1):
        camera, off = fit_camera(
            np.roll(found.corners, -first, axis=0),
            plane,
            size=size,
            focal_35_mm=picture.header.focal_35_mm,
            height_mm=0.0,
            share=0.0,
            words="",
        )
        far = float(np.sqrt((off**2).sum(axis=1).mean()))
        if not 1.0 / _MOST_ZOOM < camera.values[0] / usual < _MOST_ZOOM:
            far = np.inf  # only a camera that there is not would see such a rectangle
        if best is None or far < best[0]:
            best = far, first
    if best is None:  # there are always two ways round
        raise AssertionError
    far, first = best
    sides = (*found.sides[first:], *found.sides[:first])
    return np.roll(found.corners, -first, axis=0), sides, plane, far
