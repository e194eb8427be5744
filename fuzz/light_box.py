"""Draws hostile light boxes that the solver takes, and solves each in a process of its own.

Usage: ``python fuzz/light_box.py N SEED``. Every box, or set of boxes with passages, must be solved
within 10 s and 800 MB. A box is known by its seed and number, so each failure can be run again:
``python fuzz/light_box.py 1 SEED NUMBER``. What the solver refuses is drawn anew, and counted.
"""

import argparse
import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from math import cos, pi, sin
from pathlib import Path

import numpy as np

from lamphouse.light import glow
from lamphouse.light.scene import (
    Aperture,
    Baffle,
    Box,
    CosinePower,
    Diffuser,
    Disc,
    Haze,
    Lamp,
    Passage,
    Rectangle,
    Ring,
    Sheet,
    Suite,
)
from lamphouse.light.sound_box import Kind, faults
from lamphouse.light.sound_suite import size_faults
from lamphouse.light.suite_glow import solve_suite
from lamphouse.record import Record, replace

LONGEST_S = 10.0
MOST_MIB = 800e6 / 2**20
TRIES = 400
"""Draws for one box; a number for which all are refused is an error of this program."""

Generator = np.random.Generator
Shape = Callable[[Generator], Box]


class Drawn(Record):
    """What is to be solved."""

    kind: str
    boxes: tuple[Box, ...]
    passages: tuple[Passage, ...] = ()
    refused: int = 0
    """Draws before it that the solver refused."""

    def suite(self) -> Suite:
        """Give the boxes with what joins them."""
        return Suite(boxes=self.boxes, passages=self.passages)


