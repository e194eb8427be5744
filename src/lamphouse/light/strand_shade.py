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

from functools import lru_cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.lightbox import Seat
from lamphouse.light import glow
from lamphouse.light.box_scene import Drawn
from lamphouse.light.cover import contains, ring_of
from lamphouse.light.emitter import falling
from lamphouse.light.eye import least_seen_cd_m2
from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.scene import Aperture, Diffuser, Lamp, Patch
from lamphouse.light.sound_box import Kind, faults
from lamphouse.light.step_size import screens_of
from lamphouse.light.strand_dimming import caught, dimming
from lamphouse.light.strand_posts import (
    Post,
    covered_sky,
    face_spots,
    hidden_share,
    turned_share,
)
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.views import aperture_spots
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ALONG, ASIDE, AROUND = 32, 17, 48
"""Places tried along a shadow, across it, and round a post."""

SEEN_SHARE = 0.5
"""A shadow is as long as it is at least this deep, of its deepest place."""


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


class Shadow(Record):
    """The plainest shadow of a post on an opening."""

    contrast: float
    """Share of the luminance that is missing where it is darkest."""
    width_mm: float
    """Of an even stripe that lacks as much light."""
    length_mm: float
    share: float
    """Of the whole opening's light that is missing."""
    least_seen: float
    """The contrast from which the eye sees a shadow of that size."""

    @property
    def excess(self) -> float:
        """How many times deeper it is than what is just seen."""
        return self.contrast / self.least_seen


def lit_sheet(drawn: Drawn, *, step: float | None = None) -> Shown | None:
    """Solve the space under an inner diffuser as a box with that sheet for its front.

    What the space above and neighbours send in is left out; it lies evenly over any shadow.

    Returns
    -------
    Shown or None
        None where there is no inner diffuser, the space under it cannot be solved alone, or
        pillars stand in it: the sheet would lie over them.
    """
    sheet = drawn.scene.sheet
    if sheet is None or drawn.scene.holes:
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
                fill=Diffuser(transmittance=sheet.transmittance, reflectance=sheet.reflectance),
            ),
        ),
    )
    # The sheet reaches to the walls, which an opening of a panel may not.
    if any(fault.kind is not Kind.OPENING_PLACE for fault in faults(lower)):
        return None
    cells = glow.solve(lower, step=step).looks[0].luminance_cd_m2
    return Shown(
        drawn=replace(drawn, scene=lower),
        index=0,
        cells_cd_m2=tuple(cells.tolist()),
        room_cd_m2=0.0,
    )


def _sources(shown: Shown) -> list[tuple[Lamp, Floats]]:
    """List the lamps that shine straight on an opening, with the spots of their faces."""
    scene = shown.drawn.scene
    floor = 0.0 if scene.sheet is None else scene.sheet.height_mm
    return [
        (lamp, face_spots(led, lamp=lamp, drawn=shown.drawn))
        for led, lamp in zip(shown.drawn.box.leds, scene.lamps, strict=True)
        if lamp.z_mm > floor and (led.seat is not Seat.PANEL or led.tilt_deg)
    ]


def _straight(shown: Shown, *, lamp: Lamp, points_mm: Floats) -> Floats:
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


def _whole_light(shown: Shown) -> float:
    """Luminance of what is seen of an opening times its area. [cd/m2 mm2]."""
    area, _ = _spots(shown.aperture)
    cells = np.array(shown.cells_cd_m2)
    return float(cells @ area) if len(cells) == len(area) else float(cells.mean() * area.sum())


def _is_seen(shown: Shown, *, points_mm: Floats) -> Bools:
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
    return share * _straight(shown, lamp=lamp, points_mm=along)


def _covered(away_mm: Floats, *, shown: Shown, post: Post) -> Floats:
    """Share of the sky that a post keeps from points this far from it, (P,)."""
    if post.clear:
        return np.zeros(len(away_mm))
    return covered_sky(away_mm, radius_mm=post.radius_mm, height_mm=shown.height_mm)


