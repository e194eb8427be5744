"""The shadow that a strand running through a light box throws on an opening.

A strand leaves its hole square to the panel and a box is shallower than its least bend, so it
stands in the box as a post from back to panel. A dark one, sleeved or painted, takes away the most.
What it hides is taken off the light of the box without it:

- of each LED, the part of its lit face that lies behind the post in plan, so that near edges are
  sharp and far ones soft;
- of the light that comes from all sides, the part of the sky it covers, as if that sky were even;
- where an inner diffuser lies between, also what the post's shadow on the diffuser takes off that
  sky.

A bare fibre is clear. It turns the light of an LED aside, so that little of it is left in the
shadow and the rest falls wide on both sides; light from all sides passes it as bright as it came,
and nothing is taken up. What its faces throw back is left out.

What a dark post takes up of the light thrown about in the box dims every part of an opening alike:
that counts for the share of light that is missing, and not for the shadow.
"""

from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cover import ring_of
from lamphouse.light.scene import Lamp
from lamphouse.light.shown_openings import (
    Shown,
    is_seen,
    light_at,
    sources,
    straight_at,
    whole_light,
)
from lamphouse.light.strand_dimming import caught, dimming
from lamphouse.light.strand_posts import Post, covered_sky, hidden_share, turned_share
from lamphouse.record import Record

Floats = NDArray[np.float64]

ALONG, ASIDE, AROUND = 32, 17, 48
"""Places tried along a shadow, across it, and round a post."""


def _turned(shown: Shown, *, points_mm: Floats, lamp: Lamp, post: Post) -> Floats:
    """Luminance of points (P, 2) by what a clear post sends there of one lamp's light, (P,)."""
    axis, at = np.array([post.x_mm, post.y_mm]), np.array([lamp.x_mm, lamp.y_mm])
    gap = float(np.hypot(*(axis - at)))
    if not post.clear or gap <= post.radius_mm:
        return np.zeros(len(points_mm))
    share = turned_share(
        points_mm, lamp_mm=at, post=post, rise_mm=shown.drawn.scene.depth_mm - lamp.z_mm
    )
    # As far from the lamp, by way of the post.
    far = gap + np.hypot(points_mm[:, 0] - post.x_mm, points_mm[:, 1] - post.y_mm)
    along = at + far[:, None] * (axis - at) / gap
    return share * straight_at(shown, lamp=lamp, points_mm=along)


def _covered(away_mm: Floats, *, shown: Shown, post: Post) -> Floats:
    """Share of the sky that a post keeps from points this far from it, (P,)."""
    if post.clear:
        return np.zeros(len(away_mm))
    return covered_sky(away_mm, radius_mm=post.radius_mm, height_mm=shown.height_mm)


def loss_at(shown: Shown, *, points_mm: Floats, post: Post) -> Floats:
    """Luminance that a post takes from points (P, 2) of an opening, (P,). [cd/m2]."""
    whole = light_at(shown, points_mm=points_mm)
    lost, spread = np.zeros(len(points_mm)), whole.copy()
    for lamp, behind in sources(shown):
        straight = np.minimum(straight_at(shown, lamp=lamp, points_mm=points_mm), spread)
        spread -= straight
        lost += straight * hidden_share(points_mm, behind=behind, post=post)
        lost -= _turned(shown, points_mm=points_mm, lamp=lamp, post=post)
    away = np.hypot(points_mm[:, 0] - post.x_mm, points_mm[:, 1] - post.y_mm)
    sky = _covered(away, shown=shown, post=post)
    if shown.below is not None:
        sky += _shaded_sheet(shown.below, points_mm=points_mm, height_mm=shown.height_mm, post=post)
    lost += spread * np.minimum(sky, 1.0)
    return np.where(away > post.radius_mm, lost, whole)


def _shaded_sheet(below: Shown, *, points_mm: Floats, height_mm: float, post: Post) -> Floats:
    """Part of the sky of points (P, 2) that a shadow on the sheet under them takes, (P,)."""
    place, lost = _parcels(below, post=post)
    light = light_at(below, points_mm=place)
    # A room under the sheet without any lamp is dark, and a shadow takes nothing there.
    lost = np.where(light > 0.0, lost / np.where(light > 0.0, light, 1.0), 0.0)
    off = points_mm[:, None] - place[None]
    square = height_mm**2 + np.einsum("pqi,pqi->pq", off, off)
    return np.asarray((height_mm**2 / (pi * square**2)) @ lost)


def _reach_mm(shown: Shown, *, post: Post) -> float:
    """Distance from a post to the farthest corner of an opening. [mm]."""
    corner = np.array(ring_of(shown.aperture.shape))
    return float(np.hypot(corner[:, 0] - post.x_mm, corner[:, 1] - post.y_mm).max())


