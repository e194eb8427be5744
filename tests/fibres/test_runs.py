"""Swings and runs against closed forms, and what findings do to bad places."""

from math import acos, hypot, pi, sin
from pathlib import Path

import pytest
from shapely import LineString
from shapely import box as shapely_box

from lamphouse.fibres.runs import FERRULE_MM, MUSHROOM_DIAMETERS, STRAIGHT_MM, lead
from lamphouse.fibres.strand_table import stops_of, threading
from lamphouse.fibres.swing import depth_needed_mm, swing
from lamphouse.plan import make
from lamphouse.project.read import read_text
from tolerances import EXACT

HEAD = """
lamphouse: 1
name: trial
date: 2026-11-25
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
groups:
  dots: {in: sample, source: {led: green 3 mm, current: 5 mA%s}}
sub_assemblies:
  sample:
    panels:
      plate:
        outline: rectangle 200 x 60 mm
        sheet: styrene 1.0 mm
"""
BOX = """
        boxes:
          lamp box:
            inside: rectangle 40 x 40 mm
            at: [100 mm, 30 mm]
            depth: 30 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
"""


def project(strands, *, source="", box=""):
    rows = "".join(f"          {name}: {{{rest}}}\n" for name, rest in strands.items())
    return HEAD.lstrip() % source + box + "        strands:\n" + rows


def led(strands, **given):
    reading = read_text(project(strands, **given), file="project.yaml")
    assert reading.design is not None, [str(each) for each in reading.findings]
    return lead(reading.design.sub_assemblies[0], groups=reading.design.groups)


def codes(strands, **given):
    reading = read_text(project(strands, **given), file="project.yaml")
    plan = make.plan(reading.design, found=reading.findings)
    return {each.code: each for each in plan.findings if each.code.startswith("FIB")}


F = "fibre: fibre 0.5 mm, at: [%g mm, %g mm], group: dots"


def test_two_quarter_turns_and_what_lies_between():
    # Geometry: 50 aside in 40 deep at a radius of 16: 18 straight, two quarters, 8 straight.
    swung = swing(50.0, depth_mm=40.0, radius_mm=16.0)
    assert swung.length_mm == pytest.approx(18.0 + 16.0 * pi + 8.0, abs=EXACT)
    assert swung.radius_mm == 16.0


def test_a_short_step_aside_is_two_arcs():
    angle = acos(1.0 - 10.0 / 32.0)
    swung = swing(10.0, depth_mm=40.0, radius_mm=16.0)
    assert swung.length_mm == pytest.approx(32.0 * angle + 40.0 - 32.0 * sin(angle), abs=EXACT)


@pytest.mark.parametrize(("across", "depth"), [(50.0, 20.0), (10.0, 12.0), (10.0, 8.0), (30, 1)])
def test_too_little_depth_takes_the_greatest_radius_that_fits(across, depth):
    swung = swing(across, depth_mm=depth, radius_mm=16.0)
    assert swung.radius_mm < 16.0
    assert depth_needed_mm(across, radius_mm=swung.radius_mm) == pytest.approx(depth, abs=1e-6)
    assert swung.length_mm >= hypot(across, depth) - 1e-9


