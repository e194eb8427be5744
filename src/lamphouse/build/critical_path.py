"""The critical path of a network of activities, and how far estimates of three times may be off.

Terminology
-----------
slack
    How much later than its earliest start an activity may begin without delaying the end.
critical
    Without slack.
three times
    An optimistic, a likely and a pessimistic estimate of how long an activity takes.
"""

from collections.abc import Mapping, Sequence
from math import erf, sqrt

from lamphouse.record import Record

SAME = 1e-9
"""Slack below this is none: sums of hours are not exact."""


class Activity(Record):
    """One activity of a network."""

    name: str
    lasts: float
    after: tuple[str, ...] = ()
    """Activities that must end first."""


class Timing(Record):
    """When an activity can begin, at the earliest and at the latest."""

    earliest: float
    latest: float
    slack: float


class CriticalPath(Record):
    """A network with the times of its activities."""

    lasts: float
    timings: Mapping[str, Timing]
    critical: tuple[str, ...]
    """Activities without slack, by their start."""


def critical_path(activities: Sequence[Activity]) -> CriticalPath:
    """Find the earliest and latest start of every activity, forward and then backward.

    Parameters
    ----------
    activities
        Each after those it names.

    Raises
    ------
    KeyError
        When an activity names one that does not come before it.

    References
    ----------
    [CPM]
    """
    earliest: dict[str, float] = {}
    ends: dict[str, float] = {}
    for one in activities:
        earliest[one.name] = max((ends[name] for name in one.after), default=0.0)
        ends[one.name] = earliest[one.name] + one.lasts
    whole = max(ends.values(), default=0.0)
    latest_end = dict.fromkeys(ends, whole)
    for one in reversed(activities):
        begins = latest_end[one.name] - one.lasts
        for name in one.after:
            latest_end[name] = min(latest_end[name], begins)
    timings = {
        one.name: Timing(
            earliest=earliest[one.name],
            latest=latest_end[one.name] - one.lasts,
            slack=latest_end[one.name] - ends[one.name],
        )
        for one in activities
    }
    place = {one.name: number for number, one in enumerate(activities)}
    critical = [name for name, timing in timings.items() if timing.slack <= SAME * (1.0 + whole)]
    critical.sort(key=lambda name: (timings[name].earliest, place[name]))
    return CriticalPath(lasts=whole, timings=timings, critical=tuple(critical))


class Estimate(Record):
    """How long something takes, in mean and variance."""

    mean: float
    variance: float

    @property
    def deviation(self) -> float:
        """Standard deviation, in the unit of the mean."""
        return sqrt(self.variance)


def three_times(optimistic: float, *, likely: float, pessimistic: float) -> Estimate:
    """Give mean and variance of three times: a sixth of the span is one standard deviation.

    References
    ----------
    [PERT]
    """
    return Estimate(
        mean=(optimistic + 4.0 * likely + pessimistic) / 6.0,
        variance=((pessimistic - optimistic) / 6.0) ** 2,
    )


def one_after_another(estimates: Sequence[Estimate]) -> Estimate:
    """Add estimates that do not depend on one another.

    Limits of the model: along a critical path it leaves out that another path may turn out longer,
    and so ends too early [PERT].
    """
    return Estimate(
        mean=sum(one.mean for one in estimates), variance=sum(one.variance for one in estimates)
    )


def chance_within(time: float, *, estimate: Estimate) -> float:
    """Give the chance that it takes no longer than a time, the sum of many being normal [PERT]."""
    if estimate.variance == 0.0:
        return 1.0 if time >= estimate.mean else 0.0
    return 0.5 * (1.0 + erf((time - estimate.mean) / (estimate.deviation * sqrt(2.0))))
