"""Baffles cut to stand in their box or hang in it: halved where they cross, with tabs.

Terminology
-----------
half-lap
    Where two baffles cross, each is slotted over half of the height they share, one from above, the
    other from below. Of two that stand, the earlier of the project file is slotted from above: all
    go in from above, in their order. Of two that hang it is slotted from below, for they go on the
    panel in their order. Where one stands and one hangs, the one that hangs is slotted from below,
    and they slide into one another as the box is closed.
tab
    A tongue on a baffle's edge that goes through a slot in the back or in a wall.
"""

from collections.abc import Callable, Iterator, Sequence
from math import atan2, degrees

from lamphouse.cutting.baffle_ends import Stretch, stretches_of
from lamphouse.cutting.frame import Frame, tidy
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import (
    sound_baffles,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.cutting.wall_bevels import bevel_words
from lamphouse.cutting.wall_holes import Patch, Side, patch_of, taken_on, wall_of
from lamphouse.design.box_faces import baffle_finish
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import BaffleJoint, Build, Lid, Seat
from lamphouse.design.panel import Outline
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle, polygon, rectangle
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import gap_mm
from lamphouse.shapes.transform import move, turn

PLAY_MM = 0.1
"""Added to a slot's width and length, so that what goes in slides in [PRACTICE]."""

LEAST_TAB_MM = 3.0
"""Shorter tabs break off [PRACTICE]."""

_SQUARE_ENOUGH = 0.866
"""Sine of 60 degrees: flatter ends get no tab through the wall."""
_TAB_PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Shares of a stretch at which a place for a tab is tried."""
_FLAT_CROSSING = 0.342
"""Sine of 20 degrees: baffles that cross flatter are not halved."""


class Crossing(Record):
    """Two baffles that cross."""

    under: str
    """Slotted from above."""
    over: str
    """Slotted from below."""
    at_mm: tuple[float, float]
    """Along the first and along the second one."""
    width_mm: tuple[float, float]
    """Of the slot in the first and in the second one."""
    lap_mm: float
    """Height above the back at which the two slots meet."""


class Tab(Record):
    """A tab of one baffle."""

    baffle: str
    from_mm: float
    to_mm: float
    """Along the baffle at the back; above the back at a wall."""
    wall: int | None = None
    """Number of the wall it goes through, from 0; None for the back."""
    last: bool = False
    """At a wall: whether it is at the baffle's last end."""


class Baffling(Record):
    """All baffles of a box with their joints."""

    stretches: tuple[Stretch, ...]
    crossings: tuple[Crossing, ...]
    tabs: tuple[Tab, ...]


NO_BAFFLES = Baffling(stretches=(), crossings=(), tabs=())
"""Of an empty box."""


def baffling_of(frame: Frame) -> Baffling:
    """Cut the baffles of a box to their ends, and join them."""
    box = frame.box
    stretches = stretches_of(
        sound_baffles(box), ring=frame.spots, depth_mm=box.depth_mm, pillars=sound_pillars(box)
    )
    crossings = crossings_of(stretches, build=box.build)
    tabs: tuple[Tab, ...] = ()
    if frame.box.baffle_joint is BaffleJoint.TABS and frame.box.build is Build.PIECES:
        tabs = tuple(
            tab
            for stretch in stretches
            for tab in (
                *_back_tabs(frame, stretch=stretch, crossings=crossings),
                *_wall_tabs(frame, stretch=stretch),
            )
        )
    return Baffling(stretches=stretches, crossings=crossings, tabs=tabs)


def crossings_of(
    stretches: Sequence[Stretch], *, build: Build = Build.PIECES
) -> tuple[Crossing, ...]:
    """Find the baffles that cross at more than 20 degrees, within both, at one height.

    Those that stand in a printed box are part of it and stay whole: one that hangs takes all of the
    slot, and crosses only what leaves a thickness of its sheet above.
    """
    found = []
    for number, later in enumerate(stretches):
        for earlier in stretches[:number]:
            crossing = _crossing(*_slotted(earlier, later), whole=build is Build.PRINTED)
            if crossing:
                found.append(crossing)
    return tuple(found)


def _slotted(earlier: Stretch, later: Stretch) -> tuple[Stretch, Stretch]:
    """Put the one that is slotted from above before the other."""
    return (later, earlier) if earlier.baffle.hangs else (earlier, later)


def _crossing(under: Stretch, over: Stretch, *, whole: bool) -> Crossing | None:
    shared = under.shared_mm(over)
    (ax, ay), (bx, by) = under.way, over.way
    sine, cosine = ax * by - ay * bx, abs(ax * bx + ay * by)
    if abs(sine) < _FLAT_CROSSING or shared is None:
        return None
    lap = sum(shared) / 2.0
    if whole and over.baffle.hangs and not under.baffle.hangs:
        lap = shared[1]
        if over.high_mm - lap < over.baffle.sheet.thickness_mm:
            return None
    x = over.baffle.start_mm[0] - under.baffle.start_mm[0]
    y = over.baffle.start_mm[1] - under.baffle.start_mm[1]
    at = ((x * by - y * bx) / sine, (x * ay - y * ax) / sine)
    thick = (under.baffle.sheet.thickness_mm, over.baffle.sheet.thickness_mm)
    width = tuple(
        (other + own * cosine) / abs(sine) + PLAY_MM for own, other in (thick, thick[::-1])
    )
    if not all(
        one.from_mm + wide / 2.0 < place < one.to_mm - wide / 2.0
        for one, place, wide in zip((under, over), at, width, strict=True)
    ):
        return None
    return Crossing(
        under=under.baffle.name,
        over=over.baffle.name,
        at_mm=at,
        width_mm=(width[0], width[1]),
        lap_mm=lap,
    )


def _on_the_back(frame: Frame) -> Iterator[Corners]:
    """List LEDs on the back and the holes of their wires, in the panel plane."""
    for led in frame.box.leds:
        if led.seat is Seat.BACK:
            yield package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)
            if frame.box.lid is not Lid.OVER:
                hole = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
                for x, y in wire_spots(led, x_mm=led.x_mm, y_mm=led.y_mm, hole_mm=hole):
                    yield circle(hole, x_mm=x, y_mm=y)