def test_a_run_is_the_sum_of_its_parts():
    runs = led({"F1": F % (60, 30)}, source=", at: [10 mm, 30 mm], behind: 45 mm")
    (run,) = runs.runs
    swung = swing(50.0, depth_mm=40.0, radius_mm=16.3)
    assert run.run_mm == pytest.approx(1.0 + STRAIGHT_MM + swung.length_mm + FERRULE_MM)
    # 5 % and 10 mm of slack, 3 mm to trim at either end, up to whole steps of 5 mm.
    assert run.cut_mm == pytest.approx(5.0 * -(-(run.run_mm * 1.05 + 16.0) // 5.0))
    assert not run.is_formed


@pytest.mark.parametrize(
    ("head", "more"), [("proud", 1.0), ("mushroom", 0.5 * MUSHROOM_DIAMETERS), ("set back", -0.5)]
)
def test_heads_change_the_length_by_their_stated_amount(head, more):
    seat = ", at: [10 mm, 30 mm], behind: 45 mm"
    plain = led({"F1": F % (60, 30)}, source=seat).runs[0]
    headed = led({"F1": f"{F % (60, 30)}, head: {head}"}, source=seat).runs[0]
    assert headed.run_mm - plain.run_mm == pytest.approx(more)


def test_a_strand_goes_round_a_deep_box_or_behind_it():
    seat = ", at: [170 mm, 30 mm], behind: %g mm"
    beside = led({"F1": F % (30, 30)}, source=seat % 25, box=BOX).runs[0]
    behind = led({"F1": F % (30, 30)}, source=seat % 75, box=BOX).runs[0]
    assert len(beside.way_mm) > 2
    assert beside.level_mm == STRAIGHT_MM
    assert behind.way_mm == ((30.0, 30.0), (170.0, 30.0))
    # Box of 30 mm, its back and a lid of 1 mm each, and 5 mm straight.
    assert led({"F1": F % (30, 30)}, box=BOX).seats[0].behind_mm >= 37 + 2 * 16.3


def test_a_strand_through_a_box_leaves_its_back_first():
    (run,) = led({"F1": F % (100, 30)}, box=BOX).runs
    assert run.in_box == "lamp box"
    assert run.level_mm == pytest.approx(37.0)


def test_found_places_lie_apart_and_behind_the_panel():
    text = project({"F": F.replace("group", "count: 4, step: [9 mm, 0 mm], group") % (60, 30)})
    text = text.replace(
        "groups:\n", "groups:\n  more: {in: sample, source: {led: red 3 mm, current: 5 mA}}\n"
    )
    text += "          M: {fibre: fibre 0.5 mm, at: [73 mm, 34 mm], group: more}\n"
    design = read_text(text, file="p").design
    first, second = lead(design.sub_assemblies[0], groups=design.groups).seats
    assert hypot(*(a - b for a, b in zip(first.spot_mm, second.spot_mm, strict=True))) >= 12.0
    for seat in (first, second):
        assert 0.0 <= seat.spot_mm[0] <= 200.0
        assert 0.0 <= seat.spot_mm[1] <= 60.0


def test_stops_and_turns_take_every_strand_once_thick_ones_first():
    runs = led(
        {
            "F": F.replace("group", "count: 6, step: [9 mm, 0 mm], group") % (20, 30),
            "T": "fibre: fibre 1.0 mm, at: [150 mm, 20 mm], group: dots",
        }
    )
    stops = stops_of([runs])
    assert stops[0].name == "A"
    assert stops[0].flags == ("T",)
    flags = [flag for stop in stops for flag in stop.flags]
    assert sorted(flags) == sorted(run.strand.name for run in runs.runs)
    assert threading(runs)[0].strand.name == "T"
    for stop in stops:
        assert {r.cut_mm for r in runs.runs if r.strand.name in stop.flags} == {stop.cut_mm}


def test_no_room_tells_a_depth_that_has_room():
    seat = ", at: [150 mm, 30 mm], behind: %s"
    found = codes({"F1": F % (10, 30)}, source=seat % "0 mm")
    assert set(found) == {"FIB001"}
    depth = found["FIB001"].remedy.split("behind: ")[1].split(",")[0]
    assert codes({"F1": F % (10, 30)}, source=seat % depth) == {}


def test_a_formed_bend_tells_a_depth_without_it():
    seat = ", at: [150 mm, 30 mm], behind: %s"
    found = codes({"F1": F % (10, 30)}, source=seat % "25 mm")
    assert set(found) == {"FIB002"}
    depth = found["FIB002"].remedy.split("behind: ")[1].split(",")[0]
    assert codes({"F1": F % (10, 30)}, source=seat % depth) == {}


def test_a_blocked_strand_tells_a_place_that_is_reached():
    seat = ", at: [100 mm, 30 mm], behind: 20 mm"
    found = codes({"F1": F % (10, 30)}, source=seat, box=BOX)
    assert set(found) == {"FIB003"}
    at, behind = found["FIB003"].remedy.removeprefix("write ").split(" for its")[0].split(" and ")
    assert codes({"F1": F % (10, 30)}, source=f", {at}, {behind}", box=BOX) == {}


def test_a_hole_on_its_source_is_no_fault():
    seat = ", at: [60 mm, 30 mm], behind: 0 mm"
    (run,) = led({"F1": F % (60, 30)}, source=seat).runs
    assert run.radius_mm is None
    assert run.run_mm == pytest.approx(1.0 + STRAIGHT_MM + FERRULE_MM)


def test_a_curved_panel_makes_the_way_behind_it_longer():
    flat = led({"F1": F % (60, 30)}, source=", at: [10 mm, 30 mm], behind: 45 mm").runs[0]
    text = project({"F1": F % (60, 30)}, source=", at: [10 mm, 30 mm], behind: 45 mm").replace(
        "outline: rectangle 200 x 60 mm\n        sheet: styrene 1.0 mm",
        "curve: {inner_radius: 140 mm, angle: 90 deg, layers: [styrene 1.0 mm]}\n"
        "        height: 60 mm",
    )
    design = read_text(text, file="p").design
    bent = lead(design.sub_assemblies[0], groups=design.groups).runs[0]
    # 50 mm on the inner face; behind it at 140 + 1 + 5 + 16.3 mm.
    assert bent.run_mm - flat.run_mm == pytest.approx(50.0 * 22.3 / 140.0)


def test_saltmarsh_has_forty_five_strands_and_no_new_findings():
    here = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml")
    reading = read_text(here.read_text(encoding="utf-8"), file="mended.yaml")
    plan = make.plan(reading.design, found=reading.findings)
    assert len(plan.strands.rows) == 45
    assert [each for each in plan.findings if each.code.startswith("FIB")] == []
    assert {row.drill for row in plan.strands.rows if row.fibre == "fibre 0.5 mm"} == {"#75"}
    assert len({row.flag for row in plan.strands.rows}) == 45
    assert all(row.hole and row.source and row.pin for row in plan.strands.rows)


BOARD = "    board: {space: 40 x 40 mm, at: [100 mm, 30 mm], behind: %s}\n    panels:\n"


def with_board(strands, *, behind, source):
    text = project(strands, source=source).replace("    panels:\n", BOARD % behind)
    return read_text(text, file="project.yaml")


def test_a_strand_goes_round_the_board_as_round_a_box_of_its_size():
    """A string pulled tight round a square: straight to its corners, which are clear by 1 mm."""
    at = {"A": F % (40, 30)}
    source = ", at: [160 mm, 30 mm], behind: 20 mm"
    reading = with_board(at, behind="50 mm", source=source)
    found = lead(reading.design.sub_assemblies[0], groups=reading.design.groups)
    (run,) = found.runs
    assert not found.blocked
    way = LineString(run.way_mm)
    board = shapely_box(80.0, 10.0, 120.0, 50.0)
    assert way.distance(board) >= 1.0 - 0.02
    # the shortest that keeps clear of the corners, and no bend tighter than the fibre keeps
    assert way.length > 2.0 * hypot(40.0, 21.0) + 40.0
    (free,) = led(at, source=source).runs
    assert LineString(free.way_mm).length == pytest.approx(120.0)
    assert run.cut_mm > free.cut_mm


def test_a_strand_passes_behind_a_board_that_does_not_reach_so_far_back():
    at = {"A": F % (40, 30)}
    reading = with_board(at, behind="4 mm", source=", at: [160 mm, 30 mm], behind: 20 mm")
    found = lead(reading.design.sub_assemblies[0], groups=reading.design.groups)
    assert LineString(found.runs[0].way_mm).length == pytest.approx(120.0)


def test_a_hole_under_the_board_is_told():
    reading = with_board({"A": F % (100, 30)}, behind="20 mm", source="")
    plan = make.plan(reading.design, found=reading.findings)
    (told,) = [each for each in plan.findings if each.code == "FIB003"]
    assert "the board" in told.message
    assert "the board" in told.remedy
