"""A light box folded from one piece of card, with what is drawn on it."""

from collections.abc import Iterator, Sequence
from math import atan2, degrees

from lamphouse.cutting.baffle_joints import NO_BAFFLES, Baffling
from lamphouse.cutting.box_back import back_piece, lid_piece
from lamphouse.cutting.box_development import BoxDevelopment, develop_box
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.facets import Facet
from lamphouse.cutting.fold_rules import cannot_fold, folds_badly, no_flange
from lamphouse.cutting.frame import Frame, numbered, tidy, wire_aims, words_of
from lamphouse.cutting.mends import sides_mm
from lamphouse.cutting.piece import Fold, Piece
from lamphouse.cutting.pillar_feet import marks_of
from lamphouse.cutting.pillar_pieces import strand_aims
from lamphouse.cutting.seats import baffle_foot, seat_mark, standing_baffles
from lamphouse.cutting.wall_holes import patch_of, wall_of
from lamphouse.cutting.wall_piece import bottom_wall, notch_of
from lamphouse.cutting.wedges import tilt_notes
from lamphouse.cutting.wrapped_wall import bending_grain
from lamphouse.design.box_faces import BACK, finish_of, finished_walls, in_words, wall_name
from lamphouse.design.lightbox import Flange, Led, Lid, Seat
from lamphouse.design.panel import Outline
from lamphouse.findings import Finding
from lamphouse.record import replace
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.joining import joined
from lamphouse.shapes.measure import bounds_mm, size_mm
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import Corners, Spot, rectangle_of
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.transform import move

_WITHIN_MM = 1.0
"""From the edges of a face to the line that marks it."""


def folded_pieces(frame: Frame, *, baffling: Baffling) -> tuple[list[Piece], tuple[Finding, ...]]:
    """Make the development of a box; with a lid over the back also the back and the lid."""
    refused = folds_badly(frame.box, sides=len(frame.spots))
    if refused:
        return [], refused
    made = develop_box(frame)
    outline = joined(
        [*(one.corners for one in made.facets), *(one.bridge for one in made.facets if one.bridge)]
    )
    found = cannot_fold(frame.box, made=made, whole=outline is not None)
    if found or outline is None:
        return [], found
    notch = None if made.base is not None else _exit(frame, made=made)
    if notch:
        left = free_parts(outline, under=[(notch, ())], error_mm=ROUNDING_MM)
        outline = left[0] if left and len(left) == 1 else outline
    pieces = [_piece(frame, made=made, outline=outline)]
    if made.base is None:
        pieces.append(back_piece(frame, baffling=baffling, places=()))
    if frame.box.lid is Lid.OVER:
        pieces.append(lid_piece(frame, places=()))
    return pieces, no_flange(frame.box, made=made)


def flange_plans(frame: Frame) -> tuple[Corners, ...]:
    """Give where each flange of a folded box lies on the panel."""
    if frame.box.flange is Flange.NONE or folds_badly(frame.box, sides=len(frame.spots)):
        return ()
    return tuple(strip.plan for strip in develop_box(frame).strips)


def folded_foot(frame: Frame, *, flanges: Sequence[Corners]) -> Corners:
    """Give what a folded box covers of the panel's rear side, flanges included."""
    if frame.box.flange is not Flange.OUTSIDE:
        return frame.outside
    return joined([frame.outside, *flanges]) or frame.outside


