"""What the order of work says of faces painted unlike: which paint goes where, and when."""

from pathlib import Path

import pytest

from lamphouse.build.made_things import MadeThings
from lamphouse.build.work_order import work_order
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
FACES = "{back: matt black paint, wall 2: bare white styrene, panel: matt mid grey paint}"


def order_of(faces, *, finish="matt white paint", more=""):
    text = SOUND.replace(
        "finish: matt white paint", f"finish: {finish}\n            faces: {faces}{more}"
    )
    reading = read_text(text, file="project.yaml")
    assert reading.design, reading.findings
    return work_order(MadeThings(design=reading.design)).order


def test_every_face_is_named_with_its_paint():
    step = order_of(FACES).step("desk/screen box/inside")
    assert step.title == (
        "Finish the inside of the screen box of the desk, and the rear of the panel in it: matt "
        "white paint, but back matt black paint; wall 2 bare white styrene; panel matt mid grey "
        "paint"
    )
    assert set(step.parts) == {"matt white paint", "matt black paint", "matt mid grey paint"}


def test_paints_on_pieces_dry_side_by_side_and_on_one_body_in_turn():
    plain = order_of("{}").step("desk/screen box/inside")
    pieces = order_of(FACES).step("desk/screen box/inside")
    body = order_of(FACES, more="\n            build: printed").step("desk/screen box/inside")
    assert (pieces.minutes, pieces.rest_hours) == (3 * plain.minutes, plain.rest_hours)
    assert (body.minutes, body.rest_hours) == (3 * plain.minutes, 3 * plain.rest_hours)
    assert body.title.endswith("each masked from the other")
    assert "masked" not in pieces.title


def test_over_coats_the_panel_is_painted_with_its_own_finish_and_with_it_alone():
    order = order_of(FACES, more="\n            coats: [black paint]")
    rear, inside = order.step("desk/top/block light"), order.step("desk/screen box/inside")
    assert rear.title.endswith("then matt mid grey paint over it inside the boxes")
    assert "matt mid grey paint" in rear.parts
    assert "panel" not in inside.title
    assert "matt mid grey paint" not in inside.parts


@pytest.mark.parametrize(
    ("faces", "title"),
    [
        (
            "{panel: matt black paint}",
            "Finish the rear of the panel in the screen box of the desk: matt black paint",
        ),
        (
            "{walls: aluminium foil}",
            "Finish the inside of the screen box of the desk: white card, but walls aluminium foil",
        ),
    ],
)
def test_a_bare_box_with_one_painted_face_has_a_step_for_it(faces, title):
    order = order_of(faces, finish="white card")
    assert order.step("desk/screen box/inside").title == title


def test_a_box_bare_all_over_has_no_step_for_its_inside():
    order = order_of("{walls: white card}", finish="bare white styrene")
    assert not [step for step in order.steps if step.id.endswith("/inside")]
