"""Sheets, coats, slits and tubes against closed forms, vacuum tables and the tube of the solver."""

import json
from math import exp, hypot, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue.shelf import built_in
from lamphouse.light.hole import passing_share
from lamphouse.light.leak_paths import through_coats, through_sheet, through_slit, through_tube
from lamphouse.light.scene import Disc
from tolerances import EXACT, PHYSICS, TABLE

STRIPS_ERROR = 0.005
"""What 120 strips leave open in a long white channel, relative."""
FILMS = built_in().film_types
STYRENE = built_in().sheet_light["styrene"]
COATS = built_in().wall_coats


@pytest.fixture
def published(reference):
    return json.loads((reference / "leaks" / "values.json").read_text())


def styrene(thickness_mm):
    return through_sheet(
        thickness_mm,
        scatter_per_mm=STYRENE.scatter_per_mm,
        absorption_per_mm=STYRENE.absorption_per_mm,
    )


def test_densities_of_coats_add_up():
    # Beer and Lambert; a neutral filter of density 0.3 passes a half, by definition of density.
    assert through_coats(0.3) == pytest.approx(0.5, abs=TABLE * 1e-2)
    assert through_coats(1.2 + 2.5) == pytest.approx(
        through_coats(1.2) * through_coats(2.5), rel=EXACT
    )


def test_a_sheet_that_only_absorbs_follows_beer_and_lambert():
    assert through_sheet(2.0, scatter_per_mm=0.0, absorption_per_mm=0.7) == pytest.approx(
        exp(-1.4), rel=EXACT
    )


@given(
    first=st.floats(0.05, 2.0),
    second=st.floats(0.05, 2.0),
    scatter=st.floats(0.1, 40.0),
    absorbed=st.floats(1e-6, 5.0),
)
def test_two_sheets_in_contact_are_one_thick_sheet(first, second, scatter, absorbed):
    # Layers added by all reflections between them [STOKES-PILE], with Kubelka and Munk's own
    # reflectance R = sinh / (a sinh + b cosh), a law the function does not use.
    def both(thickness):
        passed = through_sheet(thickness, scatter_per_mm=scatter, absorption_per_mm=absorbed)
        a = 1.0 + absorbed / scatter
        # T and R of one layer obey R^2 - 2 a R + 1 = T^2.
        return passed, a - sqrt(a * a - 1.0 + passed * passed)

    (t1, r1), (t2, r2) = both(first), both(second)
    assert both(first + second)[0] == pytest.approx(t1 * t2 / (1.0 - r1 * r2), rel=1e-6)


def test_no_absorption_is_the_limit_of_hardly_any():
    hardly = through_sheet(1.0, scatter_per_mm=9.35, absorption_per_mm=1e-9)
    assert styrene(1.0) == pytest.approx(hardly, rel=1e-6)


def test_thick_metal_passes_nothing():
    assert through_sheet(0.1, scatter_per_mm=0.0, absorption_per_mm=1e4) == pytest.approx(0.0)


def test_styrene_passes_what_the_thin_films_of_the_catalogue_do():
    for name, thickness_mm in (("thin styrene 0.13 mm", 0.13), ("thin styrene 0.25 mm", 0.25)):
        assert styrene(thickness_mm) == pytest.approx(FILMS[name].transmittance, abs=TABLE * 1e-2)


def test_a_black_coat_over_primer_on_half_a_millimetre_is_dark(published):
    coats = COATS["black paint"].density + COATS["grey primer"].density
    passed = styrene(0.5) * through_coats(coats)
    assert passed < published["coat_over_primer_on_half_a_millimetre"]
    # Without the black coat it is not.
    bare = styrene(0.5) * through_coats(COATS["grey primer"].density)
    assert bare > 100.0 * published["coat_over_primer_on_half_a_millimetre"]


@pytest.mark.parametrize("depth", [0.01, 0.5, 1.0, 4.0, 20.0])
def test_a_black_slit_is_two_opposite_strips(depth):
    # Howell C-1.
    assert through_slit(0.05, depth_mm=0.05 * depth, reflectance=0.0) == pytest.approx(
        hypot(1.0, depth) - depth, rel=EXACT
    )


@pytest.mark.parametrize("depth", [0.01, 0.5, 1.0, 4.0, 20.0])
def test_a_black_tube_is_two_coaxial_discs(depth):
    # Howell C-41, in its usual form.
    size = 2.0 + depth**2
    disc = (size - sqrt(size * size - 4.0)) / 2.0
    assert through_tube(2.0, depth_mm=depth, reflectance=0.0) == pytest.approx(disc, rel=1e-6)


@pytest.mark.parametrize("through", [through_slit, through_tube])
def test_a_hole_in_a_foil_passes_everything(through):
    for reflectance in (0.0, 0.5, 1.0):
        assert through(2.0, depth_mm=1e-4, reflectance=reflectance) == pytest.approx(
            1.0, abs=PHYSICS
        )


def test_a_white_tube_passes_light_as_it_passes_thin_gas(published):
    for row in published["tubes_of_white_wall"]:
        depth = row["length_over_diameter"]
        assert through_tube(1.0, depth_mm=depth, reflectance=1.0) == pytest.approx(
            row["share"], rel=STRIPS_ERROR
        )


def test_a_white_slit_passes_light_as_it_passes_thin_gas(published):
    for row in published["slits_of_white_wall"]:
        depth = row["depth_over_gap"]
        assert through_slit(1.0, depth_mm=depth, reflectance=1.0) == pytest.approx(
            row["share"], rel=STRIPS_ERROR
        )


def test_a_grey_tube_is_the_solvers_own_hole():
    disc = Disc(x_mm=0.0, y_mm=0.0, diameter_mm=2.0)
    solved = passing_share(disc, panel_mm=1.0, rim_reflectance=0.75)
    assert through_tube(2.0, depth_mm=1.0, reflectance=0.75) == pytest.approx(
        solved, rel=STRIPS_ERROR
    )
