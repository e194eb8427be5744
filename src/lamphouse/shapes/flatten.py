"""Round pieces as chords within a stated error.

The chords are inscribed: their ends lie on the arc, and nowhere is the arc farther from its chord
than the error.
"""

from math import acos, atan2, ceil, cos, sin

from lamphouse.shapes.outline import STRAIGHT, Corners, Piece, Spot, corner_pairs

ERROR_MM = 5e-5
"""Greatest distance from arc to chord where outlines are measured against one another; two of
them together stay within 1e-4 mm."""

MOST_CHORDS = 20_000
"""No arc is cut into more chords than this; reached only by radii above 2 m at the finest error."""


def chord_count(radius_mm: float, *, sweep_rad: float, error_mm: float) -> int:
    """Count the chords that keep an arc within an error.

    A chord over the angle ``a`` leaves the arc by ``r (1 - cos(a / 2))``.

    Parameters
    ----------
    radius_mm
        Radius of the arc.
    sweep_rad
        Angle it turns through; its sign does not matter.
    error_mm
        Greatest distance between arc and chord, above 0.

    Returns
    -------
    int
        At least 2, so that two shallow arcs never fall onto one chord.
    """
    ratio = min(error_mm / radius_mm, 1.0)
    half_step = acos(1.0 - ratio)
    if half_step <= 0.0:
        return MOST_CHORDS
    return min(MOST_CHORDS, max(2, ceil(abs(sweep_rad) / (2.0 * half_step) - 1e-9)))


def flatten(corners: Corners, *, error_mm: float = ERROR_MM) -> tuple[Spot, ...]:
    """Give the points of an outline with every arc cut into equal chords.

    Parameters
    ----------
    corners
        The outline.
    error_mm
        Greatest distance between an arc and its chords.

    Returns
    -------
    tuple of Spot
        In the direction of the outline; the first point is not repeated at the end.
    """
    spots: list[Spot] = []
    for (start_x, start_y, bulge), (end_x, end_y, _) in corner_pairs(corners):
        spots.append((start_x, start_y))
        if abs(bulge) < STRAIGHT:
            continue
        piece = Piece(start=(start_x, start_y), end=(end_x, end_y), bulge=bulge)
        (x, y), radius, sweep = piece.centre, piece.radius_mm, piece.sweep_rad
        first = atan2(piece.start[1] - y, piece.start[0] - x)
        count = chord_count(radius, sweep_rad=sweep, error_mm=error_mm)
        turned = [first + sweep * step / count for step in range(1, count)]
        spots.extend([(x + radius * cos(angle), y + radius * sin(angle)) for angle in turned])
    return tuple(spots)
