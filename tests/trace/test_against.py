"""A part laid over its outline: shapes of known difference, compared by numbers alone."""

import numpy as np
import pytest

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import circle, polygon, rectangle
from lamphouse.trace.against import compare
from lamphouse.trace.half_level import Side
from lamphouse.trace.refused import TraceError
from lamphouse.trace.round_holes import RoundHole
from lamphouse.trace.traced import CutOut, Deviation, TracedPart

PANEL = polygon(((0, 0), (60, 0), (60, 40), (20, 40), (0, 25)))
HOLES = (circle(2.0, x_mm=10, y_mm=10), circle(1.0, x_mm=50, y_mm=30))


def part_of(corners, *, holes=(), turn_deg=0.0, shift=(0.0, 0.0)):
    """Give a part whose edge is known exactly: no picture takes part."""
    ring = np.array(flatten(corners, error_mm=0.001))
    loop = np.vstack((ring, ring[:1]))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(loop, axis=0).T))))
    marks = np.arange(0.0, along[-1], 0.05)
    edge = np.stack([np.interp(marks, along, loop[:, axis]) for axis in (0, 1)], axis=1)
    angle = np.radians(turn_deg)
    turn = np.array(((np.cos(angle), np.sin(angle)), (-np.sin(angle), np.cos(angle))))
    cuts = []
    for x, y, diameter in holes:
        at = np.array((x, y)) @ turn + shift
        ring = RoundHole(
            x_mm=at[0],
            y_mm=at[1],
            measured_mm=diameter,
            uncertain_mm=0.01,
            drill="",
            diameter_mm=diameter,
            off_mm=np.zeros(1),
        )
        cuts.append(
            CutOut(corners=circle(diameter, x_mm=at[0], y_mm=at[1]), round=ring, off_mm=ring.off_mm)
        )
    return TracedPart(
        corners=corners,
        holes=tuple(cuts),
        uncertain_mm=0.1,
        pixel_mm=0.05,
        blur_mm=0.05,
        deviation=Deviation(rms_mm=0.0, p95_mm=0.0, max_mm=0.0, points=1),
        side=Side.LIGHTER,
        contrast=100.0,
        scale_words="",
        turned_deg=0.0,
        origin_mm=(0.0, 0.0),
        edges_mm=(edge @ turn + shift,),
        views=1,
        findings=(),
    )


TRUE = ((10.0, 10.0, 2.0), (50.0, 30.0, 1.0))


@pytest.mark.parametrize("turn_deg", [0.0, 13.0, 100.0, 181.0, 290.0])
def test_an_exact_copy_is_exact_however_it_lies(turn_deg):
    part = part_of(PANEL, holes=TRUE, turn_deg=turn_deg, shift=(31.0, -7.0))
    found = compare(part, outline=PANEL, holes=HOLES)
    assert found.deviation.max_mm < 1e-4
    assert (found.missing, found.extra, len(found.holes)) == (0, 0, 2)
    assert max(abs(h.right_mm) + abs(h.up_mm) for h in found.holes) < 1e-3
    assert max(abs(h.larger_mm) for h in found.holes) < 1e-9


def test_a_copy_cut_too_wide_all_round_is_off_by_that_much():
    grown = rectangle(60.2, height_mm=40.2, x_mm=30, y_mm=20)
    found = compare(part_of(grown, turn_deg=30.0), outline=rectangle(60, height_mm=40), holes=())
    assert found.deviation.rms_mm == pytest.approx(0.1, rel=0.01)
    assert found.off_mm.mean() == pytest.approx(0.1, rel=0.01)  # too much, so positive
    shrunk = rectangle(59.8, height_mm=39.8, x_mm=30, y_mm=20)
    found = compare(part_of(shrunk), outline=rectangle(60, height_mm=40), holes=())
    assert found.off_mm.mean() == pytest.approx(-0.1, rel=0.01)


def test_one_bad_corner_is_named_where_it_is():
    bad = polygon(((0, 0), (60, 0), (60, 40), (20, 40), (0.0, 25.0), (-0.6, 12.0)))
    found = compare(part_of(bad), outline=PANEL, holes=())
    assert found.worst_mm == pytest.approx((-0.5, 12.0), abs=0.3)
    assert found.deviation.max_mm == pytest.approx(0.5, abs=0.12)


def test_a_hole_drilled_beside_its_place_missing_or_too_many():
    drilled = ((10.3, 9.9, 2.1), (30.0, 20.0, 1.0))
    found = compare(part_of(PANEL, holes=drilled), outline=PANEL, holes=HOLES)
    (hole,) = found.holes
    assert (hole.right_mm, hole.up_mm) == pytest.approx((0.3, -0.1), abs=1e-3)
    assert hole.larger_mm == pytest.approx(0.1)
    assert (found.missing, found.extra) == (1, 1)


def test_a_square_part_lies_by_its_holes():
    square = rectangle(40, height_mm=40, x_mm=20, y_mm=20)
    part = part_of(square, holes=((8.0, 5.0, 1.0),), turn_deg=90.0)
    found = compare(part, outline=square, holes=(circle(1.0, x_mm=8, y_mm=5),))
    assert len(found.holes) == 1


def test_another_part_is_refused():
    with pytest.raises(TraceError, match="covers 2250 mm2 and the outline 400 mm2"):
        compare(part_of(PANEL), outline=rectangle(20, height_mm=20), holes=())


def test_the_part_itself_is_not_changed():
    part = part_of(PANEL, holes=TRUE)
    edge = part.edges_mm[0].copy()
    compare(part, outline=PANEL, holes=HOLES)
    assert np.array_equal(part.edges_mm[0], edge)
