"""Artwork as it will be seen: as drawn and made for the lamp, lit in the dark and a room, unlit.

What no screen can show is brought to its grey at the same lightness, and striped. Colours are what
an eye sees that is adapted to the lamp and the room; see :mod:`lamphouse.colour.artwork_look`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

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
from lamphouse.outputs.fonts import FOLDER
from lamphouse.outputs.png import encode as to_png

_CELL_PX = 420
"""Longest side of one picture on a sheet of them."""
_GAP_PX, _TEXT_PX, _HEAD_PX = 16, 15, 26
_GROUND, _INK = 58, 235
"""Greys of the sheet and of its words: a dim surround."""
_STRIPE_PX = 4
NOTICED = 2.0
"""CIEDE2000 between the colour seen and what a screen makes of it, from which it is marked."""
_FONT = FOLDER / "LamphouseSans-Regular.otf"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cell:
    words: str
    pixels: Pixels


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


def striped(pixels: Pixels, *, where: NDArray[np.bool_]) -> Pixels:
    """Draw thin diagonal stripes over marked places, dark on light and light on dark."""
    down, right = np.indices(where.shape)
    line = where & ((down + right) % (4 * _STRIPE_PX) < 1)
    bright = pixels.astype(np.int32).sum(axis=-1) > 3 * 110
    return np.where(line[..., None], np.where(bright[..., None], 20, 235), pixels).astype(np.uint8)


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
    own = _Cell(words="as drawn", pixels=_on(small, screen=screen))
    far = _Cell(words="as drawn; striped: out of reach", pixels=reach)
    rows = [
        [own, *_cells(look, small, screen=screen, what="printed as drawn")],
        [far, *_cells(look, printed, screen=screen, what="made for the lamp")],
    ]
    whole = _set(rows, screen=screen)
    words = {"Title": "artwork as it will be seen", "Comment": f"colours of {screen.name}"}
    return to_png(whole[::-1], pixels_per_mm=96 / 25.4, words=words, is_wide=is_wide)


def _cells(look: PrintLook, printed: Pixels, *, screen: Screen, what: str) -> Iterator[_Cell]:
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
        yield _Cell(words=f"{what}, {place}", pixels=striped(pixels, where=outside))


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


def _set(rows: Sequence[Sequence[_Cell]], *, screen: Screen) -> Pixels:
    from PIL import Image, ImageDraw, ImageFont

    font = ImageFont.truetype(str(_FONT), _TEXT_PX)
    high, wide = rows[0][0].pixels.shape[:2]
    step = max(wide, 260) + _GAP_PX, high + _HEAD_PX + _GAP_PX
    size = (_GAP_PX + step[0] * len(rows[0]), _GAP_PX + step[1] * len(rows) + _HEAD_PX)
    whole = Image.new("RGB", size, (_GROUND,) * 3)
    draw = ImageDraw.Draw(whole)
    for down, row in enumerate(rows):
        for across, cell in enumerate(row):
            x, y = _GAP_PX + across * step[0], _GAP_PX + down * step[1]
            draw.text((x, y), cell.words, font=font, fill=(_INK,) * 3)
            whole.paste(Image.fromarray(cell.pixels), (x, y + _HEAD_PX))
    foot = f"Colours of {screen.name}; striped where no such screen shows the colour seen."
    draw.text((_GAP_PX, size[1] - _HEAD_PX - 2), foot, font=font, fill=(_INK,) * 3)
    return np.array(whole, dtype=np.uint8)
