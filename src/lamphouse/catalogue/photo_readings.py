"""Readings of a photograph taken through a film: red, green, blue through 0, 1, 2 coats."""

import re
from itertools import pairwise

from lamphouse.catalogue.cells import OutOfRange, shortened
from lamphouse.units import UnitError

Rgb = tuple[float, float, float]

MOST_COATS = 4
DARKEST, BRIGHTEST = 4.0, 252.0
"""Readings beyond these are cut off: dark ones tell a limit, bright ones nothing."""
_READING = re.compile(
    r"\s*(\d{1,3}(?:\.\d{1,3})?)\s+(\d{1,3}(?:\.\d{1,3})?)\s+(\d{1,3}(?:\.\d{1,3})?)\s*"
)
_EXAMPLE = (
    "write red, green and blue of the bare lamp, then of one coat and of two, with ; between: "
    "240 238 232; 228 160 52; 218 108 14"
)


def photo_readings(text: str) -> tuple[Rgb, ...]:
    """Read red, green, blue, 0 to 255, without a coat, through one, and perhaps through more.

    Raises
    ------
    UnitError
        If a reading is not three numbers, or fewer than two are there.
    OutOfRange
        If one is cut off at white, the bare lamp is dark, or a coat brightens what it covers.
    """
    parts = [part for part in text.split(";") if part.strip()]
    if not 2 <= len(parts) <= MOST_COATS + 1:
        problem = f"a photograph gives 2 to {MOST_COATS + 1} readings, not {len(parts)}"
        raise UnitError(problem, remedy=_EXAMPLE)
    readings = tuple(map(camera_reading, parts))
    if min(readings[0]) < 10.0 * DARKEST:
        problem = "the bare lamp is dark in a colour"
        raise OutOfRange(problem, remedy="take all pictures again with a longer exposure")
    for coats, (before, after) in enumerate(pairwise(readings), start=1):
        if any(more > less * 1.02 for less, more in zip(before, after, strict=True)):
            problem = f"coat {coats} makes a colour brighter than it was without"
            remedy = "take all pictures with one exposure and one white balance, set by hand"
            raise OutOfRange(problem, remedy=remedy)
    return readings


def camera_reading(text: str) -> Rgb:
    """Read red, green and blue, 0 to 255.

    Raises
    ------
    UnitError
        If the text is not three numbers.
    OutOfRange
        If one is cut off at white.
    """
    found = _READING.fullmatch(text)
    if not found:
        problem = f"'{shortened(text.strip())}' is not red, green and blue"
        raise UnitError(problem, remedy=_EXAMPLE)
    red, green, blue = map(float, found.groups())
    if max(red, green, blue) > BRIGHTEST:
        problem = f"'{text.strip()}' is cut off: readings must lie below {BRIGHTEST:g}"
        remedy = "take all pictures again with a shorter exposure"
        raise OutOfRange(problem, remedy=remedy)
    return red, green, blue
