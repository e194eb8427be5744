"""Many small lamps that shine by the cosine, and their light on flat pieces, found for all at once.

They are followed as one lamp is, see ``landing``: what is a piece there is a pair of a lamp and a
piece here.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.lamp_shadows import (
    STANDS_FOR,
    STANDS_FOR_SIXTEEN,
    TOUCH_MM,
    Crossed,
    Shadows,
    entered,
    hidden,
    shadows_of,
)
from lamphouse.light.landing import LEVEL, NEAR, NEAR_SIXTEEN, Lit, kept, lit_near, received, summed
from lamphouse.light.near_pieces import cut
from lamphouse.light.pieces import Targets
from lamphouse.light.scene import CosinePower
from lamphouse.light.viewers import Screens
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

EVEN = CosinePower(m=1.0)

AT_ONCE = 150_000
"""Pairs of a lamp and a point of a piece, or of a lamp, a piece and a screen, worked on at once."""


class SmallLamps(Record):
    """Small lamps that shine by the cosine."""

    place_mm: Floats
    """(3, L)."""
    axis: Floats
    """(3, L) of length 1."""
    flux_lm: Floats
    """(L,)."""

    def take(self, which: Ints | slice | Bools) -> "SmallLamps":
        """Keep some of them."""
        return SmallLamps(
            place_mm=self.place_mm[:, which],
            axis=self.axis[:, which],
            flux_lm=self.flux_lm[which],
        )


def rows_of(lamps: SmallLamps, *, onto: Targets, screens: Screens, evened: bool = False) -> Floats:
    """Add up over faces what lamps send to their pieces, as a ``Landing`` has it, (5, N). [lm, mm].

    Parameters
    ----------
    lamps
        In one cavity, off every face.
    onto
        Pieces of that cavity, without a lobe.
    screens
        What casts shadows.
    evened
        Whether the pieces are all there are, so that the light of each lamp adds up to its flux.
    """
    total = np.zeros((5, onto.count))
    each = 4 * len(onto.size2_mm2), 5 * len(screens.low_mm) * len(onto.size2_mm2)
    step = max(1, AT_ONCE // max(*each, 1))
    for first in range(0, len(lamps.flux_lm), step):
        part = lamps.take(slice(first, first + step))
        total += summed(_lit_by(part, onto=onto, screens=screens, evened=evened), onto=onto).rows
    return total


def _lit_by(lamps: SmallLamps, *, onto: Targets, screens: Screens, evened: bool) -> list[Lit]:
    """Light of some lamps on the points of pieces, and of parts of pieces."""
    count = len(lamps.flux_lm)
    flux, ahead, facing, near = _from_afar(lamps, onto=onto)
    shaded, shadows = np.zeros(near.shape, dtype=np.bool_), None
    if len(screens.low_mm):
        shadows = shadows_of(screens, at=lamps.place_mm.T)
        dark, crossed = _met(onto, asked=facing, shadows=shadows)
        flux *= ~dark[:, None]
        near &= ~dark
        close = near.ravel()[crossed.piece]
        shaded.reshape(-1)[crossed.piece[close]] = True
        _shade(flux, crossed=crossed.take(~close))
    number, piece = near.nonzero()
    part, place, light = _from_near(
        lamps.take(number),
        onto=onto,
        piece=piece,
        ahead_mm=ahead[number, piece],
        shaded=shaded[number, piece],
        shadows=None if shadows is None else Shadows(side=shadows.side.take(number, axis=2)),
    )
    number, piece, weight = number[part], piece[part], lamps.flux_lm
    if evened:
        whole = flux.sum(axis=(1, 2)) + np.bincount(number, light.sum(axis=0), minlength=count)
        weight = weight / whole
    light *= weight[number]
    return [
        Lit(number=None, place_mm=onto.point[:3], flux=np.einsum("l,lpq->pq", weight, flux)),
        Lit(number=piece, place_mm=place, flux=light),
    ]


def _from_afar(lamps: SmallLamps, *, onto: Targets) -> tuple[Floats, Floats, Bools, Bools]:
    """Light pieces by their own Gauss points, but for those near a lamp.

    Returns
    -------
    tuple
        The flux (L, 4, Q) [lm/lm], how far each lamp lies before each piece (L, Q) [mm], the pairs
        that may light one another (L, Q), and of these those that are near.
    """
    size2, count = onto.size2_mm2, len(lamps.flux_lm)
    at, axis = lamps.place_mm.T, lamps.axis.T
    one = np.ones(count)
    # Made of squared places: their distances' squares, and the parts along the axis.
    far = np.column_stack([-2.0 * at, (at * at).sum(axis=1), one])
    way = np.column_stack([axis, -(at * axis).sum(axis=1), 0.0 * one])
    ahead = np.column_stack([at, one]) @ onto.plane
    far2, along = far @ onto.middle, way @ onto.middle
    upright = (axis[:, 0] == 0.0) & (axis[:, 1] == 0.0)
    extent = np.where(upright[:, None], onto.rise_mm, onto.reach_mm)
    facing = (ahead > 0.0) & (along > -extent)
    near = (along < extent) & (size2 > LEVEL * LEVEL * far2)
    near |= size2 > NEAR * NEAR * far2
    points, shape = onto.point.reshape(5, -1), (count, *onto.area_mm2.shape)
    flux = received(
        EVEN,
        far2=(far @ points).reshape(shape),
        along=(way @ points).reshape(shape),
        ahead=ahead[:, None],
        area=onto.area_mm2,
        lobe=None,
    )
    flux *= ~near[:, None]
    near &= facing
    return flux, ahead, facing, near


def _from_near(
    lamps: SmallLamps,
    *,
    onto: Targets,
    piece: Ints,
    ahead_mm: Floats,
    shaded: Bools,
    shadows: Shadows | None,
) -> tuple[Ints, Floats, Floats]:
    """Light pieces near their lamps, cut until they are small for their distance.

    Parameters
    ----------
    lamps
        One for each piece.
    onto, piece
        The pieces (M,).
    ahead_mm
        (M,) how far the lamp lies before each.
    shaded, shadows
        (M,) those that shadows cross, and the shadows of each lamp.

    Returns
    -------
    tuple
        What each part is of, of all M; its points (3, 16, P) and the flux on them (16, P).
        [mm, lm/lm].
    """
    corner = onto.corner.take(piece, axis=2)
    corner[:3] -= lamps.place_mm[:, None]
    corner, part = cut(
        corner,
        size2_mm2=onto.size2_mm2[piece],
        axis=lamps.axis,
        level=True,
        reach=NEAR_SIXTEEN,
        shaded=shaded,
    )
    place, light = lit_near(
        corner,
        beam=EVEN,
        axis=lamps.axis.take(part, axis=1),
        ahead_mm=ahead_mm[part],
        lobe=None,
    )
    at = lamps.place_mm.take(part, axis=1)[:, None]
    place += at
    if shadows is not None:
        (which,) = shaded[part].nonzero()
        dark, crossed = _met_parts(
            corner[:3].take(which, axis=2) + at.take(which, axis=2),
            side=shadows.side.take(part[which], axis=2),
        )
        light[:, which[dark]] = 0.0
        own, marks = hidden(crossed)
        own = which[own]
        light[:, own] = kept(light[:, own], shares=marks @ STANDS_FOR_SIXTEEN)
    return part, place, light


def _met(onto: Targets, *, asked: Bools, shadows: Shadows) -> tuple[Bools, Crossed]:
    """Tell which pieces lie wholly in a shadow of a lamp (L, Q), and which others shadows cross.

    Of the pairs asked for (L, Q) alone; they are numbered one after the other.
    """
    count, pieces = asked.shape
    _, sides, _, screens = shadows.side.shape
    table = shadows.side.transpose(2, 1, 3, 0).reshape(count, sides * screens, 4)
    depth = (table @ onto.middle[:4]).reshape(count, sides, screens, pieces).min(axis=1)
    reach = onto.reach_mm + TOUCH_MM
    dark = np.asarray((depth > reach).any(axis=1))
    near = depth > -reach
    near &= (asked & ~dark)[:, None]
    number, piece, screen = near.transpose(0, 2, 1).nonzero()
    crossed = entered(
        shadows.side[:, :, number, screen],
        corner_mm=onto.corner[:3].take(piece, axis=2),
        piece=number * pieces + piece,
        dark=dark.reshape(-1),
    )
    return dark, crossed


def _met_parts(corner_mm: Floats, *, side: Floats) -> tuple[Bools, Crossed]:
    """Tell the same of parts of pieces (3, 4, M), past the shadows (4, 5, M, H) of their lamps."""
    middle = 0.25 * corner_mm.sum(axis=1)
    aside = corner_mm - middle[:, None]
    reach = np.sqrt(np.einsum("kcq,kcq->cq", aside, aside).max(axis=0, initial=0.0)) + TOUCH_MM
    depth = np.einsum("ksmh,km->smh", side[:3], middle)
    depth += side[3]
    least = depth.min(axis=0)
    dark = np.asarray((least > reach[:, None]).any(axis=1))
    part, screen = ((least > -reach[:, None]) & ~dark[:, None]).nonzero()
    crossed = entered(
        side[:, :, part, screen], corner_mm=corner_mm.take(part, axis=2), piece=part, dark=dark
    )
    return dark, crossed


def _shade(flux: Floats, *, crossed: Crossed) -> None:
    """Take away of the light on pieces by their own points (L, 4, Q) what shadows hide."""
    own, marks = hidden(crossed)
    lamp, piece = np.divmod(own, flux.shape[2])
    flux[lamp, :, piece] = kept(flux[lamp, :, piece].T, shares=marks @ STANDS_FOR).T
