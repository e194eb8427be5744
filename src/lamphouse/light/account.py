"""Where the light of a box goes: what each face keeps and each opening lets out, by random walks.

Nothing in the walks makes the sum come out right, for each face is asked on its own; so the balance
with what the lamps emit is a proof of the walks and of the box's description.
"""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot, sqrt

import numpy as np

from lamphouse.light.arrays import lay_out, rings_of, wall_paints
from lamphouse.light.opening_spots import Cell, area_mm2, whole_cell
from lamphouse.light.scene import Box, Ring, Spot
from lamphouse.light.starts import Start, Starts, Upright, laid_out
from lamphouse.light.strips import bounds, strips_of
from lamphouse.light.walkable import Refusal, refused
from lamphouse.light.walkers import Walkers
from lamphouse.record import Record

BATCHES = 32
OUT = "out"


class Account(Record):
    """Where the light of a box goes, by walks from all its faces."""

    emitted_lm: float
    kept_lm: dict[str, float]
    """By ``back``, ``panel``, ``wall``, ``baffle``, ``sheet`` and ``opening``."""
    left_lm: float
    """Through the openings."""
    error_lm: float
    """Standard error of all that is kept or leaves."""

    @property
    def balance(self) -> float:
        """(kept + left - emitted) / emitted; 0 but for the walks' scatter."""
        return (sum(self.kept_lm.values()) + self.left_lm) / self.emitted_lm - 1.0


def account(box: Box, *, seed: int, walks: int, threads: int = 1) -> Account | Refusal:
    """Add up the light that every face keeps and every opening lets out.

    Nothing in the walks makes the sum come out right: each face is asked on its own.

    Parameters
    ----------
    box
        The box.
    seed
        Any whole number from 0.
    walks
        From each face, spread over batches.
    threads
        How many share the work.
    """
    refusal = refused(box)
    if refusal is not None:
        return refusal
    faces = [*_level_faces(box), *_upright_faces(box)]
    starts = _starts(faces)
    each = max(1, walks // BATCHES)
    with Walkers(lay_out(box), seed=seed, threads=threads) as walkers:
        found = np.array(
            [
                walkers.batch(starts, number=number, each=each) * starts.area_mm2
                for number in range(BATCHES)
            ]
        )
    kept: dict[str, float] = {}
    for face, flux in zip(faces, found.mean(axis=0).tolist(), strict=True):
        kept[face.name] = kept.get(face.name, 0.0) + flux
    left = kept.pop(OUT, 0.0)
    return Account(
        emitted_lm=sum(lamp.flux_lm for lamp in box.lamps),
        kept_lm=kept,
        left_lm=left,
        error_lm=float(found.sum(axis=1).std(ddof=1)) / sqrt(BATCHES),
    )


class _Face(Record):
    """A face of the box; its worth is the share of its light that it keeps or lets out."""

    name: str
    cell: Cell | Upright
    height_mm: float
    normal: tuple[float, float, float]
    worth: float
    cavity: int
    is_bare: bool = False
    wall: int = -1

    @property
    def area_mm2(self) -> float:
        if isinstance(self.cell, Upright):
            return hypot(*self.cell.step_mm) * self.cell.height_mm
        return area_mm2(self.cell)


def _level_faces(box: Box) -> Iterator[_Face]:
    sheet, depth, top = box.sheet, box.depth_mm, int(box.sheet is not None)
    plan = strips_of((box.outline, *box.holes), window=bounds(box.outline))
    up, down = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)

    def face(
        name: str,
        cell: Cell,
        *,
        height: float,
        normal: tuple[float, float, float],
        worth: float,
        cavity: int,
        is_bare: bool = False,
    ) -> _Face:
        return _Face(
            name=name,
            cell=cell,
            height_mm=height,
            normal=normal,
            worth=worth,
            cavity=cavity,
            is_bare=is_bare,
        )

    yield face("back", plan, height=0.0, normal=up, worth=1.0 - box.back_reflectance, cavity=0)
    yield face(
        "panel",
        plan,
        height=depth,
        normal=down,
        worth=1.0 - box.panel_reflectance,
        cavity=top,
        is_bare=True,
    )
    if sheet is not None:
        kept, height = 1.0 - sheet.transmittance - sheet.reflectance, sheet.height_mm
        yield face("sheet", plan, height=height, normal=down, worth=kept, cavity=0)
        yield face("sheet", plan, height=height, normal=up, worth=kept, cavity=1)
    for aperture in box.apertures:
        fill, cell = aperture.fill, whole_cell(aperture)
        passed, thrown = (1.0, 0.0) if fill is None else (fill.transmittance, fill.reflectance)
        for name, worth in ((OUT, passed), ("opening", 1.0 - passed - thrown)):
            yield face(name, cell, height=depth, normal=down, worth=worth, cavity=top)


def _runs_anticlockwise(ring: Ring) -> bool:
    corner = np.array(ring)
    after = np.roll(corner, -1, axis=0)
    return float((corner[:, 0] * after[:, 1] - corner[:, 1] * after[:, 0]).sum()) > 0.0


class _Side(Record):
    """One side of a wall or baffle."""

    name: str
    start: Spot
    end: Spot
    low: float
    high: float
    left: bool
    """Whether it is the side on the left on the way from start to end."""
    kept: float
    wall: int


def _sides(box: Box) -> Iterator[_Side]:
    number, paints = 0, iter(wall_paints(box))
    for place, ring in enumerate(rings_of(box)):
        left = (place == 0) == _runs_anticlockwise(ring)
        for start, end in zip(ring, (*ring[1:], ring[0]), strict=True):
            kept, high = 1.0 - next(paints), box.depth_mm
            yield _Side(
                name="wall",
                start=start,
                end=end,
                low=0.0,
                high=high,
                left=left,
                kept=kept,
                wall=number,
            )
            number += 1
    for baffle in box.baffles:
        for left in (True, False):
            yield _Side(
                name="baffle",
                start=baffle.start_mm,
                end=baffle.end_mm,
                low=baffle.low_mm,
                high=baffle.high_mm,
                left=left,
                kept=1.0 - baffle.reflectance,
                wall=number,
            )
        number += 1


def _upright_faces(box: Box) -> Iterator[_Face]:
    levels = (0.0, *(() if box.sheet is None else (box.sheet.height_mm,)), box.depth_mm)
    for side in _sides(box):
        step = (side.end[0] - side.start[0], side.end[1] - side.start[1])
        scale = (1.0 if side.left else -1.0) / hypot(*step)
        for cavity, (floor, ceiling) in enumerate(pairwise(levels)):
            low, high = max(side.low, floor), min(side.high, ceiling)
            if high > low:
                yield _Face(
                    name=side.name,
                    cell=Upright(
                        start_mm=side.start, step_mm=step, low_mm=low, height_mm=high - low
                    ),
                    height_mm=low,
                    normal=(-scale * step[1], scale * step[0], 0.0),
                    worth=side.kept,
                    cavity=cavity,
                    wall=side.wall,
                )


def _starts(faces: list[_Face]) -> Starts:
    patches = [
        Start(
            cell=face.cell,
            owner=owner,
            height_mm=face.height_mm,
            normal=face.normal,
            cavity=face.cavity,
            worth=face.worth,
            is_bare=face.is_bare,
            wall=face.wall,
        )
        for owner, face in enumerate(faces)
    ]
    return laid_out(patches, area_mm2=[face.area_mm2 for face in faces], first_stream=0)
