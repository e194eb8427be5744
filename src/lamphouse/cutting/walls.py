"""The flat pieces of a light box, with the sheet's thickness taken off where they meet.

Terminology
-----------
inside
    The clear space. Walls stand round it with their inner faces on it, so the box is two
    thicknesses wider and higher than its inside.
wall
    Stands between back and panel, one on each straight side of the inside, numbered along the
    outline. Seen from inside with the panel's edge up. How walls meet at corners: :mod:`.ring`.
back only
    The back lies over the walls' edges. Walls are as high as the box is deep. The wires of an LED
    on the back go through two holes beside it.
lid over back
    The back stands between the walls, which are one thickness higher, and a lid lies over back and
    walls. Wires stay in front of the back and leave through the notch.
ledge
    Narrow strips round the inside of the walls, on which the inner diffuser lies.
notch
    Opening in a wall's edge at the back, for the wires. It is in the bottom wall: the one that
    faces down the most, of equal ones the longest. A wire exit of 0 mm leaves it out.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import dist

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.box_rules import cramped_notch, curved_wall, unbuildable_wall
from lamphouse.cutting.drill import Aim, nearest_drill, number_holes
from lamphouse.cutting.layout import Flawed
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.opening_rules import unsound_outline
from lamphouse.cutting.piece import BoxPieces, DrilledHole, Piece, SeatMark
from lamphouse.cutting.ring import Wall, drop_straight_corners, ring_of_walls
from lamphouse.cutting.seats import (
    LEDGE_MM,
    baffle_foot,
    package_corners,
    seat_mark,
    standing_baffles,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.design.lightbox import Baffle, Led, Lid, LightBox, Seat
from lamphouse.design.panel import Outline
from lamphouse.findings import Finding
from lamphouse.shapes.measure import anticlockwise, bounds_mm, size_mm
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import Corners, Spot, polygon, rectangle
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import gap_mm
from lamphouse.shapes.transform import move

SQUARE_DEG = 0.05
"""An end less off square than this needs no bevel."""

DIGITS = 9
"""Decimals of a millimetre kept in the corners of pieces."""

NOTCH_PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Shares of the bottom wall's length at which a free place for the notch is sought."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A light box with what all its pieces share."""

    box: LightBox
    sub_assembly: str
    name: str
    """Start of every piece's name."""
    spots: tuple[Spot, ...]
    """Corners of the inside, anticlockwise, none of them straight."""
    walls: tuple[Wall, ...]
    outside: Corners
    drills: tuple[Drill, ...]
    lead_mm: float
    """Outside diameter of the wires soldered to chips."""

    @property
    def under_mm(self) -> float:
        """How far the walls reach behind the inner face of the back."""
        return self.box.sheet.thickness_mm if self.box.lid is Lid.OVER else 0.0

    @property
    def wall_mm(self) -> float:
        """Height of the walls."""
        return self.box.depth_mm + self.under_mm

    def piece(self, part: str, *, outline: Corners, words: str) -> Piece:
        """Start a piece of the box's sheet."""
        return Piece(
            name=f"{self.name} / {part}",
            where=self.box.where,
            sub_assembly=self.sub_assembly,
            sheet=self.box.sheet,
            outline=Outline(corners=_tidy(outline), words=words),
            face="inside",
        )


def _tidy(corners: Corners) -> Corners:
    """Round away the noise of turned sides, so that equal pieces are equal."""
    return tuple((round(x, DIGITS), round(y, DIGITS), bulge) for x, y, bulge in corners)


def rectangle_words(width_mm: float, *, height_mm: float) -> str:
    """Name a rectangle as the project file does."""
    return f"rectangle {sides_mm(width_mm, height_mm=height_mm)}"


def _strip(width_mm: float, *, height_mm: float) -> Corners:
    """Make a rectangle whose lower left corner is the origin."""
    return rectangle(width_mm, height_mm=height_mm, x_mm=width_mm / 2.0, y_mm=height_mm / 2.0)


def _wire_aims(frame: Frame, *, led: Led, x_mm: float, y_mm: float) -> list[Aim]:
    """Aim the two wire holes of an LED at its place on a piece."""
    wanted = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
    spots = wire_spots(led, x_mm=x_mm, y_mm=y_mm, hole_mm=wanted)
    return [
        Aim(
            purpose=f"wire {led.name} {pole}",
            where=led.where,
            x_mm=x,
            y_mm=y,
            wanted_mm=wanted,
            drill=nearest_drill(wanted, drills=frame.drills),
        )
        for (x, y), pole in zip(spots, "+-", strict=True)
    ]


def _holes(frame: Frame, *, aims: Iterable[Aim]) -> tuple[DrilledHole, ...]:
    """Give the holes of one piece their numbers."""
    return number_holes(aims, drills=frame.drills)


