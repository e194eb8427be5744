"""Time and accuracy of the glow solver on the reference boxes, one thread.

Run as ``OPENBLAS_NUM_THREADS=1 python benchmarks/glow.py``: the exchange matrices are small enough
that a second thread only slows them. Times are processor time, the best of five.
"""

import sys
import time
from collections.abc import Callable
from functools import partial
from math import cos, pi, radians, sin
from pathlib import Path

import numpy as np

from lamphouse.record import replace

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from lamphouse.light.cavity import light_up
from lamphouse.light.glow import solve
from lamphouse.light.live import make_live, response
from lamphouse.light.picture import make_canvas, paint
from lamphouse.light.scene import Aperture, Baffle, Box, Diffuser, Haze, Sheet
from lamphouse.light.step_size import step_mm
from lamphouse.light.turning import straight_box
from light.boxes import OPAL, SCENES, box_of, lamp, plain_box, rectangle, scenes

STORES = [
    name
    for name in ("light_scenes.json", "stress.json", "fresh/scenes.json")
    if (SCENES / name).exists()
]


NARROW = lamp(10.0, 40.0, 0.6, direction=(0.5, -0.6, 0.6), m=45.0)
"""A beam of 20 degrees."""


def best_ms(work: Callable[[], object], *, runs: int = 5) -> float:
    """Give the shortest processor time of some runs. [ms]."""
    times = []
    for _ in range(runs):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return 1e3 * min(times)


def hard_boxes() -> dict[str, Box]:
    """Boxes of the kinds that cost most."""
    hazy = Diffuser(
        transmittance=0.6,
        reflectance=0.3,
        haze=Haze(diffuse=0.4, lobe=0.55, straight=0.05, lobe_deg=15.0),
    )
    way = (cos(radians(23.0)), -sin(radians(23.0)))
    plain = plain_box()
    spot = (way[0] * 12.0 + way[1] * 9.0, way[0] * 9.0 - way[1] * 12.0)
    turned = replace(straight_box(plain, way=way), lamps=(lamp(*spot, 0.6),))
    two_arms = plain_box(
        outline=((0, 0), (70, 0), (70, 50), (48, 50), (48, 18), (22, 18), (22, 50), (0, 50)),
        depth_mm=10.0,
        baffles=tuple(
            Baffle(start_mm=(x, 18.0), end_mm=(end, 0.0), low_mm=low, high_mm=high, reflectance=0.8)
            for x, end, low, high in ((22.0, 30.0, 0.0, 6.0), (48.0, 40.0, 4.0, 10.0))
        ),
        lamps=(lamp(10.0, 40.0, 0.6),),
    )
    sheet = Sheet(height_mm=4.0, transmittance=0.6, reflectance=0.3)
    upright = tuple(
        replace(baffle, end_mm=(baffle.start_mm[0], 0.0)) for baffle in two_arms.baffles
    )
    shallow = plain_box(
        outline=((0, 0), (120, 0), (120, 80), (0, 80)),
        depth_mm=3.0,
        apertures=(Aperture(name="A", shape=rectangle(10, 10, 110, 70), fill=OPAL),),
    )
    turns = (0.2, 0.55, 0.9, 1.25)
    pillars = tuple(
        tuple(
            (x + 3.0 * cos(turn - side * pi / 2.0), y + 3.0 * sin(turn - side * pi / 2.0))
            for side in range(4)
        )
        for (x, y), turn in zip(((14, 12), (24, 26), (34, 12), (44, 26)), turns, strict=True)
    )
    pillared = plain_box(
        outline=((0, 0), (60, 0), (60, 40), (0, 40)),
        holes=pillars,
        depth_mm=10.0,
        apertures=(Aperture(name="A", shape=rectangle(3, 3, 57, 8), fill=OPAL),),
        lamps=(lamp(8.0, 20.0, 0.6),),
    )
    return {
        "four slanted pillars": pillared,
        "turned by 23 degrees": turned,
        "hazy sheet": replace(plain, apertures=(replace(plain.apertures[0], fill=hazy),)),
        "two arms, slanted baffles of part height": two_arms,
        "the same with an inner sheet": replace(two_arms, sheet=sheet),
        "and with straight baffles": replace(two_arms, sheet=sheet, baffles=upright),
        "two arms, an inner sheet, a narrow beam": replace(
            two_arms, sheet=sheet, baffles=(), lamps=(NARROW,)
        ),
        "120 x 80 x 3 mm": shallow,
    }


