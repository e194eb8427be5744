"""Layouts: always proved, the same for a seed, within their space, and near what count allows."""

import numpy as np
import pytest

from board.brute_force import is_sound
from board.samples import board, demand, mesh, wall
from lamphouse.board.annealing import Ways, _Search, arrange
from lamphouse.board.demand import demand_of
from lamphouse.board.lay_board import lay_board
from lamphouse.board.legs import Posture
from lamphouse.board.planned_board import plan_board
from lamphouse.board.proof import faults_of
from lamphouse.board.seatings import Ground
from lamphouse.circuit.wired import WiredKind
from lamphouse.design.supply import BoardKind
from lamphouse.record import replace

KINDS = (BoardKind.PERFORATED, BoardKind.STRIPBOARD)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("package", ["axial 1/8 W", "axial 1/4 W", "axial 1/2 W", "0603", "1206"])
@pytest.mark.parametrize(("strings", "groups"), [(2, 1), (4, 3)])
def test_every_layout_is_proved(kind, package, strings, groups):
    wired = wall(strings, groups=groups)
    layout = lay_board(demand(wired, kind=kind, package=package), seed=7)
    assert layout is not None
    assert faults_of(layout, wired=wired) == ()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    "extras",
    [[WiredKind.DIODE], [WiredKind.FUSE], [WiredKind.TRIM], [WiredKind.DIODE, WiredKind.TRIM]],
    ids=str,
)
def test_diodes_fuses_and_trim_knobs_are_laid_too(kind, extras):
    wired = wall(3, extras=extras)
    layout = lay_board(demand(wired, kind=kind), seed=3)
    assert layout is not None
    assert faults_of(layout, wired=wired) == ()


@pytest.mark.parametrize("number", range(24))
def test_random_meshes_in_random_spaces_are_proved_and_sound_to_the_raster(number):
    chance = np.random.default_rng(number)
    wired = mesh(chance)
    space = tuple(2.54 * int(side) for side in chance.integers(3, 8, size=2))
    package = ("axial 1/4 W", "0805")[number % 2]
    needed = demand(wired, kind=KINDS[number // 2 % 2], space=space, package=package)
    layout = lay_board(needed, seed=number)
    if layout is None:
        return
    assert faults_of(layout, wired=wired, space_mm=space) == ()
    assert is_sound(layout, wired)


def test_wire_links_are_used_where_copper_cannot_join():
    laid = []
    for number in range(200):
        wired = mesh(np.random.default_rng(number))
        space = (3 * 2.54, 6 * 2.54)
        layout = lay_board(demand(wired, space=space), seed=1)
        if layout is not None and layout.links:
            laid.append(faults_of(layout, wired=wired, space_mm=space))
        if len(laid) == 2:
            break
    assert laid == [(), ()]


def test_the_same_seed_gives_the_same_board():
    needed = demand(wall(5, groups=2), space=(20, 13))
    assert lay_board(needed, seed=4) == lay_board(needed, seed=4)


def test_a_board_keeps_within_its_space_either_way_up():
    needed = demand(wall(3), space=(10.2, 15.3))
    layout = lay_board(needed, seed=1)
    assert layout is not None
    assert sorted(layout.size_mm) <= [10.2, 15.3]


def test_parts_lie_where_there_is_room_and_stand_where_there_is_not():
    def postures(space):
        layout = lay_board(demand(wall(3), space=space), seed=1)
        return {part.posture for part in layout.parts}

    assert postures((25, 15)) == {Posture.LYING}
    assert postures((12.9, 10.2)) == {Posture.STANDING}


def test_no_board_holds_more_than_its_holes():
    needed = demand(wall(3), space=(9, 9))  # 3 by 3 holes for 6 leads and 8 wires
    assert lay_board(needed, seed=1) is None


@pytest.mark.parametrize(("strings", "holes"), [(2, 16), (4, 30), (6, 44), (16, 114)])
def test_some_boards_are_as_small_as_their_leads_bodies_and_wires(strings, holes):
    # A lying quarter watt takes its two leads and the three holes between, each wire one: counted
    # by hand, 5 n + 2 n + 2.
    layout = lay_board(demand(wall(strings)), seed=1)
    assert layout.least_holes == 7 * strings + 2
    assert layout.columns * layout.rows == layout.least_holes == holes


@pytest.mark.parametrize("strings", [1, 3, 5, 8, 12, 20])
def test_other_boards_are_within_a_tenth_of_that_and_a_hole(strings):
    layout = lay_board(demand(wall(strings)), seed=1)
    assert layout.columns * layout.rows <= 1.1 * layout.least_holes + 1


def test_like_parts_follow_one_another_from_the_top_left():
    layout = lay_board(demand(wall(5)), seed=1)
    firsts = [min(part.holes) for part in layout.parts]
    assert firsts == sorted(firsts)


def test_every_test_point_lies_on_its_net():
    wired = wall(3)
    layout = lay_board(demand(wired), seed=1, test_points=wired.test_points)
    assert [probe.name for probe in layout.probes] == ["TP1", "TP2", "TP3"]
    assert [probe.hole for probe in layout.probes] == [part.holes[1] for part in layout.parts]


def test_what_fits_nowhere_is_wired_point_to_point():
    wired = wall(3)
    planned = plan_board(demand(wired, space=(6, 6)), wired=wired, seed=1)
    assert planned.layout is None
    assert planned.card is not None
    wished = demand(wired, kind=BoardKind.POINT_TO_POINT)
    assert plan_board(wished, wired=wired, seed=1).card is not None


def test_a_layout_the_proof_refuses_is_never_given_back():
    wired = wall(2)
    other = replace(
        wired,
        parts=tuple(
            replace(part, value="another") if part.name == "R1" else part for part in wired.parts
        ),
    )
    planned = plan_board(demand(wired), wired=other, seed=1)
    assert planned.layout is None


def test_colours_follow_the_plug_and_then_the_pole():
    wired = wall(2, groups=1)
    needed = demand_of(wired, board=board(), pin_colours={3: "WH"})
    colours = {(wire.pin.part, wire.pin.pin): wire.colour for wire in needed.wires}
    assert colours == {
        ("J1", 1): "RD", ("J1", 2): "BK", ("J1", 3): "WH",
        ("L1", 1): "RD", ("L1", 2): "WH", ("L2", 1): "RD", ("L2", 2): "BK",
    }  # fmt: skip


def test_copper_is_never_shortened_by_leaving_a_wire_out(monkeypatch):
    """It was, on boards of some fifty parts, whose copper outweighed a wire."""
    needed, ground = demand(wall(3)), Ground(columns=8, rows=8)
    how = {"ground": ground, "ways": Ways(standing=False, links=False), "strips": False, "seed": 1}
    whole = arrange(needed, tries=0, **how)
    long = replace(whole, growth=replace(whole.growth, spread=100))
    short = replace(whole, growth=replace(whole.growth, spread=0, lacking=1))
    assert short.cost < long.cost
    monkeypatch.setattr(_Search, "judge", lambda _search, _state: short)
    assert _Search(needed, **how).polish(long, tries=50) is long
