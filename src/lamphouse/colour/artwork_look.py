"""What printed artwork looks like in front of its lamp, in a room's light, and unlit.

Terminology
-----------
clear places
    Where the artwork is white, and the film carries no ink.
lamp's white
    The light of the lamp through all layers that have no colour of their own: what the eye takes
    for white when there is nothing else.
look
    L*, a*, b* under daylight, of what an eye sees that is adapted as far as eyes do.

Not modelled: what the print's own colour does to the light inside the box, gloss, and the hue
of one place spilling onto the next.
"""

from collections.abc import Sequence
from enum import StrEnum
from math import exp, pi

import numpy as np

from lamphouse.colour.display import CAT16, D65_XY, white_xyz
from lamphouse.colour.inks import InkSet
from lamphouse.colour.lab import to_lab
from lamphouse.colour.layers import SpectralSheet, pile, seen_from_face
from lamphouse.colour.observer import under
from lamphouse.colour.print_film import on_film
from lamphouse.colour.spectrum import Array
from lamphouse.record import Record

WHITE = white_xyz(D65_XY)
_SURROUND = 0.9
"""``F`` of a dim surround [CIE-248]."""
_GREY = 0.2
"""Luminance the eye adapts to, over that of white [CIE-248]."""
_AT_ONCE = 512
"""Colours computed together, so that their spectra stay in the processor's cache."""
_DARK_CD_M2 = 1e-6
"""So that a room without light can be divided by."""


class StackLayer(Record, eq=False):
    """One layer of an opening."""

    film: SpectralSheet
    """Without ink. (81,)"""
    inks: InkSet | None = None
    """The printer of the artwork on it; None where it carries none."""
    has_colour: bool = False
    """Whether it is there for its colour: a gel or tint."""


class Backlit(Record, eq=False):
    """A print with its lamp, its room, and how bright it gets."""

    layers: tuple[StackLayer, ...]
    """From lamp to eye."""
    lamp: Array
    """Spectrum of the light behind the layers, in any unit. (81,)"""
    clear_cd_m2: float
    """Luminance of clear places, lit, in a dark room."""
    room: Array
    """Spectrum of the room's light, in any unit. (81,)"""
    room_lx: float
    box_reflectance: float = 0.0
    """Of the mouth of the box behind the layers."""


class Condition(StrEnum):
    """How the print is looked at."""

    DARK = "lit in the dark"
    ROOM = "lit in the room"
    UNLIT = "unlit in the room"


class Leaving(Record, eq=False):
    """What leaves a print to the eye, absolute; Y in cd/m2."""

    lit: Array
    """The lamp's light. (m, 3)"""
    thrown: Array
    """The room's light, thrown back. (m, 3)"""


def stacked(layers: Sequence[StackLayer], amounts: Array) -> SpectralSheet:
    """Give the layers with ink on those that carry artwork, the same on each.

    Parameters
    ----------
    layers
        From lamp to eye, at least one.
    amounts
        Of the four inks. (m, 4)

    Returns
    -------
    SpectralSheet
        (m, 81)
    """
    printed: dict[tuple[int, InkSet], SpectralSheet] = {}

    def film_of(layer: StackLayer) -> SpectralSheet:
        if layer.inks is None:
            return layer.film
        key = (id(layer.film), layer.inks)
        if key not in printed:
            printed[key] = on_film(amounts, inks=layer.inks, bare=layer.film)
        return printed[key]

    bare = np.ones((len(amounts), 1))  # so that layers without ink, too, have a row for each
    whole = pile(map(film_of, layers))
    return SpectralSheet(
        transmittance=whole.transmittance * bare,
        rear_reflectance=whole.rear_reflectance * bare,
        face_reflectance=whole.face_reflectance * bare,
    )


def _clear(layers: Sequence[StackLayer]) -> SpectralSheet:
    return stacked(layers, np.zeros((1, 4)))


