"""A light box kept solved: move a lamp, change a current, and the new look is there at once.

For every spot of every opening one further balance, run backwards, gives the weight with which
light thrown back by each face shows at the spot. A lamp anywhere in the box then needs only its
direct light and one product. Pictures are drawn from the forward balance.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.beams import Beam, add_direct, beam_of
from lamphouse.light.cavity import (
    CoarseBalance,
    carried,
    coarse_balance,
    gathered,
    settle,
    thrown_back,
)
from lamphouse.light.first_bounce import missed_of, vicinity
from lamphouse.light.front import Look, judged
from lamphouse.light.interior import Interior, first_reflection, make_interior
from lamphouse.light.landing import Landing, light_on, summed
from lamphouse.light.near_spots import NearSpots, laid_spots
from lamphouse.light.scene import Box, Lamp
from lamphouse.light.stance import stance_of
from lamphouse.light.step_size import step_mm
from lamphouse.light.views import SMALL_HOLE, View, make_views
from lamphouse.record import Record

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]


class Weights(Record):
    """How light thrown back by the faces shows at the spots of one opening, in single precision."""

    fine: Singles
    """(S, N). [1/mm2 sr]."""
    coarse: Singles
    """(S, N) the same by the coarse mesh."""


class Live(Record):
    """A box with its solved operators; none depends on the lamps."""

    interior: Interior
    balance: CoarseBalance
    views: tuple[View, ...]
    weights: tuple[Weights, ...]
    beams: tuple[Beam, ...]
    """One for each cavity."""
    spots: tuple[NearSpots, ...]
    """The spots seen in each."""


def worth_of(interior: Interior, *, balance: CoarseBalance, rows: Floats) -> tuple[Floats, Floats]:
    """Run the balance backwards for many places at once: ``u = rows / A + F R u``.

    Parameters
    ----------
    interior, balance
        The box and its coarse balance.
    rows
        (M, N) luminance of each place per light sent out by each face. [1/sr].

    Returns
    -------
    tuple
        (N, M) the luminance of each place per light that each face throws back, by the fine mesh
        and by the coarse one. [1/mm2 sr].
    """
    seen, area = rows.T, interior.area_mm2[:, None]
    first = seen / area
    back = gathered(interior, balance=balance, values=thrown_back(interior, illuminance=seen))
    # The coarse forward answer turned round: spread, and carried once over the fine exchange.
    spread = balance.solved(back, backwards=True) / balance.area_mm2[:, None]
    coarse = first + carried(interior, sent=spread[interior.parent])
    return settle(interior, balance=balance, first=first, guess=coarse), coarse


def _weights(
    interior: Interior, *, balance: CoarseBalance, views: tuple[View, ...]
) -> tuple[Weights, ...]:
    if not views:
        return ()
    fine, coarse = worth_of(
        interior, balance=balance, rows=np.concatenate([view.rows for view in views])
    )
    ends = np.cumsum([len(view.area_mm2) for view in views])[:-1]
    return tuple(
        Weights(
            fine=one.T.astype(np.float32, order="C"), coarse=two.T.astype(np.float32, order="C")
        )
        for one, two in zip(
            np.split(fine, ends, axis=1), np.split(coarse, ends, axis=1), strict=True
        )
    )


def make_beams(interior: Interior, *, views: tuple[View, ...]) -> tuple[Beam, ...]:
    """Lay out what lamps light directly, cavity by cavity."""
    return tuple(
        beam_of(views, cavity=cavity, faces=faces) for cavity, faces in enumerate(interior.onto)
    )


def make_live(box: Box, *, step: float | None = None) -> Live:
    """Solve a sound box for every place of a lamp at once.

    Parameters
    ----------
    box
        Its lamps play no part, but that rims are cut finely where one has a narrow beam.
    step
        Fine step. [mm]. None: chosen from depth and narrowest width.
    """
    fine = step_mm(box) if step is None else step
    interior = make_interior(box, step=fine)
    balance = coarse_balance(interior)
    views = make_views(interior, small_mm=SMALL_HOLE * fine)
    return Live(
        interior=interior,
        balance=balance,
        views=views,
        weights=_weights(interior, balance=balance, views=views),
        beams=make_beams(interior, views=views),
        spots=laid_spots(views, interior=interior),
    )


class FirstLight(Record):
    """What a lamp of 1 lm gives before light is thrown to and fro."""

    shown: tuple[Floats, ...]
    """(S,) luminance of the spots of each opening. [1/mm2 sr]."""
    direct: Floats
    """(N,) flux on the faces. [lm/lm]."""
    sent: Floats
    """(N,) what they throw back of it. [lm/lm]."""


def first_of(live: Live, *, lamp: Lamp) -> FirstLight:
    """Follow the light of a lamp of 1 lm to the spots and faces it falls on straight.

    Where the spots of a narrow beam lie within the faces is told less exactly than in a solve of
    its own: figures may differ by about a percent.
    """
    interior, cavity = live.interior, live.interior.home(lamp)
    beam = live.beams[cavity]
    onto = beam.onto or interior.onto[cavity]
    count = interior.onto[cavity].count
    stance = stance_of(onto, lamp=lamp)
    near = vicinity(
        interior,
        lamp=lamp,
        views=live.views,
        spots=live.spots,
        stance=stance,
        follows_spots=False,
    )
    parts = light_on(
        lamp,
        onto=onto,
        screens=interior.screens,
        stance=stance,
        closer=None if near is None else near.closer,
    )
    landed = summed(parts, onto=onto)
    own = Landing(rows=landed.rows[:, :count])
    beyond_mesh = missed_of(
        interior,
        cavity=cavity,
        near=near,
        views=live.views,
        parts=parts,
        onto=onto,
        landed=own,
    )
    direct, sent = first_reflection(interior, lamp=lamp, landed=own)
    sent += beyond_mesh.again
    add_direct(
        beyond_mesh.shown,
        views=live.views,
        beam=beam,
        flux=landed.flux,
        lamp=lamp,
        screens=interior.screens,
    )
    return FirstLight(shown=beyond_mesh.shown, direct=direct, sent=sent)


def response(
    live: Live, *, lamp: Lamp, first: FirstLight | None = None
) -> tuple[tuple[Floats, Floats], ...]:
    """Luminance of every spot for a lamp at 1 lm, fine and coarse, for each opening. [1/mm2 sr].

    What :func:`first_of` gives may be handed in where it is known.
    """
    first = first or first_of(live, lamp=lamp)
    sent = first.sent.astype(np.float32)
    return tuple(
        (shown + weights.fine @ sent, shown + weights.coarse @ sent)
        for shown, weights in zip(first.shown, live.weights, strict=True)
    )


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
                (
                    flux * answer[number][mesh]
                    for flux, answer in zip(flux_lm, responses, strict=True)
                ),
                start=np.zeros(len(view.area_mm2)),
            )
            for mesh in (0, 1)
        )
        judgements.append(judged(view, fine=fine, coarse=coarse, interior=live.interior))
    return tuple(judgements)
