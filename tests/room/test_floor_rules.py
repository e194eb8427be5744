"""What lies under the floor: plugs in reach by hand-made distances, wires with a way."""

import re

import pytest

from lamphouse.shapes.detour import CLEAR_MM
from lamphouse.shapes.roundabout import length_of
from room.rooms import codes, plan_of, plan_text, text_of, told, wall
from tolerances import EXACT

CLOSED = ", open: [front, top]"


def reach_of(plan, name="pier"):
    return next(plug for plug in plan.room_plan.plugs if plug.sub_assembly == name)


@pytest.mark.parametrize(
    ("back", "depth", "grip"),
    [
        (60, 70, "a hand"),
        (190, 70, "a hand"),
        (119, 20, "tweezers"),  # too low for a hand
        (121, 20, ""),
        (60, 14, ""),
    ],
)
def test_hands_and_tweezers_reach_as_far_as_they_are_long(back, depth, grip):
    pier = wall("pier", (150, back), lit=True)
    plan = plan_of(pier, room=CLOSED, loom=f", depth: {depth} mm")
    plug = reach_of(plan)
    assert plug.grip == grip
    assert ("ROM008" in codes(plan)) == (not grip)
    if grip:
        assert plug.far_mm == pytest.approx(back, rel=EXACT)
        assert plug.through == "front"


def test_the_underside_open_is_enough():
    assert reach_of(plan_of(wall("pier", (150, 190), lit=True))).through == "below"


def test_a_wall_under_the_floor_bars_the_straight_way():
    pier, thing = (
        wall("pier", (150, 60), lit=True),
        "shape: rectangle 200 x 4 mm, at: [150 mm, 30 mm]",
    )
    barred = f"{CLOSED}, under_floor: {{joist: {{{thing}}}}}"
    plan = plan_of(pier, room=barred, loom=", depth: 20 mm, supply_at: [150 mm, 150 mm]")
    assert "ROM008" in codes(plan)
    # Beside the joist's end at 50 mm the strip is free again, if the plug is not too far aside.
    aside = plan_of(
        wall("pier", (40, 60), lit=True),
        room=barred,
        loom=", depth: 20 mm, supply_at: [150 mm, 150 mm]",
    )
    assert reach_of(aside).grip == "tweezers"


def test_the_hatch_of_the_finding_works():
    text = text_of(wall("pier", (150, 150), lit=True), room=CLOSED, loom=", depth: 20 mm")
    (finding,) = told(plan_text(text))
    hatch = re.search(r"hatches: (\{H: \{.*?\}\})", finding.remedy)[1]
    mended = plan_text(text.replace(CLOSED, f"{CLOSED}, hatches: {hatch}"))
    assert codes(mended) == []
    assert reach_of(mended).through == "hatch 'H'"


LEG = ", under_floor: {leg: {shape: rectangle 30 x 30 mm, at: [%s mm, %s mm]}}"


def test_runs_are_straight_where_nothing_stands_between():
    pier, loom = wall("pier", (50, 60), lit=True), ", supply_at: [250 mm, 60 mm]"
    bare, beside = plan_of(pier, loom=loom), plan_of(pier, loom=loom, room=LEG % (150, 150))
    assert [run.length_mm for run in bare.loom.runs] == [run.length_mm for run in beside.loom.runs]
    for run in beside.loom.runs:
        assert run.way_mm == (run.start_mm, run.end_mm)


def test_a_run_round_a_leg_is_longer_by_hand():
    pier = wall("pier", (50, 60), lit=True)
    loom = ", slack: 0 %, service: 0 mm, supply_at: [250 mm, 160 mm], "
    loom += "feeds: {F: {sub_assemblies: [pier], splitter_at: [250 mm, 60 mm]}}"
    plan = plan_of(pier, loom=loom, room=LEG % (150, 60))
    (way,) = {run.way_mm for run in plan.loom.runs if run.sub_assembly}
    # From 50 to 250 mm past a leg of 30 mm and 2 mm of air: at least the two straight tangents to
    # its corners, at most those to the corners of a square 34 mm wide.
    least = (85**2 + 15**2) ** 0.5 + 30 + (85**2 + 15**2) ** 0.5
    most = (83**2 + 17**2) ** 0.5 + 34 + (83**2 + 17**2) ** 0.5
    assert least < length_of(way) < most
    bare = plan_of(pier, loom=loom)
    lengths = [max(r.length_mm for r in p.loom.runs if r.sub_assembly) for p in (bare, plan)]
    assert (
        lengths[1] - lengths[0] == 5.0
    )  # 200 mm and 202.6 mm with 20 mm of ends, in steps of 5 mm


@pytest.mark.parametrize(
    ("thing", "code"),
    [
        ("[51 mm, 60 mm]", ["ROM009"]),
        (f"[{50 + 15 + CLEAR_MM + 0.1} mm, 60 mm]", []),
        (f"[{50 + 15 + CLEAR_MM - 0.1} mm, 60 mm]", ["ROM009"]),
    ],
)
def test_a_hole_needs_its_air(thing, code):
    room = f", under_floor: {{leg: {{shape: rectangle 30 x 30 mm, at: {thing}}}}}"
    text = text_of(
        wall("pier", (50, 60), lit=True), room=room, loom=", supply_at: [250 mm, 160 mm]"
    )
    plan = plan_text(text)
    assert codes(plan) == code
    if code:
        (finding,) = told(plan)
        holes = re.search(r"write (holes: .*?); this", finding.remedy)[1]
        mended = text.replace("supply_at", f"{holes}, supply_at")
        assert codes(plan_text(mended)) == []


def test_a_supply_that_is_walled_in_is_told_at_the_loom():
    sides = ", ".join(
        f"s{n}: {{shape: rectangle {w} x {h} mm, at: [{x} mm, {y} mm]}}"
        for n, (x, y, w, h) in enumerate(
            [(250, 120, 44, 4), (250, 80, 44, 4), (230, 100, 4, 44), (270, 100, 4, 44)]
        )
    )
    text = text_of(
        wall("pier", (50, 60), lit=True),
        room=f", under_floor: {{{sides}}}",
        loom=", supply_at: [250 mm, 100 mm], feeds: {F: {sub_assemblies: [pier], "
        "splitter_at: [100 mm, 60 mm]}}",
    )
    (finding,) = told(plan_text(text))
    assert (finding.code, "supply" in finding.message) == ("ROM009", True)


def test_a_bundle_below_a_table_gets_a_hatch_and_a_depth():
    table = """\
  table:
    stands: {at: [100 mm, 60 mm], up: 40 mm, lies: flat}
    panels:
      top:
        outline: rectangle 60 x 40 mm
        sheet: styrene 1.0 mm
        strands:
          F: {fibre: fibre 0.5 mm, at: [20 mm, 20 mm], count: 3, step: [6 mm, 0 mm], group: dots}
"""
    text = text_of(table, loom=", depth: 5 mm").replace(
        "sub_assemblies:\n",
        "groups:\n  dots: {in: table, source: {led: green 3 mm, current: 5 mA}}\nsub_assemblies:\n",
        1,
    )
    first, second = told(plan_text(text))
    assert {first.code, second.code} == {"ROM010"}
    hatch = re.search(r"hatches: (\{H: \{.*?\}\})", first.remedy)[1]
    depth = re.search(r"depth: ([0-9.]+ mm)", second.remedy)[1]
    mended = text.replace("x 150 mm", f"x 150 mm, hatches: {hatch}").replace(
        "depth: 5 mm", f"depth: {depth}"
    )
    assert codes(plan_text(mended)) == []
