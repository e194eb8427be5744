"""The fault finder on sub-assemblies of 24 to 1,000 LEDs, each in a process of its own.

Two answers each: without a reading, and with one string dark. The reference in the same run is the
smallest: of which every string is solved for itself. Wanted: 150 LEDs in less than ten times its
time and under 500 MiB, 1,000 LEDs in less than twenty times. ``unlike`` gives every LED its own
current, so that strings are alike in little.

Run: ``python benchmarks/fault_sizes.py``
"""

import subprocess
import sys
import time
from pathlib import Path

from nodal import HABITS, SHELF, SUPPLY, WHERE

from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.fault_finder import diagnose, open_book
from lamphouse.circuit.meter import Look, ProbeKind, Reading
from lamphouse.circuit.probes import probes_of
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Pigtail

SIZES = ((24, "alike"), (60, "alike"), (150, "alike"), (150, "unlike"), (1000, "alike"))
WANTED = {150: 10.0, 1000: 20.0}
MOST_MIB = 500
COLOURS = ("white", "warm white", "red", "blue")


def measure(count: int, kind: str) -> None:
    """Print seconds of processor time, the most memory in MiB, and what was solved."""
    types = [SHELF.led_types[f"{colour} 0603"] for colour in COLOURS]
    lamps = tuple(
        Led(
            name=f"L{number}",
            where=WHERE,
            led_type=types[number % len(types)],
            x_mm=0.0,
            y_mm=0.0,
            current_A=0.001 * (1.0 + 0.01 * number if kind == "unlike" else 1.0),
        )
        for number in range(count)
    )
    pigtail = Pigtail(
        where=WHERE,
        plug=SHELF.plugs["2-pin 1.25 mm"],
        wire=SHELF.wires["30 AWG insulated"],
        length_mm=150.0,
    )
    sub = SubAssembly(
        name="wall", where=WHERE, stand=None, panels=(), boxes=(), strands=(), lamps=lamps,
        strings=(), board=None, pigtail=pigtail,
    )  # fmt: skip
    package = SHELF.resistor_packages["axial 1/4 W"]
    circuit, _ = judge_sub_assembly(sub, supply=SUPPLY, habits=HABITS, package=package)
    wired = wire_up(circuit, sub=sub, supply=SUPPLY, habits=HABITS)
    dark = {led.name for led in chains_of(wired)[-1].leds}
    looks = [
        Reading(probe=one, value=Look.DARK if one.name in dark else Look.LIT)
        for one in probes_of(wired)
        if one.kind is ProbeKind.LIGHT
    ]
    times = []
    for readings in ((), looks):
        start = time.process_time()
        book = open_book(
            wired, circuit=circuit, supply=SUPPLY, habits=HABITS, led_types=types, readings=readings
        )
        found = diagnose(book, readings)
        times.append(time.process_time() - start)
    status = Path("/proc/self/status").read_text(encoding="ascii")
    most_MiB = int(status.split("VmHWM:")[1].split()[0]) // 1024
    right = {fault.string for fault in found.suspects[0].faults} == {
        chains_of(wired)[-1].resistor.name
    }
    print(
        f"{max(times):.2f} {most_MiB} {len(book.bundled.kept)} of {book.bundled.strings} strings, "
        f"{len(book.faults)} faults; the dark string {'first' if right else 'not first'}"
    )


def main() -> int:
    """Measure every size and print its time beside the smallest's."""
    reference, missed = 0.0, False
    for count, kind in SIZES:
        words = [sys.executable, __file__, str(count), kind]
        told = subprocess.run(words, capture_output=True, text=True, check=True).stdout
        seconds, most, solved = told.strip().split(" ", 2)
        reference = reference or float(seconds)
        ratio = float(seconds) / reference
        missed |= ratio > WANTED.get(count, ratio) or int(most) > MOST_MIB
        print(f"{count:5} LEDs {kind:6} {seconds} s, {ratio:.1f} times; {most} MiB; {solved}")
    print("missed" if missed else "reached")
    return int(missed)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        measure(int(sys.argv[1]), sys.argv[2])
    else:
        raise SystemExit(main())
