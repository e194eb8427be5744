"""Lay, load and judge the loom of a large model, against the same runs counted in plain Python.

48 sub-assemblies with 200 runs on four feeds. The plain solution gets the splitter boards' places
and only adds up lengths and currents.

Run: ``python benchmarks/loom.py``
"""

import math
import time

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import Band, SubAssemblyCircuit
from lamphouse.circuit.laid_loom import END_MM, lay_loom
from lamphouse.circuit.loom_load import run_ohms
from lamphouse.circuit.loom_runs import Loom, LoomLoad, Member
from lamphouse.circuit.loom_verdict import judge_loom
from lamphouse.circuit.plug_pins import PinUse
from lamphouse.design.loom import FeedWish, LoomWishes
from lamphouse.design.place import Room, Stand
from lamphouse.design.supply import CircuitHabits, Pigtail, Supply, SupplyKind
from lamphouse.findings import Where

LEAST_OF = 5
LIMIT_S = 1.0
SUBS, FEEDS = 48, 4
SHELF = built_in()
WHERE = Where(item="model")
ROOM = Room(
    width_mm=3000.0,
    depth_mm=800.0,
    height_mm=600.0,
    room_light_lx=50.0,
    viewing_distance_mm=1000.0,
)
SUPPLY = Supply(
    where=WHERE, kind=SupplyKind.PLUG_IN, voltage_V=12.0, tolerance=0.05, max_current_A=6.0
)
HABITS = CircuitHabits(where=WHERE)


def members() -> tuple[Member, ...]:
    """Walls on a grid, in turn with two to six pins."""
    means = ("common", "return", "random", "chase", "beacon", "flicker")
    return tuple(
        Member(
            name=f"wall {number}",
            where=Where(item=f"wall {number}"),
            stand=Stand(x_mm=60.0 + number % 12 * 240.0, y_mm=80.0 + number // 12 * 200.0),
            pigtail=Pigtail(
                where=WHERE,
                plug=SHELF.plugs["6-pin 1.25 mm"],
                wire=SHELF.wires["28 AWG insulated"],
                length_mm=200.0,
            ),
            pins=tuple(
                PinUse(pin=pin, means=what, positive=pin == 1)
                for pin, what in enumerate(means[: 2 + number % 5], start=1)
            ),
            wanted_A=0.02 + 0.001 * number,
        )
        for number in range(SUBS)
    )


def wishes(walls: tuple[Member, ...]) -> LoomWishes:
    """Four feeds of twelve."""
    each = SUBS // FEEDS
    return LoomWishes(
        where=WHERE,
        trunk=SHELF.wires["24 AWG insulated"],
        feeds=tuple(
            FeedWish(
                name=f"F{number + 1}",
                where=WHERE,
                sub_assemblies=tuple(
                    wall.name for wall in walls[number * each : (number + 1) * each]
                ),
                fuse_A=1.0,
            )
            for number in range(FEEDS)
        ),
    )


def circuits(walls: tuple[Member, ...]) -> tuple[SubAssemblyCircuit, ...]:
    """Give what each wall draws."""
    return tuple(
        SubAssemblyCircuit(
            sub_assembly=wall.name,
            where=wall.where,
            strings=(),
            total_A=Band(low=0.8 * wall.wanted_A, nominal=wall.wanted_A, high=1.2 * wall.wanted_A),
            lead_ohm=0.5,
            lead_drop_V=0.01,
        )
        for wall in walls
    )


def whole(walls: tuple[Member, ...], asked: LoomWishes) -> tuple[Loom, LoomLoad]:
    """Everything this project does for a loom: places, runs, loads, rules."""
    loom = lay_loom(walls, wishes=asked, room=ROOM)
    assert loom is not None  # noqa: S101  the walls all stand
    run_ohms(loom, members=walls)
    load, _ = judge_loom(
        loom,
        members=walls,
        circuits=circuits(walls),
        wishes=asked,
        supply=SUPPLY,
        habits=HABITS,
        room=ROOM,
    )
    return loom, load


def plain(loom: Loom, asked: LoomWishes) -> float:
    """Add up the wire."""
    drawn = {socket.sub_assembly: socket.drawn_mm for socket in loom.sockets}
    return sum(
        5.0
        * math.ceil(
            (
                (math.dist(run.start_mm, run.end_mm) + drawn.get(run.sub_assembly, 0.0))
                * (1.0 + asked.slack)
                + 2 * END_MM
            )
            / 5.0
            - 1e-9
        )
        for run in loom.runs
    )


def least_s(work: object, *args: object) -> float:
    """Time the fastest of a few runs."""
    times = []
    for _ in range(LEAST_OF):
        begin = time.process_time()
        work(*args)  # type: ignore[operator]
        times.append(time.process_time() - begin)
    return min(times)


def main() -> None:
    """Print the figures."""
    walls = members()
    asked = wishes(walls)
    loom, _ = whole(walls, asked)
    wire_mm = sum(run.length_mm for run in loom.runs)
    own_s, plain_s = least_s(whole, walls, asked), least_s(plain, loom, asked)
    print(f"{len(loom.sockets)} sub-assemblies, {len(loom.runs)} runs, {wire_mm / 1000:.1f} m")
    print(f"wire counted in plain Python: {plain(loom, asked) / 1000:.1f} m")
    print(f"laid, loaded and judged in {own_s * 1e3:.1f} ms (wanted under {LIMIT_S * 1e3:.0f})")
    print(f"ratio to adding up the lengths alone: {own_s / plain_s:.0f}")


if __name__ == "__main__":
    main()
