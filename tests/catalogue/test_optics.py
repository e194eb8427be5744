"""Sheets, finishes, films, fibres and drills against standards and published tables."""

import json
from itertools import pairwise

import pytest

from lamphouse.catalogue.drills import standard_drills
from lamphouse.catalogue.shelf import built_in
from tolerances import EXACT, PHYSICS, TABLE

SHELF = built_in()
INCH_MM = 25.4


@pytest.fixture
def published(reference):
    return lambda case: json.loads((reference / case / "values.json").read_text())


def test_thou_sheets_are_not_the_mm_sheets():
    # International inch: 25.4 mm exactly. 10 thou and 0.25 mm are 1.6 percent apart.
    for thou, mm in (
        (10, "0.25"),
        (20, "0.5"),
        (30, "0.75"),
        (40, "1.0"),
        (60, "1.5"),
        (80, "2.0"),
    ):
        stamped = SHELF.sheet_stock[f"styrene {thou} thou"].thickness_mm
        assert stamped == pytest.approx(thou / 1000 * INCH_MM, rel=EXACT)
        assert stamped / SHELF.sheet_stock[f"styrene {mm} mm"].thickness_mm == pytest.approx(1.016)


def test_a_sheet_is_as_thick_as_its_name_says():
    for name, sheet in SHELF.sheet_stock.items():
        size, unit = name.split()[-2:]
        factor = INCH_MM / 1000 if unit == "thou" else 1
        assert sheet.thickness_mm == pytest.approx(float(size) * factor, rel=EXACT)


def test_finishes_are_those_of_lighting_tables():
    # Tables of a lamp maker: white 0.8, light grey 0.4, mid grey 0.2; a research centre: bright
    # aluminium 0.85, silver film 0.95.
    tables = {
        "matt white paint": 0.8,
        "matt light grey paint": 0.4,
        "matt mid grey paint": 0.2,
        "aluminium foil": 0.85,
        "silvered film": 0.95,
    }
    assert {name: SHELF.finishes[name].reflectance for name in tables} == tables
    assert SHELF.finishes["aluminium foil"].shine == "shiny"
    assert SHELF.finishes["matt black paint"].reflectance < 0.1


def test_neutral_gels_pass_what_their_density_says():
    for name, film in SHELF.film_types.items():
        if name.startswith("neutral gel"):
            density = float(name.split()[-1])
            assert film.transmittance == pytest.approx(10**-density, rel=0.01)


def test_no_film_makes_light():
    for film in SHELF.film_types.values():
        assert film.transmittance + film.reflectance <= 1 + EXACT


def test_opal_films_pass_what_their_name_says():
    for name, film in SHELF.film_types.items():
        if name.startswith("opal film"):
            assert film.transmittance == pytest.approx(int(name.split()[-1]) / 100, rel=EXACT)


def test_clear_film_loses_light_at_two_faces_only():
    # Fresnel at normal incidence, n = 1.5, both faces and every bounce: 0.9231 passes.
    for name in ("print film", "clear decal film"):
        assert 0.85 < SHELF.film_types[name].transmittance < 0.9231


def test_fibres_are_those_of_iec_60793_2_40(published):
    values = published("fibre_sizes")
    for category, micrometres in values["cladding_um"].items():
        diameter_mm = micrometres / 1000
        (fibre,) = [f for f in SHELF.fibre_types.values() if f.diameter_mm == diameter_mm]
        assert fibre.origin.kind == "standard"
        assert fibre.numerical_aperture == values["NA"][category]


def test_fibres_bend_no_tighter_than_the_study_allows(published):
    values = published("fibre_sizes")
    for size, radius_mm in values["bend_radius_mm"].items():
        fibre = SHELF.fibre_types[f"fibre {size} mm"]
        assert fibre.bend_radius_mm == pytest.approx(radius_mm, abs=TABLE * 1 + EXACT)
        assert fibre.bend_radius_mm == pytest.approx(65 * fibre.diameter_mm / 2, rel=0.005)


def test_holes_for_fibres_are_those_of_practice(published):
    # Common practice, no source.
    for size, band in published("fibre_sizes")["hole_add_mm"].items():
        assert list(SHELF.fibre_types[f"fibre {float(size)} mm"].hole_clearance_mm) == band


def test_a_drill_falls_into_the_hole_of_every_fibre():
    for fibre in SHELF.fibre_types.values():
        least, most = (fibre.diameter_mm + clear for clear in fibre.hole_clearance_mm)
        assert any(least <= drill.diameter_mm <= most for drill in SHELF.drills.values())


def test_number_drills_are_those_of_the_standard(published):
    table = published("drills_cutting")
    for number, diameter_mm in table["number_mm"].items():
        drill = SHELF.drills[f"#{number}"]
        assert drill.diameter_mm == pytest.approx(diameter_mm, abs=TABLE * 0.001 + EXACT)
    for number, inches in table["inch"].items():
        assert SHELF.drills[f"#{number}"].diameter_mm == pytest.approx(inches * INCH_MM, rel=EXACT)


def test_metric_drills_step_as_iso_235(published):
    metric = [drill.diameter_mm for drill in standard_drills() if drill.name.endswith("mm")]
    first = published("drills_cutting")["metric_first"]
    assert metric[: len(first)] == pytest.approx(first)
    # ISO 235 and BS 328: 33 drills from 0.20 to 1.00 mm, 0.05 mm steps to 3, 0.1 mm steps to 14.
    assert sum(size <= 1 for size in metric) == 33
    assert {round(b - a, 9) for a, b in pairwise(metric) if a >= 1} == {
        0.05,
        0.1,
    }
    assert metric[-1] == pytest.approx(13.9)


def test_drills_are_named_by_their_size_and_sorted():
    sizes = [drill.diameter_mm for drill in standard_drills()]
    assert sizes == sorted(sizes)
    assert SHELF.drills["1.0 mm"].diameter_mm == 1
    assert SHELF.drills["0.55 mm"].diameter_mm == pytest.approx(0.55, rel=PHYSICS / 1000)
    assert sum(name.startswith("#") for name in SHELF.drills) == 80
