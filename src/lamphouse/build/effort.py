"""How many hours the work may take, and the chance that the evenings there are suffice."""

from collections.abc import Sequence

from lamphouse.build.critical_path import Estimate, one_after_another, three_times
from lamphouse.build.steps import Step

QUICKEST, SLOWEST = 0.7, 2.0
"""A step may take so many times what the table of times says [PRACTICE]."""


def effort(steps: Sequence[Step]) -> Estimate:
    """Add up the hands-on hours of steps, each between its quickest and its slowest.

    Limits of the model: one step is taken not to depend on another. A builder who is slow at one
    is slow at all, so that the true spread is wider; the mean is not touched by that.

    References
    ----------
    [PERT]
    """
    return one_after_another(
        [
            three_times(
                QUICKEST * step.minutes / 60.0,
                likely=step.minutes / 60.0,
                pessimistic=SLOWEST * step.minutes / 60.0,
            )
            for step in steps
        ]
    )
