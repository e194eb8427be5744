"""Stock sheets as drawings: true to the layout, in the order of cutting, readable on paper."""

import pytest
from shapely.geometry import Point, Polygon

from cutting.stock_samples import in_hand, plate
from lamphouse.catalogue.drills import standard_drills
from lamphouse.cutting.piece import DrilledHole
from lamphouse.cutting.sheets import lay_on_sheets
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.drawings.drawing import Path, Pen, Text
from lamphouse.drawings.paper import upright
from lamphouse.drawings.stock_sheet import draw_sheet, number_spot, stock_sheet
from lamphouse.findings import Where
from lamphouse.record import replace
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.outline import rectangle


@pytest.fixture(scope="module")
def sheet():
    pieces = [
        plate("frame", 120, 90, cutouts=[rectangle(100, height_mm=70)], grain="along x"),
        plate("inlay", 80, 50),
        plate("strip", 90, 8, count=2),
    ]
    stock = [in_hand(300, 200)]
    return lay_on_sheets(pieces, in_hand=stock, habits=CuttingHabits(), seed=1).sheets[0]


def cuts(drawing):
    return [item for item in drawing.items if isinstance(item, Path) and item.pen is Pen.CUT]


def words(drawing):
    return [item.words for item in drawing.items if isinstance(item, Text)]


def test_the_whole_sheet_is_true_to_size_and_cut_inside_out(sheet):
    drawing = draw_sheet(sheet)
    assert (drawing.width_mm, drawing.height_mm) == (300, 200)
    areas = [area_mm2(item.corners) for item in cuts(drawing)]
    assert areas == pytest.approx([720, 720, 4000, 7000, 10800])


def test_the_page_shows_the_same_cuts_at_a_scale_of_the_standard(sheet):
    page = stock_sheet(sheet, paper="A4")
    assert page.drawn == "1:2"
    full = [bounds_mm(item.corners) for item in cuts(draw_sheet(sheet))]
    small = [bounds_mm(item.corners) for item in cuts(page.drawing)]
    assert small == [pytest.approx([side / 2 for side in box]) for box in full]
    wide, high = upright("A4").room_mm
    assert page.drawing.width_mm <= wide
    assert page.drawing.height_mm <= high


def test_the_number_of_a_piece_stands_on_its_material(sheet):
    for one in sheet.laid:
        spot = Point(number_spot(one, scale=0.5))
        holes = [[(x, y) for x, y, _ in one.placed(c.corners)] for c in one.piece.cutouts]
        rim = [(x, y) for x, y, _ in one.placed(one.piece.outline.corners)]
        assert Polygon(rim, holes).contains(spot)
    plain = next(one for one in sheet.laid if one.piece.name == "inlay")
    left, bottom, right, top = bounds_mm(plain.placed(plain.piece.outline.corners))
    middle = ((left + right) / 2, (bottom + top) / 2)
    assert number_spot(plain, scale=0.5) == pytest.approx(middle)


def test_on_a_small_block_the_number_stands_over_its_hole_not_on_its_edge():
    hole = DrilledHole(
        number=1,
        purpose="screw",
        where=Where(item="block"),
        x_mm=0.0,
        y_mm=0.0,
        wanted_mm=1.6,
        drill=next(drill for drill in standard_drills() if drill.diameter_mm == 1.6),
        pilot=None,
    )
    block = replace(plate("block", 6, 6), holes=(hole,))
    laid = lay_on_sheets([block], in_hand=[in_hand(300, 200)], habits=CuttingHabits(), seed=1)
    (one,) = laid.sheets[0].laid
    left, bottom, right, top = bounds_mm(one.placed(block.outline.corners))
    x, y = number_spot(one, scale=0.5)
    assert (x, y) == pytest.approx(((left + right) / 2, (bottom + top) / 2), abs=0.2)


def test_a_long_name_keeps_the_end_that_tells_a_piece_from_its_like():
    box = "instrument wall of the pilot / wall with the plotting display"
    pieces = [plate(f"{box} / wall {number}", 40, 10) for number in (1, 2)]
    stock = [in_hand(300, 200)]
    laid = lay_on_sheets(pieces, in_hand=stock, habits=CuttingHabits(), seed=1).sheets[0]
    said = words(stock_sheet(laid, paper="A4").drawing)
    for number in (1, 2):
        assert [line for line in said if line.endswith(f"/ … / wall {number}")]


def test_numbers_names_grain_and_rests_are_written(sheet):
    said = words(stock_sheet(sheet, paper="A4").drawing)
    for one in sheet.laid:
        assert any(line.startswith(f"{one.order}  {one.piece.name}") for line in said)
    assert "grain" in said
    rest = sheet.offcuts[0]
    assert (
        f"- {{sheet: styrene 1.0 mm, size: {int(rest.width_mm)} x {int(rest.height_mm)} mm}}"
        in said
    )
