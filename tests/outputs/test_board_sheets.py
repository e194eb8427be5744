"""The board's sheet: every part and wire once, and the page it stands on."""

import pytest

from board.samples import demand, wall
from lamphouse.board.planned_board import plan_board
from lamphouse.design.supply import BoardKind
from lamphouse.outputs.board_sheets import board
from lamphouse.outputs.contents import document
from lamphouse.record import replace
from outputs.sample_plan import sample


def planned(kind=BoardKind.PERFORATED):
    """A plan whose first sub-assembly has the board of a small wall."""
    plan = sample()
    sub = plan.design.sub_assemblies[0]
    wired = replace(wall(3), sub_assembly=sub.name)
    made = plan_board(demand(wired, kind=kind), wired=wired, seed=1)
    return replace(plan, boards=(made,)), sub


@pytest.fixture(scope="module")
def sheet():
    return board(*planned())


def test_every_part_and_wire_has_a_line(sheet):
    assert [part["name"] for part in sheet["parts"]] == ["R1", "R2", "R3"]
    assert [wire[0] for wire in sheet["wires"]] == [str(number) for number in range(1, 9)]
    holes = [hole for part in sheet["parts"] for hole in part["where"].split(", ")]
    holes += [wire[3] for wire in sheet["wires"]]
    assert len(set(holes)) == len(holes)


def test_colours_are_letters_and_words(sheet):
    assert sheet["wires"][0][1:3] == ["RD red", "J1 pin 1"]


def test_a_sign_is_not_parted_from_its_name(sheet):
    flags = [wire[2] for wire in sheet["wires"] if wire[2][-1] in "+\u2212"]
    assert flags
    assert all(flag[-2] == "\u00a0" for flag in flags)


def test_the_full_size_picture_is_as_large_as_the_board(sheet):
    full = sheet["pictures"][2]
    assert (full["width"], full["height"]) == pytest.approx((15.24, 10.16))


def test_point_to_point_lists_the_joints():
    plan, sub = planned(BoardKind.POINT_TO_POINT)
    sheet = board(plan, sub)
    assert sheet["above"] == "Point to point"
    assert [joint["number"] for joint in sheet["joints"]] == ["1", "2", "3", "4", "5"]


def test_a_sub_assembly_without_a_board_has_no_sheet():
    plan, sub = planned()
    assert board(replace(plan, boards=()), sub) is None


def test_the_board_stands_between_bench_and_templates():
    plan, _ = planned()
    marks = [page["mark"] for page in document(plan)["pages"] if page["mark"].startswith("1 ")]
    assert marks.index("1 board") > marks.index("1 bench")
    assert marks.index("1 board") < marks.index("1 templates")
