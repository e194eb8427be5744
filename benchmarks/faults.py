"""A thousand simulated faults of the demo's sub-assemblies, found by two suggested readings.

Each fault is drawn by its weight, with hidden spread even within the bounds of the design, a meter
of 1 percent and 2 digits whose error is even within them, and an eye that wavers. The maker comes
with what is seen, which lights are dark, dim or too bright, and takes the two readings suggested. A
fault counts as found when it, or the group that no reading can tell it from, is among the first
three. Two stricter counts stand beside: the look at the lights as one of the two readings, and no
look at all. The reference in the same run is the ranking by weight alone, without a reading.

Run: ``python benchmarks/faults.py [faults]``
"""

import sys
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path

import numpy as np

from lamphouse.circuit import nodal
from lamphouse.circuit.fault_finder import Diagnosis, FaultBook, diagnose
from lamphouse.circuit.fault_kinds import Fault, FaultKind
from lamphouse.circuit.foretold import EVEN, Foretold, light_currents, solvable
from lamphouse.circuit.meter import LOOKS, Meter, Probe, ProbeKind, Reading, look_shares
from lamphouse.circuit.netlist import GROUND, Bridge, Variation
from lamphouse.circuit.next_reading import ALL_LIGHTS
from lamphouse.plan import make
from lamphouse.plan.fault_finding import fault_book
from lamphouse.project.read import read_project
from lamphouse.record import replace

COUNT, WANTED, FIRST, READINGS = 1000, 0.95, 3, 2
SOLVED, SOLVED_LIMIT_S = 200, 0.3
SEED = 7
GENTLE = Meter(slip=1e-9)
"""For the eye that simulates: it wavers, but does not slip."""


@dataclass(slots=True)
class Tally:
    """Ranks of the true fault under one way of reading."""

    grouped: list[int] = field(default_factory=list)
    raw: list[int] = field(default_factory=list)
    kinds: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    sure: list[tuple[float, bool]] = field(default_factory=list)
    """How probable the first suspect was held, and whether it was right."""


def books() -> list[FaultBook]:
    """Open the book of every sub-assembly of the demo."""
    path = files("lamphouse.project") / "scenarios" / "saltmarsh" / "mended.yaml"
    reading = read_project(Path(str(path)))
    if reading.design is None:
        unread = "the demo cannot be read"
        raise ValueError(unread)
    plan = make.plan(reading.design)
    return [fault_book(plan, circuit.sub_assembly) for circuit in plan.circuits]


def hidden(book: FaultBook, fault: Fault, *, rng: np.random.Generator) -> Variation:
    """Draw the parts of one sub-assembly, even within their bounds, with the fault in it."""
    net, spread, given = solvable(book.wired.netlist), book.spread, fault.variation
    source = net.sources[0]

    def even(deviation: float) -> float:
        return float(rng.uniform(-1.0, 1.0)) * deviation / EVEN

    air = float(rng.uniform(-1.0, 1.0)) / EVEN
    right = {one.name: one.ohm for one in net.resistances}
    return replace(
        given,
        ohm={
            name: given.ohm.get(name, right[name]) * (1.0 + even(share))
            for name, share in (spread.ohm | spread.wires).items()
        },
        voltage_V={
            source.name: given.voltage_V.get(source.name, source.voltage_V)
            * (1.0 + even(spread.supply))
        },
        shift_V={
            name: given.shift_V.get(name, 0.0) + even(own) + spread.drift_V[name] * air
            for name, own in spread.led_V.items()
        },
    )


def shown(
    book: FaultBook, probe: Probe, variation: Variation, *, rng: np.random.Generator
) -> list[Reading]:
    """Take a reading of a simulated sub-assembly."""
    net, meter = solvable(book.wired.netlist), book.meter
    if probe.kind is ProbeKind.LIGHT:
        lights = book.foretold.lights()
        names = [light.first for light in lights]
        own, right = light_currents(net, [variation, Variation()], names=names)
        readings = []
        for light, ratio in zip(lights, own / right, strict=True):
            shares = look_shares(np.array(ratio), meter=GENTLE)
            look = LOOKS[int(rng.choice(len(LOOKS), p=shares / shares.sum()))]
            readings.append(Reading(probe=light, value=look))
        return readings
    if probe.kind is ProbeKind.RESISTANCE:
        value = ohms(book, probe, variation)
    elif probe.kind is ProbeKind.CURRENT:
        value = float(nodal.solve(net, [variation]).current(probe.first)[0])
        value = -value if probe.turned else value
    else:
        second = probe.second or GROUND
        load = Bridge(first=probe.first, second=second, ohm=meter.load_ohm)
        own = nodal.solve(net, [replace(variation, bridges=(*variation.bridges, load))])
        value = float((own.voltage(probe.first) - own.voltage(second))[0])
        value = 0.0 if np.isnan(value) else value
    limit = float(meter.limits(np.array(value), kind=probe.kind))
    error = float(rng.uniform(-limit, limit)) if np.isfinite(value) else 0.0
    least = 0.0 if probe.kind is ProbeKind.RESISTANCE else -np.inf
    return [Reading(probe=probe, value=max(value + error, least))]


def ohms(book: FaultBook, probe: Probe, variation: Variation) -> float:
    """Measure a resistance with the supply taken out and 0.2 V between the probes."""
    net = solvable(book.wired.netlist)
    source = net.sources[0].name
    moved = {**variation.moved, (source, 0): probe.first, (source, 1): probe.second}
    inside = 1e3
    probed = replace(variation, moved=moved, voltage_V={source: 0.2}, source_ohm={source: inside})
    current = float(nodal.solve(net, [probed]).current(source)[0])
    ohm = 0.2 / max(current, 1e-12) - inside
    return ohm if ohm < 2e7 else float("inf")


