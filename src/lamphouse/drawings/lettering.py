"""How much room lettering takes: widths of the signs, and texts shortened to a room.

Widths are those of the font every sheet is set in, rounded up, without kerning; a text is never
wider than said here. Signs beyond ASCII take the width of their base letter or a generous one.
"""

import math
import unicodedata
from functools import lru_cache

from lamphouse.drawings.drawing import Anchor, Text

LEAST_MM = 1.8
"""Smallest capitals on a sheet: the least nominal height of [ISO3098]."""
DESCENT = 0.34
"""Depth of the descenders below the baseline, in heights of capitals."""
ASCENT = 1.15
"""Height of the tallest letters above the baseline, in heights of capitals."""

_FLAT = frozenset("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789 +-.")
"""Signs that stay between the baseline and the height of capitals ..."""
_OVERSHOOT = 0.03
"""... but for the little that round ones swell beyond both."""

# fmt: off
_REGULAR = (
    39, 39, 56, 87, 88, 112, 88, 31, 50, 50, 69, 91, 39, 64, 38, 50, 90, 90, 90, 90, 90, 90, 90, 90,
    90, 90, 38, 39, 91, 91, 91, 70, 129, 93, 90, 100, 99, 83, 81, 103, 102, 61, 75, 90, 78, 123,
    104, 105, 88, 105, 88, 88, 89, 102, 93, 131, 89, 92, 86, 50, 50, 50, 65, 63, 69, 78, 86, 77, 86,
    81, 50, 84, 82, 33, 33, 75, 36, 120, 81, 83, 84, 84, 52, 72, 50, 80, 77, 112, 75, 77, 75, 50,
    45, 50, 91,
)
_BOLD = (
    32, 45, 54, 90, 91, 119, 93, 29, 57, 57, 78, 94, 42, 65, 41, 54, 94, 94, 94, 94, 94, 94, 94, 94,
    94, 94, 41, 42, 94, 94, 94, 78, 142, 103, 91, 104, 100, 85, 81, 105, 103, 66, 79, 95, 79, 126,
    102, 108, 90, 108, 91, 91, 92, 101, 103, 143, 99, 100, 92, 57, 54, 57, 68, 66, 69, 80, 88, 81,
    88, 83, 54, 88, 86, 38, 38, 80, 42, 126, 86, 85, 87, 87, 57, 78, 54, 86, 81, 117, 79, 81, 79,
    57, 52, 57, 94,
)
# fmt: on
"""Widths of the signs from space to tilde, in hundredths of the height of capitals."""
_ACCENT = 14
"""What an accent may add to its letter."""
_WIDE_LETTER, _WIDE_SIGN = 156, 195


def width_mm(words: str, *, height_mm: float, bold: bool = False) -> float:
    """Give the length of a line of text, never too short.

    Parameters
    ----------
    words
        The text, one line.
    height_mm
        Height of its capitals.
    bold
        Whether it is set bold.
    """
    return _length(words, bold=bold) * height_mm / 100


@lru_cache(maxsize=4096)  # a label is tried in many places
def _length(words: str, *, bold: bool) -> int:
    table = _BOLD if bold else _REGULAR
    return sum(_hundredths(sign, table) for sign in words)


def _hundredths(sign: str, table: tuple[int, ...]) -> int:
    place = ord(sign) - 32
    if 0 <= place < len(table):
        return table[place]
    letter = ord(unicodedata.normalize("NFD", sign)[0]) - 32
    if 0 <= letter < len(table):
        return table[letter] + _ACCENT
    return _WIDE_LETTER if sign.isalpha() else _WIDE_SIGN


def shortened(words: str, *, height_mm: float, room_mm: float, bold: bool = False) -> str:
    """Give the text, cut with an ellipsis where it would be longer than its room."""
    if width_mm(words, height_mm=height_mm, bold=bold) <= room_mm:
        return words
    table = _BOLD if bold else _REGULAR
    left = room_mm * 100 / height_mm - _hundredths("…", table)
    kept = ""
    for sign in words:
        left -= _hundredths(sign, table)
        if left < 0:
            break
        kept += sign
    return f"{kept.rstrip()}…"


def lines_of(
    words: str, *, height_mm: float, room_mm: float, bold: bool = False
) -> tuple[str, ...]:
    """Break a text between words into lines no longer than the room.

    A single word longer than the room is shortened.
    """
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, height_mm=height_mm, bold=bold) <= room_mm:
            lines[-1] = longer
        else:
            lines.append(shortened(word, height_mm=height_mm, room_mm=room_mm, bold=bold))
    return tuple(lines)


def box_of(text: Text) -> tuple[float, float, float, float]:
    """Give left, bottom, right and top of the room a text takes, turned as it is [mm]."""
    length = width_mm(text.words, height_mm=text.height_mm, bold=text.bold)
    start = {Anchor.START: 0.0, Anchor.MIDDLE: -length / 2, Anchor.END: -length}[text.anchor]
    flat = _FLAT.issuperset(text.words)
    low = -(_OVERSHOOT if flat else DESCENT) * text.height_mm
    high = (1 + _OVERSHOOT if flat else ASCENT) * text.height_mm
    if not text.turn_deg:
        left, right = text.x_mm + start, text.x_mm + (start + length)
        return left, text.y_mm + low, right, text.y_mm + high
    turn = math.radians(text.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(x, y) for x in (start, start + length) for y in (low, high)]
    xs = [text.x_mm + x * cos - y * sin for x, y in corners]
    ys = [text.y_mm + x * sin + y * cos for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)
