"""The room light, and the size of a picture, as an address asks for them."""

import math

from starlette.exceptions import HTTPException

from lamphouse.units.digits import whole_number

MOST_LX = 100_000.0
"""A summer's day out of doors."""
LARGEST_PX = 960


def asked_lx(text: str) -> float:
    """Read a room light. [lx].

    Raises
    ------
    HTTPException
        400 when it is none.
    """
    try:
        lx = float(text)
    except ValueError:
        lx = math.nan
    if not 0.0 <= lx <= MOST_LX:
        raise HTTPException(400, f"Room light lies between 0 and {MOST_LX:g} lx.")
    return float(f"{lx:.2g}")


def asked_px(text: str) -> int:
    """Read the longer side of a picture.

    Raises
    ------
    HTTPException
        400 when it is none.
    """
    length = whole_number(text)
    if length is None or not 16 <= length <= LARGEST_PX:
        raise HTTPException(400, f"A picture is 16 to {LARGEST_PX} pixels long.")
    return length
