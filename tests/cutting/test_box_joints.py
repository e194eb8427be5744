"""Baffles, ledges, blocks: no two pieces stand in one place, slots take what goes into them."""

import csv
from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutting import samples as s
from cutting.standing_solids import slices, solid, worst_overlap
from lamphouse.catalogue.screw_threads import THREADS
from lamphouse.cutting.baffle_joints import PLAY_MM
from lamphouse.cutting.box_fixing import side_mm
from lamphouse.design.lightbox import BaffleJoint, Blocks, Fixing, Lid, RoundWalls, Seat, StrandExit
from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

NOTHING_MM2 = 1e-6


def build(box, *others, panel=None):
    cut = s.cut(panel or s.panel(), boxes=[box, *others])
    return cut.boxes[0] if cut.boxes else None, cut.findings


def codes(box, *others, panel=None):
    return [finding.code for finding in build(box, *others, panel=panel)[1]]


def part(made, name):
    (piece,) = [p for p in made.pieces if p.name.rpartition(" / ")[2] == name]
    return piece


def fixing(**more):
    return Fixing(where=s.where("sample / plate / box"), **more)


WIDE = s.box_shape(40, 30, x=30, y=20)


@settings(max_examples=30)
@given(
    turn=st.floats(25, 155),
    thick=st.tuples(st.floats(0.25, 1.5), st.floats(0.25, 1.5)),
    high=st.tuples(st.floats(2, 9), st.floats(2, 9)),
)
def test_crossing_baffles_are_halved_and_never_share_a_place(turn, thick, high):
    reach = 9.0
    way = (reach * cos(radians(turn)), reach * sin(radians(turn)))
    made, found = build(s.box(WIDE, baffles=(
        s.baffle("a", (21, 20), (39, 20), thickness_mm=thick[0], height_mm=high[0]),
        s.baffle("b", (30 - way[0], 20 - way[1]), (30 + way[0], 20 + way[1]),
                 thickness_mm=thick[1], height_mm=high[1]),
    )))  # fmt: skip
    assert found == ()
    heights = np.linspace(0.01, 9.9, 23)
    area, *names = worst_overlap(made, heights)
    assert area < NOTHING_MM2, names
    # Half-lap: where they cross, each keeps its half of the height of the lower one.
    lap = min(high) / 2.0
    rise = [y for _, y, _ in part(made, "baffle a").outline.corners if 1e-6 < y < high[0] - 1e-6]
    assert rise == pytest.approx([lap, lap], abs=EXACT)
    # Closed form of a square-cut slot: (t_other + t_own |cos|) / sin, and the play.
    wide = (thick[1] + thick[0] * abs(cos(radians(turn)))) / sin(radians(turn)) + PLAY_MM
    cut = [x for x, y, _ in part(made, "baffle a").outline.corners if y == pytest.approx(lap)]
    assert max(cut) - min(cut) == pytest.approx(wide, abs=1e-8)


@settings(max_examples=25)
@given(
    lean=st.floats(-55, 55),
    offset=st.floats(-6, 6),
    joint=st.sampled_from(BaffleJoint),
    lid=st.sampled_from(Lid),
)
def test_pieces_of_a_box_with_a_slanted_baffle_and_ledges_never_share_a_place(
    lean, offset, joint, lid
):
    across = 15.0 * sin(radians(lean)) / cos(radians(lean))
    start, end = (30 + offset - across, 5), (30 + offset + across, 35)
    assume(min(start[0], end[0]) > 13.0 and max(start[0], end[0]) < 48.0)
    made, found = build(s.box(
        WIDE,
        lid=lid,
        baffle_joint=joint,
        inner_diffuser=s.diffuser(8),
        baffles=(s.baffle("long", start, end, height_mm=7),
                 s.baffle("short", (10, 20), (30 + offset, 20), height_mm=5)),
    ))  # fmt: skip
    assert found == ()
    area, *names = worst_overlap(made, np.linspace(-1.99, 9.9, 17))
    assert area < NOTHING_MM2, names


