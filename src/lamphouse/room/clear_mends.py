"""Shifts and depths that would mend what stands in something, each tried before it is offered."""

from math import ceil, cos, floor, radians, sin

from lamphouse.design.place import Stand
from lamphouse.record import Record, replace
from lamphouse.room.assembled import Assembled, Placed, Shift
from lamphouse.room.prisms import Prism, PrismKind
from lamphouse.units import Quantity, show

STEP_MM = 0.5
"""Shifts are rounded up to this, depths down."""
LEAST_DEPTH_MM = 3.0
"""A light box less deep is none [PRACTICE]."""
HALVINGS = 24
LONGER = (1.0, 1.5, 2.0, 3.0, 5.0)
"""Where a shift that clears one thing meets another, it is tried so many times as long."""
FARTHEST_MM = 2000.0


class Mend(Record):
    """One change that leaves a sub-assembly clear of everything."""

    words: str
    by_mm: float
    """How much changes: the smaller, the better."""


def in_mm(length_mm: float) -> str:
    """Write a length for a sentence, to a hundredth of a millimetre."""
    return show(round(length_mm, 2) + 0.0, Quantity.LENGTH, digits=6)


def at_mm(x_mm: float, y_mm: float) -> str:
    """Write a place as the project file does."""
    return f"[{in_mm(x_mm)}, {in_mm(y_mm)}]"


def mends_of(assembled: Assembled, name: str, *, box: str = "", carrier: str = "") -> list[Mend]:
    """Give the changes that leave a sub-assembly clear, the smallest first.

    Parameters
    ----------
    name
        The sub-assembly.
    box, carrier
        A light box of it, and its panel, whose depth may be what is wrong.
    """
    found = []
    if box and (deep := depth_that_works(assembled, name, box=box, carrier=carrier)):
        found.append(deep)
    shift = shift_that_works(assembled, name)
    return [*found, *([shift] if shift else [])]


def depth_that_works(assembled: Assembled, name: str, *, box: str, carrier: str) -> Mend | None:
    """Find the greatest depth of a light box that clears everything; None where none does."""
    placed = assembled.placed[name]
    light_box = next(
        (one for panel, one in placed.sub.boxes if (panel, one.name) == (carrier, box)), None
    )
    if light_box is None:
        return None

    def clear(depth_mm: float) -> bool:
        own = assembled.stood(_with_depth(placed, box, carrier, light_box.depth_mm - depth_mm))
        return assembled.is_clear([one for one in own if is_box(one.prism, box, carrier)])

    low, high = LEAST_DEPTH_MM, light_box.depth_mm
    if high <= low or not clear(low):
        return None
    for _ in range(HALVINGS):
        if high - low < STEP_MM / 10.0:
            break
        middle = (low + high) / 2.0
        low, high = (middle, high) if clear(middle) else (low, middle)
    depth = floor(low / STEP_MM + 1e-6) * STEP_MM
    if depth < LEAST_DEPTH_MM or not clear(depth):
        return None
    return Mend(words=f"depth: {in_mm(depth)}", by_mm=light_box.depth_mm - depth)


def _with_depth(placed: Placed, box: str, carrier: str, less_mm: float) -> Placed:
    boxes = tuple(
        replace(one, deep_mm=one.deep_mm - less_mm)
        if (one.panel, one.box) == (carrier, box)
        else one
        for one in placed.boxes
    )
    return replace(placed, boxes=boxes)


def shift_that_works(assembled: Assembled, name: str) -> Mend | None:
    """Find the shortest shift along, before, behind, up or down that clears everything."""
    stand = assembled.placed[name].sub.stand
    if stand is None:
        return None
    found: list[tuple[float, Shift]] = []
    for way in ways_of_shifting(stand):
        far = _shift_along(assembled, name, way=way)
        if far is not None:
            found.append((far, (way[0] * far, way[1] * far, way[2] * far)))
    if not found:
        return None
    far, by = min(found)
    return Mend(words=_new_place(stand, by), by_mm=far)


def ways_of_shifting(stand: Stand) -> tuple[Shift, ...]:
    """Give unit vectors along its face, behind and before it, up and down."""
    turn = radians(stand.turn_deg)
    along = (cos(turn), sin(turn), 0.0)
    behind = (-sin(turn), cos(turn), 0.0)
    ways = [along, behind, (0.0, 0.0, 1.0)]
    return tuple((x * side, y * side, z * side) for x, y, z in ways for side in (1.0, -1.0))


def _shift_along(assembled: Assembled, name: str, *, way: Shift) -> float | None:
    """Give the shortest whole step along a way that leaves the sub-assembly clear."""
    own = assembled.own[name]

    def clear(far: float) -> bool:
        by = (way[0] * far, way[1] * far, way[2] * far)
        return assembled.is_home(name, by=by) and assembled.is_clear(own, by=by)

    far = STEP_MM
    while not clear(far):
        far *= 2.0
        if far > FARTHEST_MM:
            return None
    low, high = far / 2.0, far
    for _ in range(HALVINGS):
        if high - low < STEP_MM / 10.0:
            break
        middle = (low + high) / 2.0
        low, high = (low, middle) if clear(middle) else (middle, high)
    step = ceil(high / STEP_MM - 1e-6) * STEP_MM
    return next((step * times for times in LONGER if clear(step * times)), None)


def _new_place(stand: Stand, by: Shift) -> str:
    if by[2]:
        return f"up: {in_mm(stand.up_mm + by[2])}"
    return f"at: {at_mm(stand.x_mm + by[0], stand.y_mm + by[1])}"


def is_box(prism: Prism, box: str, carrier: str) -> bool:
    """Tell whether a prism belongs to a light box."""
    return prism.kind is PrismKind.BOX and (prism.name, prism.carrier) == (box, carrier)


def box_of(prism: Prism) -> dict[str, str]:
    """Give the box whose depth may be what is wrong; nothing for anything else."""
    if prism.kind is not PrismKind.BOX:
        return {}
    return {"box": prism.name, "carrier": prism.carrier}
