# ruff: noqa: NPY002, PLR0917  (numba knows the legacy generator and positional arguments only)
"""Make fresh light-box references by Monte Carlo, into tests/reference/light_scenes/stress.json.

A development script: it needs numba, which the program itself never uses. It shares no code with
the solver. Light is followed photon by photon from the LEDs (``forward``) or path by path from the
openings (``backward``); surfaces, sheets and openings follow the conventions printed in
``light_scenes.json``. On the eleven scenes of that file, which a path tracer made, it agrees
within their standard errors (``python benchmarks/light_point_checker.py --prove``).
"""

import argparse
import json
import math
import sys
import time
from pathlib import Path

import numpy as np
from numba import njit

STORE = Path(__file__).parents[1] / "tests" / "reference" / "light_scenes"

OPEN = 2
DIFFUSER = 1
RECT = 0
DISC = 1


@njit(cache=True)
def _hit(x, y, z, dx, dy, dz, depth, sheet_z, walls):
    """Nearest surface: distance, kind (0 back, 1 panel, 2 sheet, 3.. wall), wall index."""
    best = 1e30
    kind = -1
    which = -1
    if dz < -1e-12:
        t = -z / dz
        if t < best:
            best, kind = t, 0
        if sheet_z > 0.0 and z > sheet_z:
            t = (sheet_z - z) / dz
            if t < best:
                best, kind = t, 2
    elif dz > 1e-12:
        t = (depth - z) / dz
        if t < best:
            best, kind = t, 1
        if sheet_z > 0.0 and z < sheet_z:
            t = (sheet_z - z) / dz
            if t < best:
                best, kind = t, 2
    for k in range(walls.shape[0]):
        ax, ay, bx, by, low, high = (
            walls[k, 0],
            walls[k, 1],
            walls[k, 2],
            walls[k, 3],
            walls[k, 4],
            walls[k, 5],
        )
        ex, ey = bx - ax, by - ay
        det = dx * ey - dy * ex
        if abs(det) < 1e-14:
            continue
        t = ((ax - x) * ey - (ay - y) * ex) / det
        if t <= 1e-9 or t >= best:
            continue
        s = ((ax - x) * dy - (ay - y) * dx) / det
        if s < 0.0 or s > 1.0:
            continue
        height = z + t * dz
        if height < low or height > high:
            continue
        best, kind, which = t, 3, k
    return best, kind, which


@njit(cache=True)
def _around(nx, ny, nz, sin_t, cos_t, phi):
    """Turn a direction given about z to one about (nx, ny, nz)."""
    if abs(nz) < 0.9:
        ax, ay, az = -ny, nx, 0.0
    else:
        ax, ay, az = 0.0, -nz, ny
    length = math.sqrt(ax * ax + ay * ay + az * az)
    ax, ay, az = ax / length, ay / length, az / length
    bx, by, bz = ny * az - nz * ay, nz * ax - nx * az, nx * ay - ny * ax
    u, v = sin_t * math.cos(phi), sin_t * math.sin(phi)
    return u * ax + v * bx + cos_t * nx, u * ay + v * by + cos_t * ny, u * az + v * bz + cos_t * nz


@njit(cache=True)
def _opening(x, y, openings):
    for k in range(openings.shape[0]):
        o = openings[k]
        if o[0] == RECT:
            if o[1] <= x <= o[3] and o[2] <= y <= o[4]:
                return k
        elif (x - o[1]) ** 2 + (y - o[2]) ** 2 <= o[3] ** 2:
            return k
    return -1


@njit(cache=True)
def _cell(x, y, o):
    if o[0] == RECT:
        i = min(7, max(0, int((x - o[1]) / (o[3] - o[1]) * 8)))
        j = min(5, max(0, int((y - o[2]) / (o[4] - o[2]) * 6)))
        return j * 8 + i
    return 0


