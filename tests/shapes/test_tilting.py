"""Bodies that lean on a plane, against the same bodies turned by rotation matrices."""

from math import cos, dist, hypot, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes.measure import area_mm2
from lamphouse.shapes.tilting import LEGS_MM, tilted, wedge_of
from tolerances import EXACT

sizes = st.floats(0.3, 6.0)
turns = st.floats(-360.0, 360.0)
tilts = st.floats(0.0, 90.0)

CHIP = (1.6, 0.8, 0.6)
DOME = (3.8, 3.8, 5.3)


def about_z(angle_deg):
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def about_y(angle_deg):
    """Turns z towards x."""
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def turned(points, *, turn, tilt, towards):
    """Turn a body in its seat, then lean it: the leaning axis is brought to x and back."""
    whole = about_z(towards) @ about_y(tilt) @ about_z(-towards) @ about_z(turn)
    return np.asarray(points) @ whole.T


def corners_of(length, width, height):
    return [
        (x * length / 2.0, y * width / 2.0, z)
        for z in (0.0, height)
        for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]


def lean(package, *, is_round=False, turn=0.0, tilt=0.0, towards=0.0):
    return tilted(package, is_round=is_round, turn_deg=turn, tilt_deg=tilt, towards_deg=towards)


@given(package=st.tuples(sizes, sizes, sizes), turn=turns, tilt=tilts, towards=turns)
def test_a_chip_is_turned_leaned_and_lifted_until_its_lowest_corner_rests(
    package, turn, tilt, towards
):
    expected = turned(corners_of(*package), turn=turn, tilt=tilt, towards=towards)
    expected[:, 2] -= expected[:, 2].min()
    body = lean(package, turn=turn, tilt=tilt, towards=towards)
    assert np.array(body.corners()) == pytest.approx(expected, abs=EXACT)
    assert body.top_mm == pytest.approx(expected[:, 2].max(), abs=EXACT)
    # The middle of its underside lies over the spot it is meant for.
    assert np.array(body.underside()).mean(axis=0)[:2] == pytest.approx([0.0, 0.0], abs=EXACT)


@given(package=st.tuples(sizes, sizes, sizes), turn=turns, tilt=tilts, towards=turns)
def test_what_a_chip_covers_is_its_shadow_straight_down(package, turn, tilt, towards):
    expected = turned(corners_of(*package), turn=turn, tilt=tilt, towards=towards)
    body = lean(package, turn=turn, tilt=tilt, towards=towards)
    cover = np.array([spot[:2] for spot in body.covers()])
    for angle in np.linspace(0.0, 2.0 * np.pi, 37):
        way = np.array([cos(angle), sin(angle)])
        assert (cover @ way).max() == pytest.approx((expected[:, :2] @ way).max(), abs=EXACT)


@pytest.mark.parametrize(
    ("tilt", "towards", "light"),
    [
        # 0.4 mm is half the chip's width; the light is 0.6 mm off the middle of its underside.
        (30.0, 90.0, (0.0, 0.3, 0.2 + 0.6 * 0.75**0.5)),
        (90.0, 90.0, (0.0, 0.6, 0.4)),
        # Along its length it is lifted by half of 1.6 mm times the sine.
        (30.0, 180.0, (-0.3, 0.0, 0.4 + 0.6 * 0.75**0.5)),
        (0.0, 45.0, (0.0, 0.0, 0.6)),
    ],
)
def test_the_light_of_a_small_chip_by_hand(tilt, towards, light):
    body = lean(CHIP, tilt=tilt, towards=towards)
    assert body.spot(off_mm=0.6) == pytest.approx(light, abs=EXACT)


@given(package=st.tuples(sizes, sizes, sizes), turn=turns, tilt=st.floats(0.1, 89.9), towards=turns)
def test_a_chip_lies_on_the_slope_of_its_wedge_and_the_wedge_on_the_plane(
    package, turn, tilt, towards
):
    body = lean(package, turn=turn, tilt=tilt, towards=towards)
    wedge = wedge_of(package, turn_deg=turn, tilt_deg=tilt, towards_deg=towards)
    corners = np.array(wedge.corners())
    slope = corners[[1, 2, 4, 5]]
    # The slope is a plane through all corners of the underside, square to the axis.
    axis = np.array(body.axis)
    heights = np.concatenate([slope, np.array(body.underside())]) @ axis
    assert np.ptp(heights) == pytest.approx(0.0, abs=EXACT)
    assert corners[:, 2].min() == 0.0
    # It is no smaller than the underside, and no larger than the least box round it.
    way = np.array([cos(radians(towards)), sin(radians(towards))])
    for across in (way, np.array([-way[1], way[0]])):
        under = np.array(body.underside())[:, :2] @ across
        assert np.ptp(corners[:, :2] @ across) == pytest.approx(np.ptp(under), abs=1e-7)
    assert hypot(wedge.foot_mm, wedge.high_mm) == pytest.approx(wedge.slope_mm, abs=EXACT)


@given(turn=turns, tilt=st.floats(0.1, 90.0), towards=turns)
def test_a_dome_stands_on_legs_bent_away_from_its_body(turn, tilt, towards):
    body = lean(DOME, is_round=True, turn=turn, tilt=tilt, towards=towards)
    under = np.array(body.underside())
    assert under[:, 2].min() >= -EXACT
    assert dist(body.bend_mm, body.foot_mm) == pytest.approx(LEGS_MM, abs=EXACT)
    assert body.bend_mm[:2] == pytest.approx((0.0, 0.0), abs=EXACT)
    assert body.bend_mm[2] >= -EXACT
    leg = (np.array(body.foot_mm) - body.bend_mm) / LEGS_MM
    assert leg == pytest.approx(np.array(body.axis), abs=EXACT)
    assert body.axis[2] == pytest.approx(cos(radians(tilt)), abs=EXACT)
    # The top of its cap: half a ball of 1.9 mm whose middle lies 3.4 mm along the axis.
    assert body.top_mm == pytest.approx(body.foot_mm[2] + 3.4 * body.axis[2] + 1.9, abs=EXACT)


def test_a_dome_that_stands_straight_stands_on_its_seat():
    body = lean(DOME, is_round=True, towards=70.0)
    assert body.foot_mm == (0.0, 0.0, 0.0)
    assert (body.axis, body.top_mm) == ((0.0, 0.0, 1.0), pytest.approx(5.3, abs=EXACT))


def test_a_dome_lying_down_covers_its_side():
    # 32 corners for a circle take off 0.6 % of it at most.
    body = lean(DOME, is_round=True, tilt=90.0, towards=0.0)
    lies = 3.4 * 3.8 + np.pi * 1.9**2 / 2.0
    foot = body.foot_mm[0] * 1.9  # the triangle to its legs
    assert area_mm2(body.covers()) == pytest.approx(lies + foot, rel=0.006)


def test_at_whole_quarter_turns_nothing_is_off_by_the_noise_of_a_cosine():
    body = lean(CHIP, turn=90.0, tilt=30.0, towards=90.0)
    assert body.across == (-1.0, 0.0, 0.0)
    assert body.axis[0] == 0.0
