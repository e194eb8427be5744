"""The files of every controller: its program with how to load it, or its timers as a deck."""

import hashlib
from collections.abc import Iterator

from lamphouse.blink.astable import Astable, in_words
from lamphouse.blink.astable_deck import astable_deck
from lamphouse.blink.micropython_program import FREE_S
from lamphouse.blink.ring_deck import ring_deck
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
    ring_words,
)
from lamphouse.outputs.avr_proof import compile_command
from lamphouse.plan.programmed import Programmed, Timed, program_text
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.storage.file_names import safe_name
from lamphouse.units import Quantity, show


class ProgramFile(Record):
    """A program, or a deck, as it lies in the pack."""

    controller: str
    folder: str
    name: str
    """``main.py``, ``main.c`` or ``timer.cir``."""
    text: str
    build: str
    """How to load or build it, in plain words."""
    of: Programmed | Timed

    @property
    def sha256(self) -> str:
        """Of the file's bytes, in hexadecimal."""
        return hashlib.sha256(self.text.encode()).hexdigest()


def program_files(plan: Plan) -> tuple[ProgramFile, ...]:
    """Write the program or the deck of every controller; the same text for the same plan."""
    if plan.controllers is None:
        return ()
    return tuple(_files(plan))


def _files(plan: Plan) -> Iterator[ProgramFile]:
    controllers, design = plan.controllers, plan.design
    if controllers is None:
        return
    taken: list[str] = []
    for one in controllers.programs:
        taken.append(safe_name(one.controller.name, taken=taken))
        in_c = one.kind.language == "C"
        yield ProgramFile(
            controller=one.controller.name,
            folder=f"program/{taken[-1]}",
            name="main.c" if in_c else "main.py",
            text=program_text(one, model=design.name, revision=design.revision),
            build=_for_avr(one) if in_c else _for_board(one),
            of=one,
        )
    for timer in controllers.timers:
        taken.append(safe_name(timer.controller.name, taken=taken))
        title = f"{design.name}, revision {design.revision}: {timer.controller.name}"
        yield ProgramFile(
            controller=timer.controller.name,
            folder=f"program/{taken[-1]}",
            name="timer.cir",
            text=_deck(timer.groups.timer, title=title),
            build=_for_timer(timer),
            of=timer,
        )


def _deck(timer: Astable | TimerRing, *, title: str) -> str:
    if isinstance(timer, TimerRing):
        return ring_deck(timer, title=title)
    return astable_deck(timer, title=title)


def parts_words(timer: Astable | TimerRing) -> str:
    """Name the parts that set the time on one line."""
    return ring_words(timer) if isinstance(timer, TimerRing) else in_words(timer)


def brown_out(one: Programmed) -> str:
    """Say what holds a controller while its supply is too low."""
    if one.kind.language != "C":
        return "the board's own detector holds it in reset while its supply is too low"
    level = "2.7 V" if one.kind.least_V < 4.0 else "4.3 V"
    return (
        f"set the brown-out detector to {level} by its fuses: it then stays in reset, and dark, "
        "while the supply is too low"
    )


def _for_board(one: Programmed) -> str:
    return _wrapped(
        f"main.py for '{one.controller.name}', {one.kind.name}.",
        "1. Load the board's MicroPython, version 1.20 or later, as its maker says. It needs "
        "machine.PWM, machine.Pin and machine.WDT.",
        "2. With the model unplugged, join the board to the computer by its USB lead.",
        "3. Copy main.py to the top of the board's storage: with mpremote (pip install mpremote) "
        "by 'mpremote cp main.py :main.py', or with an editor that knows such boards.",
        "4. Unplug the lead, join the board to the model, switch on. It starts by itself.",
        "The watchdog starts the program again if it ever stops for two seconds. It begins "
        f"{FREE_S} s after the start and cannot be switched off: to load another main.py, "
        "interrupt the program with Ctrl-C before that.",
        "Never join the USB lead while the model feeds the board, unless a diode keeps the two "
        "supplies apart.",
    )


