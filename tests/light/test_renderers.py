"""The solver against what two published renderers found in the same boxes."""

import json
from math import sqrt

import numpy as np
import pytest

from lamphouse.light.glow import solve
from light.boxes import SCENES, box_of, scenes

# What was asked of the solver, in the mean and over the spots, as in test_glow.
LIT, DARK, HOLE = (0.005, 0.007), (0.010, 0.015), (0.007, 0.0)
DARK_SHARE = 0.2
SMALL_MM = 3.0
NOISIEST = 3.0
"""Spots that a renderer knows worse than this many times the limit are not held against it."""

BOXES = {
    scene["name"]: scene
    for store in ("light_scenes.json", "stress.json", "fresh/scenes.json")
    for scene in scenes(store)
}
PROGRAMS = ("path_tracer", "radiance")
SEEN = {
    program: json.loads((SCENES / "renderers" / f"{program}.json").read_text(encoding="utf-8"))
    for program in PROGRAMS
}
CASES = [(program, name) for program in PROGRAMS for name in SEEN[program]["scenes"]]


def allowance(opening, *, mean, brightest):
    if opening["shape"] == "circle" and opening["diameter_mm"] < SMALL_MM:
        return HOLE
    return DARK if mean < DARK_SHARE * brightest else LIT


@pytest.fixture(scope="module")
def looks():
    names = dict.fromkeys(name for _, name in CASES)
    return {name: {look.name: look for look in solve(box_of(BOXES[name])).looks} for name in names}


@pytest.mark.parametrize(("program", "name"), CASES)
def test_luminances_are_those_of_the_renderers(program, name, looks):
    """tests/reference/light_scenes/renderers: Mitsuba and Radiance, standard errors given.

    Two standard errors of the renderer are added to the limit of a mean. Its noise is taken off the
    spots, and of what is left three standard errors are granted: there are over a hundred openings.
    """
    records = SEEN[program]["scenes"][name]
    openings = {opening["name"]: opening for opening in BOXES[name]["apertures"]}
    brightest = max(record["mean_cd_m2"] for record in records)
    for record in records:
        look, known = looks[name][record["aperture"]], record["mean_cd_m2"]
        mean, spread = allowance(openings[record["aperture"]], mean=known, brightest=brightest)
        noise = 2.0 * record["mean_se"] / known
        assert look.mean_cd_m2 == pytest.approx(known, rel=mean + noise)
        if "grid_cd_m2" in record:
            grid = np.ravel(record["grid_cd_m2"])
            noise2 = np.mean((np.ravel(record["grid_se_cd_m2"]) / grid) ** 2)
            if noise2 > (NOISIEST * spread) ** 2:
                continue
            off2 = np.mean((look.luminance_cd_m2 / grid - 1.0) ** 2) - noise2
            scatter = sqrt((2.0 * noise2**2 + 4.0 * spread**2 * noise2) / len(grid))
            assert off2 < spread**2 + 3.0 * scatter


def test_the_stored_luminances_are_those_of_the_renderers():
    """Our own walks and Monte Carlos, which made most of the references, hold as a whole."""
    off = []
    for program, name in CASES:
        known = {one["aperture"]: one for one in BOXES[name]["reference"]["apertures"]}
        for record in SEEN[program]["scenes"][name]:
            other = known[record["aperture"]]
            error = np.hypot(record["mean_se"], other["mean_se"])
            off.append((record["mean_cd_m2"] - other["mean_cd_m2"]) / error)
    # 16 runs: t of 15 degrees of freedom, whose mean square is 15 / 13.
    assert np.mean(np.square(off)) < 15.0 / 13.0 * (1.0 + 3.0 * sqrt(2.0 / len(off)))
    assert np.max(np.abs(off)) < 5.0
