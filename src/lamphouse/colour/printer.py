"""What a printer makes of a picture: screen colours to amounts of ink that are right on paper.

Printers are set up for paper: whatever a picture asks for is printed so that it looks right, or as
near as the inks come, by reflected light. What the same ink does in front of a lamp is another
matter, see :mod:`lamphouse.colour.print_film`. No printer is measured here: a generic one that
keeps hue and lightness and uses black for the dark half is assumed.
"""

from collections.abc import Callable
from functools import cache, lru_cache
from io import BytesIO
from math import log10
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.colour_cube import Cube, grid, sampled
from lamphouse.colour.colour_search import nearest
from lamphouse.colour.display import D65_XY, SRGB, decode, white_xyz, xyz_of
from lamphouse.colour.inks import INKJET, LASER, InkSet, transmittance
from lamphouse.colour.lab import to_lab
from lamphouse.colour.observer import photopic, room_light, under
from lamphouse.colour.print_film import on_paper
from lamphouse.colour.spectrum import Array
from lamphouse.record import replace

KNOWN = (INKJET, LASER)
"""Ink sets for which the search was run once and for all."""
FOUND = "printer_cubes.npy"
"""File that holds what it found for them."""
VIEWED_UNDER = "D50"
"""The light prints are judged under [ISO3664]."""
_BLACK_FROM = 0.4
"""Share of grey from which black takes part [TYPICAL]."""
_REPLACED = 0.5
"""How much of each coloured ink full black takes the place of: 250 % of ink at most [TYPICAL]."""
_DENSEST = 4.0
"""No ink on one film is denser."""
_PULL = 0.5
"""Colours no ink makes may be this far off the best of their like, to stay in order."""


def separated(inking: Array) -> Array:
    """Give amounts of the four inks for shares of cyan, magenta and yellow. (..., 3) to (..., 4).

    Grey common to all three is joined by black, slowly at first, which takes the place of some.
    """
    grey = inking.min(axis=-1, keepdims=True)
    black = (np.clip(grey - _BLACK_FROM, 0.0, None) / (1.0 - _BLACK_FROM)) ** 2
    return np.concatenate([inking - _REPLACED * black, black], axis=-1)


def with_black(inks: InkSet, *, passes: float) -> InkSet:
    """Give the inks of a printer whose blackest black passes a measured share of daylight.

    Parameters
    ----------
    inks
        A printer of its kind.
    passes
        Of light through one film, over what the bare film passes.

    Returns
    -------
    InkSet
        Its black as dense as it takes, the coloured inks as they are.
    """
    light, darkest = room_light("daylight").values, separated(np.ones((1, 3)))
    passed = float(photopic(light, transmittance(darkest, inks=inks))[0])
    cyan, magenta, yellow, black = inks.solids
    dense = min(max(black + log10(passed / passes), 0.0), _DENSEST)
    return replace(inks, solids=(cyan, magenta, yellow, dense))


def intended(shares: Array, *, black: float = 0.0) -> Array:
    """Give L*, a*, b* that screen values 0 to 1 stand for. (..., 3).

    Parameters
    ----------
    shares
        Of sRGB. (..., 3)
    black
        Luminance of the darkest that can be had, over white: all colours are mixed with so much
        white, by light, that black comes to lie there [ISO18619].
    """
    white = white_xyz(D65_XY)
    xyz = xyz_of(decode(shares), screen=SRGB)
    return to_lab(xyz * (1.0 - black) + black * white, white=white)


def paper_lab(inking: Array, *, inks: InkSet) -> Array:
    """Give how inking looks on paper, the paper's own white as white. (..., 3)."""
    light = room_light(VIEWED_UNDER).values
    white = under(light, on_paper(np.zeros(4), inks=inks))
    return to_lab(under(light, on_paper(separated(inking), inks=inks)), white=white)


@lru_cache(maxsize=16)
def driver(inks: InkSet) -> Cube:
    """Give what a printer lays down for every screen colour: shares of cyan, magenta and yellow.

    Colours that no ink makes on paper become the nearest that some does. Of printers with typical
    inks that is read from what :func:`searched` found once, as the search takes a while.
    """
    taken = reckoned(inks)
    return Cube(values=_found()[KNOWN.index(taken)]) if taken in KNOWN else searched(taken)


def reckoned(inks: InkSet) -> InkSet:
    """Give the inks that a printer's driver reckons with."""
    return inks if inks.reckoned is None else replace(inks, solids=inks.reckoned, reckoned=None)


@cache
def _found() -> NDArray[np.float32]:
    """Read what was found for ``KNOWN``. (p, n, n, n, 3), made by benchmarks/make_printer_cubes."""
    with Path(__file__).with_name(FOUND).open("rb") as file:
        return np.asarray(np.load(BytesIO(file.read()), allow_pickle=False), dtype=np.float32)


def searched(inks: InkSet) -> Cube:
    """Find what :func:`driver` gives."""
    return sampled(laying(inks))


def laying(inks: InkSet) -> Callable[[Array], Array]:
    """Give what finds the shares of cyan, magenta and yellow for screen colours. (m, 3) each."""
    light = room_light(VIEWED_UNDER).values
    ends = np.array([[0.0] * 4, separated(np.ones(3))])
    white_Y, black_Y = under(light, on_paper(ends, inks=inks))[:, 1]

    def laid(shares: Array) -> Array:
        wanted = intended(shares, black=float(black_Y / white_Y))
        return nearest(
            lambda inking: paper_lab(inking, inks=inks), wanted, pull=_PULL, towards=1.0 - shares
        )

    return laid


def amounts_at_corners(inks: InkSet) -> Array:
    """Give the amounts of ink for the screen colour at every corner of a cube. (n ** 3, 4)."""
    laid = driver(inks).values.reshape(-1, 3).astype(np.float64)
    if len(laid) != len(grid()):
        problem = "the printer's cube has another number of corners"
        raise ValueError(problem)
    return separated(laid)
