"""Layers and scattering films against published cases and an independent solver."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from lamphouse.catalogue.spectral_data import led_illuminants
from lamphouse.colour import kubelka_munk
from lamphouse.colour.layers import (
    alike,
    clear_sheet,
    laid_on,
    pile,
    scattering_sheet,
    seen_from_face,
)
from lamphouse.colour.observer import chromaticity, photopic, tristimulus
from lamphouse.colour.spectrum import GRID_NM
from tolerances import EXACT, PHYSICS, TABLE

B3 = np.array(led_illuminants().columns["LED-B3"])
AMBER = 1.0 / (1.0 + np.exp(-(GRID_NM - 540.0) / 10.0))


def test_layers_of_gel_multiply_at_each_wavelength(published):
    # Beer-Lambert, five decimals: LED-B3 through 0 to 3 layers of an amber edge, faces left out.
    for count, row in published("gel_layers")["layers"].items():
        films = [clear_sheet(AMBER, face=0.0)] * int(count)
        passed = pile(films).transmittance if films else np.ones(81)
        assert photopic(B3, passed) == pytest.approx(row["Y"], abs=TABLE * 1e-5)
        # the printed x, y are those of spectra drawn in 1 nm steps
        assert chromaticity(tristimulus(B3 * passed)) == pytest.approx(row["xy"], abs=2e-5)


def test_the_photometric_trap(published):
    # Multiplying photopic shares is wrong by 18 %; the layers must not do it.
    once = float(photopic(B3, AMBER))
    twice = float(photopic(B3, pile([clear_sheet(AMBER, face=0.0)] * 2).transmittance))
    assert once**2 == pytest.approx(0.52618, abs=TABLE * 1e-4)
    assert twice == pytest.approx(published("gel_layers")["layers"]["2"]["Y"], abs=TABLE * 1e-4)
    assert twice / once**2 == pytest.approx(1.225, abs=1e-3)


def test_published_scattering_layers(published):
    # Kubelka 1948, checked by the two-flux equations as a boundary value problem.
    values = published("kubelka_munk")
    for row in values["layer"]:
        sheet = scattering_sheet(np.array(row["K"] * row["X"]), np.array(row["S"] * row["X"]))
        assert sheet.transmittance == pytest.approx(row["T_free"], abs=1e-6)
        backing = np.array(row["Rg"])
        assert seen_from_face(sheet, behind=backing) == pytest.approx(row["R"], abs=1e-6)
        over = kubelka_munk.over(sheet.face_reflectance, sheet.transmittance, backing=backing)
        assert over == pytest.approx(row["R"], abs=1e-6)
    for reflectance, ratio in values["K_over_S"].items():
        found = kubelka_munk.ratio(np.array(float(reflectance)))
        assert found == pytest.approx(ratio, abs=TABLE * 1e-7)
        assert kubelka_munk.opaque(found) == pytest.approx(float(reflectance), abs=EXACT)
    assert kubelka_munk.opaque(np.array(0.25)) == pytest.approx(values["R_inf_K1_S4"], abs=EXACT)


@given(st.floats(1e-4, 3), st.floats(1e-4, 8))
def test_a_layer_solves_the_two_flux_equations(absorption, scatter):
    # Kubelka and Munk 1931: di/dx = -(S+K) i + S j, dj/dx = (S+K) j - S i, by scipy's solver.
    def fluxes(_, y):
        whole = scatter + absorption
        return np.stack([-whole * y[0] + scatter * y[1], whole * y[1] - scatter * y[0]])

    def ends(near, far):
        return np.array([near[0] - 1.0, far[1]])

    x = np.linspace(0.0, 1.0, 80)
    solved = solve_bvp(fluxes, ends, x, np.ones((2, 80)) * 0.5, tol=1e-6, max_nodes=5000)
    reflectance, transmittance = kubelka_munk.shares(np.array(absorption), np.array(scatter))
    assert reflectance == pytest.approx(solved.sol(0.0)[1], abs=PHYSICS)
    assert transmittance == pytest.approx(solved.sol(1.0)[0], abs=PHYSICS)


@given(st.floats(0, 0.98), st.floats(1e-3, 1))
def test_coefficients_give_the_shares_back(reflectance, transmittance):
    transmittance = min(transmittance, 1.0 - reflectance)
    r, t = np.array(reflectance), np.array(transmittance)
    again = kubelka_munk.shares(*kubelka_munk.coefficients(r, t))
    assert again[0] == pytest.approx(reflectance, abs=1e-5)
    assert again[1] == pytest.approx(transmittance, abs=1e-5)


def test_two_coats_are_one_of_twice_the_thickness():
    # The pile of two scattering layers and the thicker layer are the same thing (Kubelka 1954).
    k, s = np.array(0.3), np.array(1.7)
    once = scattering_sheet(k, s)
    twice = scattering_sheet(2 * k, 2 * s)
    assert laid_on(once, once).transmittance == pytest.approx(twice.transmittance, rel=EXACT)
    assert laid_on(once, once).face_reflectance == pytest.approx(twice.face_reflectance, rel=EXACT)


def test_smooth_surface_after_saunderson(published):
    # Saunderson 1942 with k1 .04, k2 .6: six decimals.
    values = published("saunderson")
    for body in (0.2, 0.5, 0.8):
        seen = kubelka_munk.through_surface(np.array(body), outside=0.04, inside=0.6)
        expected = values[f"{body:g}".removeprefix("0")]
        assert seen == pytest.approx(expected, abs=TABLE * 1e-6)
        back = kubelka_munk.without_surface(seen, outside=0.04, inside=0.6)
        assert back == pytest.approx(body, abs=EXACT)


def test_a_clear_film_is_two_faces_with_its_body_between():
    # The pile of plates by adding: two faces alone, then light that goes to and fro counted out.
    face, body = 0.05, 0.6
    passed = sum((1 - face) ** 2 * body * (face * body) ** (2 * k) for k in range(60))
    thrown = face + sum(
        (1 - face) ** 2 * body**2 * face * (face * body) ** (2 * k) for k in range(60)
    )
    sheet = clear_sheet(np.array(body), face=face)
    assert sheet.transmittance == pytest.approx(passed, abs=EXACT)
    assert sheet.face_reflectance == pytest.approx(thrown, abs=EXACT)


share = st.floats(0, 1)


@given(st.lists(st.tuples(share, share), min_size=2, max_size=5), share)
def test_no_pile_makes_light(parts, behind):
    sheets = []
    for transmittance, reflectance in parts:
        whole = max(transmittance + reflectance, 1.001)
        sheets.append(alike(np.array(transmittance / whole), np.array(reflectance / whole)))
    whole = pile(sheets)
    for reflectance in (whole.face_reflectance, whole.rear_reflectance):
        assert 0 <= reflectance <= 1 + EXACT
        assert reflectance + whole.transmittance <= 1 + EXACT
    backwards = pile(sheets[::-1])
    assert backwards.transmittance == pytest.approx(whole.transmittance, abs=EXACT)
    assert seen_from_face(whole, behind=np.array(behind)) <= 1 + EXACT
