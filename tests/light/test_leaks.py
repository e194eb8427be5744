"""Leaks of whole boxes: the light inside against the solved faces, and mends that are built."""

import re
from math import hypot, pi

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import Lid, Seams, WallCoating
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.light.box_scene import draw_box
from lamphouse.light.cavity import coarse_balance, light_up
from lamphouse.light.inside_light import openings_lx, paint_lx
from lamphouse.light.interior import make_interior
from lamphouse.light.judging import judge_box
from lamphouse.light.leak_look import LeakKind
from lamphouse.light.leak_rules import judge_leaks, judge_spill
from lamphouse.light.leaks import coats_needed, largest_unseen_mm
from lamphouse.light.spill import facing_mm
from lamphouse.light.step_size import step_mm
from lamphouse.record import replace
from light.designs import film, led, led_type, light_box, opening, panel, upright, where
from tolerances import BENCH, EXACT, PHYSICS

SHELF = built_in()
MATERIALS = tuple(SHELF.sheet_light.values())
ROOM = Room(width_mm=300.0, depth_mm=200.0, height_mm=150.0, room_light_lx=50.0,
            viewing_distance_mm=600.0)  # fmt: skip


def lamp(name, x_mm, *, group=""):
    return replace(led(name, x_mm, 10.0, kind=led_type(flux_lm=0.1)), group=group)


def coats(name, count):
    return (WallCoating(coat=SHELF.wall_coats[name], count=count),)


def box_of(left=0.0, *, name="box", group="", **said):
    lamps = (lamp("A", left + 8.0, group=group), lamp("B", left + 22.0, group=group))
    box = light_box(upright(left, 0, left + 30, 20), *lamps, depth_mm=10.0)
    return replace(box, name=name, **said)


PANEL = panel(
    opening("A", upright(3, 3, 27, 17), film(0.6, 0.36)),
    opening("B", upright(35, 3, 59, 17), film(0.6, 0.36)),
)


def leaks_of(box, *, room=ROOM, materials=MATERIALS):
    glow, _ = judge_box(PANEL, box=box, sub_assembly="desk", currents=(), looks=(), room=room)
    return judge_leaks(glow, panel=PANEL, box=box, strands=(), materials=materials, room=room)


def codes(found):
    return sorted(finding.code for finding in found)


def test_the_light_inside_is_that_of_the_solved_faces():
    box = box_of()
    leaks, _ = leaks_of(box)
    drawn = draw_box(PANEL, box=box, currents={}).scene
    interior = make_interior(drawn, step=step_mm(drawn))
    field = light_up(interior, balance=coarse_balance(interior), lamps=drawn.lamps)
    flux = np.array([one.flux_lm for one in drawn.lamps])
    landing = field.direct @ flux + interior.area_mm2 * (field.illuminance @ flux)
    # Everything that lands: on paint as told, and on the opening's 24 x 14 mm as told.
    inside = 2 * 600.0 + 100.0 * 10.0
    told = leaks.wall_lx * (inside - 336.0) + leaks.panel_lx * 336.0
    assert told / 1e6 == pytest.approx(float(landing.sum()), rel=PHYSICS)


def test_the_opening_shows_the_light_that_reaches_it():
    leaks, _ = leaks_of(box_of())
    (opening_glow,) = leaks.glow.openings
    assert openings_lx(leaks.glow) == pytest.approx(opening_glow.mean_cd_m2 * pi / 0.6, rel=PHYSICS)
    assert paint_lx(leaks.glow) == leaks.wall_lx


def test_a_bare_box_of_which_nothing_is_said_gets_a_note_that_would_do():
    _, found = leaks_of(box_of())
    assert codes(found) == ["LIT044"]
    count = int(found[0].remedy.split("count: ")[1].split("}")[0])
    tight = box_of(coats=coats("black paint", count), seams=Seams.TAPED)
    assert codes(leaks_of(tight)[1]) == []
    thin = box_of(coats=coats("black paint", count - 1), seams=Seams.TAPED)
    assert codes(leaks_of(thin)[1]) == ["LIT040"]


def test_bare_walls_glow_and_the_coats_offered_are_the_fewest_that_do():
    _, found = leaks_of(box_of(coats=(), seams=Seams.FILLED))
    assert codes(found) == ["LIT040"]
    count = int(found[0].remedy.split()[1])
    for more, seen in ((count - 1, ["LIT040"]), (count, [])):
        box = box_of(coats=coats("black paint", more) if more else (), seams=Seams.FILLED)
        assert codes(leaks_of(box)[1]) == seen


def test_three_thin_coats_leave_very_little():
    # Seen on a kit: about three uneven coats of black inside left very little.
    leaks, _ = leaks_of(box_of(coats=coats("thin black paint", 3), seams=Seams.TAPED))
    walls = next(leak for leak in leaks.leaks if leak.kind is LeakKind.WALLS)
    assert 1e-5 < walls.share < 1e-3
    assert walls.luminance_cd_m2 < 0.01 < 1e3 * walls.luminance_cd_m2


def test_open_joints_and_the_wire_exit_leak_and_nothing_else_does():
    black = coats("black paint", 4)
    leaks, found = leaks_of(box_of(coats=black, seams=Seams.BUTT))
    assert codes(found) == ["LIT041", "LIT042"]
    assert {leak.kind for leak in leaks.leaks if leak.is_seen} == {LeakKind.SEAM, LeakKind.EXIT}


