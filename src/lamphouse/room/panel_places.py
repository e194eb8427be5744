"""Light boxes behind two panels of one sub-assembly that overlap, and where a panel would do."""

from collections.abc import Iterator, Sequence

from lamphouse.record import replace
from lamphouse.room.assembled import PLAY_MM, Assembled, Standpoint
from lamphouse.room.clear_mends import STEP_MM, at_mm
from lamphouse.room.prisms import Prism, PrismKind
from lamphouse.shapes.measure import bounds_mm


def overlapping_boxes(
    assembled: Assembled, name: str, *, own: Sequence[Standpoint]
) -> Iterator[tuple[Prism, Prism]]:
    """Give each pair of boxes behind different panels that take up the same space, once.

    Panels without a place of their own lie over one another on paper only, and are left out.
    """
    places = {panel.name: panel.at_mm for panel in assembled.placed[name].sub.panels}
    boxes = [stood for stood in own if stood.prism.kind is PrismKind.BOX]
    told: set[tuple[str, str]] = set()
    for number, one in enumerate(boxes):
        for other in boxes[:number]:
            first, second = one.prism, other.prism
            key = (first.name, second.name)
            if key in told or places[first.carrier] == places[second.carrier]:
                continue
            deep = min(first.high_mm, second.high_mm) - max(first.low_mm, second.low_mm)
            if deep > PLAY_MM and one.core.meets(other.whole):
                told.add(key)
                yield first, second


def panel_that_works(assembled: Assembled, name: str, *, first: Prism, second: Prism) -> str:
    """Say where the first box's panel stands clear of the second box, the nearest such place."""
    placed = assembled.placed[name]
    panels = {panel.name: panel for panel in placed.sub.panels}
    bounds = []
    for prism in (first, second):
        foot = next(
            box.foot for box in placed.boxes if (box.panel, box.box) == (prism.carrier, prism.name)
        )
        right, up = panels[prism.carrier].at_mm
        left, bottom, far, top = bounds_mm(foot)
        bounds.append((left + right, bottom + up, far + right, top + up))
    (l1, b1, r1, t1), (l2, b2, r2, t2) = bounds
    shifts = [
        (r2 - l1 + STEP_MM, 0.0),
        (l2 - r1 - STEP_MM, 0.0),
        (0.0, t2 - b1 + STEP_MM),
        (0.0, b2 - t1 - STEP_MM),
    ]
    for right, up in sorted(shifts, key=lambda shift: abs(shift[0]) + abs(shift[1])):
        panel = panels[first.carrier]
        moved = replace(panel, at_mm=(panel.at_mm[0] + right, panel.at_mm[1] + up))
        sub = replace(
            placed.sub,
            panels=tuple(moved if one is panel else one for one in placed.sub.panels),
        )
        own = assembled.stood(replace(placed, sub=sub))
        pairs = overlapping_boxes(assembled, name, own=own)
        if not any(first.name in (one.name, other.name) for one, other in pairs):
            return f"write at: {at_mm(*moved.at_mm)} for panel '{panel.name}'; this was tried"
    return f"make light box '{first.name}' or '{second.name}' smaller"
