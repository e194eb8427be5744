"""The former a wall is bent over: ribs with the wall's inner radius, and uprights that cross them.

Terminology
-----------
rib
    A level piece whose round edge has the radius of the wall's inner face at its height.
upright
    A standing piece, square to the ribs, that holds them apart. It stays behind their edges.
back
    The side away from the wall's middle. Slots of ribs open to the back, slots of uprights to the
    front, and both meet halfway.

A rib of a cone is as narrow as the face at its narrower side, so that no edge stands proud. The
round edge goes on past the ends of the wall. Nothing is taken off the radius for spring-back: how
far a layer opens depends on the sheet, the glue and the time it is bound [PRACTICE].
"""

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, ceil, cos, pi, radians, sin, sqrt, tan

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.cutting.frame import tidy
from lamphouse.cutting.lamination import MARK_MM
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.piece import Piece
from lamphouse.design.panel import Curve, Outline, Panel
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, polygon
from lamphouse.shapes.transform import move

RIB_STEP_MM = 30.0
"""Greatest length of sheet between ribs, along the slope [PRACTICE]."""
UPRIGHT_STEP_MM = 70.0
"""Greatest space between uprights [PRACTICE]."""
MOST_RIBS, MOST_UPRIGHTS = 40, 21
"""More only in walls that no hand bends; there they stand farther apart."""
PAST_MM = 3.0
"""What the round edge goes on past each end of the wall."""
BODY_MM = 15.0
"""What is left of a rib behind the ends of its round edge."""
BEHIND_MM = 2.0
"""How far uprights stay behind the round edge."""
PLAY_MM = 0.1
"""What a slot is wider than the sheet is thick [PRACTICE]."""
LEAST_DEPTH_MM = 8.0
"""A rib that is not this deep at a place carries no upright there."""
LEAST_HEIGHT = 3.0
"""A wall is at least this many thicknesses of its former's sheet high."""


Part = tuple[str, Corners, str, tuple[Corners, ...]]
"""Name, outline in its place, note, and marks of one piece."""


class Rib(Record):
    """One rib in its place."""

    low_mm: float
    """Of its lower face, above the wall's lower edge."""
    radius_mm: float
    half_rad: float
    """Half the angle of its round edge; pi for a whole disc."""
    back_mm: float
    """Where its straight back is, towards the front; of no use to a whole disc."""

    @property
    def end_mm(self) -> tuple[float, float]:
        """Right end of the round edge."""
        return self.radius_mm * sin(self.half_rad), self.radius_mm * cos(self.half_rad)

    @property
    def is_open(self) -> bool:
        """Whether its round edge is no more than a half circle."""
        return self.half_rad <= pi / 2.0

    @property
    def half_wide_mm(self) -> float:
        """Half its width."""
        return self.end_mm[0] if self.is_open else self.radius_mm

    def front_at_mm(self, x_mm: float) -> float:
        """Give the round edge in front of a place across."""
        return sqrt(max(self.radius_mm**2 - x_mm**2, 0.0))

    def back_at_mm(self, x_mm: float) -> float:
        """Give the edge behind a place across."""
        if self.is_open or abs(x_mm) < self.end_mm[0]:
            return self.back_mm
        return -self.front_at_mm(x_mm)

    def depth_at_mm(self, x_mm: float) -> float:
        """Give how deep it is there; 0 beside it."""
        if abs(x_mm) >= self.half_wide_mm:
            return 0.0
        return self.front_at_mm(x_mm) - self.back_at_mm(x_mm)

    def halfway_mm(self, x_mm: float) -> float:
        """Give where the slots meet, halfway between back and front."""
        return (self.front_at_mm(x_mm) + self.back_at_mm(x_mm)) / 2.0


class Former(Record):
    """Ribs and uprights in their places, and which carries which."""

    sheet: SheetStock
    ribs: tuple[Rib, ...]
    """From below."""
    uprights: tuple[tuple[float, tuple[int, ...]], ...]
    """Place across of each, from the left, with the ribs it carries, by their places in ``ribs``.
    """


