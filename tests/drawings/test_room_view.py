"""The room from above and in sections: nothing is missing, true to scale, it fits the paper."""

import pytest

from drawings.sample_loom_model import SALTMARSH, plan
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.floor_plan import SCALES
from lamphouse.drawings.moves import bounds
from lamphouse.drawings.paper import lying, upright
from lamphouse.drawings.room_cut import cut_blocks, default_cuts, room_cut
from lamphouse.drawings.room_lines import things_of
from lamphouse.drawings.room_view import room_view
from lamphouse.outputs.room_pages import room_data, scene_of
from lamphouse.record import replace
from lamphouse.room.prisms import PrismKind
from tolerances import EXACT

DEMO = SALTMARSH.read_text(encoding="utf-8")


def scene(text=None):
    made = plan(text) if text else plan()
    return scene_of(made, made.room_plan)


def words(drawing):
    return [item.words for item in drawing.items if isinstance(item, Text)]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("text", [None, DEMO])
def test_everything_is_named_and_it_fits_the_paper(paper, text):
    shown = scene(text)
    cuts = default_cuts(shown)
    labels = [room_view(shown, cuts=cuts, paper=paper)]
    labels += [room_cut(shown, cut, paper=paper) for cut in cuts]
    rooms = (upright(paper).room_mm, lying(paper).room_mm)
    for label in labels:
        drawing = label.drawing
        assert any(drawing.width_mm <= wide and drawing.height_mm <= high for wide, high in rooms)
        one, scale = label.drawn.split(":")
        assert (one, int(scale) in SCALES) == ("1", True)
    said = " ".join(words(labels[0].drawing))
    for number, out in enumerate(shown.room_plan.removal.out, start=1):
        assert f"{number} {out.sub_assembly}" in said
    for cut in cuts:
        assert words(labels[0].drawing).count(cut.name) == 2


def test_labels_lie_on_no_other():
    label = room_view(scene(), cuts=(), paper="A4")
    boxes = [bounds(item) for item in label.drawing.items if isinstance(item, Text)]
    for number, (left, bottom, right, top) in enumerate(boxes):
        for other in boxes[number + 1 :]:
            assert right <= other[0] or other[2] <= left or top <= other[1] or other[3] <= bottom


@pytest.mark.parametrize("text", [None, DEMO])
def test_no_leader_underlines_the_name_of_something_else(text):
    # a name with a line right below it reads as a dimension [ISO128]
    items = room_view(scene(text), cuts=(), paper="A4").drawing.items
    boxes = [bounds(item) for item in items if isinstance(item, Text)]
    lines = [item for item in items if isinstance(item, Path) and item.pen is Pen.SIZE]
    for leader in (one for one in lines if len(one.corners) == 2 and not one.closed):
        spots = [
            tuple(a + share / 20 * (b - a) for a, b in zip(*leader.corners, strict=True))
            for share in range(21)
        ]
        near = [min(_gap(box, spot) for spot in spots) for box in boxes]
        if sum(gap < 0.36 for gap in near) == 1:  # its own
            assert not any(0.36 <= gap < 0.95 for gap in near)


def _gap(box, spot):
    left, bottom, right, top = box
    x, y = spot[:2]
    return max(left - x, x - right, 0.0) + max(bottom - y, y - top, 0.0)


def test_the_name_of_a_long_hatch_lies_in_it():
    items = room_view(scene(DEMO), cuts=(), paper="A4").drawing.items
    (name,) = [bounds(item) for item in items if isinstance(item, Text) and item.words == "back"]
    (hatch,) = [bounds(item) for item in items if isinstance(item, Path) and item.pen is Pen.SCORE]
    assert hatch[0] < name[0] < name[2] < hatch[2]
    assert hatch[1] < name[1] < name[3] < hatch[3]


