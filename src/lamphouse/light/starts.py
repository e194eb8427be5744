"""Patches that walks start from: the spots of every opening, and all faces of the box.

A spot is one of the equal parts an opening is judged by: 8 x 6 over a rectangle, row by row from the
lower left; over a disc a middle of three and rings of 9, 15 and 21 sectors, all of equal area; over
a polygon six strips of equal area, each cut into eight. A disc can be one spot. Level shapes with
straight sides are cut into strips between heights, whose sides are straight.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, exp, hypot, pi, radians, sin

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Aperture, Box, Disc, Haze, Patch, Rectangle, Ring

Floats = NDArray[np.float64]
Strips = NDArray[np.float64]
"""(T, 6) y from and to, left and right at the lower end, left and right at the upper end."""

LEVEL, POLAR, UPRIGHT = 0.0, 1.0, 2.0
ACROSS, UP = 8, 6
RINGS = 4
COLUMNS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Starts:
    """Patches laid out for the walks."""

    rows: Floats
    """(P, 20) one patch each."""
    strips: Floats
    """(T, 7) running share of the area within the patch, then as :data:`Strips`."""
    owner: NDArray[np.int64]
    """(P,) number of the spot or face a patch belongs to; what its patches find adds up."""
    area_mm2: Floats
    """(S,) of every spot or face."""


class _Collector:
    """Gathers patches; the only place that knows their columns."""

    def __init__(self) -> None:
        self.rows: list[Floats] = []
        self.strips: list[Floats] = []
        self.owner: list[int] = []

    def add(
        self,
        cell: "Strips | Sector | Upright",
        *,
        owner: int,
        height_mm: float,
        normal: tuple[float, float, float],
        cavity: int,
        worth: float,
        bare: bool = False,
        haze: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 0.0),
        wall: int = -1,
    ) -> None:
        if isinstance(cell, Sector):
            kind, shape = POLAR, (*cell.middle, cell.inner, cell.outer, cell.start, cell.end)
        elif isinstance(cell, Upright):
            kind, shape = UPRIGHT, (*cell.start, *cell.step, cell.low, cell.height)
        else:
            area = strip_areas(cell)
            first = sum(len(part) for part in self.strips)
            self.strips.append(np.column_stack([np.cumsum(area) / area.sum(), cell]))
            kind, shape = LEVEL, (first, first + len(cell), 0.0, 0.0, 0.0, 0.0)
        number = len(self.rows)
        head = (kind, height_mm, *normal, cavity, worth, float(bare))
        self.rows.append(np.array([*head, *shape, *haze, wall, number], dtype=np.float64))
        self.owner.append(owner)

    def done(self, *, area_mm2: Sequence[float]) -> Starts:
        return Starts(
            rows=np.array(self.rows).reshape(-1, COLUMNS),
            strips=np.concatenate([*self.strips, np.zeros((0, 7))]),
            owner=np.array(self.owner, dtype=np.int64),
            area_mm2=np.array(area_mm2, dtype=np.float64),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sector:
    """A part of a disc between two radii and two angles [rad]."""

    middle: tuple[float, float]
    inner: float
    outer: float
    start: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Upright:
    """A part of a wall."""

    start: tuple[float, float]
    step: tuple[float, float]
    low: float
    height: float


def strip_areas(strips: Strips) -> Floats:
    """Areas of strips. [mm2]."""
    low, high, left, right, upper_left, upper_right = strips.T
    widths = (right - left) + (upper_right - upper_left)
    return np.asarray((high - low) * widths / 2.0)


def strips_of(rings: Sequence[Ring], *, window: tuple[float, float, float, float]) -> Strips:
    """Cut what rings enclose (a pillar within an outline counts as outside) inside a window.

    Parameters
    ----------
    rings
        Simple rings that do not cross.
    window
        Left, bottom, right and top.
    """
    left, bottom, right, top = window
    start = np.array([corner for ring in rings for corner in ring])
    end = np.array([corner for ring in rings for corner in (*ring[1:], ring[0])])
    heights = [bottom, top, *start[:, 1]]
    rise = end[:, 1] - start[:, 1]
    for x in (left, right):
        crossed = (start[:, 0] < x) != (end[:, 0] < x)
        part = (x - start[crossed, 0]) / (end[crossed, 0] - start[crossed, 0])
        heights.extend(start[crossed, 1] + part * rise[crossed])
    levels = np.unique(np.clip(heights, bottom, top))
    strips = []
    for low, high in zip(levels, levels[1:], strict=False):
        middle = (low + high) / 2.0
        if high - low < 1e-9:
            continue
        over = np.flatnonzero((start[:, 1] < middle) != (end[:, 1] < middle))
        at = [
            start[over, 0] + (y - start[over, 1]) / rise[over] * (end[over, 0] - start[over, 0])
            for y in (low, high)
        ]
        order = np.argsort(at[0] + at[1])
        low_x, high_x = (np.clip(x[order], left, right) for x in at)
        for one in range(0, len(order) - 1, 2):
            sides = (low_x[one], low_x[one + 1], high_x[one], high_x[one + 1])
            if sides[1] - sides[0] + sides[3] - sides[2] > 1e-12:
                strips.append((low, high, *sides))
    return np.array(strips).reshape(-1, 6)


def _cut(strips: Strips, *, parts: int) -> list[float]:
    """Heights between which strips have equal areas."""
    area = strip_areas(strips)
    levels = np.unique(strips[:, :2])
    below = np.array([area[strips[:, 1] <= level + 1e-12].sum() for level in levels])
    cuts = [float(levels[0])]
    for part in range(1, parts):
        wanted = below[-1] * part / parts
        at = int(np.searchsorted(below, wanted, side="right")) - 1
        low, high = levels[at], levels[at + 1]
        here = strips[(strips[:, 0] < high - 1e-12) & (strips[:, 1] > low + 1e-12)]
        lower = float((here[:, 3] - here[:, 2]).sum())
        upper = float((here[:, 5] - here[:, 4]).sum())
        share = (wanted - below[at]) / (below[at + 1] - below[at])
        root = np.sqrt(lower**2 + share * (upper**2 - lower**2))
        cuts.append(float(low + (high - low) * share * (lower + upper) / (lower + root)))
    return [*cuts, float(levels[-1])]


def _polygon_spots(ring: Ring) -> list[Strips]:
    corner = np.array(ring)
    (left, bottom), (right, top) = corner.min(axis=0).tolist(), corner.max(axis=0).tolist()
    rows = _cut(strips_of((ring,), window=(left, bottom, right, top)), parts=UP)
    turned = tuple((y, x) for x, y in ring)
    spots = []
    for low, high in zip(rows, rows[1:], strict=False):
        columns = _cut(strips_of((turned,), window=(low, left, high, right)), parts=ACROSS)
        spots.extend(
            strips_of((ring,), window=(start, low, end, high))
            for start, end in zip(columns, columns[1:], strict=False)
        )
    return spots


def _rectangle_spots(shape: Rectangle) -> list[Strips]:
    x = np.linspace(shape.left_mm, shape.right_mm, ACROSS + 1)
    y = np.linspace(shape.bottom_mm, shape.top_mm, UP + 1)
    return [
        np.array([(low, high, left, right, left, right)])
        for low, high in zip(y, y[1:], strict=False)
        for left, right in zip(x, x[1:], strict=False)
    ]


def _disc_spots(shape: Disc, *, whole: bool) -> list[Sector]:
    middle, radius = (shape.x_mm, shape.y_mm), shape.diameter_mm / 2.0
    if whole:
        return [Sector(middle=middle, inner=0.0, outer=radius, start=0.0, end=2.0 * pi)]
    return [
        Sector(
            middle=middle,
            inner=radius * ring / RINGS,
            outer=radius * (ring + 1) / RINGS,
            start=2.0 * pi * sector / (3 * (2 * ring + 1)),
            end=2.0 * pi * (sector + 1) / (3 * (2 * ring + 1)),
        )
        for ring in range(RINGS)
        for sector in range(3 * (2 * ring + 1))
    ]


def _spots(aperture: Aperture, *, whole: bool) -> tuple[Sequence[Strips | Sector], list[float]]:
    shape = aperture.shape
    if isinstance(shape, Disc):
        sectors = _disc_spots(shape, whole=whole)
        return sectors, [pi * shape.diameter_mm**2 / 4.0 / len(sectors)] * len(sectors)
    strips = (
        _polygon_spots(shape.ring) if isinstance(shape, Patch) else _rectangle_spots(shape)
    )
    return strips, [float(strip_areas(part).sum()) for part in strips]


def _lobe(haze: Haze) -> tuple[float, float, float, float]:
    """Even share [1/sr], lobe at its middle [1/sr], width [rad], chance of an even direction."""
    wide = radians(haze.lobe_deg)
    angle = np.linspace(0.0, pi, 20_001)
    bell = np.exp(-0.5 * (angle / wide) ** 2) * np.sin(angle)
    whole = 2.0 * pi * float(np.trapezoid(bell, angle))
    return haze.diffuse / pi, haze.lobe / whole, wide, haze.diffuse / (haze.diffuse + haze.lobe)


def opening_starts(box: Box, *, aperture: Aperture, whole: bool) -> Starts:
    """Lay out the spots of an opening as the eye sees them along the panel's normal.

    Parameters
    ----------
    box
        The box.
    aperture
        One of its openings.
    whole
        Whether a disc is one spot.
    """
    spots, areas = _spots(aperture, whole=whole)
    made, fill, top = _Collector(), aperture.fill, 0 if box.sheet is None else 1
    straight = 1.0
    for owner, spot in enumerate(spots):
        if fill is not None:
            haze = fill.haze
            straight = 0.0 if haze is None else fill.transmittance * haze.straight
            bends = haze is not None and haze.lobe > 0.0
            even = 1.0 if haze is None else haze.diffuse
            made.add(
                spot,
                owner=owner,
                height_mm=box.depth_mm,
                normal=(0.0, 0.0, -1.0),
                cavity=top,
                worth=fill.transmittance * (1.0 if bends else even / pi),
                haze=_lobe(haze) if haze is not None and bends else (0.0, 0.0, 1.0, 0.0),
            )
        if straight > 0.0:
            _look_down(made, spot=spot, owner=owner, box=box, share=straight / pi)
    return made.done(area_mm2=areas)


def _look_down(
    made: _Collector, *, spot: Strips | Sector, owner: int, box: Box, share: float
) -> None:
    """Add what is straight below a spot: the back, or both faces of the inner sheet."""
    if box.sheet is None:
        below = [(0.0, 1.0, 0, box.back_reflectance)]
    else:
        height = box.sheet.height_mm
        below = [
            (height, 1.0, 1, box.sheet.reflectance),
            (height, -1.0, 0, box.sheet.transmittance),
        ]
    for height, up, cavity, part in below:
        made.add(
            spot,
            owner=owner,
            height_mm=height,
            normal=(0.0, 0.0, up),
            cavity=cavity,
            worth=share * part,
        )


def face_starts(box: Box) -> tuple[Starts, tuple[str, ...]]:
    """Lay out every face of the box, worth what it keeps or lets out of the light it gets.

    Returns
    -------
    tuple[Starts, tuple[str, ...]]
        The faces; and what each is: ``back``, ``panel``, ``sheet``, ``wall``, ``baffle``, or
        ``opening`` for the share an opening keeps and ``out`` for what leaves through it.
    """
    made, names, areas = _Collector(), list[str](), list[float]()

    def add(name: str, cell: Strips | Sector | Upright, *, area: float, **given: object) -> None:
        made.add(cell, owner=len(names), **given)  # type: ignore[arg-type]
        names.append(name)
        areas.append(area)

    raise NotImplementedError
