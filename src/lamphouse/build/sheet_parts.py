"""Sheets and offcuts as parts of a drawer: one name for each material and size."""

import re

from lamphouse.catalogue.sheet_stock import SIDES_MM
from lamphouse.units import Quantity, UnitError, parse_many

_SIZED = re.compile(r"(.+?), *(\d[^,]*[x\u00d7][^,]*)", re.IGNORECASE)


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
    least, most = SIDES_MM
    if not least <= min(width, height) <= max(width, height) <= most:
        return None
    return found[1], width, height
