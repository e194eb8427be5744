"""C programs for an AVR compiled, run in a simulator, and their pins held against the plan.

The simulator is a library; a small program of ours loads the compiled file into it, presses the
buttons, and tells the cycle of every change of a port. What runs is the file that is shipped.
"""

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.micropython_program import DEBOUNCE_TICKS
from lamphouse.blink.playing import Press, steps_played
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import TICKS_PER_S, light_of
from lamphouse.outputs.program_proof import Proof, ToolMissing
from lamphouse.record import Record

STEPS = 32
"""What differences of duty are counted in."""
MEAN_STEPS = 0.02
"""By how much the mean of a pin over the run may miss the plan."""
EDGE_STEPS = 0.5
"""By how much a pin may miss it in any one frame."""
_LONGEST_S = 600

_HARNESS = r"""
#include <simavr/avr_ioport.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>
#include <stdio.h>
#include <stdlib.h>

static avr_t *avr;
static unsigned long long first; /* cycle at which the first slot begins */

static void changed(struct avr_irq_t *irq, uint32_t value, void *port)
{
    printf("@ %llu %c %u\n", (unsigned long long)avr->cycle, *(char *)port, value & 255);
}

/* The program has one interrupt: its first begins the first slot. */
static void interrupted(struct avr_irq_t *irq, uint32_t value, void *unused)
{
    if (value && !first)
        printf("@ %llu T 0\n", first = avr->cycle);
}

/* Hold a pin from outside, against the controller's own pull-up. */
static void hold(char port, int bit, int level)
{
    static avr_ioport_external_t held[4];
    avr_ioport_external_t *at = &held[port - 'A'];
    at->name = port;
    at->mask |= 1 << bit;
    at->value = (at->value & ~(1 << bit)) | level << bit;
    avr_ioctl(avr, AVR_IOCTL_IOPORT_SET_EXTERNAL(port), at);
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(port), bit), level);
}

/* harness FILE MCU CLOCK CYCLES [CYCLE PORT BIT LEVEL]..., cycles from the first slot on */
int main(int count, char **given)
{
    elf_firmware_t file = {0};
    if (count < 5 || elf_read_firmware(given[1], &file))
        return 3;
    avr = avr_make_mcu_by_name(given[2]);
    if (!avr)
        return 4;
    avr_init(avr);
    avr->log = LOG_NONE;
    avr_load_firmware(avr, &file);
    avr->frequency = strtoul(given[3], 0, 10);
    unsigned long long last = strtoull(given[4], 0, 10);
    char names[] = "ABCD";
    for (char *name = names; *name; name++) {
        avr_irq_t *irq = avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(*name), IOPORT_IRQ_REG_PORT);
        if (irq)
            avr_irq_register_notify(irq, changed, name);
    }
    avr_irq_t *running = avr_get_interrupt_irq(avr, AVR_INT_ANY) + AVR_INT_IRQ_RUNNING;
    avr_irq_register_notify(running, interrupted, 0);
    int next = 5;
    while (avr->cycle < first + last) {
        while (next + 3 < count
               && (next == 5 || strtoull(given[next], 0, 10) + first <= avr->cycle)) {
            hold(given[next + 1][0], atoi(given[next + 2]), atoi(given[next + 3]));
            next += 4;
        }
        int state = avr_run(avr);
        if (state == cpu_Done || state == cpu_Crashed)
            return 5;
    }
    return 0;
}
"""


class Compiled(Record):
    """A program as the compiler made it."""

    elf: bytes
    flash_bytes: int
    ram_bytes: int
    """Of fixed data; the stack comes on top."""


def missing_tools() -> tuple[str, ...]:
    """List what is not there of compiler, host compiler and the simulator's library."""
    lacking = [tool for tool in ("avr-gcc", "avr-size", "cc") if not shutil.which(tool)]
    headers = (Path("/usr/include/simavr/sim_avr.h"), Path("/usr/local/include/simavr/sim_avr.h"))
    if not any(header.exists() for header in headers):
        lacking.append("libsimavr")
    return tuple(lacking)


def compile_avr(program: str, *, mcu: str, clock_Hz: int) -> Compiled:
    """Compile a program as it is to be loaded.

    Raises
    ------
    ToolMissing
        If there is no compiler.
    RuntimeError
        If it says anything, be it a warning.
    """
    if any(tool.startswith("avr") for tool in missing_tools()):
        missing = "a program for an AVR is compiled by avr-gcc"
        raise ToolMissing(missing)
    with TemporaryDirectory() as folder:
        source, elf = Path(folder, "main.c"), Path(folder, "main.elf")
        source.write_text(program, encoding="ascii")
        _run([*compile_command(mcu=mcu, clock_Hz=clock_Hz), "-o", str(elf), str(source)])
        sizes = _run(["avr-size", str(elf)]).splitlines()[1].split()
        text, data, bss = map(int, sizes[:3])
        return Compiled(elf=elf.read_bytes(), flash_bytes=text + data, ram_bytes=data + bss)


def compile_command(*, mcu: str, clock_Hz: int) -> list[str]:
    """Give the compiler's command, without the files."""
    flags = ["-std=gnu99", "-Os", "-Wall", "-Wextra", "-Wno-unused-parameter", "-Wno-type-limits"]
    return ["avr-gcc", f"-mmcu={mcu}", f"-DF_CPU={clock_Hz}UL", *flags]