def slits() -> Box:
    """Give the slowest of the stored boxes."""
    return next(
        box_of(scene)
        for scene in scenes("fresh/scenes.json")
        if scene["name"] == "g03_slanted_baffles"
    )


def accuracy() -> None:
    """Print for every opening the errors of mean and spots, and the bar."""
    held, errors = 0, []
    for store in STORES:
        for scene in scenes(store):
            if "reference" not in scene:
                continue
            box = box_of(scene)
            glow = solve(box)
            took = best_ms(lambda box=box: solve(box), runs=3)
            print(
                f"{scene['name']}: {glow.faces} faces, {took:.0f} ms, "
                f"closure {glow.closure:.0e}, energy {glow.energy.missing:.0e}"
            )
            for look, opening, seen in zip(
                glow.looks, scene["apertures"], scene["reference"]["apertures"], strict=True
            ):
                mean = seen["mean_cd_m2"]
                error = look.mean_cd_m2 / mean - 1.0
                inside = abs(look.mean_cd_m2 - mean) <= look.bar_cd_m2 + seen["mean_se"]
                held += inside
                errors.append(abs(error))
                spots = ""
                if "grid_cd_m2" in seen and opening["shape"] == "rect":
                    grid = np.ravel(seen["grid_cd_m2"])
                    noise = np.mean((np.ravel(seen["grid_se_cd_m2"]) / grid) ** 2)
                    off = np.mean((look.luminance_cd_m2 / grid - 1.0) ** 2) - noise
                    spots = f", spots {100.0 * np.sqrt(max(off, 0.0)):.2f} %"
                noise = 100.0 * seen["mean_se"] / mean
                print(
                    f"  {look.name:12s} {mean:9.2f} cd/m2 (se {noise:.2f} %)"
                    f": {100.0 * error:+.2f} %{spots}, bar {100.0 * look.bar_cd_m2 / mean:.2f} %"
                    f"{'' if inside else ' MISSED'}"
                )
    quantiles = ", ".join(f"{100.0 * np.quantile(errors, share):.2f}" for share in (0.5, 0.9, 1.0))
    print(f"means: median, 90th, worst {quantiles} %; {held} of {len(errors)} inside their bars")


def speed() -> None:
    """Print the times the page and the plan depend on."""
    box = plain_box()
    live = make_live(box)
    inside = live.interior
    field = light_up(inside, balance=live.balance, lamps=box.lamps)
    canvas = make_canvas(inside, aperture=box.apertures[0], pixels_per_mm=4.0, step_mm=step_mm(box))
    flux = [one.flux_lm for one in box.lamps]
    hard = hard_boxes()
    arms = hard["two arms, slanted baffles of part height"]
    kept = make_live(arms)
    rows = {
        "cold solve, 30 x 20 x 8 mm": lambda: solve(box),
        "all lamp places at once": lambda: make_live(box),
        "lamp moved": lambda: response(live, lamp=box.lamps[0]),
        "lamp moved beside a wall": lambda: response(live, lamp=lamp(0.4, 9.0, 0.6)),
        "lamp moved among baffles": lambda: response(kept, lamp=arms.lamps[0]),
        "narrow beam moved among baffles": lambda: response(kept, lamp=NARROW),
        "canvas, 4 px/mm": lambda: make_canvas(
            inside, aperture=box.apertures[0], pixels_per_mm=4.0, step_mm=step_mm(box)
        ),
        "lamps settled for a picture": lambda: light_up(
            inside, balance=live.balance, lamps=box.lamps
        ),
        "picture, 4 px/mm": lambda: paint(
            canvas, interior=inside, field=field, lamps=box.lamps, flux_lm=flux
        ),
    }
    rows |= {name: partial(solve, one) for name, one in hard.items()}
    rows["slanted baffles of part height that leave slits"] = partial(solve, slits())
    matrix = np.random.default_rng(1).uniform(size=(600, 600))
    reference = best_ms(lambda: np.linalg.inv(matrix))
    print(f"reference: a matrix of 600 x 600 inverted in {reference:.2f} ms")
    for name, work in rows.items():
        took = best_ms(work)
        print(f"{name}: {took:.2f} ms, {took / reference:.2f} times the reference")


if __name__ == "__main__":
    speed()
    accuracy()