def ranks(found: Diagnosis, truth: Fault) -> tuple[int, int]:
    """Give the place of the true fault's group, and of the fault itself among all faults."""
    group = next(
        place
        for place, suspect in enumerate(found.suspects, start=1)
        if any(fault.name == truth.name for fault in suspect.faults)
    )
    before = sum(len(suspect.faults) for suspect in found.suspects[: group - 1])
    names = [fault.name for fault in found.suspects[group - 1].faults]
    return group, before + names.index(truth.name) + 1


def find(
    book: FaultBook,
    truth: Fault,
    *,
    rng: np.random.Generator,
    seen: bool,
    solved: dict[Probe, Foretold],
    first: dict[str, Diagnosis],
) -> Diagnosis:
    """Follow the suggestions; ``seen`` gives the lights beforehand."""
    variation = hidden(book, truth, rng=rng)
    readings: list[Reading] = []
    if seen and book.foretold.lights():
        readings = shown(book, ALL_LIGHTS, variation, rng=rng)
    elif book.wired.sub_assembly not in first:
        first[book.wired.sub_assembly] = diagnose(book)
    start = not readings
    found = first[book.wired.sub_assembly] if start else diagnose(book, readings, solved=solved)
    for _ in range(READINGS):
        if found.then is None:
            break
        readings += shown(book, found.then.probe, variation, rng=rng)
        found = diagnose(book, readings, solved=solved)
    return found


def tally(all_books: Sequence[FaultBook], *, count: int, seen: bool, words: str) -> Tally:
    """Find so many drawn faults and print how it went."""
    rng = np.random.default_rng(SEED)
    result = Tally()
    solved: list[dict[Probe, Foretold]] = [{} for _ in all_books]
    first: dict[str, Diagnosis] = {}
    start = time.perf_counter()
    for number in range(count):
        place = number % len(all_books)
        book = all_books[place]
        weights = np.array([fault.weight for fault in book.faults])
        truth = book.faults[int(rng.choice(len(weights), p=weights / weights.sum()))]
        found = find(book, truth, rng=rng, seen=seen, solved=solved[place], first=first)
        group, raw = ranks(found, truth)
        result.grouped.append(group)
        result.raw.append(raw)
        result.kinds[truth.kind].append(group)
        result.sure.append((found.suspects[0].share, group == 1))
    taken_s = time.perf_counter() - start
    grouped, alone = np.array(result.grouped), np.array(result.raw)
    print(
        f"{words}: in the first {FIRST} {np.mean(grouped <= FIRST):.1%} with groups, "
        f"{np.mean(alone <= FIRST):.1%} raw; first {np.mean(grouped == 1):.1%}; mean rank "
        f"{grouped.mean():.2f}, raw {alone.mean():.2f}; {1e3 * taken_s / count:.0f} ms each"
    )
    return result


def print_kinds(result: Tally) -> None:
    """Print the share found, by kind of fault, and how sure it was against how right."""
    for kind in FaultKind:
        own = np.array(result.kinds.get(kind, []))
        if len(own):
            print(f"  {kind:32} {len(own):4}  {np.mean(own <= FIRST):6.1%}  mean {own.mean():.2f}")
    share, right = (np.array(column, dtype=float) for column in zip(*result.sure, strict=True))
    for low, high in ((0.0, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 0.95), (0.95, 1.01)):
        within = (share >= low) & (share < high)
        if within.any():
            print(
                f"  held {share[within].mean():.0%} probable: right {right[within].mean():.0%} "
                f"of {within.sum()}"
            )


def least_time(book: FaultBook) -> float:
    """Give the best time of some for solving 200 faults, in seconds."""
    net = solvable(book.wired.netlist)
    variations = [fault.variation for fault in book.faults[:SOLVED]]
    times = []
    for _ in range(5):
        start = time.perf_counter()
        nodal.solve(net, variations)
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    start = time.perf_counter()
    opened = books()
    opened_s = time.perf_counter() - start
    for one in opened:
        print(
            f"{one.wired.sub_assembly}: {len(one.faults)} faults in {len(set(one.groups))} groups, "
            f"{len(one.foretold.probes)} readings"
        )
    largest = max(opened, key=lambda one: len(one.faults))
    solved_s = least_time(largest)
    print(
        f"read, planned and opened in {opened_s:.1f} s; {SOLVED} faults of "
        f"{largest.wired.sub_assembly} solved in {solved_s:.3f} s (wanted under {SOLVED_LIMIT_S})"
    )
    by_weight = []
    for one in opened:
        found = diagnose(one)
        weights = np.array([fault.weight for fault in one.faults])
        held = {s.faults[0].name: s.share for s in found.suspects[:FIRST]}
        by_weight.append(sum(held.values()))
    print(f"by weight alone, without a reading: in the first {FIRST} {np.mean(by_weight):.1%}")
    main = tally(opened, count=count, seen=True, words="lights seen, then two readings")
    print_kinds(main)
    tally(opened, count=count, seen=False, words="two readings, all lights seen being one")
    blind = [replace(one, foretold=one.foretold.only(one.foretold.numbers())) for one in opened]
    tally(blind, count=count, seen=False, words="two of the meter, no light seen")
    if np.mean(np.array(main.grouped) <= FIRST) < WANTED or solved_s > SOLVED_LIMIT_S:
        print("missed")
        raise SystemExit(1)
