import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import Baffle, WallCoating
from lamphouse.design.place import Room
from lamphouse.design.whole import Look
from lamphouse.light.box_glow import LedCurrent
from lamphouse.light.figure_rules import look_without_box
from lamphouse.light.judging import judge_box
from lamphouse.record import replace
from light.boxes import scenes
from light.designs import (
    SHEET,
    design_of,
    film,
    led,
    led_type,
    light_box,
    opening,
    outline,
    panel,
    round_outline,
    upright,
    where,
)
from tolerances import EXACT, PHYSICS

LIT = 0.005
"""What is asked of the mean of a lit opening."""

ROOM = Room(width_mm=300.0, depth_mm=200.0, height_mm=150.0, room_light_lx=50.0,
            viewing_distance_mm=600.0)  # fmt: skip
SCENES = {scene["name"]: scene for scene in scenes("light_scenes.json")}
OPAL = film(0.6, 0.36)


def look(least, most, *, evenness=0.3, name="lit"):
    return Look(name=name, where=where(name), least_cd_m2=least, most_cd_m2=most, evenness=evenness)


def judge(top, box, *, currents=(), looks=(), room=None):
    return judge_box(top, box=box, sub_assembly="desk", currents=currents, looks=looks, room=room)


def codes(found):
    return sorted(finding.code for finding in found)


def small_box(*leds, **changes):
    leds = leds or (led("A", 8.0, 10.0, kind=led_type(flux_lm=0.1)), led("B", 22.0, 10.0))
    return light_box(upright(0, 0, 30, 20), *leds, depth_mm=10.0, **changes)


def small_panel(*films, **changes):
    return panel(opening("A", upright(3, 3, 27, 17), *(films or (OPAL,)), **changes))


def test_a_judged_box_shows_what_the_path_tracer_saw():
    scene = SCENES["s02_two_leds"]
    glow, found = judge(*design_of(scene))
    seen = scene["reference"]["apertures"][0]
    (one,) = glow.openings
    assert one.mean_cd_m2 == pytest.approx(seen["mean_cd_m2"], rel=LIT)
    assert one.evenness == pytest.approx(seen["min_over_mean"], abs=3 * LIT)
    assert one.hot_spot == pytest.approx(seen["max_over_mean"], abs=3 * LIT)
    assert found == ()


def test_rows_of_cells_run_from_the_bottom_up_and_left_to_right():
    scene = SCENES["s05_L_shape"]
    glow, _ = judge(*design_of(scene))
    for one, seen in zip(glow.openings, scene["reference"]["apertures"], strict=True):
        assert [len(row) for row in one.cells_cd_m2] == [8] * 6
        for ours, theirs in zip(one.cells_cd_m2, seen["grid_cd_m2"], strict=True):
            assert ours == pytest.approx(theirs, rel=5 * LIT)


def test_a_round_opening_has_one_row_of_equal_cells():
    top = panel(opening("A", round_outline(12.0, x_mm=15.0, y_mm=10.0), OPAL))
    (one,) = judge(top, small_box())[0].openings
    (row,) = one.cells_cd_m2
    assert len(row) == 48
    assert sum(row) / 48 == pytest.approx(one.mean_cd_m2, rel=PHYSICS)


def test_light_is_not_lost_or_made():
    glow, _ = judge(small_panel(), small_box())
    assert glow.emitted_lm == pytest.approx(1.1, rel=EXACT)
    assert glow.absorbed_lm + glow.escaped_lm == pytest.approx(glow.emitted_lm, rel=PHYSICS)


def test_the_band_holds_the_circuit_and_a_factor_of_two_in_the_bins():
    currents = tuple(
        LedCurrent(led=name, low_A=0.004, nominal_A=0.005, high_A=0.0075) for name in "AB"
    )
    (sure,) = judge(small_panel(), small_box())[0].openings
    (one,) = judge(small_panel(), small_box(), currents=currents)[0].openings
    low, high = one.mean_cd_m2 - one.bar_cd_m2, one.mean_cd_m2 + one.bar_cd_m2
    assert one.mean_cd_m2 == sure.mean_cd_m2
    assert sure.high_cd_m2 / high / (sure.low_cd_m2 / low) == pytest.approx(2.0, rel=EXACT)
    assert one.low_cd_m2 == pytest.approx(0.8 * sure.low_cd_m2, rel=EXACT)
    assert one.high_cd_m2 == pytest.approx(1.5 * sure.high_cd_m2, rel=EXACT)


