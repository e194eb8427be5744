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

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.baffle_joints import Baffling, baffle_pieces, baffling_of
from lamphouse.cutting.box_back import back_piece, lid_piece, rear_outline
from lamphouse.cutting.box_fixing import block_pieces
from lamphouse.cutting.box_frame import frame_of
from lamphouse.cutting.box_rules import cramped_notch
from lamphouse.cutting.box_standing import standing_of
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.fixing_rules import fixed_at
from lamphouse.cutting.fold_rules import flange_unfolded
from lamphouse.cutting.folded_box import flange_plans, folded_foot, folded_pieces
from lamphouse.cutting.frame import Frame, rectangle_words, strip
from lamphouse.cutting.inner_diffuser import diffuser_pieces
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Body, BoxPieces, Piece
from lamphouse.cutting.pillar_pieces import pillar_pieces
from lamphouse.cutting.seats import LEDGE_MM
from lamphouse.cutting.shell_body import shell_bodies
from lamphouse.cutting.strand_exit import back_with_exit, exit_of, wall_with_exit
from lamphouse.cutting.wall_holes import WallHole
from lamphouse.cutting.wall_piece import bevel_notes, ledge_parts, ledge_strips, wall_piece
from lamphouse.cutting.wrapped_wall import wrapped_pieces
from lamphouse.design.lightbox import Build, Lid, LightBox
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding
from lamphouse.record import replace
from lamphouse.shapes.measure import size_mm
from lamphouse.shapes.outline import Corners, rectangle

_LETTERS = "abcdefghijklmnopqrstuvwxyz"
"""For the parts of one ledge."""
_EVERYWHERE = rectangle(40_000.0, height_mm=40_000.0)
"""Larger than any panel."""


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


def _walls(frame: Frame, *, baffling: Baffling) -> tuple[list[Piece], tuple[Finding, ...]]:
    """Make the walls: a flat one for each side, or one strip, with what is on them."""
    if not frame.walls:
        pieces, notched = wrapped_pieces(frame, baffling=baffling)
        found = () if notched else cramped_notch(frame.box, wall_mm=size_mm(frame.inside)[0])
        return pieces, found
    walls: list[Piece] = []
    told: tuple[Finding, ...] = ()
    for index in range(len(frame.walls)):
        wall, cramped = wall_piece(frame, index=index, baffling=baffling)
        walls.append(wall)
        told += cramped
    return walls, told


def box_pieces(
    box: LightBox,
    *,
    panel: str,
    sub_assembly: str,
    drills: Sequence[Drill],
    lead_mm: float,
    passages: Sequence[WallHole] = (),
    strands: Sequence[Strand] = (),
    around: Sequence[Corners] = (),
    within: Corners | None = None,
    openings: Sequence[Corners] = (),
) -> tuple[BoxPieces | None, tuple[Finding, ...]]:
    """Cut a light box into flat pieces, or give it as a folded piece or as a printed body.

    Parameters
    ----------
    box
        As it is built: see :func:`lamphouse.cutting.box_frame.as_built`.
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
    around
        Outlines of what stands beside it behind the panel.
    within
        The panel's outline; None where ears may reach anywhere.
    openings
        Openings and holes of the panel, which a flange keeps clear.

    Returns
    -------
    tuple
        The pieces, None when the box cannot be built; and what stands in the way.
    """
    frame, found = frame_of(
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
    frame = replace(frame, panel_edge=within or (), panel_things=(*around, *openings))
    baffling = baffling_of(frame)
    places, unfixed = fixed_at(
        frame, baffling=baffling, around=around, within=within or _EVERYWHERE
    )
    found += unfixed
    pieces: list[Piece] = []
    bodies: tuple[Body, ...] = ()
    flanges: tuple[Corners, ...] = ()
    foot = rear_outline(frame, places=places)
    found += flange_unfolded(box)
    if box.build is Build.PRINTED:
        bodies, told = shell_bodies(frame, baffling=baffling)
        found += (*told, *exit_of(frame, baffling=baffling)[2])
        pieces += baffle_pieces(frame, baffling=_hanging(baffling))
    elif box.build is Build.FOLDED:
        pieces, told = folded_pieces(frame, baffling=baffling)
        flanges = flange_plans(frame)
        foot = folded_foot(frame, flanges=flanges)
        found += (*told, *exit_of(frame, baffling=baffling)[2])
        pieces += _inner(frame, baffling=baffling)
    else:
        walls, told = _walls(frame, baffling=baffling)
        found += told
        back = back_piece(frame, baffling=baffling, places=places)
        in_back, in_wall, told = exit_of(frame, baffling=baffling)
        found += told
        if in_back:
            back = back_with_exit(back, frame=frame, spot=in_back)
        if in_wall:
            index, left = in_wall
            walls[index] = wall_with_exit(walls[index], frame=frame, left_mm=left)
        pieces = [back, *_merged(walls)]
        if box.lid is Lid.OVER:
            pieces.append(lid_piece(frame, places=places))
        pieces += _inner(frame, baffling=baffling)
        pieces += block_pieces(frame, places=places)
    pieces += diffuser_pieces(frame, baffling=baffling)
    pieces += pillar_pieces(frame)
    width, height = size_mm(foot)
    sheets = 2 if box.lid is Lid.OVER else 1
    made = BoxPieces(
        box=box.name,
        where=box.where,
        sub_assembly=sub_assembly,
        panel=panel,
        pieces=tuple(pieces),
        outside_mm=(width, height, box.depth_mm + sheets * box.sheet.thickness_mm),
        foot=foot,
        standing=standing_of(frame, pieces=pieces, baffling=baffling, places=places),
        flanges=flanges,
        bodies=bodies,
    )
    return made, found


def _hanging(baffling: Baffling) -> Baffling:
    """Keep the baffles that are pieces of their own in a printed box."""
    kept = tuple(one for one in baffling.stretches if one.baffle.hangs)
    return replace(baffling, stretches=kept)


def _inner(frame: Frame, *, baffling: Baffling) -> list[Piece]:
    """Make what stands in the box: baffles, and the ledges of flat walls."""
    pieces = baffle_pieces(frame, baffling=baffling)
    if frame.walls:
        pieces += _merged(_ledge_pieces(frame, baffling=baffling))
    return pieces
