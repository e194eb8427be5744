"""Where a shape fits among those that lie already, cell by cell, and the first such place.

Terminology
-----------
blocked
    Where the lower left cell of a shape must not stand, because some cell of it would come nearer
    than the gap to a shape that lies.
blank
    A sheet, an offcut or a strip to lay shapes on.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil

import numpy as np

from lamphouse.cutting.sheet_cells import (
    ROUNDING,
    Cells,
    Stripe,
    cells_of,
    rasterised,
    reach,
    reach_cells,
    repeated,
    swept,
    turned_about,
)
from lamphouse.record import Record
from lamphouse.shapes.outline import Spot


class Turned(Record):
    """An item in one of its turns, on the grid."""

    shape: int
    """Number of its cells in the workshop."""
    turn_deg: float
    left_mm: float
    bottom_mm: float
    """Where the corner of its cells lies from its own origin, turned as it is."""


class Workshop:
    """Shapes by number, and where each may stand beside each other one.

    Items that look alike on the grid share a number, and so all that is worked out for them.
    """

    def __init__(self, *, pitch_mm: float, gap_mm: float, most_high_mm: float) -> None:
        """Open a grid for blanks up to a height."""
        self.pitch_mm = pitch_mm
        self.gap_cells = reach_cells(gap_mm, pitch_mm=pitch_mm)
        self.stride = int(most_high_mm / pitch_mm + 1e-6) + 2 * self.gap_cells + 1
        self.shapes: list[Cells] = []
        self._ball = cells_of(reach(gap_mm, pitch_mm=pitch_mm), stride=self.stride).stripes
        self._numbers: dict[tuple[int, int, int], int] = {}
        self._grown: list[int] = []
        self._back: list[tuple[Stripe, ...]] = []
        self._blocked: dict[tuple[int, int], tuple[int, int]] = {}

    def has_room(self, high: int) -> bool:
        """Tell whether a shape of so many cells is no higher than the highest blank."""
        return high <= self.stride - 2 * self.gap_cells

    def number(self, rings: Sequence[Sequence[Spot]]) -> tuple[int, int, int]:
        """Put the cells of rings on the shelf.

        Returns
        -------
        number, left, bottom
            The shape, and the cell its corner stands on.

        Raises
        ------
        ValueError
            If it is higher than every blank.
        """
        grid, left, bottom = rasterised(rings, pitch_mm=self.pitch_mm)
        if not self.has_room(grid.shape[1]):
            tall = f"a shape of {grid.shape[1]} cells on a grid of {self.stride}"
            raise ValueError(tall)
        cells = cells_of(grid, stride=self.stride)
        key = (cells.wide, cells.high, cells.bits)
        if key not in self._numbers:
            self._numbers[key] = len(self.shapes)
            self.shapes.append(cells)
            self._grown.append(swept(cells.bits, by=self._ball, stride=self.stride))
            self._back.append(turned_about(cells.stripes, wide=cells.wide, high=cells.high))
        return self._numbers[key], left, bottom

    def blocked(self, lying: int, *, mover: int) -> tuple[int, int]:
        """Give where a shape blocks another, and by how much to shift that to the first's place."""
        key = (lying, mover)
        known = self._blocked.get(key)
        if known is None:
            cells, rim = self.shapes[mover], self.gap_cells
            bits = swept(self._grown[lying], by=self._back[mover], stride=self.stride)
            back = (cells.wide - 1 + rim) * self.stride + cells.high - 1 + rim
            known = self._blocked[key] = (bits, back)
        return known

    def taken(self, lying: Sequence[tuple[int, int]]) -> int:
        """Give every cell that shapes and the gaps round them take."""
        back = self.gap_cells * self.stride + self.gap_cells
        taken = 0
        for shape, place in lying:
            taken |= _shifted(self._grown[shape], by=place - back)
        return taken

    def anchors(self, shape: int, *, wide: int, high: int) -> int:
        """Give where a shape may stand on an empty blank of so many cells."""
        cells = self.shapes[shape]
        across, up = wide - cells.wide + 1, high - cells.high + 1
        if across <= 0 or up <= 0:
            return 0
        return repeated((1 << up) - 1, count=across, step=self.stride)


@dataclass(slots=True, kw_only=True)
class Blank:
    """A sheet with what lies on it so far."""

    wide: int
    high: int
    lying: list[tuple[int, int]] = field(default_factory=list)
    """Number of each shape and the bit its corner stands on."""
    free: dict[int, tuple[int, int]] = field(default_factory=dict)
    """Where each shape may stand, and how many of those that lie have been looked at for it; worked
    out when asked for."""

    def laid(self, shape: int, *, place: int) -> "Blank":
        """Give the blank with one shape more; this one stays as it is."""
        return Blank(
            wide=self.wide,
            high=self.high,
            lying=[*self.lying, (shape, place)],
            free=self.free.copy(),
        )

    def first_place(self, shape: int, *, shop: Workshop) -> int:
        """Give the first free bit for a shape, column by column from the left; -1 for none."""
        known = self.free.get(shape)
        if known is None:
            known = (shop.anchors(shape, wide=self.wide, high=self.high), 0)
        free, seen = known
        if seen < len(self.lying):
            taken = 0
            for number, place in self.lying[seen:]:
                bits, back = shop.blocked(number, mover=shape)
                taken |= _shifted(bits, by=place - back)
            free &= ~taken
            self.free[shape] = (free, len(self.lying))
        return (free & -free).bit_length() - 1


def _shifted(bits: int, *, by: int) -> int:
    return bits << by if by >= 0 else bits >> -by


def rings_turned(
    rings: Sequence[Sequence[Spot]], *, turn_deg: float
) -> tuple[tuple[Spot, ...], ...]:
    """Turn rings anticlockwise about the origin; quarter turns are exact."""
    quarters, rest = divmod(turn_deg, 90.0)
    if rest:
        cosine, sine = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    else:
        cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return tuple(
        tuple((float(x * cosine - y * sine), float(x * sine + y * cosine)) for x, y in ring)
        for ring in rings
    )


def turned_items(
    rings: Sequence[Sequence[Spot]], *, turns_deg: Sequence[float], shop: Workshop
) -> tuple[Turned, ...]:
    """Put an item on the grid in each of its turns; those that look alike are kept once."""
    found: dict[int, Turned] = {}
    for turn_deg in turns_deg:
        turned = rings_turned(rings, turn_deg=turn_deg)
        left = min(x for ring in turned for x, _ in ring)
        bottom = min(y for ring in turned for _, y in ring)
        top = max(y for ring in turned for _, y in ring)
        if not shop.has_room(ceil((top - bottom) / shop.pitch_mm - ROUNDING)):
            continue
        shape, _, _ = shop.number([[(x - left, y - bottom) for x, y in ring] for ring in turned])
        if shape not in found:
            found[shape] = Turned(shape=shape, turn_deg=turn_deg, left_mm=left, bottom_mm=bottom)
    return tuple(found.values())
