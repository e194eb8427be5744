"""Patterns laid as tracks: shares and means as set, turns in order, the same from the same seed."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.blink.beats import Turn
from lamphouse.blink.chance import most_mean
from lamphouse.blink.laid_time import dimmed, seed_of, track_of
from lamphouse.blink.track import TICKS_PER_S, Track, light_of, mean_light, steps_at
from lamphouse.design.pattern import BEATS, GLOWING, Pattern, PatternKind
from lamphouse.record import replace

STEP = 0.01
"""Light of about one step of lightness where the eye has most of them."""

kinds = st.sampled_from(list(PatternKind))
patterns = st.builds(
    Pattern,
    kind=kinds,
    period_s=st.floats(0.05, 20.0),
    fade_s=st.floats(0.0, 0.02),
    duty=st.none() | st.floats(0.0, 1.0),
    level=st.none() | st.floats(0.0, 1.0),
    phase=st.none() | st.floats(0.0, 1.0),
    repeat_s=st.floats(1.0, 20.0),
    lag_s=st.sampled_from([0.0, 0.0, 0.1]),
)


def laid(pattern: Pattern, *, seed: int = 5, turn: Turn | None = None) -> Track:
    return track_of(pattern, turn=turn or Turn(), seed=seed)


def loop_of(track: Track) -> np.ndarray:
    return steps_at(track, track.lead_in + np.arange(track.length))


@given(patterns, st.integers(0, 2**40))
def test_every_pattern_is_a_track_that_repeats_when_it_should(pattern: Pattern, seed: int) -> None:
    track = laid(pattern, seed=seed)
    assert track == laid(pattern, seed=seed)
    assert all(0 <= step <= 255 for step in (track.first, *track.ends))
    assert all(ticks >= 0 for ticks in track.ticks)
    if pattern.kind in BEATS:
        assert pattern.period_s is not None
        assert track.length == max(round(pattern.period_s * TICKS_PER_S), 2)
    elif pattern.kind not in {PatternKind.STEADY, PatternKind.STRIKE}:
        assert track.length == round(pattern.repeat_s * TICKS_PER_S)


@pytest.mark.parametrize("kind", GLOWING)
@given(level=st.floats(0.02, 0.9), seed=st.integers(0, 2**31))
def test_flames_and_screens_keep_the_mean_that_is_set(
    kind: PatternKind, level: float, seed: int
) -> None:
    # Common practice, no source: the average of a flame equals the set level.
    pattern = Pattern(kind=kind, level=level)
    most = most_mean(pattern, draws=np.random.Generator(np.random.PCG64(seed)))
    track = laid(pattern, seed=seed)
    assert mean_light(track) == pytest.approx(min(level, most), abs=STEP / 4)
    light = light_of(loop_of(track))
    assert light.mean() == pytest.approx(mean_light(track), abs=STEP / 4)


@pytest.mark.parametrize("kind", [PatternKind.RANDOM, PatternKind.DATA, PatternKind.WELDING])
@given(duty=st.floats(0.05, 0.95), seed=st.integers(0, 2**31))
def test_what_is_switched_by_chance_is_lit_for_the_share_that_is_set(
    kind: PatternKind, duty: float, seed: int
) -> None:
    track = laid(Pattern(kind=kind, duty=duty), seed=seed)
    assert (loop_of(track) > 0).mean() == pytest.approx(duty, abs=1.0 / track.length)


@given(st.integers(2, 9), st.floats(0.3, 10.0))
def test_one_lamp_of_a_chase_is_lit_at_any_time(count: int, period_s: float) -> None:
    pattern = Pattern(kind=PatternKind.CHASE, period_s=period_s)
    lit = [loop_of(laid(pattern, turn=Turn(place=place, of=count))) > 0 for place in range(count)]
    together = np.sum(lit, axis=0)
    # Turns end on whole ticks: two lamps meet, or none is lit, for a tick at most between turns.
    assert (together != 1).sum() <= count
    first = [int(np.argmax(each & ~np.roll(each, 1))) for each in lit]
    assert first == sorted(first)


def test_the_lamps_of_a_crossing_are_never_lit_together() -> None:
    # 45 to 65 flashes a minute of each lamp (a public handbook of grade crossings).
    pattern = Pattern(kind=PatternKind.CROSSING, period_s=60.0 / 50.0)
    one, other = (loop_of(laid(pattern, turn=Turn(place=place, of=2))) > 0 for place in (0, 1))
    assert not (one & other).any()
    assert (one | other).all()


def test_a_beacon_flashes_once_a_period_with_its_fades() -> None:
    track = laid(Pattern(kind=PatternKind.BEACON, period_s=6.0, fade_s=0.3, duty=0.1))
    steps = loop_of(track)
    assert track.length == 6 * TICKS_PER_S
    assert ((steps[1:] > 0) & (steps[:-1] == 0)).sum() == 1
    rise = np.diff(steps[: round(0.3 * TICKS_PER_S) + 1])
    assert rise == pytest.approx(np.full(len(rise), 255 / 72))  # a straight line of lightness


def test_the_three_phases_of_an_alarm_follow_each_other_evenly() -> None:
    pattern = Pattern(kind=PatternKind.ALARM, period_s=1.5)
    peaks = [
        int(np.argmax(loop_of(laid(pattern, turn=Turn(place=place, of=3))))) for place in range(3)
    ]
    apart = [(later - before) % 360 for before, later in pairwise([*peaks, peaks[0]])]
    assert apart == pytest.approx([120, 120, 120], abs=3)


def test_a_tube_blinks_two_to_five_times_within_two_seconds_then_burns() -> None:
    # Two to five dim blinks over 0.5 to 2 s: common practice, no source.
    counts = set()
    for seed in range(60):
        track = laid(Pattern(kind=PatternKind.STRIKE), seed=seed)
        steps = steps_at(track, np.arange(track.lead_in + 10 * TICKS_PER_S))
        dark = np.flatnonzero(steps == 0)
        assert 0.5 <= (dark[-1] + 1) / TICKS_PER_S <= 2.0 + 1 / TICKS_PER_S
        assert (steps[track.lead_in :] == 255).all()
        counts.add(int(((steps[1:] > 0) & (steps[:-1] == 0)).sum() + (steps[0] > 0)))
    assert counts == {3, 4, 5, 6}  # two to five blinks, then the burning


def test_an_old_lamp_comes_on_along_its_time_constant() -> None:
    lag_s = 0.2
    pattern = Pattern(kind=PatternKind.BEACON, period_s=8.0, duty=0.5)
    steps = loop_of(laid(replace(pattern, lag_s=lag_s)))
    seconds = np.arange(0, 4 * TICKS_PER_S) / TICKS_PER_S
    closed_form = 1.0 - np.exp(-(seconds) / lag_s)  # first-order step response
    assert light_of(steps[: len(seconds)]) == pytest.approx(closed_form, abs=2.5 * STEP)


@given(patterns, st.floats(0.0, 1.0))
def test_a_level_of_a_scene_dims_in_light(pattern: Pattern, share: float) -> None:
    track = laid(pattern)
    full, dim = light_of(track.ends), light_of(dimmed(track, share=share).ends)
    assert dim == pytest.approx(full * share, abs=STEP)


def test_groups_without_a_seed_do_not_blink_alike() -> None:
    pattern = Pattern(kind=PatternKind.RANDOM)
    seeds = {seed_of(f"group {number}", pattern=pattern, seed=7) for number in range(500)}
    assert len(seeds) == 500
    assert seed_of("a", pattern=replace(pattern, seed=3), seed=7) == 3
