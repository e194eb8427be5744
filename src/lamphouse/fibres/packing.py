"""Packs strands of one or several diameters into the smallest round bore.

Every start is relaxed as if the circles were soft, in a bore that is a little too small, then
drawn tight without overlaps. Starts are patches of the hexagonal lattice about several middles,
rings, and scattered ones from a fixed seed, so the same strands give the same packing everywhere.
"""

from collections.abc import Iterator
from functools import cache

import numpy as np

from lamphouse.fibres.equal_packings import SPOTS
from lamphouse.fibres.tightening import Floats, parted, radius_of, tightened
from lamphouse.record import Record
from lamphouse.shapes.circles_around import around

SEED = 20
SPREAD_STARTS = 24
FEW_STARTS = 4
"""Scattered starts for up to twenty equal circles, and for more or mixed ones."""
FIRST_STEPS = 3
PROMISING, ENOUGH = 1.05, 1.0005
"""A start this near to the best known radius is finished, and that near to it the last."""
MANY = 20
"""Up to so many equal circles the best radius is known."""
LARGE = 60
"""More circles than this start from patches of the lattice alone."""
MOST = 400
"""Strands of one bundle."""
_LATTICE_MIDDLES = ((0.0, 0.0), (0.5, 0.0), (0.5, 0.288675), (0.25, 0.144338))


class Packing(Record):
    """Circles in a circle about the origin."""

    diameters_mm: tuple[float, ...]
    spots_mm: tuple[tuple[float, float], ...]
    """Middles, in the order of the diameters."""
    bore_mm: float
    """Diameter of the least circle that holds them here."""


def overlap_mm(packing: Packing) -> float:
    """Greatest depth by which two circles overlap or one stands out of the bore. [mm]."""
    deepest = 0.0
    many = list(zip(packing.diameters_mm, packing.spots_mm, strict=True))
    for number, (wide, (x, y)) in enumerate(many):
        deepest = max(deepest, np.hypot(x, y) + (wide - packing.bore_mm) / 2.0)
        for other, (x2, y2) in many[:number]:
            deepest = max(deepest, (wide + other) / 2.0 - float(np.hypot(x - x2, y - y2)))
    return float(deepest)


@cache
def pack(diameters_mm: tuple[float, ...]) -> Packing:
    """Pack circles into the smallest circle found.

    Parameters
    ----------
    diameters_mm
        One to 400 diameters, positive. [mm]

    Returns
    -------
    Packing
        Within 0.5 percent of the best known bore for up to twenty equal circles
        [CIRCLE-PACKING]; larger and mixed ones are good, not proven best.

    Raises
    ------
    ValueError
        If there are none, too many, or one is not positive.
    """
    if not 0 < len(diameters_mm) <= MOST or not all(0.0 < each < np.inf for each in diameters_mm):
        unfit = f"one to {MOST} positive diameters, not {len(diameters_mm)}"
        raise ValueError(unfit)
    order = sorted(range(len(diameters_mm)), key=lambda index: (-diameters_mm[index], index))
    unit = max(diameters_mm) / 2.0
    radii = np.array([diameters_mm[index] / 2.0 for index in order]) / unit
    best = _best(tuple(radii.tolist()))
    # Rounding in the last place must not let two circles overlap.
    best = parted(best, radii=radii) * (1.0 + 1e-12)
    spots: list[tuple[float, float]] = [(0.0, 0.0)] * len(order)
    for index, (x, y) in zip(order, best.tolist(), strict=True):
        spots[index] = (x * unit, y * unit)
    return Packing(
        diameters_mm=diameters_mm,
        spots_mm=tuple(spots),
        bore_mm=2.0 * unit * radius_of(best, radii=radii) * (1.0 + 1e-12),
    )


@cache  # as many strands of another diameter are the same packing
def _best(relative: tuple[float, ...]) -> Floats:
    radii = np.array(relative)
    count = len(radii)
    if count == 1:
        return np.zeros((1, 2))
    if count <= MANY and radii.min() == radii.max():
        return np.array(SPOTS[count - 2])
    return searched(radii)


