"""What the room's light adds to an opening: the reflectance of its face, lit by the room."""

from math import pi

from lamphouse.light.box_scene import Drawn
from lamphouse.light.cover import area_of
from lamphouse.light.uprights import direction, segments


def mouth_reflectance(paint: float, *, mouth_mm2: float, walls_mm2: float) -> float:
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


def face_reflectances(drawn: Drawn) -> tuple[float, ...]:
    """Give the reflectance of the face of each opening of a box, with what comes back from inside.

    The panel's thickness, gloss, and an inner diffuser play no part.
    """
    box = drawn.scene
    floor = abs(direction(box.outline)) / 2.0
    around = sum(wall.length_mm for wall in segments(box) if not wall.is_baffle) * box.depth_mm
    inside = 2.0 * floor + around
    areas = [area_of(aperture.shape) for aperture in box.apertures]
    backs = [
        0.0 if window.stack is None else window.stack.rear_reflectance for window in drawn.windows
    ]
    thrown = box.back_reflectance * (inside - sum(areas))
    thrown += sum(area * back for area, back in zip(areas, backs, strict=True))
    faces = []
    for window, area, back in zip(drawn.windows, areas, backs, strict=True):
        walls = inside - area
        mouth = mouth_reflectance((thrown - area * back) / walls, mouth_mm2=area, walls_mm2=walls)
        stack = window.stack
        if stack is None:
            faces.append(mouth)
        else:
            behind = stack.transmittance**2 * mouth / (1.0 - stack.rear_reflectance * mouth)
            faces.append(stack.face_reflectance + behind)
    return tuple(faces)


def added_cd_m2(reflectance: float, *, room_lx: float) -> float:
    """Luminance of a matt face in the room's light: ``rho E / pi``."""
    return reflectance * room_lx / pi
