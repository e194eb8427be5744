"""How lit prints look: the error of the cube, and facts of the trade that nobody put in by hand."""

import numpy as np
import pytest

from lamphouse.colour.artwork_fit import look_of, print_colours, reading
from lamphouse.colour.artwork_look import (
    WHITE,
    Condition,
    StackLayer,
    degree_of_adaptation,
    eye,
    leaving,
    own_look,
    shown,
    stacked,
)
from lamphouse.colour.colour_cube import read_at
from lamphouse.colour.difference import difference
from lamphouse.colour.inks import INKJET, LASER
from lamphouse.colour.lab import to_lab, to_lch
from lamphouse.colour.layers import clear_sheet
from lamphouse.colour.printer import driver, intended, separated, with_black
from lamphouse.colour.spectrum import GRID_NM
from lamphouse.record import replace
from sample_prints import COOL, WARM, backlit, flat
from tolerances import EXACT

RED_PRINT = np.array(
    [[0.85, 0.15, 0.12], [0.75, 0.25, 0.2], [0.9, 0.45, 0.3], [0.6, 0.1, 0.15], [0.95, 0.8, 0.7]]
)
"""A print in which red dominates, as screen colours."""
MIXED = np.random.default_rng(20261126).random((400, 3))
PINK_TO_RED = clear_sheet(
    np.where(GRID_NM < 575.0, 0.35, 0.35 + 0.6 / (1.0 + np.exp(-(GRID_NM - 605.0) / 10.0))),
    face=0.04,
)
"""A gel that passes red whole and a third of all else."""


def amounts(colours, inks=INKJET):
    return separated(read_at(driver(inks), colours))


def lit(print_, colours, inks=INKJET):
    clear = leaving(print_, np.zeros((1, 4)))
    return own_look(print_, leaving(print_, amounts(colours, inks)), clear=clear)


def chroma(lab):
    return float(to_lch(lab)[:, 1].mean())


@pytest.mark.parametrize("inks", [INKJET, LASER], ids=lambda inks: inks.name)
@pytest.mark.parametrize("room_lx", [0.0, 150.0])
def test_a_cube_is_as_good_as_the_model_itself(inks, room_lx):
    # Read between 17 corners against the same amounts of ink through all 81 wavelengths.
    print_ = backlit(films=2, room_lx=room_lx, inks=inks)
    cube = look_of(print_, inks=inks).lab
    off = difference(read_at(cube, MIXED), lit(print_, MIXED, inks))
    assert off.mean() < 0.1
    assert np.percentile(off, 99) < 0.6


def test_the_adapted_eye_is_that_of_the_appearance_model(witness):
    # Degree of adaptation against colour-science, CIECAM16, dim surround.
    surround = witness.VIEWING_CONDITIONS_CIECAM02["Dim"]
    for white_cd_m2 in (1.0, 20.0, 318.3):
        wanted = witness.appearance.ciecam02.degree_of_adaptation(surround.F, 0.2 * white_cd_m2)
        assert degree_of_adaptation(white_cd_m2) == pytest.approx(wanted, abs=EXACT)


def test_daylight_is_left_alone_and_full_white_is_one():
    assert eye(WHITE * 50.0, full_cd_m2=50.0) == pytest.approx(np.eye(3) / 50.0, abs=EXACT)


def test_a_warm_white_makes_a_red_print_more_saturated_at_equal_luminance():
    # Common practice, no source.
    warm, cool = (lit(backlit(white=white), RED_PRINT) for white in (WARM, COOL))
    assert chroma(warm) > 1.1 * chroma(cool)


def unlit(print_, colours):
    what, clear = leaving(print_, amounts(colours)), leaving(print_, np.zeros((1, 4)))
    return to_lab(shown(print_, what, condition=Condition.UNLIT, clear=clear), white=WHITE)


@pytest.mark.parametrize("films", [1, 2])
def test_a_red_gel_behind_a_red_print_shows_lit_and_hardly_unlit(films):
    # Common practice, no source. The gel lies behind the opal film.
    bare = backlit(films=films, room_lx=150.0)
    opal, *prints = bare.layers
    gel = StackLayer(film=PINK_TO_RED, has_colour=True)
    gelled = replace(bare, layers=(gel, opal, *prints))
    assert chroma(lit(gelled, RED_PRINT)) > 1.4 * chroma(lit(bare, RED_PRINT))
    assert chroma(unlit(gelled, RED_PRINT)) == pytest.approx(
        chroma(unlit(bare, RED_PRINT)), rel=0.1
    )


