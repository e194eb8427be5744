"""Synthetic scans at 600 dpi against the plate they show; the targets are those of the trade's job.

The plate's own distance function is the truth: no outline, fit or polygon of ours takes part in it.
"""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from part_pictures import Plate, Scan, Spoil, packed
from scipy.optimize import brentq
from scipy.special import erf
from truth import compared

from lamphouse.catalogue.drills import standard_drills
from lamphouse.trace import picture_file, scales, traced
from lamphouse.trace.edges import true_radius
from lamphouse.trace.half_level import Side
from lamphouse.trace.refused import TraceError

CENTRE_MM = 0.02
OUTLINE_MM = 0.05
"""What a scan at 600 dpi must reach: centres, and the outline as rms and as 95 percent."""
DIAMETER_MM = 0.03
"""Three quarters of a pixel at 600 dpi, twice the uncertainty stated for a clean picture."""

SPOILS = {
    "plain": Spoil(),
    "shadow": Spoil(shadow=0.6, ground=0.5, part=0.9, texture=0.03),
    "dark part on white paper": Spoil(part=0.1, ground=0.9, shadow=0.3),
    "noise and uneven light": Spoil(noise=6.0, blur_pixels=1.5, jpeg=70, uneven=0.5),
}


def traced_scan(scan, **options):
    picture = picture_file.load(packed(scan.pixels(), quality=scan.spoil.jpeg))
    scale = scales.from_dpi(scan.dpi, tagged=None)
    return traced.trace(picture, scale=scale, drills=standard_drills(), **options)


@pytest.mark.parametrize("spoil", SPOILS.values(), ids=SPOILS)
@pytest.mark.parametrize("turn_deg", [-20.0, 7.0])
def test_a_scan_at_600_dpi_is_as_true_as_it_must_be(spoil, turn_deg):
    found = compared(traced_scan(Scan(spoil=spoil, turn_deg=turn_deg)), Plate())
    assert (found.missed, found.invented) == (0, 0)
    assert found.centre_mm < CENTRE_MM
    assert max(found.rms_mm, found.p95_mm) < OUTLINE_MM
    for true, measured in found.diameters:
        assert measured == pytest.approx(true, abs=DIAMETER_MM)


def test_the_stated_figures_hold_and_the_outline_is_lines_and_arcs():
    part = traced_scan(Scan())
    assert len(part.corners) == 6  # two square corners, two arcs with both ends
    bulges = [abs(bulge) for _, _, bulge in part.corners if bulge]
    assert bulges == pytest.approx([np.tan(np.pi / 8)] * 2, abs=0.03)
    assert part.side is Side.LIGHTER
    assert abs(abs(part.turned_deg) - 7.0) < 0.02
    width, height = part.size_mm
    plate = Plate()
    assert abs(width - plate.width_mm) < part.uncertain_mm
    assert abs(height - plate.height_mm) < part.uncertain_mm
    assert part.deviation.rms_mm < traced.TOLERANCE_MM


def test_a_round_hole_is_snapped_only_to_a_drill_within_its_uncertainty():
    part = traced_scan(Scan())
    for hole in part.holes:
        ring = hole.round
        if ring and ring.drill:
            assert abs(ring.diameter_mm - ring.measured_mm) <= ring.uncertain_mm
        elif ring:
            assert ring.diameter_mm == ring.measured_mm
    six = next(hole.round for hole in part.holes if hole.round and hole.round.measured_mm > 5.0)
    assert six.drill == "6.0 mm"


def test_a_window_with_corners_is_no_round_hole():
    part = traced_scan(Scan())
    odd = [hole for hole in part.holes if hole.round is None]
    assert [len(hole.corners) for hole in odd] == [4]


def test_a_picture_too_coarse_for_the_holes_is_refused_with_what_it_would_do_for():
    with pytest.raises(TraceError, match=r"3\.5 pixels across.*--finest 0\.34 mm"):
        traced_scan(Scan(dpi=300.0), finest_hole_mm=0.3)
    traced_scan(Scan(dpi=300.0), finest_hole_mm=0.5)


def test_a_part_as_pale_as_its_ground_is_refused():
    with pytest.raises(TraceError, match=r"part and ground differ by .* are needed"):
        traced_scan(Scan(spoil=Spoil(part=0.9, ground=0.78, texture=0.03)))


def test_a_bare_ground_is_refused():
    pixels = Scan(spoil=Spoil(part=0.12)).pixels()
    with pytest.raises(TraceError):
        traced.trace(picture_file.load(packed(pixels)), scale=scales.from_dpi(600, tagged=None))


def test_a_part_that_is_cut_off_is_refused():
    pixels = Scan().pixels()
    half = pixels[:, : pixels.shape[1] // 2]
    with pytest.raises(TraceError, match="cut off"):
        traced.trace(picture_file.load(packed(half)), scale=scales.from_dpi(600, tagged=None))


def test_lighter_and_darker_things_are_one_question_and_its_answer_is_heeded():
    pixels = Scan(spoil=Spoil(part=0.65, ground=0.45, texture=0.01)).pixels().copy()
    pixels[100:1160, 80:165] = 3
    pixels[100:1160, 1095:1180] = 3
    with pytest.raises(TraceError, match="--part lighter or --part darker"):
        traced.trace(picture_file.load(packed(pixels)), scale=scales.from_dpi(600, tagged=None))
    part = traced.trace(
        picture_file.load(packed(pixels)),
        scale=scales.from_dpi(600, tagged=None),
        side=Side.LIGHTER,
    )
    assert part.size_mm[0] == pytest.approx(36.0, abs=0.1)


def test_the_way_back_leads_to_the_picture():
    scan = Scan()
    scale = scales.from_dpi(600, tagged=None)
    part = traced_scan(scan)
    spots = traced.in_pixels(part, scale, part.edges_mm[0])
    pixels = scan.pixels()
    columns, rows = np.round(spots).astype(int).T
    on_edge = pixels[rows, columns]
    assert 60 < np.median(on_edge) < 150  # between ground at 30 and part at 217


@pytest.mark.parametrize("ratio", [1.3, 2.0, 3.5, 8.0, 30.0])
def test_the_radius_of_a_blurred_disc_is_found_again(ratio):
    """A disc, blurred by numbers alone: an integral over its chords, no blurring routine."""
    blur, radius = 1.0, ratio
    across = np.linspace(-radius, radius, 20001)
    chord = np.sqrt(np.maximum(radius**2 - across**2, 0.0))

    def value(a):
        weight = np.exp(-((across - a) ** 2) / 2.0) / np.sqrt(2.0 * np.pi)
        return np.trapezoid(weight * erf(chord / np.sqrt(2.0)), across)

    half = brentq(lambda a: value(a) - 0.5, 0.0, 2.0 * radius)
    assert true_radius(half, blur) == pytest.approx(radius, rel=1e-3)
