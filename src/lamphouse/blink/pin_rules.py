"""Rules about the pins and the memory of one controller: BLP002 to BLP004 and BLP006."""

from collections.abc import Callable, Iterable, Sequence

from lamphouse.blink.pin_plan import PinPlan, shared_out
from lamphouse.blink.program_size import Memory
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.catalogue.switches import SwitchType
from lamphouse.design.controller import Controller
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Severity, Told, rule
from lamphouse.record import Record
from lamphouse.units import Quantity, show


class Planned(Record):
    """A controller with a program, as far as rules look at it."""

    controller: Controller
    kind: ControllerType
    pins: PinPlan
    memory: Memory
    longest_repeat_s: float
    """Of its groups that live by chance."""


Fitting = Callable[[Planned, float], Memory]
"""Gives what a program takes when no chance of it runs longer than so many seconds."""


@rule("BLP002", Severity.STOP, "More groups than a controller has pins")
def too_many_groups(
    planned: Sequence[Planned],
    *,
    groups: Sequence[SourceGroup],
    types: Sequence[ControllerType],
) -> Iterable[Told]:
    """Look for controllers with more groups than pins, or than they can keep up with.

    What it checks
        Each group of a controller has a pin that can be modulated, buttons have theirs, and the
        controller makes every group's next step of light within one frame of 1/240 s.

    Why it matters
        A group without a pin stays dark. Two groups on one pin would blink together.

    Example
        ::

            groups:
              a1: {in: desk, pattern: {kind: random}}
              a2: {in: desk, pattern: {kind: random}}
              a3: {in: desk, pattern: {kind: random}}
              a4: {in: desk, pattern: {kind: random}}
              a5: {in: desk, pattern: {kind: random}}
              a6: {in: desk, pattern: {kind: random}}
              a7: {in: desk, pattern: {kind: random}}
              a8: {in: desk, pattern: {kind: random}}
              a9: {in: desk, pattern: {kind: random}}
              b1: {in: desk, pattern: {kind: random}}
              b2: {in: desk, pattern: {kind: random}}
              b3: {in: desk, pattern: {kind: random}}
            controllers:
              chip: {type: "8-bit AVR, 14 pins", regulator: "yes"}
            sub_assemblies:
              desk:
                lamps:
                  L1: {type: red 0603, at: [2 mm, 40 mm], current: 1 mA, group: a1}
                  L2: {type: red 0603, at: [4 mm, 40 mm], current: 1 mA, group: a2}
                  L3: {type: red 0603, at: [6 mm, 40 mm], current: 1 mA, group: a3}
                  L4: {type: red 0603, at: [8 mm, 40 mm], current: 1 mA, group: a4}
                  L5: {type: red 0603, at: [10 mm, 40 mm], current: 1 mA, group: a5}
                  L6: {type: red 0603, at: [12 mm, 40 mm], current: 1 mA, group: a6}
                  L7: {type: red 0603, at: [14 mm, 40 mm], current: 1 mA, group: a7}
                  L8: {type: red 0603, at: [16 mm, 40 mm], current: 1 mA, group: a8}
                  L9: {type: red 0603, at: [18 mm, 40 mm], current: 1 mA, group: a9}
                  M1: {type: red 0603, at: [20 mm, 40 mm], current: 1 mA, group: b1}
                  M2: {type: red 0603, at: [22 mm, 40 mm], current: 1 mA, group: b2}
                  M3: {type: red 0603, at: [24 mm, 40 mm], current: 1 mA, group: b3}

    Mend
        Take the larger controller that the finding names, or add the further ones it names with
        the groups that are to move there; groups of one set stay together.

    Source
        Data sheets of the controllers; the groups an AVR keeps up with were run in a simulator with
        every group fading.
    """
    sets = {group.name: group.pattern.set_name for group in groups}
    for one in planned:
        if not one.pins.left_out:
            continue
        channels = [channel.group for channel in one.pins.channels]
        total = len(channels) + len(one.pins.left_out)
        buttons = len(one.pins.buttons)
        order = {group.name: place for place, group in enumerate(groups)}
        names = sorted((*channels, *one.pins.left_out), key=lambda name: order[name])
        each = min(len(one.kind.pins), one.kind.most_groups)
        shares = shared_out(names, sets=sets, first=len(channels), each=each)
        further = "; ".join(f"a further one with groups: [{', '.join(s)}]" for s in shares[1:])
        larger = next(
            (
                kind
                for kind in sorted(types, key=lambda kind: len(kind.pins))
                if min(len(kind.pins) - buttons * (kind.pins == kind.button_pins), kind.most_groups)
                >= total
            ),
            None,
        )
        other = f'write type: "{larger.name}", or ' if larger else ""
        yield Told(
            where=one.controller.where,
            message=f"{total} groups are to hang on '{one.kind.name}', which has pins for "
            f"{len(channels)}"
            + (f" beside {buttons} button{'s' * (buttons > 1)}" if buttons else "")
            + f"; left out: {', '.join(one.pins.left_out)}",
            remedy=f"{other}keep groups: [{', '.join(shares[0])}] here and add {further}",
        )


