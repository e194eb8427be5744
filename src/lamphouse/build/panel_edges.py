"""What must come before what at a panel: flat work, paint, films, strands, decals."""

from collections.abc import Iterator
from itertools import pairwise

from lamphouse.build.step_edges import Pair, Site, because
from lamphouse.build.task_book import Level, Owner

FLAT = ("cut", "drill")
SHAPED = (*FLAT, "bend", "overlays")
PAINTED = ("mask", "coat", "unmask")
ON_FACE = ("prime", *PAINTED)


def _panels(site: Site) -> tuple[Owner, ...]:
    return site.book.owners(Level.PANEL)


@because("a hole is marked from the edges, and a small piece is held best once it is cut")
def cut_before_drilled(site: Site) -> Iterator[Pair]:
    """Keep holes in their places."""
    for at in _panels(site):
        yield site.book.of(at, "cut"), site.book.of(at, "drill")


@because(
    "holes are drilled in the flat sheet: a bit wanders on a curve, and their places are laid "
    "out flat"
)
def flat_before_bent(site: Site) -> Iterator[Pair]:
    """Keep holes of bent walls round and in their places."""
    for at in _panels(site):
        yield site.book.of(at, *FLAT), site.book.of(at, "bend")


@because("the wall is bent and glued over its former, which must be hard")
def former_before_bent(site: Site) -> Iterator[Pair]:
    """Give bent walls their shape."""
    for at in _panels(site):
        yield site.book.of(at, "former"), site.book.of(at, "bend")


@because("overlays lie on the finished shape, and their holes must stay in line")
def shaped_before_overlays(site: Site) -> Iterator[Pair]:
    """Keep cut-outs of overlays over the openings."""
    for at in _panels(site):
        yield site.book.of(at, *FLAT, "bend"), site.book.of(at, "overlays")


@because("a drill or a knife lifts fresh paint off, paint narrows a hole, and dust sticks to it")
def drilled_before_painted(site: Site) -> Iterator[Pair]:
    """Drill, cut and bend before paint."""
    for at in _panels(site):
        yield site.book.of(at, *SHAPED), site.book.of(at, "block light", "prime")


@because("black from behind creeps through openings; the face that shows is painted after it")
def blocked_before_primed(site: Site) -> Iterator[Pair]:
    """Keep black off the finished face."""
    for at in _panels(site):
        yield site.book.of(at, "block light"), site.book.of(at, "prime")


@because("paint and masking film pull off a face that was not primed")
def primed_before_painted(site: Site) -> Iterator[Pair]:
    """Make paint hold."""
    for at in _panels(site):
        yield site.book.of(at, "prime"), site.book.of(at, *PAINTED)


@because("each mask keeps what has its paint; the next coat goes over it, and all come off last")
def masks_between_coats(site: Site) -> Iterator[Pair]:
    """Keep coats and masks in the order they were planned in."""
    for at in _panels(site):
        turns = site.book.of(at, *PAINTED)
        yield from (((first,), (then,)) for first, then in pairwise(turns))


@because("overspray mists a clear film, and a film cannot be masked twice")
def painted_before_films(site: Site) -> Iterator[Pair]:
    """Lay films behind a finished face."""
    for at in _panels(site):
        yield site.book.of(at, *ON_FACE, "block light"), site.book.of(at, "films")


@because("a tint is judged and dried before it is built in")
def tinted_before_laid(site: Site) -> Iterator[Pair]:
    """Have tint coats dry before they are covered."""
    for at in _panels(site):
        yield site.book.of(at, "tint"), site.book.of(at, "films")


@because("ink must be dry before films are laid on one another")
def printed_before_laid(site: Site) -> Iterator[Pair]:
    """Keep prints from sticking and smearing."""
    for at in _panels(site):
        yield site.book.of(at, "print"), site.book.of(at, "films")


@because("a strand cannot be threaded before its hole is there and the wall has its shape")
def drilled_before_threaded(site: Site) -> Iterator[Pair]:
    """Thread into finished holes."""
    for at in _panels(site):
        yield site.book.of(at, *SHAPED), site.book.of(at, "thread")


@because("paint on a tip makes it dark, and a brush bends strands that stand proud")
def painted_before_threaded(site: Site) -> Iterator[Pair]:
    """Keep paint off the tips."""
    for at in _panels(site):
        yield site.book.of(at, *ON_FACE, "block light"), site.book.of(at, "thread")


@because("the melted head is what holds the strand, and no iron comes near a finished face")
def melted_before_threaded(site: Site) -> Iterator[Pair]:
    """Melt heads on the bench."""
    for at in _panels(site):
        yield site.book.of(at, "heads"), site.book.of(at, "thread")


@because("a strand is cut off at the face only once its glue holds it")
def threaded_before_trimmed(site: Site) -> Iterator[Pair]:
    """Keep tips from slipping back."""
    for at in _panels(site):
        yield site.book.of(at, "thread"), site.book.of(at, "trim", "test strands")
        yield site.book.of(at, "trim"), site.book.of(at, "test strands")


@because("a decal over a hole is cut to pieces by the drill or the strand that comes after it")
def strands_before_decals(site: Site) -> Iterator[Pair]:
    """Lay a decal over finished tips."""
    for at in _panels(site):
        first = site.book.of(at, *SHAPED, "thread", "trim")
        yield first, site.book.of(at, "decals")


@because("a decal lies on paint that is dry")
def painted_before_decals(site: Site) -> Iterator[Pair]:
    """Give decals a smooth ground."""
    for at in _panels(site):
        yield site.book.of(at, *ON_FACE), site.book.of(at, "decals")


@because("a clear coat seals the edges of decals; laid on top of it they would show and lift")
def decals_before_clear_coat(site: Site) -> Iterator[Pair]:
    """Seal decals."""
    for at in _panels(site):
        yield site.book.of(at, "decals"), site.book.of(at, "clear coat")


@because("the mist of a clear coat settles on films and clouds them")
def clear_coat_before_films(site: Site) -> Iterator[Pair]:
    """Keep films clear."""
    for at in _panels(site):
        yield site.book.of(at, "clear coat"), site.book.of(at, "films")