def run_avr(
    program: str,
    *,
    table: TimeTable,
    pins: Sequence[str],
    mcu: str,
    clock_Hz: int,
    seconds: float,
    presses: Sequence[tuple[str, Press]] = (),
    lit_high: bool = True,
) -> Proof:
    """Compile a program, run it in the simulator, and compare every pin with the plan.

    Parameters
    ----------
    program
        The text of ``main.c``.
    table
        What it is to play.
    pins
        Pin of each group of the table, such as ``PB0``.
    presses
        Pins of buttons, each with the press that the plan is to see.

    Returns
    -------
    Proof
        A difference is a frame in which a pin misses the plan by more than ``EDGE_STEPS``, or a pin
        whose mean misses it by more than ``MEAN_STEPS``, of ``STEPS``.

    Raises
    ------
    ToolMissing
        If compiler or simulator are not there.
    RuntimeError
        If the program does not compile without a warning, or does not run.
    """
    lacking = missing_tools()
    if lacking:
        missing = f"the proof of a program for an AVR needs {', '.join(lacking)}"
        raise ToolMissing(missing)
    compiled = compile_avr(program, mcu=mcu, clock_Hz=clock_Hz)
    ticks = int(seconds * TICKS_PER_S)
    cycles = (ticks + 12) * clock_Hz // TICKS_PER_S
    edges = sorted(edge for pin, press in presses for edge in _edges(pin, press, clock_Hz=clock_Hz))
    ups = [(0, pin, 1) for pin in dict.fromkeys(pin for pin, _ in presses)]
    given = [
        word
        for cycle, pin, level in (*ups, *edges)
        for word in (str(cycle), pin[1], pin[2], str(level))
    ]
    with TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "main.elf").write_bytes(compiled.elf)
        (place / "harness.c").write_text(_HARNESS, encoding="ascii")
        harness = str(place / "harness")
        _run(["cc", "-O2", "-o", harness, str(place / "harness.c"), "-lsimavr", "-lelf"])
        log = _run([harness, str(place / "main.elf"), mcu, str(clock_Hz), str(cycles), *given])
    duties = _duties(log, pins=pins, clock_Hz=clock_Hz, ticks=ticks)
    seen = duties if lit_high else 1.0 - duties
    planned = light_of(steps_played(table, ticks=ticks, presses=[press for _, press in presses]))
    off = STEPS * np.abs(seen - planned)
    means = STEPS * np.abs(seen.mean(axis=0) - planned.mean(axis=0))
    return Proof(
        ran_s=ticks / TICKS_PER_S,
        compared=off.size,
        differences=int((off > EDGE_STEPS).sum() + (means > MEAN_STEPS).sum()),
        worst=float(off.max() / STEPS),
        frequency_Hz=float(TICKS_PER_S),
        worst_mean=float(means.max() / STEPS),
    )


def _run(command: Sequence[str]) -> str:
    done = subprocess.run(command, capture_output=True, text=True, timeout=_LONGEST_S, check=False)
    if done.returncode or done.stderr.strip():
        failed = f"{Path(command[0]).name} failed: {done.stderr.strip() or done.returncode}"
        raise RuntimeError(failed)
    return done.stdout


def _edges(pin: str, press: Press, *, clock_Hz: int) -> list[tuple[int, str, int]]:
    """Give the cycles at which a button goes down and up, so that it counts at the press's tick.

    The program makes tick ``n`` while frame ``n - 1`` shows, from the frame's beginning on.
    """
    frame = clock_Hz // TICKS_PER_S
    down = (press.tick - DEBOUNCE_TICKS) * frame - frame // 2
    return [(down, pin, 0), (down + 4 * DEBOUNCE_TICKS * frame, pin, 1)]


def _duties(log: str, *, pins: Sequence[str], clock_Hz: int, ticks: int) -> NDArray[np.float64]:
    """Read the log: the share of every frame for which each pin is high, shape (ticks, pins).

    Frames are counted from the first slot on, by the clock alone.
    """
    told = [line.split()[1:] for line in log.splitlines() if line.startswith("@ ")]
    begins = next(int(cycle) for cycle, port, _ in told if port == "T")
    by_port: dict[str, list[tuple[int, int]]] = {}
    for cycle, port, value in told:
        by_port.setdefault(port, []).append((int(cycle), int(value)))
    frame = clock_Hz / TICKS_PER_S
    edges = begins + frame * np.arange(ticks + 1)
    duties = np.zeros((ticks, len(pins)))
    for place, pin in enumerate(pins):
        lines = by_port.get(pin[1], [(0, 0)])
        cycles = np.array([cycle for cycle, _ in lines], dtype=np.float64)
        high = np.array([value >> int(pin[2]) & 1 for _, value in lines], dtype=np.float64)
        spent = np.concatenate(([0.0], np.cumsum(np.diff(cycles) * high[:-1])))
        beyond = np.maximum(edges - cycles[-1], 0.0) * high[-1]
        duties[:, place] = np.diff(np.interp(edges, cycles, spent) + beyond) / frame
    return duties
