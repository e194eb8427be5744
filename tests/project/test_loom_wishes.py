"""The section of the loom: what is read, what stands in for it, and what is refused."""

import pytest

from lamphouse.design.place import Lie
from project.projects import codes, read

BARE = """\
lamphouse: 1
name: Pier
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
sub_assemblies:
  wall:
    stands: {at: [10 mm, 20 mm]}
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
  desk:
    stands: {at: [90 mm, 20 mm], lies: flat}
"""
WHOLE = """\
loom:
  supply_at: [5 mm, 15 mm]
  depth: 2 cm
  floor: 1/8 in
  wire: 22 AWG none
  slack: 20 %
  service: 140 cm real
  feeds:
    night: {sub_assemblies: [wall], fuse: 100 mA, switch: yes, wire: 28 AWG insulated, splitter_at: [40 mm, 40 mm]}
  holes:
    H1: {at: [12 mm, 18 mm], for: [wall], diameter: 6 mm}
"""  # noqa: E501 - one line is one line of a project file


def test_without_the_section_its_defaults_hold():
    for text in (BARE, f"{BARE}loom:\n", f"{BARE}loom: {{}}\n"):
        wishes = read(text).design.loom
        assert wishes.trunk.name == "24 AWG insulated"
        assert (wishes.feeds, wishes.holes, wishes.supply_mm, wishes.depth_mm) == (
            (),
            (),
            None,
            None,
        )
        assert (wishes.floor_mm, wishes.slack, wishes.service_mm) == (3.0, 0.15, 50.0)


def test_every_key_is_read():
    text = BARE + WHOLE.replace("22 AWG none", "26 AWG insulated")
    wishes = read(text).design.loom
    assert wishes.supply_mm == (5.0, 15.0)
    assert wishes.depth_mm == 20.0
    assert wishes.floor_mm == pytest.approx(3.175)
    assert wishes.trunk.name == "26 AWG insulated"
    assert wishes.slack == pytest.approx(0.2)
    assert wishes.service_mm == pytest.approx(1400 / 24)
    (feed,), (hole,) = wishes.feeds, wishes.holes
    assert (feed.name, feed.sub_assemblies, feed.fuse_A) == ("night", ("wall",), 0.1)
    assert (feed.switched, feed.wire.name) == (True, "28 AWG insulated")
    assert feed.splitter_mm == (40.0, 40.0)
    assert (hole.name, hole.sub_assemblies, hole.diameter_mm) == ("H1", ("wall",), 6.0)
    assert (hole.x_mm, hole.y_mm) == (12.0, 18.0)


def test_items_of_the_loom_have_their_lines():
    wishes = read(BARE + WHOLE.replace("22 AWG none", "26 AWG insulated")).design.loom
    assert (wishes.feeds[0].where.item, wishes.holes[0].where.item) == ("loom / night", "loom / H1")
    assert wishes.feeds[0].where.line < wishes.holes[0].where.line


def test_an_unknown_wire_and_an_unknown_sub_assembly_are_told():
    assert codes(BARE + WHOLE) == ["PRJ040"]
    for given in (
        WHOLE.replace("[wall], fuse", "[wal], fuse"),
        WHOLE.replace("for: [wall]", "for: [x]"),
    ):
        text = BARE + given.replace("22 AWG none", "26 AWG insulated")
        assert len(codes(text)) == 1
        assert read(text).design is None


def test_lengths_want_their_units():
    assert codes(BARE + "loom: {depth: 20}\n") == ["PRJ022"]
    assert codes(BARE + "loom: {slack: -5 %}\n") == ["PRJ023"]
    assert codes(BARE + "loom: {floor: 5 m}\n") == ["PRJ023"]


def test_which_way_a_sub_assembly_lies():
    wall, desk = read(BARE).design.sub_assemblies
    assert (wall.stand.lies, desk.stand.lies) == (Lie.UPRIGHT, Lie.FLAT)
    assert codes(BARE.replace("lies: flat", "lies: askew")) == ["PRJ022"]
