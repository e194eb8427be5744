"""Units at the edge: what the maker writes turned into base units, and base units into words.

Inside the program every number is in a base unit (mm, degree, V, A, ohm, W, ...) and carries it in
its name. Text is read here and nowhere else. Values are computed in decimal with exact factors and
rounded once, so ``2.9 mA`` is the double nearest to 0.0029.

Terminology
-----------
quantity
    What is measured: a length, a current. It fixes the base unit.
spelling
    One way to write a unit. Several may stand for one unit (``in``, ``inch``, ``"``).
number drill
    A twist drill named by a number from 80 (thin) to 1, with no formula behind it [ASME-B94.11M].
gauge
    A wire's thickness by number: AWG has a formula [ASTM-B258], SWG a table [BS3737].
real
    The mark after a full-size length, which is divided by the model's scale.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import NoReturn

LONGEST_TEXT = 100
"""Characters; a longer text is refused before anything looks at it."""
LARGEST = 1e15
"""Largest size in base units that is read; its inverse is the smallest beside zero."""

_EXACT = Context(prec=3 * LONGEST_TEXT)


class UnitError(ValueError):
    """A text that is not one clear quantity."""

    def __init__(self, problem: str, *, remedy: str) -> None:
        super().__init__(f"{problem}; {remedy}")
        self.problem = problem
        """What was given and why it is wrong."""
        self.remedy = remedy
        """How to write it."""


class Quantity(StrEnum):
    """What is measured; each has one base unit."""

    LENGTH = "length"
    AREA = "area"
    ANGLE = "angle"
    CURRENT = "current"
    VOLTAGE = "voltage"
    RESISTANCE = "resistance"
    RESISTANCE_PER_LENGTH = "resistance per length"
    POWER = "power"
    CAPACITY = "battery capacity"
    SHARE = "share"
    DURATION = "duration"
    TEMPERATURE = "temperature"
    FORWARD_DRIFT = "forward drift"
    LUMINANCE = "luminance"
    ILLUMINANCE = "illuminance"
    INTENSITY = "luminous intensity"
    FLUX = "luminous flux"
    COLOUR_TEMPERATURE = "colour temperature"
    WAVELENGTH = "wavelength"
    FREQUENCY = "frequency"

    @property
    def base_unit(self) -> str:
        """The unit its numbers have inside the program; empty for a share, which is 0 to 1."""
        return next((unit for unit, factor in _FACTORS[self].items() if factor == 1), "")

    @property
    def units(self) -> tuple[str, ...]:
        """One spelling of each unit it may be written in."""
        return tuple(group.split()[0] for group in _SPELLINGS[self])

    @property
    def noun(self) -> str:
        """Its name with the article, for sentences."""
        return f"{'an' if self[0] in 'aeiou' else 'a'} {self}"


_SPELLINGS: Mapping[Quantity, Mapping[str, str]] = {
    Quantity.LENGTH: {
        "mm": "1",
        "cm": "10",
        "m": "1000",
        "um": "0.001",
        'in inch inches "': "25.4",
        "ft foot feet '": "304.8",
        "thou mil mils": "0.0254",
    },
    Quantity.AREA: {"mm2 mm^2": "1", "cm2 cm^2": "100", "m2 m^2": "1000000"},
    Quantity.ANGLE: {"deg degree degrees": "1"},
    Quantity.CURRENT: {"A": "1", "mA": "0.001", "uA": "0.000001"},
    Quantity.VOLTAGE: {"V": "1", "mV": "0.001"},
    Quantity.RESISTANCE: {
        "ohm ohms R": "1",
        "kohm k": "1000",
        "Mohm M": "1000000",
        "mohm": "0.001",
    },
    Quantity.RESISTANCE_PER_LENGTH: {"ohm/m": "1", "mohm/m ohm/km": "0.001"},
    Quantity.POWER: {"W": "1", "mW": "0.001"},
    Quantity.CAPACITY: {"Ah": "1", "mAh": "0.001"},
    Quantity.SHARE: {"%": "0.01"},
    Quantity.DURATION: {
        "s second seconds": "1",
        "ms": "0.001",
        "min minute minutes": "60",
        "h hour hours": "3600",
    },
    Quantity.TEMPERATURE: {"degC C": "1"},
    Quantity.FORWARD_DRIFT: {"V/K V/degC": "1", "mV/K mV/degC": "0.001"},
    Quantity.LUMINANCE: {"cd/m2 cd/m^2": "1"},
    Quantity.ILLUMINANCE: {"lx lux": "1"},
    Quantity.INTENSITY: {"cd": "1", "mcd": "0.001"},
    Quantity.FLUX: {"lm": "1", "mlm": "0.001"},
    Quantity.COLOUR_TEMPERATURE: {"K": "1"},
    Quantity.WAVELENGTH: {"nm": "1"},
    Quantity.FREQUENCY: {"Hz": "1", "kHz": "1000", "MHz": "1000000"},
}
"""The spellings of each unit and its size in base units; exact by definition [INCH1959]."""

_FACTORS: Mapping[Quantity, Mapping[str, Decimal]] = {
    quantity: {unit: Decimal(size) for group, size in groups.items() for unit in group.split()}
    for quantity, groups in _SPELLINGS.items()
}

_LIKELY: Mapping[Quantity, tuple[str, ...]] = {
    Quantity.LENGTH: ("mm", "in"),
    Quantity.CURRENT: ("mA", "A"),
    Quantity.VOLTAGE: ("V", "mV"),
    Quantity.RESISTANCE: ("ohm", "kohm"),
    Quantity.POWER: ("mW", "W"),
    Quantity.CAPACITY: ("mAh", "Ah"),
    Quantity.DURATION: ("s", "min"),
    Quantity.FORWARD_DRIFT: ("mV/K", "V/K"),
    Quantity.INTENSITY: ("mcd", "cd"),
    Quantity.FLUX: ("lm", "mlm"),
}
"""Units a bare number is most likely meant in, where there is more than the first."""

_SHOWN: Mapping[Quantity, tuple[tuple[str, str], ...]] = {
    Quantity.CURRENT: (("A", "1"), ("mA", "0.001"), ("uA", "0")),
    Quantity.VOLTAGE: (("V", "0.1"), ("mV", "0")),
    Quantity.POWER: (("W", "1"), ("mW", "0")),
    Quantity.CAPACITY: (("Ah", "1"), ("mAh", "0")),
    Quantity.DURATION: (("h", "3600"), ("min", "120"), ("s", "1"), ("ms", "0")),
    Quantity.FORWARD_DRIFT: (("mV/K", "0"),),
    Quantity.INTENSITY: (("cd", "1"), ("mcd", "0")),
    Quantity.FLUX: (("lm", "0.01"), ("mlm", "0")),
    Quantity.FREQUENCY: (("MHz", "1000000"), ("kHz", "1000"), ("Hz", "0")),
}
"""Units to show a value in, each with the least size it serves from; others show the first."""

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
"""Number drills 1 to 80 in inches, ten to a line [ASME-B94.11M]."""

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
"""Standard wire gauge 0 to 50 in inches, ten to a line [BS3737]."""

_AWG_RANGE = range(57)

_TYPESET = str.maketrans(
    {
        "\u00b5": "u",
        "\u03bc": "u",
        "\u03a9": "ohm",
        "\u2126": "ohm",
        "°": "deg",
        "\u2103": "degC",
        "²": "2",
        "\u00d7": "x",
        "\u2212": "-",
        "\u2033": '"',
        "\u201d": '"',
        "\u2032": "'",
        "\u2019": "'",
        "\u00a0": " ",
        "\u202f": " ",
    }
)
"""Signs of print and their plain spelling."""

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
_PLAIN = re.compile(rf"({_NUMBER}) *([^\s\d.,/].*)?", re.ASCII)
_FRACTION = re.compile(r"([+-]?)(?:(\d+)[ -])?(\d+)/(\d+) *([^\s\d.,/].*)?", re.ASCII)
_CODED = re.compile(r"([+-]?)(?=[a-z]?\d)(\d*)([rkm])(\d*)", re.ASCII | re.IGNORECASE)
_DRILL = re.compile(
    r"(?:#|(?:no\.?|number|drill(?: *(?:#|no\.?|number))?)(?= |\d)) *(\d+)",
    re.ASCII | re.IGNORECASE,
)
_GAUGE = re.compile(r"(\d+) *(AWG|SWG)|(AWG|SWG) *(\d+)", re.ASCII | re.IGNORECASE)
_FEET = re.compile(r"([+-]?)(\d+) *(?:ft|') *(\d.*?) *(?:in|\")", re.ASCII)
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_BETWEEN = re.compile(r" *[x,] *(?=[-+.\d#])", re.ASCII)
_TO = re.compile(r" +to +| *[\u2013\u2014] *")


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
        In the base unit of the quantity; finite. Its sign is kept.

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
    factor = _FACTORS[quantity].get(found[2]) if found else None
    if found and factor is not None:
        return _finite(_EXACT.multiply(Decimal(found[1]), factor), text)
    given = _plain_text(text)
    return _finite(_read(given, quantity, scale), given)


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
    given = _plain_text(text)
    parts = _with_last_unit(_BETWEEN.split(given))
    if len(parts) != count:
        wanted = " x ".join((parts * count)[:count])
        problem = f"'{given}' holds {len(parts)} of the {count} values wanted"
        raise UnitError(problem, remedy=f"write {count} with x between them, such as {wanted}")
    return tuple(parse(part, quantity, scale=scale) for part in parts)


def parse_range(
    text: str, quantity: Quantity, *, scale: float | None = None
) -> tuple[float, float]:
    """Read a least and a most with ``to`` or an en dash between.

    Raises
    ------
    UnitError
        If it is not a range, or runs backwards.

    Examples
    --------
    >>> parse_range("20 to 100 cd/m2", Quantity.LUMINANCE)
    (20.0, 100.0)
    """
    given = _plain_text(text)
    parts = _with_last_unit(_TO.split(given))
    ends = tuple(parse(part, quantity, scale=scale) for part in parts)
    if len(ends) != 2:
        problem = f"'{given}' is not a range from least to most"
        raise UnitError(problem, remedy=f"write both ends, such as {parts[0]} to {parts[-1]}")
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
    given = _plain_text(text)
    ratio = re.fullmatch(rf"1 *[:/] *({_NUMBER})", given, re.ASCII)
    per_foot = re.fullmatch(r"(.+?) *(?:/ *|to the |per )(?:ft|foot)", given, re.ASCII)
    if ratio:
        scale = float(ratio[1])
    elif per_foot:
        length_mm = parse(per_foot[1], Quantity.LENGTH)
        scale = 304.8 / length_mm if length_mm > 0 else 0.0
    else:
        bare = re.search(r"\d+(?:\.\d+)?", given, re.ASCII)
        problem = f"'{given}' is not a scale"
        raise UnitError(problem, remedy=f"write it as 1:{bare[0] if bare else 24} or as 4 mm/ft")
    if not 1 <= scale <= 10_000:
        problem = f"the scale '{given}' is not from 1:1 to 1:10000"
        raise UnitError(problem, remedy="write full size over model size, such as 1:24")
    return scale


def show(value: float, quantity: Quantity, *, digits: int = 4) -> str:
    """Put a value into words that :func:`parse` reads back, to ``digits`` significant digits.

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
    rounded = rounding.create_decimal(repr(float(value)))
    if not rounded.is_finite():
        not_finite = f"cannot show {value} as {quantity.noun}"
        raise ValueError(not_finite)
    size = abs(rounded)
    if quantity is Quantity.RESISTANCE:
        return _show_ohm(rounded)
    shown = _SHOWN.get(quantity, ((quantity.units[0], "0"),))
    at_zero = quantity.base_unit or shown[0][0]
    unit = next(unit for unit, least in shown if size >= Decimal(least)) if size else at_zero
    return f"{_digits(rounding.divide(rounded, _FACTORS[quantity][unit]))} {unit}"


