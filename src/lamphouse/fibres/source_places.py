"""Where the sources of strands stand behind their panels: the maker's places, or free ones."""

from collections.abc import Mapping, Sequence
from math import dist

import numpy as np

from lamphouse.design.panel import Panel
from lamphouse.design.strand import SourceGroup
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle
from lamphouse.shapes.spacing import gap_mm

APART_MM = 12.0
"""Between the middles of two sources: room for collars and fingers [PRACTICE]."""
GRID_MM = 4.0
MOST_PLACES = 4000
"""Places looked at; on larger panels the grid is coarser."""


class Seated(Record):
    """A source at its place."""

    group: str
    spot_mm: Spot
    """In the plane of the sub-assembly."""
    behind_mm: float
    """From the rear face of the panels to the open end of its ferrule."""
    found: bool
    """Whether the program chose the place."""


def seated(
    groups: Sequence[SourceGroup],
    *,
    holes_mm: Mapping[str, Sequence[Spot]],
    least_behind_mm: Mapping[str, float],
    panels: Sequence[Panel],
    obstacles: Sequence[tuple[Corners, float, float]],
) -> tuple[Seated, ...]:
    """Seat every source: where the maker wrote, else on the free place nearest to its holes.

    Parameters
    ----------
    holes_mm
        Of each group, in the plane of the sub-assembly.
    least_behind_mm
        Depth of each group's ferrule where the maker wrote none.
    obstacles
        Inside of each box, its wall, and how far back it reaches.
    """
    taken = [group.seat.at_mm for group in groups if group.seat.at_mm is not None]
    found: dict[str, Seated] = {}
    for group in groups:
        behind = group.seat.behind_mm
        behind = least_behind_mm[group.name] if behind is None else behind
        spot = group.seat.at_mm
        if spot is None:
            standing = [(corners, wall) for corners, wall, far in obstacles if far > behind]
            spot = free_place(holes_mm[group.name], panels=panels, standing=standing, taken=taken)
            taken.append(spot)
        found[group.name] = Seated(
            group=group.name,
            spot_mm=spot,
            behind_mm=behind,
            found=group.seat.at_mm is None,
        )
    return tuple(found[group.name] for group in groups)


def free_place(
    holes_mm: Sequence[Spot],
    *,
    panels: Sequence[Panel],
    standing: Sequence[tuple[Corners, float]],
    taken: Sequence[Spot],
) -> Spot:
    """Give the place behind the panels, clear of boxes and other sources, nearest to the holes.

    The middle of the holes where no place is free: a rule tells what is in the way there.
    """
    middle = tuple(np.mean(np.array(holes_mm), axis=0).round(1).tolist())
    boxes = np.array([bounds_mm(panel.outline.corners) for panel in panels])
    corners = np.array([panel.at_mm for panel in panels])
    left, bottom = (boxes[:, :2] + corners).min(axis=0)
    right, top = (boxes[:, 2:] + corners).max(axis=0)
    grid = max(GRID_MM, float(np.sqrt((right - left) * (top - bottom) / MOST_PLACES)))
    across = middle[0] + grid * np.arange(
        np.ceil((left - middle[0]) / grid), np.floor((right - middle[0]) / grid) + 1
    )
    up = middle[1] + grid * np.arange(
        np.ceil((bottom - middle[1]) / grid), np.floor((top - middle[1]) / grid) + 1
    )
    places = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
    away = np.hypot(*(places - np.array(middle)).T)
    for x, y in places[np.lexsort((places[:, 0], places[:, 1], away.round(6)))].tolist():
        if any(dist((x, y), other) < APART_MM for other in taken):
            continue
        body = circle(APART_MM / 2.0, x_mm=x, y_mm=y)
        if all(gap_mm(body, other=outline) > wall for outline, wall in standing):
            return (round(x, 1), round(y, 1))
    return (float(middle[0]), float(middle[1]))
