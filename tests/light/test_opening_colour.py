"""The colour of openings against the solver run at each wavelength by itself."""

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.chain import luminance_factor, radiance
from lamphouse.colour.film_spectra import finish_spectrum
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.observer import luminance, tristimulus, uniform_chromaticity
from lamphouse.colour.spectrum import GRID_NM
from lamphouse.design.lightbox import Passage
from lamphouse.design.place import Room
from lamphouse.light.box_scene import draw_box
from lamphouse.light.glow import solve
from lamphouse.light.opening_colour import colour_of, kinds_apart, parts_of, way_of
from lamphouse.light.room_light import faces_of
from lamphouse.light.scene import Diffuser
from lamphouse.light.sound_suite import solve as solve_drawn
from lamphouse.record import replace
from light.designs import led, light_box, opening, panel, upright, where

SHELF = built_in()
KINDS = ("white 0603", "warm white 0603")
EVERY = 4
"""The solver is run at every fourth wavelength; what it gives over the layers' share is smooth."""
ROOM = Room(
    width_mm=300.0,
    depth_mm=200.0,
    height_mm=150.0,
    room_light_lx=50.0,
    viewing_distance_mm=600.0,
)


def drawn_with(paint, films, *, kinds=KINDS, size=(38.0, 28.0, 14.0)):
    width, height, depth = size
    lamps = [
        led(name, width * share, height / 2, kind=SHELF.led_types[kind])
        for name, share, kind in zip("ab", (0.3, 0.7), kinds, strict=False)
    ]
    box = light_box(upright(0, 0, width, height), *lamps, depth_mm=depth)
    box = replace(box, finish=SHELF.finishes[paint])
    shape = upright(width * 0.1, height * 0.1, width * 0.9, height * 0.9)
    top = panel(opening("o", shape, *[SHELF.film_types[name] for name in films]))
    return draw_box(top, box=box, currents={})


def at_wavelength(drawn, place):
    """Give the scene with the paint and layers as light of one wavelength meets them."""
    paint = float(finish_spectrum(drawn.box.finish)[place])
    sheet = drawn.windows[0].stack.spectral
    fill = Diffuser(
        transmittance=float(sheet.transmittance[place]),
        reflectance=float(sheet.rear_reflectance[place]),
    )
    return replace(
        drawn.scene,
        back_reflectance=paint,
        panel_reflectance=paint,
        wall_reflectances=(paint,),
        apertures=tuple(replace(each, fill=fill) for each in drawn.scene.apertures),
    )


@pytest.mark.parametrize(
    ("paint", "films", "size"),
    [
        ("bare brown card", ("opal film 60", "amber gel"), (38.0, 28.0, 14.0)),
        ("bare brown card", ("opal film 60", "red gel"), (20.0, 20.0, 20.0)),
        ("bare brown card", ("opal film 60", "blue gel"), (60.0, 30.0, 8.0)),
        ("bright white emulsion", ("white coat", "green clear paint"), (38.0, 28.0, 14.0)),
        ("bright white emulsion", ("opal film 60", "red gel"), (60.0, 30.0, 8.0)),
    ],
)
def test_one_grey_solution_with_spectra_is_as_good_as_one_at_each_wavelength(paint, films, size):
    # The same radiosity, solved again and again with the shares of one wavelength: no sphere, no
    # grey sums. Luminance within 0.5 %, colour within half a step of 0.0011 in u', v'.
    drawn = drawn_with(paint, films, size=size)
    look = solve(drawn.scene).looks[0]
    way = way_of(drawn, window=drawn.windows[0])
    ours = radiance(parts_of(drawn, look=look), way=way)
    places = np.arange(0, 81, EVERY)
    found = np.array([solve(at_wavelength(drawn, at)).looks[0].lamp_cd_m2 for at in places])
    over = found / np.maximum(way.passed[places], 1e-9)[:, None]
    theirs = sum(
        lamp_spectrum(SHELF.led_types[kind]).values
        * way.passed
        * np.interp(GRID_NM, GRID_NM[places], over[:, number])
        for number, kind in enumerate(KINDS)
    )
    assert luminance(ours) == pytest.approx(float(luminance(theirs)), rel=0.005)
    apart = uniform_chromaticity(tristimulus(ours)) - uniform_chromaticity(tristimulus(theirs))
    assert np.hypot(*apart) < 0.00055


