"""How far each sub-assembly is, and the work that is left, by the steps that are done."""

from collections.abc import Collection, Sequence

from lamphouse.build.judged_log import done_steps as done_steps
from lamphouse.build.judged_log import dry_at as dry_at
from lamphouse.build.steps import Step, StepKind

STAGES = ("drawn", "cut", "wired", "tested", "closed")
"""What a sub-assembly goes through, in this order."""
_KINDS = {
    "cut": StepKind.CUT,
    "wired": StepKind.SOLDER,
    "tested": StepKind.TEST,
    "closed": StepKind.CLOSE,
}
"""Kind of the steps that lead to each stage."""


def stage_of(steps: Sequence[Step], *, sub_assembly: str, done: Collection[str]) -> int:
    """Tell how far a sub-assembly is, as a place in :data:`STAGES`.

    A stage is reached when every step of its kind is done and every stage before it is reached; one
    without any step of its kind is reached with the one before it, but never the last of all.
    """
    own = [step for step in steps if step.sub_assembly == sub_assembly]
    reached = 0
    for place, stage in enumerate(STAGES[1:], start=1):
        wanted = [step.id for step in own if step.kind == _KINDS[stage]]
        if any(step not in done for step in wanted):
            break
        if wanted:
            reached = place
    return reached


def hours_left(steps: Sequence[Step], *, done: Collection[str]) -> float:
    """Add up the hands-on time of the steps that are not done. [h]."""
    return sum(step.minutes for step in steps if step.id not in done) / 60.0