def test_two_layers_of_colour_widen_the_band():
    gel = film(0.5, 0.08, use="gel")
    (once,) = judge(small_panel(OPAL, gel), small_box())[0].openings
    (twice,) = judge(small_panel(OPAL, gel, gel), small_box())[0].openings
    assert twice.high_cd_m2 / twice.mean_cd_m2 == pytest.approx(
        2.0 * once.high_cd_m2 / once.mean_cd_m2, rel=1e-2
    )


def test_the_circuit_s_current_counts_and_not_the_wanted():
    half = tuple(
        LedCurrent(led=name, low_A=0.0025, nominal_A=0.0025, high_A=0.0025) for name in "AB"
    )
    (one,), (two,) = (
        judge(small_panel(), small_box(), currents=currents)[0].openings for currents in ((), half)
    )
    assert two.mean_cd_m2 == pytest.approx(one.mean_cd_m2 / 2.0, rel=EXACT)


def test_outlines_that_cannot_be_cut_are_left_to_the_rules_of_cutting():
    bow = outline(((0.0, 0.0, 0.0), (30.0, 20.0, 0.0), (30.0, 0.0, 0.0), (0.0, 20.0, 0.0)))
    assert judge(small_panel(), replace(small_box(), inside=bow)) == (None, ())


def test_what_has_no_figure_says_so_and_leaves_the_others_theirs():
    top = panel(
        opening("clear", upright(3, 3, 13, 17), film(0.88, 0.09, use="print")),
        opening("opal", upright(16, 3, 27, 17), OPAL),
    )
    glow, found = judge(top, small_box())
    assert [one.opening for one in glow.openings] == ["opal"]
    assert codes(found) == ["LIT006"]


def test_coloured_light_through_colour_has_no_figure():
    red = led("R", 15.0, 10.0, kind=led_type(cct_K=None))
    glow, found = judge(small_panel(OPAL, film(0.12, 0.07, use="gel")), small_box(red))
    assert glow.openings == ()
    assert codes(found) == ["COL006", "LIT007"]
    glow, found = judge(small_panel(OPAL), small_box(red))
    assert len(glow.openings) == 1
    assert found == ()


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"shine": "shiny"}, "LIT001"),
        ({"paint": 0.995}, "LIT002"),
        ({"leds": ()}, "LIT004"),
        ({"inside": upright(40, 0, 70, 20)}, "LIT004"),
        ({"inside": upright(5, 0, 35, 20)}, "LIT002"),
        ({"depth_mm": 1.5}, "LIT003"),
        ({"leds": (led("A", 0.7, 10.0),)}, "LIT003"),
        ({"leds": (led("A", -4.0, 10.0),)}, "LIT002"),
    ],
)
def test_a_box_outside_the_model_is_refused(changes, code):
    changes = dict(changes)
    painted = {key: changes.pop(key) for key in ("shine", "paint") if key in changes}
    glow, found = judge(small_panel(), replace(small_box(**painted), **changes))
    assert glow is None
    assert codes(found) == [code]


def test_a_wanted_luminance_is_judged_beyond_the_solvers_bar_only():
    (one,) = judge(small_panel(), small_box())[0].openings
    mean, bar = one.mean_cd_m2, one.bar_cd_m2

    def told(least, most):
        top = small_panel(look="lit")
        return "LIT013" in codes(judge(top, small_box(), looks=(look(least, most),))[1])

    assert not told(mean + 0.9 * bar, 10.0 * mean)
    assert told(mean + 1.1 * bar, 10.0 * mean)
    assert not told(0.1 * mean, mean - 0.9 * bar)
    assert told(0.1 * mean, mean - 1.1 * bar)


