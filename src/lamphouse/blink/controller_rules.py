"""All rules about controllers together; of them BLP008 on buttons and BLP009 on timer chips."""

from collections.abc import Iterable, Mapping, Sequence

from lamphouse.blink.astable_plan import Unfit
from lamphouse.blink.controller_feed_rules import wrong_voltage
from lamphouse.blink.pin_rules import (
    Fitting,
    Planned,
    no_such_pin,
    too_little_memory,
    too_many_groups,
    too_much_current,
)
from lamphouse.blink.switched_rules import (
    nobody_switches,
    nothing_to_switch,
    set_torn_apart,
    switched_twice,
)
from lamphouse.blink.timekeeping import scenes_by_several_clocks
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.catalogue.switches import SwitchType
from lamphouse.design.controller import Controller
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Supply
from lamphouse.findings import Finding, Severity, Told, rule


def judge_controllers(
    controllers: Sequence[Controller],
    *,
    planned: Sequence[Planned],
    failed: Mapping[str, Unfit],
    groups: Sequence[SourceGroup],
    shares: Mapping[str, tuple[str, ...]],
    scenes: Sequence[Scene],
    supply: Supply,
    types: Sequence[ControllerType],
    switches: Sequence[SwitchType],
    fitting: Fitting,
) -> tuple[Finding, ...]:
    """Judge all controllers of a model.

    Parameters
    ----------
    planned, failed
        What came of each: pins and memory, or why a timer chip cannot do it.
    groups
        Those that are switched, in the order of the file.
    shares
        The groups of each controller.
    types, switches
        What there is to choose from.
    fitting
        Tries a shorter chance.
    """
    return (
        *nobody_switches(
            groups, shares=shares, controllers=controllers, supply=supply, types=types
        ),
        *too_many_groups(planned, groups=groups, types=types),
        *no_such_pin(planned),
        *too_much_current(planned, switches=switches),
        *wrong_voltage(controllers, supply=supply, types=types),
        *too_little_memory(planned, fitting=fitting, types=types),
        *switched_twice(controllers, shares=shares),
        *no_button(scenes, planned=planned, controllers=controllers),
        *no_beat_for_a_timer(controllers, failed=failed),
        *set_torn_apart(groups, shares=shares),
        *scenes_by_several_clocks(planned, scenes=scenes, types=types),
        *nothing_to_switch(controllers, groups=groups, shares=shares),
    )


@rule("BLP008", Severity.WARN, "A scene whose button has no pin")
def no_button(
    scenes: Sequence[Scene], *, planned: Sequence[Planned], controllers: Sequence[Controller]
) -> Iterable[Told]:
    """Look for scenes that a button begins and no controller has a pin for, and the reverse.

    What it checks
        A scene with ``trigger: button`` has a pin under ``buttons`` of each controller with a
        program; a scene named under ``buttons`` is begun by one.

    Why it matters
        Without its button the scene never plays. With a button on one of two controllers only half
        of the model plays it.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}
            scenes:
              alarm: {lasts: 10 s, trigger: button}
            controllers:
              chip: {type: "8-bit AVR, 14 pins", regulator: "yes"}

    Mend
        Write the free pin that the finding names under ``buttons``.

    Source
        Design rule of this project.
    """
    for one in planned:
        free = [pin for pin in reversed(one.kind.all_pins) if pin in one.pins.free]
        named = dict(one.controller.buttons)
        for scene in scenes:
            if scene.trigger is Trigger.BUTTON and scene.name not in named:
                pin = free.pop(0) if free else ""
                mend = f'write buttons: {{{scene.name}: "{pin}"}} there'
                yield Told(
                    where=scene.where,
                    message=f"a button is to begin it, and '{one.controller.name}' has none for it",
                    remedy=mend if pin else "take a controller with a pin more",
                )
    triggers = {scene.name: scene.trigger for scene in scenes}
    for controller in controllers:
        for name, pin in controller.buttons:
            if triggers.get(name, Trigger.BUTTON) is not Trigger.BUTTON:
                yield Told(
                    where=controller.where,
                    message=f"pin {pin} has a button for '{name}', which comes {triggers[name]}",
                    remedy=f"write trigger: button in the scene '{name}', or remove the button",
                )


@rule("BLP009", Severity.STOP, "A pattern that a timer chip cannot play")
def no_beat_for_a_timer(
    controllers: Sequence[Controller], *, failed: Mapping[str, Unfit]
) -> Iterable[Told]:
    """Look for timer chips that are asked for more than a steady beat.

    What it checks
        An astable switches one beacon without fade, the two of a grade crossing, or a chase of two
        to ten groups in one set, a timer ring such a chase; at full light, in no scene, with times
        that a film capacitor keeps, and with a transistor that fits each group. In a ring the end
        of one chip starts the next in the worst case.

    Why it matters
        A timer chip goes on and off, and that is all.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: fire}}
            controllers:
              chip: {kind: astable, groups: [steady]}

    Mend
        As the finding says: another pattern, or a controller with a program.

    Source
        [TIMER-CHIP]
    """
    for one in controllers:
        wrong = failed.get(one.name)
        if wrong:
            named = f"'{wrong.group}': " if wrong.group else ""
            yield Told(where=one.where, message=named + wrong.why, remedy=wrong.mend)
