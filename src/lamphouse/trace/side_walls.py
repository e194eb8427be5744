"""Edges of a thick part seen at a slant, told from the feet of its walls.

On the side towards the camera a wall shows between the face of the part and the ground, and a
single half level would lie somewhere on it. How wide the wall looks is known from the camera and
the part's thickness; how bright it is, is not. So three levels (face, wall, ground) under the
picture's blur are laid over every edge: the brightness of walls that look the same way is the one
that fits them best together, and the edge of the face is where it fits best.

Limit: in a hole hardly wider than its wall looks, a wall as bright as the mean of face and ground
draws the centre away by up to a quarter of the wall's width.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import replace
from lamphouse.trace.edges import Edge, sample, signed_area
from lamphouse.trace.half_level import Ground, Side

_LEAST_WIDTH_BLURS = 0.6
"""A wall narrower than this many blurs is not looked for."""
_FLOOR_BLURS = 4.0
"""A hole shows its ground when it is this many blurs wider than its wall; the rim of a smaller one
is taken as a plain edge."""
_STEP = 0.25
_SECTORS = 16
_BRIGHT = np.linspace(0.0, 0.95, 20)
"""Brightness of a wall between ground at 0 and face at 1."""
_FAR_BLURS = 3.0
_SEEN_WALL_DOUBT = 0.08
"""Over how wide a wall looks: how far off its upper edge is found; from synthetic pictures."""
_AS_GOOD = 1.1
_LEAST_GAIN = 0.0008
"""One plain step fits as well as a wall between two steps when its misfit is no larger by more than
both: a ratio, and a square of the part's contrast for every place read."""


def past_walls(
    edge: Edge, ground: Ground, *, foot: NDArray[np.float64], blur: float
) -> tuple[Edge, NDArray[np.float64]]:
    """Move an edge onto the edge of the part's face where a wall is seen.

    Parameters
    ----------
    edge
        As found at the half level.
    ground
        Part and ground told apart.
    foot
        (n, 2) from the upper edge of a wall to its foot, in pixels, at every point.
    blur
        Standard deviation of the picture's blur, in pixels.

    Returns
    -------
    Edge, array
        The edge, and (n,) how far off it may be where the wall cannot be told from face or ground:
        half of how wide the wall looks, as a standard deviation. [pixel].
    """
    width = (foot * edge.outward).sum(axis=1)
    seen = width > _LEAST_WIDTH_BLURS * blur
    across = 2.0 * np.sqrt(abs(signed_area(edge.points)) / np.pi) if edge.is_hole else np.inf
    if not seen.any() or across < width.max() + _FLOOR_BLURS * blur:
        return edge, np.maximum(width, 0.0) / 2.0
    room = across - 2.0 * blur  # up to the far side of a hole
    angle = np.arctan2(edge.outward[:, 1], edge.outward[:, 0])
    sector = np.floor((angle / (2.0 * np.pi) + 0.5) * _SECTORS).astype(int) % _SECTORS
    points = edge.points.copy()
    doubt = np.where(seen, 0.0, np.maximum(width, 0.0) / 2.0)
    for one in np.unique(sector[seen]):
        rows = np.flatnonzero(seen & (sector == one))
        shift, is_plain = _shifts(edge, rows, ground, widths=width[rows], blur=blur, room=room)
        points[rows] += shift[:, None] * edge.outward[rows]
        doubt[rows] = width[rows] * (0.5 if is_plain else _SEEN_WALL_DOUBT)
    return replace(edge, points=points), doubt


def _shifts(
    edge: Edge,
    rows: NDArray[np.int_],
    ground: Ground,
    *,
    widths: NDArray[np.float64],
    blur: float,
    room: float,
) -> tuple[NDArray[np.float64], bool]:
    """Find how far outwards the face's edge lies from the points of one sector.

    Also whether one plain step fits as well: then the wall looks like the face or the ground. Walls
    of a darker part on a lighter ground are taken as dark as its face, for they get no more light.
    """
    from scipy.special import ndtr

    typical = float(np.median(widths))
    reach = typical + _FAR_BLURS * blur
    offsets = np.arange(-reach - typical, min(reach + typical, room), 0.5)
    places = edge.points[rows, None] + offsets[None, :, None] * edge.outward[rows, None]
    seen = sample(ground.over_half, places).astype(np.float64)
    inner = offsets < -typical - 1.5 * blur
    outer = offsets > min(typical + 1.5 * blur, offsets[-1] - 1.0)
    face = np.median(seen[:, inner], axis=1)[:, None]
    bare = np.median(seen[:, outer], axis=1)[:, None]
    share = (seen - bare) / np.maximum(face - bare, 1.0)  # 1 on the face, 0 on the ground
    shifts = np.arange(-typical - blur, blur + _STEP, _STEP)
    misfit = np.zeros((len(_BRIGHT), len(shifts), len(rows)))
    for index, shift in enumerate(shifts):
        face_ends = ndtr((offsets[None, :] - shift) / blur)
        wall_ends = ndtr((offsets[None, :] - shift - widths[:, None]) / blur)
        for number, bright in enumerate(_BRIGHT):
            model = 1.0 - (1.0 - bright) * face_ends - bright * wall_ends
            misfit[number, index] = ((share - model) ** 2).sum(axis=1)
    every = misfit.min(axis=1).sum(axis=1)
    worth = (_AS_GOOD - 1.0) * every.min() + _LEAST_GAIN * seen.size
    is_plain = bool(min(every[0], every[-1]) - every.min() <= worth)
    chosen = len(_BRIGHT) - 1 if is_plain and ground.side is Side.DARKER else int(every.argmin())
    best = misfit[chosen]
    low = np.clip(best.argmin(axis=0), 1, len(shifts) - 2)
    column = np.arange(len(rows))
    left, middle, right = best[low - 1, column], best[low, column], best[low + 1, column]
    bend = np.maximum(left - 2.0 * middle + right, 1e-12)
    fine = shifts[low] + _STEP * np.clip((left - right) / (2.0 * bend), -1.0, 1.0)
    return np.asarray(fine), is_plain
