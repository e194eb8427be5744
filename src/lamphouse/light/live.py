"""A light box kept solved: moving a lamp, changing a current or the room gives the new look at once.

For every spot of every opening one further balance, run backwards, gives the weight with which light
thrown back by each face shows at the spot. A lamp anywhere in the box then needs only its direct
light and one product. Pictures settle the forward balance again from where it last stood.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cavity import (
    CoarseBalance,
    Field,
    Interior,
    carried,
    coarse_balance,
    first_reflection,
    gathered,
    light_up,
    make_interior,
    settle,
    step_mm,
    thrown_back,
)
from lamphouse.light.cover import contains
from lamphouse.light.emitter import axis_of, intensity, place_of
from lamphouse.light.front import (
    LX_PER_LM_MM2,
    ORDER_TWO,
    SMALL_HOLE,
    Look,
    View,
    direct_luminance,
    gather,
    glimpsed,
    judged,
    make_view,
    sent_out,
    windows,
)
from lamphouse.light.scene import Box, Lamp, Rectangle
from lamphouse.light.sight import lit

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """How light thrown back by the faces shows at the spots of one opening."""

    fine: Floats
    """(S, N). [1/mm2 sr]."""
    coarse: Floats
    """(S, N) the same by the coarse mesh."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """A box with its solved operators; none depends on the lamps."""

    interior: Interior
    balance: CoarseBalance
    views: tuple[View, ...]
    weights: tuple[Weights, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """The glow of one opening, pixel by pixel."""

    luminance_cd_m2: Floats
    """(rows, columns), lowest y first; 0 outside the opening."""
    shown: Bools
    """(rows, columns) whether the pixel lies in the opening."""
    left_mm: float
    bottom_mm: float
    pixel_mm: float


def _weights(interior: Interior, *, balance: CoarseBalance, rows: Floats) -> Weights:
    """Run the balance backwards: ``u = rows / A + F R u``."""
    area = interior.area_mm2[:, None]
    seen = rows.T
    first = seen / area
    back = thrown_back(interior, illuminance=seen)
    # The coarse answer for the adjoint: 1 / A_c (1 - F R)^-T, spread and carried once.
    rest = balance.inverse.T @ gathered(interior, balance=balance, values=back)
    spread = (rest / balance.area_mm2[:, None])[interior.parent]
    coarse = first + carried(interior, sent=spread)
    fine = settle(interior, balance=balance, first=first, guess=coarse)
    return Weights(fine=np.ascontiguousarray(fine.T), coarse=np.ascontiguousarray(coarse.T))


def make_live(box: Box, *, step: float | None = None) -> Live:
    """Solve a sound box for every place of a lamp at once.

    Parameters
    ----------
    box
        Its lamps play no part.
    step
        Fine step. [mm]. None: chosen from depth and narrowest width.
    """
    fine = step_mm(box) if step is None else step
    interior = make_interior(box, step=fine)
    balance = coarse_balance(interior)
    views = tuple(
        make_view(interior, aperture=aperture, small_mm=SMALL_HOLE * fine)
        for aperture in box.apertures
    )
    return Live(
        interior=interior,
        balance=balance,
        views=views,
        weights=tuple(_weights(interior, balance=balance, rows=view.rows) for view in views),
    )


def response(live: Live, *, lamp: Lamp) -> tuple[tuple[Floats, Floats], ...]:
    """Luminance of every spot for a lamp at 1 lm, fine and coarse, for each opening. [1/mm2 sr]."""
    _, reflected = first_reflection(live.interior, lamp=lamp)
    answers = []
    for view, weights in zip(live.views, live.weights, strict=True):
        direct = direct_luminance(view, interior=live.interior, lamp=lamp)
        answers.append(
            (direct + weights.fine @ reflected, direct + weights.coarse @ reflected)
        )
    return tuple(answers)


def looks(
    live: Live,
    *,
    responses: Sequence[tuple[tuple[Floats, Floats], ...]],
    flux_lm: Sequence[float],
) -> tuple[Look, ...]:
    """Judge every opening from the responses of the lamps at their flux.

    A changed current needs nothing but this sum; a moved lamp needs its own response anew.
    """
    judgements = []
    for number, view in enumerate(live.views):
        fine, coarse = (
            sum(
                (flux * answer[number][mesh] for flux, answer in zip(flux_lm, responses, strict=True)),
                start=np.zeros(len(view.area_mm2)),
            )
            for mesh in (0, 1)
        )
        judgements.append(judged(view, fine=fine, coarse=coarse, closure=live.interior.closure))
    return tuple(judgements)
