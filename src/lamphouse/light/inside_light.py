"""How bright paint and openings of a box are on the mean from inside, by its solved energy."""

from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.cover import area_of
from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.scene import Box
from lamphouse.light.uprights import direction, segments


def openings_lx(glow: BoxGlow) -> float | None:
    """Mean illuminance of the openings from inside, from the light that escapes; None without."""
    passing = sum(
        area_of(aperture.shape) * (1.0 if aperture.fill is None else aperture.fill.transmittance)
        for aperture in glow.scene.apertures
    )
    return glow.escaped_lm / passing * LX_PER_LM_MM2 if passing > 0.0 else None


def _taking_mm2(scene: Box) -> float:
    """Area of the paint, each face by the share of its light that it takes up. [mm2]."""
    feet = sum(abs(direction(ring)) for ring in scene.holes)
    floor = (abs(direction(scene.outline)) - feet) / 2.0
    panel = max(floor - sum(area_of(aperture.shape) for aperture in scene.apertures), 0.0)
    faces = [(floor, scene.back_reflectance), (panel, scene.panel_reflectance)]
    faces += [
        (wall.length_mm * (wall.high_mm - wall.low_mm), wall.reflectance)
        for wall in segments(scene)
    ]
    return sum(area * (1.0 - reflectance) for area, reflectance in faces)


def paint_lx(glow: BoxGlow) -> float:
    """Mean illuminance of the paint, from what it takes up of the solved light.

    What the openings' own layers take up is left out of it; what an inner diffuser takes up is not,
    so that with one the figure lies a few percent high.
    """
    lost = 0.0
    at_openings = openings_lx(glow) or 0.0
    for aperture in glow.scene.apertures:
        if aperture.fill is not None:
            held = 1.0 - aperture.fill.transmittance - aperture.fill.reflectance
            lost += max(held, 0.0) * area_of(aperture.shape) * at_openings / LX_PER_LM_MM2
    return max(glow.absorbed_lm - lost, 0.0) / _taking_mm2(glow.scene) * LX_PER_LM_MM2
