from math import cosh, prod, sinh, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.film_spectra import scatters
from lamphouse.light.layer_stack import fold, is_coloured
from light.designs import film, layers
from tolerances import EXACT, TABLE


def kubelka_munk(scatter, absorption):
    """Transmittance and reflectance of a layer alone [KUBELKA-MUNK], hyperbolic solution."""
    a = 1.0 + absorption / scatter
    b = sqrt(a * a - 1.0)
    below = a * sinh(b * scatter) + b * cosh(b * scatter)
    return b / below, sinh(b * scatter) / below


@pytest.mark.parametrize("count", [2, 3, 7])
@pytest.mark.parametrize(("scatter", "absorption"), [(0.3, 0.02), (1.7, 0.4), (0.05, 1.2)])
def test_layers_add_up_to_one_thick_layer(scatter, absorption, count):
    """A layer of scatter S and absorption K laid n times is one of nS and nK."""
    stack = fold(layers(*[film(*kubelka_munk(scatter, absorption))] * count))
    thick = kubelka_munk(count * scatter, count * absorption)
    assert (stack.transmittance, stack.rear_reflectance) == pytest.approx(thick, rel=EXACT)


def test_scattering_without_loss_follows_the_plain_limit():
    """Kubelka-Munk without absorption: T = 1 / (1 + S), R = S / (1 + S)."""
    stack = fold(layers(film(1 / 1.5, 0.5 / 1.5), film(1 / 3.5, 2.5 / 3.5)))
    assert stack.transmittance == pytest.approx(1 / 4.0, rel=EXACT)
    assert stack.rear_reflectance == pytest.approx(3.0 / 4.0, rel=EXACT)


SHARE = st.floats(0.01, 0.99)


@given(st.lists(SHARE, min_size=1, max_size=6))
def test_films_without_loss_lose_nothing_together(reflectances):
    stack = fold(layers(*[film(1.0 - share, share) for share in reflectances]))
    assert stack.transmittance + stack.rear_reflectance == pytest.approx(1.0, rel=EXACT)
    assert stack.transmittance + stack.face_reflectance == pytest.approx(1.0, rel=EXACT)


@given(st.lists(st.tuples(SHARE, SHARE), min_size=2, max_size=5))
def test_turned_round_a_stack_passes_the_same(pairs):
    films = [film(through * (1.0 - back), back) for through, back in pairs]
    there, back = fold(layers(*films)), fold(layers(*reversed(films)))
    assert there.transmittance == pytest.approx(back.transmittance, rel=EXACT)
    assert there.rear_reflectance == pytest.approx(back.face_reflectance, rel=EXACT)


def test_no_layer_is_an_open_hole():
    assert fold(()) is None


@pytest.mark.parametrize("index", [1.49, 1.59, 1.6])
def test_smooth_faces_of_acrylic_polycarbonate_and_polyester_are_clear(index):
    """Two faces at right angles [FRESNEL]; indices of the three plastics are from memory."""
    face = ((index - 1.0) / (index + 1.0)) ** 2
    clear = film(0.85, 2.0 * face / (1.0 + face), use="gel")
    assert not scatters(clear)
    assert is_coloured(clear)


def test_a_white_coat_scatters_and_a_diffuser_does_by_its_use():
    assert scatters(film(0.45, 0.5, use="tint coat"))
    assert scatters(film(0.85, 0.08, use="diffuser"))


def test_two_amber_layers_lie_within_the_bounds_of_grey_sums():
    """Computed per wavelength for a published LED spectrum: 0.72538 once, 0.64454 twice.

    The product of the grey shares, 0.526, is far off.
    """
    amber = film(0.72538, 0.0, use="gel")
    once, twice = fold(layers(amber)), fold(layers(amber, amber))
    assert (once.least_colour_share, once.most_colour_share) == (1.0, 1.0)
    least, most = (
        share * twice.transmittance for share in (twice.least_colour_share, twice.most_colour_share)
    )
    assert least == pytest.approx(0.526, abs=TABLE * 1e-3)
    assert least < 0.64454 < most


@given(
    st.lists(st.lists(st.floats(0.05, 1.0), min_size=12, max_size=12), min_size=2, max_size=3),
    st.lists(st.floats(0.01, 1.0), min_size=12, max_size=12),
    st.booleans(),
)
def test_no_spectrum_leaves_the_bounds(spectra, weights, same):
    """Layers multiplied wavelength by wavelength, under any light."""
    spectra = [spectra[0]] * len(spectra) if same else spectra
    light = np.array(weights) / sum(weights)
    grey = [float(np.array(spectrum) @ light) for spectrum in spectra]
    true = float(np.prod(np.array(spectra), axis=0) @ light)
    names = ["one"] * len(grey) if same else [str(number) for number in range(len(grey))]
    gels = [film(share, 0.0, name=name, use="gel") for share, name in zip(grey, names, strict=True)]
    stack = fold(layers(*gels))
    product = prod(grey)
    assert stack.least_colour_share * product <= true * (1.0 + EXACT) + EXACT
    assert true <= stack.most_colour_share * product * (1.0 + EXACT) + EXACT


OPAL, SANDED = film(0.6, 0.36), film(0.85, 0.1)
NEUTRAL = film(0.126, 0.06, use="gel")


@pytest.mark.parametrize(
    ("films", "weak"),
    [
        ((OPAL,), False),
        ((SANDED,), True),
        ((NEUTRAL, OPAL), False),
        ((OPAL, NEUTRAL), False),
        ((NEUTRAL, SANDED), True),
        ((SANDED,) * 4, False),
        ((NEUTRAL,), False),
        ((film(0.0, 0.0),), False),
    ],
)
def test_only_what_scatters_decides_whether_a_stack_is_weak(films, weak):
    assert fold(layers(*films)).is_weak is weak
