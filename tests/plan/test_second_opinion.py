"""Second opinions: they agree with the solver, repeat themselves, and say when there are none."""

import pytest

from lamphouse.light import walkable
from lamphouse.light.equal_boxes import at_datum
from lamphouse.plan.second_opinion import second_opinions
from lamphouse.record import replace
from outputs.sample_plan import glow


def silent(_done, _of, _what):
    pass


def opinion(**changes):
    wanted = {"seed": 7, "tell": silent, "relative_error": 0.008, "most_walks": 200_000}
    (found,) = second_opinions([glow("chart table")], **(wanted | changes))
    return found


def test_random_walks_agree_with_the_solver():
    pytest.importorskip("numba")
    judged = glow("chart table").openings[0]
    (seen,) = opinion().found
    allowed = 3.0 * seen.error_cd_m2 + judged.bar_cd_m2
    assert abs(seen.mean_cd_m2 - judged.mean_cd_m2) < allowed
    assert seen.error_cd_m2 < 0.01 * seen.mean_cd_m2


def test_a_seed_repeats_itself_and_another_does_not():
    pytest.importorskip("numba")
    assert opinion() == opinion()
    assert opinion(seed=8).found != opinion().found


def test_progress_is_told_and_may_stop_the_walks():
    pytest.importorskip("numba")
    told = []

    def stop(done, of, what):
        told.append((done, of, what))
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        opinion(tell=stop)
    assert told[0][:2] == (0, 1)
    assert "screen box" in told[0][2]


def test_without_the_compiler_the_opinion_says_what_to_install(monkeypatch):
    monkeypatch.setattr(walkable, "find_spec", lambda _name: None)
    refused = opinion()
    assert refused.found == ()
    assert not refused.reached
    assert "numba" in refused.refused
    assert "extra 'verify'" in refused.refused


def test_boxes_that_are_alike_are_walked_through_once_and_keep_their_names():
    pytest.importorskip("numba")
    one = glow("chart table")
    moved = at_datum(one.scene)
    named = tuple(replace(each, name="other") for each in moved.apertures)
    openings = tuple(replace(each, opening="other") for each in one.openings)
    twin = replace(one, box="twin", scene=replace(moved, apertures=named), openings=openings)
    told = []
    first, second = second_opinions(
        [one, twin],
        seed=7,
        tell=lambda done, _of, what: told.append((done, what)),
        relative_error=0.008,
        most_walks=200_000,
    )
    assert {done for done, _ in told} == {0}
    assert [seen.opening for seen in second.found] == ["other"]
    assert second.found[0].mean_cd_m2 == first.found[0].mean_cd_m2
    assert first == opinion()
