"""Pillars of a light box as the solver's: rings that its inside leaves out.

A round pillar comes as chords, as near as round walls; the ring is as long as the pillar is round,
so that it takes up and shades, on the whole, as much light as the pillar does: the mean width of a
convex outline is its length over pi (Cauchy).
"""

from lamphouse.design.lightbox import LightBox, Pillar
from lamphouse.light import scene
from lamphouse.light.shared_walls import WALL_ERROR_MM
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, centroid_mm, length_mm
from lamphouse.shapes.outline import polygon
from lamphouse.shapes.soundness import flaw_of


def ring_of_pillar(pillar: Pillar) -> scene.Ring:
    """Give a pillar as the solver's ring, anticlockwise, as long as its outline."""
    corners = anticlockwise(pillar.outline.corners)
    ring = flatten(corners, error_mm=WALL_ERROR_MM)
    if flaw_of(corners) or not any(bulge for _, _, bulge in corners):
        return ring
    x, y = centroid_mm(corners)
    grown = length_mm(corners) / length_mm(polygon(ring))
    return tuple((x + grown * (a - x), y + grown * (b - y)) for a, b in ring)


def rings_of_pillars(box: LightBox) -> tuple[scene.Ring, ...]:
    """Give all pillars of a box, in its order."""
    return tuple(ring_of_pillar(pillar) for pillar in box.pillars)
