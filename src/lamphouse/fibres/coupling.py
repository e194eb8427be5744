"""Light from a bright face across a gap into the cores of strands, by overlap in phase space.

Every point of a core collects the directions within the fibre's acceptance cone; those that come
from the face carry its luminance. The flux is the integral of luminance over core area and
projected solid angle: what a ray tracer estimates by chance is summed here.
"""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.fibres.apparent_source import ApparentSource

Floats = NDArray[np.float64]

CORE_POINTS = 400
SEARCH_POINTS = 48
"""Points of a core, for an answer and while gaps are searched."""
SLOPES = 32
TURNS = 64
"""Cones about each point, and directions around each cone where the face is square."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(SLOPES)


def launched_lm(
    source: ApparentSource,
    *,
    spots_mm: Sequence[tuple[float, float]],
    cores_mm: Sequence[float],
    apertures: Sequence[float],
    gap_mm: float,
    points: int = CORE_POINTS,
) -> tuple[float, ...]:
    """Flux that enters the acceptance cone of each core, before its face reflects any. [lm].

    Parameters
    ----------
    source
        The face, at the origin.
    spots_mm, cores_mm, apertures
        Middle, core diameter and numerical aperture of each strand; all ends in one plane.
    gap_mm
        From the face to the ends, in air.
    points
        At which each core is looked at.

    Notes
    -----
    Rays are taken as in a meridional plane, as the numerical aperture is. Light that the bore
    reflects is left out: paint it black, or the figure is on the safe side.
    """
    sines2 = np.array(apertures)[:, None, None] ** 2 * (_NODES + 1.0)[None, None, :] / 2.0
    weight = np.array(apertures)[:, None, None] ** 2 * _WEIGHTS[None, None, :] / 2.0
    cosines = np.sqrt(1.0 - sines2)
    away = gap_mm * np.sqrt(sines2) / cosines
    disc = _disc(points)
    places = np.array(spots_mm)[:, None, :] + disc[None] * np.array(cores_mm)[:, None, None] / 2.0
    # integral of L cos(theta) d(omega) = pi L0 times that of cos^(m - 1) over the squared sine
    share = weight * cosines ** (source.power - 1.0)
    gathered = pi * np.array(
        [  # strand by strand: what one needs stays in the processor's cache
            (one * _seen(source, points=ends, away=np.broadcast_to(far, (points, SLOPES))))
            .sum(axis=1)
            .mean()
            for one, ends, far in zip(share, places, away, strict=True)
        ]
    )
    area_m2 = pi / 4.0 * (np.array(cores_mm) * 1e-3) ** 2
    return tuple((source.axis_cd_m2 * gathered * area_m2).tolist())


def _disc(count: int) -> Floats:
    """Spread points evenly over the unit disc, by the golden angle."""
    place = np.arange(count) + 0.5
    away, turn = np.sqrt(place / count), place * pi * (3.0 - np.sqrt(5.0))
    return np.stack((away * np.cos(turn), away * np.sin(turn)), axis=1)


def _seen(source: ApparentSource, *, points: Floats, away: Floats) -> Floats:
    """Share of each cone about a point that meets the face: circles around it, (P, S)."""
    if source.is_round:
        middle = np.hypot(points[..., 0], points[..., 1])[..., None]
        return _share_in_disc(middle, away=away, radius=source.width_mm / 2.0)
    turn = 2.0 * pi * (np.arange(TURNS) + 0.5) / TURNS
    seen = np.zeros_like(away)
    for angle in turn:
        across = np.abs(points[..., 0, None] + away * np.cos(angle)) <= source.width_mm / 2.0
        up = np.abs(points[..., 1, None] + away * np.sin(angle)) <= source.height_mm / 2.0
        seen += across & up
    return seen / TURNS


def _share_in_disc(middle: Floats, *, away: Floats, radius: float) -> Floats:
    """Share of a circle that lies in a disc about the origin, exactly."""
    product = 2.0 * middle * away
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = (middle**2 + away**2 - radius**2) / product
    whole = np.where(middle**2 + away**2 <= radius**2, 1.0, 0.0)
    part = np.arccos(np.clip(np.where(product > 0.0, cosine, 0.0), -1.0, 1.0)) / pi
    return np.where(product > 0.0, part, whole)
