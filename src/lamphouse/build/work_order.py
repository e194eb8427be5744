"""The order of work: every step of a design with its edges, the maker's own among them."""

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from heapq import heapify, heappop, heappush
from itertools import pairwise

from lamphouse.build import box_edges, gate_edges, panel_edges, wiring_edges
from lamphouse.build.box_steps import box_steps
from lamphouse.build.made_things import MadeThings
from lamphouse.build.model_steps import controller_steps, model_steps, own_steps
from lamphouse.build.panel_steps import panel_steps
from lamphouse.build.step_edges import Site, edges_of
from lamphouse.build.steps import Step, StepEdge, WorkOrder
from lamphouse.build.task_book import Level, TaskBook
from lamphouse.build.wiring_steps import wiring_steps
from lamphouse.design.work import WorkWishes
from lamphouse.findings import Where
from lamphouse.record import Record, replace

RULED_BY = (panel_edges, box_edges, wiring_edges, gate_edges)
"""Where the rules stand; loading them writes them down."""
FINISHED = "everything on it is done while it lies on the table"
AS_WISHED = "as the maker wishes"


class Wish(Record):
    """An edge the maker wants."""

    where: Where
    key: str
    """``after``, ``before``, ``first`` or ``then``: where the other end is named."""
    before: str
    after: str
    why: str


class Nowhere(Record):
    """A name in the maker's own steps that no step has."""

    where: Where
    key: str
    name: str
    names: tuple[str, ...]
    """What there is."""


class Circle(Record):
    """An edge the maker wants that closes a circle; it was left out."""

    wish: Wish
    way: tuple[str, ...]
    """From the step that is to come after to the one that is to come before, each by an edge."""
    reasons: tuple[str, ...]
    """Of each edge of the way."""
    others: tuple[Wish, ...]
    """The maker's other edges on it."""


class Ordered(Record):
    """An order of work, and what of the maker's wishes did not go into it."""

    order: WorkOrder
    nowhere: tuple[Nowhere, ...]
    circles: tuple[Circle, ...]


def work_order(made: MadeThings) -> Ordered:
    """Write down every step of a design and bring them into one valid order.

    Returns
    -------
    Ordered
        Wishes that name nothing or close a circle are left out and listed.
    """
    book = _book(made)
    ruled, gates = edges_of(Site(book=book, made=made))
    edges = {(edge.before, edge.after): edge for edge in ruled}
    for edge in _finished(book, edges.values()):
        edges.setdefault((edge.before, edge.after), edge)
    wishes, nowhere = _wishes(made.design.work, book=book)
    circles = _wished(edges, wishes)
    steps = [
        replace(step, gate=gates[step.id]) if step.id in gates else step
        for step in book.steps.values()
    ]
    order = WorkOrder(
        steps=in_order(steps, edges=tuple(edges.values())), edges=tuple(edges.values())
    )
    return Ordered(order=order, nowhere=nowhere, circles=circles)


def _book(made: MadeThings) -> TaskBook:
    book, design = TaskBook(), made.design
    for sub in design.sub_assemblies:
        for panel in sub.panels:
            panel_steps(book, panel, sub=sub, made=made)
            for box in sub.boxes_of(panel.name):
                box_steps(book, box, panel=panel, sub=sub, made=made)
        wiring_steps(book, sub, made=made)
    for controller in design.controllers:
        controller_steps(book, controller)
    model_steps(book, design, made=made)
    own_steps(book, design)
    return book


def _finished(book: TaskBook, edges: Iterable[StepEdge]) -> Iterator[StepEdge]:
    """Let the last steps on a sub-assembly come before it is put in its place."""
    leads_on = {
        edge.before
        for edge in edges
        if book.steps[edge.before].sub_assembly == book.steps[edge.after].sub_assembly
    }
    for at in book.owners(Level.SUB):
        tested = book.of(at, "test in model")
        on_it = [step.id for step in book.steps.values() if step.sub_assembly == at.sub_assembly]
        for install in book.of(at, "install"):
            for step in on_it:
                late = step == install or step in tested
                own = step.startswith(f"{Level.OWN}/")
                if not (late or own or step in leads_on):
                    yield StepEdge(before=step, after=install, why=FINISHED)


