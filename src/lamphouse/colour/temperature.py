"""Correlated colour temperature, and how far a light lies off the black body's line.

Terminology
-----------
CCT
    Temperature of the black body that lies nearest in the 1960 chromaticity diagram. [K]
Duv
    Distance to it, positive above the line (towards green), negative below (towards pink).
"""

from functools import cache

import numpy as np

from lamphouse.colour.observer import uniform_chromaticity, whole_observer
from lamphouse.colour.spectrum import GRID_NM, Array, fixed
from lamphouse.record import Record

SECOND_RADIATION_m_K = 1.4388e-2
"""``c2`` of the temperature scale the black body's colours are printed for [CIE-15]."""
LEAST_K, MOST_K = 1000.0, 40000.0
"""Ends of the table."""
FARTHEST_DUV = 0.05
"""Farther off the line a light has no colour temperature [CIE-15]."""
_STEP = 1.0025
"""Ratio of neighbouring temperatures of the table."""
_NEAR = 1.0002
"""The same of a chord taken for straight."""
_STRAIGHT_DUV = 0.002
"""Nearer to the line the triangle is the better of Ohno's two ways [OHNO-2013]."""


class Temperature(Record):
    """A white's place on and off the line of the black body."""

    cct_K: float
    duv: float


def planck(temperature_K: float | Array, *, at_nm: Array = GRID_NM) -> Array:
    """Give the black body's power, 1 at 560 nm; (..., n)."""
    at = np.asarray(temperature_K, dtype=np.float64)[..., None]

    def power(nm: Array | float) -> Array:
        metres = np.asarray(nm) * 1e-9
        return np.asarray(metres**-5 / np.expm1(SECOND_RADIATION_m_K / (metres * at)))

    return np.asarray(power(at_nm) / power(560.0))


def planck_xyz(temperature_K: float | Array) -> Array:
    """Give X, Y, Z of the black body over all the eye sees, in any unit; (..., 3)."""
    wavelengths, table = whole_observer()
    return np.asarray(planck(temperature_K, at_nm=wavelengths) @ table)


def uv_1960(xyz: Array) -> Array:
    """Give u, v of the 1960 diagram, in which CCT is defined; (..., 2) [CIE-15]."""
    return np.asarray(uniform_chromaticity(xyz) * np.array([1.0, 2.0 / 3.0]))


@cache
def _line() -> tuple[Array, Array]:
    """Give the temperatures and u, v of the black body's line, over all the eye sees."""
    count = int(np.log(MOST_K / LEAST_K) / np.log(_STEP)) + 2
    temperatures = LEAST_K * np.power(_STEP, np.arange(count, dtype=np.float64))
    return fixed(temperatures), fixed(uv_1960(planck_xyz(temperatures)))


def temperature(xyz: Array) -> Temperature | None:
    """Find the CCT and Duv of a light by Ohno's triangle and parabola [OHNO-2013].

    Parameters
    ----------
    xyz
        (3,)

    Returns
    -------
    Temperature or None
        None for black, beyond 1000 to 40000 K, and farther than ``FARTHEST_DUV`` off the line.
    """
    u, v = uv_1960(xyz)
    temperatures, line = _line()
    if not np.isfinite(u):
        return None
    far = np.hypot(line[:, 0] - u, line[:, 1] - v)
    middle = int(np.argmin(far))
    if middle in (0, len(far) - 1) or far[middle] > FARTHEST_DUV + 0.001:
        return None
    three = slice(middle - 1, middle + 2)
    found = _by_triangle(float(v), temperatures[three], line[three], far[three])
    if abs(found.duv) >= _STRAIGHT_DUV:
        found = _by_parabola(temperatures[three], far[three], sign=np.sign(found.duv))
    found = _nearer(found, u=float(u), v=float(v))
    return found if abs(found.duv) <= FARTHEST_DUV else None


def _nearer(found: Temperature, *, u: float, v: float) -> Temperature:
    """Drop a perpendicular on a chord so short that the answer does not jump from one to the next.

    From step to step of the table it would, by up to half a kelvin at 15000 K.
    """
    at = found.cct_K * np.array([1.0 / _NEAR, 1.0, _NEAR])
    line = uv_1960(planck_xyz(at))
    return _by_triangle(v, at, line, np.hypot(line[:, 0] - u, line[:, 1] - v))


def _by_triangle(v: float, at: Array, line: Array, far: Array) -> Temperature:
    """Drop a perpendicular on the chord between the neighbours of the nearest point."""
    chord = line[2] - line[0]
    long = float(np.hypot(*chord))
    along = float((far[0] ** 2 - far[2] ** 2 + long**2) / (2.0 * long))
    foot_v = float(line[0, 1] + chord[1] * along / long)
    off = float(np.sqrt(max(far[0] ** 2 - along**2, 0.0)))
    sign = 1.0 if v >= foot_v else -1.0
    return Temperature(cct_K=float(at[0] + (at[2] - at[0]) * along / long), duv=sign * off)


def _by_parabola(at: Array, far: Array, *, sign: float) -> Temperature:
    """Find the lowest point of the parabola through three distances."""
    curve = np.polynomial.Polynomial.fit(at, far, 2)
    lowest = float(curve.deriv().roots()[0].real)
    return Temperature(cct_K=lowest, duv=float(sign * curve(lowest)))
