"""Tracks: light against published values, means against sums over many points."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.blink.track import FULL, Track, joined, light_of, mean_light, steps_at, steps_of
from tolerances import EXACT, TABLE

# Lightness to luminance, CIE 1976 (ISO/CIE 11664-4), inverse with kappa 24389/27; checked there
# against colour-science's luminance_CIE1976.
POINTS = 1e-5
"""What a sum over 400 points a tick may miss beside a jump of light."""
PUBLISHED = ((0, 0.0), (10, 0.01126), (20, 0.029891), (30, 0.062359), (40, 0.11251))
PUBLISHED += ((50, 0.184187), (60, 0.281233), (70, 0.407494), (80, 0.566813), (90, 0.763034))
PUBLISHED += ((100, 1.0),)

tracks = st.builds(
    lambda first, lead, pieces: joined([*pieces, (3, 9)], first=first, lead=lead),
    st.integers(0, FULL),
    st.lists(st.tuples(st.integers(0, 50), st.integers(0, FULL)), max_size=3),
    st.lists(st.tuples(st.integers(0, 50), st.integers(0, FULL)), max_size=8),
)


@pytest.mark.parametrize(("lightness", "light"), PUBLISHED)
def test_light_is_the_inverse_of_cie_lightness(lightness: float, light: float) -> None:
    assert float(light_of(lightness * FULL / 100.0)) == pytest.approx(light, abs=TABLE * 1e-6)


@given(st.floats(0.0, 1.0))
def test_steps_and_light_undo_each_other(light: float) -> None:
    assert float(light_of(steps_of(light))) == pytest.approx(light, abs=EXACT)


@given(tracks)
def test_the_mean_is_that_of_many_points(track: Track) -> None:
    fine = 400
    times = track.lead_in + (np.arange(track.length * fine) + 0.5) / fine
    assert mean_light(track) == pytest.approx(
        float(light_of(steps_at(track, times)).mean()), abs=POINTS
    )


@given(tracks, st.integers(0, 5))
def test_a_track_repeats(track: Track, loops: int) -> None:
    times = track.lead_in + np.linspace(0.0, track.length, 50, endpoint=False)
    later = steps_at(track, times + loops * track.length)
    assert later == pytest.approx(steps_at(track, times), abs=1e-6)


def test_after_a_jump_the_new_value_holds() -> None:
    track = Track(first=0, ticks=(10, 0, 10), ends=(0, 255, 255))
    assert steps_at(track, [9, 10, 19, 20]).tolist() == [0.0, 255.0, 255.0, 0.0]


def test_pieces_in_one_line_are_joined() -> None:
    track = joined([(5, 7), (5, 7), (0, 7), (5, 7), (5, 0)], first=7)
    assert (track.ticks, track.ends) == ((15, 5), (7, 0))


def test_what_leads_in_plays_once() -> None:
    track = joined([(4, 9)], first=0, lead=[(2, 255)])
    assert steps_at(track, [0, 1, 2, 6, 10]).tolist() == [0.0, 127.5, 255.0, 255.0, 255.0]


@pytest.mark.parametrize("pieces", [[], [(0, 9)], [(4, 256)], [(4, -1)]])
def test_no_track_without_time_or_outside_the_steps(pieces: list[tuple[int, int]]) -> None:
    with pytest.raises(ValueError, match=r"tick|between"):
        joined(pieces, first=3)