def test_a_hole_as_small_as_the_mend_says_is_not_seen():
    box = box_of(coats=coats("black paint", 4), seams=Seams.BUTT)
    _, found = leaks_of(box)
    told = next(finding for finding in found if finding.code == "LIT042").remedy
    most = float(told.split("hole over ")[1].split(" mm")[0])
    assert "LIT042" not in codes(leaks_of(replace(box, wire_exit_mm=most))[1])
    assert "LIT042" in codes(leaks_of(replace(box, wire_exit_mm=1.2 * most + 0.01))[1])


def test_the_largest_unseen_gap_is_found_and_rounded_down():
    assert largest_unseen_mm(lambda gap: gap / 0.0173, open_mm=1.0) == pytest.approx(0.015)
    assert largest_unseen_mm(lambda gap: 2.0 + gap, open_mm=1.0) == 0.0


def test_coats_are_counted_by_density():
    coat = SHELF.wall_coats["black paint"]
    assert [coats_needed(excess, coat=coat) for excess in (0.5, 1.0, 300.0, 400.0)] == [0, 1, 1, 2]


def test_a_material_nobody_knows_gives_no_figure():
    leaks, found = leaks_of(box_of(), materials=())
    assert leaks is None
    assert codes(found) == ["LIT045"]


def test_a_box_lit_twice_as_much_leaks_twice_as_much():
    one, _ = leaks_of(box_of())
    strong = box_of()
    strong = replace(strong, leds=tuple(replace(each, current_A=0.01) for each in strong.leds))
    two, _ = leaks_of(strong)
    for low, high in zip(one.leaks, two.leaks, strict=True):
        assert high.luminance_cd_m2 == pytest.approx(2.0 * low.luminance_cd_m2, rel=EXACT)


def test_nearer_eyes_see_finer_leaks():
    near, _ = leaks_of(box_of(), room=replace(ROOM, viewing_distance_mm=200.0))
    far, _ = leaks_of(box_of())
    for close, away in zip(near.leaks, far.leaks, strict=True):
        assert close.excess >= away.excess


def test_boxes_that_touch_shine_into_each_other_until_coated():
    def spilt(name, count, *, group):
        beside = [
            leaks_of(box_of(coats=coats(name, count), seams=Seams.TAPED))[0],
            leaks_of(
                box_of(32.0, name="next", group=group, coats=coats(name, count), seams=Seams.TAPED)
            )[0],
        ]
        return judge_spill(beside)

    assert codes(spilt("white paint", 1, group="blinking")) == ["LIT043", "LIT043"]
    assert codes(spilt("black paint", 3, group="blinking")) == []
    # Lit together, the little that gets over is lost in the next box's own glow.
    assert codes(spilt("thin black paint", 1, group="")) == []


def test_boxes_face_each_other_along_one_wall():
    first, other = (draw_box(PANEL, box=box, currents={}).scene for box in (box_of(), box_of(32.0)))
    # Two upright walls of 20 mm, 2 mm apart; corners round off at most a step at each end.
    assert facing_mm(first, other=other, within_mm=2.25) == pytest.approx(20.0, abs=40 * BENCH)


def test_boxes_far_apart_do_not_spill():
    beside = [
        leaks_of(box_of(coats=(), seams=Seams.TAPED))[0],
        leaks_of(box_of(33.0, name="next", coats=(), seams=Seams.TAPED))[0],
    ]
    assert judge_spill(beside) == ()


BLACK = tuple(replace(material, reflectance=0.0) for material in MATERIALS)


def strand(name, x_mm, y_mm, *, hole_mm=0.7):
    fibre = SHELF.fibre_types["fibre 0.5 mm"]
    return Strand(
        name=name, where=where(name), fibre=fibre, x_mm=x_mm, y_mm=y_mm, hole_mm=hole_mm, group="g"
    )


def run_through(box, *strands):
    glow, _ = judge_box(PANEL, box=box, sub_assembly="desk", currents=(), looks=(), room=ROOM)
    return judge_leaks(glow, panel=PANEL, box=box, strands=strands, materials=BLACK, room=ROOM)


@pytest.mark.parametrize("lid", Lid)
def test_a_strand_leaves_a_ring_open_at_the_rear_too(lid):
    """A black slit of width g and depth d passes sqrt(1 + (d / g)^2) - d / g [STRINGS]."""
    leaks, _ = run_through(box_of(lid=lid), strand("K", 2.0, 2.0), strand("off", 33.0, 2.0))
    (entry,) = [leak for leak in leaks.leaks if leak.kind is LeakKind.ENTRY]
    deep = leaks.box.sheet.thickness_mm * (2.0 if lid is Lid.OVER else 1.0) / 0.1
    ring = 1.0 - (0.5 / 0.7) ** 2
    assert entry.item == "K"
    assert entry.share == pytest.approx(ring * (hypot(1.0, deep) - deep), rel=PHYSICS)
    assert entry.luminance_cd_m2 == pytest.approx(entry.share * leaks.wall_lx / pi, rel=EXACT)


def test_rings_at_the_rear_are_told_once_and_the_paint_told_would_do():
    box = box_of(coats=coats("black paint", 4), seams=Seams.TAPED)
    strands = [strand(name, x, 2.0) for name, x in (("K1", 2.0), ("K2", 15.0), ("K3", 28.0))]
    leaks, found = run_through(box, *strands)
    (told,) = [finding for finding in found if "must come in" in finding.message]
    assert told.code == "LIT042"
    assert "'K1' and 2 more of box" in told.message
    passing = float(re.search(r"at most ([\d.e-]+)", told.remedy)[1])
    entry = next(leak for leak in leaks.leaks if leak.kind is LeakKind.ENTRY)
    assert entry.luminance_cd_m2 * passing == pytest.approx(entry.least_seen_cd_m2, rel=0.05)
    assert not [one for one in run_through(box)[1] if one.code == "LIT042"]
