"""Inks on paper and on film: process colours, the halving of density, and no light from nowhere."""

from math import log10

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.difference import difference
from lamphouse.colour.halftone import clapper_yule
from lamphouse.colour.inks import INKJET, LASER, transmittance
from lamphouse.colour.lab import to_lab
from lamphouse.colour.layers import alike
from lamphouse.colour.observer import photopic, room_light, under
from lamphouse.colour.print_film import PAPER, PAPER_SURFACE, STRAY, TRAPPED, on_film, on_paper
from tolerances import EXACT, PHYSICS

D50 = room_light("D50").values
SOLIDS = {
    "cyan": [1, 0, 0, 0],
    "magenta": [0, 1, 0, 0],
    "yellow": [0, 0, 1, 0],
    "black": [0, 0, 0, 1],
    "red": [0, 1, 1, 0],
    "green": [1, 0, 1, 0],
    "blue": [1, 1, 0, 0],
}
FILMS = [(0.88, 0.09), (0.78, 0.17), (0.45, 0.5), (0.35, 0.58), (0.92, 0.06), (0.999, 0.0005)]
"""Transmittance and reflectance: clear, matt and white ones, and some that hardly exist."""
GENERIC = 4.0
"""CIEDE2000 within which guessed inks count as process inks; a just seen step is about 1."""


def film(passes, throws):
    return alike(np.full(81, passes), np.full(81, throws))


@pytest.mark.parametrize("name", SOLIDS)
def test_solids_on_paper_look_like_process_inks(name, published):
    # ISO 12647-2:2004, from memory (README beside the values).
    wanted = published("process_colours")["lab_D50"][name]
    white = under(D50, np.ones(81))
    seen = to_lab(under(D50, on_paper(np.array(SOLIDS[name], float), inks=INKJET)), white=white)
    assert difference(seen, np.array(wanted, float)) < GENERIC


def densities(amount):
    """Give the densities of a tint of black by transmission and on paper."""
    ink = np.array([[0.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, amount]])
    through = photopic(D50, transmittance(ink, inks=INKJET))
    on = photopic(D50, on_paper(ink, inks=INKJET))
    return log10(through[0] / through[1]), log10(on[0] / on[1])


def test_ink_passed_twice_is_twice_as_dense(published):
    # T = 10^(-Dr / 2): first order, from memory (README beside the values); that is paper which
    # throws all back and a surface that throws nothing.
    for wanted, passed in published("double_pass")["transmittance_by_density_on_paper"].items():
        on = clapper_yule(
            np.array(passed),
            mean_square=np.array(passed**2),
            ground=np.array(1.0),
            outside=0.0,
            inside=0.0,
        )
        assert -log10(on) == pytest.approx(float(wanted), abs=1e-4)


def test_real_paper_departs_from_twice_at_both_ends():
    # Thin ink is passed again each time the surface sends light back: the slope of the sum is
    # 2 / (1 - rg ri) less what the surface adds; black on paper ends at what the surface throws
    # back. Solid colours lie within 20 % of twice, as the rule has it (README beside the values).
    through, on = zip(*map(densities, (1e-4, 0.1, 0.3, 0.6, 0.7, 1.0)), strict=True)
    ratios = np.array(on) / np.array(through)
    bare = photopic(D50, on_paper(np.zeros(4), inks=INKJET))
    slope = 2.0 / (1.0 - PAPER * TRAPPED) * (1.0 - PAPER_SURFACE / bare)
    assert ratios[0] == pytest.approx(slope, rel=PHYSICS)
    assert (np.diff(ratios) < 0.0).all()
    assert ratios[3:5] == pytest.approx(2.0, rel=0.2)
    assert ratios[-1] < 1.7


@pytest.mark.parametrize("shares", FILMS)
@pytest.mark.parametrize("inks", [INKJET, LASER], ids=lambda inks: inks.name)
def test_a_film_without_ink_is_the_bare_film(shares, inks):
    bare = film(*shares)
    printed = on_film(np.zeros((2, 4)), inks=inks, bare=bare)
    assert printed.transmittance == pytest.approx(np.full((2, 81), shares[0]), abs=EXACT)
    assert printed.face_reflectance == pytest.approx(np.full((2, 81), shares[1]), abs=EXACT)
    assert printed.rear_reflectance == pytest.approx(np.full((2, 81), shares[1]), abs=EXACT)


@given(
    st.lists(st.floats(0.0, 1.0), min_size=4, max_size=4),
    st.floats(0.001, 0.999),
    st.floats(0.0, 1.0),
    st.sampled_from([INKJET, LASER]),
)
def test_ink_takes_light_and_never_makes_any(amounts, passes, rest, inks):
    bare = film(passes, rest * (0.999 - passes))
    printed = on_film(np.array([amounts]), inks=inks, bare=bare)
    for name in ("transmittance", "rear_reflectance", "face_reflectance"):
        inked, without = getattr(printed, name), getattr(bare, name)
        assert inked.min() >= -EXACT
        assert (inked <= without + EXACT).all()


def test_ink_on_a_white_film_is_passed_twice_by_reflection():
    bare = film(0.45, 0.5)
    printed = on_film(np.array([[0.0, 0.0, 0.0, 0.4]]), inks=INKJET, bare=bare)
    ink = transmittance(np.array([0.0, 0.0, 0.0, 0.4]), inks=INKJET)
    back = (printed.face_reflectance - STRAY) / (bare.face_reflectance - STRAY)
    assert (back < ink**2).all()
    assert (printed.transmittance / bare.transmittance < ink).all()


def test_dots_let_more_through_than_thin_ink_of_the_same_mean_density():
    # a half of the area left clear passes half the light, whatever the ink: Murray-Davies
    half = on_film(np.array([[0.0, 0.0, 0.0, 0.5]]), inks=LASER, bare=film(0.88, 0.09))
    assert (half.transmittance > 0.44).all()
    thin = on_film(np.array([[0.0, 0.0, 0.0, 0.5]]), inks=INKJET, bare=film(0.88, 0.09))
    assert (thin.transmittance < 0.25).all()