def _between(rng: Generator, low: float, high: float) -> float:
    """Draw a length, small ones as often as large ones."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def _turned(ring: Ring, angle: float) -> Ring:
    return tuple(
        (x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)) for x, y in ring
    )


def _paint(rng: Generator) -> float:
    return float(rng.choice((0.05, 0.4, 0.85, 0.97)))


def _fill(rng: Generator) -> Diffuser | None:
    haze = Haze(diffuse=0.3, lobe=0.5, straight=0.2, lobe_deg=float(rng.uniform(2.0, 40.0)))
    opal = Diffuser(transmittance=0.55, reflectance=0.35)
    choices = (opal, opal, replace(opal, haze=haze), None)
    return choices[int(rng.integers(len(choices)))]


def _openings(rng: Generator, wide: float, high: float, *, most: int) -> tuple[Aperture, ...]:
    """Draw a loose grid of openings, rectangles and round holes."""
    across = int(rng.integers(1, max(2, int(most**0.5)) + 1))
    up = int(rng.integers(1, max(1, most // across) + 1))
    found = []
    for number in range(across * up):
        i, j = number % across, number // across
        x, y = wide * (i + 0.5) / across, high * (j + 0.5) / up
        half_x, half_y = (
            size * float(rng.uniform(0.05, 0.45)) for size in (wide / across, high / up)
        )
        shape: Rectangle | Disc = Rectangle(
            left_mm=x - half_x, right_mm=x + half_x, bottom_mm=y - half_y, top_mm=y + half_y
        )
        if rng.integers(3) == 0:
            shape = Disc(x_mm=x, y_mm=y, diameter_mm=2.0 * min(half_x, half_y))
        found.append(Aperture(name=f"A{number}", shape=shape, fill=_fill(rng)))
    return tuple(found)


def _lamps(rng: Generator, box: Box, *, most: int) -> tuple[Lamp, ...]:
    ring = np.array(box.outline)
    low, high = ring.min(axis=0), ring.max(axis=0)
    wanted, found = int(rng.integers(1, most + 1)), []
    for _ in range(50 * wanted):
        x, y = rng.uniform(low, high)
        lamp = Lamp(
            name=f"L{len(found)}",
            x_mm=float(x),
            y_mm=float(y),
            z_mm=min(0.6, 0.3 * box.depth_mm),
            direction=(0.0, 0.0, 1.0),
            beam=CosinePower(m=float(rng.choice((1.0, 1.0, 8.0)))),
            flux_lm=1.0,
        )
        alone = replace(box, lamps=(lamp,), apertures=(), baffles=())
        if not any(fault.kind is Kind.LAMP_PLACE for fault in faults(alone)):
            found.append(lamp)
        if len(found) == wanted:
            break
    return tuple(found)


def _baffles(rng: Generator, box: Box, *, most: int) -> tuple[Baffle, ...]:
    """Draw baffles that stand inside, slanted or along the walls, some lower than the box."""
    ring = np.array(box.outline)
    low, high = ring.min(axis=0), ring.max(axis=0)
    wanted = int(rng.integers(1, most + 1))
    slanted, low_ones = bool(rng.integers(4)), bool(rng.integers(4))
    found: list[Baffle] = []
    for number in range(wanted):
        middle = low + (high - low) * (
            np.array(((number + 0.5) / wanted, 0.5)) + rng.normal(0.0, 0.05, 2)
        )
        half = 0.5 * float(rng.uniform(0.1, 0.9)) * float(min(high - low))
        angle = float(rng.uniform(0.0, pi)) if slanted else pi / 2.0
        way = np.array((cos(angle), sin(angle))) * half
        start, end = middle - way, middle + way
        bottom = float(rng.choice((0.0, 0.0, 0.2))) * box.depth_mm
        top = float(rng.uniform(0.4, 1.0)) * box.depth_mm if low_ones else box.depth_mm
        baffle = Baffle(
            start_mm=(float(start[0]), float(start[1])),
            end_mm=(float(end[0]), float(end[1])),
            low_mm=bottom,
            high_mm=top,
            reflectance=_paint(rng),
        )
        if not any(f.kind is Kind.BAFFLE for f in faults(replace(box, baffles=(baffle,)))):
            found.append(baffle)
    return tuple(found)


def _room(rng: Generator, ring: Ring, *, holes: tuple[Ring, ...] = ()) -> Box:
    """Give a box over an outline, from shallow to deep, half of them with an inner sheet."""
    size = np.ptp(np.array(ring), axis=0)
    depth = min(_between(rng, 0.03, 2.0) * float(size.min()), 390.0)
    depth = max(depth, 1.2)
    sheet = None
    if rng.integers(3) == 0:
        height = depth * float(rng.uniform(0.3, 0.7))
        sheet = Sheet(height_mm=height, transmittance=0.5, reflectance=0.4)
    walls = sum(len(one) for one in (ring, *holes))
    return Box(
        outline=ring,
        holes=holes,
        depth_mm=depth,
        back_reflectance=_paint(rng),
        panel_reflectance=_paint(rng),
        wall_reflectances=tuple(_paint(rng) for _ in range(walls)),
        lamps=(),
        apertures=(),
        sheet=sheet,
    )


def _block(wide: float, high: float) -> Ring:
    return ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))


def baffled(rng: Generator) -> Box:
    """Draw many baffles in a plain box."""
    wide, high = _between(rng, 20.0, 200.0), _between(rng, 15.0, 120.0)
    box = _room(rng, _block(wide, high))
    box = replace(box, baffles=_baffles(rng, box, most=40))
    return replace(box, apertures=_openings(rng, wide, high, most=16))


def pierced(rng: Generator) -> Box:
    """Draw many openings, up to what is allowed."""
    wide, high = _between(rng, 20.0, 300.0), _between(rng, 15.0, 200.0)
    box = _room(rng, _block(wide, high))
    box = replace(box, apertures=_openings(rng, wide, high, most=200))
    return replace(box, baffles=_baffles(rng, box, most=6)) if rng.integers(2) else box


def pillared(rng: Generator) -> Box:
    """Draw pillars of a few corners or many."""
    wide, high = _between(rng, 30.0, 150.0), _between(rng, 30.0, 100.0)
    corners, across = int(rng.choice((3, 4, 8, 24))), int(rng.integers(1, 4))
    holes = []
    for number in range(across * int(rng.integers(1, 4))):
        x, y = wide * (number % across + 0.5) / across, high * (number // across + 0.5) / 3.0
        radius, turn = min(wide / across, high / 3.0) * float(rng.uniform(0.05, 0.4)), rng.random()
        holes.append(
            tuple(
                (
                    x + radius * cos(2.0 * pi * (k + turn) / corners),
                    y + radius * sin(2.0 * pi * (k + turn) / corners),
                )
                for k in range(corners)
            )
        )
    box = _room(rng, _block(wide, high), holes=tuple(holes))
    return replace(box, apertures=_openings(rng, wide, high, most=12))


def sliver(rng: Generator) -> Box:
    """Draw a long narrow box, askew, with baffles."""
    wide = _between(rng, 20.0, 600.0)
    high = max(wide * _between(rng, 0.01, 0.15), 1.2)
    box = _room(rng, _turned(_block(wide, high), float(rng.uniform(0.0, pi))))
    return replace(box, baffles=_baffles(rng, box, most=8)) if rng.integers(2) else box


def ragged(rng: Generator) -> Box:
    """Draw an outline with many corners, a comb, a star or a rounded one."""
    kind, size = int(rng.integers(3)), _between(rng, 10.0, 100.0)
    corners = int(rng.integers(3, 120))
    if kind == 0:
        teeth = corners // 3
        upper = [(size * k / teeth, size * (0.3, 0.6)[k % 2]) for k in range(teeth, -1, -1)]
        ring: Ring = ((0.0, 0.0), (size, 0.0), *upper)
    else:
        radii = (1.0, 1.0) if kind == 1 else (1.0, float(rng.uniform(0.4, 0.95)))
        ring = tuple(
            (
                size * radii[k % 2] * cos(2.0 * pi * k / (2 * corners)),
                size * radii[k % 2] * sin(2.0 * pi * k / (2 * corners)),
            )
            for k in range(2 * corners)
        )
    box = _room(rng, ring)
    return replace(box, baffles=_baffles(rng, box, most=12)) if rng.integers(2) else box


def crowded(rng: Generator) -> Box:
    """Draw up to as many lamps as are allowed."""
    wide, high = _between(rng, 30.0, 300.0), _between(rng, 30.0, 200.0)
    box = _room(rng, _block(wide, high))
    return replace(box, apertures=_openings(rng, wide, high, most=30))


def shallow(rng: Generator) -> Box:
    """Draw a box as wide for its depth as is allowed, or wider."""
    wide, high = _between(rng, 30.0, 400.0), _between(rng, 30.0, 400.0)
    box = replace(_room(rng, _block(wide, high)), depth_mm=_between(rng, 1.2, 20.0), sheet=None)
    box = replace(box, baffles=_baffles(rng, box, most=10)) if rng.integers(2) else box
    return replace(box, apertures=_openings(rng, wide, high, most=40))


SHAPES: tuple[Shape, ...] = (baffled, pierced, pillared, sliver, ragged, crowded, shallow)


def _finished(rng: Generator, shape: Shape) -> Box:
    """Give a drawn box lamps, and an opening where it has none."""
    box = shape(rng)
    box = replace(box, lamps=_lamps(rng, box, most=400 if shape is crowded else 8))
    if not box.apertures:
        middle = np.array(box.outline).mean(axis=0)
        size = 0.02 * float(np.ptp(np.array(box.outline), axis=0).min())
        hole = Disc(x_mm=float(middle[0]), y_mm=float(middle[1]), diameter_mm=max(size, 0.3))
        box = replace(box, apertures=(Aperture(name="A", shape=hole, fill=_fill(rng)),))
    return box


def _joined(rng: Generator) -> Drawn:
    """Draw two to six boxes side by side with passages between."""
    high, depth = _between(rng, 20.0, 80.0), _between(rng, 4.0, 40.0)
    edges = np.cumsum([0.0, *(_between(rng, 15.0, 90.0) for _ in range(int(rng.integers(2, 7))))])
    boxes = []
    for left, right in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        ring = ((left, 0.0), (right, 0.0), (right, high), (left, high))
        box = replace(_room(rng, ring), depth_mm=depth, sheet=None)
        if rng.integers(2):
            box = replace(box, baffles=_baffles(rng, box, most=10))
        hole = Disc(x_mm=(left + right) / 2.0, y_mm=high / 2.0, diameter_mm=(right - left) / 2.0)
        if right - left > 1.9 * high:
            hole = replace(hole, diameter_mm=high / 2.0)
        boxes.append(
            replace(
                box,
                lamps=_lamps(rng, box, most=4),
                apertures=(Aperture(name="A", shape=hole, fill=_fill(rng)),),
            )
        )
    passages = tuple(
        Passage(
            name=f"P{number}",
            boxes=(number, number + 1),
            start_mm=(x, 0.2 * high),
            end_mm=(x, float(rng.uniform(0.4, 0.9)) * high),
            low_mm=0.2 * depth,
            high_mm=0.9 * depth,
            fill=None if rng.integers(3) else Diffuser(transmittance=0.5, reflectance=0.4),
        )
        for number, x in enumerate(edges[1:-1].tolist())
    )
    return Drawn(kind="joined", boxes=tuple(boxes), passages=passages)


def hostile(*, seed: int, number: int) -> Drawn:
    """Give the boxes of a number: the first draw that the solver takes."""
    rng = np.random.default_rng((seed, number))
    kind = number % (len(SHAPES) + 1)
    for refused in range(TRIES):
        if kind == len(SHAPES):
            drawn = _joined(rng)
        else:
            shape = SHAPES[kind]
            drawn = Drawn(kind=shape.__name__, boxes=(_finished(rng, shape),))
        if not any(map(faults, drawn.boxes)) and not any(size_faults(drawn.suite())):
            return replace(drawn, refused=refused)
    silent = f"the solver takes none of {TRIES} boxes of seed {seed} number {number}"
    raise RuntimeError(silent)


def outcome(drawn: Drawn) -> int:
    """Solve boxes and give the faces they were cut into.

    Raises
    ------
    AssertionError
        Where a figure is no number, is negative, or light is lost.
    """
    solved = solve_suite(drawn.suite()) if drawn.passages else (glow.solve(drawn.boxes[0]),)
    for one in solved:
        for look in one.looks:
            spots = look.luminance_cd_m2
            if not (np.isfinite(spots).all() and spots.min() >= 0.0):
                odd = f"opening {look.name} shows {spots.min()} to {spots.max()} cd/m2"
                raise AssertionError(odd)
        if not drawn.passages and one.energy.missing > 1e-3:
            lost = f"{one.energy.missing:.4f} of the light is not accounted for"
            raise AssertionError(lost)
    return sum(one.faces for one in solved)


def own_peak_mib() -> float:
    """Give the most memory this process held, in MiB; its parent's is not counted (Linux)."""
    status = Path("/proc/self/status").read_text().splitlines()
    return next(float(line.split()[1]) for line in status if line.startswith("VmHWM")) / 1024


