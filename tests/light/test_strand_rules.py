"""What is told of strands in the way, and that its mends hold."""

import re
from dataclasses import replace

import pytest

from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import InnerDiffuser
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.light.judging import judge_box
from light.designs import ORIGIN, film, led, light_box, opening, panel, upright, where

OPAL = film(0.6, 0.36)
WINDOW = upright(8, 8, 32, 22)
FAR = Room(width_mm=300.0, depth_mm=200.0, height_mm=150.0, room_light_lx=50.0,
           viewing_distance_mm=600.0)  # fmt: skip


def fibre(diameter_mm):
    return FibreType(
        name=f"fibre {diameter_mm} mm",
        diameter_mm=diameter_mm,
        numerical_aperture=0.5,
        hole_clearance_mm=(0.02, 0.05),
        bend_radius_mm=32.5 * diameter_mm,
        origin=ORIGIN,
    )


def strand(x_mm, y_mm, *, diameter_mm=1.0, name="K"):
    return Strand(
        name=name,
        where=where(f"strand {name}"),
        fibre=fibre(diameter_mm),
        x_mm=x_mm,
        y_mm=y_mm,
        hole_mm=None,
        group="steady",
    )


def box(**changes):
    leds = (led("A", 10.0, 15.0), led("B", 30.0, 15.0))
    return light_box(upright(0, 0, 40, 30), *leds, **{"depth_mm": 12.0, **changes})


def told(*strands, room=FAR, **changes):
    found = judge_box(
        panel(opening("A", WINDOW, OPAL)),
        box=box(**changes),
        sub_assembly="desk",
        currents=(),
        looks=(),
        room=room,
        strands=strands,
    )[1]
    return [finding for finding in found if finding.code.startswith("LIT03")]


def test_a_strand_beside_the_box_is_not_in_the_way():
    assert told(strand(50.0, 15.0)) == []


def test_a_thick_strand_beside_an_opening_is_told_with_its_size():
    (finding,) = told(strand(20.0, 5.0))
    assert finding.code == "LIT030"
    assert finding.where.item == "strand K"
    assert "1 mm thick" in finding.message
    assert "shades opening 'A'" in finding.message


def test_from_far_away_a_shadow_is_not_seen():
    one = strand(20.0, 6.5, diameter_mm=0.5)
    seen = [
        bool(told(one, room=replace(FAR, viewing_distance_mm=distance), depth_mm=6.0))
        for distance in (600.0, 2500.0)
    ]
    assert seen == [True, False]


def test_the_place_that_is_offered_is_out_of_the_way():
    one = strand(20.0, 5.0)
    (finding,) = told(one)
    x, y = re.search(r"to \[([-.\d]+) mm, ([-.\d]+) mm\]", finding.remedy).groups()
    assert told(replace(one, x_mm=float(x), y_mm=float(y))) == []


def test_a_change_of_the_box_that_is_offered_holds():
    thin = strand(20.0, 3.0, diameter_mm=0.5)
    (finding,) = told(thin, depth_mm=6.0)
    name, height = re.search(r"lay '([^']+)' across the box ([.\d]+) mm", finding.remedy).groups()
    inner = InnerDiffuser(film=built_in().film_types[name], height_mm=float(height))
    assert told(thin, depth_mm=6.0, inner=inner) == []


def test_several_strands_on_one_opening_are_one_finding():
    row = [strand(12.0 + 5.0 * number, 5.0, name=f"K{number}") for number in range(3)]
    (finding,) = told(*row)
    assert "and 2 more strands" in finding.message


def test_a_strand_in_the_opening_has_its_own_words():
    (finding,) = told(strand(20.0, 11.0))
    assert finding.code == "LIT031"
    # 3 mm to the edge, half the fibre and half a millimetre of sheet.
    assert "at least 4 mm" in finding.remedy


def test_a_strand_over_an_LED_has_its_own_words():
    codes = [finding.code for finding in told(strand(10.5, 15.0))]
    assert codes == ["LIT031", "LIT032"]


def test_a_strand_in_a_dark_box_is_not_told():
    assert judge_box(
        panel(opening("A", WINDOW, OPAL)),
        box=replace(box(), leds=()),
        sub_assembly="desk",
        currents=(),
        looks=(),
        room=None,
        strands=(strand(20.0, 5.0),),
    )[0] is None  # fmt: skip


@pytest.mark.parametrize("place", [(0.0, 15.0), (1e9, -1e9), (40.0, 30.0), (10.0, 15.0)])
def test_no_place_breaks_it(place):
    for finding in told(strand(*place)):
        assert finding.remedy
