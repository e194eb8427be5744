"""Words into base units: what is read, what is refused, and that nothing else can happen."""

import math
import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from lamphouse.units import Quantity, UnitError, parse, parse_many, parse_range, parse_scale
from tolerances import EXACT, TABLE

Q = Quantity


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("0.75 mm", 0.75),
        ("0.75mm", 0.75),
        (" .75 mm ", 0.75),
        ("-3 mm", -3.0),
        ("+3 mm", 3.0),
        ("2 cm", 20.0),
        ("20 thou", 0.508),
        ("1/64 in", 0.396875),  # printed on the public-domain drill table
        ("1/32 in", 0.79375),  # the same
        ('1/16"', 1.5875),
        ("1 1/2 in", 38.1),
        ("1-1/2 in", 38.1),
        ("-1/2 in", -12.7),
        ("2 mils", 0.0508),
        ("4 ft 8 1/2 in", 1435.1),  # standard railway gauge
        ("5' 6\"", 1676.4),
        ("\u00bd in", 12.7),
        ('1\u00bd"', 38.1),
        ("5' 6\u00bd\" real", 1689.1),
        ("250 microns", 0.25),
        ("3 metres", 3000.0),
        ("-5 ft 6 in", -1676.4),
        ("1e2 mm", 100.0),
        ("2.5E-1 mm", 0.25),
        ("0", 0.0),
    ],
)
def test_lengths_are_read(text, length_mm):
    assert parse(text, Q.LENGTH, scale=1.0) == pytest.approx(length_mm, abs=EXACT)


# IEC 60062 as an encyclopaedia page prints it; lower case, spaces and signs are common practice.
@pytest.mark.parametrize(
    ("text", "ohms"),
    [
        ("R47", 0.47),
        ("4R7", 4.7),
        ("470R", 470),
        ("4K7", 4700),
        ("47K", 47_000),
        ("47K3", 47_300),
        ("470K", 470_000),
        ("4M7", 4_700_000),
        ("4k7", 4700),
        ("4.7k", 4700),
        ("4.7 kohm", 4700),
        ("4700 ohm", 4700),
        ("1M", 1_000_000),
        ("20 mohm", 0.02),
    ],
)
def test_resistances_are_read(text, ohms):
    assert parse(text, Q.RESISTANCE) == pytest.approx(ohms, rel=EXACT)


# Codes printed on chip resistors, with the values two pages of a kind give for them.
@pytest.mark.parametrize(
    ("code", "meaning"),
    [
        ("472", "4k7"),
        ("103", "10k"),
        ("220", "22R"),
        ("471", "470R"),
        ("474", "470k"),
        ("105", "1M"),
        ("4702", "47k"),
        ("4992", "49k9"),
        ("1001", "1k"),
        ("4700", "470R"),
    ],
)
def test_a_code_printed_on_a_resistor_is_refused_with_both_readings(code, meaning):
    with pytest.raises(UnitError) as caught:
        parse(code, Q.RESISTANCE)
    assert caught.value.remedy == f"write {code}R or {meaning}"


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("500 mA", Q.CURRENT, 0.5),
        ("2.9 mA", Q.CURRENT, 0.0029),
        ("20 ma", Q.CURRENT, 0.02),
        ("12 v", Q.VOLTAGE, 12),
        ("12 V DC", Q.VOLTAGE, 12),
        ("12VDC", Q.VOLTAGE, 12),
        ("5 volts", Q.VOLTAGE, 5),
        ("3V3", Q.VOLTAGE, 3.3),
        ("12 milliamps", Q.CURRENT, 0.012),
        ("4.7 k \u03a9", Q.RESISTANCE, 4700),
        ("20 \u00b0 C", Q.TEMPERATURE, 20),
        ("100 nits", Q.LUMINANCE, 100),
        ("1/4 W", Q.POWER, 0.25),
        ("2000 mAh", Q.CAPACITY, 2),
        ("5 %", Q.SHARE, 0.05),
        ("2 h", Q.DURATION, 7200),
        ("2 h 30 min", Q.DURATION, 9000),
        ("212 \u00b0F", Q.TEMPERATURE, 100),  # water boils, by definition of the scale
        ("-40 degF", Q.TEMPERATURE, -40),
        ("-10 degC", Q.TEMPERATURE, -10),
        ("3000 K", Q.COLOUR_TEMPERATURE, 3000),
        ("0.22 mm2", Q.AREA, 0.22),
        ("180 mcd", Q.INTENSITY, 0.18),
        ("50 lux", Q.ILLUMINANCE, 50),
        ("470 nm", Q.WAVELENGTH, 470),
    ],
)
def test_other_quantities_are_read(text, quantity, value):
    assert parse(text, quantity) == value


