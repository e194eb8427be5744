"""Words into base units.

Values are computed in decimal with exact factors and rounded once, so ``2.9 mA`` is the double
nearest to 0.0029 A.

Terminology
-----------
bare number
    A number without a unit. It is refused unless it is zero, which is the same in any unit.
real
    The mark after a full-size length, which is divided by the model's scale.
"""

import re
from collections.abc import Mapping, Sequence
from decimal import Context, Decimal

from lamphouse.units.gauges import numbered_mm
from lamphouse.units.quantity import FACTORS, Quantity, UnitError
from lamphouse.units.signs import LONGEST_TEXT, plain
from lamphouse.units.wording import decimal_text, ohm_code, show

LARGEST = 1e15
"""Largest size in base units that is read."""
SMALLEST = 1e-15
"""Smallest size beside zero."""
LARGEST_SCALE = 10_000

_EXACT = Context(prec=3 * LONGEST_TEXT)
_FOOT_MM = Decimal("304.8")
_INCH_MM = Decimal("25.4")

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
_UNIT = r"([^\s\d.,/+-][^\d]*2?)?"
_PLAIN = re.compile(rf"({_NUMBER}) *{_UNIT}", re.ASCII)
_FRACTION = re.compile(rf"([+-]?)(?:(\d+)[ -])?(\d+)/(\d+) *{_UNIT}", re.ASCII)
_CODED = re.compile(r"([+-]?)(?=[a-z]?\d)(\d*)([rkm])(\d*)", re.ASCII | re.IGNORECASE)
_CODED_VOLTS = re.compile(r"([+-]?\d+)[Vv](\d+)", re.ASCII)
_PARTED = re.compile(r"(?<=[Vv]) +(?=DC|dc)|(?<=[kM]) +(?=ohm)|(?<=deg) +(?=C)")
"""Blanks that some people put into a unit."""
_HOURS = re.compile(r"(\d+) *h(?:ours?)? *(\d+) *(?:min|minutes?)", re.ASCII)
_PRINTED_CODE = re.compile(r"\d{2,3}[0-7]", re.ASCII)
_FEET = re.compile(r"([+-]?)(\d+) *(?:ft|') *(\d.*?) *(?:in|\")", re.ASCII)
_BETWEEN = re.compile(r" *[x,] *(?=[-+.\d#])", re.ASCII)
_BARE = re.compile(rf"{_NUMBER}|(?:\d+[ -])?\d+/\d+", re.ASCII)
_TO = re.compile(r" +to +| *[\u2013\u2014] *")
_HYPHEN = re.compile(rf"((?>{_NUMBER})[^\d-]*?2?) *- *({_NUMBER}.*)", re.ASCII)
_RATIO = re.compile(rf"1 *[:/] *({_NUMBER})", re.ASCII)
_PER_FOOT = re.compile(r"(.+?) *(?:/|per |to the ) *(?:ft|foot)", re.ASCII)

_SCALE_LETTERS: Mapping[str, str] = {
    "O": "1:43.5, 1:45 or 1:48",
    "OO": "1:76.2",
    "HO": "1:87.1",
    "N": "1:148 or 1:160",
}
"""What railway letters stand for; some differ by country [PRACTICE]."""


def parse(text: str, quantity: Quantity, *, scale: float | None = None) -> float:
    """Read one quantity.

    Parameters
    ----------
    text
        Such as ``0.75 mm``, ``1/32 in``, ``#75``, ``4k7``, ``12 mA`` or ``140 cm real``.
    quantity
        What is wanted.
    scale
        Full size over model size; needed for lengths marked ``real``.

    Returns
    -------
    float
        In the base unit of the quantity, of either sign, zero or from 1e-15 to 1e15 in size.

    Raises
    ------
    UnitError
        If the text is anything but one clear quantity of this kind.

    Examples
    --------
    >>> parse("1/32 in", Quantity.LENGTH), parse("#75", Quantity.LENGTH)
    (0.79375, 0.5334)
    >>> parse("4k7", Quantity.RESISTANCE), parse("70 %", Quantity.SHARE)
    (4700.0, 0.7)
    """
    found = _PLAIN.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    factor = FACTORS[quantity].get(found[2]) if found else None
    if found and factor is not None:
        return _within_reach(_EXACT.multiply(Decimal(found[1]), factor), text, quantity)
    given = plain(text)
    return _within_reach(_read(given, quantity, scale), given, quantity)


