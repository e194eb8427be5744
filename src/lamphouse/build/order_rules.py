"""Rules about the maker's own steps: names that no step has, circles, parts nothing waits for."""

from collections.abc import Iterable, Iterator, Sequence

from lamphouse.build.work_order import Circle, Nowhere, Ordered
from lamphouse.catalogue.shelf import nearest
from lamphouse.design.work import WorkWishes
from lamphouse.findings import Finding, Severity, Told, rule

MOST_NAMED = 6
"""Steps of a circle that a finding names."""


@rule("ORD001", Severity.STOP, "An own step names a step there is not", can_be_accepted=False)
def step_nowhere(missing: Iterable[Nowhere]) -> Iterator[Told]:
    """Refuse an own step or ordering that names a step nobody takes.

    What it checks
        What stands under ``after`` and ``before`` of an own step, and under ``first`` and ``then``
        of an own order, is the name of a step of this model or of another own step.

    Why it matters
        The wish would be dropped without a word, and the step would land anywhere in the order.

    Example
        ::

            steps:
              weather the desk: {in: desk, kind: paint, after: [desk/top/coating]}

    Mend
        Write the name the finding shows; ``lamphouse steps`` lists them all.

    Source
        Design rule of this project.
    """
    for one in missing:
        meant = nearest(one.name, one.names)
        yield Told(
            where=one.where,
            message=f"{one.key}: no step is called '{one.name[:60]}'; {len(one.names)} there are",
            remedy=f"write {meant}" if meant else "see lamphouse steps for their names",
        )


@rule("ORD002", Severity.STOP, "Own steps that go round in a circle", can_be_accepted=False)
def circle(circles: Iterable[Circle]) -> Iterator[Told]:
    """Refuse an own ordering that would have a step come before itself.

    What it checks
        The orderings the maker adds close no circle with one another and with the rules.

    Why it matters
        No evening could begin such a build: each of the steps would wait for the next. Most often
        it means that something would be covered before it was tested.

    Example
        ::

            order:
              - {first: desk/screen box/close, then: desk/test open, why: the back is in the way}

    Mend
        Take out the ordering the finding names, or turn it round.

    Source
        Design rule of this project; why each step comes before the next is said by the rule that
        put it there.
    """
    for one in circles:
        wish = one.wish
        others = list(dict.fromkeys(str(other.where.item) for other in one.others))
        also = f", or that of {' or '.join(others)}" if others else ""
        yield Told(
            where=wish.where,
            message=f"'{wish.before}' before '{wish.after}' closes a circle: {_told(one)}",
            remedy=f"take this order ('{wish.before}' before '{wish.after}') out{also}",
        )


def _told(circle_: Circle) -> str:
    """Say how the circle runs, and why its first edge stands."""
    way = circle_.way
    named = [f"'{name}'" for name in way]
    if len(named) > MOST_NAMED:
        named = [*named[: MOST_NAMED - 1], f"{len(way) - MOST_NAMED} more", named[-1]]
    why = circle_.reasons[0] if circle_.reasons else "it is the same step"
    return f"{' comes before '.join(named)} ({why})"


@rule("ORD003", Severity.WARN, "A part that no step waits for")
def waits_for_nothing(wishes: WorkWishes, *, parts: Sequence[str]) -> Iterator[Told]:
    """Find parts that are waited for and that no step uses.

    What it checks
        Each part under ``waiting`` is used by a step, under the name the parts list has for it.

    Why it matters
        The evenings would be planned as if it were there, and on the evening it is not.

    Example
        ::

            waiting:
              - {part: white 0604, until: 2026-12-04}

    Mend
        Write the part as the parts list names it, or take the line out.

    Source
        Design rule of this project.
    """
    for one in wishes.waiting:
        if one.part not in parts:
            meant = nearest(one.part, list(parts))
            yield Told(
                where=one.where,
                message=f"no step uses '{one.part[:60]}', so none waits for it",
                remedy=f"write {meant}" if meant else "name it as the parts list does",
            )


@rule("ORD004", Severity.STOP, "An own step hides something unknown", can_be_accepted=False)
def hides_unknown(wishes: WorkWishes, *, items: Sequence[str]) -> Iterator[Told]:
    """Refuse an own step that hides an item there is not.

    What it checks
        What stands under ``hides`` of an own step is an LED, a strand, a light box, a board, a
        sub-assembly or another item of this file.

    Why it matters
        The step waits for the gates of what it hides. Of an unknown item it knows no gate, and a
        light would be covered that nobody has seen lit.

    Example
        ::

            steps:
              glue the cornice: {in: desk, kind: glue, hides: [desk / screen bax]}

    Mend
        Write the item as findings name it, such as ``desk / top / screen box``.

    Source
        Design rule of this project.
    """
    for step in wishes.steps:
        for hidden in step.hides:
            if hidden not in items:
                meant = nearest(hidden, list(items))
                yield Told(
                    where=step.where,
                    message=f"hides: there is no item '{hidden[:60]}' in this file",
                    remedy=f"write {meant}" if meant else "name it as findings do",
                )


def judge_order(
    ordered: Ordered, *, wishes: WorkWishes, items: Sequence[str]
) -> tuple[Finding, ...]:
    """Judge what the maker wishes of the order of work.

    Parameters
    ----------
    ordered
        With what of the wishes did not go into it.
    wishes
        Of the maker.
    items
        Names of all that can be hidden.
    """
    parts = list(dict.fromkeys(part for step in ordered.order.steps for part in step.parts))
    return (
        *step_nowhere(ordered.nowhere),
        *circle(ordered.circles),
        *waits_for_nothing(wishes, parts=parts),
        *hides_unknown(wishes, items=items),
    )
