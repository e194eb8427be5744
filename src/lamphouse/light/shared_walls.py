"""Where two boxes stand wall to wall, and whether a passage through that wall fits.

A passage is drawn on the wall of the box that names it. The wall of its neighbour must run along
it, no farther away than both walls are thick, so that a hole through both can be cut.
"""

from collections.abc import Iterator
from enum import StrEnum
from math import dist

from lamphouse.colour.film_spectra import scatters
from lamphouse.design.lightbox import LightBox, Passage
from lamphouse.light import scene
from lamphouse.record import Record, replace
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.sides import Side, nearest_side

WALL_ERROR_MM = 0.1
"""Greatest distance of a round wall from the chords it is solved with."""

SNAP_MM = 0.5
"""An end this near to its wall is meant to lie on it; a wall so much farther off still touches."""

OVER_MM = 0.02
"""A neighbour that reaches over the wall by no more than this is meant to touch it."""

STRAIGHT = 1e-6
"""Greatest sine of the angle between two walls that run along one another."""

LEAST_MM = 0.5
"""A narrower or lower passage is no passage."""


class Flaw(StrEnum):
    """What is wrong with a passage."""

    OFF_WALL = "off its wall"
    APART = "walls apart"
    PAST_END = "past the end of the shared wall"
    HEIGHT = "too low or too high"
    CROSSING = "runs into another"
    CLEAR = "closed by a film that does not scatter"


class Misfit(Record):
    """One reason why a passage cannot be."""

    flaw: Flaw
    passage: Passage
    given_mm: float = 0.0
    """By how much it misses."""
    spots: tuple[scene.Spot, ...] = ()
    """Where its ends should lie at the utmost; the way to move the neighbour for ``APART``."""
    range_mm: tuple[float, float] = (0.0, 0.0)
    """Heights that are allowed."""
    other: str = ""
    """The passage it runs into."""


class Fit(Record):
    """A passage as a hole through the wall between two boxes."""

    passage: Passage
    near_mm: tuple[scene.Spot, scene.Spot]
    """Its ends on the wall of the box that names it."""
    far_mm: tuple[scene.Spot, scene.Spot]
    """The same on the wall of its neighbour."""
    shift_mm: scene.Spot
    """What brings the neighbour's wall onto the wall of the box that names it."""
    gap_mm: float
    """Thickness of the wall between."""
    stretch_mm: tuple[scene.Spot, scene.Spot]
    """Ends of the stretch of wall that both boxes have, on the wall of the box that names it."""


def clear_space(box: LightBox) -> scene.Ring:
    """Give the inside of a box as the solver's outline, anticlockwise."""
    return flatten(anticlockwise(box.inside.corners), error_mm=WALL_ERROR_MM)


def _on(side: Side, *, ring: scene.Ring, along: float) -> scene.Spot:
    (ax, ay), (bx, by) = ring[side.index], ring[(side.index + 1) % len(ring)]
    share = along / dist((ax, ay), (bx, by))
    return (ax + share * (bx - ax), ay + share * (by - ay))


def _length(side: Side, *, ring: scene.Ring) -> float:
    return dist(ring[side.index], ring[(side.index + 1) % len(ring)])


