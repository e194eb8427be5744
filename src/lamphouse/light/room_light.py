"""What the room's light adds to an opening: the reflectance of its face, lit by the room."""

from math import pi
from typing import TypeVar

import numpy as np

from lamphouse.colour.layers import seen_from_face
from lamphouse.colour.observer import photopic, room_light
from lamphouse.colour.spectrum import GRID_NM, Array, fixed
from lamphouse.light.box_scene import Drawn
from lamphouse.light.cover import area_of
from lamphouse.light.painted_faces import floor_mm2, mean_paint
from lamphouse.light.uprights import segments

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

    The panel's thickness, gloss, and an inner diffuser play no part; of faces painted unlike, the
    mean by area counts, wherever they lie.

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
    thrown = mean_paint(drawn.box, scene=drawn.scene) * (inside - sum(areas))
    for area, back in zip(areas, backs, strict=True):
        thrown = thrown + area * back
    faces = np.zeros((len(areas), len(GRID_NM)))
    for row, (sheet, area, back) in enumerate(zip(sheets, areas, backs, strict=True)):
        walls = inside - area
        mean = (thrown - area * back) / walls
        mouth = mouth_reflectance(mean, mouth_mm2=area, walls_mm2=walls)
        faces[row] = mouth if sheet is None else seen_from_face(sheet, behind=mouth)
    return faces


def inside_mm2(drawn: Drawn) -> float:
    """Give the area of all faces of a box, openings included, and pillars all round."""
    box = drawn.scene
    around = sum(wall.length_mm for wall in segments(box) if not wall.is_baffle) * box.depth_mm
    return 2.0 * floor_mm2(box) + around


def face_reflectances(drawn: Drawn, *, light: Array | None = None) -> tuple[float, ...]:
    """Give what :func:`faces_of` throws back of a light; of daylight when none is given."""
    seen = room_light("daylight").values if light is None else light
    return tuple(float(share) for share in photopic(seen, faces_of(drawn)))


def added_cd_m2(reflectance: float, *, room_lx: float) -> float:
    """Luminance of a matt face in the room's light: ``rho E / pi``."""
    return reflectance * room_lx / pi
