"""What a dark strand takes up of the light that is thrown about in its box."""

from collections.abc import Sequence
from itertools import pairwise
from math import pi

import numpy as np

from lamphouse.light.box_scene import Drawn
from lamphouse.light.cover import area_of
from lamphouse.light.emitter import intensity
from lamphouse.light.scene import Box
from lamphouse.light.strand_posts import Post
from lamphouse.light.uprights import direction, segments


def dimming(drawn: Drawn, *, post: Post) -> float:
    """Share of the light thrown about in a box that a dark post takes up, by areas alone.

    Every space is lit evenly. Through an inner diffuser of area ``A`` two spaces send ``t A`` of
    their light to and fro, so that with what each takes, ``a`` below and ``b`` above, lamps below
    light the space above as ``t A / (a b - (t A)^2)`` and lamps above as ``a`` over the same.
    """
    scene = drawn.scene
    takes = _taking_mm2(scene)
    own = [2.0 * pi * post.radius_mm * (high - low) for low, high in pairwise(_levels(scene))]
    darker = [taken + more for taken, more in zip(takes, own, strict=True)]
    if scene.sheet is None:
        return 1.0 - takes[0] / darker[0]
    passing = scene.sheet.transmittance * _floor_mm2(scene)
    above = sum(lamp.flux_lm for lamp in scene.lamps if lamp.z_mm > scene.sheet.height_mm)
    # Neighbours may light a box without lamps.
    below = sum(lamp.flux_lm for lamp in scene.lamps) - above if scene.lamps else 1.0

    def lit(spaces: Sequence[float]) -> float:
        under, over = spaces
        return (below * passing + above * under) / (under * over - passing**2)

    free = lit(takes)
    return 1.0 - lit(darker) / free if free > 0.0 else 0.0


def _levels(scene: Box) -> list[float]:
    """Give the heights between which the spaces of a box lie. [mm]."""
    between = [] if scene.sheet is None else [scene.sheet.height_mm]
    return [0.0, *between, scene.depth_mm]


def _floor_mm2(scene: Box) -> float:
    feet = sum(abs(direction(hole)) for hole in scene.holes)
    return (abs(direction(scene.outline)) - feet) / 2.0


def _taking_mm2(scene: Box) -> list[float]:
    """Sum up for every space its faces' areas times what they keep or let out."""
    found = []
    floor = _floor_mm2(scene)
    for low, high in pairwise(_levels(scene)):
        taking = sum(
            wall.length_mm
            * max(min(wall.high_mm, high) - max(wall.low_mm, low), 0.0)
            * (1.0 - wall.reflectance)
            for wall in segments(scene)
        )
        for height in (low, high):
            inner = scene.sheet if scene.sheet and height == scene.sheet.height_mm else None
            paint = scene.back_reflectance if height == 0.0 else scene.panel_reflectance
            taking += floor * (1.0 - (paint if inner is None else inner.reflectance))
        if high == scene.depth_mm:
            for aperture in scene.apertures:
                fill = 0.0 if aperture.fill is None else aperture.fill.reflectance
                taking += area_of(aperture.shape) * (scene.panel_reflectance - fill)
        found.append(taking)
    return found


def caught(drawn: Drawn, *, post: Post) -> float:
    """Share of the lamps' light that falls straight on a post; none in a box without lamps."""
    scene = drawn.scene
    total = 0.0
    for lamp in scene.lamps:
        gap = float(np.hypot(post.x_mm - lamp.x_mm, post.y_mm - lamp.y_mm))
        if gap <= post.radius_mm:
            continue
        low, high = 0.0, scene.depth_mm
        if scene.sheet is not None:
            middle = scene.sheet.height_mm
            low, high = (middle, high) if lamp.z_mm > middle else (low, middle)
        turn = np.arcsin(post.radius_mm / gap) * (2.0 * (np.arange(9) + 0.5) / 9 - 1.0)
        turn += np.arctan2(post.y_mm - lamp.y_mm, post.x_mm - lamp.x_mm)
        rise = low + (np.arange(32) + 0.5) / 32 * (high - low) - lamp.z_mm
        far = np.hypot(gap, rise)
        level = lamp.direction[0] * np.cos(turn) + lamp.direction[1] * np.sin(turn)
        leaving = (gap * level[:, None] + rise * lamp.direction[2]) / far
        leaving /= np.linalg.norm(lamp.direction)
        solid = gap**2 / far**3 * (high - low) / 32 * 2.0 * np.arcsin(post.radius_mm / gap) / 9
        total += lamp.flux_lm * float((intensity(lamp.beam, cosine=leaving) * solid).sum())
    given = sum(lamp.flux_lm for lamp in scene.lamps)
    return total / given if given > 0.0 else 0.0
