"""A traced part with places of it moved by hand, and where all of it lies in its picture."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.shapes import measure
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners, circle
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.transform import move
from lamphouse.trace.against import off_outline
from lamphouse.trace.scales import Scale
from lamphouse.trace.traced import Deviation, TracedPart, deviation, in_pixels

OUTLINE = 0
"""Number of the outer edge; holes follow from 1."""
_STEP_MM = 0.1
"""Over this a place's way in the picture is measured."""


class Nudge(Record):
    """One place moved by hand."""

    piece: int
    """:data:`OUTLINE`, or the number of a hole."""
    corner: int | None
    """Which corner of it; None for a whole hole."""
    right_mm: float
    up_mm: float


class Chosen(Record):
    """The drill that the maker says a hole was made with."""

    drill: str
    diameter_mm: float


class Shape(Record):
    """An outline or a hole after all nudges."""

    corners: Corners
    diameter_mm: float | None = None
    """When it is a round hole."""
    drill: str = ""


class Nudged(Record):
    """A traced part after all nudges, its lower left corner where tracing had it."""

    pieces: tuple[Shape, ...]
    """The outline, then the holes."""
    moved: Mapping[tuple[int, int | None], float]
    """How far each place lies from where it was traced, piece and corner to mm; those that came
    back are not in it."""
    fit: Deviation
    """How far the edge in the picture lies from it."""

    @property
    def most_mm(self) -> float:
        """Give the farthest that a place was moved."""
        return max(self.moved.values(), default=0.0)

    @property
    def words(self) -> str:
        """Say what was moved by hand; empty when nothing was."""
        count = len(self.moved)
        if not count:
            return ""
        places = "1 place was" if count == 1 else f"{count} places were"
        return f"{places} moved by hand, by at most {self.most_mm:.2f} mm"

    def from_corner(self) -> tuple[Shape, ...]:
        """Give the pieces with the outline's lower left corner at 0, 0."""
        left, bottom, _, _ = measure.bounds_mm(self.pieces[0].corners)
        return tuple(
            Shape(
                corners=move(one.corners, x_mm=-left, y_mm=-bottom),
                diameter_mm=one.diameter_mm,
                drill=one.drill,
            )
            for one in self.pieces
        )


def nudged(
    part: TracedPart, *, nudges: Sequence[Nudge], chosen: Mapping[int, Chosen] | None = None
) -> Nudged:
    """Move places of a traced part.

    Parameters
    ----------
    part
        As traced.
    nudges
        In any order; those of one place add up.
    chosen
        Drills of round holes, by the number of the hole.

    Raises
    ------
    ValueError
        If there is no such place, or an outline would cross itself; the words say which.
    """
    pieces = _pieces(part, chosen or {})
    by: dict[tuple[int, int | None], NDArray[np.float64]] = {}
    for nudge in nudges:
        _check(pieces, nudge)
        place = (nudge.piece, nudge.corner)
        by[place] = by.get(place, np.zeros(2)) + np.array((nudge.right_mm, nudge.up_mm))
    for (piece, corner), (right, up) in by.items():
        pieces[piece] = _moved(pieces[piece], corner, float(right), float(up))
    for number in {piece for piece, _ in by}:
        flaw = flaw_of(pieces[number].corners)
        if flaw is not None:
            name = "the outline" if number == OUTLINE else f"hole {number}"
            crossed = f"moved so, {name} {flaw.words}"
            raise ValueError(crossed)
    far = {place: float(np.hypot(*way)) for place, way in by.items()}
    off = [
        off_outline(edge, outline=shape.corners)
        for edge, shape in zip(part.edges_mm, pieces, strict=True)
    ]
    return Nudged(
        pieces=tuple(pieces),
        moved={place: way for place, way in far.items() if way > 1e-6},
        fit=deviation(np.concatenate(off)) if by else part.deviation,
    )


def _pieces(part: TracedPart, chosen: Mapping[int, Chosen]) -> list[Shape]:
    pieces = [Shape(corners=part.corners)]
    for number, hole in enumerate(part.holes, start=1):
        if hole.round is None:
            pieces.append(Shape(corners=hole.corners))
            continue
        pick = chosen.get(number)
        diameter = pick.diameter_mm if pick else hole.round.diameter_mm
        x, y = hole.round.x_mm, hole.round.y_mm
        pieces.append(
            Shape(
                corners=circle(diameter, x_mm=x, y_mm=y),
                diameter_mm=diameter,
                drill=pick.drill if pick else hole.round.drill,
            )
        )
    return pieces


def _check(pieces: Sequence[Shape], nudge: Nudge) -> None:
    is_there = 0 <= nudge.piece < len(pieces)
    if is_there and nudge.corner is None:
        is_there = nudge.piece != OUTLINE
    elif is_there and nudge.corner is not None:
        shape = pieces[nudge.piece]
        is_there = shape.diameter_mm is None and 0 <= nudge.corner < len(shape.corners)
    if not is_there:
        lost = "there is no such place on the part"
        raise ValueError(lost)


def _moved(shape: Shape, corner: int | None, right: float, up: float) -> Shape:
    if corner is None:
        corners = move(shape.corners, x_mm=right, y_mm=up)
    else:
        x, y, bulge = shape.corners[corner]
        changed = (x + right, y + up, bulge)
        corners = (*shape.corners[:corner], changed, *shape.corners[corner + 1 :])
    return Shape(corners=corners, diameter_mm=shape.diameter_mm, drill=shape.drill)


class Handle(Record):
    """A place that can be moved, in the picture."""

    piece: int
    corner: int | None
    x_mm: float
    y_mm: float
    column: float
    row: float
    by_right: tuple[float, float]
    """Columns and rows it moves by for 1 mm to the right."""
    by_up: tuple[float, float]
    """Columns and rows it moves by for 1 mm upwards."""


class Drawn(Record):
    """A piece as it lies in the picture."""

    piece: int
    is_round: bool
    spots: NDArray[np.float64]
    """(n, 2) columns and rows along it."""
    handles: tuple[Handle, ...]


def in_picture(part: TracedPart, *, scale: Scale, pieces: Sequence[Shape]) -> tuple[Drawn, ...]:
    """Find where the pieces of a part lie in the picture it was traced from."""
    return tuple(_drawn(part, scale, number, one) for number, one in enumerate(pieces))


def _drawn(part: TracedPart, scale: Scale, number: int, shape: Shape) -> Drawn:
    line = np.array(flatten(shape.corners, error_mm=part.pixel_mm / 4.0))
    places: list[tuple[int | None, float, float]]
    if number == OUTLINE or shape.diameter_mm is None:
        places = [(at, x, y) for at, (x, y, _) in enumerate(shape.corners)]
    else:
        places = [(None, *measure.centroid_mm(shape.corners))]
    spots = np.array([(x, y) for _, x, y in places])
    here = in_pixels(part, scale, spots)
    right = (in_pixels(part, scale, spots + np.array((_STEP_MM, 0.0))) - here) / _STEP_MM
    up = (in_pixels(part, scale, spots + np.array((0.0, _STEP_MM))) - here) / _STEP_MM
    return Drawn(
        piece=number,
        is_round=shape.diameter_mm is not None,
        spots=in_pixels(part, scale, line),
        handles=tuple(
            Handle(
                piece=number,
                corner=corner,
                x_mm=x,
                y_mm=y,
                column=float(here[at, 0]),
                row=float(here[at, 1]),
                by_right=(float(right[at, 0]), float(right[at, 1])),
                by_up=(float(up[at, 0]), float(up[at, 1])),
            )
            for at, (corner, x, y) in enumerate(places)
        ),
    )
