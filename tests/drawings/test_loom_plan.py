"""The loom drawing, flags and splitter boards: nothing is missing, true to scale, readable."""

import math

import pytest

from drawings.sample_loom_model import SALTMARSH, plan
from lamphouse.design.place import Lie
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.flag_sheets import FACE_MM
from lamphouse.drawings.floor_plan import SCALES, floor_plan
from lamphouse.drawings.lettering import LEAST_MM, width_mm
from lamphouse.drawings.loom_plan import loom_plan
from lamphouse.drawings.moves import bounds
from lamphouse.drawings.paper import lying, upright
from lamphouse.drawings.splitter_board import splitter_boards
from lamphouse.drawings.wire_flags import faces, wire_flags
from lamphouse.record import replace
from tolerances import EXACT


def drawn(made, paper="A4"):
    design = made.design
    return loom_plan(made.loom, subs=design.sub_assemblies, room=design.room, paper=paper)


def texts(drawing):
    return [item.words for item in drawing.items if isinstance(item, Text)]


def sub(made, name):
    return next(one for one in made.design.sub_assemblies if one.name == name)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("text", [None, SALTMARSH.read_text(encoding="utf-8")])
def test_everything_is_named_and_it_fits_the_paper(paper, text):
    made = plan(text) if text else plan()
    drawing = drawn(made, paper).drawing
    words = " ".join(texts(drawing))
    for name in (
        "supply",
        *(feed.splitter.name for feed in made.loom.feeds),
        *(socket.sub_assembly for socket in made.loom.sockets),
    ):
        assert name in words
    for socket in made.loom.sockets:
        runs = made.loom.runs_of(socket.feed, sub_assembly=socket.sub_assembly)
        first, last = runs[0].number, runs[-1].number
        assert f"{first} to {last}: {runs[0].length_mm:g}" in words
    rooms = (upright(paper).room_mm, lying(paper).room_mm)
    assert any(drawing.width_mm <= wide and drawing.height_mm <= high for wide, high in rooms)


def test_names_of_any_length_are_drawn():
    text = SALTMARSH.read_text(encoding="utf-8")
    long = "Wall of the instruments of the pilot station upper floor xx"
    drawing = drawn(plan(text.replace("instrument wall", long))).drawing
    assert any(long in words for words in texts(drawing))


def test_labels_lie_on_no_other():
    boxes = [bounds(item) for item in drawn(plan()).drawing.items if isinstance(item, Text)]
    for number, (left, bottom, right, top) in enumerate(boxes):
        for other in boxes[number + 1 :]:
            assert right <= other[0] or other[2] <= left or top <= other[1] or other[3] <= bottom


def test_runs_are_drawn_to_the_scale_told():
    made = plan()
    labelled = drawn(made)
    one, scale = labelled.drawn.split(":")
    assert (int(one), int(scale) in SCALES) == (1, True)
    lines = [
        ((start[0], start[1]), (end[0], end[1]))
        for item in labelled.drawing.items
        if isinstance(item, Path) and len(item.corners) == 2
        for start, end in [item.corners]
    ]
    for run in made.loom.runs:
        ends = tuple(
            tuple(part / int(scale) for part in place) for place in (run.start_mm, run.end_mm)
        )
        assert any(
            math.dist(a, ends[0]) < EXACT and math.dist(b, ends[1]) < EXACT for a, b in lines
        )


def test_where_sub_assemblies_stand():
    made = plan()
    items = floor_plan(made.design.sub_assemblies, room=made.design.room, reduction=1).items
    dots = [(i.x_mm, i.y_mm) for i in items if isinstance(i, Circle) and i.filled]
    assert dots == [(0.0, 200.0), (300.0, 160.0), (90.0, 40.0)]
    wall, bay, table = (
        item for item in items if isinstance(item, Path) and item.pen in (Pen.CUT, Pen.HIDDEN)
    )
    # Seen from the front, which looks towards the front edge of the room, its left edge is at 0.
    assert [corner[:2] for corner in wall.corners] == [(0.0, 200.0), (140.0, 200.0)]
    # The bay's chord of 2 x 60 mm x sin 60 goes towards the front edge; its arc leaves the room.
    chord = 120.0 * math.sin(math.radians(60))
    assert bay.corners[1][:2] == pytest.approx((300.0, 160.0 - chord))
    assert bounds(bay)[2] == pytest.approx(300.0 + 60.0 * (1 - math.cos(math.radians(60))))
    # The table, turned by 30 degrees about its datum corner.
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    assert table.corners[1][:2] == pytest.approx((90 + 60 * c, 40 + 60 * s))
    assert table.corners[2][:2] == pytest.approx((90 + 60 * c - 40 * s, 40 + 60 * s + 40 * c))


def test_a_wall_laid_flat_goes_back_from_its_datum_corner():
    made = plan()
    wall = sub(made, "wall")
    flat = replace(wall, stand=replace(wall.stand, y_mm=20.0, lies=Lie.FLAT))
    (face,) = (
        item
        for item in floor_plan([flat], room=None, reduction=2).items
        if isinstance(item, Path) and item.pen is Pen.HIDDEN
    )
    assert bounds(face) == pytest.approx((0.0, 10.0, 70.0, 50.0))


def test_nothing_to_draw_is_no_fault():
    assert floor_plan([], room=None, reduction=1).items


def test_every_run_has_two_flags_of_20_by_3_mm_that_hold_their_words():
    made = plan()
    (sheet,) = wire_flags(made.loom, paper="A4")
    assert sheet.drawn == "1:1"
    words = texts(sheet.drawing)
    for run in made.loom.runs:
        front, back = faces(run)
        assert words.count(front) == 2
        assert front == f"{run.number} {run.sign} | {run.feed}"
        assert back in words
        for face in (front, back):
            assert width_mm(face, height_mm=LEAST_MM) <= FACE_MM[0]
    cells = {
        (math.floor(item.x_mm / FACE_MM[0]), math.floor(item.y_mm / FACE_MM[1]))
        for item in sheet.drawing.items
        if isinstance(item, Text)
    }
    assert len(cells) == 4 * len(made.loom.runs)


def test_flags_of_a_large_model_run_over_several_pages():
    made = plan()
    many = replace(
        made.loom, runs=tuple(replace(r, number=n) for n in range(300) for r in made.loom.runs[:1])
    )
    sheets = wire_flags(many, paper="A4")
    assert len(sheets) > 1
    assert sum(len(texts(sheet.drawing)) for sheet in sheets) == 4 * 300
    wide, high = upright("A4").room_mm
    for sheet in sheets:
        assert sheet.drawing.width_mm <= wide
        assert sheet.drawing.height_mm <= high


def test_a_long_name_keeps_number_sign_and_feed():
    run = replace(plan().loom.runs[-1], number=123, sub_assembly="the far end of the long pier")
    front, back = faces(run)
    assert front.startswith("123 ")
    assert back.endswith("\u2026")


def test_every_run_has_its_pad_on_every_splitter_board():
    made = plan()
    boards = splitter_boards(made.loom)
    assert len(boards) == len(made.loom.feeds)
    for feed, board in zip(made.loom.feeds, boards, strict=True):
        numbers = [int(words) for words in texts(board.drawing) if words.isdigit()]
        own = [run.number for run in made.loom.runs if run.feed == feed.name]
        assert sorted(numbers) == own
        pads = [item for item in board.drawing.items if isinstance(item, Circle)]
        assert sum(pad.filled for pad in pads) == len(feed.splitter.rows)  # the trunk's
