"""Colours of light in the trade's words, and the light a word stands for.

Terminology
-----------
dominant wavelength
    The spectral colour that, mixed with daylight white, gives the hue. [nm]
purity
    How far a colour lies from white towards the spectrum's edge, 0 to 1.
"""

from functools import cache

import numpy as np

from lamphouse.colour.display import D65_XY, adapted, white_xyz
from lamphouse.colour.lab import to_lab, to_lch
from lamphouse.colour.observer import chromaticity, matching
from lamphouse.colour.spectrum import GRID_NM, Array, fixed
from lamphouse.colour.temperature import planck_xyz, temperature

WHITES = (
    ("candle white", 2100.0, 2400.0),
    ("warm white", 2400.0, 3600.0),
    ("neutral white", 3600.0, 4900.0),
    ("cool white", 4900.0, 7500.0),
    ("blue-white", 7500.0, 40000.0),
)
"""Whites by correlated colour temperature [PRACTICE]."""
WHITE_DUV = 0.01
"""Farther off the black body's line a light is a colour [PRACTICE]."""
TINGED_DUV = 0.006
"""Farther off it than whites for sale are, a white looks tinged [C78-377]."""
HUES = (
    ("violet", 380.0, 455.0),
    ("blue", 455.0, 478.0),
    ("cyan", 478.0, 500.0),
    ("green", 500.0, 555.0),
    ("yellow-green", 555.0, 572.0),
    ("yellow", 572.0, 583.0),
    ("amber", 583.0, 596.0),
    ("orange", 596.0, 609.0),
    ("red", 609.0, 781.0),
)
"""Hues by dominant wavelength [PRACTICE]."""
PURPLES = (("purple", 0.5), ("pink", 1.01))
"""Hues between violet and red, by the share of the way from violet [PRACTICE]."""
PALE_PURITY = 0.4
"""Less pure, a hue is pale [PRACTICE]."""

GREYS = (("white", 85.0), ("light grey", 65.0), ("grey", 40.0), ("dark grey", 20.0), ("black", 0.0))
"""Surfaces without colour by least lightness L* [PRACTICE]."""
GREY_CHROMA = 8.0
"""Surfaces with less chroma look grey [PRACTICE]."""
DARK_LIGHTNESS = 35.0
"""Coloured surfaces with less lightness look dark [PRACTICE]."""


@cache
def _edge() -> tuple[Array, Array, Array]:
    """Give wavelengths, directions [deg] and distances of the spectrum's edge seen from white."""
    at = (GRID_NM >= 400.0) & (GRID_NM <= 700.0)
    away = chromaticity(matching()[at]) - np.array(D65_XY)
    turned = np.degrees(np.arctan2(away[:, 1], away[:, 0]))
    return fixed(GRID_NM[at]), fixed(np.unwrap(turned, period=360.0)), fixed(np.hypot(*away.T))


def dominant(xy: Array) -> tuple[float | None, float, float]:
    """Give dominant wavelength, purity, and the share of the way along the purples.

    Returns
    -------
    tuple
        Wavelength [nm], None for purples; purity; 0 at violet to 1 at red where it is None.
    """
    wavelengths, turned, far = _edge()
    away = np.asarray(xy) - np.array(D65_XY)
    distance = float(np.hypot(*away))
    angle = float(np.degrees(np.arctan2(away[1], away[0])))
    low, high = float(turned.min()), float(turned.max())
    while angle < low:
        angle += 360.0
    while angle > low + 360.0:
        angle -= 360.0
    if angle <= high:
        order = np.argsort(turned)
        edge = float(np.interp(angle, turned[order], far[order]))
        return float(np.interp(angle, turned[order], wavelengths[order])), distance / edge, 0.0
    violet, red = (high, low + 360.0) if wavelengths[turned.argmax()] < 500 else (low + 360.0, high)
    share = (angle - violet) / (red - violet)
    ends = [np.array([np.cos(np.radians(end)), np.sin(np.radians(end))]) for end in (violet, red)]
    first, second = ends[0] * far[turned.argmax()], ends[1] * far[turned.argmin()]
    ray = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    edge = float(np.linalg.solve(np.stack([ray, first - second], axis=1), first)[0])
    return None, distance / edge, float(share)


def name_of(xyz: Array) -> str:
    """Name the colour of a light: ``warm white``, ``amber``, ``pale green``; ``dark`` for none."""
    if not xyz[1] > 0.0:
        return "dark"
    white = temperature(xyz)
    if white is not None and abs(white.duv) <= WHITE_DUV and white.cct_K >= WHITES[0][1]:
        name = next((own for own, low, high in WHITES if low <= white.cct_K < high), WHITES[-1][0])
        if abs(white.duv) <= TINGED_DUV:
            return name
        return f"{'greenish' if white.duv > 0.0 else 'pinkish'} {name}"
    wavelength, purity, along = dominant(chromaticity(xyz))
    if wavelength is None:
        hue = next(name for name, most in PURPLES if along < most)
    else:
        hue = next(name for name, low, high in HUES if low <= wavelength < high)
    return hue if purity >= PALE_PURITY else f"pale {hue}"


def surface_name(xyz: Array, *, white: Array) -> str:
    """Name the colour of a surface to an eye that takes the room's light for white.

    Parameters
    ----------
    xyz
        What the surface throws back. (3,)
    white
        What a white sheet would. (3,)
    """
    lightness, chroma, _ = to_lch(to_lab(xyz, white=white))
    if chroma < GREY_CHROMA:
        return next(name for name, least in GREYS if lightness >= least)
    daylight = white_xyz(D65_XY)
    seen = adapted(xyz / white[1], seen=white, shown=daylight)
    name = name_of(seen)
    hue = "white" if name.endswith("white") else name
    return f"dark {hue}" if lightness < DARK_LIGHTNESS and hue != "white" else hue


def light_of(name: str) -> Array:
    """Give the middle of what a name stands for: X, Y, Z with Y = 1; (3,).

    Raises
    ------
    KeyError
        For a name that :func:`colour_names` does not list.
    """
    whites = {own: (low, high) for own, low, high in WHITES}
    if name == "white":
        name = "neutral white"
    if name in whites:
        low, high = whites[name]
        xyz = planck_xyz(2.0 / (1.0 / low + 1.0 / min(high, 12000.0)))
        return np.asarray(xyz / xyz[1])
    hue = name.removeprefix("pale ")
    purity = 0.38 if hue != name else 0.95
    white = np.array(D65_XY)
    wavelengths, _, _ = _edge()
    edge = chromaticity(matching()[np.isin(GRID_NM, wavelengths, assume_unique=True)])
    purples = dict(zip([own for own, _ in PURPLES], (0.3, 0.75), strict=True))
    if hue in purples:
        end = edge[0] + purples[hue] * (edge[-1] - edge[0])
    else:
        low, high = {own: ends for own, *ends in HUES}[hue]
        middle = (max(low, 430.0) + min(high, 650.0)) / 2.0
        end = np.array([np.interp(middle, wavelengths, edge[:, axis]) for axis in (0, 1)])
    x, y = white + purity * (end - white)
    return white_xyz((float(x), float(y)))


def colour_names() -> tuple[str, ...]:
    """List the colours that can be wanted in words."""
    hues = [name for name, _, _ in HUES] + [name for name, _ in PURPLES]
    whites = [name for name, _, _ in WHITES]
    pale = [f"pale {hue}" for hue in hues if hue != "yellow"]  # that is a greenish white
    return ("white", *whites, *hues, *pale)
