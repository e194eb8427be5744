"""Design and prove 1,000 LEDs in strings, against the same corners solved by scipy's brentq.

The plain solution gets the finished strings and solves only their three corners, each string by
itself: no grouping, no choice of resistors, no common lead.

Run: ``python benchmarks/circuit_strings.py``
"""

import math
import time

from scipy.optimize import brentq

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.curve import fit, shift_band
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Pigtail, Supply, SupplyKind
from lamphouse.findings import Where

LEAST_OF = 5
LIMIT_S = 0.3
SHELF = built_in()
SUPPLY = Supply(
    where=Where(item="supply"),
    kind=SupplyKind.PLUG_IN,
    voltage_V=12.0,
    tolerance=0.05,
    max_current_A=5.0,
)
HABITS = CircuitHabits(where=Where(item="circuit"))
PACKAGE = SHELF.resistor_packages["axial 1/4 W"]


def model(*, walls: int, leds_each: int, currents_A: tuple[float, ...]) -> list[SubAssembly]:
    """Walls of LEDs of four colours, with currents by turns."""
    types = [SHELF.led_types[f"{colour} 0603"] for colour in ("white", "warm white", "red", "blue")]
    where = Where(item="wall")
    return [
        SubAssembly(
            name=f"wall {wall}",
            where=where,
            stand=None,
            panels=(),
            boxes=(),
            strands=(),
            lamps=tuple(
                Led(
                    name=f"L{number}",
                    where=where,
                    led_type=types[number % 4],
                    x_mm=0.0,
                    y_mm=0.0,
                    current_A=currents_A[number // 4 % len(currents_A)],
                )
                for number in range(leds_each)
            ),
            strings=(),
            board=None,
            pigtail=Pigtail(
                where=where,
                plug=SHELF.plugs["2-pin 1.25 mm"],
                wire=SHELF.wires["30 AWG insulated"],
                length_mm=150.0,
            ),
        )
        for wall in range(walls)
    ]


def design(subs: list[SubAssembly]) -> list[SubAssemblyCircuit]:
    """Everything this project does for the strings: grouping, resistors, proof, rules."""
    circuits = [
        judge_sub_assembly(sub, supply=SUPPLY, habits=HABITS, package=PACKAGE)[0] for sub in subs
    ]
    return [circuit for circuit in circuits if circuit]


def plain(circuits: list[SubAssemblyCircuit]) -> list[float]:
    """Three corners of each string by a bracketing root finder."""
    currents = []
    for circuit in circuits:
        for string in circuit.strings:
            curves = [fit(led.led_type) for led in string.leds]
            shifts = [
                shift_band(
                    led.led_type,
                    coldest_degC=HABITS.coldest_degC,
                    warmest_degC=HABITS.warmest_degC,
                )
                for led in string.leds
            ]
            for corner, side in ((2, -1.0), (1, 0.0), (0, 1.0)):
                source_V = SUPPLY.voltage_V * (1.0 + side * SUPPLY.tolerance)
                ohm = string.resistor_ohm * (1.0 - side * HABITS.resistor_tolerance)
                ohm += sum(curve.series_ohm for curve in curves)

                def excess(
                    current_A: float,
                    *,
                    curves=curves,
                    shifts=shifts,
                    corner=corner,
                    ohm=ohm,
                    source_V=source_V,
                ) -> float:
                    drops = sum(
                        curve.offset_V + shift[corner] + curve.slope_V * math.log(current_A)
                        for curve, shift in zip(curves, shifts, strict=True)
                    )
                    return drops + ohm * current_A - source_V

                currents.append(brentq(excess, 1e-15, source_V / ohm, xtol=1e-15, rtol=1e-12))
    return currents


def least_time(run, argument) -> float:
    """Give the best of some runs, in seconds."""
    times = []
    for _ in range(LEAST_OF):
        start = time.perf_counter()
        run(argument)
        times.append(time.perf_counter() - start)
    return min(times)


def report(title: str, subs: list[SubAssembly]) -> float:
    """Print the figures of one model, and give the time of the design in seconds."""
    start = time.perf_counter()
    circuits = design(subs)
    first_s = time.perf_counter() - start
    strings = sum(len(circuit.strings) for circuit in circuits)
    own_s, plain_s = least_time(design, subs), least_time(plain, circuits)
    print(
        f"{title}: 1,000 LEDs in {strings} strings designed and proved in {own_s:.3f} s "
        f"(first run {first_s:.3f} s); the corners alone by brentq {plain_s:.3f} s; "
        f"ratio {own_s / plain_s:.2f}"
    )
    return own_s


if __name__ == "__main__":
    usual = report("20 walls", model(walls=20, leds_each=50, currents_A=(0.001, 0.002, 0.005)))
    report("one wall", model(walls=1, leds_each=1000, currents_A=(0.001, 0.002, 0.005)))
    every = tuple(0.001 + 1e-5 * number for number in range(1000))
    report("no two alike", model(walls=1, leds_each=1000, currents_A=every))
    if usual > LIMIT_S:
        print(f"over the limit of {LIMIT_S} s")
        raise SystemExit(1)