def loss_at(shown: Shown, *, points_mm: Floats, post: Post) -> Floats:
    """Luminance that a post takes from points (P, 2) of an opening, (P,). [cd/m2]."""
    whole = light_at(shown, points_mm=points_mm)
    lost, spread = np.zeros(len(points_mm)), whole.copy()
    for lamp, behind in _sources(shown):
        straight = np.minimum(_straight(shown, lamp=lamp, points_mm=points_mm), spread)
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
    lost = lost / light_at(below, points_mm=place)
    off = points_mm[:, None] - place[None]
    square = height_mm**2 + np.einsum("pqi,pqi->pq", off, off)
    return np.asarray((height_mm**2 / (pi * square**2)) @ lost)


def _reach_mm(shown: Shown, *, post: Post) -> float:
    """Distance from a post to the farthest corner of an opening. [mm]."""
    corner = np.array(ring_of(shown.aperture.shape))
    return float(np.hypot(corner[:, 0] - post.x_mm, corner[:, 1] - post.y_mm).max())


def _round_the_post(shown: Shown, *, post: Post) -> tuple[Floats, Floats]:
    """Places of an opening round a post, nearest first, (Q, 2), and the area of each. [mm2]."""
    reach = max(_reach_mm(shown, post=post), 2.0 * post.radius_mm)
    edges = np.geomspace(post.radius_mm, reach, ALONG + 1)
    away = (edges[:-1] + edges[1:]) / 2.0
    turn = 2.0 * pi * (np.arange(AROUND) + 0.5) / AROUND
    r, a = (grid.ravel() for grid in np.meshgrid(away, turn, indexing="ij"))
    points = np.column_stack([post.x_mm + r * np.cos(a), post.y_mm + r * np.sin(a)])
    area = np.repeat((edges[1:] ** 2 - edges[:-1] ** 2) * pi / AROUND, AROUND)
    kept = _is_seen(shown, points_mm=points)
    return points[kept], area[kept]


class _Stripe(Record):
    """The places in the shadow of one lamp, in rows from side to side, ever farther away."""

    points: Floats
    """(ALONG, ASIDE, 2)."""
    aside_mm: Floats
    """(ALONG,) from one place of a row to the next."""
    along_mm: Floats
    """(ALONG,) from the post to a row."""


def _stripe(shown: Shown, *, post: Post, lamp: Lamp, behind: Floats) -> _Stripe | None:
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
    return _Stripe(points=points, aside_mm=half * (across[1] - across[0]), along_mm=along)


def _stripes(shown: Shown, *, post: Post) -> list[tuple[Lamp, Floats, _Stripe]]:
    """List the lamps that a post throws a shadow of, their faces, and that shadow."""
    return [
        (lamp, behind, stripe)
        for lamp, behind in _sources(shown)
        if (stripe := _stripe(shown, post=post, lamp=lamp, behind=behind)) is not None
    ]


def _parcels(shown: Shown, *, post: Post) -> tuple[Floats, Floats]:
    """Places of an opening (Q, 2), and luminance times area that a post takes there, (Q,)."""
    points, area = _round_the_post(shown, post=post)
    spread = light_at(shown, points_mm=points)
    places, lost = [points], []
    gained = np.zeros(len(points))
    for lamp, _ in _sources(shown):
        spread = np.maximum(spread - _straight(shown, lamp=lamp, points_mm=points), 0.0)
        gained += _turned(shown, points_mm=points, lamp=lamp, post=post)
    away = np.hypot(points[:, 0] - post.x_mm, points[:, 1] - post.y_mm)
    sky = _covered(away, shown=shown, post=post)
    lost.append((spread * sky - gained) * area)
    for lamp, behind, stripe in _stripes(shown, post=post):
        flat = stripe.points.reshape(-1, 2)
        wide = np.repeat(np.gradient(stripe.along_mm) * stripe.aside_mm, ASIDE)
        here = _is_seen(shown, points_mm=flat)
        straight = _straight(shown, lamp=lamp, points_mm=flat[here])
        hidden = hidden_share(flat[here], behind=behind, post=post)
        places.append(flat[here])
        lost.append(straight * hidden * wide[here])
    return np.concatenate(places), np.concatenate(lost)


