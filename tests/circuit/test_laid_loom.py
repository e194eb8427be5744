"""Lengths, numbers, colours and places of the loom; its drops against ngspice."""

import json
from itertools import pairwise
from math import dist
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuit.sample_loom import ROOM, SHELF, member, wishes
from lamphouse.circuit.branch import Band, SubAssemblyCircuit
from lamphouse.circuit.laid_loom import END_MM, lay_loom
from lamphouse.circuit.loom_load import load_loom, run_ohms
from lamphouse.circuit.wire_colours import WORDS, colour_of
from lamphouse.design.loom import FeedWish, FloorHole
from lamphouse.findings import Where
from tolerances import EXACT, PHYSICS

MEANS = st.sampled_from(
    [("common", "return"), ("common", "return", "blink"), ("common", "chase", "glow"), ("common",)]
)
MODELS = st.lists(
    st.tuples(st.floats(0, 400), st.floats(0, 300), MEANS, st.floats(5, 400), st.floats(0, 200)),
    min_size=1,
    max_size=12,
).map(
    lambda rows: [
        member(f"wall {n}", x, y, means=means, length_mm=length, up_mm=up)
        for n, (x, y, means, length, up) in enumerate(rows)
    ]
)


def feed(name, *subs, **given):
    return FeedWish(name=name, where=Where(item=f"loom / {name}"), sub_assemblies=subs, **given)


def hole(name, x_mm, y_mm, *subs, **given):
    where = Where(item=f"loom / {name}")
    return FloorHole(name=name, where=where, x_mm=x_mm, y_mm=y_mm, sub_assemblies=subs, **given)


@settings(max_examples=80, deadline=None)
@given(MODELS, st.floats(0, 1), st.floats(0, 300))
def test_every_pin_is_joined_once_and_no_run_is_shorter_than_its_way(members, slack, service_mm):
    loom = lay_loom(members, wishes=wishes(slack=slack, service_mm=service_mm), room=ROOM)
    assert [run.number for run in loom.runs] == list(range(1, len(loom.runs) + 1))
    wanted = [(m.name, use.pin) for m in members for use in m.pins]
    assert sorted(wanted) == sorted((r.sub_assembly, r.pin) for r in loom.runs if r.pin)
    for run in loom.runs:
        assert run.length_mm >= dist(run.start_mm, run.end_mm) * (1 + slack) + 2 * END_MM - 1e-6
        assert run.length_mm % 5 == pytest.approx(0.0, abs=EXACT)
        assert run.ohm == pytest.approx(run.length_mm / 1000 * run.wire.ohm_per_m, rel=EXACT)
    for laid in loom.feeds:
        for row in laid.splitter.rows:
            trunk, *others = (loom.runs[number - 1] for number in row.runs)
            assert trunk.sub_assembly == ""
            assert {run.means for run in others} <= {trunk.means}


@settings(max_examples=60, deadline=None)
@given(MODELS, st.randoms(use_true_random=False))
def test_the_order_of_the_file_changes_no_length(members, chance):
    mixed = list(members)
    chance.shuffle(mixed)

    def lengths(some):
        loom = lay_loom(some, wishes=wishes(), room=ROOM)
        return {(r.sub_assembly, r.pin, r.means, r.colour): r.length_mm for r in loom.runs}

    assert lengths(members) == lengths(mixed)


@settings(max_examples=60, deadline=None)
@given(MODELS)
def test_a_lifted_plug_still_hangs_on_its_wires(members):
    """Pigtail and what is drawn up of the runs reach the board wherever it is lifted to."""
    loom = lay_loom(members, wishes=wishes(service_mm=80.0), room=ROOM)
    for socket, one in zip(loom.sockets, members, strict=True):
        way = max(one.stand.up_mm, 0.0) + 3.0 + max(one.pigtail.plug.body_mm)
        reaching = max(socket.pigtail_mm, way)  # a pigtail that is too short is told by its rule
        assert reaching + socket.drawn_mm >= way + 80.0 - 1e-9
        assert socket.drawn_mm <= 80.0 + EXACT


@settings(max_examples=60, deadline=None)
@given(MODELS)
def test_a_hole_of_the_tools_own_is_drilled_in_the_floor_not_over_its_edge(members):
    corner = member("corner", 0.0, ROOM.depth_mm)
    for hole in lay_loom([*members, corner], wishes=wishes(), room=ROOM).holes:
        half = hole.diameter_mm / 2
        assert half <= hole.x_mm <= ROOM.width_mm - half
        assert half <= hole.y_mm <= ROOM.depth_mm - half


