"""The glow solver against two published renderers: time for the same error in every spot.

    python benchmarks/against_renderers.py [--all] [--only NAME] [--limit SECONDS]

It needs the extra ``witness``. Ctrl-C stops it and still sums up.

The rules:

- Each gets the same ``scene.Box`` and gives the mean luminance of 8 x 6 spots of an opening. Asked
  for are all rectangles of boxes that a program can say; a row counts the whole solve of the box,
  with its other openings, against those rectangles alone.
- Error is the root of the mean square of the spots' relative differences from the stored reference,
  less the reference's own noise; never less than that noise, since nobody could prove it.
- The renderers go as far as the solver's error and no further. A path tracer has no bias, so its
  error is the scatter of eight runs. Two efforts, the second four times the first, give error
  and how it falls; from there the time is reckoned on, with error falling as the root of the paths,
  or faster where it did.
- Mitsuba runs its compiled variant with stratified samples, Radiance three ways, of which the
  quickest counts: single paths, paths that branch once into 64, and ambient values kept and
  interpolated, in settings that grow finer until its error is reached or another way was quicker.
- Processor time on one thread. Start-up, imports, compiling and loading of a scene are not counted
  against the renderers; cutting and exchange factors are counted against the solver.
"""

import argparse
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from lamphouse.record import Record

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.front import Look
from lamphouse.light.glow import solve
from lamphouse.light.scene import Box, Rectangle
from light.boxes import box_of, scenes

Floats = NDArray[np.float64]

NEEDED = ("mitsuba", "pyradiance")
TRIAL = (
    "import mitsuba as mi; mi.set_variant('llvm_ad_mono'); import drjit as dr; "
    "dr.eval(dr.minimum(dr.arange(mi.Float, 64), 0.5))"
)
"""Aborts with an LLVM that is too old, so it has a process of its own."""

RUNS = 8
TRACED = (400, 1600)
"""Paths of a spot and run, two efforts."""

WALKED = (64, 256)
BRANCHED = (2, 8)
BRANCHES = 64
AMBIENT = (
    ("-aa", ".2", "-ar", "32", "-ad", "256", "-as", "128", "-ab", "12", "-lw", "1e-3"),
    ("-aa", ".1", "-ar", "64", "-ad", "1024", "-as", "256", "-ab", "16", "-lw", "2e-4"),
    ("-aa", ".05", "-ar", "128", "-ad", "2048", "-as", "512", "-ab", "24", "-lw", "1e-4"),
    ("-aa", ".025", "-ar", "256", "-ad", "8192", "-as", "1024", "-ab", "32", "-lw", "2e-5"),
)
AMBIENT_POINTS = 36


class Price(Record):
    """What a program needs for the wanted error."""

    way: str
    time_s: float


class Row(Record):
    """One opening."""

    scene: str
    opening: str
    error: float
    own_s: float
    """Of the whole box."""
    traced: Price
    radiance: Price


def stored(reference: dict) -> tuple[Floats, float]:
    """Give the reference's spots and its relative noise."""
    grid = np.ravel(reference["grid_cd_m2"])
    noise = np.ravel(reference["grid_se_cd_m2"]) / grid
    return grid, float(np.sqrt(np.mean(noise**2)))


def error_of(spots: Floats, *, reference: dict) -> float:
    """Give the error of an opening's spots, less the reference's noise but not below it."""
    grid, noise = stored(reference)
    square = float(np.mean((spots / grid - 1.0) ** 2)) - noise**2
    return max(math.sqrt(max(square, 0.0)), noise)


def reckoned(way: str, *, efforts: list[tuple[float, float]], wanted: float) -> Price:
    """Reckon on from two efforts, each a time for one run and its error."""
    (less_s, coarse), (more_s, fine) = efforts
    falls = max(0.5, math.log(coarse / fine) / math.log(more_s / less_s))
    return Price(way=way, time_s=more_s * (fine / wanted) ** (1.0 / falls))


def price_traced(box: Box, *, number: int, wanted: float) -> Price:
    """Ask Mitsuba."""
    from witnesses import path_tracer

    staged = path_tracer.stage(box, number=number)
    efforts = []
    for paths in TRACED:
        path_tracer.look(staged, paths=paths, seed=0)
        begin = time.process_time()
        seen = path_tracer.sighting(staged, paths=paths, runs=RUNS, seed=1)
        efforts.append(((time.process_time() - begin) / RUNS, seen.relative_error * RUNS**0.5))
    return reckoned("traced", efforts=efforts, wanted=wanted)


