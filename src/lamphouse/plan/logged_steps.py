"""Steps of a plan as the bench log names them: found by name, and what should come before."""

from collections.abc import Iterator

from lamphouse.catalogue.shelf import nearest
from lamphouse.plan.ordered import with_order
from lamphouse.plan.result import Plan

MOST_TOLD = 6


def step_named(plan: Plan, name: str) -> str:
    """Give the id of a step named by its id or its title.

    Raises
    ------
    LookupError
        If there is none, or the title is that of several; the message says which there are.
    """
    order = with_order(plan).order
    steps = order.steps if order else ()
    if any(step.id == name for step in steps):
        return name
    meant = [step.id for step in steps if step.title.casefold() == name.casefold()]
    if len(meant) == 1:
        return meant[0]
    if meant:
        many = f"'{name}' are {len(meant)} steps: {', '.join(meant[:MOST_TOLD])}"
        raise LookupError(many)
    near = nearest(name, [step.id for step in steps])
    hint = f"did you mean '{near}'?" if near else "see `lamphouse steps` for their names"
    unknown = f"no step '{name}'; {hint}"
    raise LookupError(unknown)


def before_it(plan: Plan, step: str, *, done: frozenset[str]) -> Iterator[str]:
    """Tell which steps should have come before a step, and why.

    Parameters
    ----------
    plan
        The whole model.
    step
        Its id.
    done
        Ids of all that is done.
    """
    order = with_order(plan).order
    if order is None:
        return
    titles = {one.id: one.title for one in order.steps}
    open_ = [edge for edge in order.edges if edge.after == step and edge.before not in done]
    for edge in open_[:MOST_TOLD]:
        yield f"not done yet: {titles.get(edge.before, edge.before)} ({edge.why})"
    if len(open_) > MOST_TOLD:
        yield f"and {len(open_) - MOST_TOLD} more before it"
