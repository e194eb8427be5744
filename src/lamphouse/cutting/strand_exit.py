"""The hole through which strands come into a light box, sized by their bundle, and its place."""

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, hypot

from lamphouse.cutting.baffle_joints import Baffling, back_slots
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.frame import Frame, strip, tidy
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import (
    baffle_foot,
    baffles_below,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.cutting.wall_piece import NOTCH_PLACES, notch_of, taken_on_piece
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Build, Lid, Seat, StrandExit
from lamphouse.design.panel import Outline
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.record import replace
from lamphouse.shapes.circles_around import around
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle
from lamphouse.shapes.spacing import Enclosure, gap_mm
from lamphouse.shapes.transform import move

SNUG = 1.05
"""Share by which the hole is wider than the bundle [PRACTICE]."""

STEPS = 40
"""Places are tried on a grid of this many steps across the box."""


def exit_mm(strands: Sequence[Strand]) -> float:
    """Give the hole for a bundle of strands, in tenths of a millimetre, never too small.

    Thinner fibres count as thick as the thickest [CIRCLE-PACKING].
    """
    if not strands:
        return 0.0
    thickest = max(strand.fibre.diameter_mm for strand in strands)
    return ceil(SNUG * thickest * around(len(strands)) * 10.0 - 1e-9) / 10.0


def back_place(frame: Frame, *, baffling: Baffling, across_mm: float) -> Spot | None:
    """Find the free place on the back nearest to the middle of the strands.

    Returns
    -------
    Spot or None
        In the panel plane; None where the hole finds no room.
    """
    thick = frame.box.sheet.thickness_mm
    middle = (
        sum(strand.x_mm for strand in frame.strands) / len(frame.strands),
        sum(strand.y_mm for strand in frame.strands) / len(frame.strands),
    )
    left, bottom, right, top = bounds_mm(frame.inside)
    places = [middle] + [
        (left + (right - left) * i / STEPS, bottom + (top - bottom) * j / STEPS)
        for i in range(STEPS + 1)
        for j in range(STEPS + 1)
    ]
    places.sort(key=lambda at: (round(hypot(at[0] - middle[0], at[1] - middle[1]), 6), at))
    inside, taken = Enclosure(frame.inside), list(_on_back(frame, baffling=baffling))
    for x, y in places:
        hole = circle(across_mm, x_mm=x, y_mm=y)
        if inside.margin_mm(hole) >= thick and all(
            gap_mm(hole, other=one) >= thick for one in taken
        ):
            return x, y
    return None


def _on_back(frame: Frame, *, baffling: Baffling) -> Iterator[Corners]:
    """List what is on the back, in the panel plane."""
    for led in frame.box.leds:
        if led.seat is Seat.BACK:
            yield package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)
            hole = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
            for x, y in wire_spots(led, x_mm=led.x_mm, y_mm=led.y_mm, hole_mm=hole):
                yield circle(hole, x_mm=x, y_mm=y)
    for baffle in baffles_below(frame.box, level_mm=ROUNDING_MM):
        yield baffle_foot(baffle)
    for pillar in sound_pillars(frame.box):
        yield pillar.outline.corners
    for slot in back_slots(baffling):
        yield slot.corners


def wall_place(frame: Frame, *, baffling: Baffling, across_mm: float) -> tuple[int, float] | None:
    """Find a free place for a notch in the edge of a wall at the back, on long walls first.

    Returns
    -------
    tuple or None
        Number of the wall, and the notch's left edge on its piece.
    """
    thick = frame.box.sheet.thickness_mm
    if across_mm > frame.box.depth_mm - thick:
        return None
    wires = notch_of(frame, baffling=baffling)
    for index in sorted(range(len(frame.walls)), key=lambda at: (-frame.walls[at].side_mm, at)):
        wall = frame.walls[index]
        taken = taken_on_piece(frame, index=index, baffling=baffling)
        if wires and wires[0] == index:
            wide = frame.box.wire_exit_mm
            taken.append(move(strip(wide, height_mm=frame.under_mm + wide), x_mm=wires[1]))
        clear = wall.to_mm - wall.side_mm
        for share in NOTCH_PLACES:
            left = clear + share * wall.side_mm - across_mm / 2.0
            cut = move(strip(across_mm, height_mm=frame.under_mm + across_mm), x_mm=left)
            within = clear + thick <= left and left + across_mm <= clear + wall.side_mm - thick
            if within and all(gap_mm(cut, other=one) >= thick for one in taken):
                return index, left
    return None


