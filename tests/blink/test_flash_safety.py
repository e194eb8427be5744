"""Flash safety against the words of WCAG 2.2 (2.3.1, definition of flashes) and ITU-R BT.1702-3.

Three flashes in a second are allowed, more are not; a flash is a pair of opposing changes of 10 %
of the brightest white whose darker state is below 80 % of it; 0.006 sr is the area allowed.
BT.1702: 20 cd/m2 from below 160 cd/m2, else a Michelson contrast of 1/17.
"""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.blink.flash_safety import (
    FlashingLight,
    flash_safety,
    swings_of,
)
from lamphouse.blink.time_table import PlayedScene, TimeTable
from lamphouse.blink.track import Track, joined, steps_of
from lamphouse.design.day_scenes import Trigger

LARGE = 0.0061 * 600.0**2
SMALL = 0.0059 * 600.0**2


def table(*tracks: Track, **scene) -> TimeTable:
    known = {"name": "", "trigger": Trigger.IN_TURN, "length": None, "every": None, "fade": 0}
    played = PlayedScene(tracks=tracks, **{**known, **scene})
    names = tuple(f"g{place}" for place in range(len(tracks)))
    return TimeTable(groups=names, scenes=(played,), seed=1)


def square(period: int, *, low: float = 0.0, high: float = 1.0) -> Track:
    dark, lit = (round(float(steps_of(share))) for share in (low, high))
    half = period // 2
    return joined([(0, lit), (half, lit), (0, dark), (period - half, dark)], first=dark)


def judged(*tracks: Track, area_mm2: float = LARGE, **light):
    lights = [
        FlashingLight(group=f"g{place}", area_mm2=area_mm2, **light) for place in range(len(tracks))
    ]
    return flash_safety(table(*tracks), lights=lights, distance_mm=600.0)


def test_three_flashes_in_a_second_are_allowed_and_more_are_not():
    assert judged(square(80)).is_safe  # exactly 3 Hz
    too_fast = judged(square(79))
    assert not too_fast.is_safe
    assert too_fast.groups[0].most_in_a_second > 3.0


def test_what_is_small_to_the_eye_may_flash():
    assert judged(square(40), area_mm2=SMALL).is_safe
    assert not judged(square(40), area_mm2=LARGE).is_safe


def test_areas_that_flash_within_the_same_second_add_up():
    half = SMALL * 0.6
    assert judged(square(40), area_mm2=half).is_safe
    assert not judged(square(40), square(44), area_mm2=half).is_safe


@pytest.mark.parametrize(
    ("low", "high", "flashes"),
    [(0.5, 0.57, False), (0.5, 0.63, True), (0.82, 1.0, False), (0.75, 1.0, True)],
)
def test_only_changes_of_a_tenth_from_below_four_fifths_count(low, high, flashes):
    assert judged(square(40, low=low, high=high)).is_safe is not flashes


def test_a_saturated_red_counts_from_a_sixteenth():
    track = square(40, low=0.5, high=0.58)
    assert judged(track).is_safe
    assert not judged(track, is_red=True).is_safe


@pytest.mark.parametrize(
    ("luminance", "low", "flashes"),
    [
        (19.0, 0.0, False),
        (21.0, 0.0, True),
        (1000.0, 0.79, True),
        (100.0, 0.79, True),
        (90.0, 0.79, False),
    ],
)
def test_dim_light_does_not_flash(luminance, low, flashes):
    assert judged(square(40, low=low), luminance_cd_m2=luminance).is_safe is not flashes


def test_a_fade_up_and_down_is_a_flash_too():
    assert not judged(joined([(35, 255), (35, 0)], first=0)).is_safe


def test_a_ripple_on_a_slow_swell_is_none():
    time = np.arange(960)
    played = 0.5 - 0.4 * np.cos(2 * np.pi * time / 480) + 0.03 * np.sin(2 * np.pi * time / 24)
    assert len(swings_of(played, light=FlashingLight(group="g", area_mm2=1.0))) == 4


@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=60))
def test_swings_alternate_and_every_one_is_large_enough(values):
    played = np.repeat(values, 3)
    swings = swings_of(played, light=FlashingLight(group="g", area_mm2=1.0, is_red=True))
    heights = [played[tick] for tick in swings]
    for (first, second), (_, third) in zip(
        pairwise(heights), list(pairwise(heights))[1:], strict=False
    ):
        assert (second - first) * (third - second) < 0.0
    assert all(abs(b - a) >= 0.0625 for a, b in pairwise(heights))
    # No larger climb is left out between two swings: the path between them is as wide as they are.
    for a, b in pairwise(swings):
        part = played[a : b + 1]
        assert np.ptp(part) <= abs(played[b] - played[a]) + 0.0625


def test_a_scene_behind_a_button_is_looked_at_too():
    calm = square(480)
    lively = PlayedScene(
        name="storm",
        trigger=Trigger.BUTTON,
        length=480,
        every=None,
        fade=0,
        tracks=(square(40),),
    )
    base = table(calm)
    both = TimeTable(groups=base.groups, scenes=(*base.scenes, lively), seed=1)
    lights = [FlashingLight(group="g0", area_mm2=LARGE)]
    assert flash_safety(base, lights=lights, distance_mm=600.0).is_safe
    assert not flash_safety(both, lights=lights, distance_mm=600.0).is_safe


def test_a_lamp_among_steady_ones_changes_the_room_by_its_share():
    track = square(40)
    assert judged(track, share=0.19).is_safe  # never below four fifths
    assert not judged(track, share=0.3).is_safe
