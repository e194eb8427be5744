"""How long 420 strands in 36 groups take: shared out, led, packed and lit, in process time.

Run: python benchmarks/strands.py. The last column is a ratio to a reference in the same run, the
sorting of four million numbers, so that runs on different machines can be compared.
"""

import time

import numpy as np

from lamphouse.fibres.packing import pack
from lamphouse.plan.kept import Kept
from lamphouse.plan.stranded import lead_strands, share_strands
from lamphouse.project.read import read_text

MODULES, GROUPS, ROWS, IN_ROW = 6, 6, 7, 10


def text():
    """Write six modules of eight boxes and seventy strands, each open to six groups."""
    lines = [
        "lamphouse: 1",
        "name: bench",
        "scale: 1:50",
        "date: 2026-11-25",
        "supply: {kind: plug-in supply, voltage: 12 V, max_current: 3 A}",
        "groups:",
    ]
    for module in range(MODULES):
        for group in range(GROUPS):
            source = "{led: white 3 mm, current: 5 mA}"
            lines.append(f"  g{module}{group}: {{in: module {module}, source: {source}}}")
    lines.append("sub_assemblies:")
    for module in range(MODULES):
        lines += [f"  module {module}:", "    panels:", "      face:"]
        lines += ["        outline: rectangle 400 x 120 mm", "        sheet: styrene 1.0 mm"]
        lines.append("        boxes:")
        for box in range(8):
            lines.append(
                f"          box {box}: {{inside: rectangle 30 x 24 mm, at: [{30 + 48 * box} mm, "
                "90 mm], depth: 16 mm, sheet: styrene 1.0 mm, finish: matt white paint}"
            )
        lines.append("        strands:")
        names = ", ".join(f"g{module}{group}" for group in range(GROUPS))
        for row in range(ROWS):
            fibre = ("0.25", "0.5", "0.75")[row % 3]
            lines.append(
                f"          M{module}R{row}: {{fibre: fibre {fibre} mm, at: [{20 + 3 * row} mm, "
                f"{5 + 9 * row} mm], count: {IN_ROW}, step: [36 mm, 0 mm], any_of: [{names}]}}"
            )
    return "\n".join(lines) + "\n"


def timed(work):
    """Give what a piece of work returns, and the process time it took."""
    begun = time.process_time()
    result = work()
    return result, time.process_time() - begun


def main():
    """Print one line for each part."""
    numbers = np.random.default_rng(1).random(4_000_000)
    _, reference = timed(lambda: np.sort(numbers))
    design, kept = read_text(text(), file="bench.yaml").design, Kept()
    (shared, _), sharing = timed(lambda: share_strands(design, kept=kept))
    (plan, _), leading = timed(
        lambda: lead_strands(shared, pieces=(), glows=(), controllers=None, kept=kept)
    )
    _, packing = timed(lambda: pack((0.5,) * 200))
    print(f"{len(plan.rows)} strands, {len(plan.bundles)} bundles; sorting {reference:.2f} s")
    for name, seconds in (
        ("share out", sharing),
        ("lead and light", leading),
        ("pack 200", packing),
    ):
        print(f"{name:<16}{seconds:7.2f} s {seconds / reference:8.1f}")


if __name__ == "__main__":
    main()