def parse_many(
    text: str, quantity: Quantity, *, count: int, scale: float | None = None
) -> tuple[float, ...]:
    """Read several quantities with ``x`` or a comma between; the last unit serves bare ones.

    Raises
    ------
    UnitError
        If there are more or fewer than ``count``, or one of them is not clear.

    Examples
    --------
    >>> parse_many("48 x 30 mm", Quantity.LENGTH, count=2)
    (48.0, 30.0)
    """
    given = plain(text)
    parts = _with_last_unit(_BETWEEN.split(given))
    values = tuple(parse(part, quantity, scale=scale) for part in parts)
    if len(values) != count:
        problem = f"'{given}' holds {len(values)} of {count} values"
        wanted = " x ".join((parts * count)[:count])
        raise UnitError(problem, remedy=f"write {count} with x between, such as {wanted}")
    return values


def parse_range(
    text: str, quantity: Quantity, *, scale: float | None = None
) -> tuple[float, float]:
    """Read a least and a most with ``to`` or a dash longer than a hyphen between.

    Raises
    ------
    UnitError
        If it is not a range, or runs backwards.

    Examples
    --------
    >>> parse_range("20 to 100 cd/m2", Quantity.LUMINANCE)
    (20.0, 100.0)
    """
    given = plain(text)
    problem = f"'{given}' is not a range from least to most"
    if found := _HYPHEN.fullmatch(given):
        raise UnitError(problem, remedy=f"write {found[1]} to {found[2]}")
    parts = _with_last_unit(_TO.split(given))
    ends = tuple(parse(part, quantity, scale=scale) for part in parts)
    if len(ends) != 2:
        least, most = sorted((ends[0], 2 * ends[0] or 1.0))
        example = f"{show(least, quantity)} to {show(most, quantity)}"
        raise UnitError(problem, remedy=f"write both ends, such as {example}")
    if ends[0] > ends[1]:
        problem = f"the range '{given}' runs backwards"
        raise UnitError(problem, remedy=f"write {parts[1]} to {parts[0]}")
    return ends


def parse_scale(text: str) -> float:
    """Read a scale: ``1:24``, ``1/24``, or a length to the foot such as ``4 mm/ft``.

    Returns
    -------
    float
        Full size over model size, from 1 to 10 000.

    Raises
    ------
    UnitError
        If it is not a scale.

    Examples
    --------
    >>> parse_scale("1:24"), parse_scale("4 mm/ft")
    (24.0, 76.2)
    """
    given = plain(text)
    if found := _RATIO.fullmatch(given):
        scale = Decimal(found[1])
    elif found := _PER_FOOT.fullmatch(given):
        length = _read(found[1], Quantity.LENGTH, None)
        scale = _EXACT.divide(_FOOT_MM, length) if length > 0 else Decimal(0)
    else:
        numbers = re.findall(r"\d+(?:\.\d+)?", given, re.ASCII)
        likely = next((n for n in numbers if 1 < float(n) <= LARGEST_SCALE), "24")
        meant = _SCALE_LETTERS.get(given.upper(), f"1:{likely}, or as a length such as 4 mm/ft")
        problem = f"'{given}' is not a scale"
        raise UnitError(problem, remedy=f"write {meant}")
    if not 1 <= scale <= LARGEST_SCALE:
        problem = f"the scale '{given}' is not from 1:1 to 1:{LARGEST_SCALE}"
        raise UnitError(problem, remedy="write full size over model size, such as 1:24")
    return float(scale)


def _read(given: str, quantity: Quantity, scale: float | None) -> Decimal:
    """Read what is more than a number and a known unit."""
    value = None
    if quantity is Quantity.LENGTH:
        value = _read_length(given, scale)
    elif quantity is Quantity.RESISTANCE:
        value = _read_coded(given)
    elif quantity is Quantity.VOLTAGE and (found := _CODED_VOLTS.fullmatch(given)):
        value = Decimal(f"{found[1]}.{found[2]}")
    elif quantity is Quantity.DURATION and (found := _HOURS.fullmatch(given)):
        value = Decimal(found[1]) * 3600 + Decimal(found[2]) * 60
    if value is not None:
        return value
    written, number, unit = _number_and_unit(given, quantity)
    if quantity is Quantity.TEMPERATURE and unit in ("F", "degF"):
        return _EXACT.divide((number - 32) * 5, Decimal(9))
    if unit:
        return _EXACT.multiply(number, _factor(written, unit, quantity))
    if number == 0 and quantity is not Quantity.TEMPERATURE:
        return number
    raise _bare_number(written, number, quantity)


def _number_and_unit(given: str, quantity: Quantity) -> tuple[str, Decimal, str]:
    """Take apart a number, as written and in value, and the unit behind it."""
    if found := _PLAIN.fullmatch(given):
        return found[1], Decimal(found[1]), found[2] or ""
    if (found := _FRACTION.fullmatch(given)) and int(found[4]):
        sign, whole, top, bottom, unit = found.groups(default="")
        size = Decimal(whole or 0) + _EXACT.divide(Decimal(top), Decimal(bottom))
        return given[: found.end(4)], -size if sign == "-" else size, unit
    problem = f"'{given}' is not one plain number with one unit"
    raise UnitError(problem, remedy=f"write {quantity.noun}, such as 10 {quantity.likely_units[0]}")


