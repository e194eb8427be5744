"""The card: exactly the nets, no two ends in one place, and every fault of it seen."""

import pytest

from board.samples import demand, wall
from lamphouse.board.jig_card import APART_MM, card_faults, make_card, runs_of
from lamphouse.circuit.wired import WiredKind
from lamphouse.design.supply import BoardKind
from lamphouse.record import replace


def nets_of(wired):
    held = {part.name for part in wired.parts if part.on_board or part.kind is WiredKind.PLUG}
    return [net.pins for net in wired.nets if any(pin.part in held for pin in net.pins)]


def card_of(wired, **rest):
    return make_card(demand(wired, kind=BoardKind.POINT_TO_POINT, **rest))


@pytest.mark.parametrize("package", ["axial 1/8 W", "axial 1/2 W", "0402", "1206"])
@pytest.mark.parametrize(
    "wired", [wall(1), wall(3, groups=2), wall(2, extras=[WiredKind.TRIM, WiredKind.DIODE])]
)
def test_a_card_joins_exactly_the_nets(wired, package):
    card = card_of(wired, package=package)
    assert card_faults(card, nets=nets_of(wired)) == ()


def test_a_joint_of_two_nets_and_a_missing_one_are_seen():
    wired = wall(2)
    card = card_of(wired)
    first, second, *rest = card.joints
    both = replace(first, pins=first.pins + second.pins)
    assert "the joints are not the nets" in card_faults(
        replace(card, joints=(both, *rest)), nets=nets_of(wired)
    )
    assert card_faults(replace(card, joints=card.joints[1:]), nets=nets_of(wired))


def test_parts_on_one_another_are_seen():
    wired = wall(2)
    card = card_of(wired)
    one, other = card.parts
    stacked = replace(card, parts=(one, replace(other, at_mm=one.at_mm, ends_mm=one.ends_mm)))
    found = card_faults(stacked, nets=nets_of(wired))
    assert "two slots overlap" in found
    assert "two ends coincide" in found


def test_the_common_is_one_bare_wire_along_the_ends_of_its_leads():
    card = card_of(wall(4))
    joint = card.joints[0]
    runs = runs_of(joint, card=card)
    assert len(runs) == 3
    assert not any(run.insulated for run in runs)
    lengths = [abs(run.start_mm[1] - run.end_mm[1]) for run in runs]
    assert min(lengths) > APART_MM


def test_a_net_on_both_sides_of_the_card_is_joined_by_insulated_wire():
    card = card_of(wall(2, extras=[WiredKind.DIODE]))
    plus = next(joint for joint in card.joints if joint.net == "plus")
    assert any(run.insulated for run in runs_of(plus, card=card))
