"""Gates: nothing that hides a light, a strand or a joint comes before the test of it."""

from collections import defaultdict
from collections.abc import Iterator

from lamphouse.build.model_steps import loom_item
from lamphouse.build.step_edges import Pair, Site, because
from lamphouse.build.task_book import MODEL, Level, Owner


@because("what it hides was seen lit first; afterwards nobody reaches it", is_gate=True)
def lit_before_hidden(site: Site) -> Iterator[Pair]:
    """Let every step that hides something wait for the gates of all that it hides.

    A step of the maker's own may hide a box or a whole sub-assembly; then all in it counts.
    """
    gates = gates_of(site)
    parents = defaultdict(list)
    for item in gates:
        words = item.split(" / ")
        for depth in range(1, len(words) + 1):
            parents[" / ".join(words[:depth])].append(item)
    for name, step in site.book.steps.items():
        behind = [item for hidden in step.hides for item in parents.get(hidden, ())]
        first = dict.fromkeys(gate for item in behind for gate in gates[item])
        if first:
            yield tuple(first), (name,)


@because("closing is the last moment to mend it without breaking it open", is_gate=True)
def tested_before_closed(site: Site) -> Iterator[Pair]:
    """Test before closing, even where it can be opened again."""
    for at in site.book.owners(Level.SUB):
        shut = site.book.within(at.sub_assembly, "close", level=Level.BOX)
        yield site.book.of(at, "test open"), (*shut, *site.book.of(at, "couple"))
    for at in site.book.owners(Level.CONTROLLER):
        yield site.book.of(at, "prove"), site.book.of(at, "close")


@because("only what has passed on the table goes into the model", is_gate=True)
def rehearsed_before_installed(site: Site) -> Iterator[Pair]:
    """Install what was closed, read, and plugged together once."""
    rehearsed = site.book.of(MODEL, "rehearse")
    for at in site.book.owners(Level.SUB):
        yield site.book.of(at, "test closed"), site.book.of(at, "install")
        if site.book.of(at, "test open"):
            yield rehearsed, site.book.of(at, "install")


@because("under a closed floor nobody reaches a plug or a joint", is_gate=True)
def read_before_floor(site: Site) -> Iterator[Pair]:
    """Close the floor when everything was read in the model."""
    read = [n for at in site.book.owners(Level.SUB) for n in site.book.of(at, "test in model")]
    yield tuple(read), site.book.of(MODEL, "close floor")


def gates_of(site: Site) -> dict[str, tuple[str, ...]]:
    """Give for every item that lights, or joins what lights, the gates that show it does."""
    book, design = site.book, site.made.design
    gates: dict[str, tuple[str, ...]] = {}
    for sub in design.sub_assemblies:
        opened = book.of(Owner(level=Level.SUB, sub_assembly=sub.name), "test open")
        for led in sub.leds():
            gates[led.where.item] = opened
        if sub.board:
            gates[sub.board.where.item] = opened
        for panel, strand in sub.strands:
            at = Owner(level=Level.PANEL, sub_assembly=sub.name, name=panel)
            gates[strand.where.item] = book.of(at, "test strands")
    for at in book.owners(Level.CONTROLLER):
        for name in book.of(at, "close"):
            gates[book.steps[name].items[0]] = book.of(at, "prove")
    gates[loom_item(design)] = book.of(MODEL, "test loom")
    return {item: tests for item, tests in gates.items() if tests}
