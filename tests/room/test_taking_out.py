"""Ways out against moves sampled densely, and orders against every order there is."""

from itertools import permutations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.design.surroundings import OutMove, OutWay
from lamphouse.plan.placed import floor_of
from lamphouse.room.assembled import Assembled, Placed
from lamphouse.room.prisms import PrismKind
from lamphouse.room.taking_out import take_out, vector_of, ways_of
from lamphouse.room.way_mends import all_ways
from lamphouse.shapes.flatten import flatten
from room.rooms import codes, plan_of, plan_text, text_of, told, wall

SAMPLES = 300
GAP_MM = 0.3
"""What dense sampling may miss, or find by rounding, at the edge of a touch."""


def assembled_of(plan):
    design = plan.design
    boxes = {sub.name: () for sub in design.sub_assemblies}
    placed = [Placed(sub=s, boxes=boxes[s.name], sources=()) for s in design.sub_assemblies]
    return Assembled(
        placed,
        surroundings=design.surroundings,
        room=design.room,
        floor=floor_of(design),
    )


def bodies(assembled):
    found = {}
    for name, own in assembled.own.items():
        found[name] = [
            (shapely.Polygon(flatten(one.prism.foot)), one.prism.low_mm, one.prism.high_mm)
            for one in own
        ]
    return found


def sampled_blockers(assembled, name, moves, *, grown):
    """Give whom a sub-assembly meets on its way, by moving it in small steps."""
    everything, stand = bodies(assembled), assembled.placed[name].sub.stand
    met, at = set(), np.zeros(3)
    for move in moves:
        far = 600.0 if move.by_mm is None else move.by_mm
        by = np.array(vector_of(move.way, stand, height_mm=150.0)) * far
        for share in np.linspace(0.0, 1.0, SAMPLES):
            x, y, z = at + by * share
            for solid, low, high in everything[name]:
                here = shapely.affinity.translate(solid, x, y).buffer(grown, join_style="mitre")
                for other, others in everything.items():
                    if other == name or other in met:
                        continue
                    for theirs, their_low, their_high in others:
                        deep = min(high + z, their_high) - max(low + z, their_low) + 2 * grown
                        if deep > 0 and here.intersects(theirs):
                            met.add(other)
        at = at + by
    return met


SHORT = st.lists(
    st.tuples(
        st.integers(0, 150),
        st.integers(20, 150),
        st.integers(0, 40),
        st.sampled_from([0, 37, 90, 200]),
        st.sampled_from(["forwards", "up", "left", "back 30 mm, up", "up 20 mm, right"]),
    ),
    min_size=2,
    max_size=4,
)


@settings(max_examples=15, deadline=None)
@given(places=SHORT)
def test_what_blocks_a_way_is_what_a_sampled_move_meets(places):
    walls = [
        wall(f"w{n}", (x, y), size=(60, 40), more=f", turn: {turn} deg, up: {up} mm, out: [{out}]")
        for n, (x, y, up, turn, out) in enumerate(places)
    ]
    assembled = assembled_of(plan_of(*walls))
    for name, own in assembled.own.items():
        (way,) = ways_of(assembled, name)
        held = {other.owner for _, other in assembled.clashes(own)}
        sure = sampled_blockers(assembled, name, way.moves, grown=-GAP_MM)
        near = sampled_blockers(assembled, name, way.moves, grown=3.0)
        assert sure - held <= way.blocked_by
        assert way.blocked_by <= near


@settings(max_examples=40, deadline=None)
@given(places=SHORT)
def test_an_order_is_found_whenever_there_is_one(places):
    walls = [
        wall(f"w{n}", (x, y), size=(60, 40), more=f", turn: {turn} deg, up: {up} mm, out: [{out}]")
        for n, (x, y, up, turn, out) in enumerate(places)
    ]
    assembled = assembled_of(plan_of(*walls))
    ways = all_ways(assembled)
    removal = take_out(assembled, ways=ways)
    still = set(assembled.own)
    for one in removal.out:
        (way,) = [way for way in ways[one.sub_assembly] if way.moves == one.moves]
        still.remove(one.sub_assembly)
        assert not way.blocked_by & still
        assert not way.fixed
    # Every order, tried one after the other: none brings out more than was found.
    most = 0
    for order in permutations(assembled.own):
        left, count = set(order), 0
        for name in order:
            left.discard(name)
            if not any(not way.fixed and not way.blocked_by & left for way in ways[name]):
                break
            count += 1
        most = max(most, count)
    assert most == len(removal.out)


