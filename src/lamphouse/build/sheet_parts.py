"""Sheets and offcuts as parts of a drawer: one name for each material and size."""

import re

from lamphouse.units import Quantity, UnitError, parse_many

_SIZED = re.compile(r"(.+?), *(\d[^,]*[x\u00d7][^,]*)", re.IGNORECASE)

_MEANT = re.compile(r".*\d ?(?:mm|cm|in|thou), *-?\d.*[x\u00d7].*", re.IGNORECASE)
"""A thickness, and what looks like two sides behind it."""


def sheet_part(sheet: str, *, width_mm: float, height_mm: float) -> str:
    """Name a sheet of one size as a part.

    Examples
    --------
    >>> sheet_part("styrene 1.0 mm", width_mm=246.0, height_mm=206.5)
    'styrene 1.0 mm, 246 x 206.5 mm'
    """
    return f"{sheet}, {width_mm:g} x {height_mm:g} mm"


def sheet_of(part: str) -> tuple[str, float, float] | None:
    """Give the material and size [mm] of which a part is a sheet; None where it names no size.

    Examples
    --------
    >>> sheet_of("styrene 1.0 mm, 30x20cm"), sheet_of("30 AWG insulated, red")
    (('styrene 1.0 mm', 300.0, 200.0), None)
    """
    found = _SIZED.fullmatch(" ".join(part.split()))
    if found is None:
        return None
    try:
        width, height = parse_many(found[2], Quantity.LENGTH, count=2)
    except UnitError:
        return None
    return (found[1], width, height) if min(width, height) > 0.0 else None


def checked_sheet(part: str) -> None:
    """See that a part which is meant for a sheet has a size that a sheet can have.

    Raises
    ------
    UnitError
        If its size cannot be read, or is nothing.
    """
    if _MEANT.fullmatch(" ".join(part.split())) and sheet_of(part) is None:
        problem = f"the size in '{part[:60]}' is none that a sheet can have"
        raise UnitError(problem, remedy="write such as styrene 0.5 mm, 300 x 200 mm")
