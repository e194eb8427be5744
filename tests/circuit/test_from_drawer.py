"""Resistors from the drawer: which are taken, and what they may not do."""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lamphouse.circuit.from_drawer import ALIKE, less, resistors_in
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.circuit.strings import design_circuit
from lamphouse.design.whole import PartInHand
from lamphouse.findings import Where


def designed(make, sub, drawer=(), **given):
    given = {"supply": make.supply(), **given}
    return design_circuit(
        sub, habits=given.pop("habits", make.habits()), package=make.PACKAGE, drawer=drawer, **given
    )


def values_of(circuit):
    return [string.resistor_ohm for string in circuit.strings]


@pytest.fixture
def one(make):
    return make.sub(make.leds("W", 1, current_A=0.002))


def test_a_value_near_enough_is_taken_and_said(make, one):
    (bought,) = designed(make, one).strings
    assert bought.resistor_ohm == 4700.0
    (string,) = designed(make, one, ((5100.0, 1),)).strings
    assert string.resistor_ohm == 5100.0
    # 2.70 V at 2 mA, some 5 mV less at a tenth less: (12 V - 2.695 V) / 5100 ohm, less the lead.
    assert "5k1 from your drawer gives 1.82 mA" in string.reason
    assert 1 / ALIKE <= string.current_A.nominal / string.wanted_A <= ALIKE


def test_the_nearest_value_goes_before_the_drawer_s_when_both_are_there(make, one):
    assert values_of(designed(make, one, ((5100.0, 3), (4700.0, 1)))) == [4700.0]


@pytest.mark.parametrize("ohm", [3900.0, 5600.0])
def test_a_value_too_far_off_stays_in_the_drawer(make, one, ohm):
    # One step of E12 is 10 ** (1 / 12) = 1.21 [IEC60063], further than the eye lets pass.
    assert values_of(designed(make, one, ((ohm, 9),))) == [4700.0]


def test_alike_strings_stay_alike(make):
    sub = make.sub(make.leds("W", 3, current_A=0.002), strings=[
        make.wish(f"S{n}", f"W{n}") for n in (1, 2, 3)
    ])  # fmt: skip
    assert values_of(designed(make, sub, ((5100.0, 2),))) == [4700.0] * 3
    assert values_of(designed(make, sub, ((5100.0, 3),))) == [5100.0] * 3


def test_what_one_kind_took_is_gone_for_the_next(make):
    sub = make.sub(
        make.leds("W", 1, current_A=0.002),
        make.leds("A", 1, current_A=0.0019),
    )
    both = values_of(designed(make, sub, ((5100.0, 2),)))
    assert both == [5100.0, 5100.0]
    assert values_of(designed(make, sub, ((5100.0, 1),)))[0] == 5100.0
    assert values_of(designed(make, sub, ((5100.0, 1),)))[1] != 5100.0


def test_only_what_the_drawer_holds_is_called_its_own(make):
    sub = make.sub(make.leds("W", 1, current_A=0.002), make.leds("A", 1, current_A=0.00205))
    first, second = designed(make, sub, ((4700.0, 1),)).strings
    assert first.resistor_ohm == second.resistor_ohm == 4700.0
    assert "4k7 from your drawer" in first.reason
    assert "4k7 of E12" in second.reason


def test_a_value_that_could_overdrive_is_not_taken(make):
    sub = make.sub(make.leds("W", 1, current_A=0.018))
    safe = values_of(designed(make, sub))[0]
    hot = safe / 1.1
    circuit = designed(make, sub, ((hot, 1),))
    assert values_of(circuit) == [safe]
    assert circuit.strings[0].current_A.high <= make.WHITE.max_current_A


def test_fixed_values_and_unwilling_makers_are_left_alone(make):
    leds = make.leds("W", 1, current_A=0.002)
    fixed = make.sub(leds, strings=[make.wish("S", "W1", ohm=4300.0)])
    assert values_of(designed(make, fixed, ((5100.0, 1),))) == [4300.0]
    habits = make.habits(prefer_drawer=False)
    assert values_of(designed(make, make.sub(leds), ((5100.0, 1),), habits=habits)) == [4700.0]


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_a_drawer_never_spoils_what_held(make, data):
    every = [*preferred_ohm("E24").tolist()]
    drawer = data.draw(
        st.lists(
            st.tuples(st.sampled_from(every), st.integers(1, 4)),
            max_size=8,
            unique_by=lambda entry: entry[0],
        )
    )
    current_A = data.draw(st.sampled_from([0.0005, 0.002, 0.012]))
    sub = make.sub(
        make.leds("W", data.draw(st.integers(1, 5)), current_A=current_A),
        make.leds("A", 2, led_type=make.RED, current_A=0.002),
    )
    supply = make.supply(data.draw(st.sampled_from([5.0, 9.0, 12.0])))
    habits = make.habits()
    bought = designed(make, sub, supply=supply, habits=habits)
    drawn = designed(make, sub, tuple(drawer), supply=supply, habits=habits)
    stock = dict(drawer)
    for before, after in zip(bought.strings, drawn.strings, strict=True):
        assert [led.name for led in before.leds] == [led.name for led in after.leds]
        if after.resistor_ohm != before.resistor_ohm:
            stock[after.resistor_ohm] -= 1
            least = habits.least_share * after.wanted_A
            assert after.current_A.low >= min(least, before.current_A.low)
            assert after.current_A.high <= make.WHITE.max_current_A
            off = abs(math.log(after.current_A.nominal / after.wanted_A))
            known = abs(math.log(before.current_A.nominal / before.wanted_A))
            assert off <= max(math.log(ALIKE), known) + 1e-3
    assert all(count >= 0 for count in stock.values())


def test_entries_that_name_no_value_are_passed_over():
    where = Where(item="drawer")
    names = ["resistor 4k7", "resistor 4k7", "white 0603", "resistor blue"]
    stock = resistors_in([PartInHand(where=where, part=name, count=3) for name in names])
    assert stock == ((4700.0, 6),)
    assert less(stock, [4700.0] * 6 + [1000.0]) == ()
    assert less(stock, [4700.0]) == ((4700.0, 5),)