def _back(frame: Frame) -> Piece:
    """Make the back, with the seats of its LEDs and the feet of walls and baffles."""
    box = frame.box
    over = box.lid is Lid.OVER
    outline = polygon(frame.spots) if over else frame.outside
    left, bottom, _, _ = bounds_mm(outline)
    seated = [led for led in box.leds if led.seat is Seat.BACK]
    places = [(led, led.x_mm - left, led.y_mm - bottom) for led in seated]
    feet = [
        Outline(
            corners=move(baffle_foot(baffle), x_mm=-left, y_mm=-bottom),
            words=f"baffle {baffle.name}",
        )
        for baffle in standing_baffles(box)
    ]
    if not over:
        inner = move(polygon(frame.spots), x_mm=-left, y_mm=-bottom)
        feet.insert(0, Outline(corners=inner, words="inner faces of the walls"))
    notes = [f"inside: {box.finish.name}; outside: black"]
    if over:
        notes.append("stands between the walls: sand until it slides in")
    else:
        notes.append("lies over the walls' edges")
    if box.inner_diffuser:
        width, height = size_mm(polygon(frame.spots))
        notes.append(
            f"inner diffuser: {box.inner_diffuser.film.name}, cut like the inside, "
            f"{sides_mm(width, height_mm=height)} over all, lies on the ledges "
            f"{in_mm(box.inner_diffuser.height_mm)} above the back"
        )
    aims = [
        aim
        for led, x, y in places
        if not over
        for aim in _wire_aims(frame, led=led, x_mm=x, y_mm=y)
    ]
    width, height = size_mm(outline)
    start = frame.piece(
        "back",
        outline=move(outline, x_mm=-left, y_mm=-bottom),
        words=f"{sides_mm(width, height_mm=height)} over all",
    )
    return replace(
        start,
        holes=_holes(frame, aims=aims),
        seats=tuple(seat_mark(led, x_mm=x, y_mm=y) for led, x, y in places),
        glued=tuple(feet),
        notes=tuple(notes),
    )


def _lid(frame: Frame) -> Piece:
    """Make the lid that lies over back and walls."""
    left, bottom, _, _ = bounds_mm(frame.outside)
    width, height = size_mm(frame.outside)
    start = frame.piece(
        "lid",
        outline=move(frame.outside, x_mm=-left, y_mm=-bottom),
        words=f"{sides_mm(width, height_mm=height)} over all",
    )
    return replace(start, notes=("lies over back and walls: do not glue", "both faces black"))


def _bevel_note(end: str, *, bevel_deg: float, longer: str, shorter: str) -> list[str]:
    """Say how an end is bevelled; nothing for a square one."""
    if abs(bevel_deg) < SQUARE_DEG:
        return []
    face = longer if bevel_deg > 0.0 else shorter
    return [f"{end} end: bevel {abs(bevel_deg):.1f} deg off square, {face} face the longer"]


def _bevel_notes(wall: Wall, *, near: str, far: str) -> list[str]:
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


def _wall(frame: Frame, *, index: int) -> tuple[Piece, tuple[Finding, ...]]:
    """Make one wall, with the seats, ledge and notch that fall on it."""
    box, wall = frame.box, frame.walls[index]
    aims: list[Aim] = []
    seats: list[SeatMark] = []
    taken: list[Corners] = []
    for led in box.leds:
        if led.seat is not Seat.WALL:
            continue
        side = nearest_side((led.x_mm, led.y_mm), ring=frame.spots)
        if side.index == index:
            x, y = wall.to_mm - side.along_mm, frame.under_mm + led.height_mm
            seats.append(seat_mark(led, x_mm=x, y_mm=y))
            aims.extend(_wire_aims(frame, led=led, x_mm=x, y_mm=y))
            taken.append(package_corners(led, x_mm=x, y_mm=y))
    found: tuple[Finding, ...] = ()
    outline = _strip(wall.length_mm, height_mm=frame.wall_mm)
    words = rectangle_words(wall.length_mm, height_mm=frame.wall_mm)
    notes = ["panel edge up", *_bevel_notes(wall, near="inner", far="outer")]
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
        strip = _strips(frame)[index]
        top = frame.under_mm + box.inner_diffuser.height_mm
        high = min(LEDGE_MM, box.inner_diffuser.height_mm)
        # The strip runs the other way along the same side, from its last corner.
        left = wall.to_mm - wall.side_mm + strip.from_mm
        foot = move(_strip(strip.length_mm, height_mm=high), x_mm=left, y_mm=top - high)
        glued = (Outline(corners=foot, words="ledge"),)
    piece = replace(
        frame.piece(f"wall {index + 1}", outline=outline, words=words),
        holes=_holes(frame, aims=aims),
        seats=tuple(seats),
        glued=glued,
        notes=(*notes, f"inside: {box.finish.name}; outside: black"),
    )
    return piece, found


def _strips(frame: Frame) -> tuple[Wall, ...]:
    """Cut the ledge strips, one for each wall in the walls' order.

    The inside run through the other way round is a ring on its inner side; its side number j is
    the side n - 2 - j of the walls.
    """
    backward = ring_of_walls(frame.spots[::-1], thickness_mm=frame.box.sheet.thickness_mm)
    count = len(backward)
    return tuple(backward[(count - 2 - index) % count] for index in range(count))


