"""What is part and what is ground, and the local half level between them.

Rule of the edge: an edge lies where the brightness is halfway between that of the part and that of
the ground, both taken as they are near that place. Uneven light moves both levels alike, so the
edge stays; a shadow on the ground is darker than the ground and does not count as part of a part
that is lighter than the ground.
"""

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace import part_rules, picture_rules
from lamphouse.trace.picture_file import Levels
from lamphouse.trace.refused import TraceError

Mask = NDArray[np.bool_]

OTHER_GROUND = "lay the part on paper that is much darker or lighter"
"""What helps when part and ground look alike."""

LEAST_CONTRAST = 16.0
"""Grey levels of 255 between part and ground; below this an edge drowns in paper and noise."""
LEAST_OVER_GRAIN = 8.0
"""Contrast over the standard deviation of noise and texture, on part and ground; below this
specks of paper look like small holes (seen on synthetic pictures: three in one at 7)."""
_COARSE_PIXELS = 600_000
"""The search for the part is done on a picture of about this size."""
_RIM_SHARE = 0.06
"""Of the shorter side, along the rim of the region, where only ground is expected."""
_LIKELY = 0.45
"""Share of the way from ground to part above which a coarse pixel is surely one of them."""
_SHADOW = 0.4
"""Of the half span: what lies so little beyond the half level is the shadow of a dark part."""
_NEAR_SHARE = 0.04
"""Reach of "near that place", as a share of the region's longer side."""


class Side(StrEnum):
    """Whether the part is lighter or darker than what it lies on."""

    LIGHTER = "lighter"
    DARKER = "darker"


class Ground(Record):
    """Part and ground told apart."""

    over_half: Levels
    """Brightness less the local half level, positive on the part, in grey levels."""
    half_span: Levels
    """Half the local difference between part and ground, as large as ``over_half``."""
    side: Side
    contrast: float
    """Median difference between part and ground, in grey levels."""
    grain: float
    """Standard deviation of noise and texture, in grey levels."""
    inside: Mask
    """The region looked at."""
    is_shaded: bool = False
    """Whether a deep shadow beside the part is left out of it."""


