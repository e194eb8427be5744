"""What the room's light adds to an opening: the reflectance of its face, lit by the room."""

from math import pi
from typing import TypeVar

import numpy as np

from lamphouse.colour.film_spectra import finish_spectrum
from lamphouse.colour.layers import seen_from_face
from lamphouse.colour.observer import photopic, room_light
from lamphouse.colour.spectrum import GRID_NM, Array, fixed
from lamphouse.light.box_scene import Drawn
from lamphouse.light.cover import area_of
from lamphouse.light.pillar_scene import around_mm, finish_of
from lamphouse.light.uprights import direction, segments

DARK = fixed(np.zeros_like(GRID_NM))
"""What an open hole throws back."""
Share = TypeVar("Share", float, Array)


def mouth_reflectance(paint: Share, *, mouth_mm2: float, walls_mm2: float) -> Share:
    """Reflectance of the mouth of a cavity, as if a flat surface lay there [CAVITY].

    ``rho f / (1 - rho (1 - f))`` with ``f`` the area of the mouth over that of the walls, for walls
    all lit alike.

    Parameters
    ----------
    paint
        Mean diffuse reflectance of the walls.
    mouth_mm2, walls_mm2
        Areas.
    """
    share = mouth_mm2 / walls_mm2
    return paint * share / (1.0 - paint * (1.0 - share))


def faces_of(drawn: Drawn) -> Array:
    """Give the reflectance of the face of each opening of a box, with what comes back from inside.

    The panel's thickness, gloss, and an inner diffuser play no part.

    Returns
    -------
    ndarray
        One row for each opening, along the grid of wavelengths. (n, 81)
    """
    box = drawn.scene
    inside = inside_mm2(drawn)
    areas = [area_of(aperture.shape) for aperture in box.apertures]
    sheets = [None if window.stack is None else window.stack.spectral for window in drawn.windows]
    backs = [DARK if sheet is None else sheet.rear_reflectance for sheet in sheets]
    thrown = mean_paint(drawn) * inside - finish_spectrum(drawn.box.finish) * sum(areas)
    for area, back in zip(areas, backs, strict=True):
        thrown = thrown + area * back
    faces = np.zeros((len(areas), len(thrown)))
    for row, (sheet, area, back) in enumerate(zip(sheets, areas, backs, strict=True)):
        walls = inside - area
        mean = (thrown - area * back) / walls
        mouth = mouth_reflectance(mean, mouth_mm2=area, walls_mm2=walls)
        faces[row] = mouth if sheet is None else seen_from_face(sheet, behind=mouth)
    return faces


def mean_paint(drawn: Drawn) -> Array:
    """Give the mean reflectance of a box's faces, as if painted where its openings are too."""
    paint, inside = finish_spectrum(drawn.box.finish), inside_mm2(drawn)
    mean = paint
    for pillar, ring in zip(drawn.box.pillars, drawn.scene.holes, strict=True):
        share = around_mm(ring) * drawn.scene.depth_mm / inside
        mean = mean + share * (finish_spectrum(finish_of(pillar, box=drawn.box)) - paint)
    return mean


def mean_grey(drawn: Drawn) -> float:
    """Give the same by grey sums."""
    box, inside = drawn.scene, inside_mm2(drawn)
    mean = box.back_reflectance
    if box.holes:
        mean += sum(
            (wall.reflectance - box.back_reflectance) * wall.length_mm * box.depth_mm / inside
            for wall in segments(box)
            if not wall.is_baffle
        )
    return mean


def inside_mm2(drawn: Drawn) -> float:
    """Give the area of all faces of a box, openings included, and pillars all round."""
    box = drawn.scene
    floor = (abs(direction(box.outline)) - sum(abs(direction(one)) for one in box.holes)) / 2.0
    around = sum(wall.length_mm for wall in segments(box) if not wall.is_baffle) * box.depth_mm
    return 2.0 * floor + around


def face_reflectances(drawn: Drawn, *, light: Array | None = None) -> tuple[float, ...]:
    """Give what :func:`faces_of` throws back of a light; of daylight when none is given."""
    seen = room_light("daylight").values if light is None else light
    return tuple(float(share) for share in photopic(seen, faces_of(drawn)))


def added_cd_m2(reflectance: float, *, room_lx: float) -> float:
    """Luminance of a matt face in the room's light: ``rho E / pi``."""
    return reflectance * room_lx / pi
