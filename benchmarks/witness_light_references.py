"""Ask a published path tracer for some of the fresh light boxes, into second_witness.json there.

A development script: it needs ``mitsuba`` 3, in an environment of its own. Each opening is
looked at from inside (an open one from above the back): what its diffuser throws back tells what
it passes. Lamps are small even emitters, 0.2 mm square. Only boxes without inner sheet, haze and
narrow or tabulated beams are asked for, and of their openings the rectangles.
"""

import argparse
import json
import math
from pathlib import Path

import mitsuba as mi
import numpy as np

STORE = Path(__file__).parents[1] / "tests" / "reference" / "light_scenes" / "fresh"
VARIANT = "scalar_rgb"
SIDE_MM = 0.2
HAIR_MM = 1e-3
NEAR_MM = 0.02
RUNS = 16


def paint(reflectance):
    """Give a surface that throws light back evenly on both sides."""
    bsdf = {"type": "diffuse", "reflectance": {"type": "rgb", "value": float(reflectance)}}
    return {"type": "twosided", "bsdf": bsdf} if reflectance > 0.0 else bsdf


def plate(origin, *, one, other):
    """Place a rectangle by its middle and half sides; it faces along one x other."""
    one, other, origin = (np.array(v, dtype=float) for v in (one, other, origin))
    normal = np.cross(one, other)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 3] = one, other, origin
    matrix[:3, 2] = normal / np.linalg.norm(normal)
    return {"type": "rectangle", "to_world": mi.ScalarTransform4f(matrix)}


def upright(start, *, end, low, high, reflectance):
    """Place a wall or baffle."""
    (ax, ay), (bx, by) = start, end
    middle = ((ax + bx) / 2, (ay + by) / 2, (low + high) / 2)
    half = ((bx - ax) / 2, (by - ay) / 2, 0.0)
    shape = plate(middle, one=half, other=(0.0, 0.0, (high - low) / 2))
    return {**shape, "bsdf": paint(reflectance)}


def level(box, *, height, up, reflectance):
    """Place a level rectangle."""
    left, bottom, right, top = box
    sign = 1.0 if up else -1.0
    middle = ((left + right) / 2, (bottom + top) / 2, height)
    shape = plate(middle, one=((right - left) / 2, 0, 0), other=(0, sign * (top - bottom) / 2, 0))
    return {**shape, "bsdf": paint(reflectance)}


def round_plate(centre, *, radius, height, reflectance):
    """Place a level disc that faces down."""
    matrix = np.diag([radius, -radius, -1.0, 1.0])
    matrix[:3, 3] = (*centre, height)
    shape = {"type": "disk", "to_world": mi.ScalarTransform4f(matrix)}
    return {**shape, "bsdf": paint(reflectance)}


def lamp(led):
    """Place a small even emitter."""
    axis = np.array(led["dir"])
    aside = np.eye(3)[int(np.argmin(np.abs(axis)))]
    one = np.cross(aside, axis)
    one /= np.linalg.norm(one)
    other = np.cross(axis, one)
    shape = plate(led["pos_mm"], one=one * SIDE_MM / 2, other=other * SIDE_MM / 2)
    radiance = {"type": "rgb", "value": led["I0_cd"] / SIDE_MM**2}
    return {**shape, "bsdf": paint(0.0), "emitter": {"type": "area", "radiance": radiance}}


def is_possible(scene):
    """Tell whether the program has all materials of a scene."""
    return (
        scene["inner_sheet"] is None
        and all(led.get("m") == 1.0 for led in scene["leds"])
        and all(item["shape"] != "polygon" and "haze" not in item for item in scene["apertures"])
    )


def opening(item, *, scene):
    """Place what closes an opening."""
    height = scene["depth_mm"] - HAIR_MM
    if item["shape"] == "rect":
        return level(item["rect_mm"], height=height, up=False, reflectance=item["rho"])
    radius = item["diameter_mm"] / 2
    return round_plate(item["center_mm"], radius=radius, height=height, reflectance=item["rho"])


