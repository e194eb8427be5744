"""Dyes: which part of the light a coloured film, coat or paint takes in, in words.

Terminology
-----------
dye
    Absorption written as parts with ``;`` between: ``below 540 nm over 40 nm`` takes in what lies
    below, falling off within 40 nm; ``above 600 nm over 60 nm`` what lies above; ``at 560 nm over
    90 nm`` a band that is 90 nm wide at half its height. ``x 0.3`` behind a part is its strength
    beside the others; how strong all of them are follows from the film's transmittance.
    ``neutral`` takes in all light alike: no parts.
"""

import re
from enum import StrEnum

from lamphouse.catalogue.cells import OutOfRange, shortened
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse

NEUTRAL = "neutral"
MOST_PARTS = 8
"""Parts a dye may have."""
_PART = re.compile(r"(below|above|at) (.{1,20}?) over (.{1,20}?)(?: x (\d{1,3}(?:\.\d{1,4})?))?")
_EXAMPLE = "write it like 'below 540 nm over 40 nm; at 620 nm over 80 nm x 0.3', or 'neutral'"


class Side(StrEnum):
    """Where a part of a dye takes in light."""

    BELOW = "below"
    ABOVE = "above"
    AT = "at"


class DyePart(Record):
    """One band or edge of absorption."""

    side: Side
    at_nm: float
    """Middle of the band or of the edge."""
    over_nm: float
    """Width of a band at half its height; of an edge, from 90 to 10 % of its height."""
    strength: float
    """Beside the other parts."""


def dye(text: str) -> tuple[DyePart, ...]:
    """Read the dye of a film.

    Raises
    ------
    UnitError
        If a part is not clear.
    OutOfRange
        If it lies where the eye sees nothing, or has no width.
    """
    if text.strip() == NEUTRAL:
        return ()
    parts = [part.strip() for part in text.split(";") if part.strip()]
    if not 1 <= len(parts) <= MOST_PARTS:
        problem = f"a dye has 1 to {MOST_PARTS} parts, not {len(parts)}"
        raise UnitError(problem, remedy=_EXAMPLE)
    return tuple(map(_part, parts))


def _part(text: str) -> DyePart:
    found = _PART.fullmatch(" ".join(text.split()))
    if not found:
        problem = f"'{shortened(text)}' is no part of a dye"
        raise UnitError(problem, remedy=_EXAMPLE)
    side, at, over, strength = found.groups()
    at_nm, over_nm = parse(at, Quantity.WAVELENGTH), parse(over, Quantity.WAVELENGTH)
    if not 300.0 <= at_nm <= 900.0:
        problem = f"'{at}' is out of range: a dye that colours lies near the light the eye sees"
        raise OutOfRange(problem, remedy="write a wavelength from 300 nm up to 900 nm")
    if not 5.0 <= over_nm <= 500.0:
        problem = f"'{over}' is out of range: no dye begins more sharply or more slowly"
        raise OutOfRange(problem, remedy="write a width from 5 nm up to 500 nm")
    return DyePart(side=Side(side), at_nm=at_nm, over_nm=over_nm, strength=float(strength or 1.0))
