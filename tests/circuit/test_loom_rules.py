"""Every rule on the loom trips where it should, is quiet where it should be, and mends."""

import pytest

from circuit.sample_loom import ROOM, SHELF, member, wishes
from circuit.test_laid_loom import circuit, feed, hole
from lamphouse.circuit.laid_loom import lay_loom
from lamphouse.circuit.loom_feed_rules import LOADED, MOST_SOCKETS, proposed_feeds
from lamphouse.circuit.loom_verdict import judge_loom
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.findings import RULES
from lamphouse.record import replace


def judged(make, members, *, currents_A=None, supply=None, room=ROOM, **given):
    """Findings by code."""
    asked = wishes(**given)
    loom = lay_loom(members, wishes=asked, room=room)
    circuits = [circuit(make, name, [("", amps)]) for name, amps in (currents_A or {}).items()]
    _, found = judge_loom(
        loom,
        members=members,
        circuits=circuits,
        wishes=asked,
        supply=supply or make.supply(),
        habits=make.habits(),
        room=room,
    )
    by_code = {}
    for finding in found:
        by_code.setdefault(finding.code, []).append(finding)
    return by_code


def two(**given):
    return [member("a", 60.0, 60.0, **given), member("b", 300.0, 200.0, **given)]


def test_a_sound_loom_has_no_findings(make):
    assert judged(make, two(), currents_A={"a": 0.02, "b": 0.02}, depth_mm=20.0) == {}


def test_a_pigtail_of_just_the_length_it_takes_is_long_enough(make):
    short = [member("a", 60.0, 60.0, length_mm=60.0, up_mm=60.0)]
    (finding,) = judged(make, short)["LOM001"]
    assert "80 mm" in finding.remedy  # (60 + 3 + 4.25) x 1.15 is 77.3
    mended = [member("a", 60.0, 60.0, length_mm=80.0, up_mm=60.0)]
    assert "LOM001" not in judged(make, mended)


def test_the_hole_told_lets_everything_through(make):
    shared = {"a": ("a", "b")}
    members = [member("a", 60.0, 60.0), member("b", 62.0, 60.0)]
    given_hole = hole("H", 60.0, 60.0, *shared["a"], diameter_mm=5.0)
    (finding,) = judged(make, members, holes=(given_hole,))["LOM002"]
    # A plug of 5.40 mm beside two wires of 0.56 mm, and 5 % of play: 6.85 mm, in half millimetres.
    assert "7 mm" in finding.remedy
    assert judged(make, members, holes=(replace(given_hole, diameter_mm=7.0),)) == {}


def test_depth_and_plug(make):
    tall = two(plug="2-pin 2.54 mm")
    (finding,) = judged(make, tall, depth_mm=7.0)["LOM003"]
    assert "by 2 mm" in finding.remedy  # its body is 9 mm long
    assert judged(make, tall, depth_mm=9.0) == {}


def test_holes_that_touch(make):
    near = [member("a", 60.0, 60.0), member("b", 67.0, 60.0)]
    (finding,) = judged(make, near)["LOM004"]
    assert "by 2 mm" in finding.remedy  # 7 mm less 6 mm of holes leave 1 mm of the 3 mm
    apart = [member("a", 60.0, 60.0), member("b", 69.0, 60.0)]
    assert judged(make, apart) == {}


def test_what_lies_outside_is_told_with_the_nearest_place(make):
    found = judged(make, two(), supply_mm=(500.0, -20.0))
    assert "[400 mm, 0 mm]" in found["LOM006"][0].remedy
    assert judged(make, two(), supply_mm=(500.0, -20.0), room=None) == {}


def test_too_few_pins(make):
    means = ("common", "return", "alarm", "chase")
    few = [member("a", 60.0, 60.0, means=means, plug="3-pin 1.25 mm")]
    (finding,) = judged(make, few)["LOM010"]
    assert "at least 4 pins" in finding.remedy
    assert judged(make, [member("a", 60.0, 60.0, means=means)]) == {}


class TestSwappedPlugs:
    def test_the_same_plug_with_other_meanings(self, make):
        plain = member("a", 60.0, 60.0, means=("common", "return", "beacon"))
        other = member("b", 160.0, 120.0, means=("common", "return", "chase"))
        (finding,) = judged(make, [plain, other])["LOM011"]
        assert "4-pin 1.25 mm" in finding.remedy
        mended = member(
            "b", 160.0, 120.0, means=("common", "return", "chase"), plug="4-pin 1.25 mm"
        )
        assert judged(make, [plain, mended]) == {}

    def test_the_same_meaning_on_one_feed_may_be_swapped(self, make):
        assert "LOM011" not in judged(make, two())

    def test_a_switch_makes_them_differ(self, make):
        feeds = (feed("day", "a"), feed("night", "b", switched=True))
        near = [member("a", 60.0, 60.0), member("b", 160.0, 120.0)]
        assert "LOM011" in judged(make, near, feeds=feeds)
        plain = (feed("day", "a"), feed("night", "b"))
        assert "LOM011" not in judged(make, two(), feeds=plain)

    def test_a_plug_that_does_not_reach_is_not_told(self, make):
        # 361 mm apart; the pigtail must bridge what its socket's wires do not give when drawn up.
        def apart(length_mm):
            one = member("a", 60.0, 60.0, means=("common", "return", "beacon"), length_mm=length_mm)
            return [one, member("b", 360.0, 260.0, means=("common", "return", "chase"))]

        assert "LOM011" not in judged(make, apart(250.0))
        assert "LOM011" in judged(make, apart(361.0))


