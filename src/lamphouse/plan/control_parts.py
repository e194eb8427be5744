"""What controllers are built from, for the parts list."""

from collections.abc import Iterator

from lamphouse.blink.astable import Astable
from lamphouse.blink.astable_plan import TimedGroups
from lamphouse.blink.drivers import Driver
from lamphouse.blink.timekeeping import has_crystal
from lamphouse.blink.timer_ring import (
    COUPLING_F,
    COUPLING_OHM,
    HOLD_F,
    HOLD_OHM,
    RESET_F,
    RESET_OHM,
    REST_OHM,
    TimerRing,
)
from lamphouse.build.part_use import Use
from lamphouse.plan.programmed import Controllers, Programmed, Timed
from lamphouse.units import Quantity, show


def control_parts(controllers: Controllers) -> tuple[Use, ...]:
    """List controllers, transistors, resistors and capacitors with where each is used."""
    return tuple(_uses(controllers))


def _uses(controllers: Controllers) -> Iterator[Use]:
    for one in controllers.programs:
        yield _board(one.controller.name)
        yield from _of_program(one)
        for channel in one.pins.channels:
            yield from _of_driver(channel.driver, used_in=one.controller.name)
    for scene, name in _buttons(controllers).items():
        note = f"begins '{scene}'"
        yield _part("controller", "push button", used_in=name, note=note)
    for timer in controllers.timers:
        yield _board(timer.controller.name)
        yield from _of_timer(timer)
        for timed in timer.groups.channels:
            yield from _of_driver(timed.driver, used_in=timer.controller.name)


def _buttons(controllers: Controllers) -> dict[str, str]:
    """Give every scene that a button begins, one for all controllers, with the first of them."""
    found: dict[str, str] = {}
    for one in controllers.programs:
        for button in one.pins.buttons:
            found.setdefault(button.scene, one.controller.name)
    return found


def _of_program(one: Programmed) -> Iterator[Use]:
    name = one.controller.name
    yield _part("controller", one.kind.name, used_in=name, note="and a socket for it")
    if one.controller.regulated:
        yield _part("controller", "regulator 5 V", used_in=name, note="linear")
        yield _part("capacitor", "capacitor 10 uF", used_in=name, note="at the regulator", count=2)
    if one.kind.language == "C":
        yield _part("capacitor", "capacitor 100 nF", used_in=name, note="across its supply pins")
        yield _resistor(10_000.0, used_in=name, note="from reset to plus")
        if has_crystal(one.kind):
            clock = f"crystal {one.kind.clock_Hz / 1e6:g} MHz"
            yield _part("controller", clock, used_in=name)
            note = "at the crystal"
            yield _part("capacitor", "capacitor 22 pF", used_in=name, note=note, count=2)


def _of_timer(timer: Timed) -> Iterator[Use]:
    name, chip = timer.controller.name, timer.groups.timer.chip.name
    count = timer.groups.chips
    yield _part("controller", chip, used_in=name, note="and a socket for it", count=count)
    note = "across its supply pins"
    yield _part("capacitor", "capacitor 100 nF", used_in=name, note=note, count=count)
    note = "at its control pin"
    yield _part("capacitor", "capacitor 10 nF", used_in=name, note=note, count=count)
    if timer.controller.regulated:
        yield _part("controller", "regulator 5 V", used_in=name, note="linear")
        yield _part("capacitor", "capacitor 10 uF", used_in=name, note="at the regulator", count=2)
    if isinstance(timer.groups.timer, TimerRing):
        yield from _of_ring(timer.groups.timer, name=name)
    else:
        yield from _of_astable(timer.groups.timer, name=name)
        yield from _of_counter(timer.groups, name=name)


def _of_astable(astable: Astable, *, name: str) -> Iterator[Use]:
    for ohm in (astable.first_ohm, astable.second_ohm):
        yield _resistor(ohm, used_in=name, note="sets the time")
    farad = show(astable.capacitor_F, Quantity.CAPACITANCE)
    yield _part("capacitor", f"capacitor {farad}", used_in=name, note="film, sets the time")
    if astable.has_diode:
        yield _part("transistor", "signal diode", used_in=name, note="past RB")


def _of_ring(ring: TimerRing, *, name: str) -> Iterator[Use]:
    count, between = ring.stages, ring.stages - 1
    resistors = (
        (ring.ohm, "sets the time", count),
        (REST_OHM, "at the triggers", 2 * between),
        (COUPLING_OHM, "from output to trigger", between),
        (HOLD_OHM, "at the first trigger", 1),
        (RESET_OHM, "at the resets", 1),
    )
    capacitors = (
        (ring.capacitor_F, "film, sets the time", count),
        (COUPLING_F, "film, from output to trigger", between),
        (HOLD_F, "film, at the first trigger", 1),
        (RESET_F, "electrolytic, at the resets", 1),
    )
    for ohm, note, each in resistors:
        yield _resistor(ohm, used_in=name, note=note, count=each)
    for farad, note, each in capacitors:
        part = f"capacitor {show(farad, Quantity.CAPACITANCE)}"
        yield _part("capacitor", part, used_in=name, note=note, count=each)
    yield _part("transistor", "signal diode", used_in=name, note="holds the first", count=count)


def _of_counter(groups: TimedGroups, *, name: str) -> Iterator[Use]:
    if groups.stages:
        yield _part("controller", "decade counter, CMOS", used_in=name, note="and a socket for it")
        yield _part("capacitor", "capacitor 100 nF", used_in=name, note="across its supply pins")


def _of_driver(driver: Driver, *, used_in: str) -> Iterator[Use]:
    for switch in (driver.switch, driver.ahead):
        if switch:
            yield _part("transistor", switch.name, used_in=used_in)
    for ohm in driver.resistors_ohm:
        yield _resistor(ohm, used_in=used_in, note="at a switching transistor")


def _board(name: str) -> Use:
    return _part("board", "perforated board", used_in=name, note="for it and what it drives with")


def _part(kind: str, part: str, *, used_in: str, note: str = "", count: int = 1) -> Use:
    return Use(kind=kind, part=part, amount=count, unit="pieces", used_in=used_in, note=note)


def _resistor(ohm: float, *, used_in: str, note: str, count: int = 1) -> Use:
    return Use(
        kind="resistor",
        part=f"resistor {show(ohm, Quantity.RESISTANCE)}",
        amount=count,
        unit="pieces",
        used_in=used_in,
        note=note,
        rank=ohm,
    )
