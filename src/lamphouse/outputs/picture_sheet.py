"""Pictures side by side on one sheet, each with its words, as PNG for one kind of screen."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.display import WIDE, Screen
from lamphouse.outputs.fonts import FOLDER
from lamphouse.outputs.png import encode
from lamphouse.record import Record

Pixels = NDArray[np.uint8]

_GAP_PX, _TEXT_PX, _HEAD_PX = 16, 15, 26
_LEAST_PX = 260
"""Room for the words of a picture."""
_GROUND, _INK = 58, 235
"""Greys of the sheet and of its words: a dim surround."""
_STRIPE_PX = 16
_FONT = FOLDER / "LamphouseSans-Regular.otf"
_PIXELS_PER_MM = 96 / 25.4


class Cell(Record, eq=False):
    """One picture."""

    words: str
    pixels: Pixels
    """The upper row first. (rows, columns, 3)"""


def striped(pixels: Pixels, *, where: NDArray[np.bool_]) -> Pixels:
    """Draw thin diagonal stripes over marked places, dark on light and light on dark."""
    down, right = np.nonzero(where)
    is_line = (down + right) % _STRIPE_PX < 1
    line = down[is_line], right[is_line]
    lined = pixels.copy()
    bright = pixels[line].sum(axis=-1, dtype=np.int32) > 3 * 110
    lined[line] = np.where(bright, 20, 235)[:, None]
    return lined


def sheet_of(rows: Sequence[Sequence[Cell]], *, title: str, screen: Screen) -> bytes:
    """Set pictures of one size in rows.

    Parameters
    ----------
    rows
        Each as many.
    title
        Kept in the file.
    screen
        Whose colours the pictures are in.

    Returns
    -------
    bytes
        A PNG, its colours declared; the same bytes for the same pictures.
    """
    from PIL import Image, ImageDraw, ImageFont

    font = ImageFont.truetype(str(_FONT), _TEXT_PX)
    high, wide = rows[0][0].pixels.shape[:2]
    step = max(wide, _LEAST_PX) + _GAP_PX, high + _HEAD_PX + _GAP_PX
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
    words = {"Title": title, "Comment": f"colours of {screen.name}"}
    pixels = np.array(whole, dtype=np.uint8)[::-1]
    return encode(pixels, pixels_per_mm=_PIXELS_PER_MM, words=words, is_wide=screen is WIDE)
