"""Jobs that share resources: a library instance at its optimum, and brute force on small ones."""

from itertools import permutations
from pathlib import Path

import numpy as np
import pytest

from lamphouse.build.resource_schedule import Job, Problem, end_of, least_end, search, serial
from lamphouse.build.slot_calendar import SlotCalendar, first_of, windows, without_end
from lamphouse.record import replace

INSTANCE = Path(__file__).parents[1] / "reference" / "scheduling" / "j301_1.sm"
OPTIMUM, CRITICAL_PATH = 43, 38
"""Of j301_1, PSPLIB's list of optima (tests/reference/scheduling)."""


def psplib(text):
    """Read an instance in the library's own format."""
    follow = {
        int(row[0]): [int(one) for one in row[3:]] for row in _rows(text, "PRECEDENCE RELATIONS:")
    }
    asked = {
        int(row[0]): [int(one) for one in row[2:]] for row in _rows(text, "REQUESTS/DURATIONS:")
    }
    levels = next(iter(_rows(text, "RESOURCEAVAILABILITIES:")))
    jobs = tuple(
        Job(
            lasts=asked[name][0],
            needs=tuple(asked[name][1:]),
            after=tuple(other - 1 for other in follow if name in follow[other]),
        )
        for name in sorted(asked)
    )
    calendar = without_end(sum(job.lasts for job in jobs) + 1)
    return Problem(jobs=jobs, levels=tuple(map(int, levels)), calendar=calendar)


def _rows(text, heading):
    for line in text.split(heading)[1].split("*****")[0].splitlines():
        words = line.split()
        if words and words[0].isdigit():
            yield words


def assert_holds(problem, starts):
    """Check a schedule slot by slot, with nothing that made it."""
    used = np.zeros((len(problem.levels), problem.calendar.count), dtype=int)
    for job, at in zip(problem.jobs, starts, strict=True):
        assert at is not None
        for before in job.after:
            one = problem.jobs[before]
            over = starts[before] + one.lasts
            assert over <= at
            if one.lasts and job.lasts:
                dry = problem.calendar.end_of(over - 1) + one.rest
                assert dry <= problem.calendar.starts[at] + 1e-6
        if job.lasts:
            assert problem.calendar.starts[at] >= job.ready - 1e-6
            assert job.lasts <= problem.calendar.left[at] or job.lasts > problem.calendar.longest
        for place, need in enumerate(job.needs):
            used[place, at : at + job.lasts] += need
    for place, level in enumerate(problem.levels):
        assert used[place].max(initial=0) <= level


def test_the_library_instance_is_brought_to_its_optimum():
    problem = psplib(INSTANCE.read_text())
    assert len(problem.jobs) == 32
    assert problem.levels == (12, 13, 4, 12)
    assert least_end(problem) == CRITICAL_PATH
    starts = search(problem)
    assert_holds(problem, starts)
    assert end_of(problem, starts) == OPTIMUM


def small(seed):
    chance = np.random.default_rng(seed)
    count = 6
    jobs = tuple(
        Job(
            lasts=int(chance.integers(1, 5)),
            needs=(int(chance.integers(0, 3)), int(chance.integers(0, 3))),
            after=tuple(int(one) for one in range(number) if chance.random() < 0.25),
            rest=float(chance.integers(0, 4)) if seed % 2 else 0.0,
        )
        for number in range(count)
    )
    sessions = tuple((10.0 * number, 6) for number in range(8))
    calendar = SlotCalendar(sessions) if seed % 3 == 0 else without_end(60)
    return Problem(jobs=jobs, levels=(2, 3), calendar=calendar)


@pytest.mark.parametrize("seed", range(40))
def test_small_problems_end_as_early_as_any_order_of_their_jobs_lets_them(seed):
    # The best serial schedule over all orders is optimal where resources never change
    # (Kolisch 1996); here every order is tried.
    problem = small(seed)
    best = min(
        end_of(problem, serial(problem, order=order))
        for order in permutations(range(len(problem.jobs)))
        if all(
            order.index(before) < order.index(number)
            for number, job in enumerate(problem.jobs)
            for before in job.after
        )
    )
    starts = search(problem)
    assert_holds(problem, starts)
    assert end_of(problem, starts) == best


@pytest.mark.parametrize("seed", range(60))
def test_no_order_ends_before_what_is_told_as_the_least(seed):
    # Sessions, rests and slots of their own for some jobs; every order is tried.
    chance = np.random.default_rng(seed)
    problem = small(seed)
    mine = tuple(
        replace(job, allowed=int(sum(1 << slot for slot in range(60) if slot % 12 >= 6)))
        if chance.random() < 0.4
        else replace(job, ready=float(chance.integers(0, 20)))
        for job in problem.jobs
    )
    problem = replace(problem, jobs=mine)
    best = min(
        end_of(problem, serial(problem, order=order)) for order in permutations(range(len(mine)))
    )
    assert least_end(problem) <= best


def test_the_least_end_counts_rests_sessions_and_the_work_behind_a_moment():
    # By hand: two slots an evening. The second job begins on the third evening, when the first
    # has dried; the others, ready only then too, fill that evening and half of the fourth.
    sessions = tuple((24.0 * day, 2) for day in range(6))
    jobs = (
        Job(lasts=1, needs=(1,), rest=30.0),
        Job(lasts=2, needs=(1,), after=(0,)),
        Job(lasts=1, needs=(1,), after=(0,)),
    )
    problem = Problem(jobs=jobs, levels=(1,), calendar=SlotCalendar(sessions))
    assert least_end(problem) == 7
    first_only = tuple(replace(job, allowed=0b000010101010) for job in jobs[2:])
    assert least_end(replace(problem, jobs=(*jobs[:2], *first_only))) == 7
    narrow = (
        Job(lasts=1, needs=(1,), allowed=0b001001001),
        Job(lasts=1, needs=(1,), allowed=0b001001001),
    )
    assert least_end(replace(problem, jobs=narrow)) == 4


def test_a_job_that_needs_more_than_there_is_finds_no_place():
    problem = Problem(jobs=(Job(lasts=1, needs=(2,)),), levels=(1,), calendar=without_end(5))
    assert search(problem) == (None,)


def test_what_follows_a_job_without_a_place_has_none():
    jobs = (Job(lasts=9, needs=(1,)), Job(lasts=1, needs=(1,), after=(0,)))
    problem = Problem(jobs=jobs, levels=(1,), calendar=without_end(5))
    assert search(problem) == (None, None)


@pytest.mark.parametrize("seed", range(30))
def test_windows_are_those_found_slot_by_slot(seed):
    chance = np.random.default_rng(seed)
    free = [int(bit) for bit in chance.integers(0, 2, size=50)]
    mask = sum(bit << place for place, bit in enumerate(free))
    for slots in range(1, 9):
        slow = [place for place in range(50 - slots + 1) if all(free[place : place + slots])]
        found = windows(mask, slots=slots)
        assert [place for place in range(50) if found >> place & 1] == slow
        start = int(chance.integers(50))
        assert first_of(found, start=start) == min((p for p in slow if p >= start), default=None)
