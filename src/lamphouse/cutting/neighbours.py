"""Spots of a panel that lie close together or stick out over its edge."""

from collections.abc import Iterable, Iterator

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.layout import Layout, Spot
from lamphouse.cutting.mends import bring_inside, in_mm
from lamphouse.findings import Told
from lamphouse.record import Record
from lamphouse.shapes.measure import size_mm
from lamphouse.shapes.spacing import Enclosure, close_pairs


class Neighbours(Record):
    """Two spots of one panel that lie close together."""

    spot: Spot
    """The later of the two in the project."""
    other: Spot
    gap_mm: float
    """From edge to edge; 0 or less where they touch or overlap."""
    thickness_mm: float
    """Of the panel's sheet."""

    @property
    def touch(self) -> bool:
        """Whether they touch or overlap."""
        return self.gap_mm <= ROUNDING_MM

    @property
    def by_knife(self) -> bool:
        """Whether one of them is cut with the knife."""
        return self.spot.is_cut or self.other.is_cut

    @property
    def land_mm(self) -> float:
        """Sheet wanted between them: one thickness beside a cut, else the mean diameter."""
        if self.by_knife:
            return self.thickness_mm
        return (_width_mm(self.spot) + _width_mm(self.other)) / 2.0


def _width_mm(spot: Spot) -> float:
    """Width of a spot, the diameter of a drilled one. [mm]."""
    return size_mm(spot.corners)[0]


def neighbours(layout: Layout) -> tuple[Neighbours, ...]:
    """Find all pairs of spots that touch or leave less sheet between them than they should.

    Each pair may be told by one rule; which one, its spots decide.
    """
    spots = layout.spots
    thickness = layout.panel.sheet.thickness_mm
    reach = max([thickness, *(_width_mm(spot) for spot in spots if not spot.is_cut)])
    pairs = (
        Neighbours(
            spot=spots[pair.later],
            other=spots[pair.earlier],
            gap_mm=pair.gap_mm,
            thickness_mm=thickness,
        )
        for pair in close_pairs([spot.corners for spot in spots], nearer_than_mm=reach)
    )
    return tuple(pair for pair in pairs if pair.gap_mm < pair.land_mm - ROUNDING_MM)


def worst(pairs: Iterable[Neighbours]) -> Iterator[Neighbours]:
    """Keep the first, and so the nearest, pair of each later spot."""
    last: Spot | None = None
    for pair in pairs:
        if pair.spot is not last:
            yield pair
        last = pair.spot


def over_the_edge(spots: Iterable[Spot], *, layout: Layout, edge: Enclosure) -> Iterator[Told]:
    """Tell of each spot that sticks out over the panel's edge, by how far, and where it fits."""
    for spot in spots:
        margin = edge.margin_mm(spot.corners)
        if margin > ROUNDING_MM:
            continue
        yield Told(
            where=spot.where,
            message=f"{spot.name} sticks out over the edge of its panel by {in_mm(-margin)}"
            if margin < -ROUNDING_MM
            else f"{spot.name} breaks out through the edge of its panel",
            remedy=bring_inside(
                spot.corners, outer=edge, margin_by_mm=layout.panel.sheet.thickness_mm
            ),
        )