def test_grey_sums_alone_miss_a_red_gel_in_a_brown_box():
    # What the case above is worth: without spectra the luminance is 5 % and more too low.
    drawn = drawn_with("bare brown card", ("opal film 60", "red gel"), size=(20.0, 20.0, 20.0))
    look = solve(drawn.scene).looks[0]
    way = way_of(drawn, window=drawn.windows[0])
    assert luminance_factor(parts_of(drawn, look=look), way=way) > 1.05


def test_the_parts_of_an_opening_add_up_to_it():
    drawn = drawn_with("matt white paint", ("opal film 60",))
    look = solve(drawn.scene).looks[0]
    parts = parts_of(drawn, look=look)
    assert sum(part.luminance_cd_m2 for part in parts) == pytest.approx(look.mean_cd_m2, rel=1e-9)
    assert all(0.0 < part.direct < 1.0 for part in parts)


def colour(films, *, kinds=KINDS[:1], paint="matt white paint", room=ROOM):
    drawn = drawn_with(paint, films, kinds=kinds)
    look = solve(drawn.scene).looks[0]
    (face,) = faces_of(drawn)
    return colour_of(drawn, window=drawn.windows[0], look=look, face=face, room=room)


def test_a_white_led_behind_opal_keeps_its_white():
    # The catalogue's own white point; opal film and white paint count as grey.
    found = colour(("opal film 60",))
    assert found.name == "cool white"
    assert found.cct_K == pytest.approx(6500.0, abs=1.0)
    assert found.factor == pytest.approx(1.0, abs=1e-9)
    assert (found.unlit_name, found.doubt) == ("light grey", 0.0)
    warm = colour(("opal film 60",), kinds=KINDS)
    assert 2900.0 < warm.cct_K < 6500.0


def test_a_gel_colours_lit_and_unlit():
    # A red gel over a diffuser is red both ways, darker unlit: common practice, no source.
    found = colour(("opal film 60", "red gel"))
    assert found.name == "red"
    assert found.cct_K is None
    assert found.unlit_name.endswith("red")
    assert 1.0 < found.doubt < 20.0
    assert found.film_is_guessed
    dark = colour(("opal film 60", "red gel"), room=None)
    assert (dark.unlit_name, dark.unlit_lab) == ("", None)


def test_a_layer_of_unknown_colour_gives_no_colour():
    drawn = drawn_with("matt white paint", ("opal film 60", "red gel"))
    top = drawn.panel.openings[0]
    unknown = tuple(replace(layer, film=replace(layer.film, dye=None)) for layer in top.layers)
    drawn = draw_box(
        replace(drawn.panel, openings=(replace(top, layers=unknown),)),
        box=drawn.box,
        currents={},
    )
    look = solve(drawn.scene).looks[0]
    (face,) = faces_of(drawn)
    assert colour_of(drawn, window=drawn.windows[0], look=look, face=face, room=ROOM) is None


def test_boxes_that_share_an_opening_mix_their_colours_by_what_each_gives():
    # Light adds up: each kind of LED alone, added, is both together; the darker neighbour of a
    # white box, lit by one red LED of its own, is redder than the white box.
    def box(name, left, kind, *passages):
        shape = upright(left, 0.0, left + 30.0, 20.0)
        lamp = led(f"{name}1", left + 15.0, 10.0, kind=SHELF.led_types[kind])
        return replace(light_box(shape, lamp), name=name, where=where(name), passages=passages)

    slot = Passage(
        name="slot",
        where=where("slot"),
        into="red",
        start_mm=(30.0, 6.0),
        end_mm=(30.0, 14.0),
        low_mm=2.0,
        high_mm=6.0,
    )
    white, red = box("white", 0.0, "white 0603", slot), box("red", 32.0, "red 0603")
    opal = SHELF.film_types["opal film 60"]
    top = panel(
        opening("first", upright(3.0, 3.0, 27.0, 17.0), opal),
        opening("second", upright(35.0, 3.0, 59.0, 17.0), opal),
    )
    colours = []
    for own, other in ((white, red), (red, white)):
        drawn = draw_box(top, box=own, currents={}, beside=(other,))
        look = solve_drawn(drawn).looks[0]
        apart = {kind: means[0] for kind, means in kinds_apart(drawn).items()}
        assert sum(apart.values()) == pytest.approx(look.mean_cd_m2, rel=1e-4)
        (face,) = faces_of(drawn)
        colours.append(
            colour_of(drawn, window=drawn.windows[0], look=look, face=face, room=ROOM, apart=apart)
        )
    assert colours[0].uv[0] > 0.2  # some red has come through
    assert colours[1].uv[0] > colours[0].uv[0] + 0.05
