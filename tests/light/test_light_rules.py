import re
from math import atan, degrees, sqrt

import pytest

from lamphouse.design.lightbox import Baffle, InnerDiffuser, Seat
from lamphouse.design.whole import Look
from lamphouse.light.box_scene import draw_box
from lamphouse.light.clearance import room_for_sheet_mm
from lamphouse.light.judging import judge_box
from lamphouse.light.luminance_rules import mismatched
from lamphouse.light.sightline_rules import least_angle_deg
from lamphouse.record import replace
from light.designs import (
    SHEET,
    film,
    led,
    led_type,
    light_box,
    opening,
    panel,
    round_outline,
    upright,
    where,
)

OPAL = film(0.6, 0.36)
RASTER_DEG = 1.0
"""What the raster of places in an opening leaves open."""

ROUNDED = 0.02
"""Currents and luminances in a message are rounded to two and three digits."""


def look(*, least=1e-3, most=1e6, evenness=0.01):
    return Look(
        name="lit", where=where("lit"), least_cd_m2=least, most_cd_m2=most, evenness=evenness
    )


def judge(top, box, *looks):
    return judge_box(top, box=box, sub_assembly="desk", currents=(), looks=looks, room=None)


def small_panel(shape=None, *films, **changes):
    films = films or (OPAL,)
    return panel(opening("A", shape or upright(3, 3, 37, 17), *films, look="lit", **changes))


def small_box(*leds, depth_mm=12.0, **changes):
    leds = leds or (led("W1", 10.0, 10.0), led("W2", 30.0, 10.0))
    return light_box(upright(0, 0, 40, 20), *leds, depth_mm=depth_mm, **changes)


def one_of(found, code):
    (finding,) = [finding for finding in found if finding.code == code]
    return finding


def codes(found):
    return {finding.code for finding in found}


def evenness_of(box, top):
    (one,) = judge(top, box)[0].openings
    return one


# Evenness: one cause, one finding; each offer holds when it is built and judged again.


def test_an_opening_that_is_even_enough_is_left_alone():
    (one,) = judge(small_panel(), small_box())[0].openings
    just = look(evenness=one.evenness + 0.9 * one.evenness_bar)
    assert not codes(judge(small_panel(), small_box(), just)[1]) & {"LIT010", "LIT012"}


def test_the_same_shape_of_light_is_told_once():
    for evenness in (0.3, 0.5, 0.7, 0.8, 0.9):
        found = judge(small_panel(), small_box(depth_mm=6.0), look(evenness=evenness))[1]
        assert len(codes(found) & {"LIT010", "LIT011", "LIT012"}) <= 1


def test_a_hot_spot_names_the_led_under_it():
    leds = (led("far", 32.0, 10.0, current_A=0.0005), led("near", 12.0, 10.0))
    for shape in (upright(3, 3, 37, 17), round_outline(14.0, x_mm=14.0, y_mm=10.0)):
        found = judge(small_panel(shape), small_box(*leds, depth_mm=6.0), look(evenness=0.8))[1]
        assert "'near', 5.4 mm behind it" in one_of(found, "LIT011").message


def test_an_offered_depth_is_even_enough_when_built():
    wanted = look(evenness=0.7)
    box = small_box(led("W", 20.0, 10.0), depth_mm=12.0)
    found = judge(small_panel(upright(8, 3, 32, 17)), box, wanted)[1]
    (finding,) = [each for each in found if each.code in {"LIT010", "LIT011", "LIT012"}]
    offered = re.search(r"deepen the box to ([\d.]+) mm \(evenness (\d+) %", finding.remedy)
    depth, promised = float(offered[1]), int(offered[2]) / 100.0
    top = small_panel(upright(8, 3, 32, 17))
    built = evenness_of(replace(box, depth_mm=depth), top)
    assert built.evenness == pytest.approx(promised, abs=0.005)
    assert not codes(judge(top, replace(box, depth_mm=depth), wanted)[1]) & codes([finding])
    short = replace(box, depth_mm=depth - 1.0)
    assert codes(judge(top, short, wanted)[1]) & {"LIT010", "LIT011", "LIT012"}