def _strip_pieces(frame: Frame) -> list[Piece]:
    """Make the ledge strips of an inner diffuser."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return []
    high = min(LEDGE_MM, diffuser.height_mm)
    pieces = []
    for index, strip in enumerate(_strips(frame)):
        start = frame.piece(
            f"ledge {index + 1}",
            outline=_strip(strip.length_mm, height_mm=high),
            words=rectangle_words(strip.length_mm, height_mm=high),
        )
        notes = (
            f"glue to the wall of its number, top edge {in_mm(diffuser.height_mm)} above the back",
            *_bevel_notes(strip, near="wall's", far="open"),
        )
        pieces.append(replace(start, notes=notes))
    return pieces


def _baffle_piece(frame: Frame, *, baffle: Baffle) -> Piece:
    """Make a baffle."""
    length = dist(baffle.start_mm, baffle.end_mm)
    start = frame.piece(
        f"baffle {baffle.name}",
        outline=_strip(length, height_mm=baffle.height_mm),
        words=rectangle_words(length, height_mm=baffle.height_mm),
    )
    notes = [f"stands on the back; both faces: {frame.box.finish.name}"]
    diffuser = frame.box.inner_diffuser
    under_ledge = diffuser.height_mm - LEDGE_MM if diffuser else baffle.height_mm
    if baffle.height_mm > under_ledge:
        cut = sides_mm(
            frame.box.sheet.thickness_mm, height_mm=baffle.height_mm - max(under_ledge, 0.0)
        )
        notes.append(f"cut {cut} out of each upper end that meets a ledge")
    return replace(start, where=baffle.where, sheet=baffle.sheet, notes=tuple(notes))


def _merged(pieces: Iterable[Piece]) -> list[Piece]:
    """Count pieces that differ in nothing but their number as one: ``walls 1, 3``."""
    alike: dict[Piece, list[str]] = {}
    names: dict[Piece, str] = {}
    for piece in pieces:
        key = replace(piece, name="")
        start, _, number = piece.name.rpartition(" ")
        alike.setdefault(key, []).append(number)
        names.setdefault(key, start)
    return [
        replace(key, name=f"{names[key]} {numbers[0]}")
        if len(numbers) == 1
        else replace(key, name=f"{names[key]}s {', '.join(numbers)}", count=len(numbers))
        for key, numbers in alike.items()
    ]


def _frame(
    box: LightBox, *, panel: str, sub_assembly: str, drills: Sequence[Drill], lead_mm: float
) -> tuple[Frame | None, tuple[Finding, ...]]:
    """Cut the walls of a box, or say why it cannot be built."""
    corners = box.inside.corners
    flaw = flaw_of(corners)
    if flaw:
        name = f"the inside of box '{box.name}'"
        return None, unsound_outline([Flawed(name=name, where=box.where, flaw=flaw)])
    if any(bulge for _, _, bulge in corners):
        return None, curved_wall(box)
    spots = drop_straight_corners([(x, y) for x, y, _ in anticlockwise(corners)])
    walls = ring_of_walls(spots, thickness_mm=box.sheet.thickness_mm)
    regions = offset(polygon(spots), by_mm=box.sheet.thickness_mm)
    found = unbuildable_wall(box, spots=spots, walls=walls, regions=regions)
    if found:
        return None, found
    frame = Frame(
        box=box,
        sub_assembly=sub_assembly,
        name=f"{sub_assembly} / {panel} / {box.name}",
        spots=spots,
        walls=walls,
        outside=regions[0].outside,
        drills=tuple(drills),
        lead_mm=lead_mm,
    )
    return frame, ()


def box_pieces(
    box: LightBox, *, panel: str, sub_assembly: str, drills: Sequence[Drill], lead_mm: float
) -> tuple[BoxPieces | None, tuple[Finding, ...]]:
    """Cut a light box into flat pieces.

    Parameters
    ----------
    box
        With a polygon of straight sides as its inside.
    panel, sub_assembly
        Names for the pieces.
    drills
        The drills there are; wire holes take the nearest.
    lead_mm
        Outside diameter of the wires soldered to chips.

    Returns
    -------
    tuple
        The pieces, None when the box cannot be built; and what stands in the way.
    """
    frame, found = _frame(
        box, panel=panel, sub_assembly=sub_assembly, drills=drills, lead_mm=lead_mm
    )
    if frame is None:
        return None, found
    walls = []
    for index in range(len(frame.walls)):
        wall, cramped = _wall(frame, index=index)
        walls.append(wall)
        found += cramped
    pieces = [_back(frame), *_merged(walls)]
    if box.lid is Lid.OVER:
        pieces.append(_lid(frame))
    pieces.extend(_baffle_piece(frame, baffle=baffle) for baffle in standing_baffles(box))
    pieces.extend(_merged(_strip_pieces(frame)))
    width, height = size_mm(frame.outside)
    deep = frame.wall_mm + box.sheet.thickness_mm
    made = BoxPieces(
        box=box.name,
        where=box.where,
        sub_assembly=sub_assembly,
        pieces=tuple(pieces),
        outside_mm=(width, height, deep),
    )
    return made, found
