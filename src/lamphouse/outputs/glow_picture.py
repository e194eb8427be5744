"""A panel as the eye sees it: its openings' glow over its face in the room's light, as a picture.

How luminance becomes grey: what is as bright as the *white* of the picture is display white, all
else keeps its ratio to it, and the curve of sRGB [SRGB] turns the ratio into eight bits. White is
white paper in the room's light, ``E / pi`` (an eye in that room is adapted to it), or the brightest
place of an opening where that is brighter. A white may be asked for instead, so that several
pictures compare; what is brighter then is striped.

There is no colour, no glare in the eye, and no light that a glowing panel throws around itself.
"""

from collections.abc import Sequence
from math import ceil, floor, pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Outline, Panel
from lamphouse.light.picture import Picture
from lamphouse.outputs.coverage import coverage
from lamphouse.outputs.png import Greys, encode
from lamphouse.plan.pictured import PIXELS_PER_MM, Pictured
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

FACE_REFLECTANCE = 0.2
"""The panel's face as painted: matt mid grey [REFLECTANCE]."""
_DIMMEST_CD_M2 = 1e-6
"""White of a picture in which nothing shines."""
_PAPER = 255
_STRIPE_PX = 3
"""Width of the stripes on what is brighter than white, and of those on what was not computed."""
_OVER, _UNKNOWN = (255, 150), (70, 110)


class Face(Record):
    """Luminances of a panel's face, pixel by pixel, the lowest row first."""

    luminance_cd_m2: Floats
    shown: Floats
    """Share of each pixel that is panel."""
    unknown: Bools
    """Openings in front of a box for which no glow could be computed."""
    brightest_cd_m2: float
    """Brightest place of an opening; 0 when none is lit."""
    room_lx: float
    pixels_per_mm: float


class PanelPicture(Record):
    """A panel's picture, ready to be kept."""

    png: bytes
    white_cd_m2: float
    room_lx: float
    width_mm: float
    height_mm: float
    over: float
    """Share of the picture that is brighter than white, striped."""


class Window(Record):
    """Pixels around an outline, as a part of the whole grid."""

    rows: slice
    columns: slice
    cover: Floats
    x_mm: Floats
    y_mm: Floats


def picture_of(face: Face, *, title: str, white_cd_m2: float | None = None) -> PanelPicture:
    """Make the picture of a face.

    Parameters
    ----------
    face
        Its luminances.
    title
        Kept in the file.
    white_cd_m2
        What shall be display white; None for what the eye is adapted to.
    """
    white = adapted_white(face) if white_cd_m2 is None else white_cd_m2
    ratio = face.luminance_cd_m2 / white
    over = ratio > 1.0 + 1e-9
    greys = encoded(ratio)
    _stripe(greys, where=over, inks=_OVER, way=1)
    _stripe(greys, where=face.unknown, inks=_UNKNOWN, way=-1)
    if face.shown.min() < 1.0:
        greys = np.rint(face.shown * greys + (1.0 - face.shown) * _PAPER).astype(np.uint8)
    rows, columns = greys.shape
    words = {
        "Title": title,
        "Comment": f"white is {white:.4g} cd/m2, room light {face.room_lx:g} lx, "
        f"face {FACE_REFLECTANCE:.0%}; striped is brighter than white",
    }
    return PanelPicture(
        png=encode(greys, pixels_per_mm=face.pixels_per_mm, words=words),
        white_cd_m2=white,
        room_lx=face.room_lx,
        width_mm=columns / face.pixels_per_mm,
        height_mm=rows / face.pixels_per_mm,
        over=float(over.mean()),
    )


def adapted_white(face: Face) -> float:
    """Give what an eye before the panel takes for white. [cd/m2]."""
    return max(face.room_lx / pi, face.brightest_cd_m2, _DIMMEST_CD_M2)


def encoded(ratio: Floats) -> Greys:
    """Turn ratios to white, at least 0, into eight bits by sRGB's curve [SRGB], white at most."""
    linear = np.minimum(ratio, 1.0).astype(np.float32)
    curved = np.float32(1.055) * linear ** np.float32(1 / 2.4) - np.float32(0.055)
    np.multiply(linear, np.float32(12.92), out=curved, where=linear <= np.float32(0.0031308))
    curved *= np.float32(255.0)
    return np.asarray(np.rint(curved, out=curved).astype(np.uint8))


def face_of(
    panel: Panel,
    *,
    lit: Sequence[Pictured],
    boxes: Sequence[LightBox],
    room_lx: float,
    judged_lx: float,
    pixels_per_mm: float = PIXELS_PER_MM,
) -> Face:
    """Lay the luminances of a panel out. An opening without a box behind it is dark.

    Parameters
    ----------
    panel
        The panel; a curved one as it lies flat.
    lit
        The boxes behind it whose glow was computed.
    boxes
        All light boxes behind it.
    room_lx
        Illuminance on the panel's front, the same everywhere.
    judged_lx
        The illuminance for which the boxes' figures say what the room adds; 0 when none was named,
        and then it adds nothing.
    pixels_per_mm
        Fineness.
    """
    left, bottom, right, top = bounds_mm(panel.outline.corners)
    shape = (ceil((top - bottom) * pixels_per_mm), ceil((right - left) * pixels_per_mm))
    corner = (left, bottom)
    luminance = np.full(shape, FACE_REFLECTANCE * room_lx / pi)
    unknown, brightest = np.zeros(shape, dtype=np.bool_), 0.0
    pictures = _by_opening(lit, share=room_lx / judged_lx if judged_lx else 0.0)
    for opening in panel.openings:
        window = window_of(opening.outline, corner, shape, pixels_per_mm)
        own = luminance[window.rows, window.columns]
        if opening.name in pictures:
            picture, room = pictures[opening.name]
            seen = resampled(picture, x_mm=window.x_mm, y_mm=window.y_mm) + room
            brightest = max(brightest, float(seen.max(where=window.cover > 0.0, initial=0.0)))
            own += window.cover * (seen - own)
        else:
            own *= 1.0 - window.cover
            inner = unknown[window.rows, window.columns]
            for box in boxes:
                behind = window_of(box.inside, corner, shape, pixels_per_mm)
                whole = np.zeros(shape)
                whole[behind.rows, behind.columns] = behind.cover
                inner |= (window.cover > 0.5) & (whole[window.rows, window.columns] > 0.5)
    for overlay in panel.overlays:
        solid = solid_of(overlay, corner, shape, pixels_per_mm)
        luminance += solid * (FACE_REFLECTANCE * room_lx / pi - luminance)
        unknown &= solid < 0.5
    return Face(
        luminance_cd_m2=luminance,
        shown=window_of(panel.outline, corner, shape, pixels_per_mm).cover,
        unknown=unknown,
        brightest_cd_m2=brightest,
        room_lx=room_lx,
        pixels_per_mm=pixels_per_mm,
    )


