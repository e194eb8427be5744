"""The whole way of one opening's light: what must hold whatever the colours are."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.appearance import Surround
from lamphouse.colour.chain import Part, Way, cavity_gain, luminance_factor, radiance, seen
from lamphouse.colour.film_spectra import film_spectrum
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import pile
from lamphouse.colour.observer import chromaticity, luminance, photopic, room_light, tristimulus
from tolerances import EXACT

SHELF = built_in()
FLAT = np.ones(81)


def part(name, cd_m2, direct=0.3):
    return Part(
        lamp=lamp_spectrum(SHELF.led_types[name]).values, luminance_cd_m2=cd_m2, direct=direct
    )


def way(passed, grey_passed, *, gain=FLAT, grey_gain=1.0):
    return Way(passed=passed, grey_passed=grey_passed, gain=gain, grey_gain=grey_gain)


@given(st.floats(0.01, 1.0), st.floats(0.1, 5.0), st.floats(0.1, 1000.0), st.floats(0, 1))
def test_grey_layers_and_paint_leave_the_grey_sums_as_they_are(passed, gain, cd_m2, direct):
    grey = way(passed * FLAT, passed, gain=gain * FLAT, grey_gain=gain)
    own = part("warm white 0603", cd_m2, direct)
    power = radiance([own], way=grey)
    assert luminance(power) == pytest.approx(cd_m2, rel=EXACT)
    assert luminance_factor([own], way=grey) == pytest.approx(1.0, rel=EXACT)
    assert chromaticity(tristimulus(power)) == pytest.approx(
        chromaticity(tristimulus(own.lamp)), abs=EXACT
    )


def test_a_film_weighed_in_the_lamps_own_light_needs_no_factor():
    # With T_grey the photopic share in the LED's light, the grey sum is exact.
    own = part("white 0603", 50.0)
    share = pile([film_spectrum(SHELF.film_types["red gel"]).sheet] * 2).transmittance
    assert luminance_factor([own], way=way(share, float(photopic(own.lamp, share)))) == (
        pytest.approx(1.0, rel=EXACT)
    )


def test_red_and_white_behind_a_red_gel_are_not_dimmed_alike():
    share = film_spectrum(SHELF.film_types["red gel"]).sheet.transmittance
    red, white = part("red 0603", 10.0), part("white 0603", 10.0)
    both = way(share, 0.3)
    alone = [float(luminance(radiance([one], way=both))) for one in (red, white)]
    together = radiance([red, white], way=both)
    assert luminance(together) == pytest.approx(sum(alone), rel=EXACT)
    assert alone[0] > 5.0 * alone[1]
    assert luminance_factor([], way=both) == 1.0


@pytest.mark.parametrize(
    ("paint", "share", "multiplier"),
    [(0.8, 0.02, 3.704), (0.8, 0.1, 2.857), (0.9, 0.05, 6.207), (0.95, 0.01, 15.966)],
)
def test_a_cavity_gains_what_a_sphere_does(paint, share, multiplier):
    # Sphere multiplier M = rho / (1 - rho (1 - f)), from a table of integrating spheres.
    gain = cavity_gain(np.array(paint), back=np.array(0.0), open_share=share)
    assert gain == pytest.approx(multiplier, abs=5e-4)


def test_yellowish_paint_warms_what_is_thrown_back_often():
    # Each reflection takes the paint's share once more; direct light does not meet it.
    yellow = np.linspace(0.7, 0.9, 81)
    bounced = way(FLAT, 1.0, gain=cavity_gain(yellow, back=0 * FLAT, open_share=0.05), grey_gain=4)
    once, often = (
        chromaticity(tristimulus(radiance([part("white 0603", 10.0, direct)], way=bounced)))
        for direct in (1.0, 0.0)
    )
    assert often[0] > once[0] + 0.02


def test_the_eye_in_its_room():
    # Reflected luminance of a matt face is rho E / pi (Lambert); 300 lx on 0.5: 47.7 cd/m2.
    power = radiance([part("white 0603", 40.0)], way=way(FLAT, 1.0))
    room = room_light("tungsten").values
    eye = seen(power, face=0.5 * FLAT, room=room, room_lx=300.0)
    assert eye.unlit[1] == pytest.approx(47.746, abs=1e-3)
    assert eye.both[1] == pytest.approx(40.0 + 47.746, abs=1e-3)
    assert eye.lab(eye.unlit)[1:] == pytest.approx([0.0, 0.0], abs=1e-9)
    # a cool white lamp beside a tungsten room looks blue to the eye in it
    assert eye.lab(eye.lit)[2] < -30.0
    assert eye.viewing.surround is Surround.AVERAGE
    dim = seen(power, face=0.5 * FLAT, room=room, room_lx=5.0)
    dark = seen(power, face=0.5 * FLAT, room=room, room_lx=0.0)
    assert (dim.viewing.surround, dark.viewing.surround) == (Surround.DIM, Surround.DARK)
    nothing = seen(0 * FLAT, face=FLAT, room=room, room_lx=0.0)
    assert np.isfinite(nothing.look(nothing.both).colourfulness)


def test_room_light_takes_colour_from_a_lit_red_panel():
    # A lit colour pales as the room gets brighter: common practice, no source.
    share = film_spectrum(SHELF.film_types["red gel"]).sheet.transmittance
    white = part("white 0603", 30.0)
    power = radiance([white], way=way(share, float(photopic(white.lamp, share))))
    room = room_light("daylight").values
    chromas = []
    for room_lx in (20.0, 200.0, 2000.0):
        eye = seen(power, face=0.3 * FLAT, room=room, room_lx=room_lx)
        chromas.append(float(np.hypot(*eye.lab(eye.both)[1:])))
    assert chromas == sorted(chromas, reverse=True)
    assert chromas[0] > 2.0 * chromas[-1]
