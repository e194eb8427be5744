"""The parts list against counts made by hand from the sound project."""

import re
from pathlib import Path

import pytest

from lamphouse.plan import make
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")


def parts(text):
    return {line.part: line for line in make.plan(read_text(text, file="p").design).parts}


def test_counts_made_by_hand():
    listed = parts(SOUND)
    counted = {name: (line.need, line.unit) for name, line in listed.items()}
    assert counted["white 0603"] == (2, "pieces")
    assert counted["green 3 mm"] == (1, "pieces")
    # Source behind the middle hole, 16 mm of box, 5 mm straight, 2 x 16.3 mm of bends: 55 mm deep.
    # 0.75 + 55 + 15 mm, the outer two 1.2 mm more; 5 %, 10 mm and 6 mm to trim: 95 mm each.
    assert counted["fibre 0.5 mm"] == (pytest.approx(3 * 0.095), "m")
    # 3 x 0.5 mm in a circle are 1.08 mm, which the narrowest tube but one takes.
    assert counted["brass tube 2 mm"] == (pytest.approx(0.015), "m")
    assert counted["2-pin 1.25 mm"] == (1, "pieces")
    # 150 mm of pigtail, and a run of 89 mm with 15 % of slack and 20 mm of ends, in steps of 5 mm.
    assert counted["30 AWG insulated, red"] == (pytest.approx(0.275), "m")
    assert counted["30 AWG insulated, black"] == (pytest.approx(0.275), "m")
    assert counted["shrink sleeve"] == (pytest.approx(2 * 4 * 0.015), "m")
    assert counted["splitter board 8 x 13 mm"] == (1, "pieces")
    unplaced = parts(SOUND.replace("    stands: {at: [40 mm, 60 mm]}\n", ""))
    assert unplaced["30 AWG insulated"].need == pytest.approx(0.3)  # 150 mm out and back
    assert counted["opal film 60"] == (pytest.approx(3.6 * 2.6), "cm2")  # 30 x 20 mm, 3 mm over
    assert counted["styrene 0.75 mm"] == (pytest.approx(8.0 * 5.0), "cm2")  # the panel alone


def test_spares_go_with_leds_resistors_and_fuses_that_melt():
    for line in parts(SOUND).values():
        assert (line.spares >= 1) == (line.kind in {"led", "resistor", "fuse"})


def test_the_supply_and_every_fuse_are_listed_with_or_without_a_name():
    plain = {line.kind: line for line in parts(SOUND).values()}
    assert plain["supply"].part == "plug-in supply 12 V, 500 mA"
    assert "fuse" not in plain
    text = SOUND.replace("max_current: 500 mA}", "max_current: 500 mA, fuse: 400 mA}")
    listed = parts(f"{text}\nloom: {{feeds: {{day: {{sub_assemblies: [desk], fuse: 100 mA}}}}}}\n")
    fuses = {line.part: (line.need, line.spares) for line in listed.values() if line.kind == "fuse"}
    assert fuses == {"fuse 400 mA": (1, 1), "fuse 100 mA": (1, 1)}


def test_ten_percent_is_rounded_up():
    many = SOUND.replace("count: 2, step: [16 mm, 0 mm]", "count: 11, step: [1.7 mm, 0 mm]")
    assert parts(many)["white 0603"].spares == 2


def test_the_drawer_and_the_stock_are_counted():
    text = SOUND + (
        "stock:\n  - {sheet: styrene 0.75 mm, size: 100 x 50 mm, count: 2}\n"
        "drawer:\n  - {part: white 0603, count: 5}\n"
    )
    listed = parts(text)
    assert listed["white 0603"].have == 5
    assert listed["styrene 0.75 mm"].have == pytest.approx(100)


def test_lines_come_by_kind_and_name():
    listed = list(parts(SOUND).values())
    assert [line.kind for line in listed[:3]] == ["sheet", "sheet", "film"]


def test_resistors_come_by_value():
    text = SOUND.replace("current: 0.5 mA", "current: 9 mA")
    values = [part for part, line in parts(text).items() if line.kind == "resistor"]
    assert values == ["resistor 680R", "resistor 1k8"]  # by value, not as text


def pillared(words):
    return SOUND.replace(
        "          screen box:\n",
        f"          screen box:\n            pillars: {{post: {{{words}}}}}\n",
    )


def test_rods_of_pillars_are_counted_by_their_length():
    text = pillared("shape: round 2 mm, at: [23 mm, 14 mm], count: 2, step: [24 mm, 0 mm]")
    (depth,) = {float(found) for found in re.findall(r"depth: ([0-9.]+) mm", SOUND)}
    line = parts(text)["round rod 2 mm"]
    assert (line.kind, line.unit, line.need) == ("bar", "m", pytest.approx(2 * depth / 1000))


