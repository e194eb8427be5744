"""One wall of a light box, with the seats, ledge, passages and notch that fall on it."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lamphouse.cutting.baffle_joints import Baffling, wall_slots
from lamphouse.cutting.box_rules import cramped_notch
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.frame import (
    Frame,
    numbered,
    rectangle_words,
    strip,
    tidy,
    wire_aims,
    words_of,
)
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.ring import Wall, ring_of_walls
from lamphouse.cutting.seats import LEDGE_MM, seat_mark
from lamphouse.cutting.wall_bevels import bevel_words
from lamphouse.cutting.wall_holes import Patch, Side, WallHole, patch_of, taken_on, wall_of
from lamphouse.cutting.wedges import tilt_notes
from lamphouse.design.box_faces import finish_of, wall_name
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Led, Seat
from lamphouse.design.panel import Outline
from lamphouse.findings import Finding
from lamphouse.record import replace
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, polygon, rectangle, rectangle_of
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import Enclosure, gap_mm
from lamphouse.shapes.transform import move

LEDGE_PLAY_MM = 0.2
"""Left free beside what passes through a ledge [PRACTICE]."""

NOTCH_PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Shares of the bottom wall's length at which a free place for the notch is sought."""


def bevel_notes(wall: Wall, *, near: str, far: str) -> list[str]:
    """Say how both ends of a wall are bevelled, seen from its near face, last end left."""
    ends = (
        ("left", wall.far_to_mm - wall.near_to_mm),
        ("right", wall.near_from_mm - wall.far_from_mm),
    )
    return [
        words
        for end, longer in ends
        for words in bevel_words(
            end, longer_mm=longer, thickness_mm=wall.thickness_mm, faces=(far, near)
        )
    ]


def bottom_wall(frame: Frame) -> int:
    """Find the wall that faces down the most, of equal ones the longest."""
    downs = []
    for wall in frame.walls:
        along = (wall.end[0] - wall.start[0]) / wall.side_mm
        downs.append((round(along, 6), wall.length_mm))
    return downs.index(max(downs))


def _notch_left_mm(frame: Frame, *, wall: Wall, taken: Sequence[Corners]) -> float | None:
    """Find a free place for the notch: its left edge on the piece; None when there is none."""
    width, high = frame.box.wire_exit_mm, frame.under_mm + frame.box.wire_exit_mm
    thickness = frame.box.sheet.thickness_mm
    # Seen from inside, the clear part of the wall runs from the side's last corner to its first.
    clear = wall.to_mm - wall.side_mm
    if wall.shortest_mm < width + 4.0 * thickness or high > frame.wall_mm - thickness:
        return None
    for share in NOTCH_PLACES:
        middle = clear + share * wall.side_mm
        cut = rectangle(width, height_mm=2.0 * high, x_mm=middle)
        inside = clear + thickness <= middle - width / 2.0 and (
            middle + width / 2.0 <= clear + wall.side_mm - thickness
        )
        if inside and all(gap_mm(cut, other=shape) >= thickness for shape in taken):
            return middle - width / 2.0
    return None


def _notched(
    length_mm: float, *, height_mm: float, left_mm: float, cut: tuple[float, float]
) -> Corners:
    """Make a wall with a notch of (width, height) in its lower edge."""
    width, high = cut
    right = left_mm + width
    return polygon(
        (
            (0.0, 0.0),
            (left_mm, 0.0),
            (left_mm, high),
            (right, high),
            (right, 0.0),
            (length_mm, 0.0),
            (length_mm, height_mm),
            (0.0, height_mm),
        )
    )


def _holes_in(frame: Frame, *, index: int) -> list[tuple[WallHole, Corners]]:
    """Give the passages through one wall with their outlines on its piece."""
    wall, found = frame.walls[index], []
    for hole in frame.passages:
        if wall_of(hole, spots=frame.spots) == index:
            patch = patch_of(hole, wall=wall)
            size = (patch.to_mm - patch.from_mm, patch.high_mm - patch.low_mm)
            corner = (wall.to_mm - patch.to_mm, frame.under_mm + patch.low_mm)
            cut = strip(size[0], height_mm=size[1])
            found.append((hole, move(cut, x_mm=corner[0], y_mm=corner[1])))
    return found