def _for_avr(one: Programmed) -> str:
    command = " ".join(compile_command(mcu=one.kind.chip, clock_Hz=round(one.kind.clock_Hz)))
    megahertz = one.kind.clock_Hz / 1e6
    source = (
        "its inner oscillator, without the divider by eight (CKDIV8 off)"
        if not has_crystal(one.kind)
        else f"a {megahertz:g} MHz crystal with two 22 pF capacitors, without the divider by eight"
    )
    return _wrapped(
        f"main.c for '{one.controller.name}', {one.kind.name} ({one.kind.chip}).",
        f"1. Compile: {command} -o main.elf main.c",
        "2. Make the file to load: avr-objcopy -O ihex -R .eeprom main.elf main.hex",
        f"3. Set the fuses by your programmer's manual: clock from {source}; brown-out detector "
        f"on: {brown_out(one)}.",
        "4. Load main.hex with a programmer by the chip's six-pin header, the model unplugged. "
        "Never switch off reset or the serial loading by the fuses: the chip could not be loaded "
        "again.",
        "5. Put 100 nF across the chip's supply pins, close to it, and 10k from reset to plus.",
        "The watchdog starts the program again if it ever stops for two seconds.",
    )


def _for_timer(timer: Timed) -> str:
    circuit = timer.groups.timer
    if isinstance(circuit, TimerRing):
        return _for_ring(circuit, name=timer.controller.name)
    return _for_astable(circuit, name=timer.controller.name, stages=timer.groups.stages)


def _for_astable(astable: Astable, *, name: str, stages: int) -> str:
    pins = (
        "1 to minus; 8 and 4 to plus; 2 and 6 together to C, whose other end goes to minus; RA "
        "from plus to 7; RB from 7 to 2 and 6"
        + ("; the diode from 7 to 2 and 6, its ring at 2 and 6" if astable.has_diode else "")
        + "; 10 nF from 5 to minus; 100 nF across 8 and 1, close to the chip; 3 is the output"
    )
    counter = (
        f"The output clocks a CMOS decade counter (its clock pin; clock inhibit to minus). Its "
        f"outputs Q0 to Q{stages - 1} switch the groups in the order of the table; "
        + (f"Q{stages} goes to its reset." if stages < 10 else "its reset goes to minus.")
    )
    return _wrapped(
        f"'{name}' is a {astable.chip.name} as an astable: nothing is loaded.",
        f"Parts: {in_words(astable)}.",
        f"Pins of the usual 8-pin package: {pins}.",
        *([counter] if stages else []),
        "timer.cir is the same circuit for another solver: ngspice -b timer.cir prints its period "
        "and for how long its output is high.",
    )


def _for_ring(ring: TimerRing, *, name: str) -> str:
    ohms = (ring.ohm, HOLD_OHM, REST_OHM, COUPLING_OHM, RESET_OHM)
    each, hold, rest, coupling, reset = (show(ohm, Quantity.RESISTANCE) for ohm in ohms)
    farads = (ring.capacitor_F, HOLD_F, COUPLING_F, RESET_F)
    own, held, coupled, delayed = (show(farad, Quantity.CAPACITANCE) for farad in farads)
    return _wrapped(
        f"'{name}' is a ring of {ring.stages} x {ring.chip.name}: nothing is loaded.",
        f"Parts: {ring_words(ring)}, and those below.",
        "Pins of the usual 8-pin package, every chip: 1 to minus; 8 to plus; R "
        f"({each}) from plus to 6 and 7 together; C ({own}) from there to minus; 10 nF from 5 to "
        "minus; 100 nF across 8 and 1, close to the chip; 3 is the output, which lights its group "
        "in the order of the table.",
        f"Every chip but the first: from output 3 of the chip before, {coupled} and {coupling} in "
        f"series to 2; {rest} from 2 to plus and {rest} from 2 to minus; 4 to the line of resets.",
        "The first chip: 4 to plus; 2 to the banded ends of as many diodes as there are chips, "
        f"each from the output 3 of one; {hold} and {held} from 2 to minus, side by side.",
        f"The line of resets: {reset} to plus, and {delayed} (its plus at the line) to minus.",
        "Nobody starts it: the first chip begins whenever no output is high, and no other then.",
        "timer.cir is the same circuit for another solver: ngspice -b timer.cir, one that knows "
        "digital parts (XSPICE), prints when each output goes high and low from the switching on.",
    )


def _wrapped(*paragraphs: str) -> str:
    from textwrap import fill

    return "\n\n".join(fill(text, width=78) for text in paragraphs) + "\n"
