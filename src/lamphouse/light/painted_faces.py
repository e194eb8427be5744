"""The painted faces of a light box: how large they are, and what they throw back on the mean.

The mean goes by area alone, wherever a face lies: right where light has been thrown about often
enough to fall on all faces alike, as in a sphere.
"""

from math import dist

import numpy as np

from lamphouse.catalogue.finishes import Finish
from lamphouse.colour.film_spectra import finish_spectrum
from lamphouse.colour.spectrum import Array
from lamphouse.design.box_faces import (
    BACK,
    PANEL,
    baffle_finish,
    edge_finishes,
    finish_of,
    finishes_in,
    pillar_finish,
)
from lamphouse.design.lightbox import LightBox
from lamphouse.light.box_scene import baffles_of, kinds_of
from lamphouse.light.cover import area_of
from lamphouse.light.layer_stack import paint_share
from lamphouse.light.scene import Box
from lamphouse.light.uprights import direction
from lamphouse.shapes.measure import length_mm


def floor_mm2(scene: Box) -> float:
    """Give the area of the inside in plan, less that of its pillars. [mm2]."""
    return (abs(direction(scene.outline)) - sum(abs(direction(one)) for one in scene.holes)) / 2.0


def painted_mm2(box: LightBox, *, scene: Box) -> tuple[tuple[Finish, float], ...]:
    """List painted faces with finish and area: no openings, baffles on both sides. [mm2].

    Under the feet of pillars nothing is painted.
    """
    floor = floor_mm2(scene)
    panel = max(floor - sum(area_of(aperture.shape) for aperture in scene.apertures), 0.0)
    ends = zip(scene.outline, (*scene.outline[1:], scene.outline[0]), strict=True)
    walls = zip(edge_finishes(box, ring=scene.outline), ends, strict=True)
    baffles = baffles_of(box, paint=lambda finish: finish.reflectance)
    return (
        (finish_of(box, BACK), floor),
        (finish_of(box, PANEL), panel),
        *((finish, dist(*edge) * scene.depth_mm) for finish, edge in walls),
        *(
            (
                baffle_finish(box, box.baffles[number]),
                2.0 * dist(part.start_mm, part.end_mm) * (part.high_mm - part.low_mm),
            )
            for number, part in baffles
        ),
        *(
            (pillar_finish(box, pillar), length_mm(pillar.outline.corners) * scene.depth_mm)
            for pillar in box.pillars
        ),
    )


def mean_paint(box: LightBox, *, scene: Box) -> Array:
    """Give the mean reflectance of a box's painted faces by their areas, along the grid. (81,)."""
    usual = finishes_in(box)
    if len(usual) == 1:
        return finish_spectrum(usual[0])
    faces = painted_mm2(box, scene=scene)
    whole = sum(area for _, area in faces)
    return np.asarray(sum(finish_spectrum(finish) * (area / whole) for finish, area in faces))


def mean_grey(box: LightBox, *, scene: Box) -> float:
    """Give the same as one number: in the light of its own LEDs, as the solver has each face."""
    if len(finishes_in(box)) == 1:
        return scene.back_reflectance
    faces, lamps = painted_mm2(box, scene=scene), kinds_of(box)
    whole = sum(area for _, area in faces)
    return sum(paint_share(finish, lamps=lamps) * (area / whole) for finish, area in faces)
