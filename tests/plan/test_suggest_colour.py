"""Suggestions for looks with a colour: LEDs, gels and tints that give it, and what is promised."""

from pathlib import Path

import pytest

from lamphouse.plan.asking import asked
from lamphouse.plan.make import plan
from lamphouse.plan.suggest import suggest
from lamphouse.project.applying import applied
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures
from tolerances import EXACT

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")


def text_of(*, colour="", layers="[opal film 60]", led="white 0603"):
    text = SOUND.replace("[opal film 60]", layers).replace("type: white 0603", f"type: {led}")
    return text.replace("evenness: 70 %", f"evenness: 70 %, colour: {colour}")


def told_of(text, **words):
    reading = read_text(text, file="project.yaml")
    request = asked(reading.design, shelf=reading.shelf, box="screen box", **words)
    return request, suggest(reading.design, request=request)


@pytest.mark.parametrize(
    ("colour", "layers", "led"),
    [
        ("red", "[opal film 60]", "white 0603"),
        ("2900 K", "[opal film 60]", "white 0603"),
        ("green", "[opal film 60, amber gel]", "warm white 0603"),
        ("amber", "[opal film 60, print film]", "white 0603"),
    ],
)
def test_a_choice_has_the_colour_and_keeps_its_promise_in_the_file(colour, layers, led):
    text = text_of(colour=colour, layers=layers, led=led)
    request, told = told_of(text)
    assert any(choice.reaches for choice in told.choices)
    assert not any(f"gives 'screen' {colour}" in words for words in told.left_out)
    for choice in told.choices:
        again = read_text(
            applied(text, request=request, choice=choice, reason="a trial"), file="project.yaml"
        )
        whole = plan(again.design)
        (glow,) = whole.glows
        (shown,), (promised,) = glow.openings, choice.openings
        assert shown.mean_cd_m2 == pytest.approx(promised.mean_cd_m2, rel=EXACT)
        assert shown.colour.uv == pytest.approx(promised.colour.uv, rel=EXACT)
        assert [one for one in whole.findings if one.code == "COL001"] == []


def test_the_colour_there_is_keeps_its_leds_and_films():
    _, told = told_of(text_of(colour="cool white"))
    for choice in told.choices:
        assert {led.led_type.name for led in choice.box.leds} == {"white 0603"}
        assert all(
            layer.film.use == "diffuser"
            for opening in choice.panel.openings
            for layer in opening.layers
        )


def test_a_gel_goes_behind_a_print():
    _, told = told_of(
        text_of(colour="amber", layers="[opal film 60, print film]"), led="white 0603"
    )
    films = [
        [layer.film.use for layer in choice.panel.openings[0].layers] for choice in told.choices
    ]
    assert films
    assert all(uses[-1] == "print" and uses[-2] in ("gel", "tint coat") for uses in films)


def test_an_led_that_is_asked_for_stays_and_a_film_gives_the_colour():
    _, told = told_of(text_of(colour="red"), led="white 0603")
    for choice in told.choices:
        assert {led.led_type.name for led in choice.box.leds} == {"white 0603"}
        assert choice.openings[0].colour.name == "red"


def test_a_colour_that_nothing_gives_is_told_and_never_called_reached():
    _, told = told_of(text_of(colour="Lab 30 -120 -120"))
    assert "no LED, gel or tint of the tables gives 'screen' Lab 30 -120 -120" in told.left_out[0]
    assert told.choices
    assert not any(choice.reaches for choice in told.choices)


def test_words_that_are_no_colour_ask_for_none():
    _, told = told_of(text_of(colour="burgundy"))
    assert told.choices[0].reaches


def test_a_layer_that_is_printed_keeps_its_artwork_when_films_change():
    demo = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml").read_text(encoding="utf-8")
    text = demo.replace("colour: white}", "colour: amber}", 1)
    pictures = demo_pictures("saltmarsh")
    reading = read_text(text, file="project.yaml", own_pictures=pictures)
    request = asked(reading.design, shelf=reading.shelf, box="screen box", led="white 0603")
    told = suggest(reading.design, request=request)
    filmed = [choice for choice in told.choices if choice.panel != request.panel]
    assert filmed
    new = applied(text, request=request, choice=filmed[0], reason="a trial")
    again = read_text(new, file="project.yaml", own_pictures=pictures)
    (opening,) = again.design.sub_assemblies[0].panels[0].openings
    assert [bool(layer.printed) for layer in opening.layers][-1]
    assert opening.layers == filmed[0].panel.openings[0].layers
