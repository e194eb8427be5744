"""The steps: everything on the board stands in exactly one of them, low things first."""

import pytest

from board.samples import demand, wall
from lamphouse.board.lay_board import lay_board
from lamphouse.board.solder_order import solder_steps
from lamphouse.design.supply import BoardKind


def steps_of(strings, **rest):
    layout = lay_board(demand(wall(strings), **rest), seed=1)
    return layout, solder_steps(layout)


@pytest.mark.parametrize("kind", [BoardKind.PERFORATED, BoardKind.STRIPBOARD])
def test_every_joint_and_part_is_in_one_step(kind):
    layout, steps = steps_of(4, kind=kind)
    places = [place for step in steps for place in step.places]
    count = sum(
        map(
            len,
            (
                layout.parts,
                layout.bridges,
                layout.tails,
                layout.bare_runs,
                layout.cuts,
                layout.links,
            ),
        )
    )
    assert len(places) == count


def test_low_parts_come_before_high_ones_and_wires_after_all():
    _, steps = steps_of(3, space=(12.9, 10.2))
    headings = [step.heading for step in steps]
    assert headings[0] == "Cut the board"
    assert headings[-2:] == ["Wires", "Before power"]
    assert "Standing parts" in headings
    assert "Lying parts" not in headings


def test_a_standing_part_is_told_by_the_hole_its_body_stands_over():
    layout, steps = steps_of(3, space=(12.9, 10.2))
    (standing,) = [step for step in steps if step.heading == "Standing parts"]
    for part, place in zip(layout.parts, standing.places, strict=True):
        over = part.holes[part.upright_over].name
        assert place.split(": ")[1].split(", ")[0] == over


def test_heat_shrink_goes_on_before_a_wire_is_soldered():
    _, steps = steps_of(1)
    (wires,) = [step for step in steps if step.heading == "Wires"]
    assert wires.words.startswith("Flag and heat-shrink on first")


def test_cuts_are_told_with_the_board():
    layout, steps = steps_of(3, kind=BoardKind.STRIPBOARD)
    assert steps[0].places == tuple(cut.hole.name for cut in layout.cuts)