@rule("BLP003", Severity.STOP, "A pin that is not there, or has its group already")
def no_such_pin(planned: Sequence[Planned]) -> Iterable[Told]:
    """Look for wishes for pins that cannot be granted.

    What it checks
        A wished pin is one of the controller's that can light a group, or take a button, and no
        other group or button has it.

    Why it matters
        The program would drive a pin that nothing hangs on.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}
            controllers:
              chip: {type: "32-bit board, MicroPython", regulator: "yes", pins: {steady: "40"}}

    Mend
        Write the free pin that the finding names, or leave the wish out.

    Source
        Data sheets of the controllers.
    """
    for one in planned:
        for wish in one.pins.bad_wishes:
            yield Told(
                where=one.controller.where,
                message=f"pin {wish.pin} is wished for '{wish.name}', but {wish.why}",
                remedy=f'write {wish.name}: "{wish.free}"'
                if wish.free
                else "leave the wish out; every pin is taken",
            )


@rule("BLP004", Severity.STOP, "More current than any switch carries")
def too_much_current(
    planned: Sequence[Planned], *, switches: Sequence[SwitchType]
) -> Iterable[Told]:
    """Look for groups that no pin and no transistor of the catalogue can switch.

    What it checks
        The highest current of all strings of a group together is within a pin or a transistor,
        which takes no more than 5 % of the strings' current away, stands their voltage, and is
        driven within the pin's current; all pins together stay within the chip's limit.

    Why it matters
        An overloaded pin fails, at once or after a season, and takes the controller along.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 2.6 V, tolerance: 5 %, max_current: 1 A}
            groups:
              steady:
                in: desk
                source: {led: red 0603, current: 15 mA}
                pattern: {kind: beacon, period: 2 s}
            controllers:
              chip: {type: "8-bit AVR, 14 pins"}

    Mend
        Split the group as the finding says, or describe a stronger transistor in
        ``parts/switches.csv``.

    Source
        Data sheets; [PRACTICE] for the 5 %.
    """
    for one in planned:
        for load in one.pins.undriven:
            now = show(load.strings.current_A, Quantity.CURRENT, digits=3)
            most_A = max((switch.max_A for switch in switches), default=0.0)
            volts = show(load.strings.high_V, Quantity.VOLTAGE, digits=3)
            parts = min(int(load.strings.current_A / most_A) + 1, load.count) if most_A else 1
            mend = f"split it into {parts} groups, or " if parts > 1 else ""
            yield Told(
                where=one.controller.where,
                message=f"'{load.group}' draws up to {now} at up to {volts}; a pin switches "
                f"{show(one.kind.pin_A, Quantity.CURRENT)} on its own voltage, and no transistor "
                "of the catalogue carries it, leaves its strings 95 % of their current and can be "
                "driven from the pin",
                remedy=f"{mend}feed the strings from a higher voltage, or describe a transistor "
                f"for {now} and {volts} in parts/switches.csv",
            )
        over_A = one.pins.pins_A
        if over_A > one.kind.pins_A:
            now, most = (
                show(amps, Quantity.CURRENT, digits=3) for amps in (over_A, one.kind.pins_A)
            )
            yield Told(
                where=one.controller.where,
                message=f"all pins together carry up to {now}, of at most {most}",
                remedy="move some of its groups to a second controller, the largest first",
            )


@rule("BLP006", Severity.STOP, "A program that does not fit into its controller")
def too_little_memory(
    planned: Sequence[Planned], *, fitting: Fitting, types: Sequence[ControllerType]
) -> Iterable[Told]:
    """Look for programs larger than the flash or the RAM of their controller.

    What it checks
        Player, tables and stack fit into the memory of the controller's row.

    Why it matters
        It cannot be loaded; or, out of RAM, it stops in the middle of the show.

    Example
        ::

            groups:
              steady:
                in: desk
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: data panel, repeat: 600 s}
            controllers:
              chip: {type: "8-bit AVR, 14 pins", regulator: "yes"}

    Mend
        Let chance repeat after the time that the finding names, which was tried, or take the larger
        controller.

    Source
        Sizes as the compiler and the interpreter make them.
    """
    for one in planned:
        flash, ram = one.memory.flash_bytes, one.memory.ram_bytes
        if flash <= one.kind.flash_bytes and ram <= one.kind.ram_bytes:
            continue
        larger = next(
            (
                kind
                for kind in types
                if kind.language == one.kind.language
                and kind.flash_bytes >= flash
                and kind.ram_bytes >= ram
            ),
            None,
        )
        longest = _longest_repeat(one, fitting=fitting)
        mends = [f"write repeat: {longest} s or less in its patterns"] if longest else []
        mends += [f'write type: "{larger.name}"'] if larger else []
        yield Told(
            where=one.controller.where,
            message=f"its program takes {flash} bytes of flash and {ram} of RAM; "
            f"'{one.kind.name}' has {one.kind.flash_bytes} and {one.kind.ram_bytes}",
            remedy=", or ".join(mends) or "move some of its groups to a second controller",
        )


def _longest_repeat(one: Planned, *, fitting: Fitting) -> int:
    """Find the longest repeat that fits, in whole seconds, by trying; 0 where none does."""

    def fits(seconds: int) -> bool:
        memory = fitting(one, float(seconds))
        flash = memory.flash_bytes <= one.kind.flash_bytes
        return flash and memory.ram_bytes <= one.kind.ram_bytes

    low, high = 0, round(one.longest_repeat_s) + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
