"""What the solver refuses of a drawn box and of the boxes it shares openings with."""

from functools import lru_cache

from lamphouse.light import glow, sound_box
from lamphouse.light.box_scene import Drawn
from lamphouse.light.layer_stack import scatters
from lamphouse.light.scene import Box, Suite
from lamphouse.light.sound_box import Fault, Kind

KEPT = 16
"""Suites whose answer is kept: each of their boxes is judged by it in turn."""


@lru_cache(maxsize=KEPT)
def _kept(suite: Suite, *, step: float | None) -> tuple[glow.Glow, ...]:
    """Solve a suite; few models have one, so only they wait for its modules."""
    from lamphouse.light.suite_glow import solve_suite

    return solve_suite(suite, step=step)


def _lampless(box: Box) -> tuple[Fault, ...]:
    """List the faults of a box that others may light."""
    return tuple(fault for fault in sound_box.faults(box) if fault.kind is not Kind.NO_LAMP)


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
        shiny = one.finish.shine == "shiny"
        clear = one.inner_diffuser is not None and not scatters(one.inner_diffuser.film)
        if number != drawn.number and (shiny or clear or _lampless(box)):
            found.append(Fault(kind=Kind.NEIGHBOUR, item=one.name, given=1, least=0, most=0))
    return tuple(found)


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
        return glow.solve(drawn.scene, step=step)
    return solved_together(drawn.suite, step=step)[drawn.number]


def solved_together(suite: Suite, *, step: float | None = None) -> tuple[glow.Glow, ...]:
    """Solve boxes that share openings, once for all of them."""
    return _kept(suite, step=step)