def test_panels_and_plugs_are_drawn_where_they_stand_to_scale():
    shown = scene()
    label = room_view(shown, cuts=(), paper="A4")
    small = 1.0 / int(label.drawn.split(":")[1])
    panels = [
        bounds(item)
        for item in label.drawing.items
        if isinstance(item, Path) and item.pen in (Pen.CUT, Pen.HIDDEN) and item.closed
    ]
    for thing in things_of(shown):
        if thing.first.kind is PrismKind.PANEL:
            expected = pytest.approx([side * small for side in thing.footprint.bounds_mm])
            assert any(list(box) == expected for box in panels), thing.first.words
    holes = {
        (round(item.x_mm / small, 6), round(item.y_mm / small, 6))
        for item in label.drawing.items
        if isinstance(item, Circle) and item.pen is Pen.DRILL
    }
    assert holes == {(hole.x_mm, hole.y_mm) for hole in shown.loom.holes}


def test_a_section_shows_what_the_line_goes_through():
    # Along y = 40 mm, 20 mm past the table's corner at (90, 40), which is turned by 30 degrees.
    shown = scene()
    cut = replace(default_cuts(shown)[0], start_mm=(-10.0, 60.0), end_mm=(310.0, 60.0))
    blocks = {(b.kind, b.owner, b.name): b for b in cut_blocks(shown, cut)}
    floor = blocks[PrismKind.FLOOR, "", "floor"]
    assert (floor.from_mm, floor.to_mm) == pytest.approx((10, 310))
    assert (floor.low_mm, floor.high_mm) == pytest.approx((-3, 0))
    table = blocks[PrismKind.PANEL, "table", "top"]
    # By hand: the left edge goes up at 120 degrees, the lower one at 30: x = 90 - 20 tan 30, and
    # 90 + 20 / tan 30; a table of 60 x 40 mm reaches both.
    left, right = 90 - 20 * 3**-0.5, 90 + 20 * 3**0.5
    assert (table.from_mm, table.to_mm) == pytest.approx((left + 10, right + 10), abs=1e-6)
    assert (table.low_mm, table.high_mm) == pytest.approx((29, 30))
    assert (PrismKind.PANEL, "wall", "face") not in blocks


def test_a_section_is_drawn_to_its_scale():
    shown = scene()
    (cut, _) = default_cuts(shown)
    label = room_cut(shown, cut, paper="A4")
    small = 1.0 / int(label.drawn.split(":")[1])
    sizes = [item for item in label.drawing.items if isinstance(item, Text) and item.words == "150"]
    assert sizes  # the room's height
    boxes = [bounds(item) for item in label.drawing.items if isinstance(item, Path) and item.closed]
    for block in cut_blocks(shown, cut):
        expected = pytest.approx(
            [side * small for side in (block.from_mm, block.low_mm, block.to_mm, block.high_mm)],
            abs=EXACT,
        )
        assert any(list(box) == expected for box in boxes), block


def test_without_wishes_the_cuts_go_through_the_middle():
    shown = scene()
    across, back = default_cuts(shown)
    assert {across.start_mm[1], across.end_mm[1]} == {100.0}
    assert {back.start_mm[0], back.end_mm[0]} == {150.0}
    assert [cut.name for cut in default_cuts(scene(DEMO))] == ["A", "B"]


def test_the_sheet_lists_everything_with_its_way():
    made = plan(DEMO)
    data = room_data(made, made.room_plan)
    assert {row[1] for row in data["rows"]} == {sub.name for sub in made.design.sub_assemblies}
    rows = {row[1]: row for row in data["rows"]}
    assert rows["chart table"][2:] == ("front", "nothing", "tweezers from front, 70 mm in")
    assert rows["bay"][4] == "tweezers from hatch 'back'"


def test_the_air_to_the_hull_is_given_in_the_section():
    # Saltmarsh, section A: the bay's outer face at 360 + 71 mm, the skin at 446 mm on the same
    # level of 130 mm; the cut lies 8 mm before it, where both have gone back a little.
    shown = scene(DEMO)
    label = room_cut(shown, default_cuts(shown)[0], paper="A4")
    figures = [float(item) for item in words(label.drawing) if item.replace(".", "").isdigit()]
    assert any(14.5 < figure < 15.5 for figure in figures)
