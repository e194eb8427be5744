"""Pillars of a light box as what they are made from: slices of sheet glued in a stack, or a bar.

A stack has as many slices as the depth holds thicknesses, and one more where they do not come out
even: the last one is filed down. In a printed box a pillar without a sheet is part of the body.
"""

from collections.abc import Iterator, Sequence
from math import ceil, dist

from lamphouse.cutting.drill import Aim, drill_for_strand, nearest_drill, wanted_hole_mm
from lamphouse.cutting.frame import Frame, numbered, words_of
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import runs_in, sound_pillars
from lamphouse.design.box_faces import pillar_finish
from lamphouse.design.lightbox import Build, LightBox, Pillar
from lamphouse.design.strand import Strand
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, circle_of
from lamphouse.shapes.transform import move

EVEN_MM = 0.01
"""A last slice that is too thick by no more is left as it is."""

SQUARE_MM = 1e-6
"""Sides and diagonals of a rectangle are equal within this."""


class Bar(Record):
    """A rod, bar or tube bought by the length, and how much of it a pillar takes."""

    words: str
    length_mm: float


def slices_of(pillar: Pillar, *, depth_mm: float) -> tuple[int, float] | None:
    """Count the slices of a stack, and give what the last one is filed down to. [mm].

    Returns
    -------
    tuple or None
        None for a pillar that is no stack. The last slice is whole where the depth comes out even.
    """
    if pillar.sheet is None:
        return None
    thick = pillar.sheet.thickness_mm
    count = max(ceil((depth_mm - EVEN_MM) / thick), 1)
    last = depth_mm - (count - 1) * thick
    return count, thick if last > thick - EVEN_MM else last


def is_printed(pillar: Pillar, *, box: LightBox) -> bool:
    """Tell whether a pillar is part of a printed body."""
    return box.build is Build.PRINTED and pillar.sheet is None


def bar_words(corners: Corners) -> str | None:
    """Name the rod or bar with an outline for its section; None for one that is not to be had."""
    ring = circle_of(corners)
    if ring:
        return f"round rod {in_mm(ring.diameter_mm)}"
    if len(corners) != 4 or any(bulge for *_, bulge in corners):
        return None
    a, b, c, d = ((x, y) for x, y, _ in corners)
    wide, high = sorted((dist(a, b), dist(b, c)), reverse=True)
    uneven = (dist(a, b) - dist(c, d), dist(b, c) - dist(d, a), dist(a, c) - dist(b, d))
    if max(map(abs, uneven)) > SQUARE_MM:
        return None
    if wide - high < SQUARE_MM:
        return f"square bar {in_mm(wide)}"
    return f"flat bar {sides_mm(wide, height_mm=high)}"


def bars_of(box: LightBox, *, strands: Sequence[Strand]) -> Iterator[Bar]:
    """List what is bought by the length for the pillars of a box: a tube where a strand runs in it.

    Parameters
    ----------
    box
        The box.
    strands
        Those that come out of the panel before it.
    """
    for pillar in sound_pillars(box):
        words = bar_words(pillar.outline.corners)
        if pillar.sheet is None and words and not is_printed(pillar, box=box):
            if any(runs_in(strand, pillar=pillar) for strand in strands):
                words = words.replace(" rod ", " tube ").replace(" bar ", " tube ")
            yield Bar(words=words, length_mm=box.depth_mm)


def strand_aims(
    frame: Frame, *, pillar: Pillar | None = None, left: float = 0.0, bottom: float = 0.0
) -> list[Aim]:
    """Aim the holes of the strands that run in pillars, or in one of them, from a datum."""
    return [
        Aim(
            purpose=strand.name,
            where=strand.where,
            x_mm=strand.x_mm - left,
            y_mm=strand.y_mm - bottom,
            wanted_mm=wanted_hole_mm(strand),
            drill=drill_for_strand(strand, drills=frame.drills)
            or nearest_drill(wanted_hole_mm(strand), drills=frame.drills),
        )
        for strand in frame.piped
        if pillar is None or runs_in(strand, pillar=pillar)
    ]


def pillar_pieces(frame: Frame) -> list[Piece]:
    """Cut the slices of the pillars that are stacks, a piece for each pillar."""
    found = []
    for pillar in sound_pillars(frame.box):
        stack = slices_of(pillar, depth_mm=frame.box.depth_mm)
        if stack is None or pillar.sheet is None:
            continue
        count, last = stack
        left, bottom, _, _ = bounds_mm(pillar.outline.corners)
        ring = pillar.outline.diameter_mm
        start = frame.piece(
            f"pillar {pillar.name}",
            outline=move(pillar.outline.corners, x_mm=-left, y_mm=-bottom),
            words=f"round {in_mm(ring)}" if ring else words_of(pillar.outline.corners),
        )
        found.append(
            replace(
                start,
                where=pillar.where,
                sheet=pillar.sheet,
                outline=replace(start.outline, diameter_mm=ring),
                holes=numbered(
                    frame, aims=strand_aims(frame, pillar=pillar, left=left, bottom=bottom)
                ),
                count=count,
                notes=tuple(_notes(frame, pillar=pillar, count=count, last_mm=last)),
            )
        )
    return found


def _notes(frame: Frame, *, pillar: Pillar, count: int, last_mm: float) -> Iterator[str]:
    finish = pillar_finish(frame.box, pillar).name
    high = in_mm(frame.box.depth_mm)
    sheet = frame.box.sheet if pillar.sheet is None else pillar.sheet
    filed = ""
    if last_mm < sheet.thickness_mm:
        filed = f", the last one filed down to {in_mm(last_mm)}"
    stacked = f"glue {count} on one another{filed}: " if count > 1 or filed else ""
    yield f"{stacked}{high} high, from back to panel; all round: {finish}"
    if any(runs_in(strand, pillar=pillar) for strand in frame.piped):
        yield "drill the holes of the strands through the whole stack in one go"