def show_both(mm: float) -> str:
    """Give a length in mm and, to the thou, in inches: ``0.75 mm (0.030 in)``."""
    inches = mm / 25.4
    places = 3 if abs(inches) >= 0.01 else 4
    return f"{show(mm, Quantity.LENGTH)} ({inches:.{places}f} in)"


def awg_mm(gauge: int) -> float:
    """Give the diameter of solid wire of an American gauge, 0 to 56 [ASTM-B258].

    Raises
    ------
    UnitError
        Outside the range of the standard.
    """
    if gauge not in _AWG_RANGE:
        problem = f"{gauge} AWG is outside 0 to {_AWG_RANGE[-1]}"
        raise UnitError(problem, remedy="write the diameter of the copper in mm")
    return float(0.127 * 92 ** ((36 - gauge) / 39))


@dataclass(frozen=True, slots=True, kw_only=True)
class PackageSize:
    """A chip package under both its codes, which overlap: 0603 metric is 0201 imperial."""

    imperial: str
    metric: str
    length_mm: float
    width_mm: float
    height_mm: float
    """Of the resistor of that size; an LED's own height stands in its data sheet."""

    @property
    def words(self) -> str:
        """Both codes and the size, to be shown wherever a code is."""
        size = f"{self.length_mm} x {self.width_mm} mm"
        return f"{self.imperial} (metric {self.metric}), {size}"


