"""Base units into words, such as ``1.5 mA``, ``4k7`` and ``0.75 mm (0.030 in)``."""

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Context, Decimal

from lamphouse.units.quantity import FACTORS, Quantity

_SHOWN: Mapping[Quantity, tuple[tuple[str, str], ...]] = {
    Quantity.CURRENT: (("A", "1"), ("mA", "0.0001"), ("uA", "0")),
    Quantity.VOLTAGE: (("V", "0.1"), ("mV", "0")),
    Quantity.POWER: (("W", "1"), ("mW", "0")),
    Quantity.CAPACITY: (("Ah", "1"), ("mAh", "0")),
    Quantity.CAPACITANCE: (("F", "0.1"), ("uF", "0.000001"), ("nF", "0")),
    Quantity.DURATION: (("h", "3600"), ("min", "120"), ("s", "1"), ("ms", "0")),
    Quantity.FORWARD_DRIFT: (("mV/K", "0"),),
    Quantity.INTENSITY: (("cd", "1"), ("mcd", "0")),
    Quantity.FLUX: (("lm", "0.01"), ("mlm", "0")),
    Quantity.FREQUENCY: (("MHz", "1000000"), ("kHz", "1000"), ("Hz", "0")),
}
"""Units to show a value in, each with the least size it serves from; others have one unit."""

_MULTIPLES = (("M", 6), ("k", 3), ("R", 0))
"""Letters that stand for the point of a resistance, with their power of ten [IEC60062]."""


def show(value: float, quantity: Quantity, *, digits: int = 4) -> str:
    """Put a value into words that ``parse`` reads back.

    Parameters
    ----------
    value
        In the base unit of the quantity.
    quantity
        What it measures.
    digits
        Significant digits kept; halves are rounded away from zero.

    Raises
    ------
    ValueError
        If the value is not finite.

    Examples
    --------
    >>> show(0.0015, Quantity.CURRENT), show(4700, Quantity.RESISTANCE)
    ('1.5 mA', '4k7')
    """
    rounding = Context(prec=digits, rounding=ROUND_HALF_UP)
    exact = Decimal(repr(float(value)))
    if not exact.is_finite():
        not_finite = f"cannot put {value} into words"
        raise ValueError(not_finite)
    rounded = rounding.plus(exact)
    if quantity is Quantity.RESISTANCE:
        return ohm_code(rounded)
    shown = _SHOWN.get(quantity, ((quantity.units[0], "0"),))
    unit = next(unit for unit, least in shown if abs(rounded) >= Decimal(least))
    if not rounded:
        unit = quantity.base_unit or unit
    return f"{decimal_text(rounding.divide(exact, FACTORS[quantity][unit]))} {unit}"


def show_both(length_mm: float) -> str:
    """Give a length in mm and in inches to the thou, or finer below ten: ``1 mm (0.039 in)``."""
    inches = length_mm / 25.4
    places = 3 if abs(inches) >= 0.01 else 4
    return f"{show(length_mm, Quantity.LENGTH)} ({inches:.{places}f} in)"


def ohm_code(ohms: Decimal) -> str:
    """Write a resistance with a letter in place of the point: ``4k7``, ``R47`` [IEC60062]."""
    letter, power = next((pair for pair in _MULTIPLES if abs(ohms) >= 10 ** pair[1]), ("R", 0))
    whole, _, rest = decimal_text(ohms.scaleb(-power)).partition(".")
    sign = "-" if whole.startswith("-") else ""
    whole = whole.removeprefix("-")
    return f"{sign}{'' if rest and whole == '0' else whole}{letter}{rest}"


def decimal_text(number: Decimal) -> str:
    """Write a number without an exponent and without closing noughts."""
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
