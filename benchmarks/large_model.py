"""Times the scale case: Gorge read, planned, and planned again after one change; its pack in parts.

Usage: ``python benchmarks/large_model.py [MODULES]``, six without. Times are process times; beside
each stands its ratio to the YAML library composing the same text in the same run, which holds on a
busy machine too. Memory is the most this process held by then.
"""

import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

from ruamel.yaml import YAML

from lamphouse.outputs import contents, pack, pdf
from lamphouse.plan import make
from lamphouse.plan.kept import Kept
from lamphouse.project.read import read_text
from lamphouse.project.starter import grown_text

T = TypeVar("T")
WANTED_S = {"check": 8.0, "again": 1.0, "pack": 60.0}
"""For six modules: the first reading and plan, one change, everything of the pack."""
WANTED_MIB = 300.0
"""With the plan and all its drawings made, before pages are set."""
CHANGES = {
    "a box less deep": ("depth: 20 mm", "depth: 19 mm"),
    "LEDs of a box dimmer": ("current: 0.8 mA", "current: 0.7 mA"),
    "a row of strands moved": ("at: [22 mm, 18 mm], count: 7", "at: [22 mm, 19 mm], count: 7"),
    "a comment": ("accepted: []", "accepted: []  # none"),
}


def most_MiB() -> float:
    """Give the most memory this process held by now."""
    marks = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    return float(marks["VmHWM"].split()[0]) / 1024


def timed(work: Callable[[], T]) -> tuple[float, T]:
    """Give the process time of some work, and what it made."""
    begin = time.process_time()
    made = work()
    return time.process_time() - begin, made


class Told:
    """Prints lines, and remembers what was slower or larger than wanted."""

    def __init__(self, *, unit_s: float, modules: int) -> None:
        self.unit_s, self.share = unit_s, modules / 6.0
        self.missed = False

    def line(self, what: str, took_s: float, wanted: str = "") -> None:
        """Print one line."""
        limit_s = WANTED_S.get(wanted, 0.0) * self.share
        self.missed |= bool(limit_s) and took_s > limit_s
        told = f" (wanted under {limit_s:g})" if limit_s else ""
        print(
            f"{what:<28} {took_s:7.2f} s{told:<20} ratio {took_s / self.unit_s:6.1f} "
            f"{most_MiB():6.0f} MiB",
            flush=True,
        )


def parts_of_pack(plan: make.Plan) -> Iterator[tuple[str, float]]:
    """Make the parts of a pack, and give each with its process time."""
    took_s, plan = timed(lambda: pack.completed(plan))
    yield "boards, readings, sheets", took_s
    yield "pieces for cutters", timed(lambda: list(pack._pieces(plan)))[0]
    took_s, document = timed(lambda: contents.document(plan, runs=None))
    yield "drawings and tables", took_s
    yield "plan.json", timed(lambda: list(pack._plan(plan)))[0]
    yield "pages set", timed(lambda: pdf.set_pages(document, day=plan.design.day))[0]


def main() -> int:
    """Print a line for each step."""
    modules = int(sys.argv[1]) if len(sys.argv) > 1 else 6
    text = grown_text("gorge", "mended.yaml", modules=modules)
    unit_s = min(timed(lambda: YAML(typ="safe", pure=True).compose(text))[0] for _ in range(3))
    print(f"{modules} modules, {len(text) / 1024:.0f} KiB; the YAML library alone {unit_s:.3f} s")
    told, kept = Told(unit_s=unit_s, modules=modules), Kept()
    read_s, reading = timed(lambda: read_text(text, file="mended.yaml"))
    told.line("read", read_s)
    design = reading.design
    if design is None:
        print(reading.in_the_way[0])
        return 1
    plan_s, plan = timed(lambda: make.plan(design, places=reading.places, kept=kept))
    told.line("read and planned", read_s + plan_s, "check")
    for what, (old, new) in CHANGES.items():
        changed = read_text(text.replace(old, new, 1), file="mended.yaml")
        same = changed.design == design
        if changed.design is None or (same and "comment" not in what):
            print(f"{what}: nothing was changed")
            return 1
        other = changed.design
        again_s, _ = timed(
            lambda other=other, places=changed.places: make.plan(other, places=places, kept=kept)
        )
        told.line(f"again, {what}", again_s, "again")
    whole_s = read_s + plan_s
    for what, took_s in parts_of_pack(plan):
        if what == "plan.json":
            told.missed |= most_MiB() > WANTED_MIB * told.share
        whole_s += took_s
        told.line(what, took_s)
    told.line("all of the pack", whole_s, "pack")
    return 1 if told.missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
