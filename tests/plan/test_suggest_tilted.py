"""Suggestions for boxes whose LEDs lean: what is kept, what goes, and what is promised."""

from importlib.util import find_spec
from math import hypot
from pathlib import Path

import pytest

from lamphouse.cutting.cutlist import LEAD_MM
from lamphouse.cutting.led_rules import led_outside, led_overlap, wires_cramped
from lamphouse.findings import Severity
from lamphouse.light.box_scene import draw_box
from lamphouse.light.clearance import too_near
from lamphouse.light.seated_leds import source_of
from lamphouse.plan.asking import asked
from lamphouse.plan.led_floor import floor_of
from lamphouse.plan.make import plan
from lamphouse.plan.suggest import suggest
from lamphouse.project.applying import applied
from lamphouse.project.read import read_text
from lamphouse.record import replace
from lamphouse.units import Quantity, parse
from tolerances import EXACT

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
ROW = "W: {type: white 0603, at: [20 mm, 25 mm], count: 2, step: [16 mm, 0 mm], current: 0.5 mA}"
TWO = """W: {{type: white 0603, at: [20 mm, 25 mm], current: 0.5 mA, {}}}
              V: {{type: white 0603, at: [36 mm, 25 mm], current: 0.5 mA, {}}}"""

ALIKE = {
    "gently up": ("tilt: 30 deg, towards: 90 deg", "tilted 30 deg upwards"),
    "far down": ("turn: 90 deg, tilt: 75 deg, towards: -90 deg", "tilted 75 deg downwards"),
}
DIFFERENT = {
    "both out": ("tilt: 50 deg, towards: 180 deg", "tilt: 50 deg, towards: 0 deg"),
    "one leans": ("tilt: 20 deg, towards: 45 deg", "turn: 30 deg"),
}
TEXTS = {
    **{
        name: SOUND.replace(ROW, ROW.replace("0.5 mA}", f"0.5 mA, {lean}}}"))
        for name, (lean, _) in ALIKE.items()
    },
    **{name: SOUND.replace(ROW, TWO.format(*leans)) for name, leans in DIFFERENT.items()},
}
TEXTS["far down, very even"] = TEXTS["far down"].replace("evenness: 70 %", "evenness: 94 %")
TEXTS["too dark"] = (
    TEXTS["both out"]
    .replace("at: [20 mm", "at: [24.5 mm")
    .replace("at: [36 mm", "at: [31.5 mm")
    .replace("current: 0.5 mA", "current: 0.1 mA")
)


@pytest.fixture(scope="module")
def made():
    found = {}
    for name, text in TEXTS.items():
        reading = read_text(text, file="project.yaml")
        request = asked(reading.design, shelf=reading.shelf, box="screen box")
        found[name] = request, suggest(reading.design, request=request)
    return found


def written(name, *, request, choice):
    text = applied(TEXTS[name], request=request, choice=choice, reason=choice.words)
    return text, read_text(text, file="project.yaml")


def lit(reading):
    (box,) = [box for sub in reading.design.sub_assemblies for _, box in sub.boxes]
    return box


@pytest.mark.parametrize("name", TEXTS)
def test_there_are_choices_and_one_reaches_the_look(made, name):
    _, told = made[name]
    assert told.choices[0].reaches
    assert told.proof.startswith("proved: no fewer than")


@pytest.mark.parametrize("name", ALIKE)
def test_leds_that_lean_alike_lean_so_in_every_choice_or_stand_straight_and_it_says_which(
    made, name
):
    lean, said = ALIKE[name]
    towards = parse(lean.rpartition(": ")[2], Quantity.ANGLE)
    _, told = made[name]
    assert told.note == ""
    kept = [choice for choice in told.choices if said in choice.words]
    assert kept
    for choice in told.choices:
        leans = {(led.tilt_deg > 0.0, led.towards_deg) for led in choice.box.leds}
        assert leans == ({(True, towards)} if choice in kept else {(False, 0.0)})
        assert ("straight" in choice.words) == (choice not in kept)


def test_straight_leds_are_offered_where_they_do_better(made):
    _, told = made["far down, very even"]
    best, *others = told.choices
    assert "straight" in best.words
    assert best.box.depth_mm == told.drawn.box.depth_mm
    # Beside it those that keep the tilt need more LEDs or a change of the box.
    assert others
    for one in others:
        assert one.panel != best.panel or len(one.box.leds) > len(best.box.leds)


def test_leds_left_where_they_are_keep_their_tilts_when_only_currents_change(made):
    request, told = made["too dark"]
    (kept,) = [choice for choice in told.choices if "LEDs as drawn" in choice.words]
    assert kept.reaches
    assert not told.drawn.reaches
    assert "tilted as drawn" in kept.words
    drawn = {(led.x_mm, led.tilt_deg, led.towards_deg) for led in request.box.leds}
    assert {(led.x_mm, led.tilt_deg, led.towards_deg) for led in kept.box.leds} == drawn


@pytest.mark.parametrize("name", [*DIFFERENT, "too dark"])
def test_leds_that_lean_differently_stand_straight_where_they_are_moved(made, name):
    request, told = made[name]
    assert "lose tilt and towards" in told.note
    assert f"'{request.box.name}'" in told.note
    moved = [choice for choice in told.choices if "LEDs as drawn" not in choice.words]
    assert moved
    for choice in moved:
        assert {(led.tilt_deg, led.towards_deg) for led in choice.box.leds} == {(0.0, 0.0)}
        assert "straight" in choice.words