def test_what_stands_before_a_wall_comes_out_first():
    plan = plan_of(
        wall("rear", (0, 150), more=", out: forwards"),
        wall("middle", (0, 100), more=", out: forwards"),
        wall("front", (0, 50), more=", out: forwards"),
    )
    out = plan.room_plan.removal.out
    assert [one.sub_assembly for one in out] == ["front", "middle", "rear"]
    assert out[-1].after == ("front", "middle")
    assert plan.room_plan.installing == ("rear", "middle", "front")


def test_the_least_is_taken_out_first():
    # The rear wall could come forwards when two others are out; it is lifted out with none.
    plan = plan_of(wall("rear", (0, 150)), wall("front", (0, 50)))
    by_name = {one.sub_assembly: one for one in plan.room_plan.removal.out}
    assert by_name["rear"].after == ()
    assert by_name["rear"].words == "up"
    assert by_name["front"].words == "forwards"


def test_a_pair_that_locks_gets_a_way_that_works():
    text = text_of(
        wall("rear", (0, 150), more=", out: front"), wall("front", (0, 50), more=", out: back")
    )
    (finding,) = told(plan_text(text))
    assert finding.code == "ROM007"
    assert "'rear' and 'front' lock each other" in finding.message
    assert "write out: up for 'rear'" in finding.remedy
    assert codes(plan_text(text.replace("out: front", "out: up"))) == []


def test_a_ring_of_three_is_told_once():
    plan = plan_of(
        wall("a", (0, 150), more=", out: front"),
        wall("b", (60, 100), more=", out: right"),
        wall("c", (150, 150), more=", turn: 270 deg, out: left"),
        wall("d", (20, 60), more=", out: front"),
    )
    assert codes(plan).count("ROM007") <= 1
    locked = plan.room_plan.removal.locked
    for name in locked:
        assert name in ("a", "b", "c")


def test_a_fixed_wall_in_the_way_and_the_way_that_works():
    quay = ", walls: {quay: {from: [0 mm, 40 mm], to: [120 mm, 40 mm], heights: 0 to 60 mm}}"
    text = text_of(wall("pier", (20, 60), more=", out: front"), room=quay)
    (finding,) = told(plan_text(text))
    assert finding.code == "ROM006"
    assert "meets wall 'quay'" in finding.message
    assert "write out: up" in finding.remedy
    assert codes(plan_text(text.replace("out: front", "out: up"))) == []
    assert codes(plan_text(text.replace("out: front", "out: [up 61 mm, front]"))) == []
    assert codes(plan_text(text.replace("out: front", "out: [up 59 mm, front]"))) == ["ROM006"]


def test_a_closed_hull_names_the_side_to_open():
    hull = (
        ", open: [below], hull: {skin: {inside: rectangle 320 x 220 mm, at: [150 mm, 100 mm], "
        "heights: -20 to 160 mm}}"
    )
    text = text_of(wall("pier", (20, 60)), room=hull)
    (finding,) = told(plan_text(text))
    assert finding.code == "ROM006"
    assert "open: [below, front]" in finding.remedy
    assert codes(plan_text(text.replace("open: [below]", "open: [below, front]"))) == []


def test_ways_are_named_as_the_face_looks():
    assembled = assembled_of(plan_of(wall("pier", (100, 100), more=", turn: 90 deg")))
    stand = assembled.placed["pier"].sub.stand
    # Turned a quarter to the left seen from above, a face that looked to the front looks right.
    assert vector_of(OutWay.FORWARDS, stand, height_mm=None) == (1.0, 0.0, 0.0)
    assert vector_of(OutWay.BACKWARDS, stand, height_mm=None) == (-1.0, 0.0, 0.0)
    assert OutMove(way=OutWay.UP, by_mm=12.0).words == "up 12 mm"


def test_the_floor_keeps_what_is_pushed_down():
    plan = plan_of(wall("pier", (20, 60), more=", out: down"))
    assert codes(plan) == ["ROM006"]
    assert plan.room_plan.removal.locked == ("pier",)
    floors = [p for p in plan.room_plan.prisms if p.kind is PrismKind.FLOOR]
    assert [p.name for p in floors] == ["floor"]