def test_a_length_by_hand():
    # A hole 30 mm from the datum corner and 40 mm below its board; 3 mm of floor, a plug 4.25 mm
    # long: 77.25 mm are taken of a pigtail of 100 mm, 22.75 mm are left of the 50 mm to lift.
    one = member("wall", 100.0, 100.0, length_mm=100.0, up_mm=40.0)
    given_places = wishes(
        supply_mm=(100.0, 20.0),
        holes=(hole("H1", 130.0, 100.0, "wall"),),
        feeds=(feed("F", "wall", splitter_mm=(130.0, 20.0)),),
    )
    loom = lay_loom([one], wishes=given_places, room=ROOM)
    (socket,) = loom.sockets
    assert socket.drawn_mm == pytest.approx(27.25)
    assert socket.reach_mm == 90.0  # 77.25 x 1.15 is 88.8
    plus, minus, *others = loom.runs
    assert plus.length_mm == minus.length_mm == 55.0  # 30 x 1.15 + 20 is 54.5
    assert [run.length_mm for run in others] == [145.0, 145.0]  # (80 + 27.25) x 1.15 + 20


def test_the_splitter_board_lies_where_the_least_wire_is_needed_and_clear_of_holes():
    ends = [(60.0, 60.0), (340.0, 60.0), (200.0, 280.0)]
    members = [member(f"w{n}", x, y) for n, (x, y) in enumerate(ends)]
    loom = lay_loom(members, wishes=wishes(supply_mm=(200.0, 120.0)), room=ROOM)
    board = loom.feeds[0].splitter
    half = [side / 2 for side in board.size_mm]
    for floor_hole in loom.holes:
        aside = abs(floor_hole.x_mm - board.x_mm), abs(floor_hole.y_mm - board.y_mm)
        assert aside[0] >= half[0] or aside[1] >= half[1]
    supply = [loom.supply_mm]

    def wire(at):
        return sum(dist(at, end) for end in (*ends, *supply))

    around = [(board.x_mm + dx, board.y_mm + dy) for dx in (-10, 0, 10) for dy in (-10, 0, 10)]
    assert wire((board.x_mm, board.y_mm)) <= min(wire(at) for at in around) + 1e-9


def test_boards_and_holes_never_lie_on_each_other():
    members = [member(f"w{n}", 150.0 + n, 150.0) for n in range(2)]
    feeds = (feed("A", "w0"), feed("B", "w1"))
    loom = lay_loom(members, wishes=wishes(feeds=feeds, supply_mm=(150.0, 152.0)), room=ROOM)
    boxes = [
        (b.x_mm - w / 2, b.y_mm - h / 2, b.x_mm + w / 2, b.y_mm + h / 2)
        for b in (laid.splitter for laid in loom.feeds)
        for w, h in [b.size_mm]
    ]
    for (a, b, c, d), (e, f, g, h) in pairwise(boxes):
        assert c < e or g < a or d < f or h < b


def test_colours_by_the_letters_of_the_standard(reference):
    outside = json.loads((reference / "loom" / "values.json").read_text())
    assert dict(WORDS) == outside["letters"]
    returns = tuple(f"g{n}" for n in range(12))
    given_colours = [
        colour_of(means, returns=returns, positive=means == "common")
        for means in ("common", "return", *returns)
    ]
    assert given_colours[:2] == ["RD", "BK"]
    assert not set(given_colours) & set(outside["kept_for_earth"])
    assert len(set(given_colours[:11])) == 11  # all differ as long as there are colours
    assert set(given_colours[2:]) & {"RD", "BK"} == set()


def test_flags_say_number_place_sign_and_feed():
    loom = lay_loom([member("console")], wishes=wishes(), room=ROOM)
    assert [run.flag for run in loom.runs] == [
        "1 trunk + | F1",
        "2 trunk \u2212 | F1",
        "3 console + | F1",
        "4 console \u2212 | F1",
    ]


def test_feeds_of_the_maker_and_the_rest():
    members = [member(name, 50.0 * n, 60.0) for n, name in enumerate("abcd")]
    given_feeds = (feed("rest", "b"), feed("night", "d", "b", switched=True, fuse_A=0.2))
    loom = lay_loom(members, wishes=wishes(feeds=given_feeds), room=ROOM)
    assert [(f.name, f.sub_assemblies) for f in loom.feeds] == [
        ("rest", ("b",)),
        ("night", ("d",)),
        ("rest+", ("a", "c")),
    ]
    assert [s.sub_assembly for s in loom.sockets] == list("abcd")
    assert loom.feeds[1].switched
    assert loom.feeds[1].fuse_A == 0.2


def test_without_a_place_there_is_no_run():
    homeless = member("shelf", None)
    assert lay_loom([homeless], wishes=wishes(), room=ROOM) is None
    loom = lay_loom([homeless, member("wall")], wishes=wishes(), room=None)
    assert loom.without_stand == ("shelf",)
    assert {run.sub_assembly for run in loom.runs} == {"", "wall"}


