"""How the ends of a flat piece are bevelled, in words."""

from math import atan2, degrees

SQUARE_DEG = 0.05
"""An end less off square than this needs no bevel."""


def bevel_words(
    end: str, *, longer_mm: float, thickness_mm: float, faces: tuple[str, str]
) -> list[str]:
    """Say how an end is bevelled; nothing for a square one.

    Parameters
    ----------
    end
        ``left`` or ``right``.
    longer_mm
        By how much the first of the faces is the longer at this end.
    thickness_mm
        Of the piece.
    faces
        Names of the face away from the reader and of the other one.
    """
    bevel = degrees(atan2(longer_mm, thickness_mm))
    if abs(bevel) < SQUARE_DEG:
        return []
    face = faces[0] if bevel > 0.0 else faces[1]
    return [f"{end} end: bevel {abs(bevel):.1f} deg off square, {face} face the longer"]
