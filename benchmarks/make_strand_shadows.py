"""Walk through light boxes with and without a strand, and store the shadow it throws.

Usage: ``python benchmarks/make_strand_shadows.py [--error E] [--fresh | --pillars]``. Each case
is a box of the design with one opening and one strand. The walks see the strand as an upright
cylinder of 24 chords, each LED as 32 small lamps spread over its face; they share nothing with the
shadows that ``light`` predicts but the records of the box. What is stored is the share of its light
that each of the 48 parts of the opening loses, with its standard error.
"""

import argparse
import json
import sys
from math import cos, pi, sin, sqrt
from pathlib import Path

import numpy as np

from lamphouse.record import replace

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from lamphouse.light.strand_posts import face_spots  # noqa: E402
from lamphouse.light.verify import Effort, verify  # noqa: E402
from light.strand_boxes import CASES, drawn_case, fresh_cases, pillared_cases  # noqa: E402 - found beside the tests

OUT = ROOT / "tests" / "reference" / "strand_shadows"
CHORDS = 24
SEED = 5


def with_faces(drawn):
    """Give the scene with each lamp spread over the face of its LED."""
    lamps = []
    for led, lamp in zip(drawn.box.leds, drawn.scene.lamps, strict=True):
        spots = face_spots(led, lamp=lamp, drawn=drawn)
        lamps += [
            replace(lamp, x_mm=float(x), y_mm=float(y), flux_lm=lamp.flux_lm / len(spots))
            for x, y in spots
        ]
    return replace(drawn.scene, lamps=tuple(lamps))


def with_post(scene, *, post, paint):
    """Stand a dark cylinder in a box."""
    turn = 2.0 * pi / CHORDS
    radius = post.radius_mm * sqrt(turn / sin(turn))
    ring = tuple(
        (post.x_mm + radius * cos(turn * k), post.y_mm + radius * sin(turn * k))
        for k in range(CHORDS)
    )
    corners = sum(len(one) for one in (scene.outline, *scene.holes))
    walls = (paint,) * corners + (0.0,) * CHORDS
    return replace(scene, holes=(*scene.holes, ring), wall_reflectances=walls)


def main() -> None:
    """Walk through every case and store what is lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--error", type=float, default=0.001)
    parser.add_argument("--walks", type=int, default=4_000_000)
    parser.add_argument("--fresh", action="store_true", help="the boxes drawn by lot")
    parser.add_argument("--pillars", action="store_true", help="those by lot that have pillars")
    given = parser.parse_args()
    kept, cases = "values.json", CASES
    if given.fresh or given.pillars:
        kept = "fresh.json" if given.fresh else "pillars.json"
        cases = fresh_cases() if given.fresh else pillared_cases()
    out = OUT / kept
    effort = Effort(relative_error=given.error, most_walks=given.walks)
    stored = {}
    for name, case in cases.items():
        drawn, post = drawn_case(case)
        free = with_faces(drawn)
        seen = [
            verify(scene, seed=SEED, effort=effort).openings[0]
            for scene in (free, with_post(free, post=post, paint=case["paint"]))
        ]
        left = seen[1].spot_cd_m2 / seen[0].spot_cd_m2
        noise = left * np.hypot(*(one.spot_error_cd_m2 / one.spot_cd_m2 for one in seen))
        whole = seen[1].mean_cd_m2 / seen[0].mean_cd_m2
        stored[name] = {
            "lost": [round(float(one), 5) for one in 1.0 - left],
            "lost_error": [round(float(one), 5) for one in noise],
            "mean_lost": round(1.0 - whole, 5),
            "mean_lost_error": round(float(np.hypot(*(one.relative_error for one in seen))), 5),
        }
        print(name, stored[name]["mean_lost"], max(stored[name]["lost"]), flush=True)
        OUT.mkdir(exist_ok=True)
        out.write_text(json.dumps(stored, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