def _piece(frame: Frame, *, made: BoxDevelopment, outline: Corners) -> Piece:
    box = frame.box
    left, bottom, _, _ = bounds_mm(outline)
    width, height = size_mm(outline)

    def placed(corners: Corners) -> Corners:
        return tidy(move(corners, x_mm=-left, y_mm=-bottom))

    cuts = [(placed(cut), name) for cut, name in _cuts(frame, made=made)]
    seats, aims = [], []
    for led, (x, y) in _seated(frame, made=made):
        seats.append(seat_mark(led, x_mm=x - left, y_mm=y - bottom))
        aims += wire_aims(frame, led=led, x_mm=x - left, y_mm=y - bottom)
    for aim in strand_aims(frame) if made.base is not None else ():
        x, y = _on_back(frame, made, (aim.x_mm, aim.y_mm))
        aims.append(replace(aim, x_mm=x - left, y_mm=y - bottom))
    start = frame.piece(
        "folded box",
        outline=placed(outline),
        words=f"{sides_mm(width, height_mm=height)} over all",
    )
    return replace(
        start,
        cutouts=tuple(Outline(corners=cut, words=words_of(cut)) for cut, _ in cuts),
        cutout_names=tuple(name for _, name in cuts),
        holes=numbered(frame, aims=aims),
        seats=tuple(seats),
        folds=tuple(_fold(one, left=left, bottom=bottom) for one in made.facets if one.hinge),
        glued=tuple(
            Outline(corners=placed(foot), words=name)
            for foot, name in (*_feet(frame, made=made), *_painted(frame, made=made))
        ),
        grain=bending_grain(box.sheet),
        notes=(*_notes(frame, made=made), *tilt_notes(led for led, _ in _seated(frame, made=made))),
    )


def _painted(frame: Frame, *, made: BoxDevelopment) -> Iterator[tuple[Corners, str]]:
    """Mark the faces whose finish is not that of the box, a little within their edges."""
    box = frame.box
    faces = {wall_name(index) for index in range(len(frame.walls))} | {BACK}
    for facet in made.facets:
        if facet.name in faces and finish_of(box, facet.name) != box.finish:
            for region in offset(facet.corners, by_mm=-_WITHIN_MM):
                yield region.outside, f"{facet.name}: {finish_of(box, facet.name).name}"


def _notes(frame: Frame, *, made: BoxDevelopment) -> tuple[str, ...]:
    box = frame.box
    width, height = size_mm(frame.inside)
    faces = list(finished_walls(box))
    if made.base is not None:
        faces.insert(0, (BACK, finish_of(box, BACK)))
    notes = [
        "score the lines from outside to half the thickness; fold towards this face",
        f"glue the flaps outside the walls; inside it measures {sides_mm(width, height_mm=height)}",
        f"inside: {in_words(box, faces=faces)}; outside: black",
    ]
    notes += [
        f"{made.facets[one.hinge.parent].name} to {one.name}: fold back, scored on this face"
        for one in made.facets
        if one.hinge and one.hinge.angle_rad < 0.0 and not one.name.startswith("flange")
    ]
    if len({finish for _, finish in faces}) > 1:
        notes.append("paint it flat, one paint after the other, the rest masked along the folds")
        notes.append(f"faces with a line along their edges: not {box.finish.name}")
    if made.strips and box.flange is Flange.OUTSIDE:
        notes.append("flanges: fold back, scored on this face; glue this face to the panel")
    elif made.strips:
        notes.append("flanges: fold like the walls; glue the other face to the panel")
    if made.base is not None and box.wire_exit_mm > 0.0:
        notes.append("hole for the wires in the fold at the back: fill it black round them")
    return tuple(notes)


def fold_line(facet: Facet) -> tuple[Spot, Spot]:
    """Give the line to score: the middle of what bends."""
    if facet.hinge is None:
        message = f"{facet.name} hangs on nothing"
        raise ValueError(message)
    (sx, sy), (wx, wy) = facet.hinge.start, facet.hinge.way
    # The facet lies to the right of the line's way.
    ox, oy = wy * facet.hinge.allowance_mm / 2.0, -wx * facet.hinge.allowance_mm / 2.0
    along = [(x - sx) * wx + (y - sy) * wy for x, y, _ in facet.bridge]
    ends = [(sx + at * wx + ox, sy + at * wy + oy) for at in (min(along), max(along))]
    return ends[0], ends[1]


def _fold(facet: Facet, *, left: float, bottom: float) -> Fold:
    start, end = fold_line(facet)
    hinge = facet.hinge
    return Fold(
        start_mm=(start[0] - left, start[1] - bottom),
        end_mm=(end[0] - left, end[1] - bottom),
        angle_deg=degrees(hinge.angle_rad) if hinge else 0.0,
        allowance_mm=hinge.allowance_mm if hinge else 0.0,
    )


def _on_wall(frame: Frame, made: BoxDevelopment, *, index: int, along: float) -> float:
    """Give the place along the row of a place along a side from its first corner."""
    return made.lefts_mm[index] + frame.walls[index].side_mm - along


