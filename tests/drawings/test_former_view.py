"""The picture of a former put together: its scale, its names, and what hides what."""

from math import cos, hypot, radians, sin

import pytest

from cutting.test_former import KINDS, curve
from lamphouse.cutting.former import former_of
from lamphouse.drawings.drawing import Path, Text
from lamphouse.drawings.former_view import SCALES, former_view
from lamphouse.drawings.paper import upright


def view(kind):
    return former_view(former_of(curve(**KINDS[kind])), name=kind, paper="A4")


def scale_of(label):
    over, under = label.drawn.split(":")
    return float(over) / float(under)


@pytest.mark.parametrize("kind", KINDS)
def test_every_piece_is_named_and_all_fits_the_page(kind):
    label = view(kind)
    made = former_of(curve(**KINDS[kind]))
    words = {item.words for item in label.drawing.items if isinstance(item, Text)}
    assert words == {f"rib {n + 1}" for n in range(len(made.ribs))} | {
        f"upright {n + 1}" for n in range(len(made.uprights))
    }
    wide, high = upright("A4").room_mm
    assert label.drawing.width_mm <= wide
    assert label.drawing.height_mm <= high
    assert scale_of(label) in SCALES


def test_the_top_of_a_drum_is_the_ellipse_of_an_isometric_circle():
    # [ISO5456-3]: a level circle of radius r is an ellipse of half axes r sqrt(3/2) and r sqrt(1/2)
    # where lengths along the axes are drawn true.
    label = view("drum")
    scale = scale_of(label)
    lines = [item.corners for item in label.drawing.items if isinstance(item, Path)]
    spots = [(x / scale, y / scale - 80.0) for corners in lines for x, y, _ in corners]
    axes = (45 * 1.5**0.5, 45 * 0.5**0.5)
    on = [s for s in spots if abs(hypot(s[0] / axes[0], s[1] / axes[1]) - 1) < 2e-3]
    assert len(on) > 60
    assert max(s[0] for s in spots) == pytest.approx(axes[0], rel=2e-3)
    # Nothing reaches above the rim of the uppermost rib.
    assert max(s[1] for s in spots) == pytest.approx(axes[1], rel=2e-3)


def test_what_lies_behind_the_uppermost_rib_is_hidden():
    # Points well within the top of the drum: only its three slots are drawn there.
    label = view("drum")
    scale = scale_of(label)
    half_x, half_y = cos(radians(30)), sin(radians(30))
    made = former_of(curve(**KINDS["drum"]))
    for item in label.drawing.items:
        if not isinstance(item, Path):
            continue
        (ax, ay, _), (bx, by, _) = item.corners
        x, y = (ax + bx) / 2 / scale, (ay + by) / 2 / scale - 80.0
        # Back onto the level of the top: x = across, z = front.
        across = (x / half_x - y / half_y) / 2
        front = (-x / half_x - y / half_y) / 2
        if hypot(across, front) < 40:
            assert any(abs(across - place) < 2.5 and front < 2.0 for place, _ in made.uprights)