def test_an_offered_grid_is_even_enough_when_built():
    wanted = look(evenness=0.7)
    box = small_box(led("W1", 8.0, 10.0), led("W2", 16.0, 10.0), depth_mm=9.0)
    found = judge(small_panel(), box, wanted)[1]
    (finding,) = [each for each in found if each.code in {"LIT010", "LIT011", "LIT012"}]
    offered = re.search(r"put (\d+) LEDs of ([\d.]+) mA in (\d+) rows? of (\d+)", finding.remedy)
    count, rows, columns = int(offered[1]), int(offered[3]), int(offered[4])
    assert count == rows * columns
    current = 0.01 / count
    assert float(offered[2]) * 1e-3 == pytest.approx(current, rel=ROUNDED)
    leds = [
        led(f"{i} {j}", (i + 0.5) * 40 / columns, (j + 0.5) * 20 / rows, current_A=current)
        for i in range(columns)
        for j in range(rows)
    ]
    built = replace(box, leds=tuple(leds))
    assert not codes(judge(small_panel(), built, wanted)[1]) & {"LIT010", "LIT011", "LIT012"}


def test_white_paint_is_offered_for_a_black_box_when_it_helps():
    wanted = look(evenness=0.6)
    black = small_box(depth_mm=9.0, paint=0.05)
    found = judge(small_panel(), black, wanted)[1]
    (finding,) = [each for each in found if each.code in {"LIT010", "LIT011", "LIT012"}]
    assert "paint it 'matt white paint'" in finding.remedy
    white = small_box(depth_mm=9.0, paint=0.8)
    assert not codes(judge(small_panel(), white, wanted)[1]) & {"LIT010", "LIT011", "LIT012"}


def test_what_nothing_mends_is_said_with_the_evenness_there_is():
    found = judge(small_panel(), small_box(depth_mm=4.0, paint=0.04), look(evenness=0.999))[1]
    (finding,) = [each for each in found if each.code in {"LIT010", "LIT011", "LIT012"}]
    asked = int(re.search(r"ask for at most (\d+) %", finding.remedy)[1])
    assert asked / 100.0 <= evenness_of(small_box(depth_mm=4.0, paint=0.04), small_panel()).evenness


# Luminance: the light goes with the current.


@pytest.mark.parametrize("share", [0.2, 3.0])
def test_an_offered_current_brings_the_opening_into_its_class(share):
    (one,) = judge(small_panel(), small_box())[0].openings
    wanted = look(least=0.8 * share * one.mean_cd_m2, most=1.25 * share * one.mean_cd_m2)
    finding = one_of(judge(small_panel(), small_box(), wanted)[1], "LIT013")
    current = float(re.search(r"set ([\d.]+) mA", finding.remedy)[1]) * 1e-3
    assert current == pytest.approx(0.005 * share, rel=ROUNDED)
    leds = tuple(replace(one, current_A=current) for one in small_box().leds)
    assert "LIT013" not in codes(judge(small_panel(), small_box(*leds), wanted)[1])


def test_currents_suit_every_opening_of_the_box():
    top = panel(
        opening("A", upright(3, 3, 18, 17), OPAL, look="one"),
        opening("B", upright(22, 3, 37, 17), film(0.3, 0.64), look="two"),
    )
    a, b = judge(top, small_box())[0].openings
    one = replace(look(least=0.1 * a.mean_cd_m2, most=0.5 * a.mean_cd_m2), name="one")
    two = replace(look(least=0.4 * b.mean_cd_m2, most=2.0 * b.mean_cd_m2), name="two")
    finding = one_of(judge(top, small_box(), one, two)[1], "LIT013")
    current = float(re.search(r"set ([\d.]+) mA", finding.remedy)[1]) * 1e-3
    assert current / 0.005 == pytest.approx(sqrt(0.4 * 0.5), rel=ROUNDED)


def test_too_bright_at_the_least_known_current_asks_for_a_gel_that_does():
    (one,) = judge(small_panel(), small_box())[0].openings
    at_least = one.mean_cd_m2 * 0.0003 / 0.005
    wanted = look(least=0.2 * at_least, most=0.35 * at_least)
    finding = one_of(judge(small_panel(), small_box(), wanted)[1], "LIT013")
    gel = re.search(r"lay '(neutral gel 0\.\d)' before 'A' and set 0.3 mA", finding.remedy)[1]
    dense = film(10 ** -float(gel[-3:]), 0.07, name=gel, use="gel")
    top = small_panel(None, OPAL, dense)
    leds = tuple(replace(one, current_A=0.0003) for one in small_box().leds)
    assert "LIT013" not in codes(judge(top, small_box(*leds), wanted)[1])