def leaving(print_: Backlit, amounts: Array) -> Leaving:
    """Give what leaves the print for some amounts of ink. (m, 4)."""
    white_Y = under(print_.lamp, _clear(print_.layers).transmittance)[0, 1]
    lit, thrown = np.zeros((len(amounts), 3)), np.zeros((len(amounts), 3))
    for first in range(0, len(amounts), _AT_ONCE):
        part = slice(first, first + _AT_ONCE)
        film = stacked(print_.layers, amounts[part])
        seen = seen_from_face(film, behind=np.array(print_.box_reflectance))
        lit[part] = under(print_.lamp, film.transmittance)
        thrown[part] = under(print_.room, seen)
    return Leaving(lit=lit * (print_.clear_cd_m2 / white_Y), thrown=thrown * (print_.room_lx / pi))


def lamp_white(print_: Backlit) -> Array:
    """Give X, Y, Z of the lamp's white at the luminance of clear places. (3,)."""
    plain = [layer for layer in print_.layers if not layer.has_colour]
    passed = _clear(plain).transmittance[0] if plain else np.ones_like(print_.lamp)
    xyz = under(print_.lamp, passed)
    return np.asarray(xyz / xyz[1] * print_.clear_cd_m2)


def paper_white(print_: Backlit) -> Array:
    """Give X, Y, Z of white paper in the room's light. (3,)."""
    return under(print_.room, np.ones_like(print_.room)) * (print_.room_lx / pi)


def degree_of_adaptation(white_cd_m2: float) -> float:
    """Give how far the eye makes a white of this luminance its own, in a dim surround [CIE-248]."""
    return _SURROUND * (1.0 - exp((-_GREY * white_cd_m2 - 42.0) / 92.0) / 3.6)


def eye(white: Array, *, full_cd_m2: float) -> Array:
    """Give the matrix from X, Y, Z as seen to X, Y, Z that look alike under daylight. (3, 3).

    Parameters
    ----------
    white
        X, Y, Z of what the eye adapts to, absolute. (3,)
    full_cd_m2
        Luminance of what looks white.
    """
    share = degree_of_adaptation(float(white[1]))
    cones = CAT16 @ (white / white[1])
    gains = share * (CAT16 @ WHITE) / cones + 1.0 - share
    return np.asarray(np.linalg.solve(CAT16, gains[:, None] * CAT16) / full_cd_m2)


def shown(print_: Backlit, what: Leaving, *, condition: Condition, clear: Leaving) -> Array:
    """Give X, Y, Z under daylight, white at Y = 1, of what is seen in one condition. (m, 3).

    Parameters
    ----------
    print_
        The print.
    what
        Of it.
    condition
        Lit in the dark, clear places are white. Lit in the room, white paper beside the print is,
        or the clear places where they outshine it; unlit, the paper.
    clear
        What leaves clear places. (1, 3)
    """
    if condition is Condition.DARK:
        white = lamp_white(print_)
        return np.asarray(what.lit @ eye(white, full_cd_m2=max(white[1], _DARK_CD_M2)).T)
    lit = condition is Condition.ROOM
    paper = paper_white(print_)
    own_cd_m2 = float((clear.lit + clear.thrown)[0, 1]) if lit else 0.0
    white = paper + lamp_white(print_) if lit else paper
    white = white if white[1] > _DARK_CD_M2 else WHITE
    light = what.lit + what.thrown if lit else what.thrown
    full = max(float(paper[1]), own_cd_m2, _DARK_CD_M2)
    return np.asarray(light @ eye(white, full_cd_m2=full).T)


def own_eye(print_: Backlit, *, clear: Leaving) -> Array:
    """Give the eye before the lit print in its room, clear places at lightness 100. (3, 3)."""
    white = paper_white(print_) + lamp_white(print_)
    full = max(float((clear.lit + clear.thrown)[0, 1]), _DARK_CD_M2)
    return eye(white if white[1] > _DARK_CD_M2 else WHITE, full_cd_m2=full)


def own_look(print_: Backlit, what: Leaving, *, clear: Leaving) -> Array:
    """Give the look of the lit print in its room, clear places at lightness 100. (m, 3)."""
    return to_lab((what.lit + what.thrown) @ own_eye(print_, clear=clear).T, white=WHITE)
