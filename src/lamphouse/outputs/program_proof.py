"""Programs run in an interpreter or a simulator, and what their pins did held against the plan.

The plan's side is computed from the time table by its own rules of play, never from what the
program holds. Runs are of model time: the interpreter is given a clock that is counted, not waited
for.
"""

import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.micropython_program import DEBOUNCE_TICKS, DUTY_FULL
from lamphouse.blink.playing import Press, steps_played
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import TICKS_PER_S, light_of
from lamphouse.record import Record

COUNTS = 9
"""Counts of 65535 by which a pin's duty may miss the plan: a piece, a fade and where it came from
are each cut to 1/256 of a step of lightness, 2.6 counts at full light, and straight lines between
the steps of the table are up to 1."""
_LONGEST_S = 600

_HARNESS = """
import sys


class Clock:
    now = {start}
    begun = None
    pins = {{}}


class Time:
    ticks_mask = (1 << 30) - 1

    def ticks_us(self):
        Clock.now += 31
        if Clock.begun is None:
            Clock.begun = Clock.now
        if Clock.now - Clock.begun >= {limit}:
            raise SystemExit
        return Clock.now & self.ticks_mask

    def ticks_add(self, ticks, delta):
        return (ticks + delta) & self.ticks_mask

    def ticks_diff(self, end, start):
        half = (self.ticks_mask + 1) // 2
        return ((end - start + half) & self.ticks_mask) - half

    def sleep_us(self, span):
        Clock.now += span


class Pin:
    OUT, IN, PULL_UP = 1, 0, 2

    def __init__(self, number, mode, pull=None, value=None):
        self.number = number
        if value is not None:
            print("idle", number, value)

    def value(self):
        since = Clock.now - Clock.begun
        for pin, down, up in {presses}:
            if pin == self.number and down <= since < up:
                return 0
        return 1


class PWM:
    def __init__(self, pin, freq, duty_u16):
        self.pin = pin.number
        print("freq", self.pin, freq, duty_u16)

    def duty_u16(self, duty):
        print("duty", self.pin, Clock.now - Clock.begun, duty)


class WDT:
    def __init__(self, timeout):
        print("dog", timeout)

    def feed(self):
        pass


class Machine:
    pass


machine = Machine()
machine.PWM, machine.WDT, machine.Pin = PWM, WDT, Pin
sys.modules["machine"] = machine
sys.modules["time"] = Time()
with open("main.py") as program:
    text = program.read()
exec(text, {{"__name__": "__main__"}})
"""


class ToolMissing(Exception):
    """Says which outside program a proof needs, and that it is not there."""


class Proof(Record):
    """What a run came to."""

    ran_s: float
    """Model time."""
    compared: int
    """Values held against the plan: ticks times pins."""
    differences: int
    """Those farther off than rounding allows."""
    worst: float
    """The farthest, as a share of full light."""
    frequency_Hz: float
    """The slowest pin's modulation."""
    worst_mean: float = 0.0
    """The farthest that the mean of a pin over the whole run is off, as a share of full light."""


def micropython() -> Path | None:
    """Find the interpreter: beside this Python, or on the path."""
    beside = Path(sys.executable).with_name("micropython")
    if beside.exists():
        return beside
    found = shutil.which("micropython")
    return Path(found) if found else None


def run_micropython(
    program: str,
    *,
    table: TimeTable,
    pins: Sequence[int],
    seconds: float,
    presses: Sequence[tuple[int, Press]] = (),
    lit_high: bool = True,
    heap_bytes: int = 64 << 20,
) -> Proof:
    """Run a MicroPython program in its interpreter and compare every pin with the plan.

    Parameters
    ----------
    program
        The text of ``main.py``.
    table
        What it is to play.
    pins
        The board's pin of each group of the table.
    seconds
        Model time.
    presses
        Pins of buttons, each with the press that the plan is to see.
    lit_high
        Whether a group is lit while its pin is high.
    heap_bytes
        What the interpreter may use; its words are twice as long as those of a small board.

    Raises
    ------
    ToolMissing
        If there is no interpreter.
    RuntimeError
        If the program fails.
    """
    interpreter = micropython()
    if interpreter is None:
        missing = "the proof of a MicroPython program needs its interpreter, micropython"
        raise ToolMissing(missing)
    pressed = [
        (pin, *(round(1e6 * tick / TICKS_PER_S) - 1000 for tick in _held(press)))
        for pin, press in presses
    ]
    limit_us = round(1e6 * seconds)
    harness = _HARNESS.format(start=(1 << 30) - 500_000, limit=limit_us, presses=pressed)
    with TemporaryDirectory() as folder:
        Path(folder, "main.py").write_text(program, encoding="ascii")
        Path(folder, "harness.py").write_text(harness, encoding="ascii")
        command = [str(interpreter), "-X", f"heapsize={heap_bytes}", "harness.py"]
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, timeout=_LONGEST_S, check=False
        )
    if done.returncode not in {0, 1} or "Error" in done.stderr or "freq " not in done.stdout:
        failed = f"the program failed: {done.stderr.strip() or done.stdout[-500:]}"
        raise RuntimeError(failed)
    ticks = int(seconds * TICKS_PER_S)
    duties, frequency = _duties(done.stdout, pins=pins, ticks=ticks)
    shown = duties / DUTY_FULL
    seen = shown if lit_high else 1.0 - shown
    return compared(
        seen, table=table, presses=[press for _, press in presses], frequency_Hz=frequency
    )


def compared(
    seen: NDArray[np.float64],
    *,
    table: TimeTable,
    presses: Sequence[Press],
    frequency_Hz: float,
) -> Proof:
    """Hold the light of every pin at every tick against the plan.

    Parameters
    ----------
    seen
        Shape ``(ticks, groups)``, 0 to 1.
    """
    planned = light_of(steps_played(table, ticks=len(seen), presses=presses))
    off = np.abs(seen - planned)
    return Proof(
        ran_s=len(seen) / TICKS_PER_S,
        compared=off.size,
        differences=int((off > COUNTS / DUTY_FULL).sum()),
        worst=float(off.max(initial=0.0)),
        frequency_Hz=frequency_Hz,
        worst_mean=float(np.abs(seen.mean(axis=0) - planned.mean(axis=0)).max(initial=0.0)),
    )


def _held(press: Press) -> tuple[int, int]:
    """Give the ticks between which a button is held, so that it counts at the press's tick."""
    down = press.tick - DEBOUNCE_TICKS + 1
    return down, down + 4 * DEBOUNCE_TICKS


def _duties(log: str, *, pins: Sequence[int], ticks: int) -> tuple[NDArray[np.float64], float]:
    """Read the log: the duty of every pin at the end of every tick, and the slowest modulation."""
    place = {pin: number for number, pin in enumerate(pins)}
    told = np.full((ticks, len(pins)), np.nan)
    frequencies = []
    for line in log.splitlines():
        word, *numbers = line.split()
        if word == "freq":
            pin, frequency, duty = map(int, numbers)
            told[0, place[pin]] = duty
            frequencies.append(frequency)
        elif word == "duty":
            pin, at_us, duty = map(int, numbers)
            tick = at_us * TICKS_PER_S // 1_000_000
            if tick < ticks:
                told[tick, place[pin]] = duty
    last = np.where(np.isnan(told), -1, np.arange(ticks)[:, None])
    last = np.maximum.accumulate(last, axis=0)
    return np.take_along_axis(told, last, axis=0), float(min(frequencies))