def _told(*, seed: int, number: int) -> dict[str, object]:
    drawn = hostile(seed=seed, number=number)
    before = own_peak_mib()
    begin = time.process_time()
    try:
        faces, fault = outcome(drawn), ""
    except Exception as error:
        faces, fault = 0, repr(error)
    return {
        "kind": drawn.kind,
        "refused": drawn.refused,
        "faces": faces,
        "took_s": time.process_time() - begin,
        "before_mib": before,
        "peak_mib": own_peak_mib(),
        "fault": fault,
    }


def run(count: int, *, seed: int, first: int = 0) -> Iterator[tuple[int, dict[str, object]]]:
    """Solve boxes one after the other, each in a process of its own; tell how each went."""
    for number in range(first, first + count):
        call = [sys.executable, str(Path(__file__)), "1", str(seed), str(number), "--here"]
        ended = subprocess.run(call, capture_output=True, text=True, check=False)
        if ended.returncode:
            yield number, {"fault": ended.stderr[-600:] or f"ended by {ended.returncode}"}
        else:
            yield number, json.loads(ended.stdout)


def main() -> int:
    """Run from the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("first", type=int, nargs="?", default=0)
    parser.add_argument("--here", action="store_true", help="in this process, for one box")
    given = parser.parse_args()
    if given.here:
        print(json.dumps(_told(seed=given.seed, number=given.first)))
        return 0
    failures = 0
    for number, told in run(given.count, seed=given.seed, first=given.first):
        took, peak, fault = (told.get(key, 0.0) for key in ("took_s", "peak_mib", "fault"))
        bad = bool(fault) or float(took) > LONGEST_S or float(peak) > MOST_MIB
        failures += bad
        words = f"{told.get('faces', 0):6d} faces {took:6.2f} s {peak:5.0f} MiB"
        print(f"{number:4d} {told.get('kind', ''):9s}{words} {'FAILED ' if bad else ''}{fault}")
    print(f"{given.count} boxes of seed {given.seed}: {failures} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
