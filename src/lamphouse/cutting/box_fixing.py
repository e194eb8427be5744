"""Screws and magnets that close a light box: their places, their blocks, the holes for them.

Terminology
-----------
block
    Squares of the box's sheet glued on one another against a wall, with the hole for a screw or
    the pocket for a magnet. Its rear face lies in the plane of what it holds.
ear
    Part of the back or the lid that reaches over a block outside the walls.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import atan2, ceil, degrees, dist

from lamphouse.catalogue.screw_threads import THREADS, ScrewThread
from lamphouse.cutting.baffle_joints import Baffling
from lamphouse.cutting.drill import Aim, nearest_drill
from lamphouse.cutting.frame import Frame, numbered, rectangle_words, strip
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import (
    LEDGE_MM,
    baffle_foot,
    baffles_below,
    from_front,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.cutting.wall_piece import notch_of
from lamphouse.design.lightbox import Blocks, Fixing, Lid, Seat
from lamphouse.record import Record, replace
from lamphouse.shapes.outline import Corners, Spot, circle, rectangle
from lamphouse.shapes.spacing import Enclosure, gap_mm, overlap_mm2
from lamphouse.shapes.transform import turn

PLACES = (0.5, 0.3, 0.7, 0.15, 0.85)
"""Shares of a wall's length at which a block is tried."""

MOST_WALLS = 60
"""Blocks are tried on this many of the longest walls."""

MAGNET_PLAY_MM = 0.1
"""Added to a magnet's diameter for its pocket [PRACTICE]."""

TOUCH_MM2 = 1e-4
"""What shares less only touches."""

RIM_MM = 1.0
"""Sheet left around a magnet's pocket [PRACTICE]."""


class FixPlace(Record):
    """One screw or magnet."""

    at_mm: Spot
    """Its middle in the panel plane."""
    block: Corners
    """The block's outline in the panel plane."""
    wall: int
    along_mm: float
    """Of its middle along the wall's side."""


def side_mm(fixing: Fixing) -> float:
    """Give the side of a block: three diameters of a screw, or a magnet with its rim."""
    if fixing.magnet_mm:
        return fixing.magnet_mm[0] + MAGNET_PLAY_MM + 2.0 * RIM_MM
    thread = THREADS[fixing.screw]
    return max(3.0 * thread.diameter_mm, thread.head_mm + 1.0)


def layers_of(fixing: Fixing, *, sheet_mm: float) -> tuple[int, int]:
    """Count the layers of a block with a hole, and those without.

    A screw's grip is twice its diameter. A magnet's pocket also takes the magnet on the lid, and
    has a floor.
    """
    if fixing.magnet_mm:
        return ceil(2.0 * fixing.magnet_mm[1] / sheet_mm - 1e-9), 1
    return ceil(THREADS[fixing.screw].grip_mm / sheet_mm - 1e-9), 0


def places_of(
    frame: Frame, *, fixing: Fixing, baffling: Baffling, around: Sequence[Corners], within: Corners
) -> tuple[FixPlace, ...]:
    """Find free places, as far from one another as they can be, never all on one wall.

    Parameters
    ----------
    fixing
        What is wanted.
    around
        What stands beside the box behind its panel.
    within
        The panel's outline.

    Returns
    -------
    tuple of FixPlace
        As many as wanted, or fewer where there is no room.
    """
    free = list(_free(frame, fixing=fixing, baffling=baffling, around=around, within=within))
    if len(free) < 2:
        return tuple(free)
    pairs = [pair for pair in combinations(free, 2) if pair[0].wall != pair[1].wall]
    if not pairs:
        return tuple(free[:1])
    first, second = max(pairs, key=lambda pair: dist(pair[0].at_mm, pair[1].at_mm))
    chosen = [first, second]
    apart = 1.5 * side_mm(fixing)
    if dist(chosen[0].at_mm, chosen[1].at_mm) < apart:
        return tuple(chosen[:1])
    while len(chosen) < fixing.count:
        best = max(free, key=lambda one: min(dist(one.at_mm, other.at_mm) for other in chosen))
        if min(dist(best.at_mm, other.at_mm) for other in chosen) < apart:
            break
        chosen.append(best)
    return tuple(sorted(chosen, key=lambda one: (one.wall, one.along_mm)))


