"""Every controller of a plan: pins, drivers, memory and program, or the parts of an astable."""

from collections.abc import Mapping, Sequence

from lamphouse.blink.astable_plan import TimedGroups, Unfit, ring_of, timed, unfit
from lamphouse.blink.avr_program import avr_program
from lamphouse.blink.controller_feed_rules import REGULATED_V
from lamphouse.blink.controller_rules import judge_controllers
from lamphouse.blink.drivers import PinSide, StringSide
from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.micropython_program import micropython_program
from lamphouse.blink.pin_plan import GroupLoad, Parts, PinPlan, PlugPin, plan_pins
from lamphouse.blink.pin_rules import Planned
from lamphouse.blink.program_data import ProgramData, program_data
from lamphouse.blink.program_size import Memory, avr_memory, micropython_memory, ports_of
from lamphouse.blink.time_table import TimeTable
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.circuit.branch import Band, SubAssemblyCircuit
from lamphouse.circuit.plug_pins import pins_of
from lamphouse.design.controller import Controller, ControllerKind
from lamphouse.design.day_scenes import Trigger
from lamphouse.design.pattern import BEATS, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Common, Supply
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.record import Record, replace

REGULATED_OFF = 0.05
"""Share by which it may be off, and a board's own logic voltage too [PRACTICE]."""


class Programmed(Record):
    """A controller with its program."""

    controller: Controller
    kind: ControllerType
    pins: PinPlan
    table: TimeTable
    """Of its groups alone, in the order of its channels."""
    memory: Memory
    regulator_W: float | None
    """Heat of a linear regulator at the most; None without one."""


class Timed(Record):
    """A controller without a program."""

    controller: Controller
    groups: TimedGroups


class Controllers(Record):
    """Everything that switches groups over time."""

    programs: tuple[Programmed, ...]
    timers: tuple[Timed, ...]

    @property
    def own_A(self) -> float:
        """What all of them draw at most besides the strings, their transistors driven."""
        return sum((own.high for own in self.drawn_A().values()), 0.0)

    def drawn_A(self) -> dict[str, Band]:
        """Give what they draw besides the strings, by sub-assembly: at least with all dark."""
        found: dict[str, Band] = {}
        for one in self.programs:
            driven = sum(c.driver.pin_A for c in one.pins.channels if c.driver.switch is not None)
            _add(found, one.controller.sub_assembly, least_A=one.kind.own_A, driven_A=driven)
        for timer in self.timers:
            own_A = timer.groups.chips * timer.groups.timer.chip.own_A
            _add(found, timer.controller.sub_assembly, least_A=own_A, driven_A=0.0)
        return found


def _add(found: dict[str, Band], name: str, *, least_A: float, driven_A: float) -> None:
    before = found.get(name, Band(low=0.0, nominal=0.0, high=0.0))
    found[name] = Band(
        low=before.low + least_A,
        nominal=before.nominal + least_A + driven_A,
        high=before.high + least_A + driven_A,
    )


def program_text(one: Programmed, *, model: str, revision: str) -> str:
    """Write a controller's program, ``main.py`` or ``main.c``."""
    heading = [
        f"{model}, revision {revision}: {one.controller.name} ({one.kind.name})",
        *(f"{channel.pin}: {channel.group}" for channel in one.pins.channels),
        *(f"{button.pin}: button, {button.scene}" for button in one.pins.buttons),
    ]
    data = program_data(one.table)
    buttons = [(button.pin, button.scene) for button in one.pins.buttons]
    pins = [channel.pin for channel in one.pins.channels]
    if one.kind.language == "C":
        return avr_program(
            data,
            pins=pins,
            clock_Hz=round(one.kind.clock_Hz),
            buttons=buttons,
            heading=heading,
            lit_high=one.pins.lit_high,
        )
    return micropython_program(
        data,
        pins=[int(pin) for pin in pins],
        buttons=[(int(pin), scene) for pin, scene in buttons],
        heading=heading,
        lit_high=one.pins.lit_high,
    )


