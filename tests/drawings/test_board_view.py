"""Both views of a board: mirrored right, every hole once, numbers of wires where they belong."""

from itertools import pairwise

import pytest

from board.samples import demand, wall
from lamphouse.board.jig_card import make_card
from lamphouse.board.lay_board import lay_board
from lamphouse.design.supply import BoardKind
from lamphouse.drawings.board_view import enlargement, life_size, parts_view, solder_view
from lamphouse.drawings.card_view import card_view
from lamphouse.drawings.drawing import Circle, Text
from lamphouse.record import replace
from tolerances import EXACT

SCALE = 2.0


@pytest.fixture(scope="module")
def layout():
    return lay_board(demand(wall(3)), seed=1)


def places(drawing, words):
    return [
        (item.x_mm, item.y_mm)
        for item in drawing.items
        if isinstance(item, Text) and item.words == words
    ]


def test_the_solder_view_is_the_parts_view_mirrored(layout):
    wide = layout.columns * 2.54 * SCALE
    top, below = parts_view(layout, scale=SCALE), solder_view(layout, scale=SCALE)
    for wire in layout.wires:
        x, y = wire.hole.at_mm
        assert any(
            (a, b) == pytest.approx((x * SCALE, y * SCALE - 0.9), abs=EXACT)
            for a, b in places(top, str(wire.number))
        )
        assert any(
            (a, b) == pytest.approx((wide - x * SCALE, y * SCALE - 0.9), abs=EXACT)
            for a, b in places(below, str(wire.number))
        )


def test_column_numbers_run_backwards_on_the_solder_side(layout):
    def first_and_last(drawing):
        found = [places(drawing, str(column)) for column in (1, layout.columns)]
        return [max(spots, key=lambda spot: spot[1])[0] for spots in found]

    left, right = first_and_last(parts_view(layout, scale=SCALE))
    assert left < right
    left, right = first_and_last(solder_view(layout, scale=SCALE))
    assert left > right


def test_the_full_size_drawing_has_every_hole_at_the_pitch(layout):
    drawing = life_size(layout)
    holes = {(round(i.x_mm, 6), round(i.y_mm, 6)) for i in drawing.items if isinstance(i, Circle)}
    assert len(holes) == layout.columns * layout.rows
    xs = sorted({x for x, _ in holes})
    assert {round(b - a, 6) for a, b in pairwise(xs)} == {2.54}


def test_names_and_values_stand_on_the_bodies(layout):
    words = {item.words for item in parts_view(layout, scale=4.0).items if isinstance(item, Text)}
    assert {part.name for part in layout.parts} <= {word.split()[0] for word in words}


def test_every_cut_is_a_cross():
    layout = lay_board(demand(wall(3), kind=BoardKind.STRIPBOARD), seed=1)
    whole, uncut = (solder_view(one, scale=SCALE) for one in (layout, replace(layout, cuts=())))
    assert layout.cuts
    # Two strokes for the cross, and one strip more.
    assert len(whole.items) == len(uncut.items) + 3 * len(layout.cuts)


def test_a_long_board_is_drawn_as_large_as_the_room():
    long = lay_board(demand(wall(30)), seed=1)
    scale = enlargement(long, room_mm=176.0)
    assert parts_view(long, scale=scale).width_mm <= 176.0


def test_joints_of_a_card_are_numbered_once():
    needed = demand(wall(3), kind=BoardKind.POINT_TO_POINT)
    drawing = card_view(make_card(needed))
    numbers = [item.words for item in drawing.items if isinstance(item, Text)]
    assert sorted(word for word in numbers if word.isdigit()) == ["1", "2", "3", "4", "5"]
