"""CIECAM16 against another package."""

import numpy as np
import pytest

from lamphouse.colour.appearance import Surround, Viewing, appearance

COLOURS = np.array(
    [[19.01, 20, 21.78], [57.06, 43.06, 31.96], [3.53, 6.56, 2.14], [95.05, 100, 108.88]]
)
WHITE = np.array([109.85, 100.0, 35.58])


@pytest.mark.parametrize("surround", Surround)
@pytest.mark.parametrize("adapting_cd_m2", [318.31, 31.83, 0.5])
def test_it_agrees_with_another_package(surround, adapting_cd_m2, witness):
    # colour-science 0.4.7: XYZ_to_CIECAM16.
    other = witness.XYZ_to_CIECAM16(
        COLOURS,
        WHITE,
        adapting_cd_m2,
        20.0,
        witness.VIEWING_CONDITIONS_CIECAM16[surround.name.title()],
    )
    viewing = Viewing(white=WHITE, adapting_cd_m2=adapting_cd_m2, surround=surround)
    found = appearance(COLOURS, viewing=viewing)
    assert found.lightness == pytest.approx(other.J, abs=1e-9)
    assert found.chroma == pytest.approx(other.C, abs=1e-9)
    assert found.colourfulness == pytest.approx(other.M, abs=1e-9)
    assert found.hue_deg == pytest.approx(other.h, abs=1e-9)


def test_a_printed_example_of_the_model():
    # Li et al., Color Res. Appl. 42, 2017, worked example as colour-science 0.4.7 quotes it:
    # X, Y, Z 19.01 20 21.78 under 95.05 100 108.88, LA 318.31, Yb 20, average surround.
    viewing = Viewing(white=np.array([95.05, 100.0, 108.88]), adapting_cd_m2=318.31)
    found = appearance(COLOURS[0], viewing=viewing)
    assert found.lightness == pytest.approx(41.7312, abs=5e-5)
    assert found.chroma == pytest.approx(0.10335574, abs=1e-6)
    assert found.colourfulness == pytest.approx(0.10743668, abs=1e-6)
    assert found.hue_deg == pytest.approx(217.067960, abs=1e-5)


def test_dim_light_takes_colour_away():
    bright = Viewing(white=WHITE, adapting_cd_m2=200.0)
    dim = Viewing(white=WHITE, adapting_cd_m2=0.2)
    more, less = (appearance(COLOURS[1], viewing=one).colourfulness for one in (bright, dim))
    assert less < 0.8 * more
    assert appearance(np.zeros(3), viewing=dim).lightness == pytest.approx(0.0, abs=1e-9)
