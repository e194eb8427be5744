"""A panel's openings and strand holes in the plane, told apart by how they are made.

Terminology
-----------
spot
    One thing that goes through the panel: an opening or the hole of a strand.
drilled, cut
    Small round spots are drilled; all others are cut with the knife.
"""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.drill import Aim, drill_for_round, drill_for_strand, wanted_hole_mm
from lamphouse.design.panel import Opening, Panel
from lamphouse.design.strand import Strand
from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, circle, circle_of
from lamphouse.shapes.soundness import Flaw, flaw_of


class Spot(Record):
    """One thing that goes through a panel."""

    name: str
    """As a sentence names it: ``opening 'screen'`` or ``strand 'G3'``."""
    where: Where
    corners: Corners
    """Anticlockwise, in the panel plane."""
    aim: Aim | None
    """The hole to drill; None when it is cut, or when no drill makes it."""
    strand: bool
    """Whether a strand comes out of it."""
    words: str = ""
    """The shape in the maker's words; empty for a strand."""
    label: str = ""
    """The opening's bare name; empty for a strand."""

    @property
    def is_cut(self) -> bool:
        """Whether it is cut with the knife."""
        return self.aim is None and not self.strand


class Flawed(Record):
    """An outline that cannot be cut, with the reason."""

    name: str
    where: Where
    flaw: Flaw


class Layout(Record):
    """A panel with everything that goes through it."""

    panel: Panel
    edge: Corners
    """The panel's outline, anticlockwise; meaningless when ``flawed`` names the panel itself."""
    openings: tuple[Spot, ...]
    """The sound openings, in the order of the project."""
    strands: tuple[Spot, ...]
    flawed: tuple[Flawed, ...]
    """The panel and the openings whose outlines are not sound."""

    @property
    def has_edge(self) -> bool:
        """Whether the panel's own outline is sound."""
        return all(entry.where != self.panel.where for entry in self.flawed)

    @property
    def spots(self) -> tuple[Spot, ...]:
        """Everything that goes through: openings, then strands."""
        return self.openings + self.strands


def _opening_spot(opening: Opening, *, drills: Sequence[Drill]) -> Spot:
    """Lay out one sound opening."""
    corners = anticlockwise(opening.outline.corners)
    ring = circle_of(corners)
    drill = drill_for_round(ring.diameter_mm, drills=drills) if ring else None
    aim = None
    if ring and drill:
        aim = Aim(
            purpose=opening.name,
            where=opening.where,
            x_mm=ring.x_mm,
            y_mm=ring.y_mm,
            wanted_mm=ring.diameter_mm,
            drill=drill,
        )
    return Spot(
        name=f"opening '{opening.name}'",
        where=opening.where,
        corners=corners,
        aim=aim,
        strand=False,
        words=opening.outline.words,
        label=opening.name,
    )


def _strand_spot(strand: Strand, *, drill: Drill | None) -> Spot:
    """Lay out the hole of one strand, as wide as its drill makes it."""
    aim = None
    if drill:
        aim = Aim(
            purpose=strand.name,
            where=strand.where,
            x_mm=strand.x_mm,
            y_mm=strand.y_mm,
            wanted_mm=wanted_hole_mm(strand),
            drill=drill,
        )
    diameter = drill.diameter_mm if drill else wanted_hole_mm(strand)
    return Spot(
        name=f"strand '{strand.name}'",
        where=strand.where,
        corners=circle(diameter, x_mm=strand.x_mm, y_mm=strand.y_mm),
        aim=aim,
        strand=True,
    )


def lay_out_panel(panel: Panel, *, strands: Sequence[Strand], drills: Sequence[Drill]) -> Layout:
    """Lay out a panel's openings and strand holes.

    Parameters
    ----------
    panel
        Flat, or curved and developed along its inner face.
    strands
        Those that come out of it.
    drills
        The drills there are.
    """
    flawed = []
    edge = panel.outline.corners
    edge_flaw = flaw_of(edge)
    if edge_flaw:
        name = f"panel '{panel.name}'"
        flawed.append(Flawed(name=name, where=panel.where, flaw=edge_flaw))
    openings = []
    for opening in panel.openings:
        flaw = flaw_of(opening.outline.corners)
        if flaw:
            name = f"opening '{opening.name}'"
            flawed.append(Flawed(name=name, where=opening.where, flaw=flaw))
        else:
            openings.append(_opening_spot(opening, drills=drills))
    # most strands of a panel are of one fibre and want the same hole
    alike = {(strand.fibre, strand.hole_mm): strand for strand in strands}
    chosen = {wanted: drill_for_strand(one, drills=drills) for wanted, one in alike.items()}
    return Layout(
        panel=panel,
        edge=edge if edge_flaw else anticlockwise(edge),
        openings=tuple(openings),
        strands=tuple(
            _strand_spot(strand, drill=chosen[strand.fibre, strand.hole_mm]) for strand in strands
        ),
        flawed=tuple(flawed),
    )
