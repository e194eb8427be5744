"""Strands that run through a light box, as upright posts: what they hide in plan and of the sky."""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.led_body import body_of
from lamphouse.design.lightbox import Led
from lamphouse.design.strand import Strand
from lamphouse.light.box_scene import Drawn
from lamphouse.light.scene import Lamp
from lamphouse.light.seated_leds import frame_of
from lamphouse.light.uprights import inside
from lamphouse.record import Record
from lamphouse.shapes.sides import nearest_side

Floats = NDArray[np.float64]

FACE_PARTS = (8, 4)
"""Parts into which the lit face of an LED is cut, along and across."""

INDEX = 1.49
"""Refractive index of the acrylic that fibres are drawn from [MEMORY]."""

RAYS_THROUGH = 65
"""Rays followed through a clear post in plan."""

_SLOPES, _WEIGHTS = np.polynomial.legendre.leggauss(16)


class Post(Record):
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
    """List the strands that run through a box, wholly or along its wall, and not in a pillar."""
    ring = drawn.scene.outline
    return tuple(
        strand
        for strand in strands
        if inside(np.array([[strand.x_mm, strand.y_mm]]), rings=(ring, *drawn.scene.holes))[0]
        or nearest_side((strand.x_mm, strand.y_mm), ring=ring).gap_mm
        < strand.fibre.diameter_mm / 2.0
    )


def face_spots(led: Led, *, lamp: Lamp, drawn: Drawn) -> Floats:
    """Middles of equal parts of an LED's lit face as seen from above, (K, 2). [mm]."""
    length, width, _ = led.led_type.package_mm
    body, frame = body_of(led), frame_of(led, box=drawn.box, ring=drawn.scene.outline)
    along, across = (
        size * ((np.arange(parts) + 0.5) / parts - 0.5)
        for size, parts in zip((length, width), FACE_PARTS, strict=True)
    )
    u, v = (grid.ravel()[:, None] for grid in np.meshgrid(along, across))
    ways = np.array([frame.turned(body.along), frame.turned(body.across)])[:, :2]
    return np.asarray([lamp.x_mm, lamp.y_mm] + u * ways[0] + v * ways[1])


def hidden_share(points_mm: Floats, *, behind: Floats, post: Post) -> Floats:
    """Share of source spots (K, 2) that a post hides from points (P, 2), both outside it, (P,)."""
    to_source = behind[None] - points_mm[:, None]
    to_post = np.array([post.x_mm, post.y_mm]) - points_mm
    square = np.maximum(np.einsum("pki,pki->pk", to_source, to_source), 1e-12)
    part = np.clip(np.einsum("pki,pi->pk", to_source, to_post) / square, 0.0, 1.0)
    gap = part[..., None] * to_source - to_post[:, None]
    covered = np.einsum("pki,pki->pk", gap, gap) < post.radius_mm**2
    return np.asarray(covered.mean(axis=1))


def _let_through(cosine: Floats) -> Floats:
    """Share of light that passes both faces of a clear post, by its cosine outside [FRESNEL]."""
    within = np.sqrt(1.0 - (1.0 - cosine**2) / INDEX**2)
    across = (cosine - INDEX * within) / (cosine + INDEX * within)
    along = (INDEX * cosine - within) / (INDEX * cosine + within)
    return np.asarray((1.0 - (across**2 + along**2) / 2.0) ** 2)


def turned_share(points_mm: Floats, *, lamp_mm: Floats, post: Post, rise_mm: float) -> Floats:
    """Light of a lamp that a clear post sends to points, over what falls as far along its way.

    A clear cylinder is a lens of focal length ``n r / (2 (n - 1))``: what passes is soon spread
    wide, and little of it stays where the shadow lies. Rays that meet it at a share ``b`` of its
    radius leave it at the same distance from its axis, turned by twice the difference of their
    angles to its face. Seen in plan a ray at a slant is turned as by
    ``sqrt(n^2 - sin^2 e) / cos e``, with the angle ``e`` at which it rises: by Snell's law in three
    dimensions its part along the post is the same inside and outside.

    Parameters
    ----------
    points_mm
        (P, 2) outside the post.
    lamp_mm
        (2,) outside it, a point.
    post
        The strand.
    rise_mm
        From the lamp's height to the points'.

    Returns
    -------
    Floats
        (P,) at most 1: the bright seam at the focus is no shadow. What is thrown back at the faces
        is left out.
    """
    to_axis = np.array([post.x_mm, post.y_mm]) - lamp_mm
    gap, radius = float(np.hypot(*to_axis)), post.radius_mm
    off = points_mm - [post.x_mm, post.y_mm]
    away = np.hypot(off[:, 0], off[:, 1])
    turn = np.arctan2(off[:, 1], off[:, 0]) - np.arctan2(to_axis[1], to_axis[0])
    level = 1.0 / np.sqrt(1.0 + (rise_mm / (gap + away)) ** 2)
    index = np.sqrt((INDEX**2 - 1.0) / level**2 + 1.0)
    meeting = np.linspace(-0.5, 0.5, RAYS_THROUGH) * pi
    aside = radius * np.sin(meeting)
    leaving = np.arcsin(aside / gap)
    inner = np.arcsin(np.sin(meeting) / index[:, None])
    way = turn[:, None] - (leaving - 2.0 * (meeting - inner))
    beside = away[:, None] * np.sin(way) - aside
    met = ((beside[:, 1:] > 0.0) != (beside[:, :-1] > 0.0)) & (np.cos(way[:, 1:]) > 0.0)
    width = np.maximum(np.abs(np.diff(beside, axis=1)), 1e-12)
    middle = (meeting[1:] + meeting[:-1]) / 2.0
    passing = _let_through(level[:, None] * np.cos(middle))
    dense = np.where(met, passing * np.diff(leaving) / width, 0.0).sum(axis=1)
    return np.asarray(np.minimum((gap + away) * dense, 1.0))


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
