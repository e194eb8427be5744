"""Ask two published renderers for every box of known luminances, and store what they found.

    python benchmarks/witness_light_references.py path_tracer
    python benchmarks/witness_light_references.py radiance

A development script: it needs the extra ``witness``. It fills
``tests/reference/light_scenes/renderers/``, one file for each program, and asks only for what
is missing there; delete a record to make it again. Neither program shares code with the solver or
the random walks; both get their boxes from the records of ``lamphouse.light.scene``.
"""

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from witnesses.sighting import Sighting

from lamphouse.light.scene import Box
from light.boxes import SCENES, box_of, scenes

STORES = ("light_scenes.json", "stress.json", "fresh/scenes.json")
FOLDER = SCENES / "renderers"

RUNS = 16
"""Runs of each opening; the standard errors come from their scatter."""

SPOTS = 48

Ask = Callable[[Box, int, int, int], Sighting | None]
"""Box, number of the opening, paths for each of 48 spots and run, seed; None: not said."""


def ask_path_tracer(threads: int) -> tuple[str, Ask]:
    """Make ready to ask Mitsuba."""
    import drjit
    from witnesses import path_tracer

    drjit.set_thread_count(threads)

    def ask(box: Box, number: int, paths: int, seed: int) -> Sighting | None:
        if not path_tracer.can_say(box):
            return None
        staged = path_tracer.stage(box, number=number)
        each = paths * SPOTS // staged.spots
        return path_tracer.sighting(staged, paths=each, runs=RUNS, seed=seed)

    return f"mitsuba {version('mitsuba')}, {path_tracer.VARIANT}, path", ask


def ask_radiance() -> tuple[str, Ask]:
    """Make ready to ask Radiance."""
    from witnesses import radiance
    from witnesses.where_seen import spot_count

    def ask(box: Box, number: int, paths: int, seed: int) -> Sighting | None:
        if not radiance.can_say(box):
            return None
        with tempfile.TemporaryDirectory() as folder:
            staged = radiance.stage(box, folder=Path(folder))
            each = paths * SPOTS // spot_count(box.apertures[number].shape)
            seen, _ = radiance.look(staged, number=number, paths=each, runs=RUNS, seed=seed)
            return seen

    settings = " ".join((*radiance.POINT_LAMPS, *radiance.PATHS))
    return f"rtrace of pyradiance {version('pyradiance')}, {settings}", ask


def record_of(name: str, *, seen: Sighting) -> dict:
    """Give the stored record of an opening."""
    record = {
        "aperture": name,
        "mean_cd_m2": float(f"{seen.mean_cd_m2:.6g}"),
        "mean_se": float(f"{seen.mean_error_cd_m2:.2g}"),
        "paths": seen.paths,
    }
    if len(seen.spot_cd_m2) == SPOTS:
        for key, figures, values in (
            ("grid_cd_m2", 5, seen.spot_cd_m2),
            ("grid_se_cd_m2", 2, seen.spot_error_cd_m2),
        ):
            rounded = [float(f"{value:.{figures}g}") for value in values]
            record[key] = np.reshape(rounded, (6, 8)).tolist()
    return record


def lines_of(kept: dict) -> str:
    """Write what is kept as JSON, an opening a line."""
    heads = [f'"{key}": {json.dumps(kept[key])}' for key in ("program", "seed", "runs")]
    boxes = [
        f'"{name}": [\n' + ",\n".join(map(json.dumps, records)) + "\n]"
        for name, records in kept["scenes"].items()
    ]
    return "{\n" + ",\n".join([*heads, '"scenes": {\n' + ",\n".join(boxes) + "\n}"]) + "\n}\n"


def main() -> None:
    """Ask for what is missing."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("program", choices=("path_tracer", "radiance"))
    parser.add_argument("--only", default="", help="part of a scene's name")
    parser.add_argument("--paths", type=int, help="for each of 48 spots and each of 16 runs")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--threads", type=int, default=1)
    given = parser.parse_args()
    tracer = given.program == "path_tracer"
    program, ask = ask_path_tracer(given.threads) if tracer else ask_radiance()
    paths = given.paths or (2500 if tracer else 400)
    path = FOLDER / f"{given.program}.json"
    kept = json.loads(path.read_text()) if path.exists() else {"scenes": {}}
    kept["program"], kept["seed"], kept["runs"] = program, given.seed, RUNS
    for scene in (scene for store in STORES for scene in scenes(store)):
        if given.only not in scene["name"] or scene["name"] in kept["scenes"]:
            continue
        box, begin, records = box_of(scene), time.perf_counter(), []
        for number, aperture in enumerate(box.apertures):
            seen = ask(box, number, paths, given.seed + RUNS * number)
            if seen is not None:
                records.append(record_of(aperture.name, seen=seen))
        if not records:
            print(f"{scene['name']}: not said by this program", flush=True)
            continue
        kept["scenes"][scene["name"]] = records
        FOLDER.mkdir(exist_ok=True)
        path.write_text(lines_of(kept), encoding="utf-8")
        means = ", ".join(f"{one['mean_cd_m2']} +- {one['mean_se']}" for one in records)
        print(f"{scene['name']} {time.perf_counter() - begin:.0f} s: {means}", flush=True)


if __name__ == "__main__":
    main()
