"""Where pillars stand in a light box: their feet, and the strands that run through them."""

from collections.abc import Iterable

from lamphouse.design.lightbox import LightBox, Pillar
from lamphouse.design.panel import Outline
from lamphouse.design.strand import Strand
from lamphouse.record import replace
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Spot, circle
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure

ROUND_ERROR_MM = 0.01
"""Greatest distance between a round pillar and the chords that baffles are cut to."""


def sound_pillars(box: LightBox) -> tuple[Pillar, ...]:
    """Give the pillars whose outlines can be cut."""
    return tuple(pillar for pillar in box.pillars if flaw_of(pillar.outline.corners) is None)


def ring_of(pillar: Pillar) -> tuple[Spot, ...]:
    """Give a sound pillar's outline as chords, anticlockwise."""
    return flatten(anticlockwise(pillar.outline.corners), error_mm=ROUND_ERROR_MM)


def marks_of(box: LightBox) -> list[Outline]:
    """Give the feet of the sound pillars of a box, in the panel plane, as they are marked."""
    return [
        replace(pillar.outline, words=f"pillar {pillar.name}", diameter_mm=None)
        for pillar in sound_pillars(box)
    ]


def runs_in(strand: Strand, *, pillar: Pillar) -> bool:
    """Tell whether a strand comes to the panel inside a sound pillar, as through a tube."""
    fibre = circle(strand.fibre.diameter_mm, x_mm=strand.x_mm, y_mm=strand.y_mm)
    return Enclosure(pillar.outline.corners).margin_mm(fibre) >= 0.0


def parted_strands(
    strands: Iterable[Strand], *, box: LightBox
) -> tuple[tuple[Strand, ...], tuple[Strand, ...]]:
    """Part strands into those that run free through a box and those that run in its pillars."""
    free: list[Strand] = []
    piped: list[Strand] = []
    pillars = sound_pillars(box)
    for strand in strands:
        inside = any(runs_in(strand, pillar=pillar) for pillar in pillars)
        (piped if inside else free).append(strand)
    return tuple(free), tuple(piped)
