"""The fewest lamps on a grid of places that meet the wishes, by an integer programme with a proof.

Every lamp has the same flux, so the luminances are sums of columns of unit responses, and every
wish is linear in the choice ``x`` of places: a spot is bright enough when ``a x >= evenness mean
x`` and not too bright when ``evenness a x <= mean x``; two openings reach their classes at one flux
when ``least_k mean_m x <= most_m mean_k x``. Where other boxes add light of their own, one over the
flux is a further unknown, in which all of this is linear too. What is proved holds for these
places, equal fluxes and these spots, and for nothing else.
"""

from math import ceil
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.wishes import Aims, FluxSpan
from lamphouse.record import Record

if TYPE_CHECKING:
    from scipy.optimize import LinearConstraint

Floats = NDArray[np.float64]

ROUNDING = 1e-6
"""What the programme may take a whole number off by."""


class Fewest(Record):
    """What the integer programme found."""

    chosen: tuple[int, ...]
    """Numbers of the chosen places; empty when none was found."""
    at_least: int
    """No choice with fewer lamps meets the wishes; one more than was allowed when none does."""


def _rows(aims: Aims, *, light: Floats) -> Floats:
    """Give the rows of ``rows @ x >= 0``, each scaled to about 1."""
    mean = light @ aims.share.T
    rows = []
    for number, (wish, part) in enumerate(zip(aims.wishes, aims.spots, strict=True)):
        scale = mean[:, number].max()
        rows.extend((light[:, part] - wish.evenness * mean[:, [number]]).T / scale)
        rows.extend((mean[:, [number]] - wish.evenness * light[:, part]).T / scale)
        for other, there in enumerate(aims.wishes):
            if other != number:
                row = there.most_cd_m2 * mean[:, number] - wish.least_cd_m2 * mean[:, other]
                rows.append(row / np.abs(row).max())
    return np.array(rows)


def _grounded_rows(aims: Aims, *, light: Floats) -> Floats:
    """Give the rows of ``rows @ (x, 1 / flux) >= 0`` where other boxes add their light."""
    every = np.concatenate([light, aims.ground_cd_m2[None]])
    mean = every @ aims.share.T
    rows: list[Floats] = []
    for number, (wish, part) in enumerate(zip(aims.wishes, aims.spots, strict=True)):
        spots, level = every[:, part], mean[:, [number]]
        rows.extend((spots - wish.evenness * level).T)
        rows.extend((level - wish.evenness * spots).T)
        for edge, sign in ((wish.least_cd_m2, 1.0), (wish.most_cd_m2, -1.0)):
            row = sign * mean[:, number]
            row[-1] -= sign * edge
            rows.append(row)
    return np.array([row / np.abs(row[:-1]).max() for row in rows])


def _limits(aims: Aims, *, light: Floats, span: FluxSpan) -> "list[LinearConstraint]":
    """Give the wishes as limits of ``x`` for a box that stands alone."""
    from scipy.optimize import LinearConstraint

    mean = light @ aims.share.T
    least = np.array([wish.least_cd_m2 for wish in aims.wishes])
    most = np.array([wish.most_cd_m2 for wish in aims.wishes])
    return [
        LinearConstraint(_rows(aims, light=light), 0.0, np.inf),
        LinearConstraint(mean.T * span.most_lm / least[:, None], 1.0, np.inf),
        LinearConstraint(mean.T * span.least_lm / most[:, None], -np.inf, 1.0),
    ]


def fewest(aims: Aims, *, light: Floats, span: FluxSpan, at_most: int, nodes: int) -> Fewest:
    """Find the fewest places whose lamps meet the wishes.

    Parameters
    ----------
    aims
        The wishes, over M spots.
    light
        (S, M) luminance of every spot for a lamp of 1 lm at each place. [cd/m2].
    span
        What one lamp can give.
    at_most
        Lamps at most.
    nodes
        Branches after which it gives up and tells what it knows; counted, not timed, so that the
        answer is the same on every machine.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    count, grounded = len(light), bool(aims.ground_cd_m2.any())
    if grounded:
        limits = [LinearConstraint(_grounded_rows(aims, light=light), 0.0, np.inf)]
    else:
        limits = _limits(aims, light=light, span=span)
    own = np.append(np.ones(count), [0.0] * grounded)
    outcome = milp(
        own,
        integrality=own,
        bounds=Bounds(
            np.append(np.zeros(count), [1.0 / span.most_lm] * grounded),
            np.append(np.ones(count), [1.0 / span.least_lm] * grounded),
        ),
        constraints=[*limits, LinearConstraint(own[None], 1.0, float(at_most))],
        options={"node_limit": nodes},
    )
    if outcome.x is not None:
        chosen = tuple(int(place) for place in np.flatnonzero(outcome.x[:count] > 0.5))
        bound = len(chosen) if outcome.status == 0 else ceil(outcome.mip_dual_bound - ROUNDING)
        return Fewest(chosen=chosen, at_least=bound)
    if outcome.status == 2:
        return Fewest(chosen=(), at_least=at_most + 1)
    bound = outcome.mip_dual_bound
    return Fewest(chosen=(), at_least=1 if bound is None else ceil(bound - ROUNDING))
