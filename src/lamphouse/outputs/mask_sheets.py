"""The painting of a sub-assembly as data for the typesetter: coats and masks in their order."""

from collections.abc import Iterator
from typing import Any

from lamphouse.cutting.mask_plan import Coat, Mask, MaskPlan
from lamphouse.design.place import SubAssembly
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity, show

_HOW = """\
Degrease the face and prime it. Cut every mask from film before the first coat, and write its \
letter on it.
Rub the edges of a mask down with a fingernail. A first mist of the colour below, or of clear \
varnish, closes them.
Let each coat dry as its maker says before the next mask goes on it.
Leave all masks on to the end. Take them off last one first, pulled back flat over themselves, \
while the last coat is still a little soft.
Spray outdoors or into an extracted booth, with a mask for organic vapours and away from flames; \
follow the paint maker's sheet and your local rules."""
"""Common practice, no source."""


def painting(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Say in which order coats and masks go on; None where nothing is painted."""
    paintings = [one for one in plan.paintings if one.sub_assembly == sub.name and one.steps]
    if not paintings:
        return None
    return {
        "name": sub.name,
        "how": _HOW.splitlines(),
        "panels": [
            {"name": one.panel, "words": _words(one), "rows": list(_rows(one))} for one in paintings
        ],
    }


def _words(painting_: MaskPlan) -> str:
    masks = painting_.masks
    overlap = show(masks.overlap_mm, Quantity.LENGTH)
    return (
        f"{masks.film.name}; masks lap over one another by {overlap} and end at the panel's edge. "
        "What has its paint stays masked to the end."
    )


def _rows(painting_: MaskPlan) -> Iterator[tuple[str, str, str]]:
    """Give what to do, with what, and where."""
    first = True
    for step in painting_.steps:
        if isinstance(step, Mask):
            names = [piece.name.rpartition(" / ")[2] for piece in step.pieces]
            how = "from behind" if step.behind else "on the face"
            yield f"Mask {step.letter}", f"{_listed(names)} {how}", f"covers {step.covers}"
        elif isinstance(step, Coat):
            where = "all over what is bare" if not first else "all over"
            first = False
            stays = " and ".join(f"'{name}'" for name in step.areas)
            yield f"Coat {step.number}", step.paint, f"{where}; stays on {stays}"
    count = sum(isinstance(step, Mask) for step in painting_.steps)
    if count:
        yield "Last", "take all masks off", "last one first"


def _listed(names: list[str]) -> str:
    """Name the pieces of a mask, by first and last where there are many."""
    bare = [name.removeprefix("mask ") for name in names]
    if len(bare) > 4:
        return f"pieces {bare[0]} to {bare[-1]}"
    return f"piece{'s' if len(bare) > 1 else ''} {', '.join(bare)}"
