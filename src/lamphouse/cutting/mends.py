"""Moves and sizes that would mend a fault, computed and tried before they are offered."""

from math import ceil

from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.spacing import Enclosure, inner_spot
from lamphouse.shapes.transform import move
from lamphouse.units import Quantity, show

STEP_MM = 0.01
"""Moves are rounded up to this."""

SHRINK_STEPS = 20
"""Halvings by which the largest size that fits is found."""


def in_mm(value_mm: float) -> str:
    """Write a length for a sentence, to a hundredth of a millimetre where that shows it."""
    rounded = round(value_mm, 2)
    return show(rounded or value_mm, Quantity.LENGTH, digits=6 if rounded else 2)


def sides_mm(width_mm: float, *, height_mm: float) -> str:
    """Write two sides as the project file does: ``48 x 30 mm``."""
    return f"{in_mm(width_mm).removesuffix(' mm')} x {in_mm(height_mm)}"


def at_mm(x_mm: float, *, y_mm: float) -> str:
    """Write a place as the project file does."""
    return f"[{in_mm(x_mm)}, {in_mm(y_mm)}]"


def _up(value_mm: float) -> float:
    """Round away from zero to a whole step."""
    steps = ceil(abs(value_mm) / STEP_MM - 1e-6)
    return (steps if value_mm >= 0.0 else -steps) * STEP_MM


def way_words(x_mm: float, *, y_mm: float) -> str:
    """Say a shift: ``2.5 mm left and 1 mm up``."""
    parts = []
    if x_mm:
        parts.append(f"{in_mm(abs(x_mm))} {'right' if x_mm > 0.0 else 'left'}")
    if y_mm:
        parts.append(f"{in_mm(abs(y_mm))} {'up' if y_mm > 0.0 else 'down'}")
    return " and ".join(parts)


def _shift_inside(low: float, high: float, *, least: float, most: float) -> float | None:
    """Shift that brings the span low..high between two limits; None when it is too long."""
    if high - low > most - least:
        return None
    return _up(least - low) if low < least else _up(most - high) if high > most else 0.0


def _shrunk(corners: Corners, *, share: float, towards: Spot) -> Corners:
    """Shrink an outline towards a point."""
    x, y = towards
    return tuple((x + (cx - x) * share, y + (cy - y) * share, bulge) for cx, cy, bulge in corners)


def bring_inside(inner: Corners, *, outer: Enclosure, margin_by_mm: float) -> str:
    """Say how to bring an outline inside another with a margin: a move, a size, or a place.

    Parameters
    ----------
    inner
        A sound outline.
    outer
        The outline it should lie in.
    margin_by_mm
        Least distance wanted from edge to edge.

    Returns
    -------
    str
        A clause of a remedy. A move or a size it names has been tried.
    """
    left, bottom, right, top = bounds_mm(inner)
    outer_left, outer_bottom, outer_right, outer_top = bounds_mm(outer.outline)
    across = _shift_inside(
        left, right, least=outer_left + margin_by_mm, most=outer_right - margin_by_mm
    )
    up = _shift_inside(
        bottom, top, least=outer_bottom + margin_by_mm, most=outer_top - margin_by_mm
    )
    if across is not None and up is not None and (across or up):
        moved = move(inner, x_mm=across, y_mm=up)
        if outer.margin_mm(moved) >= margin_by_mm - 1e-6:
            return f"move it {way_words(across, y_mm=up)}"
    low, high, middle = 0.0, 1.0, inner_spot(inner)
    for _ in range(SHRINK_STEPS):
        share = (low + high) / 2.0
        fits = outer.margin_mm(_shrunk(inner, share=share, towards=middle)) >= margin_by_mm
        low, high = (share, high) if fits else (low, share)
    if low > 0.05:
        return f"make it {int(low * 100)} percent of its size, in its place"
    x, y = inner_spot(outer.outline)
    return f"move it to the middle, about {at_mm(x, y_mm=y)}, and make it smaller if need be"


def move_apart(mover: Corners, *, other: Corners, gap_by_mm: float) -> str:
    """Say how to move an outline so that a gap stands between it and another.

    Parameters
    ----------
    mover
        The outline to move.
    other
        The one that stays.
    gap_by_mm
        Least distance wanted from edge to edge.

    Returns
    -------
    str
        A clause of a remedy: the shorter of the moves sideways and up or down. Upright rectangles
        around both are that far apart after it, so the outlines are too.
    """
    left, bottom, right, top = bounds_mm(mover)
    other_left, other_bottom, other_right, other_top = bounds_mm(other)
    ways = (
        (_up(other_right + gap_by_mm - left), 0.0),
        (_up(other_left - gap_by_mm - right), 0.0),
        (0.0, _up(other_top + gap_by_mm - bottom)),
        (0.0, _up(other_bottom - gap_by_mm - top)),
    )
    across, up = min(ways, key=lambda way: abs(way[0]) + abs(way[1]))
    return f"move it {way_words(across, y_mm=up)}"
