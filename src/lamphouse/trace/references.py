"""Things of known size in a picture, and the scale that follows from them.

Whatever the reference is, it is found as places known in pixels and in mm; one camera is fitted to
them, or one lens to those of several pictures. A reference may lie in another picture than the
part, taken by the same camera from the same place.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.findings import Finding
from lamphouse.record import Record, replace
from lamphouse.trace import picture_rules, scale_rules
from lamphouse.trace.camera import PIXEL_SIGMA, View, fit_cameras
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.refused import TraceError
from lamphouse.trace.scales import Places, Scale, fit_affine

Mask = NDArray[np.bool_]


class Seen(Record):
    """A reference found in a picture."""

    spots: Places
    """(n, 2): column and row in pixels."""
    plane: Places
    """(n, 2): the same places on the reference in mm, y up."""
    share: float
    """Relative uncertainty of its own lengths, two standard deviations."""
    words: str
    """What it is."""
    most_residual_mm: float
    """A reference whose places lie farther from where they should is refused. [rms]."""
    sigma_pixels: float = PIXEL_SIGMA
    """How exactly the places are found."""
    base_mm: float = 0.0
    """Of what the part lies on above the reference's face; below 0 beside a thick card."""
    sides: tuple[Places, ...] = ()
    """Places along straight sides, each from one place to the next; empty when it has none."""
    reach: float = 1.0
    """How far the part may lie from its middle, over how far its own places do."""
    window_mm: Places | None = None
    """(n, 2) ring on the reference in which the part lies; None when anywhere."""
    taken_mm: Places | None = None
    """(n, 2) ring on the reference in which no part can lie."""
    findings: tuple[Finding, ...] = ()


class Scaled(Record):
    """A picture with its scale."""

    scale: Scale
    inside: Mask | None
    """Where the part may lie; None when anywhere."""
    residual_mm: float
    """Of the reference's places, rms."""
    findings: tuple[Finding, ...] = ()


def scaled(
    seen: Sequence[Seen],
    *,
    pictures: Sequence[Picture],
    thickness_mm: float = 0.0,
    is_scan: bool = False,
) -> list[Scaled]:
    """Scale one or several pictures by the reference found in each.

    Parameters
    ----------
    seen
        The reference in every picture.
    pictures
        By the same camera, when there are several.
    thickness_mm
        Of the part: its visible face is that much nearer to the camera than what it lies on.
    is_scan
        Whether it comes from a flatbed, which knows no perspective; one picture only.

    Raises
    ------
    TraceError
        If the reference does not fit its own measures, or the pictures are not of one size.
    """
    first = pictures[0].levels.shape
    for picture in pictures[1:]:
        if picture.levels.shape != first:
            what = (
                f"one picture has {first[1]} x {first[0]} pixels and another "
                f"{picture.levels.shape[1]} x {picture.levels.shape[0]}"
            )
            remedy = "take all of them with one camera, held the same way, at one zoom"
            raise TraceError(scale_rules.pictures_apart, what, remedy=remedy)
    if is_scan:
        fitted: list[tuple[Scale, Places]] = [
            fit_affine(one.spots, one.plane, share=one.share, words=f"scan with {one.words}")
            for one in seen
        ]
    else:
        lead = seen[0]
        views = [
            View(
                spots=one.spots,
                plane=one.plane,
                sigma_pixels=one.sigma_pixels,
                sides=one.sides,
                reach=one.reach,
            )
            for one in seen
        ]
        many = f"{len(seen)} photographs" if len(seen) > 1 else "photograph"
        fitted = list(
            fit_cameras(
                views,
                size=(first[1], first[0]),
                focal_35_mm=pictures[0].header.focal_35_mm,
                height_mm=lead.base_mm + thickness_mm,
                base_mm=lead.base_mm,
                share=lead.share,
                words=f"{many} with {lead.words}",
            )
        )
    return [
        Scaled(
            scale=scale,
            inside=place_of(one, scale, picture.levels.shape),
            residual_mm=_residual(off, one),
            findings=one.findings,
        )
        for one, picture, (scale, off) in zip(seen, pictures, fitted, strict=True)
    ]


def lent(one: Scaled, *, picture: Picture, lender: Picture) -> Scaled:
    """Use the scale of one picture for another by the same camera that did not move.

    Raises
    ------
    TraceError
        If the pictures are not of one size.
    """
    if picture.levels.shape != lender.levels.shape:
        rows, columns = picture.levels.shape
        what = (
            f"the picture has {columns} x {rows} pixels, the one its scale comes from "
            f"{lender.levels.shape[1]} x {lender.levels.shape[0]}"
        )
        remedy = "take both with one camera that stands still, and cut off neither"
        raise TraceError(scale_rules.pictures_apart, what, remedy=remedy)
    return replace(one, inside=None)


def _residual(off_mm: Places, one: Seen) -> float:
    residual = float(np.sqrt((off_mm**2).sum(axis=1).mean()))
    if residual > one.most_residual_mm:
        what = (
            f"the places on {one.words} lie {residual:.2f} mm (rms) from where they should; at "
            f"most {one.most_residual_mm:g} mm are allowed"
        )
        remedy = "lay it flat, focus on it, and measure or name its size again"
        raise TraceError(scale_rules.residual_too_large, what, remedy=remedy)
    return residual


def place_of(one: Seen, scale: Scale, shape: tuple[int, ...]) -> Mask | None:
    """Tell where in a picture the part may lie."""
    import cv2

    if one.window_mm is None and one.taken_mm is None:
        return None
    mask = np.full(shape[:2], one.window_mm is None, dtype=np.uint8)
    for ring, value in ((one.window_mm, 1), (one.taken_mm, 0)):
        if ring is not None:
            spots = _on_reference(scale, ring)
            cv2.fillPoly(mask, [np.round(spots).astype(np.int32)], value)
    return mask > 0


def _on_reference(scale: Scale, ring: Places) -> Places:
    """Find where places on the reference's own face lie in the picture."""
    from lamphouse.trace.camera import Camera

    flat = replace(scale, height_mm=0.0) if isinstance(scale, Camera) else scale
    return flat.to_pixels(ring)


def within(
    inside: Mask | None, *, shape: tuple[int, ...], window: tuple[int, int, int, int]
) -> Mask:
    """Narrow the place where the part may lie to a window: left, top, right, bottom in pixels.

    Raises
    ------
    TraceError
        If the window lies outside the picture.
    """
    left, top, right, bottom = window
    rows, columns = shape[:2]
    if not (0 <= left < right <= columns and 0 <= top < bottom <= rows):
        what = f"the window {left}, {top} to {right}, {bottom} is not in {columns} x {rows} pixels"
        remedy = "name left, top, right and bottom in pixels, counted from the upper left corner"
        raise TraceError(picture_rules.too_small_a_picture, what, remedy=remedy)
    mask = np.zeros(shape[:2], dtype=bool)
    mask[top:bottom, left:right] = True
    return mask if inside is None else mask & inside