def _hole_note(hole: WallHole) -> str:
    closed = f"; glue {hole.film.name} over it" if hole.film else ""
    return f"{hole.passage}: lets light through to {hole.beyond}{closed}"


def _over_the_edge(cut: Corners, *, box_mm: tuple[float, float, float, float]) -> Corners:
    """Draw a hole that reaches the edges of a wall beyond them, so that no sliver stays."""
    left, bottom, right, top = (
        at + out if abs(at - edge) <= ROUNDING_MM else at
        for at, edge, out in zip(bounds_mm(cut), box_mm, (-1.0, -1.0, 1.0, 1.0), strict=True)
    )
    return rectangle_of((left, bottom, right, top))


def _pierced(piece: Piece, *, holes: Sequence[tuple[WallHole, Corners]]) -> Piece:
    """Cut passages into a wall, those that reach its edge out of its outline."""
    edge = Enclosure(piece.outline.corners)
    within = [(hole, cut) for hole, cut in holes if edge.margin_mm(cut) > ROUNDING_MM]
    box_mm = bounds_mm(piece.outline.corners)
    across = [
        (_over_the_edge(cut, box_mm=box_mm), ())
        for _, cut in holes
        if edge.margin_mm(cut) <= ROUNDING_MM
    ]
    left = free_parts(piece.outline.corners, under=across, error_mm=ROUNDING_MM)
    outline = piece.outline
    if left is not None and len(left) == 1:
        outline = Outline(corners=tidy(left[0]), words=f"{outline.words}, open at an edge")
    return replace(
        piece,
        outline=outline,
        cutouts=tuple(Outline(corners=tidy(cut), words=words_of(cut)) for _, cut in within),
        cutout_names=tuple(hole.passage for hole, _ in within),
        notes=(*piece.notes, *(_hole_note(hole) for hole, _ in holes)),
    )


def _seated(frame: Frame, *, index: int) -> list[tuple[Led, float, float]]:
    """Give the LEDs on one wall with their places on its piece."""
    wall, found = frame.walls[index], []
    for led in frame.box.leds:
        if led.seat is Seat.WALL:
            side = nearest_side((led.x_mm, led.y_mm), ring=frame.spots)
            if side.index == index:
                x, y = wall.to_mm - side.along_mm, frame.under_mm + led.height_mm
                found.append((led, x, y))
    return found


def _on_piece(frame: Frame, *, patch: Patch, wall: Wall) -> Corners:
    """Give a patch of a wall as a rectangle on its piece."""
    cut = strip(patch.to_mm - patch.from_mm, height_mm=patch.high_mm - patch.low_mm)
    return move(cut, x_mm=wall.to_mm - patch.to_mm, y_mm=frame.under_mm + patch.low_mm)


def notch_of(frame: Frame, *, baffling: Baffling) -> tuple[int, float] | None:
    """Give the wall with the notch for the wires and the notch's left edge on its piece.

    None where no notch is wanted, or where there is no room for it.
    """
    if frame.box.wire_exit_mm <= 0.0:
        return None
    index = bottom_wall(frame)
    taken = taken_on_piece(frame, index=index, baffling=baffling)
    left = _notch_left_mm(frame, wall=frame.walls[index], taken=taken)
    return None if left is None else (index, left)


def taken_on_piece(frame: Frame, *, index: int, baffling: Baffling) -> list[Corners]:
    """List what is on one wall, on its piece: passages, LEDs, ends and slots of baffles."""
    wall = frame.walls[index]
    taken = [cut for _, cut in _holes_in(frame, index=index)]
    taken += [package_corners(led, x_mm=x, y_mm=y) for led, x, y in _seated(frame, index=index)]
    taken += [
        _on_piece(frame, patch=patch, wall=wall) for patch in _baffle_ends(frame, index=index)
    ]
    taken += [
        _on_piece(frame, patch=patch, wall=wall)
        for patch in wall_slots(frame, baffling=baffling, index=index)
    ]
    return taken