def _factor(written: str, unit: str, quantity: Quantity) -> Decimal:
    """Look a unit up; forgive capitals where they cannot turn a thousandth into a million."""
    factors = FACTORS[quantity]
    unit = _PARTED.sub("", unit)
    if unit in factors:
        return factors[unit]
    alike = {factors[known]: known for known in factors if _letters(known) == _letters(unit)}
    clear = unit[0] not in "mM" or all(known[0] == unit[0] for known in alike.values())
    if len(alike) == 1 and clear:
        return next(iter(alike))
    if alike:
        problem = f"'{written} {unit}' is not clear: m is a thousandth, M a million"
        readings = " or ".join(f"{written} {known}" for known in alike.values())
        raise UnitError(problem, remedy=f"write {readings}")
    example = f"{written} {quantity.likely_units[0]}"
    other = next((kind for kind, units in FACTORS.items() if unit in units), None)
    if other:
        problem = f"'{written} {unit}' is {other.noun}; {quantity.noun} is wanted"
        raise UnitError(problem, remedy=f"write {quantity.noun}, such as {example}")
    problem = f"'{unit}' in '{written} {unit}' is not a unit of {quantity}"
    allowed = ", ".join(quantity.units)
    raise UnitError(problem, remedy=f"write it in {allowed}, such as {example}")


def _letters(unit: str) -> str:
    """Give a unit's letters whatever their case, without the ohm that resistors leave out."""
    return unit.lower().removesuffix("ohm")


def _bare_number(written: str, number: Decimal, quantity: Quantity) -> UnitError:
    """Tell what a number without a unit may have meant."""
    problem = f"'{written}' has no unit"
    likely = [f"{written} {unit}" for unit in quantity.likely_units]
    if quantity is Quantity.SHARE and abs(number) <= 1:
        likely.insert(0, f"{decimal_text(number * 100)} %")
    elif quantity is Quantity.RESISTANCE and _PRINTED_CODE.fullmatch(written):
        printed = ohm_code(Decimal(written[:-1]).scaleb(int(written[-1])))
        problem += f"; printed on a part it would mean {printed}"
        likely = [f"{written}R", printed]
    return UnitError(problem, remedy="write " + " or ".join(likely))


def _read_length(given: str, scale: float | None) -> Decimal | None:
    """Read full-size lengths, drills and gauges, feet with inches; None when it is none."""
    if given.endswith(" real"):
        if scale is None:
            problem = f"'{given}' is a full-size length, and no scale is known here"
            raise UnitError(problem, remedy="write the length on the model, such as 10 mm")
        full_size = _read(given.removesuffix(" real").rstrip(), Quantity.LENGTH, None)
        return _EXACT.divide(full_size, Decimal(repr(float(scale))))
    diameter_mm = numbered_mm(given)
    if diameter_mm is not None:
        return Decimal(repr(diameter_mm))
    if found := _FEET.fullmatch(given):
        inches = _number_and_unit(found[3], Quantity.LENGTH)[1]
        size = _EXACT.add(Decimal(found[2]) * _FOOT_MM, _EXACT.multiply(inches, _INCH_MM))
        return -size if found[1] == "-" else size
    return None


def _read_coded(given: str) -> Decimal | None:
    """Read ``4k7``, ``R47`` and their kin [IEC60062]; None when it is none."""
    found = _CODED.fullmatch(given)
    if not found:
        return None
    sign, whole, letter, rest = found.groups()
    written = f"{sign}{whole or 0}.{rest}".rstrip(".")
    return _EXACT.multiply(Decimal(written), _factor(written, letter, Quantity.RESISTANCE))


def _with_last_unit(parts: Sequence[str]) -> list[str]:
    """Give the unit of the last part to those that are bare numbers."""
    last = _PLAIN.fullmatch(parts[-1]) or _FRACTION.fullmatch(parts[-1])
    unit = last[last.re.groups] if last else None
    return [f"{part} {unit}" if unit and _BARE.fullmatch(part) else part for part in parts]


def _within_reach(value: Decimal, given: str, quantity: Quantity) -> float:
    number = float(value)
    if SMALLEST <= abs(number) <= LARGEST or not value:
        return number
    problem = f"'{given}' is beyond any size a model has"
    raise UnitError(problem, remedy=f"write {quantity.noun}, such as 10 {quantity.likely_units[0]}")
