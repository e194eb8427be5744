"""Artwork as it goes to the printer: at true size, made for its lamp, with bleed and marks.

Terminology
-----------
trim
    The edge of the opening's box of width and height: what shows.
bleed
    The picture's edge drawn on beyond the trim, so that a film laid a little askew shows no white.
tile
    Picture, bleed, and the margin with its registration marks. Films printed alike are laid on one
    another mark upon mark.
"""

from math import floor

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.colour_cube import Cube, read_pixels
from lamphouse.design.artwork import Artwork
from lamphouse.design.panel import Outline
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm

Pixels = NDArray[np.uint8]

INCH_MM = 25.4
DPI = 300
MOST_PIXELS = 40_000_000
BLEED_MM = 1.5
"""Twice what films laid by hand are off [PRACTICE]."""
MARGIN_MM = 7.0
_RING_MM, _CROSS_MM, _LINE_MM = 2.4, 4.4, 0.12
"""Diameter of a mark's ring, length of its cross, width of its lines."""
_TRIM_MM = 4.0
"""Length of the lines that show the trim."""
_NOTABLE = 0.01
"""Share of a picture cut off that is worth telling."""


class TooFine(ValueError):
    """A fineness at which the tile would not fit into memory; says which one would do."""


class Tile(Record, eq=False):
    """Pixels to be printed, and their size on paper."""

    pixels: Pixels
    """sRGB, the upper row first. (rows, columns, 3)"""
    drawn: Pixels
    """What shows of the artwork, at the same fineness, as drawn. (rows, columns, 3)"""
    dpi: float
    width_mm: float
    """Of the whole tile."""
    height_mm: float
    cropped: tuple[float, float]
    """Share of the artwork's width and height that was cut off to fill the trim."""

    @property
    def pixels_per_mm(self) -> float:
        """Fineness of the tile."""
        return self.dpi / INCH_MM


def tile_of(artwork: Artwork, *, made: Cube, shape: Outline, dpi: float = DPI) -> Tile:
    """Make the tile of one artwork.

    Parameters
    ----------
    artwork
        As read.
    made
        What to print for every drawn colour.
    shape
        Outline of the opening; the artwork fills its width and height, its middle kept, what stands
        over cut off alike on both sides.
    dpi
        Dots per inch of the tile.

    Raises
    ------
    TooFine
        If there would be more pixels than memory has room for.
    """
    fits = most_dpi(shape)
    if dpi > fits:
        problem = f"{dpi:g} dots per inch are too many for this opening; at most {fits:.0f} fit"
        raise TooFine(problem)
    left, bottom, right, top = bounds_mm(shape.corners)
    per_mm = dpi / INCH_MM
    columns, rows = (max(1, round(side * per_mm)) for side in (right - left, top - bottom))
    bleed, margin = round(BLEED_MM * per_mm), round(MARGIN_MM * per_mm)
    drawn, cropped = _filled(artwork, columns=columns, rows=rows)
    printed = np.round(read_pixels(made, drawn) * 255.0).astype(np.uint8)
    bled = np.pad(printed, ((bleed, bleed), (bleed, bleed), (0, 0)), mode="edge")
    whole = np.pad(bled, ((margin,) * 2, (margin,) * 2, (0, 0)), constant_values=255)
    _mark(whole, bleed=bleed, margin=margin, per_mm=per_mm)
    return Tile(
        pixels=whole,
        drawn=drawn,
        dpi=dpi,
        width_mm=whole.shape[1] / per_mm,
        height_mm=whole.shape[0] / per_mm,
        cropped=cropped,
    )


def most_dpi(shape: Outline) -> float:
    """Give the most whole dots per inch for which memory has room."""
    left, bottom, right, top = bounds_mm(shape.corners)
    around = 2.0 * (BLEED_MM + MARGIN_MM + 0.1)
    return float(
        floor((MOST_PIXELS / ((right - left + around) * (top - bottom + around))) ** 0.5 * INCH_MM)
    )


def cropping_words(tile: Tile) -> str:
    """Say how much of the artwork was cut off; empty when it is hardly any."""
    across, down = tile.cropped
    if max(across, down) < _NOTABLE:
        return ""
    share, sides = (across, "left and right") if across > down else (down, "top and bottom")
    return f"{share:.0%} of the picture is cut off, half each at {sides}, to fill the opening"


def _filled(artwork: Artwork, *, columns: int, rows: int) -> tuple[Pixels, tuple[float, float]]:
    """Scale a picture until it fills a size, and cut off what stands over."""
    from PIL import Image

    picture = Image.frombytes("RGB", (artwork.columns, artwork.rows), artwork.pixels)
    scale = max(columns / artwork.columns, rows / artwork.rows)
    wide, high = columns / scale, rows / scale
    left, upper = (artwork.columns - wide) / 2.0, (artwork.rows - high) / 2.0
    scaled = picture.resize(
        (columns, rows),
        Image.Resampling.LANCZOS,
        box=(max(left, 0.0), max(upper, 0.0), left + wide, upper + high),
    )
    cropped = (1.0 - wide / artwork.columns, 1.0 - high / artwork.rows)
    return np.array(scaled, dtype=np.uint8), cropped


def _mark(whole: Pixels, *, bleed: int, margin: int, per_mm: float) -> None:
    """Draw registration marks at the middle of each side, and trim lines at the corners."""
    rows, columns = whole.shape[:2]
    line = max(1, round(_LINE_MM * per_mm))
    middles = (
        (margin // 2, columns // 2),
        (rows - 1 - margin // 2, columns // 2),
        (rows // 2, margin // 2),
        (rows // 2, columns - 1 - margin // 2),
    )
    for row, column in middles:
        _ring_and_cross(whole, row=row, column=column, line=line, per_mm=per_mm)
    long, gap = round(_TRIM_MM * per_mm), max(1, margin // 8)
    trims = (
        (margin + bleed, rows - 1 - margin - bleed),
        (margin + bleed, columns - 1 - margin - bleed),
    )
    for row in trims[0]:
        for start in (margin - gap - long, columns - margin + gap):
            _fill(whole, row=row, column=start, rows=line, columns=long)
    for column in trims[1]:
        for start in (margin - gap - long, rows - margin + gap):
            _fill(whole, row=start, column=column, rows=long, columns=line)


def _ring_and_cross(whole: Pixels, *, row: int, column: int, line: int, per_mm: float) -> None:
    arm = round(_CROSS_MM / 2.0 * per_mm)
    _fill(whole, row=row - line // 2, column=column - arm, rows=line, columns=2 * arm + 1)
    _fill(whole, row=row - arm, column=column - line // 2, rows=2 * arm + 1, columns=line)
    up, right = np.ogrid[-arm : arm + 1, -arm : arm + 1]
    ring = np.abs(np.hypot(up, right) - _RING_MM / 2.0 * per_mm) <= line / 2.0
    top, left = max(row - arm, 0), max(column - arm, 0)
    window = whole[top : row + arm + 1, left : column + arm + 1]
    window[ring[top - row + arm :, left - column + arm :][: len(window), : window.shape[1]]] = 0


def _fill(whole: Pixels, *, row: int, column: int, rows: int, columns: int) -> None:
    whole[max(row, 0) : max(row + rows, 0), max(column, 0) : max(column + columns, 0)] = 0
