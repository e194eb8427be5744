"""Artwork as it will be seen: as drawn and made for the lamp, lit in the dark and a room, unlit.

What no screen can show is brought to its grey at the same lightness, and striped. Colours are what
an eye sees that is adapted to the lamp and the room; see :mod:`lamphouse.colour.artwork_look`.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.artwork_fit import OUT_OF_REACH, PrintLook, misses
from lamphouse.colour.artwork_look import WHITE, Condition, shown
from lamphouse.colour.colour_cube import Cube, cube_of, grid, read_at, read_pixels
from lamphouse.colour.difference import difference
from lamphouse.colour.display import (
    SRGB,
    WIDE,
    Screen,
    decode,
    encode,
    fitted,
    linear_of,
    xyz_of,
)
from lamphouse.colour.lab import to_lab
from lamphouse.outputs.artwork_tile import Pixels
from lamphouse.outputs.picture_sheet import Cell, sheet_of, striped

_CELL_PX = 420
"""Longest side of one picture on a sheet of them."""
NOTICED = 2.0
"""CIEDE2000 between the colour seen and what a screen makes of it, from which it is marked."""


def condition_cube(look: PrintLook, *, condition: Condition, screen: Screen) -> Cube:
    """Give what a screen shows for every print colour in one condition, and how far that is off.

    Four values at each corner: screen values 0 to 1, and the CIEDE2000 difference from the colour
    seen.
    """
    xyz = shown(look.backlit, look.corners, condition=condition, clear=look.clear)
    linear = fitted(linear_of(xyz, screen=screen), screen=screen)
    labs = (to_lab(each, white=WHITE) for each in (xyz, xyz_of(linear, screen=screen)))
    off = difference(*labs)
    return cube_of(np.concatenate([encode(linear), off[:, None]], axis=1))


def picture_in(
    look: PrintLook, pixels: Pixels, *, condition: Condition, screen: Screen
) -> tuple[Pixels, NDArray[np.bool_]]:
    """Show printed pixels in one condition; tell which of them the screen cannot show."""
    read = read_pixels(condition_cube(look, condition=condition, screen=screen), pixels)
    values = np.clip(read[..., :3], 0.0, 1.0) * 255.0 + 0.5
    return values.astype(np.uint8), np.asarray(read[..., 3] > NOTICED)


def out_of_reach(look: PrintLook, *, made: Cube, drawn: Pixels) -> NDArray[np.bool_]:
    """Tell which places of the artwork no ink brings near what was drawn. (rows, columns)."""
    corners = grid()
    printed = read_at(made, corners)
    cube = cube_of(misses(look, corners, printed=printed)[:, None])
    return np.asarray(read_pixels(cube, drawn)[..., 0] > OUT_OF_REACH)


def sheet(look: PrintLook, *, made: Cube, drawn: Pixels, is_wide: bool) -> bytes:
    """Set all pictures side by side.

    Parameters
    ----------
    look
        What the print shows.
    made
        What to print for every drawn colour.
    drawn
        The artwork as drawn, at any fineness. (rows, columns, 3)
    is_wide
        Whether for a wide-gamut screen.

    Returns
    -------
    bytes
        A PNG: the upper row printed as drawn, the lower one printed as made for the lamp.
    """
    screen = WIDE if is_wide else SRGB
    small = _small(drawn)
    printed = np.round(read_pixels(made, small) * 255.0).astype(np.uint8)
    reach = striped(_on(small, screen=screen), where=out_of_reach(look, made=made, drawn=small))
    own = Cell(words="as drawn", pixels=_on(small, screen=screen))
    far = Cell(words="as drawn; striped: out of reach", pixels=reach)
    rows = [
        [own, *_cells(look, small, screen=screen, what="printed as drawn")],
        [far, *_cells(look, printed, screen=screen, what="made for the lamp")],
    ]
    return sheet_of(rows, title="artwork as it will be seen", screen=screen)


def _cells(look: PrintLook, printed: Pixels, *, screen: Screen, what: str) -> Iterator[Cell]:
    lx = look.backlit.room_lx
    for condition in Condition:
        if condition is not Condition.DARK and lx <= 0.0:
            continue
        pixels, outside = picture_in(look, printed, condition=condition, screen=screen)
        place = {
            Condition.DARK: "lit in the dark",
            Condition.ROOM: f"lit at {lx:g} lx",
            Condition.UNLIT: f"unlit at {lx:g} lx",
        }[condition]
        yield Cell(words=f"{what}, {place}", pixels=striped(pixels, where=outside))


def _on(pixels: Pixels, *, screen: Screen) -> Pixels:
    """Give sRGB pixels as another screen's."""
    if screen is SRGB:
        return pixels
    linear = linear_of(xyz_of(decode(pixels / 255.0), screen=SRGB), screen=screen)
    return np.round(encode(linear) * 255.0).astype(np.uint8)


def _small(drawn: Pixels) -> Pixels:
    from PIL import Image

    picture = Image.fromarray(drawn)
    share = min(1.0, _CELL_PX / max(picture.size))
    size = tuple(max(1, round(side * share)) for side in picture.size)
    return np.array(picture.resize((size[0], size[1]), Image.Resampling.LANCZOS), dtype=np.uint8)
