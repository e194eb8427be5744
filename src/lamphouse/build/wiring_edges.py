"""What must come before what in the wiring: sleeves before solder, tests before glue."""

from collections.abc import Iterator

from lamphouse.build.panel_edges import ON_FACE, SHAPED
from lamphouse.build.step_edges import Pair, Site, because
from lamphouse.build.task_book import MODEL, Level, Owner
from lamphouse.build.wiring_steps import sourced_by


def _subs(site: Site) -> Iterator[Owner]:
    return iter(site.book.owners(Level.SUB))


@because(
    "an LED that is dead or the wrong way round costs a minute loose and an evening soldered in",
    is_gate=True,
)
def tested_before_leads(site: Site) -> Iterator[Pair]:
    """Test every LED loose."""
    for at in _subs(site):
        yield site.book.of(at, "test LEDs"), site.book.of(at, "leads")


@because("heat and a pulled pad show at once; found later they are under glue", is_gate=True)
def leads_before_tested(site: Site) -> Iterator[Pair]:
    """Test again with leads on, before LEDs are glued."""
    for at in _subs(site):
        yield site.book.of(at, "test leads"), site.book.of(at, "lamps")


@because("there is nothing to test before the leads are on")
def leads_then_test(site: Site) -> Iterator[Pair]:
    """Solder, then test."""
    for at in _subs(site):
        yield site.book.of(at, "leads"), site.book.of(at, "test leads", "sleeves")


@because("a sleeve does not go over a soldered joint")
def sleeves_before_soldered(site: Site) -> Iterator[Pair]:
    """Slide shrink sleeves on before soldering."""
    for at in _subs(site):
        yield site.book.of(at, "sleeves"), site.book.of(at, "join")


@because("a wrong resistor or a bridge is found on the bare board with one reading", is_gate=True)
def board_before_joined(site: Site) -> Iterator[Pair]:
    """Measure the board before it is joined."""
    for at in _subs(site):
        yield site.book.of(at, "test board"), site.book.of(at, "join")


@because("it is measured when it is soldered")
def board_before_measured(site: Site) -> Iterator[Pair]:
    """Solder, then measure."""
    for at in _subs(site):
        yield site.book.of(at, "board"), site.book.of(at, "test board")


@because("it is the last soldering: what it joins is made and tested by then")
def made_before_joined(site: Site) -> Iterator[Pair]:
    """Join a finished pigtail and LEDs with leads."""
    for at in _subs(site):
        yield site.book.of(at, "plug", "leads", "test leads"), site.book.of(at, "join")


@because("lamps are glued into finished holes, on paint that is dry")
def painted_before_lamps(site: Site) -> Iterator[Pair]:
    """Keep paint off lamps."""
    for at in _subs(site):
        first = site.book.within(at.sub_assembly, *SHAPED, *ON_FACE, level=Level.PANEL)
        yield first, site.book.of(at, "lamps")


@because("leads are cut to length when LEDs sit in their places")
def seated_before_joined(site: Site) -> Iterator[Pair]:
    """Join what is in its place."""
    for at in _subs(site):
        first = site.book.within(at.sub_assembly, "set LEDs", level=Level.BOX)
        yield (*first, *site.book.of(at, "lamps")), site.book.of(at, "join")


@because("it is lit as it will be: joined, with its films, diffusers and strands")
def all_in_before_lit(site: Site) -> Iterator[Pair]:
    """Have everything that makes the look in place at the gate."""
    for at in _subs(site):
        boxed = ("set LEDs", "diffuser", "passages")
        first = (
            *site.book.of(at, "join", "bundle"),
            *site.book.within(at.sub_assembly, *boxed, level=Level.BOX),
            *site.book.within(at.sub_assembly, "films", level=Level.PANEL),
        )
        yield first, site.book.of(at, "test open")


@because("the knob's reading becomes a resistor while the board can be reached")
def knobs_before_closed(site: Site) -> Iterator[Pair]:
    """Set trimmed strings between the open gate and closing."""
    for at in _subs(site):
        yield site.book.of(at, "test open"), site.book.of(at, "set knobs")
        shut = site.book.within(at.sub_assembly, "close", level=Level.BOX)
        yield site.book.of(at, "set knobs"), (*shut, *site.book.of(at, "couple", "test closed"))