_PACKAGES = tuple(
    PackageSize(imperial=imperial, metric=metric, length_mm=size[0], width_mm=size[1], height_mm=h)
    for imperial, metric, size, h in (
        ("01005", "0402", (0.4, 0.2), 0.13),
        ("0201", "0603", (0.6, 0.3), 0.23),
        ("0402", "1005", (1.0, 0.5), 0.30),
        ("0603", "1608", (1.6, 0.8), 0.45),
        ("0805", "2012", (2.0, 1.25), 0.50),
        ("1206", "3216", (3.2, 1.6), 0.55),
    )
)
"""Chip sizes [IEC60115-8]."""


def package_size(text: str) -> PackageSize:
    """Read a chip code: imperial unless marked ``metric``, or unless only metric has it.

    Raises
    ------
    UnitError
        If no package has the code.

    Examples
    --------
    >>> package_size("0603").words
    '0603 (metric 1608), 1.6 x 0.8 mm'
    >>> package_size("metric 0603").words
    '0201 (metric 0603), 0.6 x 0.3 mm'
    """
    given = _plain_text(text)
    found = re.fullmatch(r"(metric +)?(\d{4,5})( +metric)?", given, re.ASCII)
    if found:
        imperial = {} if found[1] or found[3] else {size.imperial: size for size in _PACKAGES}
        size = ({size.metric: size for size in _PACKAGES} | imperial).get(found[2])
        if size:
            return size
    known = ", ".join(size.imperial for size in _PACKAGES)
    problem = f"'{given}' is not a chip package known here"
    raise UnitError(problem, remedy=f"write one of {known}, or 'metric 1608'")


