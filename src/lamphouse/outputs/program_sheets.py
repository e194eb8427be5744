"""The program's sheet as data for the typesetter: pins, drivers, memory, proof, start-up."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

from lamphouse.blink.drivers import Driver, DriverKind
from lamphouse.blink.pin_plan import GroupLoad
from lamphouse.blink.timekeeping import apart_s, off
from lamphouse.blink.timer_ring import TimerRing
from lamphouse.circuit.branch import Band
from lamphouse.circuit.phrases import amps, volts, watts
from lamphouse.outputs.program_files import ProgramFile, brown_out, parts_words, program_files
from lamphouse.outputs.program_record import RunRecord
from lamphouse.plan.programmed import Programmed, Timed
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity, show

NOT_RUN = "not run yet: lamphouse prove"


_WIRED = {
    DriverKind.STRAIGHT: "the return of the group from its plug to the pin; strings hang on plus",
    DriverKind.STRAIGHT_HIGH: "the pin to the group's wire to its plug; strings hang on minus",
    DriverKind.NPN: "emitter to minus, collector to the return of the group from its plug, the "
    "resistor from the pin to the base",
    DriverKind.LOW_MOSFET: "source to minus, drain to the return of the group from its plug, one "
    "resistor from the pin to the gate, the other from gate to source, which keeps it dark while "
    "the pin floats",
    DriverKind.HIGH_MOSFET: "source to plus, drain to the group's wire to its plug, one resistor "
    "from gate to source; the transistor's collector by the second resistor to the gate, its "
    "emitter to minus, and the third resistor from the pin to its base",
}
"""How each driver is wired."""


def program(plan: Plan, *, runs: Mapping[str, RunRecord]) -> dict[str, Any] | None:
    """Say what switches the groups; None where nothing does.

    Parameters
    ----------
    runs
        Programs that were run, by their SHA-256.
    """
    files = program_files(plan)
    if not files:
        return None
    return {
        "controllers": [_controller(file, runs=runs) for file in files],
        "notes": [*_together(plan), *_first_time(plan)],
    }


def proof_line(file: ProgramFile, *, runs: Mapping[str, RunRecord]) -> str:
    """Say whether this very program was run, and what came of it."""
    run = runs.get(file.sha256)
    if run is None:
        return NOT_RUN
    differences = f"{run.differences} difference{'s' * (run.differences != 1)}"
    tools = f" ({', '.join(run.tools)})" if run.tools else ""
    if isinstance(file.of, Timed):
        period = show(run.ran_s, Quantity.DURATION, digits=3)
        return (
            f"this circuit was solved: it comes to {period}, {differences} from the stated "
            f"spread{tools}"
        )
    return (
        f"this program was run for {run.ran_s:g} s of model time: {differences} in "
        f"{run.compared} values{tools}"
    )


def _controller(file: ProgramFile, *, runs: Mapping[str, RunRecord]) -> dict[str, Any]:
    one = file.of
    table = _pins(one) if isinstance(one, Programmed) else _ends(one)
    return {
        "name": file.controller,
        "what": one.kind.name if isinstance(one, Programmed) else _chips(one),
        "facts": list(_facts(one) if isinstance(one, Programmed) else _timer_facts(one)),
        "pins": list(table),
        "buttons": [(button.pin, button.scene) for button in one.pins.buttons]
        if isinstance(one, Programmed)
        else [],
        "proof": proof_line(file, runs=runs),
        "proved": file.sha256 in runs and runs[file.sha256].differences == 0,
        "file": f"{file.folder}/{file.name}",
        "sha": file.sha256[:16],
        "notes": list(_notes(one)),
    }


def _chips(timer: Timed) -> str:
    count, name = timer.groups.chips, timer.groups.timer.chip.name
    return name if count == 1 else f"{count} x {name}, in a ring"


def _facts(one: Programmed) -> Iterator[tuple[str, str]]:
    kind, memory = one.kind, one.memory
    yield "stands", one.controller.sub_assembly or "under the floor, beside the supply"
    fed = "5 V from a regulator" if one.controller.regulated else "the model's supply"
    if one.regulator_W is not None:
        fed += f", which sheds up to {watts(one.regulator_W)}"
    yield "fed by", fed
    yield "flash", _of(memory.flash_bytes, kind.flash_bytes)
    yield "RAM", _of(memory.ram_bytes, kind.ram_bytes)
    yield "draws itself", amps(kind.own_A)
    share = off(kind)
    yield "keeps time within", f"{100 * share:g} %" if share > 1e-3 else f"{1e6 * share:g} ppm"
    yield "its pins together", f"{amps(one.pins.pins_A)} of {amps(kind.pins_A)}"


def _of(taken: int, there: int) -> str:
    return f"at most {taken} of {there} bytes, {100 * taken / there:.0f} %"


def _pins(one: Programmed) -> Iterator[tuple[str, ...]]:
    for channel in one.pins.channels:
        yield (
            channel.pin,
            channel.group,
            driver_words(channel.driver),
            amps(channel.current_A),
            _plugs(channel.plugs),
        )


def _ends(timer: Timed) -> Iterator[tuple[str, ...]]:
    for channel in timer.groups.channels:
        load: GroupLoad = channel.load
        yield (
            f"{channel.end}, lit while {channel.lit_while}",
            load.group,
            driver_words(channel.driver),
            amps(load.strings.current_A),
            _plugs(load.plugs),
        )


def _plugs(plugs: Any) -> str:
    return "; ".join(f"{plug.sub_assembly} pin {plug.pin}" for plug in plugs) or "no plug"


def driver_words(driver: Driver) -> str:
    """Name a driver with its resistors."""
    words = str(driver.kind)
    names = (
        ("from the pin", driver.pin_ohm),
        ("to the gate", driver.gate_ohm),
        ("gate to source", driver.pull_ohm),
    )
    ohms = [f"{show(ohm, Quantity.RESISTANCE)} {where}" for where, ohm in names if ohm]
    return ", ".join([words, *ohms])


def _timer_facts(timer: Timed) -> Iterator[tuple[str, str]]:
    groups = timer.groups
    yield "stands", timer.controller.sub_assembly or "under the floor, beside the supply"
    supply = groups.timer.supply_V
    yield "fed with", f"{volts(supply.low)} to {volts(supply.high)}"
    yield "parts", parts_words(groups.timer)
    yield "period", _spread(groups.period_s)
    yield "nine builds of ten", _seconds(groups.likely_s)
    share = groups.lit_share
    is_shared = groups.stages or groups.chips > 1
    yield "each lit" if is_shared else "output high", _shares(share)


def _spread(band: Band) -> str:
    return f"{band.nominal:.3g} s, {_seconds(band)} in the worst case"


def _seconds(band: Band) -> str:
    return f"{band.low:.3g} to {band.high:.3g} s"


def _shares(band: Band) -> str:
    low, high = (f"{100 * end:.0f}" for end in (band.low, band.high))
    return f"{low} %" if low == high else f"{low} to {high} %"


def _notes(one: Programmed | Timed) -> Iterator[str]:
    """Say what happens at switching on, and when supply or program fail."""
    if isinstance(one, Programmed):
        yield (
            "Switching on: every pin floats until the program sets it dark, and transistors stay "
            "off meanwhile; the time line then begins anew."
        )
        yield f"Brown-out: {brown_out(one)}."
        yield "Watchdog: a program that stops for two seconds is started again, from the dark."
    elif isinstance(one.groups.timer, TimerRing):
        yield (
            "Switching on: the first lamp begins alone, and the others are held dark meanwhile. "
            "Whatever a disturbance lights besides is gone after one round, and a dark ring starts "
            "again by itself."
        )
    else:
        yield (
            "Switching on: the capacitor is empty, so that the first high time lasts about 1.6 "
            "times as long." + (" The counter may begin at any lamp." if one.groups.stages else "")
        )
    channels = one.pins.channels if isinstance(one, Programmed) else one.groups.channels
    for kind in dict.fromkeys(channel.driver.kind for channel in channels):
        yield f"{str(kind).capitalize()}: {_WIRED[kind]}."


def _together(plan: Plan) -> Iterator[str]:
    """Say what several controllers have in common, and what not."""
    programs = plan.controllers.programs if plan.controllers else ()
    pairs = [apart_s(one.kind, other.kind) for one, other in combinations(programs, 2)]
    if pairs:
        yield (
            f"{len(programs)} controllers: no wire joins their programs. Switched on together they "
            f"begin together; an hour later two of them may be up to {_while(max(pairs))} apart."
        )
    pins: dict[str, list[tuple[str, Programmed]]] = {}
    for one in programs:
        for button in one.pins.buttons:
            pins.setdefault(button.scene, []).append((button.pin, one))
    for scene, ends in pins.items():
        if len(ends) > 1:
            at = ", ".join(f"pin {pin} of {one.controller.name}" for pin, one in ends)
            alike = len({one.kind.logic_V for _, one in ends}) == 1
            how = (
                "joined"
                if alike
                else "each through a signal diode, its band at the button, as their voltages differ"
            )
            yield f"One button begins '{scene}' everywhere, from minus to {at}, {how}."


def _while(seconds: float) -> str:
    return f"{seconds:.1f} s" if seconds < 60.0 else f"{seconds / 60.0:.0f} min"


def _first_time(plan: Plan) -> Iterator[str]:
    """Say what to look at before anything is switched on."""
    protector = plan.design.supply.protector
    yield (
        f"Reversed supply: the {protector.name} in the plus lead keeps it off."
        if protector
        else "Reversed supply: nothing keeps it off, and it destroys a controller at once. Add "
        "reverse_protection to the supply, or a plug that goes in one way only."
    )
    yield (
        "Before the first switching on, measure between plus and minus at the controller's empty "
        "socket: right sign, right voltage. Touch metal before the chip, and plug nothing while "
        "it is lit."
    )
