"""Lay out boards: how near the fewest holes, how much copper, how long, over several seeds.

``least`` counts leads, holes under lying bodies, and one hole for each wire: no board has fewer.
``smallest`` is ``yes`` where no rectangle within the space has a number of holes between that and
the one found: the board is then proved the smallest. ``steps`` are the pads that copper goes on to,
against one fewer than the leads and wires of each net, which no layout undercuts. The reference is
the proof of the same board, run in turn with it.

Run: ``python benchmarks/boards.py``
"""

import time
from pathlib import Path

from lamphouse.board.annealing import Ways
from lamphouse.board.demand import BoardDemand
from lamphouse.board.lay_board import lay_board, sizes
from lamphouse.board.legs import Posture, poses
from lamphouse.board.proof import faults_of
from lamphouse.board.soldered import BoardLayout
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.plan.boarded import demands
from lamphouse.plan.make import plan
from lamphouse.project.read import read_project

SEEDS = (1, 2, 3, 4, 5)
LIMIT_S = 5.0
SCENARIOS = Path(__file__).parents[1] / "src" / "lamphouse" / "project" / "scenarios"


def is_smallest(demand: BoardDemand, layout: BoardLayout) -> bool:
    """Tell whether every smaller rectangle of the space is ruled out by count or by length."""
    standing = any(part.posture is Posture.STANDING for part in layout.parts)
    long = max(
        min(
            max(abs(step) for pair in pose.steps for step in pair)
            for pose in poses(part.body, standing=standing)
        )
        for part in demand.parts
    )
    return not any(
        columns * rows < layout.columns * layout.rows and max(columns, rows) > long
        for columns, rows in sizes(demand, ways=Ways(standing=standing, links=False))
    )


def steps_of(layout: BoardLayout) -> int:
    """Count the pads that copper goes on to."""
    runs = [(one.start, one.end) for one in (*layout.tails, *layout.bare_runs)]
    runs += [(one.first, one.second) for one in layout.bridges]
    return sum(abs(a.row - b.row) + abs(a.column - b.column) for a, b in runs)


def report(demand: BoardDemand, wired: WiredSubAssembly) -> None:
    """Print one board."""
    laid, taken = [], []
    for seed in SEEDS:
        begin = time.process_time()
        layout = lay_board(demand, seed=seed)
        taken.append(time.process_time() - begin)
        if layout is not None:
            laid.append(layout)
    if not laid:
        print(f"{demand.sub_assembly:<18} fits no board")
        return
    first = laid[0]
    begin = time.process_time()
    faults = [faults_of(layout, wired=wired, space_mm=demand.space_mm) for layout in laid]
    proof_s = (time.process_time() - begin) / len(laid)
    fewest = sum(len(part.nets) for part in demand.parts) + len(demand.wires) - len(demand.nets())
    found = ", ".join(str(layout.columns * layout.rows) for layout in laid)
    print(
        f"{demand.sub_assembly:<18} {first.columns:2} x {first.rows:2} holes, least "
        f"{first.least_holes:3}, smallest {'yes' if is_smallest(demand, first) else 'open':<4} "
        f"seeds {found:<20} steps {steps_of(first):2} (least {fewest:2}), links "
        f"{len(first.links)}, {1000 * max(taken):5.0f} ms (wanted under {1000 * LIMIT_S:.0f}), "
        f"ratio to its proof {max(taken) / max(proof_s, 1e-6):5.1f}, "
        f"{'proved' if not any(faults) else faults}"
    )


def main() -> None:
    """Print every board of the demo projects."""
    for file in sorted(SCENARIOS.glob("*/mended.yaml")):
        reading = read_project(file)
        if reading.design is not None:
            for demand, wired in demands(plan(reading.design)):
                report(demand, wired)


if __name__ == "__main__":
    main()