def test_too_dark_at_the_most_its_leds_carry_asks_for_more_of_them():
    (one,) = judge(small_panel(), small_box())[0].openings
    wanted = look(least=11.0 * one.mean_cd_m2, most=13.0 * one.mean_cd_m2)
    finding = one_of(judge(small_panel(), small_box(), wanted)[1], "LIT013")
    assert "about 6 LEDs of the kind in place of 2" in finding.remedy  # 12 / 4 times 2


def test_mates_within_one_and_a_half_pass_and_others_do_not():
    def glows(ratio):
        made = []
        for name, current in (("one", 0.002), ("two", 0.002 * ratio)):
            top = panel(opening(name, upright(3, 3, 37, 17), OPAL, match="screens"))
            leds = [replace(each, current_A=current) for each in small_box().leds]
            made.append(judge(top, small_box(*leds))[0])
        return made

    assert mismatched(glows(1.5)) == ()
    (finding,) = mismatched(glows(1.7))
    assert finding.code == "LIT015"
    assert "behind 'one' by 1.70, or those behind 'two' by 0.59" in finding.remedy
    assert mismatched(glows(1 / 1.6))[0].where.item == "opening two"


def test_openings_without_a_match_word_are_not_compared():
    top = panel(opening("A", upright(3, 3, 18, 17), OPAL), opening("B", upright(22, 3, 37, 17)))
    assert mismatched([judge(top, small_box())[0]]) == ()


def test_a_pinhole_leaves_the_light_inside():
    found = judge(small_panel(round_outline(1.0, x_mm=20.0, y_mm=10.0)), small_box(paint=0.4))[1]
    finding = one_of(found, "LIT017")
    gain = float(re.search(r"([\d.]+) times the light", finding.remedy)[1])
    dim, white = (
        judge(small_panel(round_outline(1.0, x_mm=20.0, y_mm=10.0)), small_box(paint=paint))[0]
        for paint in (0.4, 0.8)
    )
    assert gain == pytest.approx(white.escaped_lm / dim.escaped_lm, rel=ROUNDED)


# Lines of sight: plane geometry.


def angle(box, shape, *, panel_mm):
    drawn = draw_box(panel(opening("A", shape)), box=box, currents={})
    return least_angle_deg(
        drawn, lamp=drawn.scene.lamps[0], aperture=drawn.scene.apertures[0], panel_mm=panel_mm
    )


@pytest.mark.parametrize("aside", [4.0, 8.0, 11.0])
def test_an_led_beside_a_hole_is_seen_past_the_nearer_rear_rim(aside):
    """Both rims cleared: the line passes the near rear rim and leaves before the far front rim."""
    box = small_box(led("W", 20.0, 10.0), depth_mm=10.6)
    hole = upright(20.0 + aside, 5.0, 20.0 + aside + 4.0, 15.0)
    seen = angle(box, hole, panel_mm=1.0)
    assert seen == pytest.approx(degrees(atan(aside / 10.0)), abs=RASTER_DEG)


def test_a_thick_panel_hides_what_lies_beside_a_pinhole():
    """Seen within atan(D / t) of the normal only: 45 degrees for a hole as wide as it is deep."""
    box = small_box(led("W", 8.0, 10.0), depth_mm=10.6)
    hole = round_outline(1.0, x_mm=22.0, y_mm=10.0)
    assert angle(box, hole, panel_mm=0.01) is not None
    assert angle(box, hole, panel_mm=1.0) is None


def test_an_led_under_an_open_hole_is_seen_straight():
    box = small_box(led("W", 20.0, 10.0))
    assert angle(box, upright(15, 5, 25, 15), panel_mm=1.0) == pytest.approx(0.0, abs=RASTER_DEG)