@rule("CUT080", Severity.WARN, "The strands of a light box have no room to come in together")
def no_strand_exit(frame: Frame, *, across_mm: float, other_fits: bool) -> Iterable[Told]:
    """Tell that the hole for a bundle of strands finds no place.

    What it checks
        The strands that run through a box fit through one hole in its back, or one notch in a wall,
        with a thickness of sheet around it, clear of LEDs, wires, baffles and other holes.

    Why it matters
        Strands forced in beside an LED stand in its light, and every hole of its own leaks.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {strand_exit: back, inside: rectangle 32 x 5 mm}
                    strands:
                      T:
                        fibre: fibre 1.0 mm
                        at: [16 mm, 25 mm]
                        count: 12
                        step: [2.2 mm, 0 mm]
                        group: steady

    Mend
        Write the other place where it fits, let the strands go round the box, or leave
        ``strand_exit`` out and drill for each.

    Source
        Geometry; [CIRCLE-PACKING].
    """
    box = frame.box
    if box.strand_exit is None:
        return
    other = StrandExit.WALL if box.strand_exit is StrandExit.BACK else StrandExit.BACK
    remedy = "leave strand_exit out and drill for each strand, or lead strands round the box"
    if other_fits:
        remedy = f"write strand_exit: {other}"
    count = len(frame.strands)
    yield Told(
        where=box.where,
        message=f"{count} strands need a hole of {in_mm(across_mm)} in the {box.strand_exit} of "
        f"box '{box.name}', and there is no room for it",
        remedy=remedy,
    )


def exit_of(
    frame: Frame, *, baffling: Baffling
) -> tuple[Spot | None, tuple[int, float] | None, tuple[Finding, ...]]:
    """Place the strands' hole: in the back, or in a wall; tell when there is no room."""
    wanted, across = frame.box.strand_exit, exit_mm(frame.strands)
    if wanted is None or not frame.strands:
        return None, None, ()
    flat = frame.box.build is Build.PIECES and bool(frame.walls)
    back = wall = None
    if flat and frame.box.lid is Lid.BACK:
        back = back_place(frame, baffling=baffling, across_mm=across)
    if flat:
        wall = wall_place(frame, baffling=baffling, across_mm=across)
    if wanted is StrandExit.BACK and back:
        return back, None, ()
    if wanted is StrandExit.WALL and wall:
        return None, wall, ()
    other = wall if wanted is StrandExit.BACK else back
    found = no_strand_exit(frame, across_mm=across, other_fits=other is not None)
    return None, None, found


def back_with_exit(back: Piece, *, frame: Frame, spot: Spot) -> Piece:
    """Cut the strands' hole into a back that lies over the walls."""
    left, bottom, _, _ = bounds_mm(frame.outside)
    across = exit_mm(frame.strands)
    shift = _datum_of(back, frame=frame)
    hole = Outline(
        corners=circle(across, x_mm=spot[0] - left + shift[0], y_mm=spot[1] - bottom + shift[1]),
        words=f"round {in_mm(across)}",
        diameter_mm=across,
    )
    return replace(
        back,
        cutouts=(*back.cutouts, hole),
        cutout_names=(*back.cutout_names, "strands"),
        notes=_told(back, frame=frame, where="the round hole"),
    )


def _datum_of(back: Piece, *, frame: Frame) -> Spot:
    """Give where the corner of the box's outside lies on a back with ears."""
    for foot in back.glued:
        if foot.words == "inner faces of the walls":
            inner = bounds_mm(foot.corners)
            left, bottom, _, _ = bounds_mm(frame.inside)
            outside = bounds_mm(frame.outside)
            return inner[0] - (left - outside[0]), inner[1] - (bottom - outside[1])
    return 0.0, 0.0


def wall_with_exit(wall: Piece, *, frame: Frame, left_mm: float) -> Piece:
    """Cut the strands' notch into the lower edge of a wall."""
    across = exit_mm(frame.strands)
    high = frame.under_mm + across
    cut = move(strip(across, height_mm=high + 1.0), x_mm=left_mm, y_mm=-1.0)
    left = free_parts(wall.outline.corners, under=[(cut, ())], error_mm=ROUNDING_MM)
    if left is None or len(left) != 1:
        return wall
    words = f"{wall.outline.words}, with a notch {in_mm(across)} wide for the strands"
    return replace(
        wall,
        outline=Outline(corners=tidy(left[0]), words=words),
        notes=(*wall.notes, f"strands come in through the notch {in_mm(across)} wide"),
    )


def _told(back: Piece, *, frame: Frame, where: str) -> tuple[str, ...]:
    """Say which hole the strands take, in place of the note that leaves it to the maker."""
    count = len(frame.strands)
    kept = [note for note in back.notes if "drill to size there" not in note]
    return (*kept, f"{count} strands come in through {where}: fill it black round them")
