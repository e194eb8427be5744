"""Tiles cover their drawing, and neighbours show the same in the strip they share."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, box, unary_union

from drawings.sample_pieces import CEILING
from lamphouse.drawings.clip import within
from lamphouse.drawings.drawing import Circle, Drawing, Path, Pen, Text
from lamphouse.drawings.face import draw
from lamphouse.drawings.figures import rectangle
from lamphouse.drawings.moves import around, bounds
from lamphouse.drawings.paper import SIZES_MM, lying, upright
from lamphouse.drawings.tiles import OVERLAP_MM, SKIRT_MM, grid_of, key_map, tiles_of
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

CHORD_ERROR = 1e-3


def sheet(width, height, *items):
    whole = (rectangle(Pen.CUT, left=0.0, bottom=0.0, right=width, top=height), *items)
    return Drawing(
        name="sheet", left_mm=0.0, bottom_mm=0.0, width_mm=width, height_mm=height, items=whole
    )


def line_of(item):
    if isinstance(item, Circle):
        reach = item.diameter_mm / 2
        corners = ((item.x_mm - reach, item.y_mm, 1.0), (item.x_mm + reach, item.y_mm, 1.0))
        item = Path(pen=item.pen, corners=corners, closed=True)
    points = list(flatten(item.corners, error_mm=CHORD_ERROR))
    return LineString(points + points[:1] if item.closed else points)


def lines(items, pens):
    return unary_union([line_of(i) for i in items if not isinstance(i, Text) and i.pen in pens])


PIECE_PENS = frozenset({Pen.CUT, Pen.DRILL, Pen.DATUM, Pen.SIZE, Pen.CENTRE})


def test_the_ceiling_is_all_there_and_the_strips_agree():
    drawing = draw(CEILING)
    for name in SIZES_MM:
        for paper in (upright(name), lying(name)):
            grid = grid_of(drawing, room_mm=paper.room_mm)
            tiles = tiles_of(drawing, grid=grid)
            shown = unary_union([lines(tile.items, PIECE_PENS) for tile in tiles])
            missing = lines(drawing.items, PIECE_PENS).difference(shown.buffer(3 * CHORD_ERROR))
            assert missing.length < CHORD_ERROR
            for one in tiles:
                for other in tiles:
                    strip = box(*one.window).intersection(box(*other.window))
                    if one.name < other.name and strip.area:
                        inner = strip.buffer(-0.01)
                        a = lines(one.items, PIECE_PENS).intersection(inner)
                        b = lines(other.items, PIECE_PENS).intersection(inner)
                        assert a.length == pytest.approx(b.length, abs=CHORD_ERROR)
                        if a.length:
                            assert a.hausdorff_distance(b) < 3 * CHORD_ERROR


def targets(tile):
    """Give the middles of a tile's registration marks."""
    return {
        (round(i.x_mm, 9), round(i.y_mm, 9))
        for i in tile.items
        if isinstance(i, Circle) and i.pen is Pen.FRAME
    }


def test_neighbours_carry_two_marks_at_the_same_places():
    drawing = draw(CEILING)
    grid = grid_of(drawing, room_mm=upright("A4").room_mm)
    by_cell = dict(zip(grid.cells(), tiles_of(drawing, grid=grid), strict=True))
    for (column, row), tile in by_cell.items():
        for neighbour in ((column + 1, row), (column, row + 1)):
            if neighbour in by_cell:
                assert len(targets(tile) & targets(by_cell[neighbour])) == 2


def test_marks_keep_off_the_drawing():
    drawing = draw(CEILING)
    grid = grid_of(drawing, room_mm=lying("A4").room_mm)
    ink = lines(drawing.items, frozenset(Pen))
    for tile in tiles_of(drawing, grid=grid):
        for x, y in targets(tile):
            assert ink.distance(LineString([(x - 2, y), (x + 2, y)])) > 2


@settings(max_examples=60, deadline=None)
@given(st.floats(20, 900), st.floats(20, 900), st.sampled_from(sorted(SIZES_MM)))
def test_windows_fit_the_room_cover_the_drawing_and_overlap_by_ten(width, height, name):
    room = upright(name).room_mm
    drawing = sheet(width, height)
    grid = grid_of(drawing, room_mm=room)
    windows = {cell: grid.window(column=cell[0], row=cell[1]) for cell in grid.cells()}
    assert around(windows.values()) == pytest.approx((0.0, 0.0, width, height), abs=EXACT)
    skirt = 0 if grid.count == 1 else 2 * SKIRT_MM
    assert grid.width_mm + skirt <= room[0] + EXACT
    assert grid.height_mm + skirt <= room[1] + EXACT
    for (column, row), window in windows.items():
        if (right := windows.get((column + 1, row))) is not None:
            assert window[2] - right[0] == pytest.approx(OVERLAP_MM, abs=1e-6)
        if (below := windows.get((column, row + 1))) is not None:
            assert below[3] - window[1] == pytest.approx(OVERLAP_MM, abs=1e-6)


def test_all_of_a_tile_but_the_neighbours_names_lies_in_its_window():
    drawing = draw(CEILING)
    grid = grid_of(drawing, room_mm=upright("Letter").room_mm)
    for tile in tiles_of(drawing, grid=grid):
        left, bottom, right, top = tile.window
        skirt = (left - SKIRT_MM, bottom - SKIRT_MM, right + SKIRT_MM, top + SKIRT_MM)
        for item in tile.items:
            named = isinstance(item, Text) and "joins here" in item.words
            assert within(bounds(item), skirt if named else tile.window, slack_mm=1e-6)


def test_the_key_map_shows_every_tile_and_fits_its_room():
    drawing = draw(CEILING)
    grid = grid_of(drawing, room_mm=upright("A4").room_mm)
    small = key_map(drawing, grid=grid, tile="A2", room_mm=(10.0, 30.0))
    assert within(around(bounds(item) for item in small), (0.0, 0.0, 10.0, 30.0))
    cells = [i for i in small if isinstance(i, Path) and i.pen is Pen.FRAME]
    assert len(cells) == grid.count
    disc = next(i for i in small if isinstance(i, Circle))
    assert [within(bounds(disc), bounds(cell)) for cell in cells].index(True) == 1


def test_tile_names_go_past_z():
    drawing = sheet(50.0, 28 * 200.0)
    grid = grid_of(drawing, room_mm=(174.0, 218.0))
    names = [tile.name for tile in tiles_of(drawing, grid=grid)]
    assert names[:2] == ["A1", "B1"]
    assert names[25:28] == ["Z1", "AA1", "AB1"]
