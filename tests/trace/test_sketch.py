"""Line drawings followed along the middle of their lines, and shiny parts that mirror the room.

Synthetic drawings of a plate: the middle of every drawn line is its edge exactly.
"""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from part_pictures import Plate, Scan, Sketch, Spoil, mirrored, packed
from truth import compared

from lamphouse.trace import picture_file, scales, traced
from lamphouse.trace.refused import TraceError

PLATE = Plate(
    width_mm=60.0,
    height_mm=40.0,
    radius_mm=6.0,
    holes=((10, 10, 3.0), (30, 10, 5.0), (50, 10, 3.0), (12, 28, 10.0)),
    window=(28, 18, 42, 30),
)
FRET = Plate(holes=((5.0, 5.0, 1.0), (20.0, 6.0, 1.0), (28.0, 6.0, 2.0), (8.0, 16.0, 6.0)))
DRAWINGS = {
    "ink": Sketch(plate=PLATE),
    "wide pen": Sketch(plate=PLATE, line_mm=0.6),
    "pencil": Sketch(
        plate=PLATE, line_mm=0.4, pencil=0.2, spoil=Spoil(part=0.5, ground=0.9, texture=0.02)
    ),
    "a small gap": Sketch(plate=PLATE, gap_mm=0.6),
}


def load(pixels):
    return picture_file.load(packed(pixels, quality=92))


def drawn(pixels, **options):
    scale = scales.from_dpi(300.0, tagged=None)
    told = {"finest_hole_mm": 1.0, "tolerance_mm": 0.1, "is_sketch": True, **options}
    return traced.trace(load(pixels), scale=scale, **told)


@pytest.mark.parametrize("sketch", DRAWINGS.values(), ids=DRAWINGS)
def test_a_drawing_is_traced_along_the_middle_of_its_lines(sketch):
    part = drawn(sketch.pixels())
    found = compared(part, PLATE)
    assert (found.missed, found.invented) == (0, 0)
    assert found.centre_mm < 0.05
    assert found.rms_mm < 0.04
    assert abs(max(part.size_mm) - PLATE.width_mm) < part.uncertain_mm
    for true, measured in found.diameters:
        assert measured == pytest.approx(true, abs=0.08)


@pytest.mark.parametrize(
    "pixels",
    [Sketch(plate=PLATE, gap_mm=6.0).pixels(), Scan(plate=PLATE, dpi=300.0).pixels()],
    ids=["open", "a part"],
)
def test_what_is_no_closed_drawing_is_refused(pixels):
    with pytest.raises(TraceError) as told:
        drawn(pixels)
    assert told.value.finding.code in {"TRC034", "TRC037"}


def test_a_drawing_taken_for_a_part_is_told():
    part = drawn(Sketch(plate=PLATE).pixels(), is_sketch=False)
    assert "TRC038" in {one.code for one in part.findings}


@pytest.mark.parametrize(("depth", "ground"), [(0.2, 0.12), (0.4, 0.12), (0.7, 0.12), (1.0, 0.4)])
def test_shiny_metal_is_traced_or_refused_never_made_up(depth, ground):
    scan = Scan(plate=FRET, dpi=300.0, spoil=Spoil(ground=ground))
    scale = scales.from_dpi(300.0, tagged=None)
    picture = load(mirrored(scan, depth=depth))
    if depth > 0.4:
        with pytest.raises(TraceError) as told:
            traced.trace(picture, scale=scale, finest_hole_mm=0.6)
        assert told.value.finding.code in {"TRC020", "TRC021", "TRC027"}
        return
    part = traced.trace(picture, scale=scale, finest_hole_mm=0.6)
    found = compared(part, FRET)
    assert (found.missed, found.invented) == (0, 0)
    assert max(found.rms_mm, found.p95_mm) < 0.05