def test_a_baffle_an_inner_diffuser_or_its_own_back_hides_an_led():
    aside = upright(26.0, 5.0, 34.0, 15.0)
    box = small_box(led("W", 20.0, 10.0), depth_mm=10.6)
    assert angle(box, aside, panel_mm=1.0) is not None
    wall = Baffle(
        name="b",
        where=where("b"),
        start_mm=(23.0, 0.0),
        end_mm=(23.0, 20.0),
        height_mm=10.6,
        sheet=SHEET,
    )
    assert angle(replace(box, baffles=(wall,)), aside, panel_mm=1.0) is None
    # One that hangs hides it too where it comes down to the line of sight, and not above.
    for high, hidden in ((8.0, True), (2.0, False)):
        hung = replace(wall, seat=Seat.PANEL, height_mm=high)
        assert (angle(replace(box, baffles=(hung,)), aside, panel_mm=1.0) is None) == hidden
    sheet = InnerDiffuser(film=OPAL, height_mm=5.0)
    assert angle(replace(box, inner_diffuser=sheet), aside, panel_mm=1.0) is None
    down = small_box(led("W", 20.0, 10.0, seat=Seat.PANEL))
    assert angle(down, aside, panel_mm=1.0) is None


@pytest.mark.parametrize("x", [15.0, 19.0, 21.0])
def test_the_mend_moves_the_led_out_of_the_cone(x):
    top = panel(opening("A", upright(20.0, 6.0, 26.0, 14.0)))
    finding = one_of(judge(top, small_box(led("W", x, 10.0), depth_mm=10.6))[1], "LIT016")
    place = re.search(r"move the LED to \[([\d.]+) mm, ([\d.]+) mm\]", finding.remedy)
    away = small_box(led("W", float(place[1]), float(place[2])), depth_mm=10.6)
    assert "LIT016" not in codes(judge(top, away)[1])


def test_no_move_is_offered_where_there_is_no_room_or_another_led_in_sight():
    top = panel(opening("A", upright(12.0, 6.0, 28.0, 14.0)))
    alone = small_box(led("W", 20.0, 10.0), depth_mm=16.0)
    two = small_box(led("V", 6.0, 10.0), led("W", 13.0, 10.0), depth_mm=10.6)
    for box in (alone, two):
        finding = one_of(judge(top, box)[1], "LIT016")
        assert finding.remedy == "close 'A' with 'opal film 70'"


def test_a_closed_opening_shows_no_led():
    assert "LIT016" not in codes(judge(small_panel(), small_box())[1])


# Clearance.


@pytest.mark.parametrize(
    ("lamp", "changes", "near"),
    [
        (led("A", 1.1, 10.0), {}, False),
        (led("A", 0.9, 10.0), {}, True),
        (led("A", 20.0, 10.0, kind=led_type(height_mm=0.7)), {"depth_mm": 1.6}, True),
        (led("A", 20.0, 10.0, kind=led_type(height_mm=0.5)), {"depth_mm": 1.6}, False),
        (led("A", 0.0, 10.0, seat=Seat.WALL, height_mm=3.0), {}, False),
        (led("A", 0.0, 0.9, seat=Seat.WALL, height_mm=3.0), {}, True),
        (led("A", 20.0, 10.0), {"inner": InnerDiffuser(film=OPAL, height_mm=1.5)}, True),
        (led("A", 20.0, 10.0), {"inner": InnerDiffuser(film=OPAL, height_mm=4.0)}, False),
    ],
)
def test_a_millimetre_is_the_least_clearance(lamp, changes, near):
    found = judge(small_panel(), small_box(lamp, **changes))[1]
    assert ("LIT003" in codes(found)) is near


@pytest.mark.parametrize(
    ("stands", "hangs", "height"),
    [(4.0, 2.0, 5.0), (6.0, 2.0, 6.0), (4.0, 6.0, None), (0.0, 6.0, 3.8), (6.0, 4.0, None)],
)
def test_an_inner_diffuser_is_offered_where_baffles_leave_room(stands, hangs, height):
    walls = tuple(
        Baffle(
            name=f"b{seat}",
            where=where(f"b{seat}"),
            start_mm=(23.0, 0.0),
            end_mm=(23.0, 20.0),
            height_mm=high,
            sheet=SHEET,
            seat=seat,
        )
        for seat, high in ((Seat.BACK, stands), (Seat.PANEL, hangs))
        if high
    )
    box = replace(small_box(led("W", 20.0, 10.0), depth_mm=10.0), baffles=walls)
    found = room_for_sheet_mm(box, thickness_mm=0.2, half_mm=5.0)
    # Above 4 mm of a stander, below what hangs 6 mm down from 10 mm, less the film.
    assert found == (None if height is None else pytest.approx(height))
