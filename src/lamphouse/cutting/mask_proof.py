"""An independent check of masks: the painting gone through step by step, coat upon coat.

Nothing is taken from how the masks were made but their outlines and their order: each coat covers
what is free, and what lies on top in the end must be what was wanted, place by place.
"""

from collections.abc import Sequence

from lamphouse.cutting.mask_plan import Coat, Mask, MaskPlan
from lamphouse.record import Record
from lamphouse.shapes.offset import Region
from lamphouse.shapes.regions import Area, all_of, area_of, nothing

BARE = 0
"""Stands for no paint where coats are counted from 1."""

SAME_MM2 = 0.01
"""Areas that differ by no more are the same; chords of arcs differ by less."""


class MaskFault(AssertionError):
    """A panel would not come out as wanted."""


class Painted(Record):
    """A face after the last coat, by what lies on top."""

    by_coat: dict[int, Area]
    """0 for what is bare."""


def paint(plan: MaskPlan, *, face: Area) -> Painted:
    """Paint a face step by step.

    Parameters
    ----------
    plan
        Masks and coats.
    face
        What there is to paint, openings left out.
    """
    masked = nothing()
    on_top = {BARE: face}
    for step in plan.steps:
        if isinstance(step, Mask):
            if not step.behind:  # from behind it covers nothing of the face
                masked = masked.joined(_covers(step.regions))
            continue
        free = face.without(masked)
        on_top = {coat: area.without(free) for coat, area in on_top.items()}
        on_top[step.number] = free
    return Painted(by_coat=on_top)


def _covers(regions: Sequence[Region]) -> Area:
    return all_of(area_of(region.outside, holes=region.holes) for region in regions)


def prove(plan: MaskPlan, *, face: Area) -> None:
    """Prove that every area comes out in its paint.

    Raises
    ------
    MaskFault
        If it does not, which is our fault.
    """
    painted = paint(plan, face=face)
    coats = [step for step in plan.steps if isinstance(step, Coat)]
    painted_over = []
    for coat in coats:
        wanted = all_of(_covers(shown.regions) for shown in plan.shown if shown.coat == coat.number)
        _same(painted.by_coat.get(coat.number, nothing()), wanted, what=f"coat {coat.number}")
        painted_over.append(wanted)
    bare = face.without(all_of(painted_over))
    _same(painted.by_coat.get(BARE, nothing()), bare, what="what stays bare")


def _same(found: Area, wanted: Area, *, what: str) -> None:
    off = found.area_mm2 + wanted.area_mm2 - 2.0 * found.within(wanted).area_mm2
    if off > SAME_MM2 + 1e-5 * wanted.area_mm2:
        wrong = f"{what} comes out {off:.4f} mm2 off"
        raise MaskFault(wrong)
