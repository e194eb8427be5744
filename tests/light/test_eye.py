"""The eye in the dark against Blackwell's visibility and the laws of small and large targets."""

import json
from itertools import pairwise
from math import pi

import numpy as np
import pytest

from lamphouse.light.eye import (
    DARKEST_CD_M2,
    arcmin_of,
    least_seen_cd_m2,
    surround_cd_m2,
    threshold_cd_m2,
)
from tolerances import EXACT, PHYSICS

CERTAIN_GLIMPSE = 2.6 * 2.0
"""From half of the observers without limit of time to all of them in a fifth of a second."""
BETWEEN_MODELS = 0.3
"""Two fits to different readings of eyes."""
JUMP = 0.02
"""How far the pieces of the fitted curve miss each other."""
GRID = 0.15
"""Discs are tried in steps of 7.5 percent, so that areas are met within 15."""


def test_the_threshold_is_blackwells_in_daylight(reference):
    case = json.loads((reference / "leaks" / "values.json").read_text())["reference_visibility"]
    for surround in case["surround_cd_m2"]:
        contrast = 0.05936 * ((1.639 / surround) ** 0.4 + 1.0) ** 2.5
        ours = CERTAIN_GLIMPSE * threshold_cd_m2(surround, arcmin=case["disc_arcmin"]) / surround
        assert ours == pytest.approx(contrast, rel=BETWEEN_MODELS)


def test_the_pieces_of_the_curve_meet():
    for joint in (0.00418, 0.6):
        below, above = (threshold_cd_m2(joint * side, arcmin=10.0) for side in (1 - 1e-9, 1 + 1e-9))
        assert below == pytest.approx(above, rel=JUMP)


def test_a_darker_surround_shows_fainter_things():
    surrounds = np.geomspace(1e-4, 300.0, 200)
    thresholds = [threshold_cd_m2(one, arcmin=30.0) for one in surrounds]
    # Where two pieces meet the fit may step back by its jump.
    assert all(b > (1 - JUMP) * a for a, b in pairwise(thresholds))


def test_tiny_points_are_seen_by_their_flux():
    # Ricco's law: area times luminance is constant.
    seen = [
        least_seen_cd_m2(side, length_mm=side, distance_mm=600.0, surround=DARKEST_CD_M2) * side**2
        for side in (0.02, 0.03, 0.04)
    ]
    assert max(seen) / min(seen) == pytest.approx(1.0, rel=GRID)


def test_a_hair_of_light_is_seen_by_its_width():
    # A line much narrower than any disc that shows it best.
    seen = [
        least_seen_cd_m2(gap, length_mm=60.0, distance_mm=600.0, surround=DARKEST_CD_M2) * gap
        for gap in (0.01, 0.02, 0.04)
    ]
    assert max(seen) / min(seen) == pytest.approx(1.0, rel=PHYSICS)


def test_a_line_is_seen_sooner_than_a_point_of_its_width():
    point, line = (
        least_seen_cd_m2(0.05, length_mm=long, distance_mm=600.0, surround=DARKEST_CD_M2)
        for long in (0.05, 50.0)
    )
    assert line < point / 10.0


def test_the_surround_is_a_black_face_in_the_rooms_light():
    assert surround_cd_m2(0.0) == DARKEST_CD_M2
    assert surround_cd_m2(100.0 * pi) == pytest.approx(5.0, rel=EXACT)


def test_a_millimetre_is_seen_under_its_angle():
    # 1 rad is 3437.747 minutes of arc.
    assert arcmin_of(1.0, distance_mm=1000.0) == pytest.approx(3.437747, rel=1e-6)
