"""Lamps: where they are, what they send which way, and what of it falls on points of a plane."""

from functools import lru_cache
from math import acos, cos, pi, radians, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.pieces import Lobe
from lamphouse.light.scene import Beam, CosinePower, IntensityTable, Lamp
from lamphouse.light.sight import lit
from lamphouse.light.viewers import Screens

Floats = NDArray[np.float64]

NARROW, SPOTTY = 0.36, 0.45
"""A beam is narrow whose spot is half as wide as the first share of its distance, or less. Up to
the second its spots count as those of lamps beside walls do. That of a Lambertian lamp is 0.64."""

STEEP, LEVEL = 0.7, 1e-9
"""The angle in which a beam would fall from its peak to nothing, where it falls most steeply, times
the first is how small pieces must be; the second is no fall at all. A Gaussian beam then needs them
six tenths as large as the power of a cosine like it."""

DARK = 1e-10
"""What is fainter than this share of its peak of a narrow beam by power is left out."""

STEPS = 400
"""Angles at which a table is looked at for the width of its spot."""


def intensity(beam: Beam, *, cosine: Floats) -> Floats:
    """Give the intensity of a beam of 1 lm. [cd/lm].

    Parameters
    ----------
    beam
        A cosine power, whose flux is ``2 pi I0 / (m + 1)``, or a table joined by straight lines.
    cosine
        Cosine of the angle from the axis, any shape.
    """
    if isinstance(beam, CosinePower):
        peak = (beam.m + 1.0) / (2.0 * pi)
        if beam.m == 1.0:
            return np.asarray(peak * np.maximum(cosine, 0.0))
        light = np.zeros(cosine.shape)
        inside = cosine > cos(beam_edge_rad(beam))
        light[inside] = peak * cosine[inside] ** beam.m
        return light
    angle, value, flux = _table(beam)
    light = np.zeros(cosine.shape)
    inside = cosine >= cos(angle[-1])
    off_axis = np.arccos(np.clip(cosine[inside], -1.0, 1.0))
    light[inside] = np.interp(off_axis, angle, value, right=0.0) / flux
    return light


@lru_cache(maxsize=64)
def _table(beam: IntensityTable) -> tuple[Floats, Floats, float]:
    """Give the angles of a table [rad], its values there, and the flux they are of."""
    angle, value = np.radians(beam.angles_deg), np.array(beam.relative)
    slope = np.diff(value) / np.diff(angle)
    here, there = angle[:-1], angle[1:]
    # Integral of (straight line) * sin between two angles of the table.
    pieces = value[:-1] * np.cos(here) - value[1:] * np.cos(there)
    pieces += slope * (np.sin(there) - np.sin(here))
    return angle, value, 2.0 * pi * float(np.sum(pieces))


@lru_cache(maxsize=64)
def beam_edge_rad(beam: Beam) -> float:
    """Angle from the axis beyond which a beam is dark, or a narrow one by power all but dark."""
    if isinstance(beam, CosinePower):
        return acos(DARK ** (1.0 / beam.m)) if is_narrow(beam) else pi / 2.0
    return radians(beam.angles_deg[-1])


def fineness(beam: Beam) -> float:
    """Tell how small pieces must be for a beam, relative to a Lambertian one."""
    if isinstance(beam, CosinePower):
        return min(1.0, 2.0 / sqrt(beam.m + 3.0))
    return 0.5


@lru_cache(maxsize=64)
def steep_part(beam: Beam) -> tuple[float, float] | None:
    """Tell how small pieces must be where a narrow beam by a table falls off steeply.

    Relative to a Lambertian one, and the angle from the axis beyond which that is not so. [rad].
    None where pieces as for any table will do.
    """
    if isinstance(beam, CosinePower) or not is_narrow(beam):
        return None
    angle, value = np.radians(beam.angles_deg), np.array(beam.relative)
    fine = STEEP * value.max() * np.diff(angle) / np.maximum(np.abs(np.diff(value)), LEVEL)
    (steep,) = np.nonzero(fine < fineness(beam))
    return (float(fine.min()), float(angle[steep[-1] + 1])) if len(steep) else None


def spot_slope(beam: Beam) -> float:
    """Half the width of the spot that a beam lights on a plane square to it, over its distance.

    There the illuminance, ``I cos^3`` of the angle from the axis, has fallen to half its peak.
    """
    if isinstance(beam, CosinePower):
        return float(np.tan(np.arccos(0.5 ** (1.0 / (beam.m + 3.0)))))
    angle = np.linspace(0.0, min(beam_edge_rad(beam), pi / 2.0), STEPS, endpoint=False)
    shown = np.interp(angle, np.radians(beam.angles_deg), beam.relative) * np.cos(angle) ** 3
    (bright,) = np.nonzero(shown >= 0.5 * shown.max())
    return float(np.tan(angle[bright[-1]]))


@lru_cache(maxsize=64)
def is_narrow(beam: Beam) -> bool:
    """Tell whether a beam lights a small spot wherever it lands."""
    return spot_slope(beam) <= NARROW


def place_of(lamp: Lamp) -> Floats:
    """Place of a lamp, (3,). [mm]."""
    return np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm])


def axis_of(lamp: Lamp) -> Floats:
    """Axis of a lamp's beam, (3,), of length 1."""
    x, y, z = lamp.direction
    length = sqrt(x * x + y * y + z * z)
    return np.array([x / length, y / length, z / length])


def counted(cosine: Floats, *, lobe: Lobe | None) -> Floats:
    """Give what light counts for by the cosine at which it lands."""
    if lobe is None:
        return np.maximum(cosine, 0.0)
    angle = np.arccos(np.clip(cosine, -1.0, 1.0))
    bell = np.exp(-0.5 * (angle / lobe.sigma_rad) ** 2)
    return np.where(angle < lobe.reach_rad, lobe.peak * bell, 0.0)


def falling(
    lamp: Lamp,
    *,
    x_mm: Floats,
    y_mm: Floats,
    z_mm: float,
    faces_up: bool,
    lobe: Lobe | None,
    screens: Screens,
) -> Floats:
    """Light of a lamp of 1 lm at points of a level plane. [1/mm2].

    Parameters
    ----------
    lamp
        Off the plane.
    x_mm, y_mm
        Places that broadcast against one another.
    z_mm, faces_up
        The plane and its lit side.
    lobe
        None for illuminance.
    screens
        What casts shadows.
    """
    (ax, ay, az), (ux, uy, uz) = place_of(lamp), axis_of(lamp)
    x, y, z = x_mm - ax, y_mm - ay, z_mm - az
    far2 = x * x + y * y + z * z
    inverse = 1.0 / np.sqrt(far2)
    arriving = counted((-z if faces_up else z) * inverse, lobe=lobe)
    leaving = (x * ux + y * uy + z * uz) * inverse
    light = np.asarray(intensity(lamp.beam, cosine=leaving) * arriving / far2)
    if len(screens.low_mm):
        places = np.broadcast_arrays(x_mm, y_mm, z_mm)
        points = np.stack([place.ravel() for place in places], axis=1)
        light *= lit(points, at=place_of(lamp), screens=screens).reshape(light.shape)
    return light