def former_of(curve: Curve) -> Former | None:
    """Plan a former; None where none was asked for, or none can be made."""
    sheet = curve.former
    if sheet is None or height_mm(curve) < LEAST_HEIGHT * sheet.thickness_mm:
        return None
    ribs = _ribs(curve, sheet.thickness_mm)
    if not ribs:
        return None
    widest = max(rib.half_wide_mm for rib in ribs)
    count = min(2 * ceil(widest / UPRIGHT_STEP_MM) + 1, MOST_UPRIGHTS)
    places = [widest * (2.0 * (index + 0.5) / count - 1.0) for index in range(count)]
    reach = (sheet.thickness_mm + PLAY_MM) / 2.0
    uprights = []
    for x in places:
        carried = tuple(
            number
            for number, rib in enumerate(ribs)
            if min(rib.depth_at_mm(x - reach), rib.depth_at_mm(x + reach)) >= LEAST_DEPTH_MM
        )
        if len(carried) > 1:
            uprights.append((x, carried))
    kept = sorted({number for _, carried in uprights for number in carried})
    if len(kept) < 2:
        return None
    renumbered = {number: place for place, number in enumerate(kept)}
    return Former(
        sheet=sheet,
        ribs=tuple(ribs[number] for number in kept),
        uprights=tuple((x, tuple(renumbered[n] for n in carried)) for x, carried in uprights),
    )


def height_mm(curve: Curve) -> float:
    """Give how high a wall stands."""
    return curve.along_mm * cos(radians(curve.slope_deg))


def _ribs(curve: Curve, thick_mm: float) -> list[Rib]:
    high = height_mm(curve)
    most = max(2, int(high / (2.0 * thick_mm)))
    count = min(max(2, ceil(curve.along_mm / RIB_STEP_MM) + 1), most, MOST_RIBS)
    fall = tan(radians(curve.slope_deg))
    places = []
    for index in range(count):
        low = index * (high - thick_mm) / (count - 1)
        narrow = curve.inner_radius_mm - max(low * fall, (low + thick_mm) * fall)
        if narrow > 0.0:
            places.append((low, narrow))
    half = min(radians(curve.angle_deg) / 2.0, pi)
    if curve.angle_deg < 360.0:
        half = min(half + PAST_MM / curve.inner_radius_mm, pi)
    flat_back = min((radius * cos(half) for _, radius in places), default=0.0) - BODY_MM
    return [
        Rib(
            low_mm=low,
            radius_mm=radius,
            half_rad=half,
            back_mm=flat_back if half <= pi / 2.0 else radius * cos(half),
        )
        for low, radius in places
    ]


def former_pieces(panel: Panel, *, sub_assembly: str) -> tuple[Piece, ...]:
    """Make the flat pieces of a wall's former, equal ones once with their number.

    A panel that is flat or has no former gives none.
    """
    former = former_of(panel.curve) if panel.curve else None
    if former is None:
        return ()
    parts = (*rib_parts(former), *upright_parts(former))
    start = Piece(
        name=f"{sub_assembly} / {panel.name} former",
        where=panel.where,
        sub_assembly=sub_assembly,
        sheet=former.sheet,
        outline=panel.outline,
        face="either side",
    )
    return tuple(_counted([_piece(start, part) for part in parts]))


def _piece(start: Piece, part: Part) -> Piece:
    name, corners, note, marks = part
    left, bottom, right, top = bounds_mm(corners)
    moved = tidy(move(corners, x_mm=-left, y_mm=-bottom))
    words = f"{sides_mm(right - left, height_mm=top - bottom)} over all"
    outline = Outline(corners=moved, words=words)
    middles = tuple(
        Outline(corners=tidy(move(mark, x_mm=-left, y_mm=-bottom)), words="middle")
        for mark in marks
    )
    return replace(
        start, name=f"{start.name} / {name}", outline=outline, glued=middles, notes=(note,)
    )


def _counted(pieces: list[Piece]) -> Iterator[Piece]:
    """Put equal pieces together; the notes of all stand on the one that is drawn."""
    alike: dict[Corners, list[Piece]] = {}
    for piece in pieces:
        alike.setdefault(piece.outline.corners, []).append(piece)
    for same in alike.values():
        notes = tuple(dict.fromkeys(note for piece in same for note in piece.notes))
        first, _, _ = same[0].name.rpartition(" ")
        name = f"{first} {_numbers([int(p.name.rpartition(' ')[2]) for p in same])}"
        yield replace(same[0], name=name, count=len(same), notes=notes)


def _numbers(numbers: list[int]) -> str:
    """Write numbers that rise: ``2``, ``1 to 5``, ``2 and 4``."""
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{numbers[0]} to {numbers[-1]}"
    return " and ".join(str(number) for number in numbers)