def _by_opening(lit: Sequence[Pictured], *, share: float) -> dict[str, tuple[Picture, float]]:
    """Give the picture of each opening that has figures, and what the room adds to it."""
    found = {}
    for box in lit:
        told = {opening.opening: opening for opening in box.glow.openings}
        for aperture, picture in zip(box.glow.scene.apertures, box.pictures, strict=True):
            if aperture.name in told:
                found[aperture.name] = (picture, share * told[aperture.name].room_cd_m2)
    return found


def solid_of(
    overlay: Panel, corner: tuple[float, float], shape: tuple[int, int], pixels_per_mm: float
) -> Floats:
    """Give the share of each pixel that an overlay covers."""
    solid = np.zeros(shape)
    whole = window_of(overlay.outline, corner, shape, pixels_per_mm)
    solid[whole.rows, whole.columns] = whole.cover
    for cutout in overlay.openings:
        hole = window_of(cutout.outline, corner, shape, pixels_per_mm)
        solid[hole.rows, hole.columns] *= 1.0 - hole.cover
    return solid


def window_of(
    outline: Outline, corner: tuple[float, float], shape: tuple[int, int], pixels_per_mm: float
) -> Window:
    """Give the pixels around an outline, on a grid that begins at a corner of the panel plane."""
    left, bottom, right, top = bounds_mm(outline.corners)
    low = [
        floor((side - at) * pixels_per_mm) for side, at in zip((left, bottom), corner, strict=True)
    ]
    high = [
        ceil((side - at) * pixels_per_mm) for side, at in zip((right, top), corner, strict=True)
    ]
    first_column, first_row = (max(0, side) for side in low)
    end_column, end_row = min(shape[1], high[0]), min(shape[0], high[1])
    columns = slice(first_column, max(first_column, end_column))
    rows = slice(first_row, max(first_row, end_row))
    x, y = (
        np.float64(at) + (np.arange(part.start, part.stop) + 0.5) / pixels_per_mm
        for at, part in zip(corner, (columns, rows), strict=True)
    )
    cover = coverage(
        outline.corners,
        left_mm=corner[0] + first_column / pixels_per_mm,
        bottom_mm=corner[1] + first_row / pixels_per_mm,
        shape=(len(y), len(x)),
        pixels_per_mm=pixels_per_mm,
    )
    return Window(rows=rows, columns=columns, cover=cover, x_mm=x, y_mm=y)


def resampled(picture: Picture, *, x_mm: Floats, y_mm: Floats) -> Floats:
    """Give a picture's luminance at other places, straight between its pixels."""
    values = _spread(picture.luminance_cd_m2, shown=picture.shown)
    across = _between(x_mm, start=picture.left_mm, picture=picture, count=values.shape[1])
    up = _between(y_mm, start=picture.bottom_mm, picture=picture, count=values.shape[0])
    return np.asarray(up @ values @ across.T)


def _between(places_mm: Floats, *, start: float, picture: Picture, count: int) -> Floats:
    """Give the weights (places, count) of pixels at places; the last one holds beyond the ends."""
    at = np.clip((places_mm - start) / picture.pixel_mm - 0.5, 0.0, count - 1.0)
    first = np.minimum(at.astype(np.int64), max(count - 2, 0))
    weights = np.zeros((len(at), count))
    row = np.arange(len(at))
    weights[row, first] = 1.0 - (at - first)
    weights[row, np.minimum(first + 1, count - 1)] += at - first
    return weights


def _spread(values: Floats, *, shown: Bools) -> Floats:
    """Carry the values at the rim two pixels on, so that pixels cut by the rim keep their light."""
    for _ in range(2):
        if shown.all():
            return values
        total, count = np.zeros_like(values), np.zeros(values.shape)
        padded, known = np.pad(np.where(shown, values, 0.0), 1), np.pad(shown, 1)
        rows, columns = values.shape
        for up in range(3):
            for right in range(3):
                part = (slice(up, up + rows), slice(right, right + columns))
                total += padded[part]
                count += known[part]
        values = np.where(shown, values, total / np.maximum(count, 1.0))
        shown = shown | (count > 0.0)
    return values


def _stripe(greys: Greys, *, where: Bools, inks: tuple[int, int], way: int) -> None:
    if not where.any():
        return
    rows, columns = np.nonzero(where)
    odd = (rows + way * columns) // _STRIPE_PX % 2
    greys[rows, columns] = np.where(odd, inks[1], inks[0])