def parts(scene):
    """Place everything but the sensor."""
    depth, given = scene["depth_mm"], scene["reflectance"]
    wide = np.array(scene["outline_mm"])
    around = (*(wide.min(axis=0) - 1.0), *(wide.max(axis=0) + 1.0))
    placed = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 400, "rr_depth": 12},
        "back": level(around, height=0.0, up=True, reflectance=given["back"]),
        "panel": level(around, height=depth, up=False, reflectance=given["panel_inside"]),
    }
    walls = []
    for ring in [scene["outline_mm"], *scene["holes_mm"]]:
        walls += list(zip(ring, ring[1:] + ring[:1], strict=True))
    paints = given["walls"] if isinstance(given["walls"], list) else [given["walls"]] * len(walls)
    for number, ((start, end), reflectance) in enumerate(zip(walls, paints, strict=True)):
        placed[f"wall{number}"] = upright(
            start, end=end, low=0.0, high=depth, reflectance=reflectance
        )
    for number, item in enumerate(scene["baffles"]):
        placed[f"baffle{number}"] = upright(
            item["from_mm"],
            end=item["to_mm"],
            low=item["z0_mm"],
            high=item["z1_mm"],
            reflectance=item["reflectance"],
        )
    for number, led in enumerate(scene["leds"]):
        placed[f"lamp{number}"] = lamp(led)
    for number, item in enumerate(scene["apertures"]):
        placed[f"opening{number}"] = opening(item, scene=scene)
    return placed


def eye(box, *, height, up):
    """Look at a level rectangle from close by, square to it."""
    left, bottom, right, top = box
    sign = 1.0 if up else -1.0
    matrix = np.diag([(right - left) / 2, sign * (top - bottom) / 2, sign, 1.0])
    matrix[:3, 3] = ((left + right) / 2, (bottom + top) / 2, height - sign * NEAR_MM)
    film = {"type": "hdrfilm", "width": 1, "height": 1, "rfilter": {"type": "box"}}
    return {
        "type": "orthographic",
        "near_clip": NEAR_MM / 100.0,
        "far_clip": 2.0 * NEAR_MM,
        "to_world": mi.ScalarTransform4f(matrix),
        "film": {**film, "pixel_format": "luminance", "component_format": "float32"},
    }


def witness(scene, *, number, paths):
    """Give mean luminance of an opening and its standard error."""
    item, placed = scene["apertures"][number], parts(scene)
    if item["fill"] == "open":
        placed["eye"], share = eye(item["rect_mm"], height=0.0, up=False), 1.0
    else:
        height = scene["depth_mm"] - HAIR_MM
        placed["eye"] = eye(item["rect_mm"], height=height, up=True)
        share = item["tau"] / item["rho"]
    made = mi.load_dict(placed)
    found = [
        float(np.array(mi.render(made, spp=paths // RUNS, seed=run)).ravel()[0]) * share * 1e6
        for run in range(RUNS)
    ]
    return float(np.mean(found)), float(np.std(found, ddof=1)) / math.sqrt(RUNS)


def main():
    """Ask for the scenes named, or all that are possible."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", nargs="*", default=[""], help="parts of scene names")
    parser.add_argument("--paths", type=int, default=16_000_000)
    given = parser.parse_args()
    mi.set_variant(VARIANT)
    path = STORE / "second_witness.json"
    kept = json.loads(path.read_text()) if path.exists() else {"scenes": {}}
    kept["engine"] = f"mitsuba {mi.__version__}, {VARIANT}"
    for scene in json.loads((STORE / "scenes.json").read_text())["scenes"]:
        if not (is_possible(scene) and any(part in scene["name"] for part in given.only)):
            continue
        answers = []
        for number, item in enumerate(scene["apertures"]):
            if item["shape"] != "rect":
                continue
            mean, error = witness(scene, number=number, paths=given.paths)
            answers.append(
                {
                    "aperture": item["name"],
                    "mean_cd_m2": float(f"{mean:.6g}"),
                    "mean_se": float(f"{error:.2g}"),
                    "paths": given.paths,
                }
            )
            ours = scene["reference"]["apertures"][number]
            sigma = math.hypot(error, ours["mean_se"])
            print(
                f"{scene['name']:22s} {item['name']:10s} {mean:10.4f} +- {error:.4f}  walks "
                f"{ours['mean_cd_m2']:10.4f}: {(ours['mean_cd_m2'] - mean) / sigma:+.2f} errors",
                flush=True,
            )
        kept["scenes"][scene["name"]] = answers
        path.write_text(json.dumps(kept, indent=1) + "\n")


if __name__ == "__main__":
    main()