def _plain_text(text: str) -> str:
    """Refuse what no maker types, and give the rest in plain signs without outer blanks."""
    if len(text) > LONGEST_TEXT:
        problem = f"a text of {len(text)} characters is no quantity"
        raise UnitError(problem, remedy=f"write at most {LONGEST_TEXT}, such as 0.75 mm")
    if _CONTROL.search(text):
        problem = f"{text!r} holds a control character, such as a tab"
        raise UnitError(problem, remedy="use plain spaces only")
    given = text.translate(_TYPESET).strip()
    if re.search(r"\d,\d", given, re.ASCII):
        readings = [given.replace(",", "."), given.replace(",", ", ")]
        if re.search(r"\d,\d{3}(?!\d)", given, re.ASCII):
            readings[1] = given.replace(",", "")
        problem = f"'{given}' can be read in two ways, because of its comma"
        raise UnitError(problem, remedy=f"write {readings[0]} or {readings[1]}")
    return given


def _read(given: str, quantity: Quantity, scale: float | None) -> Decimal:
    """Read what is more than a number and a known unit."""
    value = None
    if quantity is Quantity.LENGTH:
        value = _read_length(given, scale)
    elif quantity is Quantity.RESISTANCE:
        value = _read_coded(given)
    if value is not None:
        return value
    written, number, unit = _number_and_unit(given, quantity)
    if not unit:
        _refuse_bare(written, number, quantity)
    return _EXACT.multiply(number, _factor(written, unit, quantity))