def control(
    design: Design,
    *,
    hung: Sequence[GroupLoad],
    groups: Sequence[SourceGroup],
    table: TimeTable | None,
) -> tuple[Controllers, tuple[Finding, ...]]:
    """Plan every controller, and judge it.

    Parameters
    ----------
    design
        Its sub-assemblies are not looked at.
    hung
        What hangs on each group.
    groups
        Those that are switched, in the order of the file.
    table
        The time table of all of them; None where there are none.
    """
    loads = {load.group: load for load in hung}
    shares = shared(design, groups=groups)
    programs: list[Programmed] = []
    timers: list[Timed] = []
    failed: dict[str, Unfit] = {}
    for controller in design.controllers:
        own = [group for group in groups if group.name in shares[controller.name]]
        own_loads = [loads[group.name] for group in own if group.name in loads]
        if controller.kind is not ControllerKind.PROGRAM:
            outcome = _timed(controller, own, design=design, loads=loads)
            if isinstance(outcome, Unfit):
                failed[controller.name] = outcome
            elif outcome:
                timers.append(outcome)
        elif own_loads and table:
            programs.append(
                _programmed(controller, own, design=design, loads=own_loads, table=table)
            )
    made = Controllers(programs=tuple(programs), timers=tuple(timers))
    found = judge_controllers(
        design.controllers,
        planned=[
            Planned(
                controller=one.controller,
                kind=one.kind,
                pins=one.pins,
                memory=one.memory,
                longest_repeat_s=max(
                    (
                        group.pattern.repeat_s
                        for group in groups
                        if group.name in one.table.groups and _lives_by_chance(group)
                    ),
                    default=0.0,
                ),
            )
            for one in programs
        ],
        failed=failed,
        groups=groups,
        shares=shares,
        scenes=design.scenes,
        supply=design.supply,
        types=design.workshop.controllers,
        switches=design.workshop.switches,
        fitting=lambda planned, seconds: _memory_of(planned, design=design, repeat_s=seconds),
    )
    return made, found


def shared(design: Design, *, groups: Sequence[SourceGroup]) -> dict[str, tuple[str, ...]]:
    """Tell which groups each controller switches: those it names, or what nobody names."""
    named = {name for controller in design.controllers for name in controller.groups}
    rest = [group.name for group in groups if group.name not in named]
    shares: dict[str, tuple[str, ...]] = {}
    for controller in design.controllers:
        shares[controller.name] = controller.groups or tuple(rest)
        if not controller.groups:
            rest = []
    return shares


def loads_of(
    design: Design, *, circuits: Sequence[SubAssemblyCircuit], groups: Sequence[SourceGroup]
) -> tuple[GroupLoad, ...]:
    """Add up what hangs on each group; groups without a string are left out."""
    supply, positive = design.supply, design.habits.common is Common.POSITIVE
    low_V, high_V = supply.ends_V
    strings: dict[str, list[tuple[float, float]]] = {group.name: [] for group in groups}
    for string in (string for circuit in circuits for string in circuit.strings):
        name = next((led.group for led in string.leds if led.group in strings), None)
        if name is not None:
            across = string.current_A.nominal * string.ohm
            strings[name].append((string.current_A.high, across))
    plugs = _plugs(design)
    return tuple(
        GroupLoad(
            group=name,
            strings=StringSide(
                current_A=sum(high for high, _ in own),
                resistor_V=min(across for _, across in own),
                low_V=low_V,
                high_V=high_V,
                common_positive=positive,
            ),
            count=len(own),
            plugs=plugs.get(name, ()),
        )
        for name, own in strings.items()
        if own
    )


def _plugs(design: Design) -> Mapping[str, tuple[PlugPin, ...]]:
    found: dict[str, tuple[PlugPin, ...]] = {}
    positive = design.habits.common is Common.POSITIVE
    for sub in design.sub_assemblies:
        if sub.pigtail is None:
            continue
        for use in pins_of(sub, groups=design.groups, common_positive=positive):
            pin = PlugPin(sub_assembly=sub.name, pin=use.pin)
            found[use.means] = (*found.get(use.means, ()), pin)
    return found


def _parts(design: Design) -> Parts:
    return Parts(
        switches=design.workshop.switches,
        series=design.habits.series,
        tolerance=design.habits.resistor_tolerance,
    )


