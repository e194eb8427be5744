"""Spectra of films: they add up to their rows, and follow what is measured or photographed."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue.measured_spectra import MeasuredSpectrum
from lamphouse.catalogue.photo_readings import photo_readings
from lamphouse.catalogue.shelf import built_in
from lamphouse.catalogue.spectral_data import led_illuminants, room_lights
from lamphouse.colour.display import encode
from lamphouse.colour.film_spectra import film_spectrum, finish_spectrum
from lamphouse.colour.layers import pile
from lamphouse.colour.observer import chromaticity, photopic, tristimulus
from lamphouse.colour.photo_fit import fitted_body, misfit
from lamphouse.colour.spectrum import GRID_NM, on_grid
from lamphouse.record import replace
from lamphouse.units import UnitError
from tolerances import EXACT

SHELF = built_in()
D65 = np.array(room_lights().columns["D65"])
B5 = np.array(led_illuminants().columns["LED-B5"])


@pytest.mark.parametrize("name", SHELF.film_types)
def test_a_film_passes_what_its_row_says_in_daylight(name):
    film = SHELF.film_types[name]
    found = film_spectrum(film)
    for sheet in (found.sheet, found.shorter, found.longer):
        assert photopic(D65, sheet.transmittance) == pytest.approx(film.transmittance, abs=1e-8)
        assert (sheet.transmittance + sheet.face_reflectance <= 1 + EXACT).all()
        assert (sheet.transmittance >= 0).all()
    assert found.is_guessed == bool(film.dye)


@pytest.mark.parametrize("name", SHELF.finishes)
def test_a_finish_throws_back_what_its_row_says_in_daylight(name):
    finish = SHELF.finishes[name]
    assert photopic(D65, finish_spectrum(finish)) == pytest.approx(finish.reflectance, abs=1e-8)


def test_gels_have_the_hue_of_their_name():
    # Hue of x, y against the white point: common practice, no source.
    def hue(name):
        share = film_spectrum(SHELF.film_types[name]).sheet.transmittance
        x, y = chromaticity(tristimulus(D65 * share)) - chromaticity(tristimulus(D65))
        return np.degrees(np.arctan2(y, x) + 0.2) % 360

    order = ["red gel", "orange gel", "amber gel", "straw gel", "green gel", "cyan gel", "blue gel"]
    hues = [hue(name) for name in order]
    assert hues == sorted(hues)
    assert hues[0] < 25
    assert hues[-1] > 220


def test_a_red_gel_passes_more_of_a_warm_white_than_of_a_cool_one():
    # A warm white holds more red (CIE 015:2018, LED-B1 and LED-B5).
    share = film_spectrum(SHELF.film_types["red gel"]).sheet.transmittance
    warm = photopic(np.array(led_illuminants().columns["LED-B1"]), share)
    assert warm > 1.5 * photopic(B5, share)


def test_two_coats_of_a_dye_pass_more_than_the_square():
    # Coats multiply per wavelength: light that got through one coat has the coat's own colour.
    red = film_spectrum(SHELF.film_types["red clear paint"]).sheet
    once = float(photopic(B5, red.transmittance))
    twice = float(photopic(B5, pile([red, red]).transmittance))
    assert once**2 * 1.5 < twice < once


def test_a_dye_too_weak_for_its_row_leaves_the_film_grey():
    film = replace(SHELF.film_types["amber gel"], transmittance=0.999, reflectance=0.0)
    assert np.ptp(film_spectrum(film).sheet.transmittance) < 0.05
    dark = replace(SHELF.film_types["amber gel"], transmittance=0.0)
    assert film_spectrum(dark).sheet.transmittance.max() == 0.0


def test_measured_readings_stand_in_for_row_and_dye():
    at = tuple(float(nm) for nm in np.arange(400.0, 701.0, 10.0))
    shares = tuple(0.1 + 0.8 * (nm > 550) for nm in at)
    film = replace(
        SHELF.film_types["blue gel"],
        measured=MeasuredSpectrum(wavelengths_nm=at, transmittance=shares),
    )
    found = film_spectrum(film)
    assert found.sheet.transmittance == pytest.approx(
        np.minimum(on_grid(at, shares), 1.0), abs=EXACT
    )
    assert not found.is_guessed


@given(
    st.lists(st.floats(420, 680), min_size=1, max_size=3),
    st.floats(0.02, 0.88),
    st.floats(20, 200),
)
def test_any_dye_gives_a_film_that_makes_no_light(places, transmittance, width):
    dye = "; ".join(f"at {place:.0f} nm over {width:.0f} nm" for place in places)
    from lamphouse.catalogue.dyes import dye as read

    film = replace(
        SHELF.film_types["amber gel"], dye=read(dye), transmittance=transmittance, reflectance=0.08
    )
    sheet = film_spectrum(film).sheet
    assert (sheet.transmittance + sheet.rear_reflectance <= 1 + EXACT).all()


# -- photographs ---------------------------------------------------------------------------------

# Peak and width of a camera that is not the one the fit supposes: from memory.
CAMERA = ((598.0, 70.0), (532.0, 80.0), (466.0, 62.0))


def photographed(share, coats=2):
    """Photograph a film with an own camera, sRGB curve and rounding to whole counts."""
    bands = [np.exp(-4 * np.log(2) * ((GRID_NM - at) / width) ** 2) for at, width in CAMERA]
    lamp = np.array(led_illuminants().columns["LED-B4"])
    linear = [
        [0.8 * (lamp * band * share**n).sum() / (lamp * band).sum() for band in bands]
        for n in range(coats + 1)
    ]
    return "; ".join(" ".join(f"{255 * v:.0f}" for v in encode(np.array(row))) for row in linear)


@pytest.mark.parametrize(
    "name", ["amber gel", "red clear paint", "green clear paint", "blue clear paint"]
)
def test_a_photograph_brackets_the_film_it_was_taken_of(name):
    # The film is known, the camera and lamp differ from those the fit supposes.
    share = film_spectrum(SHELF.film_types[name]).sheet.transmittance
    film = replace(SHELF.film_types["straw gel"], photo=photo_readings(photographed(share)))
    found = film_spectrum(film)
    true = float(photopic(B5, share))
    ends = [float(photopic(B5, s.transmittance)) for s in (found.shorter, found.longer)]
    assert min(ends) <= true <= max(ends)
    middle = chromaticity(tristimulus(B5 * found.sheet.transmittance))
    assert middle == pytest.approx(chromaticity(tristimulus(B5 * share)), abs=0.06)


def test_a_grey_film_is_found_grey():
    readings = photo_readings(photographed(np.full(81, 0.4)))
    assert fitted_body(readings) == pytest.approx(0.4, rel=0.02)
    assert misfit(readings) < 0.01


def test_pictures_that_contradict_each_other_do_not_fit():
    # The second coat lets as much pass as the first: the exposure moved.
    assert misfit(photo_readings("240 238 232; 228 160 52; 227 159 52")) > 0.1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("240 238 232", "2 to 5 readings, not 1"),
        ("240 238; 228 160 52", "is not red, green and blue"),
        ("255 255 255; 228 160 52", "cut off"),
        ("240 238 20; 228 160 10", "the bare lamp is dark"),
        ("200 200 200; 228 160 52", "brighter than it was"),
        ("-1 2 3; 1 2 3", "is not red"),
    ],
)
def test_readings_of_no_use_are_refused(text, said):
    with pytest.raises(UnitError, match=said):
        photo_readings(text)
