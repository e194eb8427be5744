"""Pins given out: wishes, buttons, what is left over, limits of the chip, sets kept together."""

from lamphouse.blink.drivers import DriverKind, PinSide, StringSide
from lamphouse.blink.pin_plan import GroupLoad, Parts, plan_pins, shared_out
from lamphouse.catalogue.shelf import built_in
from lamphouse.record import replace

TYPES = built_in().controllers
AVR14, AVR28, BOARD = (
    TYPES[name]
    for name in ("8-bit AVR, 14 pins", "8-bit AVR, 28 pins", "32-bit board, MicroPython")
)
PARTS = Parts(switches=tuple(built_in().switches.values()), series="E12", tolerance=0.05)
FIVE_V = PinSide(low_V=4.75, high_V=5.25, pin_A=0.020, pin_ohm=25.0, straight=True)


def load(name, current_A=0.005, *, volts=5.0):
    side = StringSide(
        current_A=current_A,
        resistor_V=3.0,
        low_V=0.95 * volts,
        high_V=1.05 * volts,
        common_positive=True,
    )
    return GroupLoad(group=name, strings=side, count=1, plugs=())


def planned(names, kind=AVR14, *, wishes=None, buttons=None, side=FIVE_V, loads=None):
    return plan_pins(
        kind,
        loads=loads or [load(name) for name in names],
        side=side,
        parts=PARTS,
        wishes=wishes or {},
        buttons=buttons or {},
    )


def test_wishes_come_first_and_the_rest_follow_in_order():
    pins = planned("abc", wishes={"c": "PA0"}, buttons={"alarm": "PB2"})
    assert {one.group: one.pin for one in pins.channels} == {"a": "PA1", "b": "PA2", "c": "PA0"}
    assert [(one.scene, one.pin) for one in pins.buttons] == [("alarm", "PB2")]
    assert "PB2" not in pins.free
    assert "PA3" in pins.free


def test_a_pin_wished_for_twice_or_not_there_is_told_with_a_free_one():
    pins = planned("ab", wishes={"a": "PA4", "b": "PA4"}, buttons={"x": "PC0"})
    first, other = pins.bad_wishes
    assert (first.name, first.pin, first.free) == ("b", "PA4", "PA0")
    assert (other.name, other.free) == ("x", "PB2")
    assert len({one.pin for one in pins.channels}) == 2


def test_what_no_pin_is_left_for_is_told():
    names = [f"g{number}" for number in range(14)]
    pins = planned(names, buttons={"x": "PA0"})
    assert len(pins.channels) == 10
    assert pins.left_out == ("g10", "g11", "g12", "g13")


def test_all_hang_straight_on_their_pins_or_none_does():
    straight = planned("ab")
    assert {one.driver.kind for one in straight.channels} == {DriverKind.STRAIGHT}
    assert not straight.lit_high
    mixed = planned((), loads=[load("a"), load("b", 0.1)])
    assert DriverKind.STRAIGHT not in {one.driver.kind for one in mixed.channels}
    assert mixed.lit_high
    assert len(mixed.channels) == 2


def test_pins_that_together_carry_too_much_get_switches():
    loads = [load(f"g{number}", 0.015) for number in range(10)]
    pins = planned((), AVR28, loads=loads)
    assert DriverKind.STRAIGHT not in {one.driver.kind for one in pins.channels}
    assert pins.pins_A <= AVR28.pins_A


def test_a_board_whose_bases_would_take_too_much_gets_gates():
    side = PinSide(low_V=3.135, high_V=3.465, pin_A=0.008, pin_ohm=40.0, straight=False)
    far = replace(load("x", 0.06, volts=12.0).strings, resistor_V=8.0)
    loads = [replace(load(f"g{number}"), strings=far) for number in range(16)]
    pins = planned((), BOARD, side=side, loads=loads)
    kinds = [one.driver.kind for one in pins.channels]
    assert pins.pins_A <= BOARD.pins_A
    assert {DriverKind.NPN, DriverKind.LOW_MOSFET} == set(kinds)


def test_sets_stay_together_when_groups_are_shared_out():
    names = [f"g{number}" for number in range(7)]
    sets = {"g1": "rails", "g5": "rails", "g2": "run", "g3": "run", "g4": "run"}
    shares = shared_out(names, sets=sets, first=3, each=4)
    assert sorted(name for share in shares for name in share) == names
    for word in ("rails", "run"):
        held = [share for share in shares if any(sets.get(name) == word for name in share)]
        assert len(held) == 1
    assert len(shares[0]) <= 3
    assert all(len(share) <= 4 for share in shares)