def test_a_baffle_that_ends_at_another_is_cut_back_to_its_face():
    made, found = build(s.box(WIDE, baffles=(
        s.baffle("through", (30, 5), (30, 35)),
        s.baffle("side", (30, 20), (50, 20)),
    )))  # fmt: skip
    assert found == ()
    assert measure.size_mm(part(made, "baffle side").outline.corners)[0] == pytest.approx(19.75)
    assert part(made, "baffle side").notes[0].startswith("stands on the back")
    assert "slot" not in " ".join(part(made, "baffle through").notes)


def test_baffles_that_meet_in_a_corner_leave_no_gap_and_share_no_place():
    made, found = build(s.box(WIDE, baffles=(
        s.baffle("a", (20, 20), (30, 20)),
        s.baffle("b", (30, 20), (30, 12)),
    )))  # fmt: skip
    assert found == ()
    shapes = [shape for name, shape in slices(made, 3.0) if name.startswith("baffle")]
    assert shapes[0].intersection(shapes[1]).area < NOTHING_MM2
    assert shapes[0].distance(shapes[1]) < 1e-9


def test_tabs_go_through_slots_with_the_play_around_them():
    made, found = build(s.box(
        WIDE,
        depth_mm=14,
        baffle_joint=BaffleJoint.TABS,
        baffles=(s.baffle("a", (30, 5), (30, 35), height_mm=12),
                 s.baffle("b", (10, 20), (50, 20), height_mm=9)),
    ))  # fmt: skip
    assert found == ()
    back, checked = solid(part(made, "back")), 0
    for name, tab in slices(made, -0.5):
        if name.startswith("baffle"):
            slot = [hole for hole in back.interiors
                    if shapely.Polygon(hole).contains(
                        shapely.affinity.translate(tab, -9, -4))]  # fmt: skip
            assert len(slot) == 1
            ring = shapely.Polygon(slot[0])
            moved = shapely.affinity.translate(tab, -9, -4)
            assert ring.exterior.distance(moved) == pytest.approx(PLAY_MM / 2, abs=1e-9)
            checked += 1
    assert checked == 4
    # The tab of the wall: the middle third of the height, as long as the wall is thick.
    ends = measure.bounds_mm(part(made, "baffle a").outline.corners)
    assert ends[2] - ends[0] == pytest.approx(30 + 2 * 1.0)
    for wall in ("wall 1", "wall 3"):
        (slot,) = part(made, wall).cutouts
        assert measure.size_mm(slot.corners) == pytest.approx((0.5 + PLAY_MM, 4 + PLAY_MM))


def test_tabs_make_way_for_leds_and_their_wires():
    led = s.led("A", 32.0, 20, turn_deg=90)
    made, _ = build(s.box(
        WIDE, baffle_joint=BaffleJoint.TABS, leds=(led,),
        baffles=(s.baffle("a", (30, 12), (30, 28)),),
    ))  # fmt: skip
    back = part(made, "back")
    holes = [shapely.Point(hole.x_mm, hole.y_mm).buffer(hole.drill.diameter_mm / 2)
             for hole in back.holes]  # fmt: skip
    for cut in back.cutouts:
        slot = shapely.Polygon(flatten(cut.corners))
        assert min(slot.distance(hole) for hole in holes) > 0.4


def test_the_ledge_leaves_a_gap_where_a_baffle_stands_in_it():
    made, _ = build(s.box(
        WIDE, inner_diffuser=s.diffuser(8), baffles=(s.baffle("a", (30, 5), (30, 35), height_mm=8),)
    ))  # fmt: skip
    strips = [p for p in made.pieces if " / ledge" in p.name]
    lengths = sum(p.count * measure.size_mm(p.outline.corners)[0] for p in strips)
    # Long ledges run through: 40 each, less a gap of 0.5 and the play on both sides; short 28.
    assert lengths == pytest.approx(2 * (40 - 0.5 - 0.4) + 2 * 28, abs=EXACT)
    low, _ = build(s.box(
        WIDE, inner_diffuser=s.diffuser(8), baffles=(s.baffle("a", (30, 5), (30, 35), height_mm=6),)
    ))  # fmt: skip
    assert sum(p.count for p in low.pieces if " / ledge" in p.name) == 4