def test_a_white_layer_behind_the_print_makes_the_day_look_and_costs_light():
    # Common practice, no source: prints for day and night have white ink between them.
    bare = backlit(films=2, room_lx=150.0)
    _, one, two = bare.layers
    white = StackLayer(film=flat(0.45, 0.5))
    dark_box = replace(bare, layers=(one, two), box_reflectance=0.1)
    backed = replace(dark_box, layers=(one, white, two))
    assert (unlit(backed, RED_PRINT)[:, 0] > unlit(dark_box, RED_PRINT)[:, 0] + 10.0).all()
    assert chroma(unlit(backed, RED_PRINT)) > chroma(unlit(dark_box, RED_PRINT))
    through = [stacked(each.layers, np.zeros((1, 4))).transmittance for each in (dark_box, backed)]
    assert (through[1] < 0.6 * through[0]).all()
    assert difference(lit(backed, RED_PRINT), lit(bare, RED_PRINT)).max() < 6.0


def test_one_film_right_on_paper_looks_pale_lit_and_a_second_restores_most():
    # Common practice, no source: three groups of makers ended at two films.
    weights = np.full(len(MIXED), 1.0 / len(MIXED))
    one, two = (
        reading(look_of(backlit(films=films), inks=INKJET), MIXED, printed=MIXED, weights=weights)
        for films in (1, 2)
    )
    assert one.chroma_kept < 0.65
    assert two.chroma_kept > 0.8
    assert two.difference < 0.5 * one.difference


def test_black_passes_a_few_percent_of_one_film_and_a_thousandth_of_two():
    # Common practice, no source: one film 1 to 3 % of the light, two 0.01 to 0.1 %.
    for inks in (INKJET, LASER):
        one, two = (look_of(backlit(films=films, inks=inks), inks=inks).black for films in (1, 2))
        assert 0.005 < one < 0.035
        assert 5e-5 < two < 1.2e-3


def test_artwork_made_for_the_lamp_reads_better_than_as_drawn():
    weights = np.full(len(MIXED), 1.0 / len(MIXED))
    for films in (1, 2):
        for white in (WARM, COOL):
            look = look_of(backlit(films=films, white=white), inks=INKJET)
            drawn = reading(look, MIXED, printed=MIXED, weights=weights)
            made = reading(look, MIXED, printed=print_colours(look, MIXED), weights=weights)
            assert made.difference < 0.8 * drawn.difference
            assert made.chroma_kept > drawn.chroma_kept


def test_white_is_left_clear_and_grey_stays_grey():
    look = look_of(backlit(films=2), inks=INKJET)
    greys = np.repeat(np.linspace(0.0, 1.0, 9)[:, None], 3, axis=1)
    printed = print_colours(look, greys)
    assert printed[-1] == pytest.approx([1.0, 1.0, 1.0], abs=0.004)
    seen_ = read_at(look.lab, printed)
    assert np.abs(seen_[:, 1:] - look.white[1:]).max() < 2.0
    assert (np.diff(seen_[:, 0]) > 0.0).all()
    assert seen_[:, 0] == pytest.approx(intended(greys, black=look.black)[:, 0], abs=1.0)


def test_room_light_lifts_black_and_the_dark_hides_a_print_that_is_off():
    dark, light = (look_of(backlit(films=2, room_lx=lx), inks=INKJET).black for lx in (0.0, 300.0))
    assert light > 10 * dark
    print_ = backlit(films=2, room_lx=0.0)
    what, clear = leaving(print_, amounts(MIXED)), leaving(print_, np.zeros((1, 4)))
    assert shown(print_, what, condition=Condition.UNLIT, clear=clear).max() < 1e-6


def test_what_throws_nothing_back_shows_only_the_lamp():
    glass = StackLayer(film=flat(0.9, 0.0))
    bare = replace(backlit(room_lx=500.0, clear_cd_m2=25.0), layers=(glass,), box_reflectance=0.0)
    what = leaving(bare, np.zeros((1, 4)))
    assert what.lit[0, 1] == pytest.approx(25.0, abs=EXACT)
    assert what.thrown == pytest.approx(np.zeros((1, 3)), abs=EXACT)


@pytest.mark.parametrize("inks", [INKJET, LASER], ids=lambda inks: inks.name)
@pytest.mark.parametrize("passes", [0.005, 0.02, 0.08])
def test_a_measured_black_is_what_the_print_shows(inks, passes):
    # What the maker measures against the bare film is what the lit print shows of black over white.
    measured = with_black(inks, passes=passes)
    assert look_of(backlit(inks=measured), inks=measured).black == pytest.approx(passes, rel=0.05)
