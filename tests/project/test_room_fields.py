"""The room's keys: what they make, what is refused, and files without them."""

import pytest

from lamphouse.design.surroundings import OutMove, OutWay, Side, Surroundings
from lamphouse.plan import make
from project.projects import SMALL, codes, read

ROOM = "room: {size: 300 x 200 x 150 mm}"


def with_room(more):
    return SMALL.replace(ROOM, ROOM.replace("}", f", {more}}}"))


def with_stand(more):
    return SMALL.replace("at: [40 mm, 60 mm]}", f"at: [40 mm, 60 mm], {more}}}")


def test_a_file_without_them_is_an_ordinary_room_box():
    around = read(SMALL).design.surroundings
    assert around.open_sides == (Side.FRONT, Side.TOP, Side.BELOW)
    assert (around.walls, around.hull, around.under_floor, around.hatches, around.cuts) == ((),) * 5
    assert read(SMALL.replace(ROOM + "\n", "")).design.surroundings == Surroundings()


def test_everything_stands_where_it_is_written():
    around = read(
        with_room(
            "open: [back], clear: 2 mm, walls: {quay: {from: [0 mm, 5 mm], to: [9 mm, 5 mm]}}, "
            "hull: {skin: {inside: rectangle 320 x 220 mm, at: [150 mm, 100 mm], "
            "heights: -5 to 150 mm}}, under_floor: {leg: {shape: round 10 mm, at: [20 mm, 30 mm]}}, "
            "hatches: {H: {shape: rectangle 4 x 2 mm, at: [7 mm, 8 mm]}}, "
            "cuts: {A: {from: [0 mm, 1 mm], to: [2 mm, 3 mm]}}"
        )
    ).design.surroundings
    assert (around.open_sides, around.clear_mm) == ((Side.BACK,), 2.0)
    (quay,) = around.walls
    assert (quay.start_mm, quay.end_mm, quay.via_mm) == ((0, 5), (9, 5), None)
    assert (quay.thickness_mm, quay.low_mm, quay.high_mm) == (2.0, 0.0, 150.0)
    (skin,) = around.hull
    assert skin.inside.corners[0][:2] == (-10, -10)
    assert (skin.low_mm, skin.high_mm) == (-5, 150)
    assert around.hatches[0].outline.corners[0][:2] == (5, 7)
    assert around.under_floor[0].outline.diameter_mm == 10
    assert (around.cuts[0].start_mm, around.cuts[0].end_mm) == ((0, 1), (2, 3))


@pytest.mark.parametrize(
    ("written", "moves"),
    [
        ("up", [(OutWay.UP, None)]),
        ("Forwards", [(OutWay.FORWARDS, None)]),
        ("[up 12 mm, front]", [(OutWay.UP, 12.0), (OutWay.FRONT, None)]),
        ("'up 1/2 in, left 3 cm'", [(OutWay.UP, 12.7), (OutWay.LEFT, 30.0)]),
    ],
)
def test_ways_out_are_read(written, moves):
    stand = read(with_stand(f"out: {written}")).design.sub_assemblies[0].stand
    assert stand.out == tuple(OutMove(way=way, by_mm=by) for way, by in moves)


@pytest.mark.parametrize(
    "text",
    [
        with_stand("out: sideways"),
        with_stand("out: [up, front]"),
        with_stand("out: up 12"),
        with_stand("out: up -3 mm"),
        with_stand("out: [up 1 mm, up 1 mm, up 1 mm, up 1 mm, up]"),
        with_stand("looks: left"),
        with_room("open: [inside]"),
        with_room("clear: nan mm"),
        with_room("hull: {skin: {inside: rectangle 1e99 x 2 mm, heights: 0 to 3 mm}}"),
        with_room("hull: {skin: {inside: rectangle 9 x 2 mm, heights: 9 to 3 mm}}"),
        with_room("walls: {quay: {from: [0 mm, 0 mm]}}"),
        with_room("walls: {quay: {from: [0 mm, 0 mm], to: [inf mm, 0 mm]}}"),
    ],
)
def test_what_makes_no_sense_is_refused(text):
    reading = read(text)
    assert reading.design is None
    assert reading.findings


@pytest.mark.parametrize(
    "more",
    [
        "walls: {quay: {from: [0 mm, 0 mm], to: [0 mm, 0 mm], via: [0 mm, 0 mm]}}",
        "walls: {quay: {from: [0 mm, 0 mm], to: [9 mm, 0 mm], via: [9 mm, 0 mm]}}",
        "walls: {quay: {from: [0 mm, 0 mm], to: [100 mm, 0 mm], via: [50 mm, 0.000001 mm]}}",
        "walls: {quay: {from: [0 mm, 0 mm], to: [9 mm, 0 mm], thickness: 500 mm, via: [5 mm, 2 mm]}}",
        "walls: {quay: {from: [0 mm, 0 mm], to: [0.001 mm, 0 mm], via: [50 mm, 90 mm]}}",
        "hull: {skin: {inside: rectangle 1 x 1 mm, heights: 0 to 0.001 mm}}",
        "clear: 400 mm, hull: {skin: {inside: rectangle 9 x 9 mm, heights: 0 to 90 mm}}",
        "open: []",
        "open: [], clear: 400 mm, hull: {skin: {inside: rectangle 9 x 9 mm, heights: 0 to 90 mm}}",
        "hatches: {H: {shape: rectangle 3000 x 3000 mm}}",
        "cuts: {A: {from: [1 mm, 1 mm], to: [1 mm, 1 mm]}}",
    ],
)
def test_odd_rooms_end_in_findings_and_drawings(more):
    from lamphouse.drawings.room_cut import default_cuts, room_cut
    from lamphouse.drawings.room_view import room_view
    from lamphouse.outputs.room_pages import scene_of

    reading = read(with_room(more))
    assert reading.design is not None, reading.findings
    plan = make.plan(reading.design, found=reading.findings)
    scene = scene_of(plan, plan.room_plan)
    cuts = default_cuts(scene)
    assert room_view(scene, cuts=cuts, paper="A4").drawing.items
    assert all(room_cut(scene, cut, paper="A4").drawing.items for cut in cuts)


def test_the_small_project_has_nothing_to_say_about_its_room():
    assert codes(with_room("open: [front, top, below]")) == codes(SMALL)