def round_the_post(shown: Shown, *, post: Post) -> tuple[Floats, Floats]:
    """Places of an opening round a post, nearest first, (Q, 2), and the area of each. [mm2]."""
    reach = max(_reach_mm(shown, post=post), 2.0 * post.radius_mm)
    edges = np.geomspace(post.radius_mm, reach, ALONG + 1)
    away = (edges[:-1] + edges[1:]) / 2.0
    turn = 2.0 * pi * (np.arange(AROUND) + 0.5) / AROUND
    r, a = (grid.ravel() for grid in np.meshgrid(away, turn, indexing="ij"))
    points = np.column_stack([post.x_mm + r * np.cos(a), post.y_mm + r * np.sin(a)])
    area = np.repeat((edges[1:] ** 2 - edges[:-1] ** 2) * pi / AROUND, AROUND)
    kept = is_seen(shown, points_mm=points)
    return points[kept], area[kept]


class Stripe(Record):
    """The places in the shadow of one lamp, in rows from side to side, ever farther away."""

    points: Floats
    """(ALONG, ASIDE, 2)."""
    aside_mm: Floats
    """(ALONG,) from one place of a row to the next."""
    along_mm: Floats
    """(ALONG,) from the post to a row."""


def _stripe(shown: Shown, *, post: Post, lamp: Lamp, behind: Floats) -> Stripe | None:
    """Lay out the shadow that a post throws away from a lamp; None for a lamp right under it."""
    off = np.array([post.x_mm - lamp.x_mm, post.y_mm - lamp.y_mm])
    gap = float(np.hypot(*off))
    reach = _reach_mm(shown, post=post)
    if gap <= post.radius_mm or reach <= post.radius_mm:
        return None
    way = off / gap
    side = np.array([-way[1], way[0]])
    along = np.geomspace(post.radius_mm * 1.001, reach, ALONG)
    half_face = float(np.abs((behind - [lamp.x_mm, lamp.y_mm]) @ side).max())
    half = post.radius_mm * (gap + along) / gap + half_face * along / gap
    across = np.linspace(-1.2, 1.2, ASIDE)
    points = np.array([post.x_mm, post.y_mm]) + along[:, None, None] * way
    points = points + (half[:, None] * across)[..., None] * side
    return Stripe(points=points, aside_mm=half * (across[1] - across[0]), along_mm=along)


def stripes(shown: Shown, *, post: Post) -> list[tuple[Lamp, Floats, Stripe]]:
    """List the lamps that a post throws a shadow of, their faces, and that shadow."""
    return [
        (lamp, behind, stripe)
        for lamp, behind in sources(shown)
        if (stripe := _stripe(shown, post=post, lamp=lamp, behind=behind)) is not None
    ]


def _parcels(shown: Shown, *, post: Post) -> tuple[Floats, Floats]:
    """Places of an opening (Q, 2), and luminance times area that a post takes there, (Q,)."""
    points, area = round_the_post(shown, post=post)
    spread = light_at(shown, points_mm=points)
    places, lost = [points], []
    gained = np.zeros(len(points))
    for lamp, _ in sources(shown):
        spread = np.maximum(spread - straight_at(shown, lamp=lamp, points_mm=points), 0.0)
        gained += _turned(shown, points_mm=points, lamp=lamp, post=post)
    away = np.hypot(points[:, 0] - post.x_mm, points[:, 1] - post.y_mm)
    sky = _covered(away, shown=shown, post=post)
    lost.append((spread * sky - gained) * area)
    for lamp, behind, stripe in stripes(shown, post=post):
        flat = stripe.points.reshape(-1, 2)
        wide = np.repeat(np.gradient(stripe.along_mm) * stripe.aside_mm, ASIDE)
        here = is_seen(shown, points_mm=flat)
        straight = straight_at(shown, lamp=lamp, points_mm=flat[here])
        hidden = hidden_share(flat[here], behind=behind, post=post)
        places.append(flat[here])
        lost.append(straight * hidden * wide[here])
    return np.concatenate(places), np.concatenate(lost)


def lost_share(shown: Shown, *, post: Post) -> float:
    """Share of an opening's light that a post takes away, shadow and dimming together."""
    whole = whole_light(shown)
    points, area = round_the_post(shown, post=post)
    lost = float(_parcels(shown, post=post)[1].sum()) / whole
    if shown.below is not None:
        light = light_at(shown, points_mm=points)
        sky = _shaded_sheet(shown.below, points_mm=points, height_mm=shown.height_mm, post=post)
        lost += float((light * sky) @ area) / whole
    straight = sum(
        float(straight_at(shown, lamp=lamp, points_mm=points) @ area) for lamp, _ in sources(shown)
    )
    if post.clear:
        return lost
    thrown = max(1.0 - lost - straight / whole, 0.0)
    kept = (1.0 - dimming(shown.drawn, post=post)) * (1.0 - caught(shown.drawn, post=post))
    return lost + thrown * (1.0 - kept)
