"""One wall of a light box, with the seats, ledge, passages and notch that fall on it."""

from collections.abc import Sequence
from dataclasses import replace

from lamphouse.cutting.box_rules import cramped_notch
from lamphouse.cutting.drill import ROUNDING_MM, Aim
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
from lamphouse.cutting.piece import Piece, SeatMark
from lamphouse.cutting.ring import Wall, ring_of_walls
from lamphouse.cutting.seats import LEDGE_MM, package_corners, seat_mark
from lamphouse.cutting.wall_holes import WallHole, patch_of, wall_of
from lamphouse.design.lightbox import Seat
from lamphouse.design.panel import Outline
from lamphouse.findings import Finding
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, polygon, rectangle
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import Enclosure, gap_mm
from lamphouse.shapes.transform import move

SQUARE_DEG = 0.05
"""An end less off square than this needs no bevel."""

NOTCH_PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Shares of the bottom wall's length at which a free place for the notch is sought."""


def _bevel_note(end: str, *, bevel_deg: float, longer: str, shorter: str) -> list[str]:
    """Say how an end is bevelled; nothing for a square one."""
    if abs(bevel_deg) < SQUARE_DEG:
        return []
    face = longer if bevel_deg > 0.0 else shorter
    return [f"{end} end: bevel {abs(bevel_deg):.1f} deg off square, {face} face the longer"]


def bevel_notes(wall: Wall, *, near: str, far: str) -> list[str]:
    """Say how both ends of a wall are bevelled, seen from its near face, last end left."""
    return [
        *_bevel_note("left", bevel_deg=wall.last_bevel_deg, longer=far, shorter=near),
        *_bevel_note("right", bevel_deg=wall.first_bevel_deg, longer=far, shorter=near),
    ]


def _bottom_wall(frame: Frame) -> int:
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
    return polygon(((left, bottom), (right, bottom), (right, top), (left, top)))


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


def wall_piece(frame: Frame, *, index: int) -> tuple[Piece, tuple[Finding, ...]]:
    """Make one wall, with the seats, ledge, passages and notch that fall on it."""
    box, wall = frame.box, frame.walls[index]
    through = _holes_in(frame, index=index)
    aims: list[Aim] = []
    seats: list[SeatMark] = []
    taken = [cut for _, cut in through]
    for led in box.leds:
        if led.seat is not Seat.WALL:
            continue
        side = nearest_side((led.x_mm, led.y_mm), ring=frame.spots)
        if side.index == index:
            x, y = wall.to_mm - side.along_mm, frame.under_mm + led.height_mm
            seats.append(seat_mark(led, x_mm=x, y_mm=y))
            aims.extend(wire_aims(frame, led=led, x_mm=x, y_mm=y))
            taken.append(package_corners(led, x_mm=x, y_mm=y))
    found: tuple[Finding, ...] = ()
    outline = strip(wall.length_mm, height_mm=frame.wall_mm)
    words = rectangle_words(wall.length_mm, height_mm=frame.wall_mm)
    notes = ["panel edge up", *bevel_notes(wall, near="inner", far="outer")]
    if index == _bottom_wall(frame) and box.wire_exit_mm > 0.0:
        left = _notch_left_mm(frame, wall=wall, taken=taken)
        if left is None:
            found = cramped_notch(box, wall_mm=wall.shortest_mm)
        else:
            cut = (box.wire_exit_mm, frame.under_mm + box.wire_exit_mm)
            outline = _notched(wall.length_mm, height_mm=frame.wall_mm, left_mm=left, cut=cut)
            words = f"{words} with a notch {in_mm(cut[0])} wide and {in_mm(cut[1])} high"
            notes.append("notch for the wires at the back edge: fill it black round them")
    glued: tuple[Outline, ...] = ()
    if box.inner_diffuser:
        ledge = ledge_strips(frame)[index]
        top = frame.under_mm + box.inner_diffuser.height_mm
        high = min(LEDGE_MM, box.inner_diffuser.height_mm)
        # The strip runs the other way along the same side, from its last corner.
        left = wall.to_mm - wall.side_mm + ledge.from_mm
        foot = move(strip(ledge.length_mm, height_mm=high), x_mm=left, y_mm=top - high)
        glued = (Outline(corners=foot, words="ledge"),)
    piece = replace(
        frame.piece(f"wall {index + 1}", outline=outline, words=words),
        holes=numbered(frame, aims=aims),
        seats=tuple(seats),
        glued=glued,
        notes=(*notes, f"inside: {box.finish.name}; outside: black"),
    )
    return _pierced(piece, holes=through) if through else piece, found


def ledge_strips(frame: Frame) -> tuple[Wall, ...]:
    """Cut the ledge strips, one for each wall in the walls' order.

    The inside run through the other way round is a ring on its inner side; its side number j is
    the side n - 2 - j of the walls.
    """
    backward = ring_of_walls(frame.spots[::-1], thickness_mm=frame.box.sheet.thickness_mm)
    count = len(backward)
    return tuple(backward[(count - 2 - index) % count] for index in range(count))
