"""Light that plays: frames against the rules of play, layers against the picture of them all."""

import numpy as np
import pytest

from lamphouse.blink.playing import steps_played
from lamphouse.blink.track import TICKS_PER_S, light_of
from lamphouse.outputs.panel_colours import judged_room, light_of_panel, white_at
from lamphouse.outputs.play_frames import RATE_HZ, of_scene, played, seconds_of
from lamphouse.outputs.play_layers import play_layers, played_panels
from lamphouse.plan import make
from lamphouse.plan.pictured import pictured
from lamphouse.project import starter
from lamphouse.project.read import read_beside

TIDE = "type: warm white 0603, at: [95 mm, 62 mm], count: 3, step: [20 mm, 0 mm], current: 1 mA"


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    """Plan Saltmarsh with the tide board's lamps blinking with the chase, one of them steady."""
    folder = tmp_path_factory.mktemp("play") / "saltmarsh"
    starter.start(folder, demo="saltmarsh")
    file = folder / "mended.yaml"
    text = file.read_text()
    lamps = f"T: {{{TIDE}}}"
    assert lamps in text
    two = TIDE.replace("count: 3", "count: 2")
    one = "type: warm white 0603, at: [135 mm, 62 mm], current: 1 mA"
    text = text.replace(lamps, f"T: {{{two}, group: chase}}\n              U: {{{one}}}")
    reading = read_beside(text, file=file)
    assert reading.design, reading.findings
    return make.plan(reading.design, found=reading.findings, places=reading.places)


def test_frames_are_the_mean_light_of_their_ticks(plan):
    table = plan.time_line.table
    made = played(table, seconds=4.0)
    each = TICKS_PER_S // RATE_HZ
    light = light_of(steps_played(table, ticks=made.count * each))
    mean = light.reshape(made.count, each, -1).mean(axis=1)
    shown = np.array(made.light)[np.frombuffer(made.frames, dtype=np.uint8)]
    # one step of lightness is 1/255 of the way: at most 1.2 % of full light
    assert np.abs(shown.reshape(mean.shape) - mean).max() < 0.012
    assert seconds_of(table, least_s=20.0) == 60.0


def test_a_scene_is_played_alone(plan):
    table = plan.time_line.table
    assert of_scene(table, "") == table
    with pytest.raises(LookupError, match="no scene 'storm'"):
        of_scene(table, "storm")


def test_layers_add_up_to_the_picture_of_all_lamps(plan):
    sub = next(one for one in plan.design.sub_assemblies if one.name == "instrument wall")
    panel = sub.panels[0]
    assert ("instrument wall", "wall") in played_panels(plan)
    layers = play_layers(plan, sub=sub, panel=panel, lx=0.0, longest_px=160)
    assert set(layers.groups) == {"chase"}
    together = layers.steady.astype(np.float64) + layers.groups["chase"]
    lit = tuple(
        pictured(glow, pixels_per_mm=1.0)
        for glow in plan.glows
        if (glow.sub_assembly, glow.panel) == (sub.name, panel.name)
    )
    room = judged_room(plan.design.room)
    light = light_of_panel(panel, lit=lit, prints={}, room=room, longest_px=160)
    from lamphouse.colour.artwork_look import eye
    from lamphouse.colour.display import SRGB, linear_of

    white = white_at(0.0, room=room)
    linear = np.maximum(linear_of(light.lit @ eye(white, full_cd_m2=1.0).T, screen=SRGB), 0.0)
    wanted = (linear / linear.max() * 65535.0)[::-1]
    assert np.abs(together - wanted).max() < 3.0  # two roundings and none of the light lost
    # two lamps blink at 95 and 115 mm and one burns at 135 mm: their share falls to the right
    chase = layers.groups["chase"].sum(axis=(0, 2)).astype(np.float64)
    share = chase[85:145] / together.sum(axis=(0, 2))[85:145]
    assert share[5:15].mean() > 0.8 > 0.5 > share[45:55].mean()


def test_dots_are_the_strands_of_the_panel(plan):
    sub = next(one for one in plan.design.sub_assemblies if one.name == "console")
    panel = next(one for one in sub.panels if one.name == "middle fascia")
    layers = play_layers(plan, sub=sub, panel=panel, lx=5.0)
    groups = [dot.group for dot in layers.dots]
    assert (groups.count("amber steady"), groups.count("chase")) == (8, 4)
    red = next(dot for dot in layers.dots if dot.group == "chase")
    assert red.rgb[0] > 5 * max(red.rgb[1:])  # 632 nm is a red
    assert (red.x_mm, red.y_mm, red.diameter_mm) == pytest.approx((11.0, 13.0, 0.5))