def searched(radii: Floats) -> Floats:
    """Search for the best packing of circles, the widest of radius 1.

    Parameters
    ----------
    radii
        Two or more, from wide to narrow.
    """
    count = len(radii)
    known = _known(radii)
    found = []
    for start in _starts(radii):
        loose = _relaxed(start, radii=radii) if count <= LARGE else start
        try:
            loose = parted(loose, radii=radii)
        except ValueError:
            continue
        # The first steps tell which starts are worth the rest.
        begun = tightened(loose, radii=radii, most_steps=FIRST_STEPS)
        if known and radius_of(begun, radii=radii) < PROMISING * known:
            done = tightened(begun, radii=radii)
            if radius_of(done, radii=radii) < ENOUGH * known:
                return done
            begun = done
        found.append(begun)
    found.sort(key=lambda spots: radius_of(spots, radii=radii))
    finished = [tightened(spots, radii=radii) for spots in found[: 2 if count <= LARGE else 1]]
    return min(finished, key=lambda spots: radius_of(spots, radii=radii))


def _known(radii: Floats) -> float | None:
    """Give the best known outer radius of up to twenty equal circles of radius 1."""
    is_known = len(radii) <= MANY and radii.min() == radii.max()
    return around(len(radii)) if is_known else None


def _starts(radii: Floats) -> Iterator[Floats]:
    count, mean = len(radii), float(np.sqrt((radii**2).mean()))
    chance = np.random.default_rng(SEED)
    for middle in _LATTICE_MIDDLES:
        spots = _lattice(count, middle=middle) * 2.0 * float(radii.max())
        # Thick strands stand in the middle, and once at the rim.
        yield spots
        if radii.min() < radii.max():
            yield spots[::-1].copy()
    if count > LARGE:
        return
    reach = mean * np.sqrt(count / 0.75)
    is_equal = count <= MANY and radii.min() == radii.max()
    for _ in range(min(SPREAD_STARTS, 2 * count) if is_equal else FEW_STARTS):
        away = reach * np.sqrt(chance.random(count))
        turn = 2.0 * np.pi * chance.random(count)
        yield np.stack((away * np.cos(turn), away * np.sin(turn)), axis=1)


def _lattice(count: int, *, middle: tuple[float, float]) -> Floats:
    """Give the places of a hexagonal lattice of pitch 1 about a middle, from there outwards."""
    side = int(np.sqrt(count)) + 4
    across, up = np.meshgrid(np.arange(-side, side + 1), np.arange(-side, side + 1))
    spots = np.stack((across + 0.5 * up, np.sqrt(0.75) * up), axis=-1).reshape(-1, 2)
    spots = spots - np.array(middle)
    away = np.round(np.hypot(*spots.T), 9)
    order = np.lexsort((np.arctan2(spots[:, 1], spots[:, 0]), away))
    return np.asarray(spots[order[:count]], dtype=np.float64)


def _relaxed(start: Floats, *, radii: Floats) -> Floats:
    """Let soft circles find room in a bore that is a little too small."""
    first, second = np.triu_indices(len(radii), 1)
    reach = radii[first] + radii[second]
    bore = float(np.sqrt((radii**2).sum() / 0.86))

    def pressed(flat: Floats) -> tuple[float, Floats]:
        spots = flat.reshape(-1, 2)
        between = spots[first] - spots[second]
        apart = np.maximum(np.hypot(between[:, 0], between[:, 1]), 1e-9)
        deep = np.maximum(reach - apart, 0.0)
        push = (deep / apart)[:, None] * between
        slope = np.zeros_like(spots)
        np.add.at(slope, first, -push)
        np.add.at(slope, second, push)
        away = np.maximum(np.hypot(spots[:, 0], spots[:, 1]), 1e-9)
        out = np.maximum(away + radii - bore, 0.0)
        slope += (out / away)[:, None] * spots
        return 0.5 * float((deep**2).sum() + (out**2).sum()), slope.ravel()

    from scipy.optimize import minimize

    solved = minimize(pressed, start.ravel(), jac=True, method="L-BFGS-B", options={"maxiter": 200})
    return np.asarray(solved.x.reshape(-1, 2))
