"""The small picture of a panel: it fits, keeps its shape, and names what is there."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.sketch import sketch
from lamphouse.shapes.measure import size_mm
from outputs.sample_plan import design
from tolerances import EXACT

CHART_TABLE, CONSOLE = design().sub_assemblies
ROOM = st.tuples(st.floats(20, 200), st.floats(20, 200))


def drawn(sub, room_mm):
    return sketch(
        sub.panels[0],
        boxes=[box for _, box in sub.boxes],
        strands=[strand for _, strand in sub.strands],
        room_mm=room_mm,
    )


@settings(deadline=None)
@given(ROOM)
def test_the_panel_fits_and_keeps_its_shape(room_mm):
    picture = drawn(CHART_TABLE, room_mm)
    (outline,) = [item for item in picture.items if item.pen is Pen.CUT]
    width, height = size_mm(outline.corners)
    assert width <= room_mm[0]
    assert height <= room_mm[1]
    assert width / height == pytest.approx(84 / 52, rel=EXACT)


def test_leds_are_named_and_stand_in_their_box():
    picture = drawn(CHART_TABLE, (80.0, 60.0))
    assert {item.words for item in picture.items if isinstance(item, Text)} == {
        *("W1", "W2", "W3", "W4")
    }
    (box,) = [item for item in picture.items if isinstance(item, Path) and item.pen is Pen.HIDDEN]
    xs, ys, _ = zip(*box.corners, strict=True)
    for dot in (item for item in picture.items if isinstance(item, Circle)):
        assert min(xs) < dot.x_mm < max(xs)
        assert min(ys) < dot.y_mm < max(ys)


def test_a_row_of_strands_is_flagged_at_its_ends():
    picture = drawn(CONSOLE, (80.0, 40.0))
    assert {item.words for item in picture.items if isinstance(item, Text)} == {"G1", "G12"}
    assert sum(isinstance(item, Circle) for item in picture.items) == 12
