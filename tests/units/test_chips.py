"""Chip packages against published sizes, and the code that means two things."""

import csv

import pytest
from msgspec.structs import asdict

from lamphouse.units import UnitError, both_codes, package_size


def test_every_package_is_as_printed_under_both_codes(reference):
    with (reference / "packages" / "values.csv").open(newline="") as lines:
        table = list(csv.DictReader(lines))
    assert len(table) == 6
    for row in table:
        size = package_size(row["imperial"])
        assert asdict(size) == {
            "imperial": row["imperial"],
            "metric": row["metric"],
            "length_mm": float(row["length_mm"]),
            "width_mm": float(row["width_mm"]),
            "height_mm": float(row["height_mm"]),
        }
        assert package_size(f"metric {row['metric']}") == size


def test_metric_codes_are_tenths_of_a_millimetre(reference):
    # One resistor maker's page: metric AABB means A.A mm long and B.B mm wide (2012 is 1.25 wide).
    for code in ("0402", "0603", "1005", "1608", "3216"):
        size = package_size(f"metric {code}")
        assert (size.length_mm, size.width_mm) == (int(code[:2]) / 10, int(code[2:]) / 10)


def test_0603_is_imperial_and_always_says_so():
    assert package_size("0603").words == "0603 (metric 1608), 1.6 x 0.8 mm"
    assert package_size("metric 0603").words == "0201 (metric 0603), 0.6 x 0.3 mm"
    assert package_size("0603 metric") == package_size("0201")
    assert package_size("0402 imperial") == package_size("metric 1005")


def test_a_code_only_metric_has_needs_no_mark():
    assert package_size("1608") == package_size("0603")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "603",
        "0604",
        "imperial 1608",
        "metric 0805",
        "metric 0603 imperial",
        "\u0660\u0666\u0660\u0663",
    ],
)
def test_other_codes_are_refused_with_the_known_ones(text):
    with pytest.raises(UnitError) as caught:
        package_size(text)
    assert "0603" in caught.value.remedy


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("0603", "0603 (metric 1608), 1.6 x 0.8 mm"),
        ("3 mm", "3 mm"),
        ("axial 1/4 W", "axial 1/4 W"),
    ],
)
def test_a_chip_is_echoed_with_both_codes_and_its_size(text, words):
    assert both_codes(text) == words
