"""The blink view while there is little to show: what it says to do next, and that it then works."""

from html import unescape
from pathlib import Path

import pytest
from playwright.sync_api import expect

from lamphouse.project.read import read_text
from web.views_client import opened

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
STEADY = "  steady: {in: desk, source: {led: green 3 mm, current: 5 mA}, pattern: {kind: steady}}\n"
BLIP = "  blip: {in: desk, pattern: {kind: beacon, period: 1 s}}\n"
STRANDS = SOUND[SOUND.index("        strands:") :]
LAMP = "    lamps: {L: {type: white 0603, at: [10 mm, 10 mm], current: 1 mA, group: blip}}\n"
BARE = SOUND.replace("groups:\n" + STEADY, "").replace(STRANDS, "")
UNLIT = SOUND.replace(STEADY, BLIP).replace(STRANDS, "").replace("    board:", LAMP + "    board:")
IN_BOX = "step: [16 mm, 0 mm], current: 0.5 mA"
"""Of the row of LEDs in the light box."""


def body_of(tmp_path, text):
    project = tmp_path / "sample.yaml"
    project.write_text(text, encoding="utf-8")
    with opened(project, state=tmp_path / "state") as (client, _, address):
        return unescape(client.get(f"{address}/blink/body").text)


def test_steady_groups_are_given_another_pattern(tmp_path):
    page = body_of(tmp_path, SOUND)
    assert "Nothing blinks yet: give a source group another pattern than steady" in page
    assert "data-player" not in page


def test_without_a_source_group_the_page_gives_one_to_write(tmp_path):
    page = body_of(tmp_path, BARE)
    assert "write a source group, below" in page
    assert "give a source group" not in page
    example = page.partition("<pre>")[2].partition("</pre>")[0]
    assert "in: desk" in example
    written = BARE.replace(IN_BOX, IN_BOX + ", group: blinking") + "\n" + example + "\n"
    assert [group.name for group in read_text(written, file="a.yaml").design.groups] == ["blinking"]
    assert "<option" in body_of(tmp_path, written).partition("data-panel")[2]


def test_without_a_lit_panel_the_page_says_what_lights_one(tmp_path):
    page = body_of(tmp_path, UNLIT)
    assert "data-player" in page
    assert "data-panel" not in page
    assert "<canvas" not in page
    said = page.partition("None of these groups shows on a panel yet")[2].partition("</p>")[0]
    assert "<code>group: blip</code>" in said
    assert ">120</td>" in page  # msr of a bare lamp, in plain digits
    after = body_of(tmp_path, UNLIT.replace(IN_BOX, IN_BOX + ", group: blip"))
    assert "None of these groups" not in after
    assert "<canvas data-glow" in after


@pytest.mark.slow
def test_play_pressed_before_the_time_line_is_there_plays_once_it_is(serve, browse, tmp_path):
    project = tmp_path / "sample.yaml"
    project.write_text(UNLIT, encoding="utf-8")
    page = browse(serve(project).entry)
    held = []
    page.route("**/play.json?*", lambda route: held.append(route))
    with page.expect_request("**/play.json?*"):
        page.goto(page.url.rpartition("/")[0] + "/blink")
    page.locator("[data-play]").click()
    expect(page.locator("[data-play]")).to_have_text("Stop")
    with page.expect_response("**/play.json?*"):
        held[0].continue_()
    expect(page.locator("[data-clock]")).not_to_have_text("0.0 s")


@pytest.mark.slow
@pytest.mark.parametrize("motion", ["no-preference", "reduce"])
def test_the_time_line_plays_without_a_panel(serve, browse, tmp_path, motion):
    project = tmp_path / "sample.yaml"
    project.write_text(UNLIT, encoding="utf-8")
    page = browse(serve(project).entry, reduced_motion=motion)
    page.goto(page.url.rpartition("/")[0] + "/blink")
    play, clock = page.locator("[data-play]"), page.locator("[data-clock]")
    if motion == "reduce":
        expect(play).to_be_disabled()
        return
    play.click()
    expect(clock).not_to_have_text("0.0 s")
    play.click()
    expect(play).to_have_text("Play")