@njit(cache=True)
def forward(seed, count, depth, sheet, walls, rhos, openings, leds, share):
    """Photons from the LEDs; flux landing on each cell of each opening (or on what is below)."""
    np.random.seed(seed)
    land = np.zeros((openings.shape[0], 48))
    sheet_z, sheet_tau, sheet_rho = sheet[0], sheet[1], sheet[2]
    for _ in range(count):
        u = np.random.random()
        k = 0
        while k < leds.shape[0] - 1 and u > share[k]:
            k += 1
        led = leds[k]
        x, y, z = led[0], led[1], led[2]
        cos_t = np.random.random() ** (1.0 / (led[7] + 1.0))
        dx, dy, dz = _around(
            led[3],
            led[4],
            led[5],
            math.sqrt(1 - cos_t * cos_t),
            cos_t,
            2 * math.pi * np.random.random(),
        )
        while True:
            t, kind, w = _hit(x, y, z, dx, dy, dz, depth, sheet_z, walls)
            if kind < 0:
                break
            x, y, z = x + t * dx, y + t * dy, z + t * dz
            nx, ny, nz = 0.0, 0.0, 1.0
            if kind == 0:
                z = 0.0
                a = _opening(x, y, openings)
                if a >= 0 and openings[a, 5] == OPEN and sheet_z <= 0.0:
                    land[a, _cell(x, y, openings[a])] += rhos[0]
                if np.random.random() >= rhos[0]:
                    break
            elif kind == 1:
                z = depth
                a = _opening(x, y, openings)
                rho = rhos[2]
                if a >= 0:
                    if openings[a, 5] == DIFFUSER:
                        land[a, _cell(x, y, openings[a])] += openings[a, 6]
                        rho = openings[a, 7]
                    else:
                        rho = 0.0
                if np.random.random() >= rho:
                    break
                nz = -1.0
            elif kind == 2:
                z = sheet_z
                side = 1.0 if dz < 0 else -1.0
                a = _opening(x, y, openings)
                if a >= 0 and openings[a, 5] == OPEN:
                    land[a, _cell(x, y, openings[a])] += sheet_rho if side > 0 else sheet_tau
                u = np.random.random()
                if u < sheet_rho:
                    nz = side
                elif u < sheet_rho + sheet_tau:
                    nz = -side
                else:
                    break
                z = sheet_z + nz * 1e-9
            else:
                if np.random.random() >= walls[w, 6]:
                    break
                ex, ey = walls[w, 2] - walls[w, 0], walls[w, 3] - walls[w, 1]
                length = math.hypot(ex, ey)
                nx, ny, nz = -ey / length, ex / length, 0.0
                if nx * dx + ny * dy > 0:
                    nx, ny = -nx, -ny
                x, y = x + 1e-9 * nx, y + 1e-9 * ny
            cos_t = math.sqrt(np.random.random())
            dx, dy, dz = _around(
                nx, ny, nz, math.sqrt(1 - cos_t * cos_t), cos_t, 2 * math.pi * np.random.random()
            )
    return land


@njit(cache=True)
def _direct(x, y, z, nx, ny, nz, depth, sheet_z, walls, leds):
    total = 0.0
    for k in range(leds.shape[0]):
        led = leds[k]
        lx, ly, lz = x - led[0], y - led[1], z - led[2]
        r2 = lx * lx + ly * ly + lz * lz
        r = math.sqrt(r2)
        lx, ly, lz = lx / r, ly / r, lz / r
        leave = lx * led[3] + ly * led[4] + lz * led[5]
        arrive = -(lx * nx + ly * ny + lz * nz)
        if leave <= 0.0 or arrive <= 0.0:
            continue
        t, _, _ = _hit(led[0], led[1], led[2], lx, ly, lz, depth, sheet_z, walls)
        if t < r - 1e-6:
            continue
        total += led[6] * leave ** led[7] * arrive / r2
    return total


@njit(cache=True)
def _lobe_angle(sigma):
    """Draw an angle whose density per solid angle is a Gaussian, cut off at 4.5 sigma."""
    while True:
        angle = sigma * math.sqrt(-2.0 * math.log(1.0 - np.random.random()))
        if angle < min(4.5 * sigma, 1.569) and np.random.random() * angle <= math.sin(angle):
            return angle


@njit(cache=True)
def _lobe_direct(x, y, z, sigma, norm, depth, sheet_z, walls, leds):
    """Image of the lamps in the lobe, times pi."""
    total = 0.0
    for k in range(leds.shape[0]):
        led = leds[k]
        lx, ly, lz = x - led[0], y - led[1], z - led[2]
        r2 = lx * lx + ly * ly + lz * lz
        r = math.sqrt(r2)
        lx, ly, lz = lx / r, ly / r, lz / r
        leave = lx * led[3] + ly * led[4] + lz * led[5]
        if leave <= 0.0 or lz <= 0.0:
            continue
        angle = math.acos(lz)
        if angle > 4.5 * sigma:
            continue
        t, _, _ = _hit(led[0], led[1], led[2], lx, ly, lz, depth, sheet_z, walls)
        if t < r - 1e-6:
            continue
        total += (
            led[6] * leave ** led[7] / r2 * math.pi * math.exp(-0.5 * (angle / sigma) ** 2) / norm
        )
    return total


