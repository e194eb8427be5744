"""The wiring under the floor in the answer of ``check``."""

from lamphouse.plan.result import Plan
from lamphouse.record import Record


class LoomSummary(Record):
    """The wiring under the floor in short."""

    runs: int
    feeds: int
    sockets: int
    wire_m: float
    largest_drop_V: float
    """From the supply to the board of the sub-assembly that loses most, and back."""


def loom_of(plan: Plan) -> LoomSummary | None:
    """Sum up the loom of a plan; None where none is laid."""
    if plan.loom is None or plan.loom_load is None:
        return None
    return LoomSummary(
        runs=len(plan.loom.runs),
        feeds=len(plan.loom.feeds),
        sockets=len(plan.loom.sockets),
        wire_m=sum(run.length_mm for run in plan.loom.runs) / 1000.0,
        largest_drop_V=max(socket.drop_V for socket in plan.loom_load.sockets),
    )
