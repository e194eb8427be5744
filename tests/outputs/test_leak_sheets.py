"""The dark-room test card: what is to be seen where, from a project as a maker writes it."""

from pathlib import Path

import pytest

from lamphouse.outputs.contents import document
from lamphouse.outputs.leak_sheets import dark_room
from lamphouse.plan import make
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")


def plan_of(*said):
    lines = "".join(f"            {line}\n" for line in said)
    text = SOUND.replace("            depth: 14 mm\n", f"            depth: 14 mm\n{lines}")
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None
    return make.plan(reading.design, found=reading.findings)


def card_of(plan):
    return dark_room(plan, plan.design.sub_assemblies[0])


def seen_of(plan):
    (box,) = card_of(plan)["boxes"]
    return {row[0]: row[1] for row in box["rows"]}


def test_a_tight_box_shows_nothing():
    plan = plan_of("coats: [{coat: black paint, count: 4}]", "seams: taped")
    assert set(seen_of(plan).values()) == {"nothing"}
    assert [f.code for f in plan.findings if f.code.startswith("LIT04")] == []


def test_a_leaking_box_names_its_places_from_front_to_back():
    plan = plan_of("coats: [thin black paint]", "seams: butt")
    assert seen_of(plan) == {
        "panel round the openings": "glow, in room light too",
        "joints": "line of light, in room light too",
        "wire exit": "point of light, in room light too",
        "walls and back": "glow, in room light too",
    }
    assert list(seen_of(plan)) == [
        "panel round the openings",
        "joints",
        "wire exit",
        "walls and back",
    ]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ((), "styrene 1.0 mm, coats not given, joints not given"),
        (("coats: []", "seams: filled"), "styrene 1.0 mm, no coat, joints filled"),
        (
            ("coats: [grey primer, {coat: black paint, count: 2}]",),
            "styrene 1.0 mm, 1 x grey primer, 2 x black paint, joints not given",
        ),
    ],
)
def test_the_card_says_how_the_box_is_made(said, words):
    (box,) = card_of(plan_of(*said))["boxes"]
    assert box["words"] == words


def test_the_card_stands_in_the_pack_behind_the_glow():
    pages = document(plan_of())["pages"]
    marks = [page["mark"] for page in pages if page["kind"] in {"glow", "leaks"}]
    assert marks == ["1 glow", "1 dark room"]