@because(
    "strands that are mixed up can be told apart only before the bundle is glued", is_gate=True
)
def strands_before_bundled(site: Site) -> Iterator[Pair]:
    """Light every strand from its tail, then bundle; the strands may be of other sub-assemblies."""
    design = site.made.design
    subs = {sub.name: sub for sub in design.sub_assemblies}
    for at in _subs(site):
        for group in sourced_by(subs[at.sub_assembly], design=design):
            panels = dict.fromkeys(
                (sub.name, panel)
                for sub in design.sub_assemblies
                for panel, strand in sub.strands
                if strand.group == group.name
            )
            tested = [
                name
                for sub, panel in panels
                for name in site.book.of(
                    Owner(level=Level.PANEL, sub_assembly=sub, name=panel), "test strands"
                )
            ]
            yield tuple(tested), _exactly(site, at, f"bundle {group.name}")
            bundled = _exactly(site, at, f"bundle {group.name}")
            yield bundled, _exactly(site, at, f"couple {group.name}")


def _exactly(site: Site, at: Owner, verb: str) -> tuple[str, ...]:
    """Find the task of one verb; ``of`` would take group ``a 2`` for one of ``a``."""
    stem = verb.partition(" ")[0]
    return tuple(name for name in site.book.of(at, stem) if name.endswith(f"/{verb}"))


@because("what is closed is read once more: closing pinches wires")
def closed_before_read(site: Site) -> Iterator[Pair]:
    """Read again when everything is closed."""
    for at in _subs(site):
        shut = site.book.within(at.sub_assembly, "close", level=Level.BOX)
        seen = site.book.within(at.sub_assembly, "dark room", level=Level.BOX)
        control = site.book.within(at.sub_assembly, "close", level=Level.CONTROLLER)
        first = (*site.book.of(at, "couple", "join", "test open"), *shut, *seen, *control)
        yield first, site.book.of(at, "test closed")


@because("a program is loaded into what is soldered, and watched before it is covered")
def soldered_before_loaded(site: Site) -> Iterator[Pair]:
    """Bring a controller to its gate."""
    for at in site.book.owners(Level.CONTROLLER):
        yield site.book.of(at, "solder"), site.book.of(at, "load", "prove")
        yield site.book.of(at, "load"), site.book.of(at, "prove")


@because("runs lead through holes, and end on the splitter boards")
def floor_before_runs(site: Site) -> Iterator[Pair]:
    """Lay the loom when both its ends are there."""
    yield site.book.of(MODEL, "drill floor", "splitters"), site.book.of(MODEL, "runs")
    yield site.book.of(MODEL, "runs"), site.book.of(MODEL, "test loom")


@because("a fault in the loom would burn what is plugged into it", is_gate=True)
def loom_before_plugged(site: Site) -> Iterator[Pair]:
    """Test the loom before anything hangs on it."""
    plugged = [name for at in _subs(site) for name in site.book.of(at, "test in model")]
    yield site.book.of(MODEL, "test loom"), (*site.book.of(MODEL, "rehearse"), *plugged)


@because("on the table a fault is mended in minutes, in the model it takes an evening")
def closed_before_rehearsed(site: Site) -> Iterator[Pair]:
    """Plug together what has passed its own gates."""
    closed = [name for at in _subs(site) for name in site.book.of(at, "test closed")]
    proved = [
        name for at in site.book.owners(Level.CONTROLLER) for name in site.book.of(at, "prove")
    ]
    yield (*closed, *proved), site.book.of(MODEL, "rehearse")


@because("a controller under the floor is covered when the whole model has played on it")
def rehearsed_before_covered(site: Site) -> Iterator[Pair]:
    """Keep a controller open while everything is tried."""
    for at in site.book.owners(Level.CONTROLLER):
        if not at.sub_assembly:
            closed = site.book.of(at, "close")
            yield site.book.of(MODEL, "rehearse"), closed
            yield closed, site.book.of(MODEL, "close floor")


@because("it is read where it stands, with its plug in the loom")
def installed_before_read(site: Site) -> Iterator[Pair]:
    """Read in the model, then close the floor."""
    for at in _subs(site):
        yield site.book.of(at, "install"), site.book.of(at, "test in model")
        yield site.book.of(at, "install"), site.book.of(MODEL, "close floor")
