"""Sizes that go by a number: number drills, and wire by the American and the British gauge.

Terminology
-----------
number drill
    A twist drill named by a number from 80 (thin) to 1, with no formula behind it [ASME-B94.11M].
gauge
    A wire's thickness by number: AWG has a formula [ASTM-B258], SWG a table [BS3737].
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

from lamphouse.units.quantity import UnitError

NUMBER_DRILLS_IN: Mapping[int, float] = MappingProxyType(
    dict(
        enumerate(
            (
                *(0.2280, 0.2210, 0.2130, 0.2090, 0.2055, 0.2040, 0.2010, 0.1990, 0.1960, 0.1935),
                *(0.1910, 0.1890, 0.1850, 0.1820, 0.1800, 0.1770, 0.1730, 0.1695, 0.1660, 0.1610),
                *(0.1590, 0.1570, 0.1540, 0.1520, 0.1495, 0.1470, 0.1440, 0.1405, 0.1360, 0.1285),
                *(0.1200, 0.1160, 0.1130, 0.1110, 0.1100, 0.1065, 0.1040, 0.1015, 0.0995, 0.0980),
                *(0.0960, 0.0935, 0.0890, 0.0860, 0.0820, 0.0810, 0.0785, 0.0760, 0.0730, 0.0700),
                *(0.0670, 0.0635, 0.0595, 0.0550, 0.0520, 0.0465, 0.0430, 0.0420, 0.0410, 0.0400),
                *(0.0390, 0.0380, 0.0370, 0.0360, 0.0350, 0.0330, 0.0320, 0.0310, 0.0292, 0.0280),
                *(0.0260, 0.0250, 0.0240, 0.0225, 0.0210, 0.0200, 0.0180, 0.0160, 0.0145, 0.0135),
            ),
            start=1,
        )
    )
)
"""Number drills 1 to 80 in inches, exact, ten to a line [ASME-B94.11M]."""

SWG_IN: Mapping[int, float] = MappingProxyType(
    dict(
        enumerate(
            (
                *(0.324, 0.300, 0.276, 0.252, 0.232, 0.212, 0.192, 0.176, 0.160, 0.144),
                *(0.128, 0.116, 0.104, 0.092, 0.080, 0.072, 0.064, 0.056, 0.048, 0.040),
                *(0.036, 0.032, 0.028, 0.024, 0.022, 0.020, 0.018, 0.0164, 0.0148, 0.0136),
                *(0.0124, 0.0116, 0.0108, 0.0100, 0.0092, 0.0084, 0.0076, 0.0068, 0.0060, 0.0052),
                *(0.0048, 0.0044, 0.0040, 0.0036, 0.0032, 0.0028, 0.0024, 0.0020, 0.0016, 0.0012),
                0.0010,
            )
        )
    )
)
"""British standard wire gauge 0 to 50 in inches, exact, ten to a line [BS3737]."""

_AWG = range(57)
_DRILL = re.compile(
    r"(?:#|(?:number|no\.?|drill(?: *(?:#|number|no\.?))?)(?= |\d)) *(\d+)",
    re.ASCII | re.IGNORECASE,
)
_WIRE = re.compile(r"(\d+) *(AWG|SWG)|(AWG|SWG) *(\d+)", re.ASCII | re.IGNORECASE)
_IN_MM = "write the diameter in mm"


def awg_mm(gauge: int) -> float:
    """Give the diameter of solid wire of an American gauge from 0 to 56 [ASTM-B258].

    Raises
    ------
    UnitError
        Outside that range.

    Examples
    --------
    >>> round(awg_mm(36), 6), round(awg_mm(30), 4)
    (0.127, 0.2546)
    """
    if gauge not in _AWG:
        problem = f"{gauge} AWG is outside 0 to {_AWG[-1]}"
        raise UnitError(problem, remedy=_IN_MM)
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def numbered_mm(given: str) -> float | None:
    """Give the diameter of ``#75``, ``drill 75``, ``30 AWG`` or ``SWG 36``; None for other text.

    Raises
    ------
    UnitError
        If the number is on no table.
    """
    if found := _DRILL.fullmatch(given):
        return _inches(int(found[1]), NUMBER_DRILLS_IN, given)
    if not (found := _WIRE.fullmatch(given)):
        return None
    digits, system = found[1] or found[4], (found[2] or found[3]).upper()
    if digits != str(int(digits)):
        problem = f"'{given}' is not clear: gauges here are whole numbers from 0 up"
        raise UnitError(problem, remedy=_IN_MM)
    return awg_mm(int(digits)) if system == "AWG" else _inches(int(digits), SWG_IN, given)


def _inches(number: int, table: Mapping[int, float], given: str) -> float:
    if number in table:
        return round(table[number] * 25.4, 6)
    problem = f"'{given}' is outside the table, which goes from {min(table)} to {max(table)}"
    raise UnitError(problem, remedy=_IN_MM)