@pytest.mark.parametrize(
    ("baffles", "code", "remedy"),
    [
        ((s.baffle("a", (30, 5), (30, 33.9)),), "CUT071", "to: [30 mm, 35 mm]"),
        ((s.baffle("a", (30, 6), (30, 35)),), "CUT071", "from: [30 mm, 5 mm]"),
        ((s.baffle("a", (20, 20), (34, 20)), s.baffle("b", (30, 20), (40, 20))), "CUT072", "move"),
        ((s.baffle("a", (20, 20), (40, 20)), s.baffle("b", (20, 19), (40, 21))), "CUT072", "move"),
    ],
)
def test_a_baffle_fault_is_told_and_its_mend_mends(baffles, code, remedy):
    found = build(s.box(WIDE, baffles=baffles))[1]
    assert [finding.code for finding in found] == [code]
    assert remedy in found[0].remedy
    if code == "CUT071":
        ends = {"from": baffles[0].start_mm, "to": baffles[0].end_mm}
        key = remedy.split(":")[0]
        ends[key] = tuple(float(word.strip(" [m]")) for word in
                          remedy.split(": ")[1].replace("mm", "").split(","))  # fmt: skip
        assert codes(s.box(WIDE, baffles=(s.baffle("a", ends["from"], ends["to"]),))) == []


# Screws and magnets


def test_screw_holes_are_those_of_the_standard(reference):
    # [ISO273] medium series, [ISO261] pitches; tapping drills of trade tables.
    with (reference / "screw_threads" / "values.csv").open(encoding="utf-8") as file:
        rows = {row["thread"]: row for row in csv.DictReader(file)}
    assert set(rows) == set(THREADS)
    for name, row in rows.items():
        thread = THREADS[name]
        given = (thread.pitch_mm, thread.clearance_mm, thread.pilot_mm, thread.head_mm)
        wanted = (row["pitch_mm"], row["clearance_mm"], row["tapping_mm"], row["head_mm"])
        assert given == pytest.approx(tuple(float(one) for one in wanted))


@pytest.mark.parametrize("lid", Lid)
@pytest.mark.parametrize("blocks", Blocks)
@pytest.mark.parametrize("kind", [{"screw": "M2"}, {"magnet_mm": (3.0, 1.0)}])
def test_blocks_stand_free_and_their_holes_lie_over_one_another(lid, blocks, kind):
    made, found = build(s.box(
        WIDE, lid=lid, depth_mm=14, fixing=fixing(**kind, blocks=blocks, count=3),
        leds=(s.led("A", 30, 20), s.led("B", 14, 9), s.led("C", 46, 31)),
    ), panel=s.panel(corners=s.box_shape(90, 70, x=30, y=20)))  # fmt: skip
    assert found == ()
    area, *names = worst_overlap(made, np.linspace(-1.99, 13.9, 23))
    assert area < NOTHING_MM2, names
    rear = part(made, "lid" if lid is Lid.OVER else "back")
    block = part(made, "block")
    assert block.count % 3 == 0
    middles = []
    for one in made.standing:
        if one.part.startswith("block") and one.piece == block.name:
            half = side_mm(fixing(**kind)) / 2
            middles.append((one.corner_mm[0] + half * (one.right[0] + one.up[0]),
                            one.corner_mm[1] + half * (one.right[1] + one.up[1])))  # fmt: skip
    stands = next(one for one in made.standing if one.piece == rear.name)
    if "screw" in kind:
        holes = [h for h in rear.holes if h.purpose == "screw M2"]
        assert {h.drill.diameter_mm for h in holes} == {2.4}
        assert {h.drill.diameter_mm for h in block.holes} == {1.6}
        places = [(h.x_mm + stands.corner_mm[0], h.y_mm + stands.corner_mm[1]) for h in holes]
    else:
        marks = [m for m in rear.glued if m.words == "magnet"]
        places = [(x + stands.corner_mm[0], y + stands.corner_mm[1])
                  for m in marks for x, y in [measure.centroid_mm(m.corners)]]  # fmt: skip
    assert len(places) == 3
    for place in places:
        assert min(np.hypot(*(np.array(place) - middle)) for middle in middles) < 1e-6


