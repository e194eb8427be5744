"""What is wanted of the openings of a box, and how near lamps of equal flux come to it.

Terminology
-----------
class
    The span of luminance a wish allows.
fit
    How near a set of lamps comes to every wish: 1 or more when all are met at some flux. It is the
    smallest ratio of evenness to the wanted one, or of the hot spot allowed to the hot spot there
    is; less where no single flux brings all openings into their classes.
hot spot
    Largest over mean; allowed up to one over the wanted evenness, as the rules of uneven openings
    have it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is wanted of one opening."""

    opening: str
    """Name of the aperture."""
    least_cd_m2: float
    most_cd_m2: float
    """The class."""
    evenness: float
    """Wanted smallest over mean, above 0 and at most 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FluxSpan:
    """The flux one lamp can give within its range of currents. [lm]."""

    least_lm: float
    most_lm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Aims:
    """Wishes laid out over the spots of their openings, one opening after the other."""

    wishes: tuple[Wish, ...]
    spots: tuple[slice, ...]
    """Of each wish, its part of the M spots."""
    share: Floats
    """(K, M) share of its opening's area each spot has; 0 outside it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a set of lamps stands to the wishes."""

    mean: Floats
    """(..., K) mean luminance of each opening. [cd/m2 per lm of each lamp]."""
    fit: Floats
    """(...)."""


def lay_out(wishes: Sequence[Wish], *, areas_mm2: Sequence[Floats]) -> Aims:
    """Lay wishes out over their openings' spots.

    Parameters
    ----------
    wishes
        At least one.
    areas_mm2
        Of each wish's opening, the areas of its spots.
    """
    ends = np.cumsum([len(area) for area in areas_mm2])
    spots = tuple(
        slice(int(end) - len(area), int(end)) for end, area in zip(ends, areas_mm2, strict=True)
    )
    share = np.zeros((len(wishes), int(ends[-1])))
    for row, part, area in zip(share, spots, areas_mm2, strict=True):
        row[part] = area / area.sum()
    return Aims(wishes=tuple(wishes), spots=spots, share=share)


def stand(aims: Aims, *, spots_cd_m2: Floats) -> Standing:
    """Judge the luminances (..., M) that lamps give together."""
    mean = spots_cd_m2 @ aims.share.T
    darkest, brightest = (
        np.stack([pick(spots_cd_m2[..., part], axis=-1) for part in aims.spots], axis=-1)
        for pick in (np.min, np.max)
    )
    wanted = np.array([wish.evenness for wish in aims.wishes])
    least = np.array([wish.least_cd_m2 for wish in aims.wishes])
    most = np.array([wish.most_cd_m2 for wish in aims.wishes])
    room = (most / mean).min(axis=-1) / (least / mean).max(axis=-1)
    even = np.minimum(darkest / mean, mean / brightest) / wanted
    return Standing(mean=mean, fit=even.min(axis=-1) * np.minimum(room, 1.0))


def flux_span(aims: Aims, *, mean: Floats, span: FluxSpan) -> tuple[float, float]:
    """Give the least and the most flux of each lamp that bring every opening into its class. [lm].

    Parameters
    ----------
    aims
        The wishes.
    mean
        (K,) mean luminance of each opening with every lamp at 1 lm.
    span
        What one lamp can give.

    Returns
    -------
    tuple
        The least is above the most where nothing does.
    """
    least = max(wish.least_cd_m2 / one for wish, one in zip(aims.wishes, mean, strict=True))
    most = min(wish.most_cd_m2 / one for wish, one in zip(aims.wishes, mean, strict=True))
    return max(float(least), span.least_lm), min(float(most), span.most_lm)


def middle_flux_lm(aims: Aims, *, mean: Floats, span: FluxSpan) -> float:
    """Choose the flux of each lamp: the geometric middle of the classes, as near as it can be.

    The eye judges ratios of luminance, so a class is halved by its geometric mean.
    """
    least = max(wish.least_cd_m2 / one for wish, one in zip(aims.wishes, mean, strict=True))
    most = min(wish.most_cd_m2 / one for wish, one in zip(aims.wishes, mean, strict=True))
    return min(max(sqrt(float(least * most)), span.least_lm), span.most_lm)