def _free(
    frame: Frame, *, fixing: Fixing, baffling: Baffling, around: Sequence[Corners], within: Corners
) -> Iterator[FixPlace]:
    wide, thick = side_mm(fixing), frame.box.sheet.thickness_mm
    inside = fixing.blocks is Blocks.INSIDE
    high = sum(layers_of(fixing, sheet_mm=thick)) * thick
    diffuser = frame.box.inner_diffuser
    most = diffuser.height_mm - LEDGE_MM if diffuser else frame.box.depth_mm
    if high > (most if inside else frame.wall_mm) + 1e-6:
        return
    notch = notch_of(frame, baffling=baffling)
    taken = list(_inside_things(frame, high_mm=high)) if inside else list(around)
    gap = thick / 2.0 if inside else 0.0
    enclosure = Enclosure(frame.inside if inside else within)
    own = Enclosure(frame.outside)
    longest = sorted(range(len(frame.walls)), key=lambda at: -frame.walls[at].side_mm)
    for index in longest[:MOST_WALLS]:
        wall = frame.walls[index]
        (ax, ay), (bx, by) = wall.start, wall.end
        dx, dy = (bx - ax) / wall.side_mm, (by - ay) / wall.side_mm
        off = wide / 2.0 if inside else -thick - wide / 2.0
        for share in PLACES:
            along = min(
                max(share * wall.side_mm, wide / 2.0), max(wall.side_mm - wide / 2.0, wide / 2.0)
            )
            x, y = ax + along * dx - off * dy, ay + along * dy + off * dx
            block = turn(
                rectangle(wide, height_mm=wide, x_mm=x, y_mm=y),
                angle_deg=degrees(atan2(dy, dx)),
                about=(x, y),
            )
            if notch and notch[0] == index:
                middle = wall.to_mm - notch[1] - frame.box.wire_exit_mm / 2.0
                if abs(along - middle) < (wide + frame.box.wire_exit_mm) / 2.0 + thick:
                    continue
            if (
                wall.side_mm >= wide
                and enclosure.margin_mm(block) >= -1e-6
                and (inside or own.margin_mm(circle(wide / 2.0, x_mm=x, y_mm=y)) < 0.0)
                and all(_is_apart(block, other=one, gap_by_mm=gap) for one in taken)
            ):
                yield FixPlace(at_mm=(x, y), block=block, wall=index, along_mm=along)


def _is_apart(block: Corners, *, other: Corners, gap_by_mm: float) -> bool:
    """Tell whether a block keeps its distance; at none it may touch."""
    if gap_by_mm:
        return gap_mm(block, other=other) >= gap_by_mm - 1e-6
    return overlap_mm2(block, other=other) < TOUCH_MM2


def _inside_things(frame: Frame, *, high_mm: float) -> Iterator[Corners]:
    """List what a block inside the box must keep clear of, in the panel plane."""
    for led in frame.box.leds:
        if led.seat is Seat.PANEL or (led.seat is Seat.WALL and led.height_mm > high_mm + 2.0):
            continue
        yield from_front(led)
        hole = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
        for x, y in wire_spots(led, x_mm=led.x_mm, y_mm=led.y_mm, hole_mm=hole):
            yield circle(hole, x_mm=x, y_mm=y)
    for baffle in baffles_below(frame.box, level_mm=high_mm):
        yield baffle_foot(baffle)
    for pillar in sound_pillars(frame.box):
        yield pillar.outline.corners


def through_aims(
    frame: Frame, *, places: Sequence[FixPlace], left: float, bottom: float
) -> list[Aim]:
    """Aim the holes through the back or the lid that the screws pass."""
    fixing = frame.box.fixing
    if fixing is None or fixing.magnet_mm:
        return []
    wanted = THREADS[fixing.screw].clearance_mm
    return [
        Aim(
            purpose=f"screw {fixing.screw}",
            where=fixing.where,
            x_mm=place.at_mm[0] - left,
            y_mm=place.at_mm[1] - bottom,
            wanted_mm=wanted,
            drill=nearest_drill(wanted, drills=frame.drills),
        )
        for place in places
    ]


def block_pieces(frame: Frame, *, places: Sequence[FixPlace]) -> list[Piece]:
    """Make the layers of the blocks."""
    fixing = frame.box.fixing
    if fixing is None or not places:
        return []
    wide, sheet = side_mm(fixing), frame.box.sheet
    holed, plain = layers_of(fixing, sheet_mm=sheet.thickness_mm)
    where = "outside" if fixing.blocks is Blocks.OUTSIDE else "inside"
    glue = f"glue {holed + plain} on one another, then {where} against the wall, flush with its "
    glue += "back edge" if where == "outside" or frame.box.lid is not Lid.OVER else "inner back"
    names = ", ".join(str(place.wall + 1) for place in places)
    like = "its wall" if where == "inside" and frame.box.faces else "the box"
    notes = [glue, f"one block each at wall {names}; paint it like {like}"]
    if fixing.magnet_mm:
        across = fixing.magnet_mm[0] + MAGNET_PLAY_MM
        wanted, purpose = across, f"pocket for a magnet {in_mm(fixing.magnet_mm[0])} across"
        notes.append("glue a magnet to the floor of the pocket; the lid's own pulls at it")
    else:
        thread: ScrewThread = THREADS[fixing.screw]
        wanted, purpose = thread.pilot_mm, f"pilot for {fixing.screw}: tap, or drive it in"
        sheets = 2 if frame.box.lid is Lid.OVER and where == "inside" else 1
        long = sheets * sheet.thickness_mm + thread.grip_mm
        notes.append(f"screw {fixing.screw} from {in_mm(long)} long")
    aim = Aim(
        purpose=purpose,
        where=fixing.where,
        x_mm=wide / 2.0,
        y_mm=wide / 2.0,
        wanted_mm=wanted,
        drill=nearest_drill(wanted, drills=frame.drills),
    )
    words = rectangle_words(wide, height_mm=wide)
    start = frame.piece("block", outline=strip(wide, height_mm=wide), words=words)
    made = [
        replace(
            start,
            holes=numbered(frame, aims=[aim]),
            count=holed * len(places),
            notes=tuple(notes),
        )
    ]
    if plain:
        floor = frame.piece("block floor", outline=strip(wide, height_mm=wide), words=words)
        made.append(replace(floor, count=plain * len(places), notes=("the last of its block",)))
    return made
