"""Strands that run through a light box, as upright posts: what they hide in plan and of the sky."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, radians, sin

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.lightbox import Led, Seat
from lamphouse.design.strand import Strand
from lamphouse.light.box_scene import Drawn
from lamphouse.light.scene import Lamp
from lamphouse.light.uprights import inside
from lamphouse.shapes.sides import nearest_side

Floats = NDArray[np.float64]

FACE_PARTS = (8, 4)
"""Parts into which the lit face of an LED is cut, along and across."""

INDEX = 1.49
"""Refractive index of the acrylic that fibres are drawn from [MEMORY]."""

THROUGH_FACES = (1.0 - ((INDEX - 1.0) / (INDEX + 1.0)) ** 2) ** 2
"""Share of light that two faces let pass at right angles [FRESNEL]."""

_SLOPES, _WEIGHTS = np.polynomial.legendre.leggauss(16)


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A strand in a box: an upright cylinder from back to panel."""

    x_mm: float
    y_mm: float
    radius_mm: float
    clear: bool = False
    """A bare fibre, which turns light aside; else dark, as a sleeved or painted one."""


def post_of(strand: Strand) -> Post:
    """Give a strand as a post."""
    return Post(x_mm=strand.x_mm, y_mm=strand.y_mm, radius_mm=strand.fibre.diameter_mm / 2.0)


def posts_in(drawn: Drawn, *, strands: Sequence[Strand]) -> tuple[Strand, ...]:
    """List the strands that run through a box, wholly or along its wall."""
    ring = drawn.scene.outline
    return tuple(
        strand
        for strand in strands
        if inside(np.array([[strand.x_mm, strand.y_mm]]), rings=(ring,))[0]
        or nearest_side((strand.x_mm, strand.y_mm), ring=ring).gap_mm
        < strand.fibre.diameter_mm / 2.0
    )


def face_spots(led: Led, *, lamp: Lamp) -> Floats:
    """Middles of equal parts of an LED's lit face in plan, (K, 2). [mm]."""
    length, width, _ = led.led_type.package_mm
    turn_rad = radians(led.turn_deg)
    if led.seat is Seat.WALL:
        # Seen from above the face is a line along the wall.
        width, length = 0.0, abs(length * cos(turn_rad)) + abs(width * sin(turn_rad))
        turn_rad = float(np.arctan2(lamp.direction[0], -lamp.direction[1]))
    along, across = (
        size * ((np.arange(parts) + 0.5) / parts - 0.5)
        for size, parts in zip((length, width), FACE_PARTS, strict=True)
    )
    u, v = (grid.ravel() for grid in np.meshgrid(along, across))
    cosine, sine = cos(turn_rad), sin(turn_rad)
    return np.column_stack([lamp.x_mm + cosine * u - sine * v, lamp.y_mm + sine * u + cosine * v])


def hidden_share(points_mm: Floats, *, behind: Floats, post: Post) -> Floats:
    """Share of source spots (K, 2) that a post hides from points (P, 2), both outside it, (P,)."""
    to_source = behind[None] - points_mm[:, None]
    to_post = np.array([post.x_mm, post.y_mm]) - points_mm
    square = np.maximum(np.einsum("pki,pki->pk", to_source, to_source), 1e-12)
    part = np.clip(np.einsum("pki,pi->pk", to_source, to_post) / square, 0.0, 1.0)
    gap = part[..., None] * to_source - to_post[:, None]
    covered = np.einsum("pki,pki->pk", gap, gap) < post.radius_mm**2
    return np.asarray(covered.mean(axis=1))


def passed_share(away_mm: Floats, *, gap_mm: float, radius_mm: float) -> Floats:
    """Share of a lamp's light that a clear post lets through into the middle of its shadow.

    A clear cylinder is a lens of focal length ``n r / (2 (n - 1))``: what passes is soon spread
    wide, and little of it stays where the shadow lies.

    Parameters
    ----------
    away_mm
        (P,) distances in plan from the post's axis to where the light lands.
    gap_mm
        From the lamp to the axis.
    radius_mm
        Of the post.

    Returns
    -------
    Floats
        (P,) at most 1: the bright seam at the focus is no shadow. By Snell's law for rays close to
        the axis and square to the post; slanted rays are turned further, so less is left.
    """
    spread = 1.0 + away_mm / gap_mm
    turned = np.abs(spread - 2.0 * (1.0 - 1.0 / INDEX) * away_mm / radius_mm)
    return np.asarray(THROUGH_FACES * np.minimum(spread / np.maximum(turned, 1e-9), 1.0))


def covered_sky(away_mm: Floats, *, radius_mm: float, height_mm: float) -> Floats:
    """Share of a level point's even sky that a post standing on its plane covers.

    Parameters
    ----------
    away_mm
        (P,) distances from the post's axis, at least its radius.
    radius_mm, height_mm
        Of the post.

    Returns
    -------
    Floats
        (P,) ``1/(2 pi)`` times the integral of ``H^2 / (H^2 + s^2)`` over the directions in plan in
        which the post's near side lies at ``s``: the factor of a level element to an upright
        cylinder, half the sky at its foot.
    """
    away = np.maximum(away_mm, radius_mm)[:, None]
    most = np.arcsin(radius_mm / away)
    turn = most * np.sin(pi / 2.0 * _SLOPES)
    weight = most * np.cos(pi / 2.0 * _SLOPES) * pi / 2.0 * _WEIGHTS
    near = away * np.cos(turn) - np.sqrt(np.maximum(radius_mm**2 - (away * np.sin(turn)) ** 2, 0.0))
    covered = height_mm**2 / (height_mm**2 + near**2)
    return np.asarray((weight * covered).sum(axis=1) / (2.0 * pi))
