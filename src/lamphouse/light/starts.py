"""Patches that walks start from, laid out as plain rows.

A patch is a part of an opening as the eye sees it along the panel's normal, or a face of the box.
What the walks find there counts by the patch's worth: for a diffuser ``tau / pi``, so that the
answer is a luminance; for a face the share of light it keeps, so that it is a flux per area.
"""

from collections.abc import Iterator, Sequence
from math import pi, radians

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.opening_spots import Cell, Sector, area_mm2, spot_cells
from lamphouse.light.scene import Aperture, Box, Diffuser, Haze
from lamphouse.light.strips import strip_areas
from lamphouse.record import Record

Floats = NDArray[np.float64]

LEVEL, POLAR, UPRIGHT = 0.0, 1.0, 2.0
"""Kinds of patches."""

COLUMNS = 20
MOST_PATCHES = 256
"""Patches of one opening at most; each has a stream of random numbers of its own."""


class Upright(Record):
    """A part of a wall or baffle."""

    start_mm: tuple[float, float]
    step_mm: tuple[float, float]
    low_mm: float
    height_mm: float


class Bend(Record):
    """How a hazy sheet sends light along its normal, by the angle at which it comes."""

    even: float
    """From any angle. [1/sr]."""
    lobe: float
    """From the normal itself, in the Gaussian; elsewhere the Gaussian over the angle's cosine, so
    that the way back is as likely as the way there. [1/sr]."""
    wide_rad: float
    """Standard deviation of the Gaussian."""
    even_chance: float
    """Share of the walks that leave as from an even sheet."""


STRAIGHT = Bend(even=0.0, lobe=0.0, wide_rad=1.0, even_chance=0.0)
"""No haze."""


class Start(Record):
    """One patch."""

    cell: Cell | Upright
    owner: int
    """Number of the spot or face it belongs to; what the patches of one owner find adds up."""
    height_mm: float
    """Of a level patch."""
    normal: tuple[float, float, float]
    cavity: int
    worth: float
    is_bare: bool = False
    """Whether openings within it count nothing."""
    bend: Bend = STRAIGHT
    wall: int = -1
    """Number of the wall it is on."""


class Starts(Record):
    """Patches laid out for the walks."""

    rows: Floats
    """(P, 20) one patch each: kind, height, normal, cavity, worth, bare, six numbers of the shape,
    four of the bend, wall, and the number of its random stream."""
    strips: Floats
    """(T, 7) running share of the area within a level patch, then its strips."""
    owner: NDArray[np.int64]
    """(P,)."""
    area_mm2: Floats
    """(S,) of every owner."""


def laid_out(patches: Sequence[Start], *, area_mm2: Sequence[float], first_stream: int) -> Starts:
    """Lay out patches whose random streams are numbered from ``first_stream``."""
    rows, strips, laid = [], [np.zeros((0, 7))], 0
    for number, patch in enumerate(patches):
        cell = patch.cell
        shape: tuple[float, ...]
        if isinstance(cell, Sector):
            kind = POLAR
            shape = (*cell.middle_mm, cell.inner_mm, cell.outer_mm, cell.start_rad, cell.end_rad)
        elif isinstance(cell, Upright):
            kind = UPRIGHT
            shape = (*cell.start_mm, *cell.step_mm, cell.low_mm, cell.height_mm)
        else:
            kind, area = LEVEL, strip_areas(cell)
            strips.append(np.column_stack([np.cumsum(area) / area.sum(), cell]))
            shape = (laid, laid + len(cell), 0.0, 0.0, 0.0, 0.0)
            laid += len(cell)
        head = (kind, patch.height_mm, *patch.normal, patch.cavity, patch.worth, patch.is_bare)
        bend = (patch.bend.even, patch.bend.lobe, patch.bend.wide_rad, patch.bend.even_chance)
        rows.append((*head, *shape, *bend, patch.wall, first_stream + number))
    return Starts(
        rows=np.array(rows, dtype=np.float64).reshape(-1, COLUMNS),
        strips=np.concatenate(strips),
        owner=np.array([patch.owner for patch in patches], dtype=np.int64),
        area_mm2=np.array(area_mm2, dtype=np.float64),
    )


def _bend(haze: Haze) -> Bend:
    """Scale the Gaussian so that over all directions below the sheet it adds up to its share."""
    wide = radians(haze.lobe_deg)
    angle = np.linspace(0.0, pi / 2.0, 20_001)
    bell = np.exp(-0.5 * (angle / wide) ** 2) * np.sin(angle)
    return Bend(
        even=haze.diffuse / pi,
        lobe=haze.lobe / (2.0 * pi * float(np.trapezoid(bell, angle))),
        wide_rad=wide,
        even_chance=haze.diffuse / (haze.diffuse + haze.lobe),
    )


def _through(fill: Diffuser, *, cell: Cell, owner: int, box: Box) -> Start:
    """See the light that lands on a diffuser's inner face."""
    haze = fill.haze
    worth, bend = fill.transmittance / pi, STRAIGHT
    if haze is not None:
        worth *= haze.diffuse
        if haze.lobe > 0.0:
            worth, bend = fill.transmittance, _bend(haze)
    return Start(
        cell=cell,
        owner=owner,
        height_mm=box.depth_mm,
        normal=(0.0, 0.0, -1.0),
        cavity=0 if box.sheet is None else 1,
        worth=worth,
        bend=bend,
    )


def _below(cell: Cell, *, owner: int, box: Box, share: float) -> Iterator[Start]:
    """See what is straight below: the back, or both faces of the inner sheet."""
    if box.sheet is None:
        seen = [(0.0, 1.0, 0, box.back_reflectance)]
    else:
        height = box.sheet.height_mm
        seen = [
            (height, 1.0, 1, box.sheet.reflectance),
            (height, -1.0, 0, box.sheet.transmittance),
        ]
    for height, up, cavity, part in seen:
        yield Start(
            cell=cell,
            owner=owner,
            height_mm=height,
            normal=(0.0, 0.0, up),
            cavity=cavity,
            worth=share * part / pi,
        )


def _seen(aperture: Aperture, *, cell: Cell, owner: int, box: Box) -> Iterator[Start]:
    fill = aperture.fill
    straight = 1.0
    if fill is not None:
        yield _through(fill, cell=cell, owner=owner, box=box)
        straight = 0.0 if fill.haze is None else fill.transmittance * fill.haze.straight
    if straight > 0.0:
        yield from _below(cell, owner=owner, box=box, share=straight)


def opening_starts(box: Box, *, number: int, small_mm: float) -> Starts:
    """Lay out the spots of an opening as the eye sees them along the panel's normal.

    Parameters
    ----------
    box
        The box.
    number
        Which of its openings.
    small_mm
        A disc up to this diameter is one spot.
    """
    aperture = box.apertures[number]
    cells = spot_cells(aperture, small_mm=small_mm)
    patches = [
        start
        for owner, cell in enumerate(cells)
        for start in _seen(aperture, cell=cell, owner=owner, box=box)
    ]
    areas = [area_mm2(cell) for cell in cells]
    return laid_out(patches, area_mm2=areas, first_stream=number * MOST_PATCHES)