def _side(kind: ControllerType, *, controller: Controller, supply: Supply) -> PinSide:
    fed_V = REGULATED_V if controller.regulated else supply.voltage_V
    logic_V = kind.logic_at_V(fed_V)
    own = kind.logic_V is not None or controller.regulated
    off = REGULATED_OFF if own else supply.off
    return PinSide(
        low_V=logic_V * (1.0 - off),
        high_V=logic_V * (1.0 + off),
        pin_A=kind.pin_A,
        pin_ohm=kind.pin_ohm,
        straight=not own,
    )


def _programmed(
    controller: Controller,
    groups: Sequence[SourceGroup],
    *,
    design: Design,
    loads: Sequence[GroupLoad],
    table: TimeTable,
) -> Programmed:
    kind = controller.controller_type
    if kind is None:
        missing = f"'{controller.name}' has no type"
        raise ValueError(missing)
    by_button = {scene.name for scene in design.scenes if scene.trigger is Trigger.BUTTON}
    pins = plan_pins(
        kind,
        loads=loads,
        side=_side(kind, controller=controller, supply=design.supply),
        parts=_parts(design),
        wishes={name: pin for name, pin in controller.pins if _has(groups, name)},
        buttons={scene: pin for scene, pin in controller.buttons if scene in by_button},
    )
    table = table.of_groups([one.group for one in pins.channels])
    regulated = controller.regulated
    over_V = design.supply.voltage_V * (1.0 + design.supply.tolerance) - REGULATED_V
    return Programmed(
        controller=controller,
        kind=kind,
        pins=pins,
        table=table,
        memory=_memory(kind, data=program_data(table), pins=pins),
        regulator_W=max(over_V, 0.0) * (kind.own_A + pins.pins_A) if regulated else None,
    )


def _has(groups: Sequence[SourceGroup], name: str) -> bool:
    return any(group.name == name for group in groups)


def _table(design: Design, *, groups: Sequence[SourceGroup]) -> TimeTable:
    """Lay all that is switched, so that turns of sets and chance are those of the whole model."""
    switched = [group for group in design.groups if group.is_switched]
    changed = {group.name: group for group in groups}
    every = [changed.get(group.name, group) for group in switched]
    return lay_time(every, scenes=design.scenes, seed=design.seed)


def _memory(kind: ControllerType, *, data: ProgramData, pins: PinPlan) -> Memory:
    if kind.language == "C":
        ports = ports_of([channel.pin for channel in pins.channels])
        return avr_memory(data, ports=ports, buttons=len(pins.buttons))
    return micropython_memory(data)


def _memory_of(planned: Planned, *, design: Design, repeat_s: float) -> Memory:
    """Tell what a program would take if no chance of it ran for longer before it repeats."""
    held = {channel.group for channel in planned.pins.channels}
    shorter = [
        replace(group, pattern=replace(group.pattern, repeat_s=repeat_s))
        for group in design.groups
        if group.name in held and _lives_by_chance(group) and group.pattern.repeat_s > repeat_s
    ]
    table = _table(design, groups=shorter)
    own = table.of_groups([channel.group for channel in planned.pins.channels])
    return _memory(planned.kind, data=program_data(own), pins=planned.pins)


def _lives_by_chance(group: SourceGroup) -> bool:
    return group.pattern.kind not in BEATS and group.pattern.kind is not PatternKind.STEADY


def _timed(
    controller: Controller,
    groups: Sequence[SourceGroup],
    *,
    design: Design,
    loads: Mapping[str, GroupLoad],
) -> Timed | Unfit | None:
    chip = controller.chip
    if chip is None:
        missing = f"'{controller.name}' has no timer chip"
        raise ValueError(missing)
    is_ring = controller.kind is ControllerKind.RING
    wrong = unfit(groups, chip=chip, is_ring=is_ring)
    if wrong:
        return wrong
    if not all(group.name in loads for group in groups):
        return None
    supply = design.supply
    volts = REGULATED_V if controller.regulated else supply.voltage_V
    off = REGULATED_OFF if controller.regulated else supply.off
    outcome = (ring_of if is_ring else timed)(
        groups,
        chip=chip,
        supply_V=Band(low=volts * (1.0 - off), nominal=volts, high=volts * (1.0 + off)),
        loads=[loads[group.name] for group in groups],
        parts=_parts(design),
    )
    if isinstance(outcome, Unfit):
        return outcome
    return Timed(controller=controller, groups=outcome)
