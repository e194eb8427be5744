"""Dyes in words, and the columns that old parts files do not have."""

import pytest

from lamphouse.catalogue.dyes import DyePart, Side, dye
from lamphouse.catalogue.shelf import built_in, with_own
from lamphouse.units import UnitError


def test_a_dye_is_read_part_by_part():
    assert dye("below 540 nm over 40 nm; at 620 nm over 80 nm x 0.3") == (
        DyePart(side=Side.BELOW, at_nm=540.0, over_nm=40.0, strength=1.0),
        DyePart(side=Side.AT, at_nm=620.0, over_nm=80.0, strength=0.3),
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("red", "is no part of a dye"),
        (";", "1 to 8 parts, not 0"),
        ("below 540 over 40 nm", "540"),
        ("below 5400 nm over 40 nm", "out of range"),
        ("at 560 nm over 1 nm", "out of range"),
        ("; ".join(["at 560 nm over 90 nm"] * 9), "not 9"),
        ("below 540 nm over 40 nm x -1", "40 nm x -1"),
    ],
)
def test_what_is_no_dye_is_refused(text, said):
    with pytest.raises(UnitError, match=said):
        dye(text)


def test_a_parts_file_without_the_newer_columns_still_loads():
    text = (
        "name,use,thickness,transmittance,reflectance,source,kind,date\n"
        "my gel,gel,0.1 mm,40 %,8 %,own sample,measured,2026-11-25\n"
    )
    shelf, found = with_own(built_in(), {"parts/film_types.csv": text})
    assert found == ()
    assert shelf.film_types["my gel"].dye is None
    with_dye = text.replace("reflectance,", "reflectance,dye,").replace(
        "8 %,", "8 %,below 540 nm over 40 nm,"
    )
    shelf, found = with_own(built_in(), {"parts/film_types.csv": with_dye})
    assert found == ()
    assert shelf.film_types["my gel"].dye[0].at_nm == 540.0