def test_the_room_s_light_is_told_where_the_opening_drowns_in_it():
    looks = (look(1.0, 1e6),)
    top = small_panel(look="lit")
    (one,) = judge(top, small_box(), looks=looks, room=ROOM)[0].openings
    bright = replace(ROOM, room_light_lx=50.0 * one.mean_cd_m2 / one.room_cd_m2)
    for share, drowned in ((0.32, False), (0.35, True)):
        room = replace(bright, room_light_lx=share * bright.room_light_lx)
        found = judge(top, small_box(), looks=looks, room=room)[1]
        assert ("LIT014" in codes(found)) is drowned


@pytest.mark.parametrize("through", [(0.0, 0.0), (0.0, 1.0), (1.0, 0.0), (0.0, 0.5)])
@pytest.mark.parametrize("paint", [0.0, 0.4])
def test_films_at_the_ends_of_their_range_are_judged(through, paint):
    top = small_panel(film(*through), look="lit", match="m")
    glow, found = judge(top, small_box(paint=paint), looks=(look(20.0, 100.0),), room=ROOM)
    (one,) = glow.openings
    assert 0.0 <= one.low_cd_m2 <= one.mean_cd_m2 <= one.high_cd_m2
    assert one.mean_cd_m2 > 0.0 or codes(found) == ["LIT013", "LIT017"]


def test_leds_without_current_are_no_light():
    dark = small_box(led("A", 8.0, 10.0, current_A=0.0))
    assert codes(judge(small_panel(), dark)[1]) == ["LIT004"]
    half = small_box(led("A", 8.0, 10.0, current_A=0.0), led("B", 22.0, 10.0))
    glow, found = judge(small_panel(look="lit"), half, looks=(look(1e5, 1e6),))
    assert glow.emitted_lm == pytest.approx(1.0, rel=EXACT)
    assert "LIT013" in codes(found)


def test_a_look_without_a_box_is_noted_whatever_the_outlines():
    bow = outline(((0.0, 0.0, 0.0), (30.0, 20.0, 0.0), (30.0, 0.0, 0.0), (0.0, 20.0, 0.0)))
    top = panel(
        opening("bow", bow, look="lit"),
        opening("lit", upright(3, 3, 10, 10), look="lit"),
        opening("bare", upright(50, 30, 60, 40), look="lit"),
    )
    boxes = (small_box(), replace(small_box(), inside=bow))
    (finding,) = look_without_box(top, boxes=boxes)
    assert finding.message.startswith("1 opening of 'top', 'bare' first, wants")
    assert len(look_without_box(top, boxes=boxes[1:])) == 1
    over = panel(opening("over", upright(8, 5, 22, 15), look="lit"))
    assert look_without_box(over, boxes=boxes[1:]) == ()


def baffle(name, start, end, height_mm):
    return Baffle(
        name=name, where=where(name), start_mm=start, end_mm=end, height_mm=height_mm, sheet=SHEET
    )


@pytest.mark.parametrize(
    ("changes", "said", "mend"),
    [
        (
            {"baffles": (baffle("fin", (15.0, 5.0), (15.0, 5.0), 6.0),)},
            "baffle 'fin' begins and ends in one place",
            "draw it from one place to another",
        ),
        (
            {"baffles": (baffle("fin", (15.0, 0.0), (15.0, 20.0), 12.0),)},
            "baffle 'fin' is 12 mm high, and the box 10 mm deep",
            "make it 10 mm high or lower",
        ),
        (
            {"baffles": (baffle("fin", (15.0, 0.0), (15.0, 26.0), 6.0),)},
            "baffle 'fin' does not stand clear inside it",
            "end the baffle on the wall, and keep it off the walls beside it",
        ),
        (
            {"baffles": (baffle("fin", (15.0, 5.0), (15.05, 5.0), 6.0),)},
            "baffle 'fin' is 0.05 mm long, and 0.1 mm is the least",
            "draw it longer, or take it out",
        ),
        (
            {"baffles": (baffle("fin", (8.0, 0.0), (8.0, 20.0), 6.0),)},
            "LED 'A' stands in baffle 'fin'",
            "move it away by at least 1 mm",
        ),
        (
            {"depth_mm": 0.5},
            "the light of LED 'A' lies 0.6 mm above its back, and it is 0.5 mm deep",
            "deepen it to 1.6 mm or more, or lower the LED",
        ),
        (
            {"leds": (led("A", 8.0, 10.0, kind=replace(led_type(), beam_deg=5.0)),)},
            "the beam of LED 'A' is narrower than 6.7 deg",
            "light it with a wider one, or judge a sample by eye",
        ),
    ],
)
def test_what_cannot_be_is_told_by_its_name_and_size(changes, said, mend):
    glow, found = judge(small_panel(), replace(small_box(), **changes))
    assert glow is None
    told = [finding for finding in found if finding.code == "LIT002"]
    assert any(finding.message.endswith(said) and finding.remedy == mend for finding in told)