def _on_back(frame: Frame, made: BoxDevelopment, spot: Spot) -> Spot:
    """Lay a point of the back flat."""
    base = made.base or 0
    (ax, ay), (bx, by) = frame.walls[base].start, frame.walls[base].end
    long = frame.walls[base].side_mm
    dx, dy = (bx - ax) / long, (by - ay) / long
    back = next(one for one in made.facets if one.name == "back")
    fold = back.hinge.allowance_mm if back.hinge else 0.0
    x, y = spot[0] - ax, spot[1] - ay
    return made.lefts_mm[base] + long - (x * dx + y * dy), -fold - (y * dx - x * dy)


def _flat_shape(frame: Frame, made: BoxDevelopment, corners: Corners) -> Corners:
    """Lay an outline of the back flat: turned, so that arcs stay what they are."""
    return tuple((*_on_back(frame, made, (x, y)), bulge) for x, y, bulge in corners)


def _seated(frame: Frame, *, made: BoxDevelopment) -> Iterator[tuple[Led, Spot]]:
    """Give the LEDs on walls and on a back that hangs on, with their places on the flat piece."""
    for led in frame.box.leds:
        if led.seat is Seat.WALL:
            side = nearest_side((led.x_mm, led.y_mm), ring=frame.spots)
            x = _on_wall(frame, made, index=side.index, along=side.along_mm)
            yield led, (x, frame.under_mm + led.height_mm)
        elif led.seat is Seat.BACK and made.base is not None:
            wall = frame.walls[made.base]
            turn = degrees(atan2(wall.end[1] - wall.start[1], wall.end[0] - wall.start[0]))
            # The back is seen half a turn round, against its wall's side.
            turned = replace(
                led,
                turn_deg=(led.turn_deg + 180.0 - turn) % 360.0,
                towards_deg=(led.towards_deg + 180.0 - turn) % 360.0,
            )
            yield turned, _on_back(frame, made, (led.x_mm, led.y_mm))


def _cuts(frame: Frame, *, made: BoxDevelopment) -> list[tuple[Corners, str]]:
    """Give the holes for light and wires."""
    cuts = []
    for hole in frame.passages:
        index = wall_of(hole, spots=frame.spots)
        patch = patch_of(hole, wall=frame.walls[index])
        right = _on_wall(frame, made, index=index, along=patch.from_mm)
        left = _on_wall(frame, made, index=index, along=patch.to_mm)
        low, high = frame.under_mm + patch.low_mm, frame.under_mm + patch.high_mm
        high = min(high, frame.wall_mm - ROUNDING_MM)
        cuts.append((rectangle_of((left, low, right, high)), hole.passage))
    if made.base is not None:
        exit_hole = _exit(frame, made=made)
        if exit_hole:
            cuts.append((exit_hole, "wires"))
    return cuts


def _exit(frame: Frame, *, made: BoxDevelopment) -> Corners | None:
    """Give the hole of the wires: in the fold at the back, or open at the edge without one."""
    wide = frame.box.wire_exit_mm
    if wide <= 0.0:
        return None
    notch = notch_of(frame, baffling=NO_BAFFLES)
    index = bottom_wall(frame) if made.base is None else made.base
    along = frame.walls[index].side_mm / 2.0
    if notch and notch[0] == index:
        along = frame.walls[index].to_mm - notch[1] - wide / 2.0
    middle = _on_wall(frame, made, index=index, along=along)
    low, high = -1.0, frame.under_mm + wide
    if made.base is not None:
        back = next(one for one in made.facets if one.name == "back")
        low = -back.hinge.allowance_mm if back.hinge else 0.0
    half = wide / 2.0
    return rectangle_of((middle - half, low, middle + half, high))


def _feet(frame: Frame, *, made: BoxDevelopment) -> list[tuple[Corners, str]]:
    if made.base is None:
        return []
    return [
        (_flat_shape(frame, made, baffle_foot(baffle)), f"baffle {baffle.name}")
        for baffle in standing_baffles(frame.box)
    ] + [(_flat_shape(frame, made, mark.corners), mark.words) for mark in marks_of(frame.box)]
