"""Cut material: an outlined rectangle hatched at 45 degrees, or filled where it is thin."""

from collections.abc import Iterator
from math import ceil, floor

from lamphouse.drawings.drawing import Item, Pen
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.moves import Box

_PITCH_MM = 1.2
"""Between hatch lines, square to them: wide enough to stay light, narrow enough for thin parts."""
_THIN_MM = 1.0
"""A thinner part is filled."""
_SQRT2 = 2.0**0.5


def hatched(
    box: Box, *, falls: bool = False, pen: Pen = Pen.CUT, pitch_mm: float = _PITCH_MM
) -> Iterator[Item]:
    """Draw a rectangle of cut material.

    Parameters
    ----------
    box
        Left, bottom, right and top.
    falls
        Whether the hatching falls to the right; parts that touch are told apart by it.
    pen
        Of the outline; a thin part is filled with its ink.
    pitch_mm
        Between hatch lines, square to them.
    """
    left, bottom, right, top = box
    if right <= left or top <= bottom:
        return
    thin = min(right - left, top - bottom) < _THIN_MM
    yield rectangle(pen, left=left, bottom=bottom, right=right, top=top, filled=thin)
    if thin:
        return
    pitch = pitch_mm * _SQRT2
    start, end = left - (top - bottom), right
    for number in range(ceil(start / pitch), floor(end / pitch) + 1):
        foot = number * pitch
        first, last = max(foot, left), min(foot + top - bottom, right)
        if last - first <= 0.05:
            continue
        low, high = bottom + first - foot, bottom + last - foot
        if falls:
            low, high = top + bottom - low, top + bottom - high
        yield segment(Pen.SIZE, start=(first, low), end=(last, high))