def price_radiance(
    box: Box, *, number: int, wanted: float, reference: dict, limit_s: float
) -> Price:
    """Ask Radiance in all three ways and keep the quickest."""
    from witnesses import radiance

    branching = radiance.branching(BRANCHES)
    with tempfile.TemporaryDirectory() as folder:
        staged = radiance.stage(box, folder=Path(folder))
        idle_s = min(radiance.idle_s(staged) for _ in range(3))
        prices = []
        for way, settings, sizes in (
            ("paths", radiance.PATHS, WALKED),
            ("branched", branching, BRANCHED),
        ):
            efforts = []
            for paths in sizes:
                seen, took = radiance.look(
                    staged, number=number, paths=paths, runs=RUNS, seed=1, settings=settings
                )
                efforts.append(((took - idle_s) / RUNS, seen.relative_error * RUNS**0.5))
            prices.append(reckoned(way, efforts=efforts, wanted=wanted))
        limit_s = min(limit_s, min(one.time_s for one in prices))
        for settings in AMBIENT:
            try:
                seen, took = radiance.look(
                    staged,
                    number=number,
                    paths=AMBIENT_POINTS,
                    runs=1,
                    seed=1,
                    settings=settings,
                    limit_s=limit_s,
                )
            except TimeoutError:
                break
            error = error_of(seen.spot_cd_m2, reference=reference)
            if error <= wanted:
                prices.append(Price(way="ambient", time_s=took - idle_s))
                break
    return min(prices, key=lambda price: price.time_s)


def lacking() -> str | None:
    """Say what is missing and how to get it."""
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        return f"{' and '.join(missing)} missing: pip install -e '.[witness]'"
    if subprocess.run([sys.executable, "-c", TRIAL], capture_output=True, check=False).returncode:
        return "Mitsuba finds no LLVM of version 16 or newer: name one in DRJIT_LIBLLVM_PATH"
    return None


def timed(box: Box) -> tuple[tuple[Look, ...], float]:
    """Solve a box; the shortest of five times. [s]."""
    times = []
    for _ in range(5):
        begin = time.process_time()
        looks = solve(box).looks
        times.append(time.process_time() - begin)
    return looks, min(times)


def rows(store: str, *, only: str, limit_s: float) -> Iterator[Row]:
    """Ask all three for every opening of a store, one by one."""
    from witnesses import path_tracer, radiance

    for scene in scenes(store):
        box = box_of(scene)
        if only not in scene["name"]:
            continue
        if not (path_tracer.can_say(box) and radiance.can_say(box)):
            print(f"{scene['name']:22s} not said by both", flush=True)
            continue
        looks, own_s = timed(box)
        for number, (aperture, reference) in enumerate(
            zip(box.apertures, scene["reference"]["apertures"], strict=True)
        ):
            if not isinstance(aperture.shape, Rectangle):
                continue
            error = error_of(looks[number].luminance_cd_m2, reference=reference)
            yield Row(
                scene=scene["name"],
                opening=aperture.name,
                error=error,
                own_s=own_s,
                traced=price_traced(box, number=number, wanted=error),
                radiance=price_radiance(
                    box, number=number, wanted=error, reference=reference, limit_s=limit_s
                ),
            )


def show(row: Row) -> None:
    """Print a row."""
    traced, radiance = row.traced, row.radiance
    print(
        f"{row.scene:22s} {row.opening:9s} {100 * row.error:6.2f} % {1e3 * row.own_s:7.0f} ms"
        f"{traced.time_s:9.1f} s {traced.time_s / row.own_s:7.0f} x"
        f"{radiance.time_s:9.1f} s {radiance.time_s / row.own_s:7.0f} x  {radiance.way}",
        flush=True,
    )


def sum_up(found: list[Row]) -> None:
    """Print the ratios of whole boxes."""
    names = dict.fromkeys(row.scene for row in found)
    for program in ("traced", "radiance"):
        ratios = [
            sum(getattr(row, program).time_s for row in found if row.scene == name)
            / next(row.own_s for row in found if row.scene == name)
            for name in names
        ]
        label = "Mitsuba" if program == "traced" else "Radiance"
        print(
            f"{label}: {np.median(ratios):.0f} times the solver's time in the median of "
            f"{len(ratios)} boxes, {min(ratios):.0f} at least, {max(ratios):.0f} at most"
        )


def main() -> None:
    """Ask all three and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--all", action="store_true", help="the stress and fresh boxes as well")
    parser.add_argument("--only", default="", help="part of a scene's name")
    parser.add_argument(
        "--limit", type=float, default=30.0, help="seconds for ambient values at most"
    )
    given = parser.parse_args()
    if reason := lacking():
        print(f"skipped, {reason}")
        return
    import drjit

    drjit.set_thread_count(1)
    print("scene                  opening    error    solver    Mitsuba              Radiance")
    stores = ("light_scenes.json", "stress.json", "fresh/scenes.json")
    found: list[Row] = []
    try:
        for store in stores if given.all or given.only else stores[:1]:
            for row in rows(store, only=given.only, limit_s=given.limit):
                found.append(row)
                show(row)
    except KeyboardInterrupt:
        print("stopped")
    if found:
        sum_up(found)


if __name__ == "__main__":
    main()
