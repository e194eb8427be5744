"""What stands in what, against boxes in space; and every mend written into the file and run."""

import re
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.room.assembled import PLAY_MM
from room.rooms import codes, plan_of, plan_text, text_of, told, wall

HULL = (
    ", open: [front, top], hull: {skin: {inside: rectangle 320 x 240 mm, at: [150 mm, 110 mm], "
    "heights: 0 to 150 mm}}"
)


def only(plan, code):
    (finding,) = [f for f in told(plan) if f.code == code]
    return finding


def written(finding, choice=0):
    """Give what the finding says to write."""
    return re.findall(r"write (\w+: (?:\[[^]]*\]|[-0-9.]+ mm))", finding.remedy)[choice]


PLACES = st.lists(
    st.tuples(
        st.integers(0, 200), st.integers(20, 180), st.integers(0, 60), st.sampled_from([0, 90])
    ),
    min_size=2,
    max_size=6,
)


@settings(max_examples=40, deadline=None)
@given(places=PLACES)
def test_pairs_are_those_whose_boxes_in_space_overlap(places):
    names = [f"w{n}" for n in range(len(places))]
    walls = [
        wall(name, (x, y), more=f", turn: {turn} deg, up: {up} mm")
        for name, (x, y, up, turn) in zip(names, places, strict=True)
    ]
    # By hand: a wall of 80 x 50 x 1 mm goes right and back, or, turned by 90, back and to the left.
    spaces = {
        name: ((x, x + 80), (y, y + 1), (up, up + 50))
        if turn == 0
        else ((x - 1, x), (y, y + 80), (up, up + 50))
        for name, (x, y, up, turn) in zip(names, places, strict=True)
    }
    expected = {
        frozenset(pair)
        for pair in combinations(names, 2)
        if all(
            min(a[1], b[1]) - max(a[0], b[0]) > 2 * PLAY_MM
            for a, b in zip(*(spaces[name] for name in pair), strict=True)
        )
    }
    found = [f for f in told(plan_of(*walls)) if f.code == "ROM002"]
    pairs = {frozenset(re.findall(r"of '(w\d)'", f.message)) for f in found}
    assert pairs == expected


def test_walls_that_touch_edge_to_edge_are_fine():
    assert (
        codes(plan_of(wall("left", (0, 199)), wall("right", (80, 199)), wall("on", (0, 198)))) == []
    )


@pytest.mark.parametrize("choice", [0, 1])
def test_a_box_in_the_hull_takes_the_depth_or_the_place_given(choice):
    text = text_of(wall("pier", (40, 200), box=30), room=HULL)
    finding = only(plan_text(text), "ROM001")
    # The hull's back lies at 230, less 1 mm of air; the box ends at 200 + 1 + 30 + 1.
    assert "3 mm beyond" in finding.message
    mend = written(finding, choice)
    assert mend == ("depth: 27 mm", "at: [40 mm, 197 mm]")[choice]
    old = ("depth: 30 mm", "at: [40 mm, 200 mm]")[choice]
    assert codes(plan_text(text.replace(old, mend))) == []


def test_an_open_side_has_no_hull_and_a_closed_roof_is_one():
    pier = wall("pier", (40, 200), box=30)
    assert codes(plan_of(pier, room=HULL.replace("front", "back"))) == []
    low = wall("lid", (40, 60), more=", up: 149.5 mm, lies: flat")
    assert codes(plan_of(low, room=HULL)) == []
    closed = plan_of(low, room=HULL.replace(", top", ""))
    assert "1.5 mm beyond what the roof" in only(closed, "ROM001").message


def test_a_round_hull_is_measured_round():
    # By hand: the rear corners of the box lie 31 mm to either side of the disc's middle, and 22 mm
    # behind the wall's face: at hypot(31, 82) inside a radius of 100, at hypot(31, 96) outside.
    hull = (
        ", hull: {skin: {inside: round 200 mm, at: [150 mm, 100 mm], heights: 0 to 150 mm}}, "
        "open: [top], clear: 0 mm"
    )
    inside = plan_of(wall("pier", (110, 160), box=20), room=hull)
    assert codes(inside) == []
    out = plan_of(wall("pier", (110, 174), box=20), room=hull)
    found = only(out, "ROM001")
    by_mm = float(re.search(r"reaches ([0-9.]+) mm", found.message)[1])
    assert by_mm == pytest.approx((31**2 + 96**2) ** 0.5 - 100, abs=0.05)


def test_a_box_in_a_wall_behind_it_gets_a_depth_that_works():
    text = text_of(wall("pier", (40, 60), box=30), wall("shed", (40, 80)))
    finding = only(plan_text(text), "ROM002")
    assert "light box 'lamp box' of 'pier' and panel 'face' of 'shed'" in finding.message
    mend = written(finding)
    assert mend == "depth: 18 mm"  # 61 + 18 + 1 = 80
    assert codes(plan_text(text.replace("depth: 30 mm", mend))) == []
    moved = text.replace("at: [40 mm, 60 mm]", written(finding, 1), 1)
    assert codes(plan_text(moved)) == []


def test_a_table_too_low_gets_a_height_that_works():
    text = text_of(wall("table", (40, 60), more=", up: 10 mm, lies: flat", box=20))
    finding = only(plan_text(text), "ROM003")
    assert "12 mm below" in finding.message
    assert "depth: 8 mm" in finding.remedy
    for mend, old in (("up: 22 mm", "up: 10 mm"), ("depth: 8 mm", "depth: 20 mm")):
        assert mend in finding.remedy
        assert codes(plan_text(text.replace(old, mend))) == []
    assert codes(plan_text(text.replace("up: 10 mm", "up: -5 mm"))) == []  # let in on purpose


def test_a_panel_gets_a_place_where_its_box_clears_the_other():
    pier = wall("pier", (40, 60), box=20)
    second = pier.split("    panels:\n")[1].replace("face:", "side:").replace("lamp box", "other")
    second = second.replace("side:\n", "side:\n        at: [50 mm, 0 mm]\n")
    text = text_of(pier + second)
    finding = only(plan_text(text), "ROM004")
    mend = re.search(r"write (at: \[[^]]*\])", finding.remedy)[1]
    changed = text.replace("at: [50 mm, 0 mm]", mend)
    if "panel 'face'" in finding.remedy:
        changed = text.replace("      face:\n", f"      face:\n        {mend}\n")
    assert "ROM004" not in codes(plan_text(changed))


def test_a_fixed_round_wall_is_met_where_its_arc_is():
    # A quarter circle of 100 mm about the room's corner passes (70.7, 70.7), not (50, 50).
    arc = ", walls: {quay: {from: [100 mm, 0 mm], to: [0 mm, 100 mm], via: [70.711 mm, 70.711 mm]}}"
    crossing = wall("pier", (60, 68), size=(20, 30))
    assert codes(plan_of(crossing, room=arc))[0] == "ROM002"
    inside = wall("pier", (40, 50), size=(20, 30))
    assert "ROM002" not in codes(plan_of(inside, room=arc))


@pytest.mark.parametrize(
    "hull",
    [
        "{points: [[0 mm, 0 mm], [10 mm, 10 mm], [10 mm, 0 mm], [0 mm, 10 mm]]}",
        "{points: [[0 mm, 0 mm], [10 mm, 0 mm]]}",
    ],
)
def test_a_hull_without_an_inside_is_told_and_left_out(hull):
    room = f", hull: {{skin: {{inside: {hull}, heights: 0 to 9 mm}}}}"
    assert codes(plan_of(wall("pier", (40, 60)), room=room)) == ["ROM005"]