def tab_slot(stretch: Stretch, *, tab: Tab) -> Corners:
    """Give the slot in the back for a tab, in the panel plane."""
    x, y = stretch.spot((tab.from_mm + tab.to_mm) / 2.0)
    slot = rectangle(
        tab.to_mm - tab.from_mm + PLAY_MM,
        height_mm=stretch.baffle.sheet.thickness_mm + PLAY_MM,
        x_mm=x,
        y_mm=y,
    )
    return _turned(slot, way=stretch.way, about=(x, y))


def _turned(corners: Corners, *, way: Spot, about: Spot) -> Corners:
    return turn(corners, angle_deg=degrees(atan2(way[1], way[0])), about=about)


def _back_tabs(frame: Frame, *, stretch: Stretch, crossings: Sequence[Crossing]) -> Iterator[Tab]:
    """Find places for one or two tabs through the back, clear of slots, LEDs and wires."""
    if stretch.baffle.hangs:
        return
    thick = frame.box.sheet.thickness_mm
    long = max(3.0 * thick, LEAST_TAB_MM)
    low, high = stretch.from_mm + thick, stretch.to_mm - thick
    taken = [
        (at - width / 2.0 - thick, at + width / 2.0 + thick)
        for one in crossings
        for name, at, width in zip((one.under, one.over), one.at_mm, one.width_mm, strict=True)
        if name == stretch.baffle.name
    ]
    around = list(_on_the_back(frame))
    halves = [(low, high)]
    if high - low >= 6.0 * long:
        halves = [(low, (low + high) / 2.0), ((low + high) / 2.0, high)]
    for start, end in halves:
        for share in _TAB_PLACES:
            middle = start + share * (end - start)
            tab = Tab(
                baffle=stretch.baffle.name, from_mm=middle - long / 2.0, to_mm=middle + long / 2.0
            )
            slot = tab_slot(stretch, tab=tab)
            if (
                start <= tab.from_mm
                and tab.to_mm <= end
                and all(tab.to_mm <= left or right <= tab.from_mm for left, right in taken)
                and all(gap_mm(slot, other=one) >= thick / 2.0 for one in around)
            ):
                yield tab
                break


def _wall_tabs(frame: Frame, *, stretch: Stretch) -> Iterator[Tab]:
    """Give the middle third of each end that meets a wall squarely a tab through it."""
    third, low = stretch.baffle.height_mm / 3.0, stretch.low_mm
    if third < LEAST_TAB_MM / 2.0:
        return
    for last, end in ((False, stretch.first), (True, stretch.last)):
        if end.wall is None or not frame.walls or end.slant < _SQUARE_ENOUGH:
            continue
        tab = Tab(
            baffle=stretch.baffle.name,
            from_mm=low + third,
            to_mm=low + 2.0 * third,
            wall=end.wall,
            last=last,
        )
        if _is_clear(frame, stretch=stretch, tab=tab):
            yield tab


