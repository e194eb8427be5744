"""Prints in front of lamps, as the tests of artwork want them."""

import numpy as np

from lamphouse.catalogue.spectral_data import led_illuminants
from lamphouse.colour.artwork_look import Backlit, StackLayer
from lamphouse.colour.inks import INKJET
from lamphouse.colour.layers import alike
from lamphouse.colour.observer import room_light
from lamphouse.colour.spectrum import on_grid

DAYLIGHT = room_light("D65").values


def flat(passes, throws):
    return alike(np.full(81, passes), np.full(81, throws))


def lamp(name):
    data = led_illuminants()
    return on_grid(data.wavelengths_nm, data.columns[name])


OPAL, CLEAR = flat(0.6, 0.36), flat(0.88, 0.09)
COOL, WARM = lamp("LED-B5"), lamp("LED-B1")
"""White LEDs of 6600 K and of 2730 K [CIE 15:2018]."""


def backlit(*, films=1, white=COOL, gels=(), room_lx=0.0, clear_cd_m2=40.0, inks=INKJET):
    """Give a print of some films over opal film in front of a lamp."""
    prints = [StackLayer(film=CLEAR, inks=inks)] * films
    coloured = [StackLayer(film=gel, has_colour=True) for gel in gels]
    return Backlit(
        layers=(StackLayer(film=OPAL), *coloured, *prints),
        lamp=white,
        clear_cd_m2=clear_cd_m2,
        room=DAYLIGHT,
        room_lx=room_lx,
        box_reflectance=0.6,
    )
