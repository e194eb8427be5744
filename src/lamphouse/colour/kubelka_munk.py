"""Scattering layers by the two fluxes of Kubelka and Munk, and Saunderson's smooth surface.

Terminology
-----------
absorption, scatter
    ``K X`` and ``S X``: Kubelka and Munk's coefficients times the thickness of the layer. Pure
    numbers.
"""

import numpy as np

from lamphouse.colour.spectrum import Array

_FLAT = 1e-7
"""Below this the hyperbolic sine of a number over the number is 1."""
_LEAST = 1e-12
"""Shares below this are none."""


def shares(absorption: Array, scatter: Array) -> tuple[Array, Array]:
    """Give reflectance over black and transmittance of a layer in diffuse light [KUBELKA-MUNK].

    Parameters
    ----------
    absorption, scatter
        (...), broadcast against each other; either may be zero.

    Returns
    -------
    tuple of ndarray
        ``R0`` and ``T``, surfaces left out. (...)
    """
    bent = np.sqrt(absorption * (absorption + 2.0 * scatter))
    safe = np.maximum(bent, _FLAT)
    over = np.tanh(safe) / safe
    below = 1.0 + (scatter + absorption) * over
    gone = np.exp(-bent)
    return scatter * over / below, 2.0 * gone / (1.0 + gone**2) / below


def over(reflectance: Array, transmittance: Array, *, backing: Array) -> Array:
    """Give the reflectance of a layer that touches a backing: ``R0 + T^2 Rg / (1 - R0 Rg)``."""
    return np.asarray(reflectance + transmittance**2 * backing / (1.0 - reflectance * backing))


def coefficients(reflectance: Array, transmittance: Array) -> tuple[Array, Array]:
    """Find absorption and scatter of a layer from its shares [KUBELKA-MUNK].

    Parameters
    ----------
    reflectance, transmittance
        Over black and alone; above 0 in transmittance, together at most 1. (...)

    Returns
    -------
    tuple of ndarray
        ``K X`` and ``S X``, such that :func:`shares` gives the shares back. (...)
    """
    r, t = np.maximum(reflectance, _LEAST), np.maximum(transmittance, _LEAST)
    a = np.maximum((1.0 + r**2 - t**2) / (2.0 * r), 1.0)
    b = np.sqrt(a**2 - 1.0)
    safe = np.maximum(b, _FLAT)
    scatter = np.where(b > _FLAT, (np.arcsinh(safe / t) - np.arcsinh(safe)) / safe, r / t)
    return (a - 1.0) * scatter, np.asarray(scatter)


def ratio(reflectance: Array) -> Array:
    """Give ``K / S`` of a layer too thick to see through: ``(1 - R)^2 / (2 R)``."""
    held = np.maximum(reflectance, _LEAST)
    return np.asarray((1.0 - held) ** 2 / (2.0 * held))


def opaque(ratio: Array) -> Array:
    """Give the reflectance of a layer too thick to see through, from its ``K / S``."""
    return np.asarray(1.0 / (1.0 + ratio + np.sqrt(ratio * (ratio + 2.0))))


def through_surface(body: Array, *, outside: float, inside: float) -> Array:
    """Give the reflectance of a body under a smooth surface [SAUNDERSON].

    Parameters
    ----------
    body
        Reflectance without the surface. (...)
    outside
        Share the surface throws back of light from outside, about 0.04.
    inside
        Share it throws back of diffuse light from inside, about 0.6.
    """
    return np.asarray(outside + (1.0 - outside) * (1.0 - inside) * body / (1.0 - inside * body))


def without_surface(measured: Array, *, outside: float, inside: float) -> Array:
    """Undo :func:`through_surface`."""
    left = measured - outside
    return np.asarray(left / ((1.0 - outside) * (1.0 - inside) + inside * left))
