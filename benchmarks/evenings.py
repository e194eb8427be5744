"""Plan the evenings of Saltmarsh anew, against laying its steps out once in their given order.

The plain solution takes the steps as they stand and gives each the first time it can have.

Run: ``python benchmarks/evenings.py``
"""

import statistics
import time
from collections.abc import Callable
from datetime import date, timedelta

from lamphouse.build.schedule import schedule
from lamphouse.design.whole import Evening
from lamphouse.plan import make
from lamphouse.plan.ordered import order_of
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text

RUNS = 7
LIMIT_S = 0.3


def timed(work: Callable[[], object]) -> float:
    """Give the processor time of a piece of work, in seconds."""
    begin = time.process_time()
    work()
    return time.process_time() - begin


def main() -> None:
    """Print both and their ratio."""
    text = demo_text("saltmarsh", "mended.yaml")
    reading = read_text(text, file="p.yaml", own_pictures=demo_pictures("saltmarsh"))
    if reading.design is None:
        message = "the demo is broken"
        raise SystemExit(message)
    order = order_of(make.plan(reading.design))
    free = [Evening(day=date(2026, 11, 27) + timedelta(days=2 * n), hours=2.0) for n in range(60)]
    pairs = [
        (
            timed(lambda: schedule(order, evenings=free)),
            timed(lambda: schedule(order, evenings=free, tries=1)),
        )
        for _ in range(RUNS)
    ]
    own_s = statistics.median(own for own, _ in pairs)
    ratio = statistics.median(own / plain for own, plain in pairs)
    print(
        f"{len(order.steps)} steps: {own_s:.3f} s process (wanted under {LIMIT_S:g}), "
        f"ratio {ratio:.1f} to one order laid out"
    )


if __name__ == "__main__":
    main()
