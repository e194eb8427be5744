"""A wanted colour of light, read from the maker's words, and how far a light misses it."""

import re
from functools import lru_cache

import numpy as np

from lamphouse.catalogue.cells import nearest, shortened
from lamphouse.colour.colour_words import colour_names, light_of, name_of
from lamphouse.colour.crossing import crossing
from lamphouse.colour.difference import difference
from lamphouse.colour.lab import to_lab
from lamphouse.colour.observer import uniform_chromaticity
from lamphouse.colour.spectrum import Array, fixed
from lamphouse.colour.temperature import planck_xyz
from lamphouse.record import Record
from lamphouse.units import UnitError

SEVEN_STEPS = 0.0077
"""Distance in u', v' within which whites pass for the same, seven steps [CIE-TN-001]."""
NEAR_LAB = 5.0
"""CIEDE2000 difference that the eye sees at once [ISO11664-6]."""
LEAST_K, MOST_K = 1000.0, 25000.0
_FAR_MIRED, _COOLEST_K = 150.0, 40000.0
"""Ends of the search for the whites that pass for one."""
_NUMBER = r"(-?\d{1,3}(?:\.\d{1,4})?)"
_LAB = re.compile(rf"lab\s*\(?\s*{_NUMBER}[\s,]+{_NUMBER}[\s,]+{_NUMBER}\s*\)?", re.IGNORECASE)
_KELVIN = re.compile(r"(\d{4,5})\s*k", re.IGNORECASE)


class ColourWish(Record, eq=False):
    """A wanted colour: a name, L*, a*, b*, or else a light, such as that of a temperature."""

    name: str = ""
    cct_K: float | None = None
    lab: Array | None = None
    """Against what the eye takes for white in the room. (3,)"""
    target: Array
    """Middle of what is wanted, X, Y, Z with Y = 1; of no use with ``lab``. (3,)"""
    within: float = SEVEN_STEPS
    """How far from it a light without a name may lie, in u', v'."""

    def is_met(self, xyz: Array, *, lab: Array) -> bool:
        """Tell whether a light is what is wanted.

        Parameters
        ----------
        xyz
            Of the light, in any unit. (3,)
        lab
            Its L*, a*, b* to the eye in its room. (3,)
        """
        if self.lab is not None:
            return float(difference(lab, self.lab)) <= NEAR_LAB
        if not self.name:
            off = uniform_chromaticity(xyz) - uniform_chromaticity(self.target)
            return bool(np.hypot(*off) <= self.within)
        name = name_of(xyz)
        if self.name == "white":
            return name.endswith("white") and "ish " not in name
        return name == self.name

    def miss(self, *, lab: Array, white: Array) -> Array:
        """Give the CIEDE2000 difference from what is wanted; words and kelvin leave lightness open.

        Parameters
        ----------
        lab
            Of the light. (..., 3)
        white
            X, Y, Z that ``lab`` is against. (3,)

        Returns
        -------
        ndarray
            (...)
        """
        if self.lab is not None:
            return difference(lab, np.broadcast_to(self.lab, lab.shape))
        wanted = to_lab(self.target * white[1], white=white)
        # at the light's own lightness: of the two only hue and chroma count
        level = (np.maximum(lab[..., 0], 1.0) + 16.0) / (wanted[0] + 16.0)
        alike = to_lab(self.target * white[1] * level[..., None] ** 3, white=white)
        return difference(np.concatenate([alike[..., :1], lab[..., 1:]], axis=-1), alike)


def white_span_K(cct_K: float) -> tuple[float, float]:
    """Give the colour temperatures that pass for one white, seven steps either way.

    Along the black body's line, within 1000 to 40000 K [CIE-TN-001]. What one row of a catalogue
    covers when its maker sorts no closer.
    """
    middle = uniform_chromaticity(planck_xyz(cct_K))

    def over(mired: float) -> float:
        off = uniform_chromaticity(planck_xyz(1e6 / mired)) - middle
        return float(np.hypot(*off)) - SEVEN_STEPS

    own = 1e6 / cct_K
    warm = crossing(over, own, own + _FAR_MIRED, within=1e-3)
    coolest = max(own - _FAR_MIRED, 1e6 / _COOLEST_K)
    cool = crossing(over, coolest, own, within=1e-3) if over(coolest) > 0.0 else coolest
    return 1e6 / warm, 1e6 / cool


@lru_cache(maxsize=256)
def wanted_colour(text: str) -> ColourWish:
    """Read a wanted colour: ``warm white``, ``2900 K``, ``amber``, ``Lab 60 40 20``.

    Raises
    ------
    UnitError
        If it is none of these.
    """
    words = " ".join(text.split())
    if found := _LAB.fullmatch(words):
        lab = np.array([float(part) for part in found.groups()])
        if not (0.0 <= lab[0] <= 100.0 and np.abs(lab[1:]).max() <= 150.0):
            problem = f"'{shortened(words)}' is no colour"
            raise UnitError(problem, remedy="write L* from 0 to 100, a* and b* from -150 to 150")
        return ColourWish(lab=fixed(lab), target=fixed(np.ones(3)))
    if found := _KELVIN.fullmatch(words):
        cct_K = float(found[1])
        if not LEAST_K <= cct_K <= MOST_K:
            problem = f"no white has {cct_K:g} K"
            raise UnitError(problem, remedy=f"write {LEAST_K:g} K to {MOST_K:g} K")
        xyz = planck_xyz(cct_K)
        return ColourWish(cct_K=cct_K, target=fixed(xyz / xyz[1]))
    name = words.casefold().replace("colour", "").strip()
    if name in colour_names():
        return ColourWish(name=name, target=fixed(light_of(name)))
    meant = nearest(name, colour_names())
    remedy = f"write '{meant}'" if meant else "write one of: " + ", ".join(colour_names()[:15])
    problem = f"'{shortened(words)}' is no colour that can be judged"
    raise UnitError(problem, remedy=f"{remedy}; or a white such as 2900 K, or Lab 60 40 20")
