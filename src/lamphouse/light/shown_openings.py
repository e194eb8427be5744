"""Openings and inner diffusers as they are lit without strands: by each LED, by all, and where.

What is seen of them, and how bright each of their parts is as it was solved.
"""

from functools import lru_cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.lightbox import Seat
from lamphouse.light import glow
from lamphouse.light.box_scene import RIM_ERROR_MM, Drawn
from lamphouse.light.cover import contains
from lamphouse.light.emitter import falling
from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.scene import Aperture, Box, Diffuser, Lamp, Patch
from lamphouse.light.sound_box import Kind, faults
from lamphouse.light.step_size import screens_of
from lamphouse.light.strand_posts import face_spots
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.views import aperture_spots
from lamphouse.record import Record, replace
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.outline import polygon

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


class Shown(Record):
    """An opening closed by a diffuser, with its light as solved."""

    drawn: Drawn
    index: int
    """Its number among the openings of the scene."""
    cells_cd_m2: tuple[float, ...]
    """Mean luminances of its spots, in the solver's order."""
    room_cd_m2: float
    """Added by the room's light."""
    below: "Shown | None" = None
    """The inner diffuser between the LEDs and the opening, as the LEDs' side of it is lit."""

    @property
    def aperture(self) -> Aperture:
        """The opening in the scene."""
        return self.drawn.scene.apertures[self.index]

    @property
    def height_mm(self) -> float:
        """Height of the space right behind the opening."""
        scene = self.drawn.scene
        return scene.depth_mm - (0.0 if scene.sheet is None else scene.sheet.height_mm)


def lit_sheet(drawn: Drawn, *, step: float | None = None) -> Shown | None:
    """Solve the space under an inner diffuser as a box with that sheet for its front.

    What the space above and neighbours send in is left out; it lies evenly over any shadow.

    Returns
    -------
    Shown or None
        None where there is no inner diffuser, or the space under it cannot be solved alone.
    """
    sheet = drawn.scene.sheet
    if sheet is None:
        return None
    lower = replace(
        drawn.scene,
        depth_mm=sheet.height_mm,
        sheet=None,
        ports=(),
        baffles=tuple(
            replace(baffle, high_mm=min(baffle.high_mm, sheet.height_mm))
            for baffle in drawn.scene.baffles
            if baffle.low_mm < sheet.height_mm
        ),
        apertures=(
            Aperture(
                name="inner diffuser",
                shape=Patch(ring=drawn.scene.outline),
                shown=_round_pillars(drawn.scene),
                fill=Diffuser(transmittance=sheet.transmittance, reflectance=sheet.reflectance),
            ),
        ),
    )
    # The sheet reaches to walls and pillars, which an opening of a panel may not.
    reaches = (Kind.OPENING_PLACE, Kind.OPENING_PILLAR)
    if any(fault.kind not in reaches for fault in faults(lower)):
        return None
    cells = glow.solve(lower, step=step).looks[0].luminance_cd_m2
    return Shown(
        drawn=replace(drawn, scene=lower),
        index=0,
        cells_cd_m2=tuple(cells.tolist()),
        room_cd_m2=0.0,
    )


def _round_pillars(box: Box) -> tuple[Patch, ...]:
    """Give what the pillars of a box leave of its plan, in parts; none where no pillar stands."""
    within = [(polygon(ring), ()) for ring in box.holes]
    free = free_parts(polygon(box.outline), under=within, error_mm=RIM_ERROR_MM)
    return tuple(Patch(ring=tuple((x, y) for x, y, _ in part)) for part in free or ())


def sources(shown: Shown) -> list[tuple[Lamp, Floats]]:
    """List the lamps that shine straight on an opening, with the spots of their faces."""
    scene = shown.drawn.scene
    floor = 0.0 if scene.sheet is None else scene.sheet.height_mm
    return [
        (lamp, face_spots(led, lamp=lamp, drawn=shown.drawn))
        for led, lamp in zip(shown.drawn.box.leds, scene.lamps, strict=True)
        if lamp.z_mm > floor and (led.seat is not Seat.PANEL or led.tilt_deg)
    ]


def straight_at(shown: Shown, *, lamp: Lamp, points_mm: Floats) -> Floats:
    """Luminance of points from one lamp's light alone, nothing in the way but the box, (P,)."""
    scene = shown.drawn.scene
    fill = shown.aperture.fill
    through = 0.0 if fill is None else fill.transmittance
    landing = falling(
        lamp,
        x_mm=points_mm[:, 0],
        y_mm=points_mm[:, 1],
        z_mm=scene.depth_mm,
        faces_up=False,
        lobe=None,
        screens=screens_of(scene),
    )
    return LX_PER_LM_MM2 * lamp.flux_lm * through / pi * np.maximum(landing, 0.0)


@lru_cache(maxsize=8)
def _spots(aperture: Aperture) -> tuple[Floats, Floats]:
    """Areas and middles of the spots of an opening, (S,) and (S, 2). [mm2, mm]."""
    return ring_area_centre(aperture_spots(aperture, small_mm=0.0))


def whole_light(shown: Shown) -> float:
    """Luminance of what is seen of an opening times its area. [cd/m2 mm2]."""
    area, _ = _spots(shown.aperture)
    cells = np.array(shown.cells_cd_m2)
    return float(cells @ area) if len(cells) == len(area) else float(cells.mean() * area.sum())


def is_seen(shown: Shown, *, points_mm: Floats) -> Bools:
    """Tell which points (P, 2) lie in what is seen of an opening."""
    parts = shown.aperture.shown or (shown.aperture.shape,)
    found = [contains(part, points_mm=points_mm) for part in parts]
    return np.asarray(np.logical_or.reduce(found))


def light_at(shown: Shown, *, points_mm: Floats) -> Floats:
    """Luminance of the spots that points (P, 2) lie in, without strands, (P,). [cd/m2]."""
    cells = np.array(shown.cells_cd_m2)
    _, centre = _spots(shown.aperture)
    if len(cells) != len(centre):
        return np.full(len(points_mm), cells.mean())
    gap = points_mm[:, None] - centre[None]
    return np.asarray(cells[np.argmin(np.einsum("psi,psi->ps", gap, gap), axis=1)])
