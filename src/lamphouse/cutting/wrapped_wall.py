"""The wall of a round light box: one strip bent round it, as long as its neutral line.

Terminology
-----------
neutral line
    The middle of the sheet's thickness, which bending neither stretches nor shortens
    [DEVELOPMENT].
seam
    Where the strip begins and ends: in the middle of the longest straight stretch, of equal ones
    the highest; of a circle at the top.
lap
    What the strip goes on beyond a full round, glued over its own beginning on the outside.
"""

from collections.abc import Iterator
from itertools import accumulate
from math import cos, dist, sin

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.cutting.baffle_ends import Stretch
from lamphouse.cutting.baffle_joints import Baffling
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.frame import Frame, numbered, rectangle_words, strip, tidy, wire_aims
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.seats import LEDGE_MM, seat_mark
from lamphouse.cutting.wedges import tilt_notes
from lamphouse.design.box_faces import WALLS, finish_of
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Seat
from lamphouse.design.panel import Outline
from lamphouse.record import Record, replace
from lamphouse.shapes.flatten import chord_count
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, pieces, polygon
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import gap_mm
from lamphouse.shapes.transform import move

CHORD_ERROR_MM = 1e-4
"""Greatest distance between the round inside and the chords places are measured on."""

LAP_MM = 5.0
"""Least length of a lap [PRACTICE]; never less than five thicknesses."""

LEDGE_PLAY_MM = 0.2
"""Left free beside a baffle that stands in a ledge [PRACTICE]."""

GRAINED = frozenset({"card", "mount board"})
"""Materials that bend and fold well along their grain only [PRACTICE]."""


class Round(Record):
    """A round inside as chords from the seam on, with the length of the neutral line to each."""

    ring: tuple[Spot, ...]
    """Corners, anticlockwise; the seam is the first."""
    at_mm: tuple[float, ...]
    """Length of the neutral line up to each corner, and at last its whole length."""

    @property
    def length_mm(self) -> float:
        """Length of the whole neutral line."""
        return self.at_mm[-1]

    def along_mm(self, spot: Spot) -> float:
        """Give the place on the neutral line that lies beside a point. [mm]."""
        side = nearest_side(spot, ring=self.ring)
        start = self.ring[side.index]
        chord = dist(start, self.ring[(side.index + 1) % len(self.ring)])
        share = min(max(side.along_mm / chord, 0.0), 1.0)
        first, last = self.at_mm[side.index], self.at_mm[side.index + 1]
        return first + share * (last - first)


def round_of(inside: Corners, *, off_mm: float) -> Round:
    """Lay a round inside along its neutral line.

    Parameters
    ----------
    inside
        Anticlockwise, smooth.
    off_mm
        From the inside to the neutral line, outwards.
    """
    spots: list[Spot] = []
    steps: list[float] = []
    longest = (0.0, 0.0, 0)
    for piece in pieces(inside):
        if piece.is_straight:
            (ax, ay), (bx, by) = piece.start, piece.end
            middle = (round(piece.chord_mm, 6), round(ay + by, 6), len(spots) + 1)
            longest = max(longest, middle)
            spots += [piece.start, ((ax + bx) / 2.0, (ay + by) / 2.0)]
            steps += [piece.chord_mm / 2.0] * 2
            continue
        count = chord_count(piece.radius_mm, sweep_rad=piece.sweep_rad, error_mm=CHORD_ERROR_MM)
        count += count % 2  # so that the middle of an arc, where a circle has its top, is a corner
        neutral = piece.radius_mm + (off_mm if piece.sweep_rad > 0.0 else -off_mm)
        spots += list(_points(piece.centre, start=piece.start, turn=piece.sweep_rad, count=count))
        steps += [neutral * abs(piece.sweep_rad) / count] * count
    first = longest[2] or max(range(len(spots)), key=lambda at: (round(spots[at][1], 6), -at))
    spots, steps = spots[first:] + spots[:first], steps[first:] + steps[:first]
    return Round(ring=tuple(spots), at_mm=tuple(accumulate(steps, initial=0.0)))


def _points(centre: Spot, *, start: Spot, turn: float, count: int) -> Iterator[Spot]:
    x, y = start[0] - centre[0], start[1] - centre[1]
    for number in range(count):
        angle = turn * number / count
        yield (
            centre[0] + x * cos(angle) - y * sin(angle),
            centre[1] + x * sin(angle) + y * cos(angle),
        )


def bending_grain(sheet: SheetStock) -> str:
    """Give the grain a strip wants that is bent or folded across its length; none for plastic."""
    return "along y" if sheet.material in GRAINED else ""


def lap_mm(thickness_mm: float) -> float:
    """Give the length of a lap."""
    return max(LAP_MM, 5.0 * thickness_mm)


def neutral_of(frame: Frame) -> Round:
    """Give the neutral line of the wall of a round box."""
    return round_of(frame.inside, off_mm=frame.box.sheet.thickness_mm / 2.0)


def _baffle_ends(baffling: Baffling, *, line: Round) -> Iterator[tuple[Stretch, float, float]]:
    """Give each end of a baffle at the wall, from and to along the neutral line."""
    for stretch in baffling.stretches:
        for end in (stretch.first, stretch.last):
            if end.wall is not None:
                at = line.along_mm(end.meets_at)
                half = stretch.baffle.sheet.thickness_mm / 2.0 / end.slant
                yield stretch, at - half, at + half