def _baffle_ends(frame: Frame, *, index: int) -> list[Patch]:
    """Give the ends of baffles on one wall."""
    side = Side(box=frame.box, index=index, wall=frame.walls[index], spots=frame.spots)
    return [
        patch
        for patch in taken_on(side, lead_mm=frame.lead_mm)
        if patch.words.startswith("the end of baffle")
    ]


def wall_piece(
    frame: Frame, *, index: int, baffling: Baffling
) -> tuple[Piece, tuple[Finding, ...]]:
    """Make one wall, with the seats, ledges, baffles, passages and notch that fall on it."""
    box, wall = frame.box, frame.walls[index]
    through = _holes_in(frame, index=index)
    seated = _seated(frame, index=index)
    found: tuple[Finding, ...] = ()
    outline = strip(wall.length_mm, height_mm=frame.wall_mm)
    words = rectangle_words(wall.length_mm, height_mm=frame.wall_mm)
    notes = ["panel edge up", *bevel_notes(wall, near="inner", far="outer")]
    if index == bottom_wall(frame) and box.wire_exit_mm > 0.0:
        notch = notch_of(frame, baffling=baffling)
        if notch is None:
            found = cramped_notch(box, wall_mm=wall.shortest_mm)
        else:
            cut = (box.wire_exit_mm, frame.under_mm + box.wire_exit_mm)
            outline = _notched(wall.length_mm, height_mm=frame.wall_mm, left_mm=notch[1], cut=cut)
            words = f"{words} with a notch {in_mm(cut[0])} wide and {in_mm(cut[1])} high"
            notes.append("notch for the wires at the back edge: fill it black round them")
    part = wall_name(index)
    feet = [
        Outline(
            corners=_on_piece(frame, patch=patch, wall=wall),
            words=patch.words.removeprefix("the end of ").replace("'", ""),
        )
        for patch in _baffle_ends(frame, index=index)
    ]
    slots = wall_slots(frame, baffling=baffling, index=index)
    piece = replace(
        frame.piece(part, outline=outline, words=words),
        holes=numbered(
            frame,
            aims=[aim for led, x, y in seated for aim in wire_aims(frame, led=led, x_mm=x, y_mm=y)],
        ),
        seats=tuple(seat_mark(led, x_mm=x, y_mm=y) for led, x, y in seated),
        glued=(*_ledge_marks(frame, index=index, baffling=baffling), *feet),
        notes=(
            *notes,
            f"inside: {finish_of(box, part).name}; outside: black",
            *tilt_notes(led for led, _, _ in seated),
        ),
    )
    if through:
        piece = _pierced(piece, holes=through)
    cuts = [tidy(_on_piece(frame, patch=slot, wall=wall)) for slot in slots]
    piece = replace(
        piece,
        cutouts=(*piece.cutouts, *(Outline(corners=cut, words=words_of(cut)) for cut in cuts)),
        cutout_names=(*piece.cutout_names, *(slot.words for slot in slots)),
    )
    return piece, found