def _is_clear(frame: Frame, *, stretch: Stretch, tab: Tab) -> bool:
    """Tell whether the slot of a tab keeps a sheet's thickness from all else on its wall."""
    wall = frame.walls[tab.wall or 0]
    side = Side(box=frame.box, index=tab.wall or 0, wall=wall, spots=frame.spots)
    slot = wall_slot(frame, stretch=stretch, tab=tab)
    own = f"the end of baffle '{stretch.baffle.name}'"
    patches = [one for one in taken_on(side, lead_mm=frame.lead_mm) if one.words != own]
    patches += [
        patch_of(hole, wall=wall)
        for hole in frame.passages
        if wall_of(hole, spots=frame.spots) == side.index
    ]
    land = frame.box.sheet.thickness_mm
    return (
        slot.from_mm - land >= 0.0
        and slot.to_mm + land <= wall.side_mm
        and all(
            slot.to_mm + land <= one.from_mm
            or one.to_mm + land <= slot.from_mm
            or slot.high_mm + land <= one.low_mm
            or one.high_mm + land <= slot.low_mm
            for one in patches
        )
    )


def wall_slot(frame: Frame, *, stretch: Stretch, tab: Tab) -> Patch:
    """Give the slot in a wall for a tab."""
    end = stretch.last if tab.last else stretch.first
    wall = frame.walls[tab.wall or 0]
    (ax, ay), (bx, by) = wall.start, wall.end
    x, y = end.meets_at
    along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / wall.side_mm
    lean = ((bx - ax) * stretch.way[0] + (by - ay) * stretch.way[1]) / wall.side_mm
    outward = 1.0 if tab.last else -1.0
    # A square-cut slot also clears the way the tab drifts aside within the wall.
    drift = outward * lean / end.slant * wall.thickness_mm
    half = (stretch.baffle.sheet.thickness_mm / end.slant + PLAY_MM) / 2.0
    return Patch(
        words=f"baffle {tab.baffle}",
        from_mm=along - half + min(drift, 0.0),
        to_mm=along + half + max(drift, 0.0),
        low_mm=tab.from_mm - PLAY_MM / 2.0,
        high_mm=tab.to_mm + PLAY_MM / 2.0,
    )


def wall_slots(frame: Frame, *, baffling: Baffling, index: int) -> list[Patch]:
    """Give the slots in one wall."""
    by_name = {one.baffle.name: one for one in baffling.stretches}
    return [
        wall_slot(frame, stretch=by_name[tab.baffle], tab=tab)
        for tab in baffling.tabs
        if tab.wall == index
    ]


def baffle_pieces(frame: Frame, *, baffling: Baffling) -> list[Piece]:
    """Make the baffles; one that slots and ends leave no sound outline is left out.

    Such a baffle leaves the box or stands in others, which its rules tell.
    """
    return [
        _baffle_piece(frame, stretch=one, baffling=baffling)
        for one in baffling.stretches
        if flaw_of(baffle_outline(frame, stretch=one, baffling=baffling)) is None
    ]


def _baffle_piece(frame: Frame, *, stretch: Stretch, baffling: Baffling) -> Piece:
    baffle, box = stretch.baffle, frame.box
    tabs = [tab for tab in baffling.tabs if tab.baffle == baffle.name]
    outline = baffle_outline(frame, stretch=stretch, baffling=baffling)
    left, bottom, _, _ = bounds_mm(outline)
    thick = baffle.sheet.thickness_mm
    glued = "glued to the rear of the panel" if baffle.hangs else "stands on the back"
    notes = [f"{glued}; both faces: {baffle_finish(box, baffle).name}"]
    notes += bevel_words(
        "left",
        longer_mm=stretch.first.near_mm - stretch.first.far_mm,
        thickness_mm=thick,
        faces=("far", "near"),
    )
    notes += bevel_words(
        "right",
        longer_mm=stretch.last.far_mm - stretch.last.near_mm,
        thickness_mm=thick,
        faces=("far", "near"),
    )
    notes += list(_crossing_notes(baffle.name, baffling=baffling))
    if baffle.hangs and any(led.seat is Seat.PANEL for led in box.leds):
        notes.append("wires of LEDs on the panel pass below it")
    if tabs and baffle.hangs:
        notes.append("glue it between the walls as they are put together, its edge with theirs")
    if tabs:
        notes.append("tabs go through their slots: glue, and fill black from outside")
    start = frame.piece(
        f"baffle {baffle.name}",
        outline=move(outline, x_mm=-left, y_mm=-bottom),
        words=f"{sides_mm(stretch.length_mm, height_mm=baffle.height_mm)} over all"
        if tabs or any(baffle.name in (one.under, one.over) for one in baffling.crossings)
        else f"rectangle {sides_mm(stretch.length_mm, height_mm=baffle.height_mm)}",
    )
    return replace(start, where=baffle.where, sheet=baffle.sheet, notes=tuple(notes))


