"""The inner diffuser of a light box as a piece of film, cut round what passes through it.

It lies on the ledges, a fit gap away from the walls. Baffles that reach above it, LEDs on the walls
beside it, and the wires of LEDs on the panel stand in notches; strands and pillars pass through
holes.
"""

from collections.abc import Iterator
from math import dist

from lamphouse.catalogue.film_types import as_sheet
from lamphouse.cutting.baffle_joints import Baffling
from lamphouse.cutting.drill import (
    ROUNDING_MM,
    Aim,
    drill_for_strand,
    nearest_drill,
    wanted_hole_mm,
)
from lamphouse.cutting.frame import Frame, numbered, tidy, words_of
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.standing import Standing
from lamphouse.cutting.wall_piece import notch_of
from lamphouse.design.led_body import body_of, package_corners
from lamphouse.design.lightbox import Led, Seat
from lamphouse.design.panel import Outline
from lamphouse.record import replace
from lamphouse.shapes.carving import carved
from lamphouse.shapes.measure import anticlockwise, area_mm2, bounds_mm
from lamphouse.shapes.offset import Region, offset
from lamphouse.shapes.outline import Corners, Spot, circle, polygon
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure, gap_mm
from lamphouse.shapes.transform import move

FIT_MM = 0.2
"""Left between the film and what stands round it, so that it drops in [PRACTICE]."""

LEAST_PART_MM2 = 1.0
"""A smaller part of the film is left out: nobody could hold it to glue it [PRACTICE]."""
LEAST_WEB_MM = 0.5
"""A strand's hole nearer to an edge of the film is cut open to it [PRACTICE]."""

_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_BEYOND_MM = 1.0
"""What is cut from an edge starts outside of it."""


def diffuser_pieces(frame: Frame, *, baffling: Baffling) -> list[Piece]:
    """Cut the inner diffuser; in several pieces where baffles part it, none in a box without one.

    Parameters
    ----------
    frame
        Of a box of any build.
    baffling
        Its baffles.

    Returns
    -------
    list of Piece
        Seen from the panel, from left to right; of the film as a sheet.
    """
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return []
    regions = _regions(frame, baffling=baffling)
    notes = _notes(frame, count=len(regions))
    made = []
    for letter, region in zip(_LETTERS, regions, strict=False):
        left, bottom, _, _ = bounds_mm(region.outside)
        outline = move(region.outside, x_mm=-left, y_mm=-bottom)
        start = frame.piece(
            f"inner diffuser {letter}" if len(regions) > 1 else "inner diffuser",
            outline=outline,
            words=f"{words_of(outline).removeprefix('rectangle ')} over all",
        )
        cuts = [tidy(move(hole, x_mm=-left, y_mm=-bottom)) for hole in region.holes]
        made.append(
            replace(
                start,
                sheet=as_sheet(diffuser.film),
                cutouts=tuple(Outline(corners=cut, words=words_of(cut)) for cut in cuts),
                cutout_names=("",) * len(cuts),
                holes=numbered(
                    frame,
                    aims=[
                        replace(aim, x_mm=aim.x_mm - left, y_mm=aim.y_mm - bottom)
                        for aim in _strand_aims(frame)
                        if _is_whole(aim, region=region)
                    ],
                ),
                notes=notes,
            )
        )
    return made


def standing_diffuser(
    frame: Frame, *, by_part: dict[str, str], baffling: Baffling
) -> Iterator[Standing]:
    """Lay the pieces of the inner diffuser in their places."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None or not any(part.startswith("inner diffuser") for part in by_part):
        return
    regions = _regions(frame, baffling=baffling)
    for letter, region in zip(_LETTERS, regions, strict=False):
        part = f"inner diffuser {letter}" if len(regions) > 1 else "inner diffuser"
        left, bottom, _, _ = bounds_mm(region.outside)
        yield Standing(
            part=part,
            piece=by_part[part],
            corner_mm=(left, bottom, diffuser.height_mm + diffuser.film.thickness_mm),
            right=(1.0, 0.0, 0.0),
            up=(0.0, 1.0, 0.0),
        )


def _regions(frame: Frame, *, baffling: Baffling) -> tuple[Region, ...]:
    """Give the parts of the film in the panel plane; arcs stay arcs where nothing is cut out."""
    whole = offset(frame.inside, by_mm=-FIT_MM)
    steps = [(True, one.outside) for one in whole]
    steps += [(False, cut) for cut in _through_film(frame, baffling=baffling)]
    regions, left = whole, _strand_aims(frame)
    while len(steps) > len(whole) or left:
        if len(steps) > len(whole):
            regions = carved(steps)
        near = [aim for aim in left if not any(_is_whole(aim, region=region) for region in regions)]
        if not near:
            break
        steps += [(False, _hole(aim, web_mm=LEAST_WEB_MM)) for aim in near]
        left = [aim for aim in left if aim not in near]
    return tuple(
        one
        for one in regions
        if flaw_of(one.outside) is None and area_mm2(one.outside) >= LEAST_PART_MM2
    )


def _through_film(frame: Frame, *, baffling: Baffling) -> Iterator[Corners]:
    """List what stands in the film besides strands, each with its gap, in the panel plane."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return
    low, high = diffuser.height_mm, diffuser.height_mm + diffuser.film.thickness_mm
    for stretch in baffling.stretches:
        if stretch.high_mm > low + ROUNDING_MM and stretch.low_mm < high - ROUNDING_MM:
            yield from _grown(polygon(stretch.plan))
    for led in frame.box.leds:
        if led.seat is Seat.WALL:
            _, bottom, _, top = bounds_mm(package_corners(led, x_mm=0.0, y_mm=0.0))
            if led.height_mm + bottom < high + FIT_MM and led.height_mm + top > low - FIT_MM:
                yield _led_notch(frame, led=led)
    for pillar in sound_pillars(frame.box):
        yield from _grown(pillar.outline.corners)
    wires = _wire_notch(frame, baffling=baffling)
    if wires:
        yield wires


