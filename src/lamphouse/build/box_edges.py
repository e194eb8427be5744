"""What must come before what at a light box: inside before assembly, films before it closes."""

from collections.abc import Iterator

from lamphouse.build.model_uses import FILM_MARGIN_MM
from lamphouse.build.panel_edges import ON_FACE, SHAPED
from lamphouse.build.step_edges import Pair, Site, because
from lamphouse.build.task_book import Level, Owner
from lamphouse.cutting.seats import baffle_foot, hanging_baffles
from lamphouse.design.lightbox import Build, LightBox, Seat
from lamphouse.design.panel import Panel
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import gap_mm

SHUT = ("mount", "close")


def _boxes(site: Site) -> Iterator[tuple[Owner, Owner]]:
    """Give every box with its panel."""
    for at in site.book.owners(Level.BOX):
        panel = Owner(level=Level.PANEL, sub_assembly=at.sub_assembly, name=at.panel)
        yield at, panel


def _has_films_beside(panel: Panel, *, box: LightBox) -> bool:
    """Tell whether films of a panel reach to the foot of a baffle that hangs."""
    return any(
        gap_mm(baffle_foot(baffle), other=opening.outline.corners) < FILM_MARGIN_MM
        for baffle in hanging_baffles(box)
        for opening in panel.openings
        if opening.layers and not flaw_of(opening.outline.corners)
    )


def _panel(site: Site, at: Owner) -> Panel:
    """Find the panel before a box."""
    return next(
        panel
        for sub in site.made.design.sub_assemblies
        if sub.name == at.sub_assembly
        for panel in sub.panels
        if panel.name == at.panel
    )


def _designed(site: Site) -> dict[tuple[str, str, str], LightBox]:
    return {
        (sub.name, panel, box.name): box
        for sub in site.made.design.sub_assemblies
        for panel, box in sub.boxes
    }


@because("holes are drilled in the flat pieces")
def box_cut_before_drilled(site: Site) -> Iterator[Pair]:
    """Keep wire holes in their places."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "cut"), site.book.of(at, "drill")


@because(
    "inside faces are finished while one can still reach them; a corner painted afterwards "
    "stays thin"
)
def inside_before_assembled(site: Site) -> Iterator[Pair]:
    """Finish inside faces before assembly."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "cut", "drill"), site.book.of(at, "inside", "assemble")
        yield site.book.of(at, "inside"), site.book.of(at, "assemble", *SHUT, "set LEDs")


@because("a pillar is cut, stacked and painted all round while it lies in the hand")
def pillars_made_first(site: Site) -> Iterator[Pair]:
    """Make pillars before they stand."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "drill"), site.book.of(at, "make pillars")
        yield site.book.of(at, "make pillars"), site.book.of(at, "pillars")


@because("a pillar is glued on a finished back, which one cannot paint round it afterwards")
def back_before_pillars(site: Site) -> Iterator[Pair]:
    """Finish the back before pillars stand on it; a folded or printed one is open to the panel."""
    designed = _designed(site)
    for at, _ in _boxes(site):
        box = designed[at.sub_assembly, at.panel, at.name]
        assembled = () if box.build is Build.PIECES else site.book.of(at, "assemble")
        first = (*site.book.of(at, "cut", "drill", "inside", "block light"), *assembled)
        yield first, site.book.of(at, "pillars")


@because("pillars show where LEDs may sit, and glue on them drips on no LED")
def pillars_before_leds(site: Site) -> Iterator[Pair]:
    """Set pillars before LEDs and before anything closes."""
    for at, _ in _boxes(site):
        then = site.book.of(at, "set LEDs", "close")
        yield site.book.of(at, "pillars"), then


@because("joints are covered too when the box stands as one")
def assembled_before_blocked(site: Site) -> Iterator[Pair]:
    """Block light over the joints."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "cut", "assemble", "inside"), site.book.of(at, "block light")


@because("spray on an LED or a film takes its light away")
def blocked_before_equipped(site: Site) -> Iterator[Pair]:
    """Keep black off LEDs and films."""
    for at, _ in _boxes(site):
        then = site.book.of(at, "set LEDs", "diffuser", "passages", *SHUT)
        yield site.book.of(at, "block light"), then


@because("the rear of the panel is black round its openings before anything stands there")
def rear_before_mounted(site: Site) -> Iterator[Pair]:
    """Keep light from running along the sheet."""
    for at, panel in _boxes(site):
        yield site.book.of(panel, "block light"), site.book.of(at, *SHUT)


@because("the face is painted before a box stands behind it and is in the way")
def face_before_mounted(site: Site) -> Iterator[Pair]:
    """Paint a panel that still lies flat."""
    for at, panel in _boxes(site):
        yield site.book.of(panel, *SHAPED, *ON_FACE), site.book.of(at, *SHUT)


