"""A printed box in the pack: its files under shell, and the picture of the box pulled apart."""

from functools import partial
from pathlib import Path

import pytest

from lamphouse.outputs import contents, pack
from lamphouse.outputs.purposes import Purpose
from lamphouse.plan import make
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")


def plan_of(keys):
    text = SOUND.replace("            leds:\n", f"            {keys}\n            leds:\n", 1)
    reading = read_text(text, file="project.yaml")
    return make.plan(reading.design, found=reading.findings)


@pytest.mark.parametrize(
    ("keys", "names"),
    [
        ("build: flat pieces", []),
        ("build: printed", ["desk-top-screen-box.3mf", "desk-top-screen-box.stl"]),
        (
            "build: printed\n            lid: lid over back",
            ["desk-top-screen-box.3mf", "desk-top-screen-box.stl", "desk-top-screen-box-lid.stl"],
        ),
    ],
)
def test_a_printed_box_has_its_files_and_no_pieces(keys, names):
    plan = plan_of(keys)
    found = dict(pack._shells(plan))
    assert list(found) == [f"shell/{name}" for name in names]
    assert found == dict(pack._shells(plan_of(keys)))
    assert bool(plan.boxes[0].pieces) != bool(names)


@pytest.mark.parametrize("keys", ["build: flat pieces", "build: printed"])
def test_every_box_is_shown_pulled_apart(keys):
    plan = plan_of(keys)
    entries = contents._entries(
        plan, runs={}, purpose=Purpose.ALL, last=partial(contents.last_of, plan)
    )
    drawn = [entry for entry in entries if entry.mark == "1 assembly"]
    assert [label.name for label in drawn[0].labels] == ["desk / top / screen box / assembly"]