def lost_share(shown: Shown, *, post: Post) -> float:
    """Share of an opening's light that a post takes away, shadow and dimming together."""
    whole = _whole_light(shown)
    points, area = _round_the_post(shown, post=post)
    lost = float(_parcels(shown, post=post)[1].sum()) / whole
    if shown.below is not None:
        light = light_at(shown, points_mm=points)
        sky = _shaded_sheet(shown.below, points_mm=points, height_mm=shown.height_mm, post=post)
        lost += float((light * sky) @ area) / whole
    straight = sum(
        float(_straight(shown, lamp=lamp, points_mm=points) @ area) for lamp, _ in _sources(shown)
    )
    if post.clear:
        return lost
    thrown = max(1.0 - lost - straight / whole, 0.0)
    kept = (1.0 - dimming(shown.drawn, post=post)) * (1.0 - caught(shown.drawn, post=post))
    return lost + thrown * (1.0 - kept)


def _least_seen(
    shown: Shown, *, light: float, width_mm: float, length_mm: float, distance_mm: float
) -> float:
    surround = light + shown.room_cd_m2
    return (
        least_seen_cd_m2(width_mm, length_mm=length_mm, distance_mm=distance_mm, surround=surround)
        / surround
    )


def _darkest(
    shown: Shown, *, post: Post, stripe: _Stripe, distance_mm: float
) -> tuple[float, float, float, float] | None:
    """Contrast, width, length and least contrast seen of the shadow away from one lamp."""
    middle = stripe.points[:, ASIDE // 2]
    here = _is_seen(shown, points_mm=middle)
    if not here.any():
        return None
    light = light_at(shown, points_mm=middle) + shown.room_cd_m2
    contrast = np.where(here, loss_at(shown, points_mm=middle, post=post) / light, 0.0)
    at = int(contrast.argmax())
    row = stripe.points[at]
    across = loss_at(shown, points_mm=row, post=post)
    across -= min(across[0], across[-1])  # what darkens both sides alike is no line
    depth = float(across[ASIDE // 2]) / float(light[at])
    if depth <= 0.0:
        return None
    width = float(across.sum() / across[ASIDE // 2] * stripe.aside_mm[at])
    deep = contrast >= SEEN_SHARE * contrast[at]
    length = float(np.ptp(stripe.along_mm[deep])) + width
    least = _least_seen(
        shown,
        light=float(light[at]) - shown.room_cd_m2,
        width_mm=width,
        length_mm=length,
        distance_mm=distance_mm,
    )
    return depth, width, length, least


def _beside(
    shown: Shown, *, post: Post, distance_mm: float
) -> tuple[float, float, float, float] | None:
    """Give the same of the blur round the foot of a post."""
    points, area = _round_the_post(shown, post=post)
    if not len(points):
        return None
    light = light_at(shown, points_mm=points) + shown.room_cd_m2
    contrast = loss_at(shown, points_mm=points, post=post) / light
    away = np.hypot(points[:, 0] - post.x_mm, points[:, 1] - post.y_mm)
    nearest = away <= away.min() * (1.0 + 1e-9)
    depth = float(np.median(contrast[nearest]))
    if depth <= 0.0:
        return None
    deep = contrast >= SEEN_SHARE * depth
    blot = float(contrast[deep] @ area[deep]) / depth
    width = min(float(np.ptp(away[deep])) + post.radius_mm, blot**0.5)
    length = blot / width
    light_here = float(light[nearest].mean()) - shown.room_cd_m2
    least = _least_seen(
        shown, light=light_here, width_mm=width, length_mm=length, distance_mm=distance_mm
    )
    return depth, width, length, least


def shadow_of(shown: Shown, *, post: Post, distance_mm: float) -> Shadow | None:
    """Find the plainest shadow of a post on an opening.

    Parameters
    ----------
    shown
        The opening, solved without the post.
    post
        In its box; not under the opening itself.
    distance_mm
        From the eye.

    Returns
    -------
    Shadow or None
        None where it takes nothing away.
    """
    if min(shown.cells_cd_m2) <= 0.0:
        return None
    seen = [
        _darkest(shown, post=post, stripe=stripe, distance_mm=distance_mm)
        for _, _, stripe in _stripes(shown, post=post)
    ]
    seen.append(_beside(shown, post=post, distance_mm=distance_mm))
    found = [each for each in seen if each is not None]
    if not found:
        return None
    contrast, width, length, least = max(found, key=lambda each: each[0] / each[3])
    return Shadow(
        contrast=contrast,
        width_mm=width,
        length_mm=length,
        share=lost_share(shown, post=post),
        least_seen=least,
    )