def _number_and_unit(given: str, quantity: Quantity) -> tuple[str, Decimal, str]:
    """Take apart a number, as written and in value, and the unit behind it."""
    if found := _PLAIN.fullmatch(given):
        return found[1], Decimal(found[1]), found[2] or ""
    if (found := _FRACTION.fullmatch(given)) and int(found[4]):
        sign, whole, top, bottom, unit = found.groups(default="")
        share = _EXACT.divide(Decimal(top), Decimal(bottom))
        size = _EXACT.add(Decimal(whole or 0), share)
        return given[: found.end(4)], -size if sign == "-" else size, unit
    problem = f"'{given}' is not a number with a unit"
    raise UnitError(problem, remedy=f"write {quantity.noun} such as 10 {_likely(quantity)[0]}")


def _factor(written: str, unit: str, quantity: Quantity) -> Decimal:
    """Look a unit up; forgive capitals where they cannot turn a thousandth into a million."""
    factors = _FACTORS[quantity]
    if unit in factors:
        return factors[unit]
    alike = [known for known in factors if known.lower() == unit.lower()]
    if len(alike) == 1 and (unit[0] == alike[0][0] or unit[0] not in "mM"):
        return factors[alike[0]]
    if alike:
        problem = f"'{written} {unit}' is not clear: m is a thousandth, M a million"
        raise UnitError(problem, remedy="write " + " or ".join(f"{written} {u}" for u in alike))
    example = f"{written} {_likely(quantity)[0]}"
    for other, units in _FACTORS.items():
        if unit in units:
            problem = f"'{written} {unit}' is {other.noun}; {quantity.noun} is wanted"
            raise UnitError(problem, remedy=f"write it such as {example}")
    problem = f"'{unit}' in '{written} {unit}' is not a unit of {quantity}"
    allowed = ", ".join(quantity.units)
    raise UnitError(problem, remedy=f"write it in {allowed}, such as {example}")


def _refuse_bare(written: str, number: Decimal, quantity: Quantity) -> NoReturn:
    """Refuse a number without a unit, with what it may have meant."""
    likely = [f"{written} {unit}" for unit in _likely(quantity)]
    problem = f"'{written}' has no unit"
    if quantity is Quantity.SHARE and abs(number) <= 1:
        likely = [f"{_digits(number * 100)} %", f"{written} %"]
    elif quantity is Quantity.RESISTANCE and re.fullmatch(r"\d{2,3}[0-7]", written, re.ASCII):
        printed = Decimal(written[:-1]).scaleb(int(written[-1]))
        problem += f"; printed on a chip it would mean {_show_ohm(printed)}"
        likely = [f"{written}R", _show_ohm(printed)]
    raise UnitError(problem, remedy="write " + " or ".join(likely))


def _likely(quantity: Quantity) -> tuple[str, ...]:
    return _LIKELY.get(quantity, quantity.units[:1])