def _crossing_notes(name: str, *, baffling: Baffling) -> Iterator[str]:
    for one in baffling.crossings:
        if name == one.under:
            yield f"slot from above for baffle {one.over}, {in_mm(one.width_mm[0])} wide"
        elif name == one.over:
            yield f"slot from below over baffle {one.under}, {in_mm(one.width_mm[1])} wide"


def baffle_outline(frame: Frame, *, stretch: Stretch, baffling: Baffling) -> Corners:
    """Draw a baffle seen from its near side, its start to the left, the back's inner face at 0.

    One that a slot cuts through has no sound outline.
    """
    crossings = baffling.crossings
    tabs = [tab for tab in baffling.tabs if tab.baffle == stretch.baffle.name]
    name, origin = stretch.baffle.name, stretch.from_mm
    foot, high = stretch.low_mm, stretch.high_mm
    deep = frame.box.sheet.thickness_mm
    length = stretch.length_mm
    below = [(tab.from_mm, tab.to_mm, -deep) for tab in tabs if tab.wall is None]
    above = []
    for one in crossings:
        if name == one.under and one.lap_mm < high:
            at, wide = one.at_mm[0], one.width_mm[0]
            above.append((at - wide / 2.0, at + wide / 2.0, one.lap_mm))
        elif name == one.over:
            at, wide = one.at_mm[1], one.width_mm[1]
            below.append((at - wide / 2.0, at + wide / 2.0, one.lap_mm))
    spots: list[Spot] = [(0.0, foot)]
    for start, end, level in _joined(below, deepest=max):
        left, right = start - origin, end - origin
        spots += [(left, foot), (left, level), (right, level), (right, foot)]
    spots.append((length, foot))
    for tab in tabs:
        if tab.wall is not None and tab.last:
            out = length + frame.walls[tab.wall].thickness_mm / stretch.last.slant
            spots += [(length, tab.from_mm), (out, tab.from_mm)]
            spots += [(out, tab.to_mm), (length, tab.to_mm)]
    spots.append((length, high))
    for start, end, level in _joined(above, deepest=min)[::-1]:
        left, right = start - origin, end - origin
        spots += [(right, high), (right, level), (left, level), (left, high)]
    spots.append((0.0, high))
    for tab in tabs:
        if tab.wall is not None and not tab.last:
            out = -frame.walls[tab.wall].thickness_mm / stretch.first.slant
            spots += [(0.0, tab.to_mm), (out, tab.to_mm)]
            spots += [(out, tab.from_mm), (0.0, tab.from_mm)]
    return tidy(polygon(spots))


def _joined(
    cuts: Sequence[tuple[float, float, float]], *, deepest: Callable[[float, float], float]
) -> list[tuple[float, float, float]]:
    """Put slots that run into one another together as one, as deep as the deeper."""
    joined: list[tuple[float, float, float]] = []
    for start, end, level in sorted(cuts):
        if joined and start <= joined[-1][1]:
            first, last, other = joined.pop()
            joined.append((first, max(last, end), deepest(other, level)))
        else:
            joined.append((start, end, level))
    return joined


def back_slots(baffling: Baffling) -> list[Outline]:
    """Give the slots in the back with the names of their baffles, in the panel plane."""
    by_name = {one.baffle.name: one for one in baffling.stretches}
    return [
        Outline(corners=tab_slot(by_name[tab.baffle], tab=tab), words=f"baffle {tab.baffle}")
        for tab in baffling.tabs
        if tab.wall is None
    ]
