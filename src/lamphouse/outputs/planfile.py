"""The plan as JSON: one documented, versioned file that says everything the plan holds.

Lists keep the order of the maker's file. Keys are sorted and numbers are rounded to ten digits,
so the same plan gives the same bytes on every machine.
"""

from typing import Any

import lamphouse
from lamphouse.outputs.records import plain, schema_of, to_text
from lamphouse.plan.result import Plan
from lamphouse.record import Record

VERSION = 1
"""Version of this layout; it grows when a key changes its meaning or goes away."""


class PlanFile(Record):
    """A plan with the version of its layout and of the program."""

    lamphouse_plan: int
    """Version of this layout."""
    program: str
    """The program that computed it, with its version."""
    plan: Plan


def to_json(plan: Plan) -> dict[str, Any]:
    """Give a plan as plain JSON values, as :func:`schema` describes them.

    Raises
    ------
    ValueError
        If a number in it is not finite, which is a fault of the program.
    """
    program = f"lamphouse {lamphouse.__version__}"
    whole: dict[str, Any] = plain(PlanFile(lamphouse_plan=VERSION, program=program, plan=plan))
    return whole


def to_bytes(plan: Plan) -> bytes:
    """Write a plan as the bytes of ``plan.json``."""
    return to_text(to_json(plan)).encode()


def schema() -> dict[str, Any]:
    """Make the JSON Schema of ``plan.json`` from the records themselves."""
    return schema_of(
        PlanFile,
        title="Lamphouse plan",
        description="Everything computed from one project. Units stand in the keys: "
        "mm, degree, V, A, ohm, W, lm, cd/m2, lx, nm, s, degC.",
    )
