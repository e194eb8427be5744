"""Suggestions written into the file: the meant lines change, all else stays byte for byte."""

from pathlib import Path

import pytest

from lamphouse.design.lightbox import InnerDiffuser, Seat
from lamphouse.design.panel import Layer, LayerKind
from lamphouse.plan.asking import asked
from lamphouse.plan.led_rows import rows_of
from lamphouse.plan.suggestion import Choice
from lamphouse.project.applying import applied
from lamphouse.project.read import read_text
from lamphouse.project.write import ChangeError
from lamphouse.record import replace

TEXT = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml").read_text(encoding="utf-8")


def chosen(reading, *, places, box="screen box", freed=(), panel=None, **changes):
    """Give a request and a choice with LEDs at places; figures play no part in writing."""
    request = asked(reading.design, shelf=reading.shelf, box=box)
    first = request.box.leds[0]
    leds = [replace(first, x_mm=x, y_mm=y, current_A=0.0007) for x, y in places]
    choice = Choice(
        words="a trial",
        panel=panel(request.panel) if panel else request.panel,
        box=replace(request.box, leds=tuple(leds), **changes),
        openings=(),
        reaches=True,
        strings=1,
        current_A=0.001,
        cd_m2_per_mA=1.0,
        rows=rows_of(leds, stem="W", taken=frozenset()),
        freed=freed,
    )
    return request, choice


@pytest.fixture(scope="module")
def reading():
    return read_text(TEXT, file="mended.yaml")


def changed_lines(text):
    old, new = TEXT.splitlines(), text.splitlines()
    return [line for line in old if line not in new], [line for line in new if line not in old]


def box_of(text, *, name="screen box"):
    again = read_text(text, file="again.yaml")
    assert again.design, again.findings
    return next(
        box for sub in again.design.sub_assemblies for _, box in sub.boxes if box.name == name
    )


def test_only_the_leds_change_and_the_reason_stands_above_them(reading):
    request, choice = chosen(reading, places=[(20, 26), (48, 26)], freed=("S2",))
    text = applied(TEXT, request=request, choice=choice, reason="two will\n do")
    gone, new = changed_lines(text)
    assert [line.strip()[:3] for line in gone] == ["W: ", "S2:"]
    assert new[0] == "            # suggested: two will do"
    assert "at: [20 mm, 26 mm], count: 2, step: [28 mm, 0 mm], current: 0.7 mA" in new[1]
    assert len(new) == 2
    assert text.splitlines()[text.splitlines().index(new[0]) + 1].strip() == "leds:"


@pytest.mark.parametrize(
    "change",
    [
        {"tilt_deg": 30.0, "towards_deg": 90.0},
        {"seat": Seat.WALL, "height_mm": 4.0, "tilt_deg": 12.5, "towards_deg": -45.0},
    ],
)
def test_how_leds_sit_and_lean_is_written_with_them(reading, change):
    request, choice = chosen(reading, places=[(20, 26), (48, 26)], freed=("S1", "S2"))
    leds = tuple(replace(led, **change) for led in choice.box.leds)
    rows = rows_of(leds, stem="N", taken=frozenset())
    choice = replace(choice, box=replace(choice.box, leds=leds), rows=rows)
    found = box_of(applied(TEXT, request=request, choice=choice, reason="leaning")).leds
    assert [led.name for led in found] == ["N1", "N2"]
    for led in found:
        assert {key: getattr(led, key) for key in change} == change


def test_a_newer_reason_takes_the_place_of_the_older(reading):
    request, choice = chosen(reading, places=[(20, 26), (48, 26)], freed=("S2",))
    text = applied(TEXT, request=request, choice=choice, reason="first")
    again = read_text(text, file="again.yaml")
    request, choice = chosen(again, places=[(34, 26)])
    text = applied(text, request=request, choice=choice, reason="second")
    assert "first" not in text
    assert text.count("# suggested:") == 1
    assert [(led.name, led.x_mm) for led in box_of(text).leds] == [("W", 34.0)]


def test_rows_come_and_go_whole(reading):
    request, choice = chosen(
        reading, places=[(20, 16), (48, 16), (20, 36), (48, 36)], freed=("S1", "S2")
    )
    text = applied(TEXT, request=request, choice=choice, reason="four")
    assert [led.name for led in box_of(text).leds] == ["Wa1", "Wa2", "Wb1", "Wb2"]
    again = read_text(text, file="again.yaml").design
    sub = next(one for one in again.sub_assemblies if one.name == request.sub.name)
    assert sub.strings == ()
    assert "strings:" not in text.split("instrument wall:")[0].split("chart table:")[1]


def test_depth_finish_and_inner_diffuser(reading):
    film = reading.shelf.film_types["opal film 60"]
    request, choice = chosen(
        reading,
        places=[(34, 26)],
        freed=("S1", "S2"),
        depth_mm=20.5,
        finish=reading.shelf.finishes["white card"],
        inner_diffuser=InnerDiffuser(film=film, height_mm=8.0),
    )
    text = applied(TEXT, request=request, choice=choice, reason="all at once")
    box = box_of(text)
    assert (box.depth_mm, box.finish.name) == (20.5, "white card")
    assert (box.inner_diffuser.film.name, box.inner_diffuser.height_mm) == ("opal film 60", 8.0)
    again = read_text(text, file="again.yaml")
    request, choice = chosen(again, places=[(34, 26)], inner_diffuser=None)
    assert box_of(applied(text, request=request, choice=choice, reason="-")).inner_diffuser is None


def test_layers_keep_their_number_of_films(reading):
    film = reading.shelf.film_types["opal film 30"]

    def filmed(panel):
        (opening,) = panel.openings
        layers = (Layer(kind=LayerKind.DIFFUSER, film=film), *opening.layers[1:])
        return replace(panel, openings=(replace(opening, layers=layers),))

    request, choice = chosen(reading, places=[(34, 26)], freed=("S1", "S2"), panel=filmed)
    text = applied(TEXT, request=request, choice=choice, reason="denser")
    assert "layers: [opal film 30, {film: print film, films: 2}]" in text


def test_line_ends_stay_as_they_are(reading):
    request, choice = chosen(reading, places=[(20, 26), (48, 26)], freed=("S2",))
    text = applied(TEXT.replace("\n", "\r\n"), request=request, choice=choice, reason="two")
    assert text.count("\n") == text.count("\r\n")
    assert text.replace("\r\n", "\n") == applied(TEXT, request=request, choice=choice, reason="two")


def test_a_file_without_the_box_is_refused(reading):
    request, choice = chosen(reading, places=[(34, 26)])
    with pytest.raises(ChangeError, match="holds no box 'screen box'"):
        applied("lamphouse: 1\nname: x\n", request=request, choice=choice, reason="-")
