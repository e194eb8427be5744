"""Quantities: what is measured, its base unit, and every way to write its units.

Terminology
-----------
quantity
    What is measured: a length, a current. It fixes the base unit.
spelling
    One way to write a unit. Several may stand for one unit (``in``, ``inch``, ``"``).
"""

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum


class UnitError(ValueError):
    """A text that is not one clear quantity."""

    def __init__(self, problem: str, *, remedy: str) -> None:
        super().__init__(f"{problem}; {remedy}")
        self.problem = problem
        """What was given and why it is wrong."""
        self.remedy = remedy
        """How to write it."""


class Quantity(StrEnum):
    """What is measured; each has one base unit, in which its numbers are kept."""

    LENGTH = "length"
    AREA = "area"
    ANGLE = "angle"
    CURRENT = "current"
    VOLTAGE = "voltage"
    RESISTANCE = "resistance"
    RESISTANCE_PER_LENGTH = "resistance per length"
    POWER = "power"
    CAPACITY = "capacity"
    CAPACITANCE = "capacitance"
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
        """The unit of its numbers inside the program; empty for a share, which is 0 to 1."""
        return next((unit for unit, size in FACTORS[self].items() if size == 1), "")

    @property
    def units(self) -> tuple[str, ...]:
        """One spelling of each unit it may be written in."""
        return tuple(group.split()[0] for group in _SPELLINGS[self])

    @property
    def likely_units(self) -> tuple[str, ...]:
        """The units a bare number is most likely meant in, the likeliest first."""
        return _LIKELY.get(self, self.units[:1])

    @property
    def noun(self) -> str:
        """Its name with the article, for sentences."""
        return f"{'an' if self[0] in 'aeiou' else 'a'} {self}"


_SPELLINGS: Mapping[Quantity, Mapping[str, str]] = {
    Quantity.LENGTH: {
        "mm millimetre millimetres millimeter millimeters": "1",
        "cm": "10",
        "m metre metres meter meters": "1000",
        "um micron microns": "0.001",
        'in inch inches "': "25.4",
        "ft foot feet '": "304.8",
        "thou mil mils": "0.0254",
    },
    Quantity.AREA: {"mm2 mm^2": "1", "cm2 cm^2": "100", "m2 m^2": "1000000"},
    Quantity.ANGLE: {"deg degree degrees": "1"},
    Quantity.CURRENT: {
        "A amp amps": "1",
        "mA milliamp milliamps": "0.001",
        "uA": "0.000001",
    },
    Quantity.VOLTAGE: {"V volt volts VDC Vdc": "1", "mV": "0.001"},
    Quantity.RESISTANCE: {
        "ohm ohms R": "1",
        "kohm k": "1000",
        "Mohm M": "1000000",
        "mohm": "0.001",
    },
    Quantity.RESISTANCE_PER_LENGTH: {"ohm/m": "1", "mohm/m ohm/km": "0.001"},
    Quantity.POWER: {"W watt watts": "1", "mW": "0.001"},
    Quantity.CAPACITY: {"Ah": "1", "mAh": "0.001"},
    Quantity.CAPACITANCE: {
        "F": "1",
        "mF": "0.001",
        "uF": "0.000001",
        "nF": "0.000000001",
    },
    Quantity.SHARE: {"% percent": "0.01"},
    Quantity.DURATION: {
        "s second seconds": "1",
        "ms": "0.001",
        "min minute minutes": "60",
        "h hour hours": "3600",
    },
    Quantity.TEMPERATURE: {"degC C": "1"},
    Quantity.FORWARD_DRIFT: {"V/K V/degC": "1", "mV/K mV/degC": "0.001"},
    Quantity.LUMINANCE: {"cd/m2 cd/m^2 nit nits": "1"},
    Quantity.ILLUMINANCE: {"lx lux": "1"},
    Quantity.INTENSITY: {"cd": "1", "mcd": "0.001"},
    Quantity.FLUX: {"lm": "1", "mlm": "0.001"},
    Quantity.COLOUR_TEMPERATURE: {"K": "1"},
    Quantity.WAVELENGTH: {"nm": "1"},
    Quantity.FREQUENCY: {"Hz": "1", "kHz": "1000", "MHz": "1000000"},
}
"""The spellings of each unit, the printed one first, and its size in base units. All sizes are
exact: prefixes by the International System, the inch by definition [INCH1959]."""

FACTORS: Mapping[Quantity, Mapping[str, Decimal]] = {
    quantity: {unit: Decimal(size) for group, size in groups.items() for unit in group.split()}
    for quantity, groups in _SPELLINGS.items()
}
"""The size in base units of every spelling."""

_LIKELY: Mapping[Quantity, tuple[str, ...]] = {
    Quantity.LENGTH: ("mm", "in"),
    Quantity.CURRENT: ("mA", "A"),
    Quantity.VOLTAGE: ("V", "mV"),
    Quantity.RESISTANCE: ("ohm", "kohm"),
    Quantity.POWER: ("mW", "W"),
    Quantity.CAPACITY: ("mAh", "Ah"),
    Quantity.CAPACITANCE: ("uF", "nF"),
    Quantity.DURATION: ("s", "min"),
    Quantity.FORWARD_DRIFT: ("mV/K", "V/K"),
    Quantity.INTENSITY: ("mcd", "cd"),
    Quantity.FLUX: ("lm", "mlm"),
}
"""Where it is not the first unit alone."""
