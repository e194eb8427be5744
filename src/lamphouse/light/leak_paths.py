"""How much light gets through a wall that should keep it in: sheet, coats, slits and tubes."""

from collections.abc import Callable
from functools import cache
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STRIPS = 120
"""Strips across the wall of a slit or tube."""


def through_sheet(thickness_mm: float, *, scatter_per_mm: float, absorption_per_mm: float) -> float:
    """Diffuse transmittance of a sheet by Kubelka and Munk [KUBELKA-MUNK].

    Reflections at its faces are left out, so a clear sheet passes a little less than told.

    Parameters
    ----------
    thickness_mm
        Above 0.
    scatter_per_mm, absorption_per_mm
        Coefficients of the material, 0 or more. [1/mm].
    """
    scatter, absorbed = scatter_per_mm * thickness_mm, absorption_per_mm * thickness_mm
    if absorbed == 0.0:
        return 1.0 / (1.0 + scatter)
    decay = sqrt(absorbed * (absorbed + 2.0 * scatter))
    fading = float(np.exp(-decay))
    both = absorbed + scatter
    spread = both * (1.0 - fading**2) + decay * (1.0 + fading**2)
    return 2.0 * decay * fading / spread


def through_coats(density: float) -> float:
    """Transmittance of coats whose optical densities add up to this [NEUTRAL-DENSITY].

    Light that goes to and fro between pale coats is left out.
    """
    return float(10.0**-density)


def _through_channel(
    depth: float, *, end_to_end: Callable[[Floats], Floats], reflectance: float
) -> float:
    """Share of the light from one mouth of a channel that leaves at the other.

    Its wall is cut into strips across; exchange between strips and mouths follows from that of two
    mouths by differences, and the balance is solved.

    Parameters
    ----------
    depth
        In units in which a wall as deep as this has twice as much area as the mouth.
    end_to_end
        Exchange of two mouths at distances in the same units, from 1 at 0 downwards.
    reflectance
        Of the wall, matt, 0 to 1.
    """
    edge = depth * np.linspace(0.0, 1.0, STRIPS + 1)
    size = np.diff(edge)
    mouths = end_to_end(np.abs(edge[:, None] - edge[None]))
    exchange = np.diag(2.0 * size) - np.diff(np.diff(mouths, axis=0), axis=1)
    entering = -np.diff(end_to_end(edge))
    balance = np.eye(STRIPS) - reflectance * exchange / (2.0 * size[:, None])
    arriving = np.linalg.solve(balance, entering / (2.0 * size))
    straight = float(end_to_end(edge[-1:])[0])
    return straight + reflectance * float(arriving @ entering[::-1])


def _strips_ahead(distance: Floats) -> Floats:
    """Exchange of two long strips of width 1 that face each other [STRINGS]."""
    return np.asarray(np.hypot(distance, 1.0) - distance, dtype=np.float64)


def _discs_ahead(distance: Floats) -> Floats:
    """Exchange of two discs of radius 1 on one axis [HOWELL], C-41."""
    square = distance**2
    return np.asarray(1.0 + (square - distance * np.sqrt(square + 4.0)) / 2.0, dtype=np.float64)


@cache
def through_slit(gap_mm: float, *, depth_mm: float, reflectance: float) -> float:
    """Share of the light from one mouth of a long slit that leaves at the other.

    Parameters
    ----------
    gap_mm, depth_mm
        Distance of its walls, and how deep they are. Above 0.
    reflectance
        Of its walls, matt, 0 to 1.

    Returns
    -------
    float
        For black walls ``sqrt(1 + (depth / gap)^2) - depth / gap``.
    """
    return _through_channel(depth_mm / gap_mm, end_to_end=_strips_ahead, reflectance=reflectance)


@cache
def through_tube(diameter_mm: float, *, depth_mm: float, reflectance: float) -> float:
    """Share of the light from one mouth of a round hole that leaves at the other.

    Parameters
    ----------
    diameter_mm, depth_mm
        Above 0.
    reflectance
        Of its wall, matt, 0 to 1.

    Returns
    -------
    float
        For a black wall the form factor of two discs on one axis.
    """
    radii = depth_mm / (diameter_mm / 2.0)
    return _through_channel(radii, end_to_end=_discs_ahead, reflectance=reflectance)


def as_square_mm(diameter_mm: float) -> float:
    """Side of the square with the area of a disc."""
    return diameter_mm * sqrt(pi) / 2.0