@pytest.mark.parametrize("share", [0.34, 0.41, 0.57, 0.93])
def test_a_room_as_dark_as_the_mend_says_washes_nothing_out(share):
    looks = (look(1.0, 1e6),)
    top = small_panel(look="lit")
    (one,) = judge(top, small_box(), looks=looks, room=ROOM)[0].openings
    level = share * ROOM.room_light_lx * one.mean_cd_m2 / one.room_cd_m2
    found = judge(top, small_box(), looks=looks, room=replace(ROOM, room_light_lx=level))[1]
    (told,) = [finding.remedy for finding in found if finding.code == "LIT014"]
    most = float(told.split("at most ")[1].split(" lx")[0])
    darker = replace(ROOM, room_light_lx=most)
    (seen,) = judge(top, small_box(), looks=looks, room=darker)[0].openings
    assert seen.mean_cd_m2 >= 3.0 * seen.room_cd_m2 * (1.0 - EXACT)
    amps = float(told.split("set ")[1].split(" mA")[0]) / 1e3
    leds = tuple(replace(each, current_A=amps) for each in small_box().leds)
    (seen,) = judge(top, small_box(*leds), looks=looks, room=replace(ROOM, room_light_lx=level))[
        0
    ].openings
    assert seen.mean_cd_m2 >= 3.0 * seen.room_cd_m2 * (1.0 - EXACT)


@pytest.mark.parametrize(
    ("name", "coat", "told"),
    [
        ("bare white styrene", "black paint", True),
        ("bare white styrene", "white paint", False),
        ("matt white paint", "black paint", False),
    ],
)
def test_a_bare_box_with_dark_coats_on_its_panel_is_told(name, coat, told):
    box = small_box()
    coats = (WallCoating(coat=built_in().wall_coats[coat], count=2),)
    found = judge(small_panel(), replace(box, finish=replace(box.finish, name=name), coats=coats))
    assert ("LIT018" in codes(found[1])) is told


def test_the_band_weighs_each_led_s_worst_case_by_its_light():
    """Luminance is linear in each LED's flux: the ends of the band are two boxes solved anew."""
    spans = {"A": (0.0001, 0.0005, 0.009), "B": (0.004, 0.005, 0.006)}
    found = []
    for end in range(3):
        currents = tuple(
            LedCurrent(led=name, low_A=span[end], nominal_A=span[end], high_A=span[end])
            for name, span in spans.items()
        )
        (one,) = judge(small_panel(), small_box(), currents=currents)[0].openings
        found.append(one)
    low, nominal, high = found
    assert (nominal.low_cd_m2, nominal.high_cd_m2) != (low.low_cd_m2, high.high_cd_m2)
    currents = tuple(
        LedCurrent(led=name, low_A=span[0], nominal_A=span[1], high_A=span[2])
        for name, span in spans.items()
    )
    (band,) = judge(small_panel(), small_box(), currents=currents)[0].openings
    assert band.low_cd_m2 == pytest.approx(low.low_cd_m2, rel=PHYSICS)
    assert band.high_cd_m2 == pytest.approx(high.high_cd_m2, rel=PHYSICS)
