"""Resistors: preferred values, power at the warmest ambient, and the marks on the part."""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.electric_parts import SERIES, ResistorPackage

LEAST_OHM = 10.0
MOST_OHM = 10e6
"""Usual ends of an assortment [PRACTICE]."""

_COLOURS = (
    "black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white",
)  # fmt: skip
_MULTIPLIERS = {-2: "silver", -1: "gold"} | dict(enumerate(_COLOURS))
_TOLERANCES = {
    0.10: "silver", 0.05: "gold", 0.02: "red", 0.01: "brown", 0.005: "green", 0.0025: "blue",
    0.001: "violet", 0.0005: "orange", 0.0002: "yellow", 0.0001: "grey",
}  # fmt: skip
_UNMARKED_TOLERANCE = 0.20
_TWO_DIGITS_FROM = 0.05
_CHIP_MULTIPLIERS = {-3: "Z", -2: "Y", -1: "X", 0: "A", 1: "B", 2: "C", 3: "D", 4: "E", 5: "F"}


@lru_cache
def preferred_ohm(series: str) -> NDArray[np.float64]:
    """List the values of a series from 10 ohm to 10 Mohm, rising; read-only, in ohm.

    Parameters
    ----------
    series
        ``E6``, ``E12``, ``E24`` or ``E96``.

    References
    ----------
    [IEC60063]
    """
    numbers = SERIES[series]
    digits = len(str(numbers[0]))
    values = [
        float(f"{number}e{power}")
        for power in range(2 - digits, 8 - digits + 1)
        for number in numbers
    ]
    listed = np.array([ohm for ohm in values if LEAST_OHM <= ohm <= MOST_OHM])
    listed.flags.writeable = False
    return listed


def is_sold(ohm: float) -> bool:
    """Tell whether a value is a number of any series, from 0.1 ohm to 100 Mohm."""
    if not 0.1 <= ohm <= 100e6:
        return False
    try:
        digits, _ = _digits_and_power(ohm)
    except ValueError:
        return False
    return any(int(digits) in numbers for numbers in SERIES.values())


def nearest_preferred_ohm(ohm: float, *, series: str) -> float:
    """Give the value of the series that is nearest in ratio, in ohm."""
    values = preferred_ohm(series)
    return float(values[np.abs(np.log(values / ohm)).argmin()])


def dissipation_limit_W(package: ResistorPackage, *, ambient_degC: float) -> float:
    """Give the power a package may dissipate: full up to its limit, then a straight line to none.

    References
    ----------
    [IEC60115-8]
    """
    span = package.zero_power_degC - package.full_power_degC
    share = (package.zero_power_degC - ambient_degC) / span
    return package.power_W * min(max(share, 0.0), 1.0)


def marks(ohm: float, *, package: ResistorPackage, tolerance: float) -> tuple[tuple[str, ...], str]:
    """Give the colour bands of an axial part, or the code of a chip; nothing for values not sold.

    Returns
    -------
    tuple
        The bands, body end first, and the code; the one that does not apply is empty.
    """
    if not is_sold(ohm):
        return (), ""
    if package.name.isdigit():
        return (), chip_code(ohm, tolerance=tolerance)
    return colour_bands(ohm, tolerance=tolerance), ""


def colour_bands(ohm: float, *, tolerance: float) -> tuple[str, ...]:
    """Name the colour bands of an axial resistor, body end first.

    Two digits at 5 % and wider where they hold the value, else three; then the multiplier and the
    tolerance. A tolerance between two classes takes the tighter class, whose parts keep the
    promise; 20 % and more has no band.

    Raises
    ------
    ValueError
        If the value needs more than three digits or lies outside the code's decades.

    References
    ----------
    [IEC60062]
    """
    digits, power = _digits_and_power(ohm, least=2 if tolerance >= _TWO_DIGITS_FROM else 3)
    if power not in _MULTIPLIERS:
        beyond = f"{ohm} ohm has no colour code"
        raise ValueError(beyond)
    bands = (*(_COLOURS[int(digit)] for digit in digits), _MULTIPLIERS[power])
    if tolerance >= _UNMARKED_TOLERANCE:
        return bands
    kept = (marked for marked in _TOLERANCES if marked <= tolerance * (1.0 + 1e-9))
    return (*bands, _TOLERANCES[max(kept, default=min(_TOLERANCES))])


def chip_code(ohm: float, *, tolerance: float) -> str:
    """Give the code printed on a chip resistor.

    At 1 % and tighter an E96 value carries two figures for its number and a letter for its
    multiplier, and any other value three digits and a count of zeros; above 1 % it is two digits
    and a count of zeros. ``R`` stands for the point of small values.

    Raises
    ------
    ValueError
        If the value needs more than three digits.

    References
    ----------
    [IEC60062]
    """
    tight = tolerance <= 0.01
    digits, power = _digits_and_power(ohm, least=3 if tight else 2)
    if tight and int(digits) in SERIES["E96"] and power in _CHIP_MULTIPLIERS:
        return f"{SERIES['E96'].index(int(digits)) + 1:02d}{_CHIP_MULTIPLIERS[power]}"
    if power >= 0:
        return f"{digits}{power}"
    return f"{digits[:power]}R{digits[power:]}"


def _digits_and_power(ohm: float, *, least: int = 2) -> tuple[str, int]:
    """Split a value into as few digits as hold it, ``least`` or three, and a power of ten."""
    for count in range(least, 4):
        power = math.floor(math.log10(ohm)) - (count - 1)
        number = round(ohm / 10.0**power)
        if number == 10**count:
            number, power = number // 10, power + 1
        if math.isclose(number * 10.0**power, ohm, rel_tol=1e-9):
            return str(number), power
    long = f"{ohm} ohm needs more than three digits"
    raise ValueError(long)