def test_families(make):
    members = [*two(), member("c", 200.0, 100.0, plug="2-pin 2.0 mm", length_mm=200.0)]
    (finding,) = judged(make, members)["LOM012"]
    assert "1.25 mm" in finding.remedy


def test_an_overloaded_trunk_is_split_into_feeds_that_carry(make):
    thin = SHELF.wires["30 AWG insulated"]  # 500 mA
    names = "abcd"
    members = [
        member(name, 60.0 + 70 * n, 60.0, wire="28 AWG insulated") for n, name in enumerate(names)
    ]
    loads_A = dict(zip(names, (0.30, 0.05, 0.20, 0.10), strict=True))
    (finding,) = judged(make, members, currents_A=loads_A, trunk=thin)["LOM020"]
    assert "{a, d} and {b, c}" in finding.remedy
    feeds = (feed("A", "a", "d"), feed("B", "b", "c"))
    assert "LOM020" not in judged(make, members, currents_A=loads_A, trunk=thin, feeds=feeds)


def test_proposed_feeds_keep_their_bounds(make):
    names = tuple(f"w{n}" for n in range(48))
    members = [
        member(name, 40.0 + 7 * (n % 48), 40.0 + 4 * n, wanted_A=0.01)
        for n, name in enumerate(names)
    ]
    (laid,) = lay_loom(members, wishes=wishes(), room=ROOM).feeds
    loads_A = {name: 0.02 + 0.01 * (n % 13) for n, name in enumerate(names)}
    parts = proposed_feeds(laid, loads_A=loads_A)
    assert sorted(name for part in parts for name in part) == sorted(names)
    for part in parts:
        assert len(part) <= MOST_SOCKETS
        assert sum(loads_A[name] for name in part) <= LOADED * laid.wire.max_current_A + 1e-12
    least = max(len(names) / MOST_SOCKETS, sum(loads_A.values()) / (LOADED * 2.0))
    assert len(parts) <= 1.7 * least + 1  # first fit decreasing is never worse


def test_a_crowd_on_one_board(make):
    members = [member(f"w{n}", 30.0 * n, 150.0) for n in range(13)]
    assert "2 feeds" in judged(make, members)["LOM021"][0].remedy
    assert judged(make, members[:12]) == {}


def test_the_trunk_told_brings_the_drop_within_bounds(make):
    thin = SHELF.wires["40 AWG enamelled"]
    members = [member("a", 350.0, 20.0, wire="24 AWG insulated")]
    kept = {
        "currents_A": {"a": 0.045},
        "supply": make.supply(1.5),
        "feeds": (feed("F", "a", splitter_mm=(330.0, 40.0)),),
    }
    (finding,) = judged(make, members, trunk=thin, **kept)["LOM022"]
    told = float(finding.remedy.split("at most ")[1].split(" ohm/m")[0])
    assert "LOM022" not in judged(make, members, trunk=replace(thin, ohm_per_m=told), **kept)
    half_more = replace(thin, ohm_per_m=1.5 * told)
    assert "LOM022" in judged(make, members, trunk=half_more, **kept)


def test_where_the_pigtail_alone_loses_too_much_no_trunk_is_told(make):
    members = [member("a", wire="40 AWG enamelled", length_mm=5000.0)]
    found = judged(make, members, currents_A={"a": 0.045}, supply=make.supply(3.0))
    assert "pigtail" in found["LOM022"][0].remedy


@pytest.mark.parametrize("kind", ["feeds", "holes"])
def test_a_sub_assembly_in_two_places(make, kind):
    twice = {
        "feeds": (feed("A", "a", "b"), feed("B", "b")),
        "holes": (hole("A", 60.0, 60.0, "a", "b"), hole("B", 300.0, 200.0, "b")),
    }
    (finding,) = judged(make, two(length_mm=600.0), **{kind: twice[kind]})["LOM023"]
    assert "'b' stands in" in finding.message


def test_any_of_it_may_be_accepted():
    assert all(rule.can_be_accepted for code, rule in RULES.items() if code.startswith("LOM"))


def test_the_pigtail_told_for_its_loss_counts_the_loom_before_it(make):
    """The mend of CIR013 with runs before the pigtail: a little shorter is sound, longer is not."""
    leds = make.leds("W", 24, current_A=0.010)
    strings = [
        make.wish(f"S{row}", f"W{2 * row + 1}", f"W{2 * row + 2}", ohm=680.0) for row in range(12)
    ]

    def found(length_mm):
        sub = make.sub(leds, strings=strings, lead=make.pigtail(length_mm=length_mm))
        _, told = judge_sub_assembly(
            sub, supply=make.supply(), habits=make.habits(), package=make.PACKAGE, run_ohm=1.5
        )
        return [finding for finding in told if finding.code == "CIR013"]

    shorter_mm = float(found(12_000.0)[0].remedy.split("at most ")[-1].split()[0])
    assert found(shorter_mm * 0.999) == []
    assert found(shorter_mm * 1.001) != []
