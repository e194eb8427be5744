"""Drivers against another solver, data-book rules of saturation, and the limits of pins."""

import subprocess
from itertools import product

import pytest

from lamphouse.blink.drivers import (
    HIGH_PULL_OHM,
    DriverKind,
    PinSide,
    StringSide,
    base_ohm,
    drivers_for,
)
from lamphouse.catalogue.shelf import built_in

SWITCHES = tuple(built_in().switches.values())
NPN = built_in().switches["npn transistor"]
BOARD = PinSide(low_V=3.135, high_V=3.465, pin_A=0.008, pin_ohm=40.0, straight=False)
AVR = PinSide(low_V=4.75, high_V=5.25, pin_A=0.020, pin_ohm=25.0, straight=True)


def strings(current_A=0.01, *, resistor_V=4.0, volts=12.0, positive=True):
    return StringSide(
        current_A=current_A,
        resistor_V=resistor_V,
        low_V=0.95 * volts,
        high_V=1.05 * volts,
        common_positive=positive,
    )


def choices(load, *, pin=BOARD):
    return list(drivers_for(load, pin=pin, switches=SWITCHES, series="E12", tolerance=0.05))


def test_a_base_resistor_as_worked_by_hand():
    # 100 mA at a forced gain of 20 wants 5 mA: (3.135 - 0.95 - 5 mA * 40 ohm) / 5 mA = 397 ohm,
    # 378 ohm with 5 % taken off; the next E12 value below is 330 ohm, whose pin gives at most
    # (3.465 - 0.6) / 313.5 = 9.1 mA: too much for 8 mA. Half the current fits.
    assert base_ohm(0.1, switch=NPN, pin=BOARD, series="E12", tolerance=0.05) is None
    assert base_ohm(0.1, switch=NPN, pin=AVR, series="E12", tolerance=0.05) == 680.0
    assert base_ohm(0.05, switch=NPN, pin=BOARD, series="E12", tolerance=0.05) == 680.0


@pytest.mark.parametrize("current_A", [0.002, 0.01, 0.04])
def test_the_transistor_is_saturated_in_another_solver(current_A, tool, tmp_path):
    """Gummel-Poon of ngspice with a gain of 50: pin at its least, resistor at its most."""
    load = strings(current_A, resistor_V=8.0)
    driver = next(one for one in choices(load) if one.kind is DriverKind.NPN)
    deck = tmp_path / "switch.cir"
    deck.write_text(
        "switch\nVp plus 0 12.6\n"
        f"Rl plus c {12.6 / current_A}\nVpin pin 0 {BOARD.low_V}\nRpin pin in {BOARD.pin_ohm}\n"
        f"Rb in b {driver.pin_ohm * 1.05}\nQ1 c b 0 n\n.model n NPN(IS=1e-14 BF=50 BR=4)\n"
        ".control\nop\nprint v(c)\n.endc\n.end\n"
    )
    told = subprocess.run(
        [tool("ngspice"), "-b", str(deck)], capture_output=True, text=True, check=False
    ).stdout
    dropped = float(next(line.split("=")[1] for line in told.splitlines() if "v(c) =" in line))
    assert dropped < driver.lost_V


def test_the_simplest_that_holds_comes_first():
    assert [one.kind for one in choices(strings(0.01, resistor_V=7.0))][:1] == [DriverKind.NPN]
    # 0.3 V of 4 V across the resistor would take 7.5 % of the light away
    assert choices(strings(0.01, resistor_V=4.0))[0].kind is DriverKind.LOW_MOSFET
    assert choices(strings(0.5, resistor_V=7.0))[0].kind is DriverKind.LOW_MOSFET
    assert choices(strings(5.0)) == []
    small = strings(0.005, resistor_V=3.0, volts=5.0)
    assert choices(small, pin=AVR)[0].kind is DriverKind.STRAIGHT
    assert choices(small, pin=BOARD)[0].kind is not DriverKind.STRAIGHT
    below = strings(0.005, resistor_V=3.0, volts=5.0, positive=False)
    assert choices(below, pin=AVR)[0].kind is DriverKind.STRAIGHT_HIGH
    assert choices(below, pin=AVR)[0].lit_high


@pytest.mark.parametrize("volts", [5.0, 12.0, 24.0])
def test_a_high_side_gate_is_driven_enough_and_never_too_far(volts):
    found = choices(strings(0.2, resistor_V=0.4 * volts, volts=volts, positive=False))
    (driver,) = found
    assert driver.kind is DriverKind.HIGH_MOSFET
    for supply, pull, gate in product((0.95, 1.05), repeat=3):
        below = HIGH_PULL_OHM * pull / (HIGH_PULL_OHM * pull + driver.gate_ohm * gate)
        assert driver.switch.drive_V <= volts * supply * below <= driver.switch.gate_most_V


@pytest.mark.parametrize(("pin", "amps"), list(product((BOARD, AVR), (0.001, 0.02, 0.15, 1.0))))
def test_no_driver_asks_more_of_the_pin_than_it_gives(pin, amps):
    for driver in choices(strings(amps, resistor_V=8.0), pin=pin):
        assert driver.pin_A <= pin.pin_A