def test_blocks_keep_off_the_neighbour_and_the_edge_of_the_panel():
    panel = s.panel(corners=s.box_shape(60, 26, x=30, y=20))
    beside = s.box(s.box_shape(6, 16, x=43, y=20), name="next", wire_exit_mm=0.0)
    box = s.box(s.box_shape(16, 16, x=26, y=20), fixing=fixing(screw="M2"))
    found = build(box, beside, panel=panel)[1]
    assert [finding.code for finding in found] == ["CUT073"]
    assert found[0].remedy == "write blocks: inside"
    box = s.box(s.box_shape(16, 16, x=26, y=20), fixing=fixing(screw="M2", blocks=Blocks.INSIDE))
    assert codes(box, beside, panel=panel) == []


def test_no_screw_goes_through_an_led():
    leds = tuple(
        s.led(f"L{row}{column}", 22.5 + 5 * column, 14.5 + 5.5 * row)
        for row in range(3)
        for column in range(4)
    )
    box = s.box(leds=leds, fixing=fixing(screw="M3", blocks=Blocks.INSIDE, count=4))
    (found,) = [f for f in build(box)[1] if f.code == "CUT073"]
    assert "has room for" in found.message
    assert found.remedy == "write blocks: outside and count: 3"


# Round boxes


@settings(max_examples=25)
@given(radius=st.floats(10, 40), thick=st.floats(0.25, 0.5), lid=st.sampled_from(Lid))
def test_a_wrapped_wall_is_as_long_as_its_neutral_line(radius, thick, lid):
    # Closed form: the middle of the sheet runs at radius r + t / 2 [DEVELOPMENT].
    made, found = build(
        s.box(outline.circle(2 * radius, x_mm=30, y_mm=20), thickness_mm=thick, lid=lid),
        panel=s.panel(corners=s.box_shape(200, 200, x=30, y=20)),
    )
    assert [f.code for f in found if f.code != "CUT033"] == []
    wall = part(made, "wall")
    (lap,) = [foot for foot in wall.glued if foot.words == "lap, glued"]
    left, _, right, top = measure.bounds_mm(lap.corners)
    assert left == pytest.approx(2 * pi * (radius + thick / 2), abs=1e-8)
    assert right - left == pytest.approx(max(5.0, 5 * thick))
    assert top == pytest.approx(10 + (thick if lid is Lid.OVER else 0))
    back = part(made, "back").outline.corners
    across = 2 * radius if lid is Lid.OVER else 2 * (radius + thick)
    assert measure.size_mm(back) == pytest.approx((across, across), rel=EXACT)


def test_a_slot_shaped_box_is_wrapped_over_straights_and_arcs():
    made, found = build(s.box(outline.slot(50, width_mm=20, x_mm=30, y_mm=20), thickness_mm=0.5))
    assert found == ()
    (lap,) = [foot for foot in part(made, "wall").glued if foot.words == "lap, glued"]
    assert measure.bounds_mm(lap.corners)[0] == pytest.approx(2 * 30 + 2 * pi * 10.25, abs=1e-8)
    # The notch is at the lowest side's middle; the seam in the middle of the other long side.
    notch = [x for x, y, _ in part(made, "wall").outline.corners if y == 2]
    assert sum(notch) / 2 == pytest.approx((60 + 2 * pi * 10.25) / 2, abs=1.3)