def test_full_size_lengths_are_divided_by_the_scale():
    # A 100 mm globe lamp at common scales, as printed in a trade note to two or three digits.
    for scale, printed in (
        (12, "8.3"),
        (24, "4.2"),
        (35, "2.9"),
        (48, "2.1"),
        (87.1, "1.15"),
        (160, "0.62"),
    ):
        digit = 10.0 ** -len(printed.partition(".")[2])
        size = parse("100 mm real", Q.LENGTH, scale=scale)
        assert size == pytest.approx(float(printed), abs=TABLE * digit * (1 + 0.01))
    assert parse("5' 6\" real", Q.LENGTH, scale=24) == pytest.approx(69.85, rel=EXACT)


@pytest.mark.parametrize(
    ("text", "quantity", "said"),
    [
        ("0.75", Q.LENGTH, "'0.75' has no unit; write 0.75 mm or 0.75 in"),
        ("1/32", Q.LENGTH, "'1/32' has no unit; write 1/32 mm or 1/32 in"),
        ("20", Q.CURRENT, "'20' has no unit; write 20 mA or 20 A"),
        ("0.7", Q.SHARE, "'0.7' has no unit; write 70 % or 0.7 %"),
        ("70", Q.SHARE, "'70' has no unit; write 70 %"),
        ("0", Q.TEMPERATURE, "'0' has no unit; write 0 degC"),
        ("47", Q.RESISTANCE, "'47' has no unit; write 47 ohm or 47 kohm"),
        (
            "12 mA",
            Q.LENGTH,
            "'12 mA' is a current; a length is wanted; write a length, such as 12 mm",
        ),
        (
            "12 MA",
            Q.CURRENT,
            "'12 MA' is not clear: m is a thousandth, M a million; write 12 mA",
        ),
        (
            "4m7",
            Q.RESISTANCE,
            "'4.7 m' is not clear: m is a thousandth, M a million; write 4.7 M or 4.7 mohm",
        ),
        (
            "1 MOHM",
            Q.RESISTANCE,
            "'1 MOHM' is not clear: m is a thousandth, M a million; write 1 M or 1 mohm",
        ),
        (
            "8,15 mm",
            Q.LENGTH,
            (
                "the comma in '8,15 mm' can be read in two ways; "
                "write 8.15 mm, or for two numbers 8 mm, 15 mm"
            ),
        ),
        (
            "1,000 mm",
            Q.LENGTH,
            "the comma in '1,000 mm' can be read in two ways; write 1.000 mm or 1000 mm",
        ),
        (
            "1.000,5 mm",
            Q.LENGTH,
            "the comma in '1.000,5 mm' can be read in two ways; write 1000.5 mm",
        ),
        (
            "1,234,567 mm",
            Q.LENGTH,
            "the comma in '1,234,567 mm' can be read in two ways; write 1234567 mm",
        ),
        (
            "140 cm real",
            Q.LENGTH,
            (
                "'140 cm real' is a full-size length, and no scale is known here; "
                "write the length on the model, such as 10 mm"
            ),
        ),
        (
            "0.75 mn",
            Q.LENGTH,
            (
                "'mn' in '0.75 mn' is not a unit of length; "
                "write it in mm, cm, m, um, in, ft, thou, such as 0.75 mm"
            ),
        ),
    ],
)
def test_refusals_say_what_was_given_and_how_to_write_it(text, quantity, said):
    with pytest.raises(UnitError) as caught:
        parse(text, quantity)
    assert str(caught.value) == said
    assert said == f"{caught.value.problem}; {caught.value.remedy}"


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "mm",
        "nan mm",
        "inf mm",
        "-inf",
        "1e999 mm",
        "1e-999 mm",
        "1e9999999999 mm",
        "0x1F mm",
        "1_000 mm",
        "1 000 mm",
        "\u0663 mm",
        "\uff11 mm",
        "5\tmm",
        "5 mm\n",
        "5 mm\x00",
        "5\u200b mm",
        "\ud800 mm",
        "--5 mm",
        "5 mm mm",
        "48 x 30 mm",
        "1/0 in",
        "1//2 in",
        "5 'in",
        "3 ft ft in",
        "30 AWG real real",
    ],
)
def test_what_is_not_one_clear_length_is_refused(text):
    with pytest.raises(UnitError):
        parse(text, Q.LENGTH, scale=24)


