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
hole
    A passage's half in a wall. One that reaches an edge of its wall is part of the outline.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.baffle_joints import Baffling, back_slots, baffle_pieces, baffling_of
from lamphouse.cutting.box_rules import curved_wall, unbuildable_wall
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.frame import Frame, numbered, rectangle_words, strip, tidy, wire_aims
from lamphouse.cutting.layout import Flawed
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.opening_rules import unsound_outline
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.ring import drop_straight_corners, ring_of_walls
from lamphouse.cutting.seats import LEDGE_MM, baffle_foot, seat_mark, standing_baffles
from lamphouse.cutting.wall_holes import WallHole
from lamphouse.cutting.wall_piece import bevel_notes, ledge_parts, ledge_strips, wall_piece
from lamphouse.design.lightbox import Lid, LightBox, Seat
from lamphouse.design.panel import Outline
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding
from lamphouse.shapes.measure import anticlockwise, bounds_mm, size_mm
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import polygon
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.transform import move

MOST_NAMED = 6
"""Strands that are named on the back of the box they run through."""

_LETTERS = "abcdefghijklmnopqrstuvwxyz"
"""For the parts of one ledge."""


def _back(frame: Frame, *, baffling: Baffling) -> Piece:
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
    if frame.strands:
        notes.append(_strand_note(frame.strands))
    aims = [
        aim for led, x, y in places if not over for aim in wire_aims(frame, led=led, x_mm=x, y_mm=y)
    ]
    width, height = size_mm(outline)
    start = frame.piece(
        "back",
        outline=move(outline, x_mm=-left, y_mm=-bottom),
        words=f"{sides_mm(width, height_mm=height)} over all",
    )
    slots = back_slots(baffling)
    cuts = [tidy(move(slot.corners, x_mm=-left, y_mm=-bottom)) for slot in slots]
    return replace(
        start,
        cutouts=tuple(Outline(corners=cut, words="slot for a tab") for cut in cuts),
        cutout_names=tuple(slot.words for slot in slots),
        holes=numbered(frame, aims=aims),
        seats=tuple(seat_mark(led, x_mm=x, y_mm=y) for led, x, y in places),
        glued=tuple(feet),
        notes=tuple(notes),
    )


def _strand_note(strands: Sequence[Strand]) -> str:
    """Say which strands come into the box; their way in is the maker's."""
    names = [strand.name for strand in strands]
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    word = "strand" if len(names) == 1 else "strands"
    return (
        f"{word} {', '.join(names[:MOST_NAMED])}{more} through the back or a wall: drill to "
        "size there, and fill black round each"
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


def _ledge_pieces(frame: Frame, *, baffling: Baffling) -> list[Piece]:
    """Make the ledge strips of an inner diffuser, each in as many parts as the baffles leave."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return []
    high = min(LEDGE_MM, diffuser.height_mm)
    pieces = []
    for index, ledge in enumerate(ledge_strips(frame)):
        parts = ledge_parts(frame, index=index, baffling=baffling)
        for letter, (start, end) in zip(_LETTERS, parts, strict=False):
            name = f"ledge {index + 1}{letter if len(parts) > 1 else ''}"
            words = rectangle_words(end - start, height_mm=high)
            piece = frame.piece(name, outline=strip(end - start, height_mm=high), words=words)
            near_left = start <= ROUNDING_MM
            near_right = end >= ledge.length_mm - ROUNDING_MM
            bevels = [
                note
                for note in bevel_notes(ledge, near="wall's", far="open")
                if (near_left and note.startswith("left"))
                or (near_right and note.startswith("right"))
            ]
            notes = (
                f"glue to its wall, top edge {in_mm(diffuser.height_mm)} above the back",
                *bevels,
            )
            pieces.append(replace(piece, notes=notes))
    return pieces


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
    box: LightBox,
    *,
    panel: str,
    sub_assembly: str,
    drills: Sequence[Drill],
    lead_mm: float,
    passages: Sequence[WallHole],
    strands: Sequence[Strand],
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
        passages=tuple(passages),
        strands=tuple(strands),
    )
    return frame, ()


def box_pieces(
    box: LightBox,
    *,
    panel: str,
    sub_assembly: str,
    drills: Sequence[Drill],
    lead_mm: float,
    passages: Sequence[WallHole] = (),
    strands: Sequence[Strand] = (),
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
    passages
        Holes in its walls.
    strands
        Those that run through it to the panel.

    Returns
    -------
    tuple
        The pieces, None when the box cannot be built; and what stands in the way.
    """
    frame, found = _frame(
        box,
        panel=panel,
        sub_assembly=sub_assembly,
        drills=drills,
        lead_mm=lead_mm,
        passages=passages,
        strands=strands,
    )
    if frame is None:
        return None, found
    baffling = baffling_of(frame)
    walls = []
    for index in range(len(frame.walls)):
        wall, cramped = wall_piece(frame, index=index, baffling=baffling)
        walls.append(wall)
        found += cramped
    pieces = [_back(frame, baffling=baffling), *_merged(walls)]
    if box.lid is Lid.OVER:
        pieces.append(_lid(frame))
    pieces.extend(baffle_pieces(frame, baffling=baffling))
    pieces.extend(_merged(_ledge_pieces(frame, baffling=baffling)))
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
