"""Units of each quantity against the definitions of the SI and of the inch."""

from fractions import Fraction

import pytest

from lamphouse.units import Quantity, parse
from tolerances import EXACT

# BIPM, The International System of Units, 9th edition, tables 2, 4, 7 and 8; the international
# yard and pound agreement of 1959 for the inch.
DEFINED = [
    ("1 um", Quantity.LENGTH, 0.001),
    ("1 m", Quantity.LENGTH, 1000),
    ("1 in", Quantity.LENGTH, 25.4),
    ("1 ft", Quantity.LENGTH, 304.8),
    ("1 thou", Quantity.LENGTH, 0.0254),
    ("1 mil", Quantity.LENGTH, 0.0254),
    ("1 cm2", Quantity.AREA, 100),
    ("1 uA", Quantity.CURRENT, 1e-6),
    ("1 Mohm", Quantity.RESISTANCE, 1e6),
    ("1 mohm", Quantity.RESISTANCE, 1e-3),
    ("1 ohm/km", Quantity.RESISTANCE_PER_LENGTH, 1e-3),
    ("1 mAh", Quantity.CAPACITY, 1e-3),
    ("1 uF", Quantity.CAPACITANCE, 1e-6),
    ("1 nF", Quantity.CAPACITANCE, 1e-9),
    ("1 %", Quantity.SHARE, 0.01),
    ("1 h", Quantity.DURATION, 3600),
    ("1 min", Quantity.DURATION, 60),
    ("1 mV/degC", Quantity.FORWARD_DRIFT, 1e-3),
    ("1 mcd", Quantity.INTENSITY, 1e-3),
    ("1 MHz", Quantity.FREQUENCY, 1e6),
]


@pytest.mark.parametrize(("text", "quantity", "size"), DEFINED)
def test_units_have_their_defined_size(text, quantity, size):
    assert parse(text, quantity) == pytest.approx(size, rel=EXACT)


# ISO 80000-1, 7.2: a quantity is a number times a unit; these print signs stand for ASCII ones.
@pytest.mark.parametrize(
    ("printed", "typed", "quantity"),
    [
        ("5 \u00b5m", "5 um", Quantity.LENGTH),
        ("5 \u03bcA", "5 uA", Quantity.CURRENT),
        ("4.7 k\u03a9", "4.7 kohm", Quantity.RESISTANCE),
        ("4.7 k\u2126", "4.7 kohm", Quantity.RESISTANCE),
        ("20 cd/m\u00b2", "20 cd/m2", Quantity.LUMINANCE),
        ("25 \u00b0C", "25 degC", Quantity.TEMPERATURE),
        ("25 \u2103", "25 degC", Quantity.TEMPERATURE),
        ("30\u00b0", "30 deg", Quantity.ANGLE),
        ("\u22122 mV/\u00b0C", "-2 mV/K", Quantity.FORWARD_DRIFT),
        ("1/16\u2033", "1/16 in", Quantity.LENGTH),
        ("0.75\u00a0mm", "0.75 mm", Quantity.LENGTH),
    ],
)
def test_printed_signs_mean_their_typed_spelling(printed, typed, quantity):
    assert parse(printed, quantity) == parse(typed, quantity)


@pytest.mark.parametrize("quantity", list(Quantity))
def test_each_quantity_names_its_base_unit(quantity):
    if quantity is Quantity.SHARE:
        assert quantity.base_unit == ""
    else:
        assert parse(f"3 {quantity.base_unit}", quantity) == 3.0
    assert all(parse(f"1 {unit}", quantity) > 0 for unit in quantity.units)


@pytest.mark.parametrize("inches", ["0.0135", "0.1", "1.3", "7.7", "123.456789"])
def test_values_are_the_nearest_double_to_what_was_written(inches):
    assert parse(f"{inches} in", Quantity.LENGTH) == float(Fraction(inches) * Fraction(254, 10))


def test_the_article_suits_the_word():
    assert (Quantity.ANGLE.noun, Quantity.CURRENT.noun) == ("an angle", "a current")