def wrapped_pieces(frame: Frame, *, baffling: Baffling) -> tuple[list[Piece], bool]:
    """Make the strip of a round box, and tell whether its notch found room."""
    box, line = frame.box, neutral_of(frame)
    lap = lap_mm(box.sheet.thickness_mm)
    whole = line.length_mm + lap
    seated = []
    for led in box.leds:
        if led.seat is Seat.WALL:
            x = line.length_mm - line.along_mm((led.x_mm, led.y_mm))
            seated.append((led, x, frame.under_mm + led.height_mm))
    feet = [
        Outline(
            corners=move(
                strip(end - start, height_mm=one.high_mm - one.low_mm),
                x_mm=line.length_mm - end,
                y_mm=frame.under_mm + one.low_mm,
            ),
            words=f"baffle {one.baffle.name}",
        )
        for one, start, end in _baffle_ends(baffling, line=line)
    ]
    taken = [package_corners(led, x_mm=x, y_mm=y) for led, x, y in seated]
    taken += [foot.corners for foot in feet]
    left = _notch_left(frame, line=line, taken=taken)
    outline, words = (
        strip(whole, height_mm=frame.wall_mm),
        rectangle_words(whole, height_mm=frame.wall_mm),
    )
    notes = [
        "panel edge up",
        f"bend it round the back, this face inside; the right {in_mm(lap)} lap its beginning",
        f"once round it measures {in_mm(line.length_mm)} along the middle of the sheet",
    ]
    if left is not None and box.wire_exit_mm > 0.0:
        high = frame.under_mm + box.wire_exit_mm
        outline = _notched(whole, frame.wall_mm, left, (box.wire_exit_mm, high))
        words += f" with a notch {in_mm(box.wire_exit_mm)} wide and {in_mm(high)} high"
        notes.append("notch for the wires at the back edge: fill it black round them")
    marks = [
        Outline(
            corners=move(strip(lap, height_mm=frame.wall_mm), x_mm=line.length_mm),
            words="lap, glued",
        )
    ]
    wall = replace(
        frame.piece("wall", outline=outline, words=words),
        holes=numbered(
            frame,
            aims=[aim for led, x, y in seated for aim in wire_aims(frame, led=led, x_mm=x, y_mm=y)],
        ),
        seats=tuple(seat_mark(led, x_mm=x, y_mm=y) for led, x, y in seated),
        glued=(*marks, *feet),
        grain=bending_grain(box.sheet),
        notes=(
            *notes,
            f"inside: {finish_of(box, WALLS).name}; outside: black",
            *tilt_notes(led for led, _, _ in seated),
        ),
    )
    return [wall, *_ledges(frame, baffling=baffling)], left is not None


def _notch_left(frame: Frame, *, line: Round, taken: list[Corners]) -> float | None:
    """Find a free place for the notch, from the lowest point on both ways round."""
    width, thick = frame.box.wire_exit_mm, frame.box.sheet.thickness_mm
    if width <= 0.0:
        return 0.0
    if frame.under_mm + width > frame.wall_mm - thick:
        return None
    left_mm, _, right_mm, _ = bounds_mm(frame.inside)
    lowest = min(
        range(len(line.ring)),
        key=lambda at: (
            round(line.ring[at][1], 6),
            abs(line.ring[at][0] - (left_mm + right_mm) / 2.0),
        ),
    )
    middle = line.length_mm - line.at_mm[lowest]
    for step in range(12):
        for way in (step, -step):
            left = middle + way * (width + thick) / 2.0 - width / 2.0
            cut = move(strip(width, height_mm=width + frame.under_mm), x_mm=left)
            if (
                lap_mm(thick) + thick <= left
                and left + width <= line.length_mm - thick
                and all(gap_mm(cut, other=one) >= thick for one in taken)
            ):
                return left
    return None


def _notched(length: float, height: float, left: float, cut: tuple[float, float]) -> Corners:
    width, high = cut
    return tidy(
        polygon(
            (
                (0.0, 0.0),
                (left, 0.0),
                (left, high),
                (left + width, high),
                (left + width, 0.0),
                (length, 0.0),
                (length, height),
                (0.0, height),
            )
        )
    )


def _ledges(frame: Frame, *, baffling: Baffling) -> list[Piece]:
    """Make the ledge of an inner diffuser: a strip inside the wall, cut where baffles stand."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return []
    line = round_of(frame.inside, off_mm=-frame.box.sheet.thickness_mm / 2.0)
    high, low = min(LEDGE_MM, diffuser.height_mm), diffuser.height_mm - LEDGE_MM
    gaps = sorted(
        (start - LEDGE_PLAY_MM, end + LEDGE_PLAY_MM)
        for one, start, end in _baffle_ends(baffling, line=line)
        if one.high_mm > low + ROUNDING_MM and one.low_mm < low + LEDGE_MM - ROUNDING_MM
    )
    stops = [0.0, *(at for gap in gaps for at in gap), line.length_mm]
    parts = list(zip(stops[::2], stops[1::2], strict=True))
    if len(parts) > 1:  # the first and the last are one: the seam of the ledge needs no cut
        parts = [*parts[1:-1], (parts[-1][0], parts[0][1] + line.length_mm)]
    made = []
    for letter, (start, end) in zip("abcdefghijklmnopqrstuvwxyz", parts, strict=False):
        piece = frame.piece(
            f"ledge {letter}" if len(parts) > 1 else "ledge",
            outline=strip(end - start, height_mm=high),
            words=rectangle_words(end - start, height_mm=high),
        )
        note = f"bend it inside the wall, top edge {in_mm(diffuser.height_mm)} above the back"
        made.append(replace(piece, grain=bending_grain(frame.box.sheet), notes=(note,)))
    return made
