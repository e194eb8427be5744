"""Make the fresh light-box references by random walks, into tests/reference/light_scenes/fresh/.

``scenes.json`` there holds boxes and, for each, what the walks found. Run without arguments to make
those that are missing or coarser than wanted; ``--store corners`` does so for boxes that
``draw_light_scenes.py`` draws by lot, and draws them if they are not there. ``--check FILE`` walks
through the scenes of another file of the same layout and prints how far both are apart, in standard
errors.
"""

import argparse
import json
import math
import platform
import time
from importlib.metadata import version
from pathlib import Path

import draw_aimed_scenes
import draw_light_scenes
import draw_slit_scenes
import numpy as np

from lamphouse.light.scene import (
    Aperture,
    Baffle,
    Box,
    CosinePower,
    Diffuser,
    Disc,
    Haze,
    IntensityTable,
    Lamp,
    Passage,
    Patch,
    Rectangle,
    Sheet,
    Suite,
    cosine_flux_lm,
)
from lamphouse.light.sound_box import faults
from lamphouse.light.verify import Effort, Opinion, agreement, verify
from lamphouse.light.verify_suite import verify_suite

STORES = Path(__file__).parents[1] / "tests" / "reference" / "light_scenes" / "fresh"
DRAWN = {
    "corners": draw_light_scenes.corners,
    "pairs": draw_light_scenes.pairs,
    "baffled": draw_light_scenes.baffled,
    "hung": draw_light_scenes.hung,
    "slits": draw_light_scenes.slits,
    "beams": draw_light_scenes.beams,
    "slit_rooms": draw_slit_scenes.slit_rooms,
    "unseen_slits": draw_slit_scenes.unseen_slits,
    "aimed": draw_aimed_scenes.aimed,
}


def shape_of(record):
    """Give the shape of an opening."""
    if record["shape"] == "rect":
        left, bottom, right, top = record["rect_mm"]
        return Rectangle(left_mm=left, bottom_mm=bottom, right_mm=right, top_mm=top)
    if record["shape"] == "circle":
        x, y = record["center_mm"]
        return Disc(x_mm=x, y_mm=y, diameter_mm=record["diameter_mm"])
    return Patch(ring=tuple(map(tuple, record["ring_mm"])))


def aperture_of(record):
    """Give an opening."""
    haze = Haze(**record["haze"]) if "haze" in record else None
    fill = Diffuser(transmittance=record["tau"], reflectance=record["rho"], haze=haze)
    return Aperture(
        name=record["name"],
        shape=shape_of(record),
        fill=None if record["fill"] == "open" else fill,
    )


def lamp_of(record, *, name):
    """Give a lamp."""
    if "beam" in record:
        beam, flux = (
            IntensityTable(**{k: tuple(v) for k, v in record["beam"].items()}),
            record["flux_lm"],
        )
    else:
        beam = CosinePower(m=record["m"])
        flux = cosine_flux_lm(record["I0_cd"], m=record["m"])
    x, y, z = record["pos_mm"]
    return Lamp(
        name=name, x_mm=x, y_mm=y, z_mm=z, direction=tuple(record["dir"]), beam=beam, flux_lm=flux
    )


def box_of(scene):
    """Give the box of a scene."""
    paint, sheet = scene["reflectance"], scene["inner_sheet"]
    walls = paint["walls"]
    return Box(
        outline=tuple(map(tuple, scene["outline_mm"])),
        holes=tuple(tuple(map(tuple, ring)) for ring in scene.get("holes_mm", [])),
        depth_mm=scene["depth_mm"],
        back_reflectance=paint["back"],
        panel_reflectance=paint["panel_inside"],
        wall_reflectances=tuple(walls) if isinstance(walls, list) else (walls,),
        lamps=tuple(lamp_of(led, name=f"lamp {n}") for n, led in enumerate(scene["leds"], start=1)),
        apertures=tuple(map(aperture_of, scene["apertures"])),
        baffles=tuple(
            Baffle(
                start_mm=tuple(item["from_mm"]),
                end_mm=tuple(item["to_mm"]),
                low_mm=item["z0_mm"],
                high_mm=item["z1_mm"],
                reflectance=item["reflectance"],
            )
            for item in scene["baffles"]
        ),
        sheet=sheet
        and Sheet(height_mm=sheet["z_mm"], transmittance=sheet["tau"], reflectance=sheet["rho"]),
    )


def digits(value, *, figures=6):
    """Round to so many figures."""
    return float(f"{value:.{figures}g}")


def record_of(seen, *, rectangle):
    """Give the stored record of an opening."""
    record = {
        "aperture": seen.name,
        "area_mm2": digits(float(seen.area_mm2.sum())),
        "mean_cd_m2": digits(seen.mean_cd_m2),
        "mean_se": digits(seen.mean_error_cd_m2, figures=2),
        "paths": seen.walks,
    }
    if len(seen.spot_cd_m2) > 1:
        spots = [digits(value) for value in seen.spot_cd_m2.tolist()]
        errors = [digits(value, figures=2) for value in seen.spot_error_cd_m2.tolist()]
        mean = seen.mean_cd_m2
        record["min_over_mean"] = digits(min(spots) / mean, figures=4)
        record["max_over_mean"] = digits(max(spots) / mean, figures=4)
        if rectangle:
            record["grid_cd_m2"] = [spots[8 * row : 8 * row + 8] for row in range(6)]
            record["grid_se_cd_m2"] = [errors[8 * row : 8 * row + 8] for row in range(6)]
        else:
            record["spots_cd_m2"], record["spots_se_cd_m2"] = spots, errors
    return record