@pytest.mark.parametrize("quantity", list(Quantity))
@pytest.mark.parametrize(
    "text", ["12", "0.5", "3/4", "470", "12 furlong", "12 Mcd", "12 mA", "12 mm"]
)
def test_what_a_refusal_offers_is_read(text, quantity):
    try:
        parse(text, quantity)
    except UnitError as refusal:
        offered = refusal.remedy.rpartition("such as ")[2].removeprefix("write ").split(" or ")
    else:
        offered = [text]
    assert all(math.isfinite(parse(one, quantity)) for one in offered)


def read_every_way(text):
    for quantity in Quantity:
        yield lambda q=quantity: (parse(text, q, scale=24.0),)
    yield lambda: parse_many(text, Q.LENGTH, count=2, scale=24.0)
    yield lambda: parse_range(text, Q.LENGTH)
    yield lambda: (parse_scale(text),)


WORDS = (
    "mm in ft k M m R ohm AWG SWG to drill no. real nan 1e308 mA cd/m2 \u2013 \u00bd \u0663 \u00b5"
)
PIECES = st.sampled_from([*"0123456789.,/-+ eE#x:'\"%", *WORDS.split(), " to ", " real"])


@given(text=st.text() | st.lists(PIECES, max_size=12).map("".join))
@example(text="1" * 5000)
@example(text="1/" * 40)
@example(text="1 1/1e5 in")
@example(text="\ud800")
def test_no_text_does_anything_but_give_a_finite_number_or_a_refusal(text):
    for read in read_every_way(text):
        try:
            values = read()
        except UnitError as refusal:
            values = ()
            told = (refusal.problem, refusal.remedy)
        else:
            told = ()
        assert all(told)
        assert all(math.isfinite(value) for value in values)


@pytest.mark.parametrize(
    "text",
    [
        "x" * 10_000_000,
        "1" * 100,
        "1 " * 50,
        "1/" * 50,
        "5'" * 50,
        "drill " * 16,
        "8 x " * 25,
        "1e" * 50,
    ],
)
def test_hostile_texts_are_refused_at_once(text):
    start = time.perf_counter()
    for read in read_every_way(text):
        with pytest.raises(UnitError):
            read()
    assert time.perf_counter() - start < 0.5


@pytest.mark.parametrize(
    ("text", "count", "lengths"),
    [
        ("48 x 30 mm", 2, (48, 30)),
        ("48 mm x 30 mm", 2, (48, 30)),
        ("48 \u00d7 30 mm", 2, (48, 30)),
        ("48x30mm", 2, (48, 30)),
        ("360 x 260 x 180 mm", 3, (360, 260, 180)),
        ("8 mm, 15 mm", 2, (8, 15)),
        ("8, 15 mm", 2, (8, 15)),
        ("-3 mm, 1/2 in", 2, (-3, 12.7)),
        ("1/2 x 3/4 in", 2, (12.7, 19.05)),
        ("1 in x 30 mm", 2, (25.4, 30)),
        ("360 x 240 cm real", 2, (150, 100)),
        ("#75 x 3 mm", 2, (0.5334, 3)),
        ("7 mm", 1, (7,)),
    ],
)
def test_several_lengths_share_the_last_unit(text, count, lengths):
    assert parse_many(text, Q.LENGTH, count=count, scale=24) == pytest.approx(lengths, abs=EXACT)


