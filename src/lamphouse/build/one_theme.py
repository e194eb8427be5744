"""Work that suits together, gathered: jobs in order evening by evening, few changes of theme.

Changing what lies on the table costs time that no step counts, and wet paint beside a soldering
iron is no pleasure; so that one stays with a theme as long as something of it can be done.
"""

from collections.abc import Sequence

from lamphouse.build.resource_schedule import Problem, Starts
from lamphouse.build.slot_calendar import SlotCalendar
from lamphouse.build.themes import ANY, THEMES


def by_theme(problem: Problem, *, themes: Sequence[str]) -> list[int]:
    """List jobs as one would take them up who changes theme only when nothing of it is left.

    At each change the theme of the most urgent job is taken: the one with the longest chain of
    work and drying behind it.
    """
    jobs, calendar = problem.jobs, problem.calendar
    urgency = _urgency(problem)
    waits = [len(job.after) for job in jobs]
    behind: list[list[int]] = [[] for _ in jobs]
    for number, job in enumerate(jobs):
        for one in job.after:
            behind[one].append(number)
    earliest = [job.ready for job in jobs]
    free = {number for number, count in enumerate(waits) if not count}
    order: list[int] = []
    slot, theme = 0, ANY
    while free and slot < calendar.count:
        if calendar.left[slot] == calendar.sessions[_session(calendar, slot)][1]:
            theme = ANY
        now = calendar.starts[slot]
        able = [
            one
            for one in free
            if earliest[one] <= now + 1e-6
            and (jobs[one].allowed == -1 or jobs[one].allowed >> slot & 1)
            and (jobs[one].lasts <= calendar.left[slot] or jobs[one].lasts > calendar.longest)
        ]
        if not able:
            slot += 1
            continue
        one = min(able, key=lambda each: (themes[each] not in (theme, ANY), -urgency[each], each))
        theme = themes[one] or theme
        order.append(one)
        free.discard(one)
        last = min(slot + jobs[one].lasts, calendar.count) - 1
        for then in behind[one]:
            earliest[then] = max(earliest[then], calendar.end_of(last) + jobs[one].rest)
            waits[then] -= 1
            if not waits[then]:
                free.add(then)
        slot = last + 1
    return [*order, *_rest(problem, order)]


def _session(calendar: SlotCalendar, slot: int) -> int:
    first = 0
    for number, (_, count) in enumerate(calendar.sessions):
        first += count
        if slot < first:
            return number
    return len(calendar.sessions) - 1


def _urgency(problem: Problem) -> list[float]:
    """Give for each job the longest chain of work and drying that begins with it."""
    urgency = [0.0] * len(problem.jobs)
    for number in range(len(problem.jobs) - 1, -1, -1):
        job = problem.jobs[number]
        urgency[number] += job.lasts * problem.calendar.slot
        for one in job.after:
            urgency[one] = max(urgency[one], urgency[number] + problem.jobs[one].rest)
    return urgency


def _rest(problem: Problem, order: Sequence[int]) -> list[int]:
    taken = set(order)
    return [number for number in range(len(problem.jobs)) if number not in taken]


def gathered(problem: Problem, *, starts: Starts, themes: Sequence[str]) -> Starts:
    """Put the jobs of each evening in an order with few changes of theme.

    A job stays on its evening. Where the new order would have anything begin before what it waits
    for is dry, the evening keeps its old one.
    """
    found = list(starts)
    first = 0
    for _, count in problem.calendar.sessions:
        inside = sorted(
            (at, number)
            for number, at in enumerate(found)
            if at is not None and first <= at and at + problem.jobs[number].lasts <= first + count
        )
        new = _ordered(problem, [number for _, number in inside], themes=themes, old=found)
        if new:
            at = inside[0][0]
            tried = list(found)
            for number in new:
                tried[number] = at
                at += problem.jobs[number].lasts
            straddling = any(
                begin is not None and begin < at and begin + problem.jobs[n].lasts > inside[0][0]
                for n, begin in enumerate(found)
                if n not in new
            )
            if not straddling and _holds(problem, tried):
                found = tried
        first += count
    return tuple(found)


def _ordered(
    problem: Problem, jobs: Sequence[int], *, themes: Sequence[str], old: Sequence[int | None]
) -> list[int]:
    """Take jobs of one theme after another, forerunners first."""
    left, order, theme = list(jobs), [], ANY
    while left:
        waits = set(left)
        able = [one for one in left if not waits.intersection(problem.jobs[one].after)]
        if not able:
            return []
        rank = {one: THEMES.index(themes[one]) if themes[one] else -1 for one in able}
        one = min(
            able, key=lambda each: (themes[each] not in (theme, ANY), rank[each], old[each] or 0)
        )
        theme = themes[one] or theme
        order.append(one)
        left.remove(one)
    return order


def _holds(problem: Problem, starts: Sequence[int | None]) -> bool:
    """Tell whether every job begins when what it waits for is done and dry."""
    calendar = problem.calendar
    for number, at in enumerate(starts):
        if at is None:
            continue
        job, now = problem.jobs[number], calendar.starts[at] + 1e-6
        if at + job.lasts > calendar.count or now < job.ready:
            return False
        if job.lasts <= calendar.longest and calendar.left[at] < job.lasts:
            return False
        if job.allowed != -1 and (job.allowed >> at) & 1 == 0:
            return False
        for one in job.after:
            before = starts[one]
            if before is None:
                return False
            last = before + problem.jobs[one].lasts - 1
            if last >= at or calendar.end_of(last) + problem.jobs[one].rest > now:
                return False
    return True