def _ledge_marks(frame: Frame, *, index: int, baffling: Baffling) -> tuple[Outline, ...]:
    """Mark where the strips of the ledge are glued to one wall."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return ()
    wall, ledge = frame.walls[index], ledge_strips(frame)[index]
    top = frame.under_mm + diffuser.height_mm
    high = min(LEDGE_MM, diffuser.height_mm)
    # The strip runs the other way along the same side, from its last corner.
    corner = wall.to_mm - wall.side_mm + ledge.from_mm
    return tuple(
        Outline(
            corners=move(strip(end - start, height_mm=high), x_mm=corner + start, y_mm=top - high),
            words="ledge",
        )
        for start, end in ledge_parts(frame, index=index, baffling=baffling)
    )


def ledge_strips(frame: Frame) -> tuple[Wall, ...]:
    """Cut the ledge strips, one for each wall in the walls' order.

    The inside run through the other way round is a ring on its inner side; its side number j is
    the side n - 2 - j of the walls.
    """
    backward = ring_of_walls(frame.spots[::-1], thickness_mm=frame.box.sheet.thickness_mm)
    count = len(backward)
    return tuple(backward[(count - 2 - index) % count] for index in range(count))


def _through_ledge(
    frame: Frame, *, index: int, baffling: Baffling, low_mm: float
) -> Iterator[tuple[float, float]]:
    """Give the stretches of a ledge that baffles take, along the side of its wall.

    Also of one that ends at the wall beside it and only passes over its corner.
    """
    wall = frame.walls[index]
    (ax, ay), (bx, by) = wall.start, wall.end
    dx, dy = (bx - ax) / wall.side_mm, (by - ay) / wall.side_mm
    for stretch in baffling.stretches:
        above = stretch.low_mm >= low_mm + LEDGE_MM - ROUNDING_MM
        if above or stretch.high_mm <= low_mm + ROUNDING_MM:
            continue
        plan = [
            ((x - ax) * dx + (y - ay) * dy, (y - ay) * dx - (x - ax) * dy) for x, y in stretch.plan
        ]
        along = [place for place, _ in _nearer_than(wall.thickness_mm, plan=plan)]
        if along and max(along) > 0.0 and min(along) < wall.side_mm:
            yield min(along), max(along)


def _nearer_than(reach_mm: float, *, plan: Sequence[Spot]) -> Iterator[Spot]:
    """Cut a polygon, given along and away from a wall, to what is nearer to the wall."""
    for (a, far), (b, farther) in pairwise((*plan, plan[0])):
        if far < reach_mm - ROUNDING_MM:
            yield a, far
        if (far - reach_mm) * (farther - reach_mm) < 0.0:
            yield a + (b - a) * (reach_mm - far) / (farther - far), reach_mm


def ledge_parts(frame: Frame, *, index: int, baffling: Baffling) -> tuple[tuple[float, float], ...]:
    """Give the parts of one ledge strip between what passes through it, from its left end. [mm].

    Baffles that reach above its lower edge stand in it; LEDs and wires that do, and the notch,
    pass through it. Parts shorter than two thicknesses of sheet are left out.
    """
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return ()
    box, wall, ledge = frame.box, frame.walls[index], ledge_strips(frame)[index]
    low, play = diffuser.height_mm - LEDGE_MM, LEDGE_PLAY_MM
    side = Side(box=box, index=index, wall=wall, spots=frame.spots)
    in_the_way = [
        (patch.from_mm - play, patch.to_mm + play)
        for patch in taken_on(side, lead_mm=frame.lead_mm)
        if not patch.words.startswith(("the ledge", "the end of baffle"))
        and patch.high_mm > low + ROUNDING_MM
    ]
    in_the_way += [
        (start - play, end + play)
        for start, end in _through_ledge(frame, index=index, baffling=baffling, low_mm=low)
    ]
    notch = notch_of(frame, baffling=baffling)
    if notch and notch[0] == index and box.wire_exit_mm > low:
        from_left = notch[1]
        in_the_way.append((wall.to_mm - from_left - box.wire_exit_mm, wall.to_mm - from_left))
    left = wall.side_mm - ledge.from_mm
    gaps = sorted((left - end, left - start) for start, end in in_the_way)
    parts, at = [], 0.0
    for start, end in gaps:
        parts.append((at, min(start, ledge.length_mm)))
        at = max(at, end)
    parts.append((at, ledge.length_mm))
    least = 2.0 * box.sheet.thickness_mm
    return tuple((start, end) for start, end in parts if end - start >= least)