def test_places_on_a_wrapped_wall_follow_the_neutral_line():
    # A quarter round from the seam at the top: to the left, as anticlockwise goes.
    led = s.led("A", 10, 20, seat=Seat.WALL, height_mm=4)
    made, _ = build(s.box(outline.circle(40, x_mm=30, y_mm=20), thickness_mm=0.5, leds=(led,)))
    (seat,) = part(made, "wall").seats
    whole = 2 * pi * 20.25
    assert seat.x_mm == pytest.approx(whole * 3 / 4, abs=1e-3)
    assert seat.y_mm == pytest.approx(4)


def test_the_ledge_of_a_wrapped_wall_lies_inside_it():
    made, _ = build(s.box(outline.circle(40, x_mm=30, y_mm=20), thickness_mm=0.5,
                          inner_diffuser=s.diffuser(7)))  # fmt: skip
    ledge = measure.size_mm(part(made, "ledge").outline.corners)
    assert ledge == pytest.approx((2 * pi * 19.75, 2.0), abs=1e-8)


def test_flat_walls_round_an_arc_leave_all_of_the_inside_free():
    inside = outline.rounded_rectangle(30, height_mm=24, radius_mm=8, x_mm=30, y_mm=20)
    made, found = build(s.box(inside, round_walls=RoundWalls.FLAT))
    assert found == ()
    walls = [shape for name, shape in slices(made, 5.0) if name.startswith("wall")]
    free = shapely.Polygon(flatten(inside))
    assert free.intersection(shapely.union_all(walls)).area < 1e-3
    ring = shapely.union_all([one.buffer(1e-6) for one in walls])
    assert ring.geom_type == "Polygon"
    assert len(ring.interiors) == 1  # closed all round
    assert shapely.Polygon(ring.interiors[0]).area == pytest.approx(
        measure.area_mm2(inside), rel=0.02
    )


# Strands


@pytest.mark.parametrize("lid", Lid)
@pytest.mark.parametrize("way", StrandExit)
def test_strands_come_in_through_a_hole_as_wide_as_their_bundle(way, lid):
    # Seven equal circles lie in one of three diameters [CIRCLE-PACKING]: 3 x 0.5 mm, 5 % more.
    strands = [s.strand(f"S{n}", 22 + 2 * n, 20) for n in range(7)]
    led = s.led("A", 28, 20)
    box = s.box(WIDE, strand_exit=way, lid=lid, leds=(led,))
    cut = s.cut(s.panel(corners=s.box_shape(90, 70, x=30, y=20)), strands=strands, boxes=[box])
    if way is StrandExit.BACK and lid is Lid.OVER:
        (found,) = cut.findings
        assert (found.code, found.remedy) == ("CUT080", "write strand_exit: wall")
        return
    assert cut.findings == ()
    made = cut.boxes[0]
    if way is StrandExit.BACK:
        back = part(made, "back")
        (hole,) = [c for c, name in zip(back.cutouts, back.cutout_names, strict=True)
                   if name == "strands"]  # fmt: skip
        assert hole.diameter_mm == pytest.approx(1.6)  # 1.575 in tenths
        spot = shapely.Polygon(flatten(hole.corners))
        for seat in back.seats:
            assert spot.distance(shapely.Point(seat.x_mm, seat.y_mm)) > seat.width_mm / 2 + 0.9
        assert "drill to size there" not in " ".join(back.notes)
    else:
        (wall,) = [p for p in made.pieces if "for the strands" in p.outline.words]
        high = 1.6 + (1.0 if lid is Lid.OVER else 0.0)
        xs = sorted(x for x, y, _ in wall.outline.corners if y == pytest.approx(high))
        assert xs[-1] - xs[0] == pytest.approx(1.6)
