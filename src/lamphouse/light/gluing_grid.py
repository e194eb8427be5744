"""Places where an LED can be glued: a grid a maker can mark out, and even starts on it."""

from collections.abc import Callable, Sequence
from math import ceil, cos, floor, hypot, pi, sin

from lamphouse.light.scene import Spot
from lamphouse.record import Record, field

SNAP_MM = 0.5
"""Places are multiples of this from the panel's datum: what a steel rule can mark [PRACTICE]."""

Bounds = tuple[float, float, float, float]
"""Left, bottom, right, top. [mm]."""


def snapped(value_mm: float) -> float:
    """Move a coordinate to the nearest line of the grid."""
    return floor(value_mm / SNAP_MM + 0.5) * SNAP_MM


class Floor(Record):
    """The face LEDs are glued to."""

    bounds: Bounds
    """Around the clear space."""
    free_row: Callable[[float], frozenset[float]]
    """Where on the grid line at a height one LED with its wires fits, alone."""
    pitch_mm: float
    """Least distance between the middles of two LEDs."""
    known: dict[float, frozenset[float]] = field(default_factory=dict)
    """Lines asked for so far."""

    def is_free(self, site: Spot) -> bool:
        """Tell whether one LED fits at a place on the grid."""
        x, y = site
        if y not in self.known:
            self.known[y] = self.free_row(y)
        return x in self.known[y]

    def holds(self, sites: Sequence[Spot]) -> bool:
        """Tell whether LEDs fit at all places together."""
        return all(self.is_free(site) for site in sites) and all(
            hypot(x - other_x, y - other_y) >= self.pitch_mm - 1e-9
            for number, (x, y) in enumerate(sites)
            for other_x, other_y in sites[:number]
        )

    def middle(self) -> Spot:
        """Give the middle of the clear space's bounds, on the grid."""
        left, bottom, right, top = self.bounds
        return snapped((left + right) / 2.0), snapped((bottom + top) / 2.0)


def nearest_free(base: Floor, *, spot: Spot) -> Spot:
    """Give the place on the grid nearest to a spot where one LED fits; the spot when none does."""
    _, bottom, _, top = base.bounds
    rows = [row * SNAP_MM for row in range(ceil(bottom / SNAP_MM), floor(top / SNAP_MM) + 1)]
    best: tuple[float, Spot] | None = None
    for y in sorted(rows, key=lambda row: abs(row - spot[1])):
        if best is not None and abs(y - spot[1]) >= best[0]:
            break
        for x in base.free_row(y):
            far = hypot(x - spot[0], y - spot[1])
            if best is None or (far, (x, y)) < best:
                best = far, (x, y)
    return spot if best is None else best[1]


def _lines(low: float, high: float, *, middle: float, pitch: float) -> list[float]:
    """Lines a pitch apart, one of them in the middle."""
    first, last = ceil((low - middle) / pitch), floor((high - middle) / pitch)
    return [middle + step * pitch for step in range(first, last + 1)]


WIDER = 1.04
"""Each next grid that is tried is wider by this factor, or by half a millimetre."""


def candidates(base: Floor, *, most: int) -> tuple[tuple[Spot, ...], float]:
    """Spread places over the floor, as close as their number allows.

    Parameters
    ----------
    base
        The floor.
    most
        Places at most.

    Returns
    -------
    tuple
        The places, row by row from the lowest, and the pitch of the grid they stand on. [mm]
    """
    left, bottom, right, top = base.bounds
    x, y = base.middle()
    pitch = max(ceil(base.pitch_mm / SNAP_MM) * SNAP_MM, SNAP_MM)
    while True:
        across, up = (
            _lines(low, high, middle=middle, pitch=pitch)
            for low, high, middle in ((left, right, x), (bottom, top, y))
        )
        if len(across) * len(up) <= 2 * most:
            sites = tuple((a, b) for b in up for a in across if base.is_free((a, b)))
            if len(sites) <= most:
                return sites, pitch
        pitch = max(pitch + SNAP_MM, snapped(WIDER * pitch))


def even_rows(base: Floor, *, rows: int, columns: int) -> tuple[Spot, ...] | None:
    """Divide the bounds into equal fields with an LED in the middle of each.

    Returns
    -------
    tuple or None
        Row by row from the lowest; None where they do not fit.
    """
    left, bottom, right, top = base.bounds
    x, y = base.middle()
    apart, above = (right - left) / columns, (top - bottom) / rows
    sites = tuple(
        (
            snapped(x + (column - (columns - 1) / 2.0) * apart),
            snapped(y + (row - (rows - 1) / 2.0) * above),
        )
        for row in range(rows)
        for column in range(columns)
    )
    return sites if base.holds(sites) else None


RING_REACH = 0.6
"""Semi-axes of a ring of LEDs over half the width and height of the clear space: the ring that
halves a disc's area lies at 0.7, and the walls throw light back."""


def ring(base: Floor, *, count: int) -> tuple[Spot, ...] | None:
    """Set LEDs on an ellipse in the middle, the first uppermost; None where they do not fit."""
    left, bottom, right, top = base.bounds
    x, y = base.middle()
    wide, high = RING_REACH * (right - left) / 2.0, RING_REACH * (top - bottom) / 2.0
    turns = [2.0 * pi * number / count for number in range(count)]
    sites = tuple((snapped(x + wide * sin(turn)), snapped(y + high * cos(turn))) for turn in turns)
    return sites if base.holds(sites) else None


def even_starts(base: Floor, *, count: int) -> tuple[tuple[Spot, ...], ...]:
    """List even layouts of a number of LEDs: rows, squarest fields first, and a ring."""
    left, bottom, right, top = base.bounds

    def squareness(rows: int) -> float:
        ratio = (right - left) / (count // rows) / ((top - bottom) / rows)
        return max(ratio, 1.0 / ratio)

    splits = sorted((n for n in range(1, count + 1) if count % n == 0), key=squareness)
    made = [even_rows(base, rows=rows, columns=count // rows) for rows in splits]
    if count > 2:
        made.append(ring(base, count=count))
    return tuple(sites for sites in made if sites)