def _read_length(given: str, scale: float | None) -> Decimal | None:
    """Read drills, gauges, feet with inches, and full-size lengths; None when it is none."""
    if given.endswith(" real"):
        return _model_length(given, scale)
    if found := _DRILL.fullmatch(given):
        number = int(found[1])
        if number in NUMBER_DRILLS_IN:
            return _inches(NUMBER_DRILLS_IN[number])
        problem = f"there is no number drill {number} from #1 to #80"
        raise UnitError(problem, remedy="write the diameter in mm")
    if found := _GAUGE.fullmatch(given):
        digits, gauge = found[1] or found[4], int(found[1] or found[4])
        system = (found[2] or found[3]).upper()
        if digits != str(gauge):
            problem = f"'{given}' is not clear: gauges are whole numbers from 0 up"
            raise UnitError(problem, remedy="write the diameter in mm")
        if system == "AWG":
            return Decimal(repr(awg_mm(gauge)))
        if gauge in SWG_IN:
            return _inches(SWG_IN[gauge])
        problem = f"{gauge} SWG is outside 0 to {max(SWG_IN)}"
        raise UnitError(problem, remedy="write the diameter of the copper in mm")
    if found := _FEET.fullmatch(given):
        _, inches, _ = _number_and_unit(found[3], Quantity.LENGTH)
        size = _EXACT.multiply(Decimal(found[2]) * 12 + inches, Decimal("25.4"))
        return -size if found[1] == "-" else size
    return None


def _model_length(given: str, scale: float | None) -> Decimal:
    length = given.removesuffix(" real").rstrip()
    if scale is None:
        problem = f"'{given}' is a full-size length and no scale is known here"
        raise UnitError(problem, remedy="write the length on the model, such as 10 mm")
    return _EXACT.divide(_read(length, Quantity.LENGTH, None), Decimal(repr(float(scale))))


def _read_coded(given: str) -> Decimal | None:
    """Read ``4k7``, ``R47`` and their kin [IEC60062]; None when it is none."""
    found = _CODED.fullmatch(given)
    if not found:
        return None
    sign, whole, letter, rest = found.groups()
    if letter == "m":
        problem = f"'{given}' is not clear: m is a thousandth, M a million"
        mega = given.replace("m", "M")
        raise UnitError(problem, remedy=f"write {mega} or {whole or 0}.{rest or 0} mohm")
    number = Decimal(f"{sign}{whole or 0}.{rest or 0}")
    return _EXACT.multiply(number, {"r": 1, "k": 1000, "m": 1_000_000}[letter.lower()])


def _with_last_unit(parts: Sequence[str]) -> list[str]:
    """Give the unit of the last part to those that are bare numbers."""
    last = _PLAIN.fullmatch(parts[-1]) or _FRACTION.fullmatch(parts[-1])
    unit = (last[last.lastindex or 0] if last else "") or ""
    bare = [re.fullmatch(rf"{_NUMBER}|[\d -]+/\d+", part, re.ASCII) for part in parts]
    return [f"{p} {unit}" if b and unit else p for p, b in zip(parts, bare, strict=True)]


def _inches(inches: float) -> Decimal:
    return Decimal(repr(inches)) * Decimal("25.4")


def _finite(value: Decimal, given: str) -> float:
    number = float(value)
    if 1 / LARGEST <= abs(number) <= LARGEST or value == 0:
        return number
    problem = f"'{given}' is beyond any size a model has"
    raise UnitError(problem, remedy="write a number between 1e-15 and 1e15 of the base unit")


def _digits(number: Decimal) -> str:
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _show_ohm(ohms: Decimal) -> str:
    """Write a resistance with its letter in place of the point [IEC60062]."""
    sizes = (("M", 6), ("k", 3), ("R", 0))
    letter, power = next((pair for pair in sizes if abs(ohms) >= 10 ** pair[1]), sizes[-1])
    text = _digits(ohms.scaleb(-power))
    if "." not in text:
        return text + letter
    whole, rest = text.split(".")
    return f"{whole.removesuffix('0') if whole in {'0', '-0'} else whole}{letter}{rest}"
