"""Items found by the names that stand in addresses."""

from typing import TYPE_CHECKING

from starlette.exceptions import HTTPException

if TYPE_CHECKING:
    from lamphouse.design.place import SubAssembly
    from lamphouse.plan.result import Plan


def sub_named(plan: "Plan | None", name: str) -> "SubAssembly":
    """Find a sub-assembly.

    Raises
    ------
    HTTPException
        404 when there is none of this name.
    """
    subs = plan.design.sub_assemblies if plan else ()
    found = next((sub for sub in subs if sub.name == name), None)
    if found is None:
        raise HTTPException(404, f"There is no sub-assembly '{name[:60]}'.")
    return found
