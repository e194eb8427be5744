"""Times suggestions for Saltmarsh and for boxes that share an opening, in seconds and full solves.

Usage: ``python benchmarks/placing.py``. The second figure holds where the machine is noisy. The
first box also pays for loading the optimiser.
"""

import statistics
import time
from importlib.resources import files
from io import StringIO
from pathlib import Path

from ruamel.yaml import YAML

from lamphouse.circuit import splitter_place
from lamphouse.light import chambers, sound_suite, suite_glow, suite_ready
from lamphouse.light.box_scene import draw_box
from lamphouse.light.glow import solve
from lamphouse.plan.asking import asked
from lamphouse.plan.suggest import suggest
from lamphouse.project.read import read_text

SOUND = Path(__file__).parents[1] / "tests" / "rules" / "sound.yaml"

RUNS = 5
LIMIT_S = 1.0


def timed(work: object, *args: object, **kwargs: object) -> float:
    """Process time of one call. [s]."""
    begin = time.process_time()
    work(*args, **kwargs)
    return time.process_time() - begin


def shared() -> str:
    """Write a project whose two boxes share a slot; the second has no LED."""
    yaml = YAML(typ="safe", pure=True)
    whole = yaml.load(SOUND.read_text(encoding="utf-8"))
    top = whole["sub_assemblies"]["desk"]["panels"]["top"]
    del top["strands"]
    top["openings"]["bay"] = {
        "shape": "rectangle 12 x 16 mm", "at": ["58 mm", "25 mm"], "layers": ["opal film 60"],
    }  # fmt: skip
    top["boxes"]["screen box"]["passages"] = {
        "slot": {
            "into": "bay box", "from": ["47 mm", "20 mm"], "to": ["47 mm", "30 mm"],
            "low": "4 mm", "high": "10 mm",
        }
    }  # fmt: skip
    top["boxes"]["bay box"] = {
        "inside": "rectangle 18 x 28 mm", "at": ["58 mm", "25 mm"], "depth": "11 mm",
        "sheet": "styrene 1.0 mm", "finish": "matt white paint",
    }  # fmt: skip
    text = StringIO()
    yaml.dump(whole, text)
    return text.getvalue()


def forget() -> None:
    """Let go of all boxes that share openings, so that each suggestion makes them ready anew."""
    for kept in (
        chambers._made,
        chambers._made_coarsely,
        suite_ready._ready,
        suite_ready._rows_beyond,
        suite_glow._settled,
        sound_suite.solved_one,
        splitter_place._placed,
    ):
        kept.cache_clear()


def timed_boxes(text: str) -> None:
    """Time every box with LEDs of a project."""
    reading = read_text(text, file="project.yaml")
    design = reading.design
    for sub in design.sub_assemblies:
        for _, box in sub.boxes:
            if not box.leds:
                continue
            request = asked(design, shelf=reading.shelf, box=box.name)
            scene = draw_box(request.panel, box=box, currents={}).scene
            pairs = []
            for _ in range(RUNS):
                forget()
                pairs.append((timed(suggest, design, request=request), timed(solve, scene)))
            found = suggest(design, request=request)
            print(
                f"{box.name:<14} {statistics.median(own for own, _ in pairs):5.2f} s "
                f"{statistics.median(own / one for own, one in pairs):5.1f} solves "
                f"{len(found.choices)} choices; {found.proof.split(';')[0]}"
            )


def main() -> None:
    """Time every box."""
    text = (files("lamphouse.project") / "scenarios/saltmarsh/mended.yaml").read_text("utf-8")
    begin = time.process_time()
    import scipy.optimize  # noqa: F401 - timed

    print(f"loading the optimiser {time.process_time() - begin:5.2f} s")
    print(f"medians of {RUNS} runs; wanted under {LIMIT_S:g} s of process time each")
    timed_boxes(text)
    print("beside a box without LEDs that shares a slot with it")
    timed_boxes(shared())


if __name__ == "__main__":
    main()