def circuit(make, name, groups_A):
    """A circuit with one string to each group, empty for steady, each at one current."""
    bands = [Band(low=amps, nominal=amps, high=amps) for _, amps in groups_A]
    strings = tuple(
        SimpleNamespace(leds=make.leds("L", 1, group=group), current_A=band)
        for (group, _), band in zip(groups_A, bands, strict=True)
    )
    total = sum(amps for _, amps in groups_A)
    return SubAssemblyCircuit(
        sub_assembly=name,
        where=Where(item=name),
        strings=strings,
        total_A=Band(low=total, nominal=total, high=total),
        lead_ohm=0.0,
        lead_drop_V=0.0,
    )


def test_drops_of_published_wire(make, reference):
    cases = json.loads((reference / "wires" / "values.json").read_text())["drop"]
    for case in cases:
        way_mm = case["length_m"] * 1000 - 2 * END_MM
        wire = f"{case['awg']} AWG {'enamelled' if case['awg'] > 32 else 'insulated'}"
        given_places = wishes(
            trunk=SHELF.wires[wire],
            slack=0.0,
            supply_mm=(way_mm, 0.0),
            feeds=(feed("F", "wall", splitter_mm=(0.0, 0.0)),),
        )
        loom = lay_loom([member("wall", 0.0, 0.0)], wishes=given_places, room=None)
        load = load_loom(loom, circuits=[circuit(make, "wall", [("", case["I_A"])])])
        lost = load.runs[0].drop_V + load.runs[1].drop_V
        assert lost == pytest.approx(case["drop_V_out_and_back"], rel=1e-4)


def test_drops_against_ngspice_in_the_same_tree(make, spice):
    """Every plug as a current sink at its pins: voltages between plus and each return."""
    groups = {
        "hall": (("", 0.020), ("blink", 0.008)),
        "desk": (("", 0.035),),
        "tower": (("blink", 0.012), ("chase", 0.003), ("", 0.010)),
    }
    means = {
        "hall": ("common", "return", "blink"),
        "desk": ("common", "return"),
        "tower": ("common", "return", "blink", "chase"),
    }
    places = {"hall": (20.0, 250.0), "desk": (300.0, 40.0), "tower": (350.0, 280.0)}
    members = [
        member(name, *places[name], means=means[name], wire="32 AWG insulated") for name in groups
    ]
    loom = lay_loom(members, wishes=wishes(trunk=SHELF.wires["30 AWG insulated"]), room=ROOM)
    load = load_loom(loom, circuits=[circuit(make, name, parts) for name, parts in groups.items()])
    lines = ["V1 supply 0 12"]
    for run in loom.runs:
        pad = f"pad_{run.means}"
        end = f"{run.sub_assembly}_{run.means}" if run.sub_assembly else pad
        start = pad if run.sub_assembly else ("supply" if run.means == "common" else "0")
        lines.append(f"R{run.number} {start} {end} {run.ohm!r}")
    for name, parts in groups.items():
        for group, amps in parts:
            lines.append(f"I{name}{group} {name}_common {name}_{group or 'return'} {amps!r}")
    nodes = [f"{m.name}_{what}" for m in members for what in means[m.name]]
    found = spice("\n".join(lines), [f"v({node})" for node in nodes])
    for socket in load.sockets:
        name = socket.sub_assembly
        plus = 12.0 - found[f"v({name}_common)"]
        worst = max(found[f"v({name}_{what})"] for what in means[name][1:])
        assert socket.loom_drop_V == pytest.approx(plus + worst, rel=1e-6)


def test_what_a_string_sees_of_the_loom_is_exact_where_all_returns_are_one():
    """The lumped resistance, times the own current, is the drop of the whole tree."""
    members = [
        member("a", 20.0, 40.0, wanted_A=0.02),
        member("b", 300.0, 40.0, wanted_A=0.05),
        member("c", 200.0, 280.0, wanted_A=0.001),
    ]
    loom = lay_loom(members, wishes=wishes(), room=ROOM)
    ohms = run_ohms(loom, members=members)
    total = sum(m.wanted_A for m in members)
    for one in members:
        trunk = loom.runs_of("F1")
        own = loom.runs_of("F1", sub_assembly=one.name)
        drop = total * sum(r.ohm for r in trunk) + one.wanted_A * sum(r.ohm for r in own)
        assert ohms[one.name] * one.wanted_A == pytest.approx(drop, rel=EXACT)


@settings(max_examples=40, deadline=None)
@given(MODELS)
def test_the_lumped_resistance_never_tells_too_little(members):
    """With switched returns the true drop is smaller: each carries only its own current."""
    loom = lay_loom(members, wishes=wishes(), room=ROOM)
    ohms = run_ohms(loom, members=members)
    total = sum(m.wanted_A for m in members)
    for one in members:
        plus = loom.runs_of("F1")[0].ohm * total
        plus += loom.runs_of("F1", sub_assembly=one.name)[0].ohm * one.wanted_A
        assert ohms[one.name] * one.wanted_A >= plus * (1 - PHYSICS)
