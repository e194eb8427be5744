"""Diffusers that do not spread light evenly: what shows through them besides the even part.

Seen along the normal a hazy diffuser shows ``tau (d E / pi + l L_lobe + s L_below)``: ``d``, ``l``
and ``s`` are the shares of the haze, ``L_below`` is the luminance straight below, and ``L_lobe``
the mean luminance of the inside weighted by a Gaussian of the angle from the normal. By the
reversal of light that weight on each face is the flux a lamp in the opening, whose beam is the
Gaussian, would send to it; so the same sums serve. A lamp's own image in the lobe is its intensity
over the distance squared, times the Gaussian. The naked lamp seen through the straight part is not
a luminance of the opening and is left out.
"""

from math import pi, radians

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.interior import Interior
from lamphouse.light.scene import Haze, IntensityTable, Lamp
from lamphouse.light.uprights import ring_area_centre

Floats = NDArray[np.float64]

REACH = 4.5
"""The Gaussian is cut off at this many standard deviations, or at 90 degrees."""

TABLE_POINTS = 61

HAIR_MM = 1e-6
"""How far below the panel the eye's rays start."""


def lobe_of(haze: Haze) -> emitter.Lobe:
    """Give the lobe, its mean weight over all directions being 1."""
    sigma = radians(haze.lobe_deg)
    reach = min(REACH * sigma, pi / 2.0)
    angle = np.linspace(0.0, reach, 4001)
    height = 2.0 * pi * np.sin(angle) * np.exp(-0.5 * (angle / sigma) ** 2)
    whole = float(np.sum(height[1:] + height[:-1])) * (angle[1] - angle[0]) / 2.0
    return emitter.Lobe(sigma_rad=sigma, reach_rad=reach, peak=1.0 / whole)


def _beam(lobe: emitter.Lobe) -> IntensityTable:
    angle = np.linspace(0.0, lobe.reach_rad, TABLE_POINTS)
    value = np.exp(-0.5 * (angle / lobe.sigma_rad) ** 2)
    return IntensityTable(
        angles_deg=tuple(np.degrees(angle).tolist()), relative=tuple(value.tolist())
    )


def lobe_rows(interior: Interior, *, spots: Floats, haze: Haze) -> Floats:
    """Luminance in the lobe per light sent out by each face, spots (S, v, 2): (S, N). [1/sr]."""
    _, centre = ring_area_centre(spots)
    rows = np.zeros((len(spots), interior.face_count))
    own = slice(interior.first[-2], interior.first[-1])
    beam = _beam(lobe_of(haze))
    for row, (x, y) in zip(rows, centre, strict=True):
        eye = Lamp(
            name="eye",
            x_mm=float(x),
            y_mm=float(y),
            z_mm=interior.box.depth_mm - HAIR_MM,
            direction=(0.0, 0.0, -1.0),
            beam=beam,
            flux_lm=1.0,
        )
        flux = emitter.landing(eye, onto=interior.onto[-1], screens=interior.screens).flux
        row[own] = flux / flux.sum() / pi
    return rows
