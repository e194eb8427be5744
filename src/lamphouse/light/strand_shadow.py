"""The plainest shadow of a strand on an opening: how dark it is, how large, and what is seen."""

import numpy as np

from lamphouse.light.eye import least_seen_cd_m2
from lamphouse.light.shown_openings import Shown, is_seen, light_at
from lamphouse.light.strand_posts import Post
from lamphouse.light.strand_shade import (
    ASIDE,
    Stripe,
    loss_at,
    lost_share,
    round_the_post,
    stripes,
)
from lamphouse.record import Record

SEEN_SHARE = 0.5
"""A shadow is as long as it is at least this deep, of its deepest place."""


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


def _least_seen(
    shown: Shown, *, light: float, width_mm: float, length_mm: float, distance_mm: float
) -> float:
    surround = light + shown.room_cd_m2
    return (
        least_seen_cd_m2(width_mm, length_mm=length_mm, distance_mm=distance_mm, surround=surround)
        / surround
    )


def _darkest(
    shown: Shown, *, post: Post, stripe: Stripe, distance_mm: float
) -> tuple[float, float, float, float] | None:
    """Contrast, width, length and least contrast seen of the shadow away from one lamp."""
    middle = stripe.points[:, ASIDE // 2]
    here = is_seen(shown, points_mm=middle)
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
    points, area = round_the_post(shown, post=post)
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
        for _, _, stripe in stripes(shown, post=post)
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