@njit(cache=True)
def backward(seed, count, depth, sheet, walls, rhos, openings, leds, target):
    """Paths from one opening; mean illuminance-like quantity per cell (cd/mm2 after 1/pi)."""
    np.random.seed(seed)
    o = openings[target]
    cells = 48 if o[0] == RECT else 1
    out = np.zeros(cells)
    sheet_z, sheet_tau, sheet_rho = sheet[0], sheet[1], sheet[2]
    for n in range(count * cells):
        c = n % cells
        if o[0] == RECT:
            x = o[1] + (o[3] - o[1]) * ((c % 8) + np.random.random()) / 8
            y = o[2] + (o[4] - o[2]) * ((c // 8) + np.random.random()) / 6
        else:
            r = o[3] * math.sqrt(np.random.random())
            phi = 2 * math.pi * np.random.random()
            x, y = o[1] + r * math.cos(phi), o[2] + r * math.sin(phi)
        weight = o[6]
        z = depth - 1e-9
        nx, ny, nz = 0.0, 0.0, -1.0
        if o[5] == OPEN:
            if sheet_z > 0.0:
                u = np.random.random() * (sheet_rho + sheet_tau)
                nz = 1.0 if u < sheet_rho else -1.0
                z = sheet_z + nz * 1e-9
                weight = sheet_rho + sheet_tau
            else:
                z, nz, weight = 1e-9, 1.0, rhos[0]
        total = 0.0
        part = np.random.random() * (o[8] + o[9] + o[10])
        first = True
        while True:
            cos_t = math.sqrt(np.random.random())
            if not first or part < o[8]:
                total += weight * _direct(x, y, z, nx, ny, nz, depth, sheet_z, walls, leds)
            elif part < o[8] + o[9]:
                total += weight * _lobe_direct(x, y, z, o[11], o[12], depth, sheet_z, walls, leds)
                cos_t = math.cos(_lobe_angle(o[11]))
            else:
                cos_t = 1.0
            first = False
            dx, dy, dz = _around(
                nx,
                ny,
                nz,
                math.sqrt(max(0.0, 1 - cos_t * cos_t)),
                cos_t,
                2 * math.pi * np.random.random(),
            )
            t, kind, w = _hit(x, y, z, dx, dy, dz, depth, sheet_z, walls)
            if kind < 0:
                break
            x, y, z = x + t * dx, y + t * dy, z + t * dz
            nx, ny, nz = 0.0, 0.0, 1.0
            if kind == 0:
                z = 1e-9
                rho = rhos[0]
            elif kind == 1:
                z = depth - 1e-9
                nz = -1.0
                a = _opening(x, y, openings)
                rho = rhos[2]
                if a >= 0:
                    rho = openings[a, 7] if openings[a, 5] == DIFFUSER else 0.0
            elif kind == 2:
                side = 1.0 if dz < 0 else -1.0
                rho = sheet_rho + sheet_tau
                nz = side if np.random.random() * rho < sheet_rho else -side
                z = sheet_z + nz * 1e-9
            else:
                rho = walls[w, 6]
                ex, ey = walls[w, 2] - walls[w, 0], walls[w, 3] - walls[w, 1]
                length = math.hypot(ex, ey)
                nx, ny, nz = -ey / length, ex / length, 0.0
                if nx * dx + ny * dy > 0:
                    nx, ny = -nx, -ny
                x, y = x + 1e-9 * nx, y + 1e-9 * ny
            if np.random.random() >= rho:
                break
        out[c] += total
    return out / count


def _arrays(scene):
    depth = float(scene["depth_mm"])
    paint = scene["reflectance"]
    walls = []
    for ring in [scene["outline_mm"], *scene.get("holes_mm", [])]:
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            walls.append([*a, *b, 0.0, depth, paint["walls"]])
    for baffle in scene["baffles"]:
        walls.append(
            [
                *baffle["from_mm"],
                *baffle["to_mm"],
                baffle["z0_mm"],
                baffle["z1_mm"],
                baffle["reflectance"],
            ]
        )
    sheet = scene["inner_sheet"] or {"z_mm": -1.0, "tau": 0.0, "rho": 0.0}
    openings = []
    for a in scene["apertures"]:
        fill = OPEN if a["fill"] == "open" else DIFFUSER
        haze = a.get("haze", {"diffuse": 1.0, "lobe": 0.0, "straight": 0.0, "lobe_deg": 10.0})
        sigma = math.radians(haze["lobe_deg"])
        angle = np.linspace(0.0, min(4.5 * sigma, 1.569), 20001)
        height = 2 * math.pi * np.sin(angle) * np.exp(-0.5 * (angle / sigma) ** 2)
        norm = float(np.sum((height[1:] + height[:-1]) / 2) * (angle[1] - angle[0]))
        rest = [
            fill,
            a["tau"],
            a["rho"],
            haze["diffuse"],
            haze["lobe"],
            haze["straight"],
            sigma,
            norm,
        ]
        if a["shape"] == "rect":
            openings.append([RECT, *a["rect_mm"], *rest])
        else:
            openings.append([DISC, *a["center_mm"], a["diameter_mm"] / 2, 0.0, *rest])
    leds = [[*led["pos_mm"], *led["dir"], led["I0_cd"], led["m"]] for led in scene["leds"]]
    return (
        depth,
        np.array([sheet["z_mm"], sheet["tau"], sheet["rho"]], float),
        np.array(walls, float),
        np.array([paint["back"], paint["walls"], paint["panel_inside"]], float),
        np.array(openings, float),
        np.array(leds, float),
    )


def refer(scene, *, paths=4_000_000, batches=20, method="backward", seed=1):
    """Give the reference record of a scene."""
    depth, sheet, walls, rhos, openings, leds = _arrays(scene)
    flux = 2 * math.pi * leds[:, 6] / (leds[:, 7] + 1)
    share = np.cumsum(flux) / flux.sum()
    grids = []
    if method == "forward":
        runs = np.array(
            [
                forward(
                    seed * 1000 + b,
                    paths // batches,
                    depth,
                    sheet,
                    walls,
                    rhos,
                    openings,
                    leds,
                    share,
                )
                for b in range(batches)
            ]
        ) * (flux.sum() / (paths // batches))
        for k, o in enumerate(openings):
            area = (o[3] - o[1]) * (o[4] - o[2]) / 48 if o[0] == RECT else math.pi * o[3] ** 2
            grids.append(runs[:, k, : 48 if o[0] == RECT else 1] / (math.pi * area) * 1e6)
    else:
        for k, o in enumerate(openings):
            cells = 48 if o[0] == RECT else 1
            each = max(1, paths // batches // cells)
            grids.append(
                np.array(
                    [
                        backward(
                            seed * 1000 + b, each, depth, sheet, walls, rhos, openings, leds, k
                        )
                        for b in range(batches)
                    ]
                )
                / math.pi
                * 1e6
            )
    records = []
    for a, runs in zip(scene["apertures"], grids, strict=True):
        grid, error = runs.mean(0), runs.std(0, ddof=1) / math.sqrt(batches)
        means = runs.mean(1)
        record = {
            "aperture": a["name"],
            "mean_cd_m2": float(f"{means.mean():.6g}"),
            "mean_se": float(f"{means.std(ddof=1) / math.sqrt(batches):.2g}"),
        }
        if len(grid) == 48:
            record["grid_cd_m2"] = [[float(f"{v:.6g}") for v in row] for row in grid.reshape(6, 8)]
            record["grid_se_cd_m2"] = [
                [float(f"{v:.2g}") for v in row] for row in error.reshape(6, 8)
            ]
        records.append(record)
    return {"engine": f"Monte Carlo, {method}", "paths": paths, "apertures": records}


def main():
    """Prove the Monte Carlo, or make the fresh references."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--prove", action="store_true")
    parser.add_argument("--paths", type=int, default=20_000_000)
    parser.add_argument("--only", default="")
    options = parser.parse_args()
    if options.prove:
        for scene in json.loads((STORE / "light_scenes.json").read_text())["scenes"]:
            for method in ("backward", "forward"):
                start = time.perf_counter()
                made = refer(scene, paths=options.paths // 10, method=method)
                for mine, theirs in zip(
                    made["apertures"], scene["reference"]["apertures"], strict=True
                ):
                    spread = math.hypot(mine["mean_se"], theirs["mean_se"])
                    off = (mine["mean_cd_m2"] - theirs["mean_cd_m2"]) / spread
                    took = time.perf_counter() - start
                    print(
                        f"{scene['name']:24s} {mine['aperture']:12s} {method:9s} "
                        f"{mine['mean_cd_m2']:10.4g} {off:+.1f} se {took:.1f} s"
                    )
        return
    path = STORE / "stress.json"
    whole = json.loads(path.read_text())
    for scene in whole["scenes"]:
        if options.only in scene["name"] and ("reference" not in scene or options.only):
            start = time.perf_counter()
            scene["reference"] = refer(scene, paths=options.paths, method=scene["method"])
            print(
                scene["name"],
                f"{time.perf_counter() - start:.0f} s",
                [
                    (a["aperture"], a["mean_cd_m2"], a["mean_se"])
                    for a in scene["reference"]["apertures"]
                ],
            )
            sys.stdout.flush()
            path.write_text(json.dumps(whole, indent=1) + "\n")


if __name__ == "__main__":
    main()
