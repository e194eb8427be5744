"""What the solver refuses of a drawn box and of the boxes it shares openings with."""

from collections.abc import Iterator
from functools import lru_cache

from lamphouse.colour.film_spectra import scatters
from lamphouse.design.box_faces import finishes_in
from lamphouse.light import glow, sound_box
from lamphouse.light.box_mesh import MOST_ROWS, rows_of
from lamphouse.light.box_scene import Drawn
from lamphouse.light.equal_boxes import solve_alike
from lamphouse.light.scene import Box, Suite
from lamphouse.light.sound_box import Fault, Kind
from lamphouse.light.step_size import step_mm

MOST_TOGETHER = 7000
"""Rows of the tables of all boxes of a suite: they are held at once, and stay below 800 MB."""

KEPT = 32
"""Boxes of suites whose answer is kept."""


@lru_cache(maxsize=KEPT)
def solved_one(suite: Suite, *, number: int, step: float | None = None) -> glow.Glow:
    """Solve a box of a suite; few models have one, so only they wait for its modules."""
    from lamphouse.light.suite_glow import solve_one

    return solve_one(suite, number=number, step=step)


def _lampless(box: Box) -> tuple[Fault, ...]:
    """List the faults of a box that others may light."""
    return tuple(fault for fault in sound_box.faults(box) if fault.kind is not Kind.NO_LAMP)


def size_faults(suite: Suite) -> Iterator[Fault]:
    """Tell when sound boxes with their passages are too much for memory, one or all together."""
    from lamphouse.light.chambers import with_ports

    boxes = [with_ports(suite, number=number)[0] for number in range(len(suite.boxes))]
    rows = [rows_of(box, step_mm=step_mm(box), most=MOST_ROWS) for box in boxes]
    for given, most in ((max(rows), MOST_ROWS), (sum(rows), MOST_TOGETHER)):
        if given > most:
            yield Fault(kind=Kind.DETAIL, item="passages", given=given, least=1, most=most)
            return


def faults(drawn: Drawn) -> tuple[Fault, ...]:
    """Tell why a drawn box is refused; nothing when the solver takes it.

    A box that shares openings needs no lamp of its own, and its neighbours must be sound too.
    """
    if not drawn.together:
        return sound_box.faults(drawn.scene)
    if drawn.suite is None:
        others = ", ".join(one.name for one in drawn.together if one.name != drawn.box.name)
        return (Fault(kind=Kind.RING, item=others, given=1, least=0, most=0),)
    found = list(_lampless(drawn.scene))
    for number, (one, box) in enumerate(zip(drawn.together, drawn.suite.boxes, strict=False)):
        shiny = any(finish.shine == "shiny" for finish in finishes_in(one))
        clear = one.inner_diffuser is not None and not scatters(one.inner_diffuser.film)
        if number != drawn.number and (shiny or clear or _lampless(box)):
            found.append(Fault(kind=Kind.NEIGHBOUR, item=one.name, given=1, least=0, most=0))
    return tuple(found or size_faults(drawn.suite))


def solve(drawn: Drawn, *, step: float | None = None) -> glow.Glow:
    """Predict the luminance of every opening of a sound drawn box, its neighbours' light included.

    Parameters
    ----------
    drawn
        A box that ``faults`` finds no fault with.
    step
        Fine step of the mesh. [mm]. None: chosen from depth and narrowest width.
    """
    if drawn.suite is None:
        return solve_alike(drawn.scene, step=step)
    return solved_one(drawn.suite, number=drawn.number, step=step)


def solved_together(suite: Suite, *, step: float | None = None) -> tuple[glow.Glow, ...]:
    """Solve boxes that share openings, once for all of them."""
    return tuple(solved_one(suite, number=number, step=step) for number in range(len(suite.boxes)))