@pytest.mark.parametrize("name", TEXTS)
def test_choices_written_into_the_file_lean_and_plan_as_promised(made, name):
    request, told = made[name]
    for choice in told.choices:
        leans_and_plans_as_promised(name, request=request, choice=choice)


def leans_and_plans_as_promised(name, *, request, choice):
    text, again = written(name, request=request, choice=choice)
    assert again.design, again.findings
    tilted = any(led.tilt_deg for led in choice.box.leds)
    head, _, rest = text.partition("# suggested:")
    said, _, leds = rest.partition("leds:")
    assert choice.words in said
    assert ("tilt:" in leds, "towards:" in leds) == (tilted, tilted)
    assert "tilt:" not in head

    def sits(led):
        return led.x_mm, led.y_mm, led.turn_deg, led.tilt_deg, led.towards_deg, led.current_A

    shown = sorted(map(sits, lit(again).leds))
    for one, other in zip(shown, sorted(map(sits, choice.box.leds)), strict=True):
        assert one == pytest.approx(other, abs=EXACT)
    whole = plan(again.design, found=again.findings, places=again.places)
    assert [one for one in whole.findings if one.severity is not Severity.NOTE] == []
    (glow,) = whole.glows
    for seen, promised in zip(glow.openings, choice.openings, strict=True):
        assert seen.mean_cd_m2 == pytest.approx(promised.mean_cd_m2, rel=EXACT)
        assert seen.evenness == pytest.approx(promised.evenness, rel=EXACT)


@pytest.mark.slow
@pytest.mark.parametrize("name", TEXTS)
def test_the_second_opinion_agrees_with_every_promise_within_one_percent(made, name):
    if find_spec("numba") is None:
        pytest.skip("the compiler 'numba' is not installed")
    from lamphouse.light.verify import Effort, verify

    request, told = made[name]
    for choice in told.choices:
        _, again = written(name, request=request, choice=choice)
        (glow,) = plan(again.design).glows
        effort = Effort(relative_error=2e-3, most_walks=2_500_000)
        opinion = verify(glow.scene, seed=3, effort=effort)
        for seen, promised in zip(opinion.openings, choice.openings, strict=True):
            assert promised.mean_cd_m2 == pytest.approx(seen.mean_cd_m2, rel=0.01)


@pytest.mark.parametrize("lean", [(30.0, 90.0), (60.0, 200.0), (90.0, -45.0)])
@pytest.mark.parametrize("kind", ["white 0402", "white 1206", "white 3 mm"])
def test_every_place_of_the_floor_is_one_the_rules_of_cutting_accept(kind, lean):
    reading = read_text(SOUND, file="project.yaml")
    request = asked(reading.design, shelf=reading.shelf, box="screen box")
    tilt, towards = lean
    led = replace(
        request.box.leds[0],
        led_type=reading.shelf.led_types[kind],
        turn_deg=20.0,
        tilt_deg=tilt,
        towards_deg=towards,
    )
    drills = reading.design.drills
    base = floor_of(request.box, led=led, drills=drills, lead_mm=LEAD_MM)
    left, bottom, right, top = base.bounds
    rows = {
        half / 2.0: base.free_row(half / 2.0) for half in range(int(bottom * 2), int(top * 2) + 1)
    }
    sites = [(x, y) for y, row in rows.items() if row for x in {min(row), max(row)}]
    assert len(sites) > 20
    away = source_of(led)
    for x, y in sites:
        seated = replace(request.box, leds=(replace(led, x_mm=x, y_mm=y),))
        assert led_outside(seated) == ()
        assert wires_cramped(seated, drills=drills, lead_mm=LEAD_MM) == ()
        drawn = draw_box(request.panel, box=seated, currents={})
        assert [one for one in too_near(drawn) if one.what == "a wall"] == []
        # Its light, too, is a millimetre from every wall.
        light = (x + away[0], y + away[1])
        assert left + 1.0 <= light[0] <= right - 1.0
        assert bottom + 1.0 <= light[1] <= top - 1.0


@pytest.mark.parametrize("turn", [0.0, 35.0, 90.0])
@pytest.mark.parametrize("kind", ["white 0603", "white 3 mm"])
def test_two_that_lean_alike_fit_at_the_pitch_in_every_direction(kind, turn):
    reading = read_text(SOUND, file="project.yaml")
    request = asked(reading.design, shelf=reading.shelf, box="screen box")
    drills = reading.design.drills
    led = replace(
        request.box.leds[0],
        led_type=reading.shelf.led_types[kind],
        turn_deg=turn,
        tilt_deg=50.0,
        towards_deg=70.0,
    )
    base = floor_of(request.box, led=led, drills=drills, lead_mm=LEAD_MM)
    for across, up in ((1.0, 0.0), (0.0, 1.0), (0.6, 0.8), (-0.8, 0.6)):
        assert hypot(across, up) == pytest.approx(1.0)
        other = replace(
            led,
            name="other",
            where=replace(led.where, item="other"),
            x_mm=28.0 + across * base.pitch_mm,
            y_mm=25.0 + up * base.pitch_mm,
        )
        both = replace(request.box, leds=(replace(led, x_mm=28.0, y_mm=25.0), other))
        assert led_overlap(both) == ()
        assert wires_cramped(both, drills=drills, lead_mm=LEAD_MM) == ()
