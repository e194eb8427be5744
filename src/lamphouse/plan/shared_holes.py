"""Puts the passages that the light finds sound onto the walls that are cut."""

from collections.abc import Sequence

from lamphouse.cutting.wall_holes import Through, WallHole
from lamphouse.design.lightbox import LightBox
from lamphouse.light.shared_walls import Fit, look_at_passages
from lamphouse.shapes.soundness import flaw_of


def holes_between(boxes: Sequence[LightBox]) -> tuple[Through, ...]:
    """Give the passages between the boxes behind one panel as holes in their walls.

    Those that do not fit, and those of boxes whose inside is not sound, are left out: a finding
    says so.
    """
    sound = {box.name: box for box in boxes if not flaw_of(box.inside.corners)}
    found = []
    for box in sound.values():
        if box.passages:
            beside = tuple(one for one in sound.values() if one is not box)
            fits, _ = look_at_passages(box, beside=beside)
            found += [_through(fit, box=box, other=sound[fit.passage.into]) for fit in fits]
    return tuple(found)


def _through(fit: Fit, *, box: LightBox, other: LightBox) -> Through:
    passage, rise = fit.passage, box.depth_mm - other.depth_mm
    near = WallHole(
        passage=passage.name,
        where=passage.where,
        box=box.name,
        beyond=other.name,
        ends_mm=fit.near_mm,
        low_mm=passage.low_mm,
        high_mm=passage.high_mm,
        film=passage.film,
    )
    far = WallHole(
        passage=passage.name,
        where=passage.where,
        box=other.name,
        beyond=box.name,
        ends_mm=fit.far_mm,
        low_mm=passage.low_mm - rise,
        high_mm=passage.high_mm - rise,
    )
    return Through(near=near, far=far, stretch_mm=fit.stretch_mm)