def test_paint_covers_pillars_all_round_and_not_their_feet():
    """Two coats 0.1 mm wet and half as much again: 0.3 mm over every face [PRACTICE]."""
    (depth,) = {float(found) for found in re.findall(r"depth: ([0-9.]+) mm", SOUND)}
    before = parts(SOUND)["matt white paint"].need
    words = "shape: rectangle 3 x 2 mm, at: [23 mm, 14 mm]"
    white = parts(pillared(words))["matt white paint"].need
    around, feet = 10.0 * depth, 2 * 6.0
    assert white - before == pytest.approx(0.3e-3 * (around - feet))
    both = parts(pillared(f"{words}, finish: matt black paint"))
    assert both["matt white paint"].need - before == pytest.approx(-0.3e-3 * feet)
    assert both["matt black paint"].need == pytest.approx(0.3e-3 * around)


def test_the_film_of_a_passage_is_counted():
    slot = "{into: bay, from: [47 mm, 20 mm], to: [47 mm, 30 mm], low: 4 mm, high: 10 mm, "
    bay = "bay: {inside: rectangle 8 x 28 mm, at: [53 mm, 25 mm], depth: 14 mm, "
    text = SOUND.replace(
        "          screen box:\n",
        f"          {bay}sheet: styrene 1.0 mm, finish: matt white paint}}\n"
        "          screen box:\n"
        f"            passages: {{slot: {slot}film: opal film 40}}}}\n",
    )
    film = parts(text)["opal film 40"]
    assert film.need == pytest.approx(1.6 * 1.2)  # 10 x 6 mm, 3 mm over
    assert film.kind == "film"


@pytest.mark.parametrize(
    ("fixing", "part", "count"),
    [("{screw: M2, count: 3}", "screw M2", 3), ("{magnet: 4 x 2 mm}", "disc magnet 4 x 2 mm", 4)],
)
def test_screws_and_magnets_of_boxes_are_counted_and_magnets_in_pairs(fixing, part, count):
    text = SOUND.replace(
        "            leds:\n", f"            fixing: {fixing}\n            leds:\n", 1
    )
    assert parts(text)[part].need == count


def test_a_box_held_by_both_or_by_neither_is_refused():
    for fixing, words in (
        ("{screw: M2, magnet: 4 x 2 mm}", "not by both"),
        ("{count: 2}", "neither a screw nor a magnet"),
    ):
        text = SOUND.replace(
            "            leds:\n", f"            fixing: {fixing}\n            leds:\n", 1
        )
        found = read_text(text, file="p").findings
        assert any(words in finding.message for finding in found), found


def test_the_finish_is_counted_for_all_that_the_glow_counts_as_finished():
    """Four walls, the back and, as large, the panel's rear face: two coats of 0.1 mm."""
    walls, back = 2 * (38.0 + 28.0) * 14.0, 38.0 * 28.0
    finished = 2 * 0.1 * 1.5 * (walls + 2 * back) / 1000.0  # half as much again stays in the pot
    assert parts(SOUND)["matt white paint"].need == pytest.approx(finished)
    coated = SOUND.replace(
        "finish: matt white paint", "finish: matt white paint\n            coats: [black paint]"
    )
    assert parts(coated)["matt white paint"].need == pytest.approx(finished)


MIXED = SOUND.replace(
    "finish: matt white paint",
    "finish: matt white paint\n            faces: {back: matt black paint, "
    "wall 2: bare white styrene, panel: matt mid grey paint}\n            baffles: {middle: {"
    "from: [34 mm, 20 mm], to: [34 mm, 30 mm], height: 8 mm, sheet: styrene 0.5 mm, "
    "finish: matt black paint}}",
)


def test_each_face_is_counted_once_with_its_own_paint():
    """Two coats of 0.1 mm and half as much again; bare sheet takes none, a baffle has two faces."""
    listed, wet = parts(MIXED), 2 * 0.1 * 1.5 / 1000.0
    assert listed["matt black paint"].need == pytest.approx(wet * (38.0 * 28.0 + 2 * 10.0 * 8.0))
    assert listed["matt mid grey paint"].need == pytest.approx(wet * 38.0 * 28.0)
    three = (2 * (38.0 + 28.0) - 28.0) * 14.0
    assert listed["matt white paint"].need == pytest.approx(wet * three)
    assert "bare white styrene" not in listed


def test_a_finish_on_no_face_is_not_bought():
    text = SOUND.replace(
        "finish: matt white paint",
        "finish: matt white paint\n            faces: {back: white card, panel: white card, "
        "walls: white card}",
    )
    assert "matt white paint" not in parts(text)
