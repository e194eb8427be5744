"""How different two colours look: CIEDE2000."""

import numpy as np

from lamphouse.colour.spectrum import Array

_SEVENTH = 25.0**7


def difference(one: Array, other: Array) -> Array:
    """Give the CIEDE2000 difference of two colours [ISO11664-6], all parametric factors 1.

    Parameters
    ----------
    one, other
        L*, a*, b*. (..., 3), broadcast against each other

    Returns
    -------
    ndarray
        (...). About 1 is just seen side by side, 5 at once; made for differences below 5 under
        daylight, on a mid-grey surround.
    """
    mean_chroma = (np.hypot(one[..., 1], one[..., 2]) + np.hypot(other[..., 1], other[..., 2])) / 2
    grown = 1.5 - 0.5 * np.sqrt(mean_chroma**7 / (mean_chroma**7 + _SEVENTH))
    chroma_1, hue_1 = _polar(one, grown)
    chroma_2, hue_2 = _polar(other, grown)
    is_grey = chroma_1 * chroma_2 == 0.0
    turn = np.where(is_grey, 0.0, (hue_2 - hue_1 + 180.0) % 360.0 - 180.0)
    turn = np.where((turn == -180.0) & (hue_2 > hue_1), 180.0, turn)
    middle = (hue_1 + hue_2) / 2.0
    far = np.abs(hue_1 - hue_2) > 180.0
    middle = np.where(far, np.where(middle < 180.0, middle + 180.0, middle - 180.0), middle)
    middle = np.where(is_grey, hue_1 + hue_2, middle)
    return _weighed(
        one[..., 0], other[..., 0], chromas=(chroma_1, chroma_2), turn=turn, middle=middle
    )


def _polar(lab: Array, grown: Array) -> tuple[Array, Array]:
    """Give chroma and hue [deg] after the red-green axis has grown."""
    a, b = lab[..., 1] * grown, lab[..., 2]
    return np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360.0


def _weighed(
    lightness_1: Array,
    lightness_2: Array,
    *,
    chromas: tuple[Array, Array],
    turn: Array,
    middle: Array,
) -> Array:
    """Weigh the differences of lightness, chroma and hue and join them."""
    chroma_1, chroma_2 = chromas
    lightness, chroma = (lightness_1 + lightness_2) / 2.0, (chroma_1 + chroma_2) / 2.0
    off_grey = (lightness - 50.0) ** 2
    hue_weight = (
        1.0
        - 0.17 * np.cos(np.radians(middle - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * middle))
        + 0.32 * np.cos(np.radians(3.0 * middle + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * middle - 63.0))
    )
    of_lightness = (lightness_2 - lightness_1) / (1.0 + 0.015 * off_grey / np.sqrt(20.0 + off_grey))
    of_chroma = (chroma_2 - chroma_1) / (1.0 + 0.045 * chroma)
    apart = 2.0 * np.sqrt(chroma_1 * chroma_2) * np.sin(np.radians(turn) / 2.0)
    of_hue = apart / (1.0 + 0.015 * chroma * hue_weight)
    twist = np.radians(60.0 * np.exp(-(((middle - 275.0) / 25.0) ** 2)))
    crossed = -2.0 * np.sqrt(chroma**7 / (chroma**7 + _SEVENTH)) * np.sin(twist)
    return np.asarray(
        np.sqrt(of_lightness**2 + of_chroma**2 + of_hue**2 + crossed * of_chroma * of_hue)
    )
