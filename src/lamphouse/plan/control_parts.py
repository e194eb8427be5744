"""What controllers are built from, for the parts list."""

from collections.abc import Iterator

from lamphouse.blink.astable_plan import TimedGroups
from lamphouse.blink.drivers import Driver
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
    for timer in controllers.timers:
        yield _board(timer.controller.name)
        yield from _of_timer(timer)
        for timed in timer.groups.channels:
            yield from _of_driver(timed.driver, used_in=timer.controller.name)


def _of_program(one: Programmed) -> Iterator[Use]:
    name = one.controller.name
    yield _part("controller", one.kind.name, used_in=name, note="and a socket for it")
    if one.controller.regulated:
        yield _part("controller", "regulator 5 V", used_in=name, note="linear")
        yield _part("capacitor", "capacitor 10 uF", used_in=name, note="at the regulator", count=2)
    if one.kind.language == "C":
        yield _part("capacitor", "capacitor 100 nF", used_in=name, note="across its supply pins")
        yield _resistor(10_000.0, used_in=name, note="from reset to plus")
        if one.kind.clock_Hz > 8e6:
            clock = f"crystal {one.kind.clock_Hz / 1e6:g} MHz"
            yield _part("controller", clock, used_in=name)
            note = "at the crystal"
            yield _part("capacitor", "capacitor 22 pF", used_in=name, note=note, count=2)
    for _ in one.pins.buttons:
        yield _part("controller", "push button", used_in=name)


def _of_timer(timer: Timed) -> Iterator[Use]:
    name, groups = timer.controller.name, timer.groups
    astable = groups.astable
    yield _part("controller", astable.chip.name, used_in=name, note="and a socket for it")
    if timer.controller.regulated:
        yield _part("controller", "regulator 5 V", used_in=name, note="linear")
        yield _part("capacitor", "capacitor 10 uF", used_in=name, note="at the regulator", count=2)
    for ohm in (astable.first_ohm, astable.second_ohm):
        yield _resistor(ohm, used_in=name, note="sets the time")
    farad = show(astable.capacitor_F, Quantity.CAPACITANCE)
    yield _part("capacitor", f"capacitor {farad}", used_in=name, note="film, sets the time")
    yield _part("capacitor", "capacitor 100 nF", used_in=name, note="across its supply pins")
    yield _part("capacitor", "capacitor 10 nF", used_in=name, note="at its control pin")
    if astable.has_diode:
        yield _part("transistor", "signal diode", used_in=name, note="past RB")
    yield from _of_counter(groups, name=name)


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


def _resistor(ohm: float, *, used_in: str, note: str) -> Use:
    return Use(
        kind="resistor",
        part=f"resistor {show(ohm, Quantity.RESISTANCE)}",
        amount=1,
        unit="pieces",
        used_in=used_in,
        note=note,
        rank=ohm,
    )
