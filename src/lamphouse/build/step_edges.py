"""Rules for what must come before what: each a small function with its reason and its source.

A rule yields pairs of tasks; every task of the first is done before every task of the second. Its
docstring says what it keeps from going wrong, its reason is what the builder reads.
"""

from collections.abc import Callable, Iterable, Iterator

from lamphouse.build.made_things import MadeThings
from lamphouse.build.steps import StepEdge
from lamphouse.build.task_book import TaskBook
from lamphouse.record import Record

Pair = tuple[tuple[str, ...], tuple[str, ...]]
"""Ids of what comes first, and of what comes after."""


class Site(Record):
    """What rules look at."""

    book: TaskBook
    made: MadeThings


class EdgeRule(Record):
    """One rule of what comes before what."""

    name: str
    why: str
    source: str
    """A key of the bibliography."""
    is_gate: bool
    """Whether what comes first is a gate of what comes after."""
    find: Callable[[Site], Iterable[Pair]]


EDGE_RULES: list[EdgeRule] = []
"""Every rule, filled while modules load and never after."""


def because(
    why: str, *, source: str = "PRACTICE", is_gate: bool = False
) -> Callable[[Callable[[Site], Iterable[Pair]]], Callable[[Site], Iterable[Pair]]]:
    """Make a rule of a function that yields pairs, with the reason a builder reads."""

    def stamp(find: Callable[[Site], Iterable[Pair]]) -> Callable[[Site], Iterable[Pair]]:
        name = find.__name__.replace("_", " ")
        EDGE_RULES.append(EdgeRule(name=name, why=why, source=source, is_gate=is_gate, find=find))
        return find

    return stamp


def edges_of(site: Site) -> tuple[tuple[StepEdge, ...], dict[str, str]]:
    """Ask every rule; of two that tell the same edge the first gives the reason.

    Returns
    -------
    tuple
        Edges, and the gate of every step that has one.
    """
    edges: dict[tuple[str, str], StepEdge] = {}
    gates: dict[str, str] = {}
    for rule in EDGE_RULES:
        for before, after in _pairs(rule.find(site)):
            edges.setdefault((before, after), StepEdge(before=before, after=after, why=rule.why))
            if rule.is_gate:
                gates.setdefault(after, before)
    return tuple(edges.values()), gates


def _pairs(found: Iterable[Pair]) -> Iterator[tuple[str, str]]:
    for first, then in found:
        yield from ((before, after) for before in first for after in then if before != after)