@because(
    "a baffle that hangs is painted before it is glued to a finished panel, and a box that is put "
    "over it leaves no room for a hand"
)
def hung_before_mounted(site: Site) -> Iterator[Pair]:
    """Hang baffles while the rear of the panel lies free."""
    for at, panel in _boxes(site):
        hung = site.book.of(at, "hang")
        yield site.book.of(at, "cut", "inside"), hung
        yield site.book.of(panel, *SHAPED, *ON_FACE, "block light"), hung
        yield hung, site.book.of(at, *SHUT)


@because("a film is laid flat over its opening and a little beyond, where no baffle stands yet")
def films_before_hung(site: Site) -> Iterator[Pair]:
    """Lay the films of openings that end near the foot of a baffle before it is there."""
    designed = _designed(site)
    for at, panel in _boxes(site):
        box = designed[at.sub_assembly, at.panel, at.name]
        if _has_films_beside(_panel(site, at), box=box):
            yield site.book.of(panel, "films"), site.book.of(at, "hang")


@because("walls stand before they are glued to the panel")
def assembled_before_mounted(site: Site) -> Iterator[Pair]:
    """Mount what is put together."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "cut", "assemble"), site.book.of(at, *SHUT)


@because("an LED is glued on a finished face, its leads through drilled holes")
def seat_before_led(site: Site) -> Iterator[Pair]:
    """Give LEDs their seats; those on walls and panel need the walls in place."""
    designed = _designed(site)
    for at, panel in _boxes(site):
        box = designed[at.sub_assembly, at.panel, at.name]
        seats = {led.seat for led in box.leds}
        yield site.book.of(at, "cut", "drill"), site.book.of(at, "set LEDs")
        if box.build is not Build.PIECES or Seat.WALL in seats:
            yield site.book.of(at, "assemble"), site.book.of(at, "set LEDs")
        if Seat.PANEL in seats:
            first = (*site.book.of(panel, *SHAPED, *ON_FACE), *site.book.of(at, "mount"))
            yield first, site.book.of(at, "set LEDs")


@because(
    "leads are soldered in the open: heat and flux inside a box spoil its white, and no iron "
    "reaches in"
)
def leads_before_seat(site: Site) -> Iterator[Pair]:
    """Solder before LEDs are glued in."""
    for at, _ in _boxes(site):
        sub = Owner(level=Level.SUB, sub_assembly=at.sub_assembly)
        yield site.book.of(sub, "leads", "test leads"), site.book.of(at, "set LEDs")


@because("films and gels are laid while the box is open; behind glue nothing can be changed")
def films_before_closed(site: Site) -> Iterator[Pair]:
    """Lay gels and films before the box closes."""
    for at, panel in _boxes(site):
        yield site.book.of(panel, "films"), site.book.of(at, "close")
        yield site.book.of(at, "diffuser", "passages"), site.book.of(at, "close")


@because("it goes in over the LEDs, or between walls that stand")
def diffuser_in_its_place(site: Site) -> Iterator[Pair]:
    """Lay the inner diffuser from the side that is open."""
    designed = _designed(site)
    for at, _ in _boxes(site):
        box = designed[at.sub_assembly, at.panel, at.name]
        first = "assemble" if box.build is Build.PIECES else "set LEDs"
        yield site.book.of(at, "cut", first), site.book.of(at, "diffuser")
        yield site.book.of(at, "cut", "assemble"), site.book.of(at, "passages")


@because("its back goes on walls that stand on the panel")
def mounted_before_closed(site: Site) -> Iterator[Pair]:
    """Close a box that is mounted."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "mount"), site.book.of(at, "close")


@because("each LED is glued in while one sees where it sits")
def seated_before_closed(site: Site) -> Iterator[Pair]:
    """Close a box over LEDs that are in it."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "set LEDs"), site.book.of(at, "close")


@because("a strand through a box is threaded and glued while one can reach its hole from behind")
def strands_before_closed(site: Site) -> Iterator[Pair]:
    """Thread strands before a box closes over them."""
    for at, panel in _boxes(site):
        hidden = {item for name in site.book.of(at, "close") for item in _items(site, name)}
        threaded = site.book.of(panel, "thread", "trim")
        if hidden & {item for name in threaded for item in _items(site, name)}:
            yield threaded, site.book.of(at, "close")


def _items(site: Site, name: str) -> tuple[str, ...]:
    step = site.book.steps[name]
    return (*step.items, *step.hides)


@because("seams can be closed only where two pieces meet")
def closed_before_seams(site: Site) -> Iterator[Pair]:
    """Tape or fill after closing."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "close"), site.book.of(at, "seams")


@because("blacking is judged with the lamp on, in the dark, when nothing is left open")
def blacked_before_judged(site: Site) -> Iterator[Pair]:
    """Look for leaks when the box is as it stays."""
    for at, _ in _boxes(site):
        yield site.book.of(at, "block light", "close", "seams"), site.book.of(at, "dark room")
