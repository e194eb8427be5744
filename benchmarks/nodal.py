"""Faults of a demo sub-assembly and whole models of up to 8,000 LEDs, solved in one go.

References, in the same run: as many dense systems of the same size by ``numpy.linalg.solve``, once
for each Newton step; and ngspice on the same deck, where it is installed.

Run: ``python benchmarks/nodal.py``
"""

import math
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import numpy as np

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit import nodal
from lamphouse.circuit.netlist import (
    OPEN_OHM,
    Bridge,
    JunctionState,
    Netlist,
    Role,
    Variation,
)
from lamphouse.circuit.spice import deck
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.circuit.wiring_up import SOURCE, whole_netlist, wire_up
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Pigtail, Supply, SupplyKind
from lamphouse.findings import Where

LEAST_OF = 5
FAULTS, FAULTS_LIMIT_S = 200, 0.3
MODEL, MODEL_LIMIT_S = 5000, 2.0
STEPS = 12
"""Dense systems in a row for the reference: about as many as Newton's method takes steps."""
GROWTH = (500, 1000, 2000, 4000, 8000)
SHELF = built_in()
WHERE = Where(item="wall")
SUPPLY = Supply(
    where=WHERE, kind=SupplyKind.PLUG_IN, voltage_V=12.0, tolerance=0.05, max_current_A=20.0
)
HABITS = CircuitHabits(where=WHERE)


def wall(name: str, *, leds: int) -> WiredSubAssembly:
    """Design and wire up a wall of LEDs of four colours."""
    types = [SHELF.led_types[f"{colour} 0603"] for colour in ("white", "warm white", "red", "blue")]
    sub = SubAssembly(
        name=name,
        where=WHERE,
        stand=None,
        panels=(),
        boxes=(),
        strands=(),
        lamps=tuple(
            Led(
                name=f"L{number}",
                where=WHERE,
                led_type=types[number % 4],
                x_mm=0.0,
                y_mm=0.0,
                current_A=0.001,
            )
            for number in range(leds)
        ),
        strings=(),
        board=None,
        pigtail=Pigtail(
            where=WHERE,
            plug=SHELF.plugs["2-pin 1.25 mm"],
            wire=SHELF.wires["30 AWG insulated"],
            length_mm=150.0,
        ),
    )
    package = SHELF.resistor_packages["axial 1/4 W"]
    circuit, _ = judge_sub_assembly(sub, supply=SUPPLY, habits=HABITS, package=package)
    if circuit is None:
        nothing = "the wall has no circuit"
        raise ValueError(nothing)
    return wire_up(circuit, sub=sub, supply=SUPPLY, habits=HABITS)


def faults_of(wired: WiredSubAssembly) -> list[Variation]:
    """List broken wires, wrong resistors, dead and turned LEDs, shorts and swaps, 200 in all."""
    net = wired.netlist
    faults = [
        Variation(name=f"open {one.name}", ohm={one.name: OPEN_OHM}) for one in net.resistances
    ]
    faults += [
        Variation(name=f"wrong {one.name}", ohm={one.name: one.ohm * factor})
        for one in net.resistances
        if one.role is Role.RESISTOR
        for factor in (0.1, 0.82, 1.2, 10.0)
    ]
    faults += [
        Variation(name=f"{state} {one.name}", junction={one.name: state})
        for one in net.junctions
        for state in JunctionState
    ]
    pairs = list(combinations([point.node for point in wired.test_points], 2))
    shorts = [
        Variation(name=f"short {a} {b}", bridges=(Bridge(first=a, second=b, ohm=0.1),))
        for a, b in pairs
    ]
    swaps = [
        Variation(
            name=f"swap {one.name} {other.name}",
            moved={(one.name, 0): other.anode, (other.name, 0): one.anode},
        )
        for one, other in combinations(net.junctions, 2)
    ]
    return (faults + [fault for pair in zip(shorts, swaps, strict=False) for fault in pair])[
        :FAULTS
    ]


def least_time(run: Callable[[], object]) -> float:
    """Give the best of some runs, in seconds."""
    times = []
    for _ in range(LEAST_OF):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def dense(*, systems: int, nodes: int) -> Callable[[], object]:
    """Make the reference: well-conditioned systems of that size, one batch for each step."""
    rng = np.random.default_rng(1)
    matrices = rng.uniform(-1, 1, (systems, nodes, nodes)) + nodes * np.eye(nodes)
    right = rng.uniform(-1, 1, (systems, nodes, 1))
    return lambda: [np.linalg.solve(matrices, right) for _ in range(STEPS)]


def by_ngspice(netlist: Netlist) -> float:
    """Time ngspice from start to end on a deck, in seconds; NaN where it is not installed."""
    program = shutil.which("ngspice")
    if program is None:
        return math.nan
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "model.cir"
        path.write_text(deck(netlist, title="model"))
        command = [program, "-b", str(path)]
        start = time.perf_counter()
        subprocess.run(command, capture_output=True, check=False, timeout=600)
        return time.perf_counter() - start


def time_faults() -> bool:
    """Print the figures of a sub-assembly's faults; tell whether they are within the limit."""
    wired = wall("wall", leds=14)
    faults = faults_of(wired)
    solved = nodal.solve(wired.netlist, faults)
    own_s = least_time(lambda: nodal.solve(wired.netlist, faults))
    alone_s = least_time(lambda: nodal.solve(wired.netlist))
    plain_s = least_time(dense(systems=len(faults), nodes=len(solved.nodes)))
    print(
        f"{len(faults)} faults of {len(solved.elements)} elements and {len(solved.nodes)} nodes: "
        f"{own_s:.3f} s (wanted under {FAULTS_LIMIT_S}); one solution {1e3 * alone_s:.1f} ms; "
        f"{STEPS} dense batches of that size {plain_s:.3f} s; ratio {own_s / plain_s:.2f}"
    )
    return own_s < FAULTS_LIMIT_S


def time_model() -> bool:
    """Print the figures of a whole model; tell whether they are within the limit."""
    walls = [wall(f"wall {number}", leds=25) for number in range(MODEL // 25)]
    joining_s = least_time(lambda: whole_netlist(walls))
    net = whole_netlist(walls)
    own_s = least_time(lambda: nodal.solve(net))
    solved = nodal.solve(net)
    spice_s = by_ngspice(net)
    print(
        f"{MODEL} LEDs, {len(solved.nodes)} nodes, {solved.current(SOURCE)[0]:.3f} A: joined in "
        f"{joining_s:.3f} s, solved in {own_s:.3f} s (wanted under {MODEL_LIMIT_S:g}); "
        f"ngspice on the same deck {spice_s:.2f} s; ratio {own_s / spice_s:.2f}"
    )
    return joining_s + own_s < MODEL_LIMIT_S


def print_growth() -> None:
    """Print how the time grows with the model; 1 is linear."""
    times = []
    for leds in GROWTH:
        net = whole_netlist([wall(f"wall {number}", leds=25) for number in range(leds // 25)])
        times.append(least_time(lambda net=net: nodal.solve(net)))
    power = np.polyfit(np.log(GROWTH), np.log(times), 1)[0]
    told = ", ".join(f"{leds}: {taken:.3f} s" for leds, taken in zip(GROWTH, times, strict=True))
    print(f"growth as the number of LEDs to the power {power:.2f} ({told})")


if __name__ == "__main__":
    within = [time_faults(), time_model()]
    print_growth()
    if not all(within):
        print("over the limit")
        raise SystemExit(1)