def tell_apart(
    levels: Levels, *, inside: Mask, side: Side | None = None, is_shaded: bool = False
) -> Ground:
    """Tell the part from the ground.

    Parameters
    ----------
    levels
        The picture.
    inside
        Where the part may lie; its rim shows ground alone.
    side
        What the maker says; found from the picture when left out.
    is_shaded
        Whether a dark part throws so deep a shadow that it would pass for part of it.

    Raises
    ------
    TraceError
        If part and ground cannot be told apart, or both lighter and darker things lie there.
    """
    import cv2

    step = max(1, round((levels.size / _COARSE_PIXELS) ** 0.5))
    size = (max(1, levels.shape[1] // step), max(1, levels.shape[0] // step))
    coarse = cv2.resize(levels, size, interpolation=cv2.INTER_AREA)
    room = cv2.resize(inside.astype(np.float32), size, interpolation=cv2.INTER_AREA) > 0.999
    surface = _ground_surface(coarse, room)
    difference = coarse - surface
    noise = _noise(levels, inside)
    spread = max(noise, _spread(difference, _rim(room)))
    found = side or _side_of(difference, room=room, spread=spread)
    sign = 1.0 if found is Side.LIGHTER else -1.0
    towards = sign * difference
    if not (towards[room] > LEAST_CONTRAST / 2.0).any():
        what = f"nothing {found} than the ground lies there"
        raise TraceError(part_rules.no_part, what, remedy=OTHER_GROUND)
    cut = _otsu(np.clip(towards[room], 0.0, None))
    is_part = room & (towards > cut)
    room &= towards > -cut / 2.0  # what stands out the other way is neither part nor ground
    part_level, ground_level = _level_fields(coarse, is_part=is_part, room=room)
    for _ in range(2):  # once more with local levels, for uneven light
        half = (part_level + ground_level) / 2.0
        shadow = _SHADOW if is_shaded else 0.0
        is_part = room & (sign * (coarse - half) > shadow * np.abs(part_level - half))
        part_level, ground_level = _level_fields(coarse, is_part=is_part, room=room)
    contrast = float(np.median(np.abs(part_level - ground_level)[is_part])) if is_part.any() else 0
    whole = (levels.shape[1], levels.shape[0])
    centre = cv2.resize((part_level + ground_level) / 2.0, whole, interpolation=cv2.INTER_LINEAR)
    span = cv2.resize(np.abs(part_level - ground_level) / 2.0, whole)
    over = (levels - centre) * np.float32(sign)
    grain = _grain(over, span, inside)
    needed = max(LEAST_CONTRAST, LEAST_OVER_GRAIN * max(grain, noise))
    if contrast < needed:
        what = (
            f"part and ground differ by {contrast:.0f} of 255 grey levels, with a grain of "
            f"{max(grain, noise):.1f}; at least {needed:.0f} are needed"
        )
        raise TraceError(part_rules.no_part, what, remedy=OTHER_GROUND)
    return Ground(
        over_half=over,
        half_span=span,
        side=found,
        contrast=contrast,
        grain=grain,
        inside=inside,
        is_shaded=is_shaded,
    )


def _rim(room: Mask) -> Mask:
    """Give the rim of a region."""
    import cv2

    width = max(2, round(_RIM_SHARE * min(room.shape)))
    kernel = np.ones((2 * width + 1, 2 * width + 1), dtype=np.uint8)
    padded = np.pad(room.astype(np.uint8), 1)  # the picture's own rim counts as well
    core = cv2.erode(padded, kernel, borderType=cv2.BORDER_CONSTANT, borderValue=0)
    return np.asarray(room & (core[1:-1, 1:-1] == 0))


def _ground_surface(coarse: Levels, room: Mask) -> Levels:
    """Fit a surface of the second degree to the ground along the rim, leaving out what stands out.

    A part that reaches the rim is left out by its distance from the median, three times over.
    """
    rows, columns = np.nonzero(_rim(room))
    if rows.size < 30:
        what = "the place for the part is too small in the picture"
        remedy = "come nearer, or scan at a higher resolution"
        raise TraceError(picture_rules.too_small_a_picture, what, remedy=remedy)
    x, y = columns / coarse.shape[1] - 0.5, rows / coarse.shape[0] - 0.5
    terms = _terms(x, y)
    seen = coarse[rows, columns].astype(np.float64)
    use = np.abs(seen - np.median(seen)) <= max(4.0, 3.0 * _mad(seen))
    for _ in range(4):
        factors = np.linalg.lstsq(terms[use], seen[use], rcond=None)[0]
        off = seen - terms @ factors
        use = np.abs(off) <= max(3.0, 3.0 * _mad(off[use]))
    down, across = np.mgrid[: coarse.shape[0], : coarse.shape[1]]
    flat = _terms(across.ravel() / coarse.shape[1] - 0.5, down.ravel() / coarse.shape[0] - 0.5)
    return (flat @ factors).reshape(coarse.shape).astype(np.float32)


def _terms(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.stack((np.ones_like(x), x, y, x * x, x * y, y * y), axis=1)


def _mad(values: NDArray[np.floating]) -> float:
    """Give the standard deviation, estimated by the median so that outliers do not count."""
    return 1.4826 * float(np.median(np.abs(values - np.median(values)))) if values.size else 0.0


def _spread(difference: Levels, rim: Mask) -> float:
    return _mad(difference[rim])


def _noise(levels: Levels, inside: Mask) -> float:
    """Estimate the noise of a pixel from second differences along the rows, part and all."""
    some = levels[:: max(1, levels.shape[0] // 400)]
    use = inside[:: max(1, levels.shape[0] // 400), 2:]
    second = some[:, 2:] - 2.0 * some[:, 1:-1] + some[:, :-2]
    return float(_mad(second[use]) / 6.0**0.5)


def _grain(over_half: Levels, half_span: Levels, inside: Mask) -> float:
    """Find the spread of pixels about the level of part and of ground, the larger of the two."""
    step = max(1, int((over_half.size / _COARSE_PIXELS) ** 0.5))
    over, span = over_half[::step, ::step], half_span[::step, ::step]
    use = inside[::step, ::step]
    return max(_mad((over - span)[use & (over > 0)]), _mad((over + span)[use & (over <= 0)]))


def _side_of(difference: Levels, *, room: Mask, spread: float) -> Side:
    """Decide once whether the part is lighter or darker than the ground.

    Raises
    ------
    TraceError
        If there is nothing there, or lighter and darker things cover alike.
    """
    from_ground = max(LEAST_CONTRAST / 2.0, 4.0 * spread)
    lighter = difference[room & (difference > from_ground)]
    darker = -difference[room & (difference < -from_ground)]
    weights = {Side.LIGHTER: float(lighter.sum()), Side.DARKER: float(darker.sum())}
    best = max(weights, key=lambda one: weights[one])
    other = min(weights.values())
    if max(lighter.size, darker.size) < 20:
        what = "nothing stands out from the ground"
        raise TraceError(part_rules.no_part, what, remedy=OTHER_GROUND)
    if other > 0.5 * weights[best]:
        what = "lighter and darker things lie on the ground, and either could be the part"
        remedy = "say which it is: --part lighter or --part darker"
        raise TraceError(part_rules.lighter_or_darker, what, remedy=remedy)
    return best


def _otsu(values: NDArray[np.float32]) -> float:
    """Find the level that parts values into two groups with the least spread in each [OTSU]."""
    counts, bounds = np.histogram(values, bins=256)
    middles = (bounds[:-1] + bounds[1:]) / 2.0
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    with np.errstate(divide="ignore", invalid="ignore"):
        between = below * above * (sums / below - (sums[-1] - sums) / above) ** 2
    return float(bounds[1:][int(np.nanargmax(between))])


def _level_fields(coarse: Levels, *, is_part: Mask, room: Mask) -> tuple[Levels, Levels]:
    """Spread the brightness of sure part and of sure ground over the whole region."""
    import cv2

    kernel = np.ones((3, 3), dtype=np.uint8)
    core = cv2.erode(is_part.astype(np.uint8), kernel) > 0
    if not core.any():
        core = is_part
    bare = (cv2.dilate(is_part.astype(np.uint8), np.ones((5, 5), np.uint8)) == 0) & room
    reach = max(3.0, _NEAR_SHARE * max(coarse.shape))
    return _spread_out(coarse, core, reach), _spread_out(coarse, bare, reach)


def _spread_out(coarse: Levels, known: Mask, reach: float) -> Levels:
    """Average what is known nearby; further off, what is known further off."""
    import cv2

    weight = known.astype(np.float32)
    if not known.any():
        what = "part and ground cannot be told apart"
        raise TraceError(part_rules.no_part, what, remedy=OTHER_GROUND)
    found = np.full_like(coarse, np.float32(np.median(coarse[known])))
    for factor in (8.0, 3.0, 1.0):
        sigma = reach * factor
        shrink = max(1, int(sigma // 4))
        size = (max(1, coarse.shape[1] // shrink), max(1, coarse.shape[0] // shrink))
        small = cv2.resize(coarse * weight, size, interpolation=cv2.INTER_AREA)
        share = cv2.resize(weight, size, interpolation=cv2.INTER_AREA)
        small = cv2.GaussianBlur(small, (0, 0), sigma / shrink)
        share = cv2.GaussianBlur(share, (0, 0), sigma / shrink)
        whole = (coarse.shape[1], coarse.shape[0])
        total = cv2.resize(small, whole)
        parts = cv2.resize(share, whole)
        trust = np.clip(parts / 0.02, 0.0, 1.0)
        found = trust * total / np.maximum(parts, 1e-6) + (1.0 - trust) * found
    return found.astype(np.float32)
