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

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]

LEAST_PART = 1e-3
"""Part of the most flux that counts as the least where other boxes give enough by themselves."""


class Wish(Record):
    """What is wanted of one opening."""

    opening: str
    """Name of the aperture."""
    least_cd_m2: float
    most_cd_m2: float
    """The class."""
    evenness: float
    """Wanted smallest over mean, above 0 and at most 1."""


class FluxSpan(Record):
    """The flux one lamp can give within its range of currents. [lm]."""

    least_lm: float
    most_lm: float


class Aims(Record):
    """Wishes laid out over the spots of their openings, one opening after the other."""

    wishes: tuple[Wish, ...]
    spots: tuple[slice, ...]
    """Of each wish, its part of the M spots."""
    share: Floats
    """(K, M) share of its opening's area each spot has; 0 outside it."""
    ground_cd_m2: Floats
    """(M,) what the spots show without the lamps: light from boxes that share openings; else 0."""

    def ground_mean(self) -> Floats:
        """Mean of that over each opening, (K,). [cd/m2]."""
        return np.asarray(self.share @ self.ground_cd_m2)


class Standing(Record):
    """How a set of lamps stands to the wishes."""

    mean: Floats
    """(..., K) mean luminance of each opening. [cd/m2 per lm of each lamp]."""
    fit: Floats
    """(...)."""


def lay_out(
    wishes: Sequence[Wish],
    *,
    areas_mm2: Sequence[Floats],
    ground_cd_m2: Sequence[Floats] | None = None,
) -> Aims:
    """Lay wishes out over their openings' spots.

    Parameters
    ----------
    wishes
        At least one.
    areas_mm2
        Of each wish's opening, the areas of its spots.
    ground_cd_m2
        What they show without the lamps; None: nothing.
    """
    ends = np.cumsum([len(area) for area in areas_mm2])
    spots = tuple(
        slice(int(end) - len(area), int(end)) for end, area in zip(ends, areas_mm2, strict=True)
    )
    share = np.zeros((len(wishes), int(ends[-1])))
    for row, part, area in zip(share, spots, areas_mm2, strict=True):
        row[part] = area / area.sum()
    ground = np.zeros(share.shape[1]) if ground_cd_m2 is None else np.concatenate(ground_cd_m2)
    return Aims(wishes=tuple(wishes), spots=spots, share=share, ground_cd_m2=ground)


def _reach(aims: Aims, *, mean: Floats) -> tuple[Floats, Floats]:
    """Flux of each lamp from which every opening is in its class, and up to which, (...). [lm].

    Where the light of other boxes is enough by itself the first is not above 0; where it is too
    much the second is not.
    """
    ground = aims.ground_mean()
    least = np.array([wish.least_cd_m2 for wish in aims.wishes]) - ground
    most = np.array([wish.most_cd_m2 for wish in aims.wishes]) - ground
    return (least / mean).max(axis=-1), (most / mean).min(axis=-1)


def _middle(least: Floats, most: Floats) -> Floats:
    """Give the geometric middle of two fluxes, the first not below a small part of the second."""
    high = np.maximum(most, 0.0)
    return np.asarray(np.sqrt(np.maximum(least, LEAST_PART * high) * high))


def stand(aims: Aims, *, spots_cd_m2: Floats) -> Standing:
    """Judge the luminances (..., M) that lamps of 1 lm give together.

    Where other boxes add theirs, the lamps are judged at the middle of the classes.
    """
    mean = spots_cd_m2 @ aims.share.T
    lowest, highest = _reach(aims, mean=mean)
    room = np.maximum(highest, 0.0) / np.maximum(lowest, LEAST_PART * np.maximum(highest, 1e-300))
    spots, level = spots_cd_m2, mean
    if aims.ground_cd_m2.any():
        flux = _middle(lowest, highest)[..., None]
        spots = flux * spots_cd_m2 + aims.ground_cd_m2
        level = flux * mean + aims.ground_mean()
    darkest, brightest = (
        np.stack([pick(spots[..., part], axis=-1) for part in aims.spots], axis=-1)
        for pick in (np.min, np.max)
    )
    wanted = np.array([wish.evenness for wish in aims.wishes])
    even = np.minimum(darkest / level, level / brightest) / wanted
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
    least, most = _reach(aims, mean=mean)
    return max(float(least), span.least_lm), min(float(most), span.most_lm)


def middle_flux_lm(aims: Aims, *, mean: Floats, span: FluxSpan) -> float:
    """Choose the flux of each lamp: the geometric middle of the classes, as near as it can be.

    The eye judges ratios of luminance, so a class is halved by its geometric mean.
    """
    least, most = _reach(aims, mean=mean)
    return min(max(float(_middle(least, most)), span.least_lm), span.most_lm)
