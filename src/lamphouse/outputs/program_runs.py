"""Every program of a plan run by the tool it needs, each as a record for ``proof.json``."""

import shutil
import subprocess
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from lamphouse.blink.playing import Press
from lamphouse.blink.timer_ring import TimerRing
from lamphouse.blink.track import TICKS_PER_S
from lamphouse.outputs.astable_proof import prove_astable, prove_ring
from lamphouse.outputs.avr_proof import run_avr
from lamphouse.outputs.program_files import ProgramFile, program_files
from lamphouse.outputs.program_proof import Proof, ToolMissing, micropython, run_micropython
from lamphouse.outputs.program_record import RunRecord
from lamphouse.plan.programmed import Programmed
from lamphouse.plan.result import Plan
from lamphouse.record import Record

Tell = Callable[[int, int, str], None]
_PRESS_EVERY = 0.29
"""Share of the time after which the first button is pressed, and between two."""


class NotRun(Record):
    """A program that could not be run, and why."""

    controller: str
    why: str


def prove(plan: Plan, *, seconds: float, tell: Tell) -> tuple[RunRecord | NotRun, ...]:
    """Run every program of a plan, one after another.

    Parameters
    ----------
    seconds
        Model time of each; an astable is solved for a few periods instead.
    tell
        Progress; whatever it raises stops the work between two programs.
    """
    return tuple(_proved(program_files(plan), seconds=seconds, tell=tell))


def _proved(
    files: Sequence[ProgramFile], *, seconds: float, tell: Tell
) -> Iterator[RunRecord | NotRun]:
    for done, file in enumerate(files):
        tell(done, len(files), f"running {file.folder}/{file.name}")
        try:
            proof, tools = _run(file, seconds=seconds)
        except ToolMissing as fault:
            yield NotRun(controller=file.controller, why=f"{fault}; see lamphouse doctor")
            continue
        except (RuntimeError, subprocess.TimeoutExpired) as fault:
            yield NotRun(controller=file.controller, why=str(fault))
            continue
        yield RunRecord(
            controller=file.controller,
            file=f"{file.folder}/{file.name}",
            sha256=file.sha256,
            ran_s=proof.ran_s,
            compared=proof.compared,
            differences=proof.differences,
            worst=proof.worst,
            tools=tools,
        )
    tell(len(files), len(files), "done")


def _run(file: ProgramFile, *, seconds: float) -> tuple[Proof, tuple[str, ...]]:
    one = file.of
    if not isinstance(one, Programmed):
        timer = one.groups.timer
        proof = (
            prove_ring(file.text, ring=timer)
            if isinstance(timer, TimerRing)
            else prove_astable(file.text, astable=timer)
        )
        return proof, (_version("ngspice", "--version"),)
    pins = [channel.pin for channel in one.pins.channels]
    presses = [
        (button.pin, Press(tick=round(share * seconds * TICKS_PER_S), scene=button.scene))
        for number, button in enumerate(one.pins.buttons, start=1)
        if (share := number * _PRESS_EVERY) < 1.0
    ]
    if one.kind.language == "C":
        proof = run_avr(
            file.text,
            table=one.table,
            pins=pins,
            mcu=one.kind.chip,
            clock_Hz=round(one.kind.clock_Hz),
            seconds=seconds,
            presses=presses,
            lit_high=one.pins.lit_high,
        )
        return proof, (_version("avr-gcc", "--version"), "libsimavr")
    proof = run_micropython(
        file.text,
        table=one.table,
        pins=[int(pin) for pin in pins],
        seconds=seconds,
        presses=[(int(pin), press) for pin, press in presses],
        lit_high=one.pins.lit_high,
        heap_bytes=one.kind.ram_bytes,
    )
    return proof, (_version(str(micropython()), "--version"),)


def _version(program: str, ask: str) -> str:
    """Give the first line in which a program tells its version."""
    found = shutil.which(program) or program
    told = subprocess.run([found, ask], capture_output=True, text=True, timeout=30, check=False)
    lines = (line.strip(" *") for line in (told.stdout + told.stderr).splitlines())
    named = next((line for line in lines if any(map(str.isdigit, line))), Path(program).name)
    return named.split(" : ")[0].split(";")[0].strip()