def test_the_wrong_number_of_lengths_is_refused_with_one_that_would_do():
    with pytest.raises(UnitError) as caught:
        parse_many("48 x 30 mm", Q.LENGTH, count=3)
    offered = caught.value.remedy.rpartition("such as ")[2]
    assert len(parse_many(offered, Q.LENGTH, count=3)) == 3


@pytest.mark.parametrize("text", ["48 mm x 30", "48 x 30", "48 x mm", "x 30 mm", "48 x 5 mA"])
def test_unclear_sizes_are_refused(text):
    with pytest.raises(UnitError):
        parse_many(text, Q.LENGTH, count=2)


@pytest.mark.parametrize(
    ("text", "quantity", "ends"),
    [
        ("20 to 100 cd/m2", Q.LUMINANCE, (20, 100)),
        ("15 to 35 degC", Q.TEMPERATURE, (15, 35)),
        ("-5 to 35 degC", Q.TEMPERATURE, (-5, 35)),
        ("15\u201335 degC", Q.TEMPERATURE, (15, 35)),
        ("800 mA to 1.2 A", Q.CURRENT, (0.8, 1.2)),
        ("5 to 5 mm", Q.LENGTH, (5, 5)),
    ],
)
def test_ranges_are_read(text, quantity, ends):
    assert parse_range(text, quantity) == ends


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("100 to 20 lx", "write 20 lx to 100 lx"),
        ("15-35 lx", "write 15 to 35 lx"),
        ("15 lx - 35 lx", "write 15 lx to 35 lx"),
        ("50 lx", "write both ends, such as 50 lx to 100 lx"),
        ("1e-3 lx", "write both ends, such as 0.001 lx to 0.002 lx"),
        ("0 lx", "write both ends, such as 0 lx to 1 lx"),
    ],
)
def test_what_is_no_range_is_refused_with_one_that_would_do(text, remedy):
    with pytest.raises(UnitError) as caught:
        parse_range(text, Q.ILLUMINANCE)
    assert caught.value.remedy == remedy
    offered = remedy.removeprefix("write ").removeprefix("both ends, such as ")
    low, high = parse_range(offered, Q.ILLUMINANCE)
    assert low < high


# Railway scales as two pages of modelling scales print them: 4 mm/ft is 1:76.2, 3.5 mm/ft 1:87.086,
# 7 mm/ft 1:43.5, 1/4 in/ft 1:48; dolls' houses 1 in/ft are 1:12.
@pytest.mark.parametrize(
    ("text", "scale", "digit"),
    [
        ("1:24", 24, EXACT),
        ("1/24", 24, EXACT),
        ("1 : 43.5", 43.5, EXACT),
        ("4 mm/ft", 76.2, EXACT),
        ("4 mm to the foot", 76.2, EXACT),
        ("3.5 mm/ft", 87.086, 1e-3),
        ("7 mm/ft", 43.5, 1e-1),
        ("1/4 in/ft", 48, EXACT),
        ('1" to the foot', 12, EXACT),
    ],
)
def test_scales_are_read(text, scale, digit):
    assert parse_scale(text) == pytest.approx(scale, abs=TABLE * digit)


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("24", "write 1:24, or as a length such as 4 mm/ft"),
        ("24:1", "write 1:24, or as a length such as 4 mm/ft"),
        ("HO", "write 1:87.1"),
        ("oo", "write 1:76.2"),
        ("O", "write 1:43.5, 1:45 or 1:48"),
        ("small", "write 1:24, or as a length such as 4 mm/ft"),
        ("1:0", "write full size over model size, such as 1:24"),
        ("1:-24", "write full size over model size, such as 1:24"),
        ("1:0.5", "write full size over model size, such as 1:24"),
        ("1:1e9", "write full size over model size, such as 1:24"),
        ("0 mm/ft", "write full size over model size, such as 1:24"),
        ("2 ft/ft", "write full size over model size, such as 1:24"),
    ],
)
def test_what_is_no_scale_is_refused(text, remedy):
    with pytest.raises(UnitError) as caught:
        parse_scale(text)
    assert caught.value.remedy == remedy
