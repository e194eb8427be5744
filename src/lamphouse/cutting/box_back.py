"""The back and the lid of a light box."""

from collections.abc import Sequence

from lamphouse.cutting.baffle_joints import Baffling, back_slots
from lamphouse.cutting.box_fixing import MAGNET_PLAY_MM, FixPlace, through_aims
from lamphouse.cutting.frame import Frame, numbered, tidy, wire_aims
from lamphouse.cutting.mends import sides_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import marks_of
from lamphouse.cutting.pillar_pieces import strand_aims
from lamphouse.cutting.seats import baffle_foot, seat_mark, standing_baffles
from lamphouse.cutting.wedges import tilt_notes
from lamphouse.design.box_faces import BACK, finish_of
from lamphouse.design.lightbox import Blocks, Lid, Seat
from lamphouse.design.panel import Outline
from lamphouse.design.strand import Strand
from lamphouse.record import replace
from lamphouse.shapes.joining import joined
from lamphouse.shapes.measure import bounds_mm, size_mm
from lamphouse.shapes.outline import Corners, circle
from lamphouse.shapes.transform import move

MOST_NAMED = 6
"""Strands that are named on the back of the box they run through."""


def rear_outline(frame: Frame, *, places: Sequence[FixPlace]) -> Corners:
    """Give the outline of what closes the box, with its ears, in the panel plane."""
    fixing = frame.box.fixing
    if fixing is None or fixing.blocks is not Blocks.OUTSIDE or not places:
        return frame.outside
    return joined([frame.outside, *(place.block for place in places)]) or frame.outside


def back_piece(frame: Frame, *, baffling: Baffling, places: Sequence[FixPlace]) -> Piece:
    """Make the back, with the seats of its LEDs and the feet of walls and baffles."""
    box = frame.box
    over = box.lid is Lid.OVER
    outline = frame.inside if over else rear_outline(frame, places=places)
    left, bottom, _, _ = bounds_mm(outline)
    seated = [led for led in box.leds if led.seat is Seat.BACK]
    seats = [(led, led.x_mm - left, led.y_mm - bottom) for led in seated]
    aims = [
        aim for led, x, y in seats if not over for aim in wire_aims(frame, led=led, x_mm=x, y_mm=y)
    ]
    aims += strand_aims(frame, left=left, bottom=bottom)
    held = not over or (box.fixing and box.fixing.blocks is Blocks.INSIDE)
    if held:
        aims += through_aims(frame, places=places, left=left, bottom=bottom)
    width, height = size_mm(outline)
    start = frame.piece(
        "back",
        outline=move(outline, x_mm=-left, y_mm=-bottom),
        words=f"{sides_mm(width, height_mm=height)} over all",
    )
    slots = back_slots(baffling)
    cuts = [tidy(move(slot.corners, x_mm=-left, y_mm=-bottom)) for slot in slots]
    pockets = _magnets(frame, places=places) if held and over else []
    return replace(
        start,
        cutouts=(
            *(Outline(corners=cut, words="slot for a tab") for cut in cuts),
            *(_moved(one, left, bottom) for one in pockets),
        ),
        cutout_names=(*(slot.words for slot in slots), *("magnet" for _ in pockets)),
        holes=numbered(frame, aims=aims),
        seats=tuple(seat_mark(led, x_mm=x, y_mm=y) for led, x, y in seats),
        glued=tuple(_moved(one, left, bottom) for one in _feet(frame, places=places, over=over)),
        notes=(*_back_notes(frame, over=over, places=places), *tilt_notes(seated)),
    )


def _feet(frame: Frame, *, places: Sequence[FixPlace], over: bool) -> list[Outline]:
    """Mark what stands on the back."""
    fixing = frame.box.fixing
    feet = [
        Outline(corners=baffle_foot(baffle), words=f"baffle {baffle.name}")
        for baffle in standing_baffles(frame.box)
    ]
    feet += marks_of(frame.box)
    if not over:
        feet.insert(0, Outline(corners=frame.inside, words="inner faces of the walls"))
        feet += _magnets(frame, places=places)
    if fixing and (not over or fixing.blocks is Blocks.INSIDE):
        feet += [Outline(corners=place.block, words="block") for place in places]
    return feet


def _magnets(frame: Frame, *, places: Sequence[FixPlace]) -> list[Outline]:
    """Give the places of the magnets on the back or the lid."""
    fixing = frame.box.fixing
    if fixing is None or fixing.magnet_mm is None:
        return []
    across = fixing.magnet_mm[0] + MAGNET_PLAY_MM
    return [
        Outline(
            corners=circle(across, x_mm=place.at_mm[0], y_mm=place.at_mm[1]),
            words="magnet",
            diameter_mm=across,
        )
        for place in places
    ]


def _moved(outline: Outline, left: float, bottom: float) -> Outline:
    return replace(outline, corners=move(outline.corners, x_mm=-left, y_mm=-bottom))


def _back_notes(frame: Frame, *, over: bool, places: Sequence[FixPlace]) -> tuple[str, ...]:
    box = frame.box
    notes = [f"inside: {finish_of(box, BACK).name}; outside: black"]
    if over:
        notes.append("stands between the walls: sand until it slides in")
    elif places:
        notes.append("lies over the walls' edges: do not glue")
    else:
        notes.append("lies over the walls' edges")
    if frame.strands:
        notes.append(_strand_note(frame.strands))
    if not over:
        notes += _magnet_notes(frame, places=places)
    return tuple(notes)


def _magnet_notes(frame: Frame, *, places: Sequence[FixPlace]) -> list[str]:
    if frame.box.fixing and frame.box.fixing.magnet_mm and places:
        return ["glue a magnet on each round mark, the pole towards its partner that pulls"]
    return []


def _strand_note(strands: Sequence[Strand]) -> str:
    """Say which strands come into the box; their way in is the maker's."""
    names = [strand.name for strand in strands]
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    word = "strand" if len(names) == 1 else "strands"
    return (
        f"{word} {', '.join(names[:MOST_NAMED])}{more} through the back or a wall: drill to "
        "size there, and fill black round each"
    )


def lid_piece(frame: Frame, *, places: Sequence[FixPlace]) -> Piece:
    """Make the lid that lies over back and walls."""
    outline = rear_outline(frame, places=places)
    left, bottom, _, _ = bounds_mm(outline)
    width, height = size_mm(outline)
    start = frame.piece(
        "lid",
        outline=move(outline, x_mm=-left, y_mm=-bottom),
        words=f"{sides_mm(width, height_mm=height)} over all",
    )
    return replace(
        start,
        holes=numbered(
            frame,
            aims=[
                *through_aims(frame, places=places, left=left, bottom=bottom),
                *strand_aims(frame, left=left, bottom=bottom),
            ],
        ),
        glued=tuple(_moved(one, left, bottom) for one in _magnets(frame, places=places)),
        notes=(
            "lies over back and walls: do not glue",
            "both faces black",
            *_magnet_notes(frame, places=places),
        ),
    )