def rib_parts(former: Former) -> Iterator[Part]:
    """Give the ribs seen from above: x across, y to the front, the axis of the bend at 0, 0."""
    wide = former.sheet.thickness_mm + PLAY_MM
    for number, rib in enumerate(former.ribs):
        slots = [x for x, carried in former.uprights if number in carried]
        corners = _open_rib(rib, slots, wide) if rib.is_open else _round_rib(rib, slots, wide)
        note = f"round edge to a radius of {in_mm(rib.radius_mm)}"
        tip = rib.radius_mm
        spots = ((0.0, tip), (-MARK_MM / 3.0, tip - MARK_MM), (MARK_MM / 3.0, tip - MARK_MM))
        yield f"rib {number + 1}", corners, note, (polygon(spots),)


def _slot(rib: Rib, x: float, wide: float) -> list[tuple[float, float, float]]:
    """Go into a slot and out again, from the left."""
    left, right, end = x - wide / 2.0, x + wide / 2.0, rib.halfway_mm(x)
    return [
        (left, rib.back_at_mm(left), 0.0),
        (left, end, 0.0),
        (right, end, 0.0),
        (right, rib.back_at_mm(right), 0.0),
    ]


def _open_rib(rib: Rib, slots: list[float], wide: float) -> Corners:
    """Go round a rib whose round edge is at most a half circle."""
    x, y = rib.end_mm
    back = [corner for place in slots for corner in _slot(rib, place, wide)]
    return (
        (-x, rib.back_mm, 0.0),
        *back,
        (x, rib.back_mm, 0.0),
        (x, y, tan(rib.half_rad / 2.0)),
        (-x, y, 0.0),
    )


def _round_rib(rib: Rib, slots: list[float], wide: float) -> Corners:
    """Go round a rib whose round edge is more than a half circle, or whole."""
    across, low = rib.end_mm
    spots: list[tuple[float, float, float]] = [(-rib.radius_mm, 0.0, 0.0)]
    ends = [(-across, low, 0.0), (across, low, 0.0)] if across > PLAY_MM else []
    marks: list[tuple[float, list[tuple[float, float, float]]]] = [
        (x, _slot(rib, x, wide)) for x in slots
    ]
    marks += [(end[0], [end]) for end in ends if all(abs(end[0] - x) > wide / 2.0 for x in slots)]
    for _, corners in sorted(marks, key=lambda mark: mark[0]):
        spots += corners
    spots.append((rib.radius_mm, 0.0, 0.0))
    bulges = [_bulge(rib, start[:2], end[:2]) for start, end in pairwise(spots)]
    return (
        *((x, y, bulge) for (x, y, _), bulge in zip(spots, bulges, strict=False)),
        (rib.radius_mm, 0.0, 1.0),
    )


def _bulge(rib: Rib, start: tuple[float, float], end: tuple[float, float]) -> float:
    """Give the bulge between two places of the back: of the circle where both lie on it."""
    on_circle = all(
        abs(sqrt(x * x + y * y) - rib.radius_mm) < 1e-9 * rib.radius_mm for x, y in (start, end)
    )
    across = rib.end_mm[0]
    both_beside = on_circle and (
        max(start[0], end[0]) <= -across + 1e-9 or min(start[0], end[0]) >= across - 1e-9
    )
    if not both_beside:
        return 0.0
    sweep = (atan2(end[1], end[0]) - atan2(start[1], start[0])) % (2.0 * pi)
    return tan(sweep / 4.0)


def upright_parts(former: Former) -> Iterator[Part]:
    """Give the uprights seen from the right: x to the front, y up from the wall's lower edge."""
    for number, (x, carried) in enumerate(former.uprights, start=1):
        ribs = [former.ribs[place] for place in carried]
        names = f"rib {carried[0] + 1} to {carried[-1] + 1}"
        yield f"upright {number}", _upright(former, x, ribs), f"carries {names}", ()


def _upright(former: Former, x: float, ribs: list[Rib]) -> Corners:
    """Go round an upright: its front to the right, its foot below."""
    thick = former.sheet.thickness_mm
    outer = abs(x) + thick / 2.0
    front: list[tuple[float, float]] = []
    back: list[tuple[float, float]] = []
    for place, rib in enumerate(ribs):
        low = rib.low_mm - (PLAY_MM / 2.0 if place else 0.0)
        high = rib.low_mm + thick + (PLAY_MM / 2.0 if place < len(ribs) - 1 else 0.0)
        edge, mid = rib.front_at_mm(outer) - BEHIND_MM, rib.halfway_mm(x)
        behind = rib.back_at_mm(outer)
        if behind != rib.back_mm:  # on the round edge there too
            behind += BEHIND_MM
        front += [(edge, low)] if place else []
        front += [(mid, low), (mid, high)]
        front += [(edge, high)] if place < len(ribs) - 1 else []
        back += [(behind, low), (behind, high)]
    return tuple((*spot, 0.0) for spot in (*front, *reversed(back)))