def suite_of(scene):
    """Give the boxes of a scene that share openings."""
    return Suite(
        boxes=tuple(map(box_of, scene["boxes"])),
        passages=tuple(
            Passage(
                name=item["name"],
                boxes=tuple(item["boxes"]),
                start_mm=tuple(item["from_mm"]),
                end_mm=tuple(item["to_mm"]),
                low_mm=item["low_mm"],
                high_mm=item["high_mm"],
                fill=None
                if item["fill"] == "open"
                else Diffuser(transmittance=item["tau"], reflectance=item["rho"]),
            )
            for item in scene["passages"]
        ),
    )


def refer(scene, *, effort, seed):
    """Give the reference of a scene: of a box, or of all boxes of a suite one after the other."""
    if "boxes" in scene:
        found = verify_suite(suite_of(scene), seed=seed, effort=effort)
        opinions = found if isinstance(found, tuple) else [found]
        records = [item for box in scene["boxes"] for item in box["apertures"]]
    else:
        box = box_of(scene)
        if unsound := faults(box):
            refusal = f"{scene['name']}: {unsound}"
            raise SystemExit(refusal)
        opinions = [verify(box, seed=seed, effort=effort)]
        records = scene["apertures"]
    for opinion in opinions:
        if not isinstance(opinion, Opinion):
            refusal = f"{scene['name']}: {opinion.reason}"
            raise SystemExit(refusal)
    openings = [seen for opinion in opinions for seen in opinion.openings]
    return {
        "engine": "random walks of lamphouse.light.verify",
        "seed": seed,
        "wanted_relative_se": effort.relative_error,
        "reached": all(opinion.reached for opinion in opinions),
        "versions": {
            "python": platform.python_version(),
            **{name: version(name) for name in ("numpy", "numba", "llvmlite")},
        },
        "apertures": [
            record_of(seen, rectangle=item["shape"] == "rect")
            for seen, item in zip(openings, records, strict=True)
        ],
    }


def beside(seen, *, record):
    """Put a stored record beside an opening found again, in one line."""
    off = record["mean_cd_m2"] - seen.mean_cd_m2
    sigma = math.hypot(record["mean_se"], seen.mean_error_cd_m2)
    spots = record.get("grid_cd_m2", record.get("spots_cd_m2"))
    line = (
        f"{seen.name:12s} {seen.mean_cd_m2:10.4f} se {100 * seen.relative_error:.4f} %  "
        f"stored {100 * off / seen.mean_cd_m2:+.3f} % = {off / sigma:+.2f} errors"
    )
    if spots is not None:
        errors = record.get("grid_se_cd_m2", record.get("spots_se_cd_m2"))
        both = agreement(
            seen,
            spot_cd_m2=np.ravel(spots),
            spot_error_cd_m2=np.ravel(errors),
            mean_error_cd_m2=record["mean_se"],
        )
        line += f"  chi2 {both.reduced_chi2:.2f}"
    return f"{line}  {seen.walks / 1e6:.1f} M walks"


def check(path, *, effort, seed, only):
    """Walk through the scenes of a file and print how far its references are off."""
    for scene in json.loads(path.read_text())["scenes"]:
        if only not in scene["name"] or not scene.get("reference"):
            continue
        start = time.perf_counter()
        opinion = verify(box_of(scene), seed=seed, effort=effort)
        took = time.perf_counter() - start
        for seen, record in zip(opinion.openings, scene["reference"]["apertures"], strict=True):
            print(f"{scene['name']:22s} {beside(seen, record=record)}", flush=True)
        print(f"  {took:.1f} s", flush=True)


def main():
    """Make the references, or check others."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="part of a scene's name")
    parser.add_argument("--store", default="scenes", choices=["scenes", *DRAWN])
    parser.add_argument("--check", type=Path, help="a file of the same layout")
    parser.add_argument("--error", type=float, default=5e-4, help="wanted relative error of means")
    parser.add_argument("--walks", type=int, default=60_000_000, help="at most, for one opening")
    parser.add_argument("--seed", type=int, default=2024)
    parser.add_argument("--threads", type=int, default=2)
    given = parser.parse_args()
    effort = Effort(relative_error=given.error, most_walks=given.walks, threads=given.threads)
    if given.check:
        check(given.check, effort=effort, seed=given.seed, only=given.only)
        return
    store = STORES / f"{given.store}.json"
    if not store.exists():
        drawn = {"seed": draw_light_scenes.SEED, "scenes": DRAWN[given.store]()}
        store.write_text(json.dumps(drawn, indent=1) + "\n")
    whole = json.loads(store.read_text())
    for scene in whole["scenes"]:
        stored = scene.get("reference", {"wanted_relative_se": math.inf})
        if given.only in scene["name"] and stored["wanted_relative_se"] > given.error:
            start = time.perf_counter()
            scene["reference"] = refer(scene, effort=effort, seed=given.seed)
            took = time.perf_counter() - start
            store.write_text(json.dumps(whole, indent=1) + "\n")
            means = [
                (record["aperture"], record["mean_cd_m2"], record["mean_se"])
                for record in scene["reference"]["apertures"]
            ]
            print(f"{scene['name']} {took:.0f} s {means}", flush=True)


if __name__ == "__main__":
    main()
