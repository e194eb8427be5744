"""Hazes and beams as a maker types them, and widths of beams against closed forms."""

from math import acos, cos, degrees, log, radians

import pytest

from lamphouse.catalogue.cells import OutOfRange
from lamphouse.catalogue.light_spread import beam_points, film_haze, half_width_deg
from lamphouse.units import UnitError
from tolerances import EXACT

CHORD_DEG = 0.05
"""What straight lines between points two degrees apart leave open."""


def test_a_haze_is_read_in_any_order_and_what_is_not_said_is_none():
    for text in (
        "60 % even; 30 % within 24 deg; 10 % straight",
        "10% straight; 60% even;30 % within 24 deg",
    ):
        read = film_haze(text)
        found = (read.even, read.lobe, read.straight, read.width_deg)
        assert found == pytest.approx((0.6, 0.3, 0.1, 24.0), rel=EXACT)
    assert film_haze("90 % even; 10 % straight").lobe == 0.0


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("60 % even; 30 % within 24 deg", OutOfRange),
        ("60 % even; 50 % straight", OutOfRange),
        ("120 % even", OutOfRange),
        ("50 % even; 50 % within 120 deg", OutOfRange),
        ("50 % even; 50 % within 1 deg", OutOfRange),
        ("nan % even", UnitError),
        ("50 % even; 50 % even", UnitError),
        ("hazy", UnitError),
        ("60 % even; 40 % about", UnitError),
        ("", OutOfRange),
    ],
)
def test_a_haze_that_cannot_be_is_refused_with_one_that_can(text, kind):
    with pytest.raises(kind) as told:
        film_haze(text)
    assert told.value.remedy.startswith("write ")


@pytest.mark.parametrize("power", [1.0, 4.0, 20.0])
def test_a_beam_by_points_is_as_wide_as_its_formula(power):
    # cos^m halves at arccos(2^(-1/m)): for m = 1 at 60 degrees.
    angles = [2.0 * step for step in range(20)] + [5.0 * step for step in range(8, 19)]
    text = "; ".join(f"{100 * cos(radians(a)) ** power:.6f} % at {a} deg" for a in angles)
    exact = 2.0 * degrees(acos(2.0 ** (-1.0 / power)))
    assert half_width_deg(beam_points(text)) == pytest.approx(exact, abs=8 * CHORD_DEG)
    assert log(0.5) / log(cos(radians(exact / 2.0))) == pytest.approx(power, rel=EXACT)


def test_the_width_of_a_side_emitter_is_that_of_its_outer_edge():
    ring = beam_points("10 % at 0 deg; 100 % at 60 deg; 0 % at 80 deg")
    assert half_width_deg(ring) == pytest.approx(140.0, rel=EXACT)
    assert half_width_deg(beam_points("100 % at 0 deg; 100 % at 90 deg")) == 180.0


@pytest.mark.parametrize(
    "text",
    [
        "100 % at 0 deg",
        "100 % at 5 deg; 0 % at 90 deg",
        "100 % at 0 deg; 50 % at 60 deg; 40 % at 60 deg",
        "0 % at 0 deg; 0 % at 90 deg",
        "100 % at 0 deg; 50 % at 200 deg",
        "100 % at 0 deg; inf % at 60 deg",
        "100 %; 50 %",
        "; ".join(f"50 % at {angle} deg" for angle in range(41)),
    ],
)
def test_a_beam_that_cannot_be_is_refused(text):
    with pytest.raises(UnitError) as told:
        beam_points(text)
    assert told.value.remedy
