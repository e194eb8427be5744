"""Times suggestions for every Saltmarsh box, in seconds and in full solves of the same box.

Usage: ``python benchmarks/placing.py``. The second figure holds where the machine is noisy. The
first box also pays for loading the optimiser.
"""

import statistics
import time
from importlib.resources import files

from lamphouse.light.box_scene import draw_box
from lamphouse.light.glow import solve
from lamphouse.plan.asking import asked
from lamphouse.plan.suggest import suggest
from lamphouse.project.read import read_text

RUNS = 5
LIMIT_S = 1.0


def timed(work: object, *args: object, **kwargs: object) -> float:
    """Process time of one call. [s]."""
    begin = time.process_time()
    work(*args, **kwargs)
    return time.process_time() - begin


def main() -> None:
    """Time every box."""
    text = (files("lamphouse.project") / "scenarios/saltmarsh/mended.yaml").read_text("utf-8")
    reading = read_text(text, file="mended.yaml")
    design = reading.design
    begin = time.process_time()
    import scipy.optimize  # noqa: F401 - timed

    print(f"loading the optimiser {time.process_time() - begin:5.2f} s")
    print(f"medians of {RUNS} runs; wanted under {LIMIT_S:g} s of process time each")
    for sub in design.sub_assemblies:
        for _, box in sub.boxes:
            request = asked(design, shelf=reading.shelf, box=box.name)
            scene = draw_box(request.panel, box=box, currents={}).scene
            pairs = [
                (timed(suggest, design, request=request), timed(solve, scene)) for _ in range(RUNS)
            ]
            found = suggest(design, request=request)
            print(
                f"{box.name:<14} {statistics.median(own for own, _ in pairs):5.2f} s "
                f"{statistics.median(own / one for own, one in pairs):5.1f} solves "
                f"{len(found.choices)} choices; {found.proof.split(';')[0]}"
            )


if __name__ == "__main__":
    main()