def middle(one: scene.Spot, other: scene.Spot) -> scene.Spot:
    """Give the point halfway between two."""
    return ((one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0)


def _along(side: Side, *, ring: scene.Ring, spot: scene.Spot) -> float:
    ax, ay = ring[side.index]
    nx, ny = side.normal
    return (spot[0] - ax) * ny - (spot[1] - ay) * nx


class _Wall(Record):
    """A wall of the neighbour that runs along a passage's own."""

    gap_mm: float
    """How far beyond it; negative where it reaches over."""
    low_mm: float
    high_mm: float
    """Its ends along the passage's own wall."""


def _facing(
    side: Side, *, ring: scene.Ring, far: scene.Ring, places: list[float]
) -> Iterator[_Wall]:
    """List the neighbour's walls that face a side and lie, in part, across from the passage."""
    (ax, ay), (nx, ny) = ring[side.index], side.normal
    for (bx, by), (cx, cy) in zip(far, (*far[1:], far[0]), strict=True):
        length = dist((bx, by), (cx, cy))
        if length < LEAST_MM:
            continue
        ux, uy = (cx - bx) / length, (cy - by) / length
        # The sides run opposite ways round two boxes that stand wall to wall.
        if abs(ux * nx + uy * ny) > STRAIGHT or ux * ny - uy * nx > 0.0:
            continue
        low, high = sorted(_along(side, ring=ring, spot=end) for end in ((bx, by), (cx, cy)))
        if min(high, places[1]) - max(low, places[0]) > 0.0:
            yield _Wall(gap_mm=-((bx - ax) * nx + (by - ay) * ny), low_mm=low, high_mm=high)


def _height_misfits(passage: Passage, *, box: LightBox, other: LightBox) -> Iterator[Misfit]:
    low = max(0.0, box.depth_mm - other.depth_mm)
    if passage.low_mm < low - 1e-9 or passage.high_mm > box.depth_mm + 1e-9:
        missed = max(low - passage.low_mm, passage.high_mm - box.depth_mm)
    elif passage.high_mm - passage.low_mm < LEAST_MM:
        missed = LEAST_MM - (passage.high_mm - passage.low_mm)
    else:
        return
    yield Misfit(flaw=Flaw.HEIGHT, passage=passage, given_mm=missed, range_mm=(low, box.depth_mm))


def fitted(passage: Passage, *, box: LightBox, other: LightBox) -> Fit | Misfit:
    """Put a passage on the wall that two boxes share, or say why it does not lie there.

    Parameters
    ----------
    passage
        As the maker drew it.
    box, other
        The box that names it and the one it leads into, outlines sound.
    """
    ring, far = clear_space(box), clear_space(other)
    ends = (passage.start_mm, passage.end_mm)
    side = nearest_side(middle(*ends), ring=ring)
    nx, ny = side.normal
    ax, ay = ring[side.index]
    off = max(abs((x - ax) * nx + (y - ay) * ny) for x, y in ends)
    places = sorted(_along(side, ring=ring, spot=end) for end in ends)
    if off > SNAP_MM:
        held = (min(max(place, 0.0), _length(side, ring=ring)) for place in places)
        spots = tuple(_on(side, ring=ring, along=place) for place in held)
        return Misfit(flaw=Flaw.OFF_WALL, passage=passage, given_mm=off, spots=spots)
    walls = list(_facing(side, ring=ring, far=far, places=places))
    if not walls:
        nearest = min(nearest_side(end, ring=far).gap_mm for end in ends)
        return Misfit(flaw=Flaw.APART, passage=passage, given_mm=nearest)
    wall = min(walls, key=lambda one: abs(one.gap_mm))
    thickness = box.sheet.thickness_mm + other.sheet.thickness_mm
    if not -OVER_MM <= wall.gap_mm <= thickness + SNAP_MM:
        away = wall.gap_mm - thickness
        return Misfit(
            flaw=Flaw.APART,
            passage=passage,
            given_mm=abs(wall.gap_mm),
            spots=((nx * away, ny * away),),
        )
    low, high = max(wall.low_mm, 0.0), min(wall.high_mm, _length(side, ring=ring))
    past = max(low - places[0], places[1] - high)
    first, last = max(places[0], low), min(places[1], high)
    if past > SNAP_MM or last - first < LEAST_MM:
        spots = tuple(_on(side, ring=ring, along=place) for place in (low, high))
        return Misfit(flaw=Flaw.PAST_END, passage=passage, given_mm=past, spots=spots)
    near = (_on(side, ring=ring, along=first), _on(side, ring=ring, along=last))
    across = (-nx * wall.gap_mm, -ny * wall.gap_mm)
    return Fit(
        passage=passage,
        near_mm=near,
        far_mm=(
            (near[0][0] + across[0], near[0][1] + across[1]),
            (near[1][0] + across[0], near[1][1] + across[1]),
        ),
        shift_mm=(-across[0], -across[1]),
        gap_mm=max(wall.gap_mm, 0.0),
        stretch_mm=(_on(side, ring=ring, along=low), _on(side, ring=ring, along=high)),
    )


def _cross(one: Fit, *, other: Fit) -> bool:
    """Whether two passages of one box take up the same place of its wall."""
    a, b = one.passage, other.passage
    if min(a.high_mm, b.high_mm) - max(a.low_mm, b.low_mm) <= 1e-6:
        return False
    (ax, ay), (bx, by) = one.near_mm
    length = dist(*one.near_mm)
    ux, uy = (bx - ax) / length, (by - ay) / length
    spots = [(x - ax, y - ay) for x, y in other.near_mm]
    if max(abs(x * uy - y * ux) for x, y in spots) > 1e-3:
        return False
    along = sorted(x * ux + y * uy for x, y in spots)
    return min(along[1], length) - max(along[0], 0.0) > 1e-6


def _coming_back(box: LightBox, *, other: LightBox) -> Iterator[Fit]:
    """Give the passages that a neighbour names into a box, as that box sees them."""
    rise = box.depth_mm - other.depth_mm
    for passage in other.passages:
        if passage.into == box.name:
            found = fitted(passage, box=other, other=box)
            if isinstance(found, Fit):
                raised = replace(
                    passage, low_mm=passage.low_mm + rise, high_mm=passage.high_mm + rise
                )
                yield replace(found, passage=raised, near_mm=found.far_mm, far_mm=found.near_mm)


def look_at_passages(
    box: LightBox, *, beside: tuple[LightBox, ...]
) -> tuple[tuple[Fit, ...], tuple[Misfit, ...]]:
    """Sort the passages a box names into those that fit and what is wrong with the others.

    Passages into boxes that are not beside it are left to the reader of the project.
    """
    fits: list[Fit] = []
    misfits: list[Misfit] = []
    named = {one.name: one for one in beside}
    for passage in box.passages:
        if passage.into not in named:
            continue
        found = fitted(passage, box=box, other=named[passage.into])
        wrong = list(_height_misfits(passage, box=box, other=named[passage.into]))
        if passage.film is not None and not scatters(passage.film):
            wrong.append(Misfit(flaw=Flaw.CLEAR, passage=passage))
        if isinstance(found, Misfit):
            wrong.append(found)
        else:
            wrong += [
                Misfit(flaw=Flaw.CROSSING, passage=passage, other=fit.passage.name)
                for fit in (*fits, *_coming_back(box, other=named[passage.into]))
                if _cross(fit, other=found)
            ]
        if wrong or isinstance(found, Misfit):
            misfits.extend(wrong)
        else:
            fits.append(found)
    return tuple(fits), tuple(misfits)
