"""Currents of their own for lamps that stay where they are, by linear programmes.

The first programme keeps the darkest and the brightest spot as far within what is wanted as can be,
at the middle of the class. The second keeps what was wanted and draws the fluxes as near to one
another as it can, because lamps of one current can share strings and resistors.
"""

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.wishes import Aims, FluxSpan

Floats = NDArray[np.float64]

LOOSE = 1e-9
"""What the second programme may give away of the first one's answer, relative to the means."""


def own_fluxes(aims: Aims, *, light: Floats, span: FluxSpan, spare: float) -> Floats | None:
    """Choose the flux of every lamp.

    Parameters
    ----------
    aims
        The wishes, over M spots.
    light
        (S, M) luminance of every spot for each lamp at 1 lm. [cd/m2].
    span
        What one lamp can give.
    spare
        Share of the mean by which every spot should stand within what is wanted.

    Returns
    -------
    Floats or None
        (S,) [lm]; None where no fluxes within the span bring every opening into its class. The
        evenness falls short where nothing reaches it.
    """
    from scipy.optimize import linprog

    count = len(light)
    mean = aims.share @ light.T
    ground = aims.ground_mean()
    target = np.array([sqrt(wish.least_cd_m2 * wish.most_cd_m2) for wish in aims.wishes])
    # Unknowns: fluxes, and the slack of the worst spot in means (later: least and most flux).
    dark, classes, limits, given = [], [], [], []
    for number, (wish, part) in enumerate(zip(aims.wishes, aims.spots, strict=True)):
        spots, level = light[:, part].T, mean[[number]]
        dark.append((wish.evenness * level - spots) / target[number])
        dark.append((wish.evenness * spots - level) / target[number])
        there = aims.ground_cd_m2[part]
        given.append((wish.evenness * ground[number] - there) / target[number])
        given.append((wish.evenness * there - ground[number]) / target[number])
        classes += [-mean[number], mean[number]]
        limits += [ground[number] - wish.least_cd_m2, wish.most_cd_m2 - ground[number]]
    shortfall, within, spare_given = np.concatenate(dark), np.array(classes), np.concatenate(given)
    bounds = [(span.least_lm, span.most_lm)] * count
    # One opening is held at the middle of its class, or the slack would grow with the light.
    first = linprog(
        np.append(np.zeros(count), -1.0),
        A_ub=np.block(
            [
                [shortfall, np.ones((len(shortfall), 1))],
                [within, np.zeros((len(within), 1))],
            ]
        ),
        b_ub=np.concatenate([-spare_given, limits]),
        A_eq=np.append(mean[0] / target[0], 0.0)[None],
        b_eq=[_reachable(mean[0], target=float(target[0] - ground[0]), span=span) / target[0]],
        bounds=[*bounds, (None, None)],
    )
    if first.x is None:
        return None
    slack = min(float(first.x[-1]) - LOOSE, spare)
    lower = np.hstack([-np.eye(count), np.ones((count, 1)), np.zeros((count, 1))])
    upper = np.hstack([np.eye(count), np.zeros((count, 1)), -np.ones((count, 1))])
    aside = np.zeros((len(shortfall), 2))
    second = linprog(
        np.concatenate([np.zeros(count), [-1.0, 1.0]]),
        A_ub=np.concatenate(
            [
                np.hstack([shortfall, aside]),
                np.hstack([within, np.zeros((len(within), 2))]),
                lower,
                upper,
            ]
        ),
        b_ub=np.concatenate([-slack - spare_given, limits, np.zeros(2 * count)]),
        A_eq=np.concatenate([mean[0] / target[0], [0.0, 0.0]])[None],
        b_eq=[_reachable(mean[0], target=float(target[0] - ground[0]), span=span) / target[0]],
        bounds=[*bounds, (None, None), (None, None)],
    )
    chosen = first.x[:-1] if second.x is None else second.x[:count]
    return np.asarray(chosen, dtype=np.float64)


def _reachable(mean: Floats, *, target: float, span: FluxSpan) -> float:
    """Give the luminance nearest to a target that the lamps can reach."""
    return min(max(target, span.least_lm * float(mean.sum())), span.most_lm * float(mean.sum()))
