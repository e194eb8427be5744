"""Jobs that share scarce resources, put into the least time: a search over lists of priorities.

A list is turned into a schedule job by job, each as early as its forerunners and the resources
allow (the serial scheme); the schedule is then pushed to its end and back to its beginning, which
never makes it longer. Lists come from rules of priority, then from those rules disturbed by a
generator with a fixed seed, so that the same jobs give the same schedule.

References
----------
[RCPSP-SGS] for the schemes and rules, [RCPSP-FBI] for pushing forth and back.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from heapq import heapify, heappop, heappush

import numpy as np

from lamphouse.build.slot_calendar import SlotCalendar, capacities, first_of, span, windows
from lamphouse.record import Record, replace

SEED = 20_110
PUSHES = 4
"""Times a schedule is pushed forth and back at most."""


class Job(Record):
    """One job; forerunners are named by their places in the list of jobs."""

    lasts: int
    """Slots."""
    needs: tuple[int, ...] = ()
    """Of each resource, in every slot."""
    after: tuple[int, ...] = ()
    rest: float = 0.0
    """Time after its end before any job after it may begin."""
    ready: float = float("-inf")
    """Not before this time."""
    allowed: int = -1
    """Mask of slots it may lie in; all of them at -1."""


class Problem(Record):
    """Jobs, each behind its forerunners, with the resources they share."""

    jobs: tuple[Job, ...]
    levels: tuple[int, ...]
    """How much there is of each resource."""
    calendar: SlotCalendar


Starts = tuple[int | None, ...]
"""First slot of each job; None for one that finds no place."""


def serial(problem: Problem, *, order: Iterable[int]) -> Starts:
    """Give each job, in an order that keeps forerunners first, the first place it can have."""
    calendar, jobs = problem.calendar, problem.jobs
    free = capacities(problem.levels, slots=calendar.count)
    starts: list[int | None] = [None] * len(jobs)
    over = [0.0] * len(jobs)
    for number in order:
        job, earliest = jobs[number], jobs[number].ready
        if any(starts[one] is None for one in job.after):
            continue
        for one in job.after:
            earliest = max(earliest, over[one] + jobs[one].rest)
        first = calendar.first_from(earliest)
        if not job.lasts:
            starts[number], over[number] = first, earliest
            continue
        room = calendar.fits(job.lasts)
        gap = job.allowed & ((1 << calendar.count) - 1)
        for level, need in zip(free, job.needs, strict=False):
            gap &= level[need] if need < len(level) else 0
        place = first_of(windows(gap, slots=job.lasts) & room, start=first)
        if place is None:
            continue
        starts[number] = place
        over[number] = calendar.end_of(place + job.lasts - 1)
        taken = span(place, slots=job.lasts)
        for level, need in zip(free, job.needs, strict=False):
            _take(level, need=need, taken=taken)
    return tuple(starts)


def _take(level: list[int], *, need: int, taken: int) -> None:
    """Take so much of a resource out of some slots."""
    if not need:
        return
    top = len(level) - 1
    for units in range(1, top + 1):
        still = level[units + need] if units + need <= top else 0
        level[units] = (level[units] & ~taken) | (still & taken)


def backwards(problem: Problem) -> Problem:
    """Give the problem with time running backwards, its jobs in reversed order.

    What is rested after a job is then rested before it: every job that follows it waits as long.
    """
    count = len(problem.jobs)
    whole = (1 << problem.calendar.count) - 1
    after: list[list[int]] = [[] for _ in range(count)]
    for number, job in enumerate(problem.jobs):
        for one in job.after:
            after[one].append(count - 1 - number)
    jobs = [
        Job(
            lasts=job.lasts,
            needs=job.needs,
            after=tuple(after[number]),
            allowed=job.allowed
            if job.allowed == -1
            else _mirrored(job.allowed & whole, slots=problem.calendar.count),
        )
        for number, job in enumerate(problem.jobs)
    ]
    return Problem(
        jobs=tuple(reversed(jobs)), levels=problem.levels, calendar=problem.calendar.backwards()
    )


def _mirrored(mask: int, *, slots: int) -> int:
    return int(f"{mask:0{slots}b}"[::-1], 2)


def end_of(problem: Problem, starts: Starts) -> int:
    """Give the slot after the last one used; every job without a place counts as past the end."""
    return max(
        (
            problem.calendar.count + 1 if at is None else at + job.lasts
            for job, at in zip(problem.jobs, starts, strict=True)
        ),
        default=0,
    )


Cost = Callable[[Starts], tuple[float, ...]]
"""What is to be least of a schedule."""


def search(
    problem: Problem,
    *,
    cost: Cost | None = None,
    first: Iterable[Sequence[int]] = (),
    tries: int = 200,
    bound: float | None = None,
) -> Starts:
    """Search for the schedule of least cost.

    Parameters
    ----------
    cost
        Compared as tuples; the end alone when left out.
    first
        Orders to try before those of the rules.
    tries
        Orders to try in all.
    bound
        The search stops at a schedule whose first cost is no more.

    Returns
    -------
    tuple
        The first slot of each job. The best one met; not proved to be the best there is unless it
        reaches the bound.
    """

    def by_end(starts: Starts) -> tuple[float, ...]:
        return (float(end_of(problem, starts)),)

    if not problem.jobs:
        return ()
    value = cost or by_end
    back = backwards(problem)
    best: tuple[tuple[float, ...], Starts] | None = None
    for number, order in enumerate(_orders(problem, first=first)):
        if number >= tries:
            break
        for starts in _pushed(problem, back=back, order=order):
            found = (value(starts), starts)
            if best is None or found[0] < best[0]:
                best = found
        if best and bound is not None and best[0][0] <= bound:
            break
    return best[1] if best else ()


def _pushed(problem: Problem, *, back: Problem, order: Sequence[int]) -> Iterator[Starts]:
    """Give the schedule of an order, then what pushing it forth and back makes of it."""
    starts = serial(problem, order=order)
    yield starts
    if any(at is None for at in starts):
        return
    count, end = len(problem.jobs), end_of(problem, starts)
    for _ in range(PUSHES):
        ends = [(at or 0) + job.lasts for job, at in zip(problem.jobs, starts, strict=True)]
        late = sorted(range(count), key=lambda one: (ends[one], one), reverse=True)
        pushed = serial(back, order=[count - 1 - one for one in late])
        if any(at is None for at in pushed):
            return
        ends = [(at or 0) + job.lasts for job, at in zip(back.jobs, pushed, strict=True)]
        early = sorted(range(count), key=lambda one: (-ends[count - 1 - one], one))
        starts = serial(problem, order=_forerunners_first(problem, early))
        yield starts
        now = end_of(problem, starts)
        if now >= end:
            return
        end = now


def _orders(problem: Problem, *, first: Iterable[Sequence[int]]) -> Iterator[Sequence[int]]:
    yield from first
    rules = _rules(problem)
    for rule in rules:
        yield _by_priority(problem, rule)
    chance = np.random.default_rng(SEED)
    spans = [max(rule) - min(rule) or 1.0 for rule in rules]
    number = 0
    while True:
        rule, wide = rules[number % len(rules)], spans[number % len(rules)]
        share = (0.1, 0.3, 0.6)[number // len(rules) % 3]
        disturbed = np.asarray(rule) + share * wide * chance.random(len(rule))
        yield _by_priority(problem, disturbed.tolist())
        number += 1


def _rules(problem: Problem) -> list[list[float]]:
    """Rank jobs, the least first: latest end, latest start, most work behind, most jobs behind."""
    jobs = problem.jobs
    slot = problem.calendar.slot
    count = len(jobs)
    behind: list[set[int]] = [set() for _ in jobs]
    tail = [0.0] * count
    for number in range(count - 1, -1, -1):
        job = jobs[number]
        tail[number] += job.lasts * slot
        for one in job.after:
            behind[one] |= behind[number] | {number}
            tail[one] = max(tail[one], tail[number] + jobs[one].rest)
    latest_start = [-each for each in tail]
    latest_end = [job.lasts * slot - each for job, each in zip(jobs, tail, strict=True)]
    work = [-float(jobs[n].lasts + sum(jobs[one].lasts for one in behind[n])) for n in range(count)]
    followers = [-float(len(each)) for each in behind]
    return [latest_start, latest_end, work, followers]


def _by_priority(problem: Problem, priority: Sequence[float]) -> list[int]:
    """List jobs by priority, forerunners first."""
    order = sorted(range(len(problem.jobs)), key=lambda one: (priority[one], one))
    return _forerunners_first(problem, order)


def _forerunners_first(problem: Problem, order: Sequence[int]) -> list[int]:
    """Take at each turn the first job of an order whose forerunners are all taken."""
    rank = {number: place for place, number in enumerate(order)}
    waits = [len(job.after) for job in problem.jobs]
    after: list[list[int]] = [[] for _ in problem.jobs]
    for number, job in enumerate(problem.jobs):
        for one in job.after:
            after[one].append(number)
    free = [rank[number] for number, count in enumerate(waits) if not count]
    heapify(free)
    kept = []
    while free:
        number = order[heappop(free)]
        kept.append(number)
        for then in after[number]:
            waits[then] -= 1
            if not waits[then]:
                heappush(free, rank[then])
    return kept


def least_end(problem: Problem) -> int:
    """Give the slot after the last one that every schedule uses at least.

    Two things bound it. Each job begins no sooner than its forerunners, their rests and the
    calendar let it when all resources are its own. And from every such moment on, the jobs that
    cannot begin before it must find room in the slots behind it, among those they may lie in.

    References
    ----------
    [RCPSP-SGS]
    """
    jobs, count = problem.jobs, problem.calendar.count
    alone = tuple(replace(job, needs=()) for job in jobs)
    order = _forerunners_first(problem, range(len(jobs)))
    heads = serial(replace(problem, jobs=alone, levels=()), order=order)
    found = end_of(problem, heads)
    if found > count:
        return found
    late_first = sorted(range(len(jobs)), key=lambda number: -(heads[number] or 0))
    for mask in {job.allowed for job in jobs} | {-1}:
        slots = [slot for slot in range(count) if mask >> slot & 1]
        for place, level in enumerate(problem.levels):
            work = 0
            for number in late_first:
                job = jobs[number]
                if not (job.lasts and job.needs and job.needs[place]) or job.allowed & ~mask:
                    continue
                work += job.lasts * job.needs[place]
                last = bisect_left(slots, heads[number] or 0) - (-work // level)
                found = max(found, slots[last - 1] + 1 if last <= len(slots) else count + 1)
    return found