def _wishes(wishes: WorkWishes, *, book: TaskBook) -> tuple[tuple[Wish, ...], tuple[Nowhere, ...]]:
    """Find the steps that the maker names."""
    names = {name: name for name in book.steps}
    names |= {step.name: f"{Level.OWN}/{step.name}" for step in wishes.steps}
    found: list[Wish] = []
    nowhere: list[Nowhere] = []

    def named(name: str, key: str, where: Where) -> str | None:
        if name not in names:
            nowhere.append(Nowhere(where=where, key=key, name=name, names=tuple(book.steps)))
        return names.get(name)

    for own in wishes.steps:
        this, why = names[own.name], own.why or AS_WISHED
        for other in own.after:
            if first := named(other, "after", own.where):
                found.append(Wish(where=own.where, key="after", before=first, after=this, why=why))
        for other in own.before:
            if then := named(other, "before", own.where):
                found.append(Wish(where=own.where, key="before", before=this, after=then, why=why))
    for order in wishes.orders:
        first = named(order.first, "first", order.where)
        then = named(order.then, "then", order.where)
        if first and then:
            why = order.why or AS_WISHED
            found.append(Wish(where=order.where, key="then", before=first, after=then, why=why))
    return tuple(found), tuple(nowhere)


def _wished(edges: dict[tuple[str, str], StepEdge], wishes: Sequence[Wish]) -> tuple[Circle, ...]:
    """Add the maker's edges one by one; one that closes a circle is left out."""
    circles = []
    after: dict[str, list[str]] = defaultdict(list)
    for before, then in edges:
        after[before].append(then)
    taken: dict[tuple[str, str], Wish] = {}
    for wish in wishes:
        way = _way(after, wish.after, wish.before)
        if way:
            steps = list(pairwise(way))
            circles.append(
                Circle(
                    wish=wish,
                    way=way,
                    reasons=tuple(edges[pair].why for pair in steps),
                    others=tuple(taken[pair] for pair in steps if pair in taken),
                )
            )
        elif (wish.before, wish.after) not in edges:
            pair = (wish.before, wish.after)
            edges[pair] = StepEdge(before=wish.before, after=wish.after, why=wish.why)
            after[wish.before].append(wish.after)
            taken[pair] = wish
    return tuple(circles)


def _way(after: Mapping[str, Sequence[str]], start: str, end: str) -> tuple[str, ...]:
    """Find the shortest way along edges; empty where there is none."""
    came: dict[str, str] = {start: ""}
    ahead = deque([start])
    while ahead:
        here = ahead.popleft()
        if here == end:
            way = [here]
            while came[way[-1]]:
                way.append(came[way[-1]])
            return tuple(reversed(way))
        for then in after.get(here, ()):
            if then not in came:
                came[then] = here
                ahead.append(then)
    return ()


def in_order(steps: Sequence[Step], *, edges: Sequence[StepEdge]) -> tuple[Step, ...]:
    """Bring steps into an order that keeps every edge, as near to their own as it goes.

    Raises
    ------
    ValueError
        When the edges close a circle; the rules never do, and the maker's are held against them.
    """
    place = {step.id: number for number, step in enumerate(steps)}
    waits = dict.fromkeys(place, 0)
    after: dict[str, list[str]] = defaultdict(list)
    for edge in edges:
        waits[edge.after] += 1
        after[edge.before].append(edge.after)
    free = [place[name] for name, count in waits.items() if not count]
    heapify(free)
    ordered: list[Step] = []
    while free:
        step = steps[heappop(free)]
        ordered.append(step)
        for then in after[step.id]:
            waits[then] -= 1
            if not waits[then]:
                heappush(free, place[then])
    if len(ordered) < len(steps):
        circle = "the edges of the order of work close a circle"
        raise ValueError(circle)
    return tuple(ordered)