def _grown(corners: Corners) -> Iterator[Corners]:
    if flaw_of(corners) is None:
        for region in offset(anticlockwise(corners), by_mm=FIT_MM):
            yield region.outside


def _led_notch(frame: Frame, *, led: Led) -> Corners:
    """Cut round the package of an LED on a wall."""
    side = nearest_side((led.x_mm, led.y_mm), ring=frame.spots)
    left, _, right, _ = bounds_mm(package_corners(led, x_mm=0.0, y_mm=0.0))
    wide, deep = right - left + 2.0 * FIT_MM, body_of(led).top_mm + FIT_MM
    # Seen from inside, along runs to the left.
    along = side.along_mm - (left + right) / 2.0
    return _at_wall(frame, index=side.index, along_mm=along, wide_mm=wide, deep_mm=deep)


def _wire_notch(frame: Frame, *, baffling: Baffling) -> Corners | None:
    """Cut a notch above the wires' exit where LEDs on the panel send theirs down there."""
    wide = frame.box.wire_exit_mm
    if wide <= 0.0 or not any(led.seat is Seat.PANEL for led in frame.box.leds):
        return None
    notch = notch_of(frame, baffling=baffling) if frame.walls else None
    if notch:
        index, left = notch
        along = frame.walls[index].to_mm - left - wide / 2.0
    else:
        lowest = min(frame.spots, key=lambda spot: (spot[1], spot[0]))
        side = nearest_side(lowest, ring=frame.spots)
        index, along = side.index, side.along_mm
    return _at_wall(frame, index=index, along_mm=along, wide_mm=wide, deep_mm=wide)


def _at_wall(
    frame: Frame, *, index: int, along_mm: float, wide_mm: float, deep_mm: float
) -> Corners:
    """Give a rectangle at a side of the inside, reaching inwards."""
    (ax, ay), (bx, by) = frame.spots[index], frame.spots[(index + 1) % len(frame.spots)]
    long = dist((ax, ay), (bx, by))
    dx, dy = (bx - ax) / long, (by - ay) / long

    def spot(along: float, inward: float) -> Spot:
        return ax + along * dx - inward * dy, ay + along * dy + inward * dx

    left, right = along_mm - wide_mm / 2.0, along_mm + wide_mm / 2.0
    return polygon(
        (
            spot(left, -_BEYOND_MM),
            spot(right, -_BEYOND_MM),
            spot(right, deep_mm),
            spot(left, deep_mm),
        )
    )


def _strand_aims(frame: Frame) -> list[Aim]:
    """Aim the holes of the strands, as wide as in the panel, in the panel plane."""
    return [
        Aim(
            purpose=strand.name,
            where=strand.where,
            x_mm=strand.x_mm,
            y_mm=strand.y_mm,
            wanted_mm=wanted,
            drill=drill_for_strand(strand, drills=frame.drills)
            or nearest_drill(wanted, drills=frame.drills),
        )
        for strand in frame.strands
        for wanted in (wanted_hole_mm(strand),)
    ]


def _hole(aim: Aim, *, web_mm: float = 0.0) -> Corners:
    return circle(aim.drill.diameter_mm + 2.0 * web_mm, x_mm=aim.x_mm, y_mm=aim.y_mm)


def _is_whole(aim: Aim, *, region: Region) -> bool:
    """Tell whether a hole lies in a part of the film with a web all round."""
    hole = _hole(aim)
    return Enclosure(region.outside).margin_mm(hole) >= LEAST_WEB_MM and all(
        gap_mm(hole, other=gap) >= LEAST_WEB_MM for gap in region.holes
    )


def _notes(frame: Frame, *, count: int) -> tuple[str, ...]:
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return ()
    lies = "lies" if count == 1 else f"one of {count}; they lie"
    place = f"{in_mm(diffuser.height_mm)} above the back, {in_mm(FIT_MM)} from the walls"
    notes = [f"{lies} on the ledges, {place}"]
    if frame.strands:
        notes.append("punch or drill the holes of the strands between two pieces of scrap sheet")
    return tuple(notes)
