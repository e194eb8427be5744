"""What is told of strands in the way, and that its mends hold."""

import re

import pytest

from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import InnerDiffuser
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.light import strand_mends
from lamphouse.light.judging import judge_box
from lamphouse.record import replace
from light.designs import ORIGIN, film, led, light_box, opening, panel, upright, where

OPAL = film(0.6, 0.36)
WINDOW = upright(8, 8, 32, 22)
BEFORE_A = (6.8, 7.2)
"""Between LED A and the window."""
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
    leds = (led("A", 4.0, 5.0), led("B", 30.0, 15.0))
    leds = changes.pop("leds", leds)
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
    (finding,) = told(strand(*BEFORE_A))
    assert finding.code == "LIT030"
    assert finding.where.item == "strand K"
    assert "1 mm thick" in finding.message
    assert "shades opening 'A'" in finding.message
    bare, sleeved = re.search(
        r"([.\d]+) % darker .* ([.\d]+) % if sleeved", finding.message
    ).groups()
    assert float(bare) < float(sleeved)


def test_a_bare_strand_that_only_hides_light_from_all_sides_is_not_told():
    """Both LEDs throw its shadow away from the opening: what is left is what is seen through it."""
    assert told(strand(20.0, 5.0), leds=(led("A", 10.0, 15.0), led("B", 30.0, 15.0))) == []


def test_from_far_away_a_shadow_is_not_seen():
    one = strand(*BEFORE_A, diameter_mm=0.25)
    seen = [
        bool(told(one, room=replace(FAR, viewing_distance_mm=distance), depth_mm=12.0))
        for distance in (600.0, 10_000.0)
    ]
    assert seen == [True, False]


def test_the_place_that_is_offered_is_out_of_the_way():
    one = strand(*BEFORE_A)
    (finding,) = told(one)
    x, y = re.search(r"to \[([-.\d]+) mm, ([-.\d]+) mm\]", finding.remedy).groups()
    assert told(replace(one, x_mm=float(x), y_mm=float(y))) == []


def test_a_change_of_the_box_that_is_offered_holds():
    thin, leds = strand(7.4, 7.9, diameter_mm=0.25), (led("A", 2.0, 2.0), led("B", 30.0, 15.0))
    (finding,) = told(thin, leds=leds)
    name, height = re.search(r"lay '([^']+)' across the box ([.\d]+) mm", finding.remedy).groups()
    inner = InnerDiffuser(film=built_in().film_types[name], height_mm=float(height))
    assert told(thin, leds=leds, inner=inner) == []


def test_several_strands_on_one_opening_are_one_finding():
    places = (BEFORE_A, (7.2, 5.8), (6.2, 8.5))
    row = [strand(*place, name=f"K{number}") for number, place in enumerate(places)]
    (finding,) = told(*row)
    assert "and 2 more strands" in finding.message


def test_a_changed_box_is_solved_once_for_all_openings(monkeypatch):
    """At most two films and three depths, on the mesh of a search and on that of an answer."""
    solved = []

    def counted(drawn, *, step=None):
        solved.append((drawn.box.depth_mm, drawn.box.inner_diffuser, step is None))
        return solve(drawn, step=step)

    solve = strand_mends.sound_suite.solve
    monkeypatch.setattr(strand_mends.sound_suite, "solve", counted)
    halves = [opening(str(x), upright(x, 8, x + 11, 22), OPAL) for x in (8, 20)]
    judged = judge_box(
        panel(*halves),
        box=box(),
        sub_assembly="desk",
        currents=(),
        looks=(),
        room=FAR,
        strands=(strand(*BEFORE_A), strand(7.2, 5.8, name="L")),
    )[1]
    assert sum(finding.code == "LIT030" for finding in judged) == 2
    assert len(solved) == len(set(solved)) <= 10


def test_a_strand_in_the_opening_has_its_own_words():
    (finding,) = told(strand(20.0, 11.0))
    assert finding.code == "LIT031"
    # 3 mm to the edge, half the fibre and half a millimetre of sheet.
    assert "at least 4 mm" in finding.remedy


def test_a_strand_over_an_LED_has_its_own_words():
    codes = [finding.code for finding in told(strand(30.5, 15.0))]
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
