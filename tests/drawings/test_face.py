"""Pieces as drawings: every hole where it is, every label where nothing else is."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, box

from drawings.sample_pieces import BACK, CROWDED, FASCIA, WALL, block, hole, piece
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.face import draw, panel_sheets
from lamphouse.drawings.moves import bounds
from lamphouse.record import replace
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT


def texts(drawing):
    return [item for item in drawing.items if isinstance(item, Text)]


def line_of(path):
    points = list(flatten(path.corners, error_mm=1e-3))
    return LineString(points + points[:1] if path.closed else points)


def ink(drawing):
    """Give every line of a drawing as the polygon library sees it."""
    shapes = []
    for item in drawing.items:
        if isinstance(item, Path):
            shapes.append(line_of(item))
        elif isinstance(item, Circle):
            reach = item.diameter_mm / 2
            corners = ((item.x_mm - reach, item.y_mm, 1.0), (item.x_mm + reach, item.y_mm, 1.0))
            shapes.append(line_of(Path(pen=item.pen, corners=corners, closed=True)))
    return shapes


def assert_clear(drawing):
    """Assert that no text lies on a line or on another text."""
    boxes = [box(*bounds(text)) for text in texts(drawing)]
    for number, one in enumerate(boxes):
        words = texts(drawing)[number].words
        assert not any(one.intersects(line) for line in ink(drawing)), words
        assert not any(one.intersects(other) for other in boxes[:number]), words


@pytest.mark.parametrize("one", [FASCIA, CROWDED, WALL, BACK], ids=lambda one: one.name)
@pytest.mark.parametrize("mirror", [False, True])
def test_no_label_lies_on_anything(one, mirror):
    assert_clear(draw(one, mirror=mirror))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(2, 38), st.integers(2, 28)), min_size=1, max_size=40, unique=True
    ),
    st.booleans(),
)
def test_no_label_lies_on_anything_however_the_holes_fall(places, mirror):
    holes = tuple(hole(n + 1, float(x), float(y)) for n, (x, y) in enumerate(places))
    drawing = draw(piece("any", block(40.0, 30.0), holes=holes), mirror=mirror)
    assert_clear(drawing)
    numbers = {text.words for text in texts(drawing)} & {str(h.number) for h in holes}
    note = any("count on" in text.words for text in texts(drawing))
    assert note == (len(numbers) < len(holes))


def test_twelve_holes_at_2_9_mm_are_all_numbered_beside_their_hole():
    drawing = draw(FASCIA)
    by_words = {text.words: text for text in texts(drawing)}
    for one in FASCIA.holes:
        left, bottom, right, top = bounds(by_words[str(one.number)])
        middle = ((left + right) / 2, (bottom + top) / 2)
        nearest = min(FASCIA.holes, key=lambda h: math.dist((h.x_mm, h.y_mm), middle))
        assert nearest.number == one.number


def test_in_a_crowded_field_no_row_is_left_without_the_number_of_an_end():
    said = {text.words for text in texts(draw(CROWDED))}
    for first, last in ((1, 12), (13, 24), (25, 36), (37, 48)):
        assert {str(first), str(last)} & said


def circles(drawing):
    return sorted(
        (round(i.x_mm, 6), round(i.y_mm, 6), i.diameter_mm)
        for i in drawing.items
        if isinstance(i, Circle) and i.pen is Pen.DRILL
    )


def test_holes_stand_at_their_places_with_the_drill_that_makes_them():
    assert circles(draw(FASCIA)) == sorted(
        (round(h.x_mm, 6), h.y_mm, h.drill.diameter_mm) for h in FASCIA.holes
    )


def test_the_back_is_the_front_mirrored_about_the_middle_of_the_piece():
    front, back = circles(draw(FASCIA)), circles(draw(FASCIA, mirror=True))
    assert back == sorted((round(40.0 - x, 6), y, d) for x, y, d in front)


def test_words_are_never_mirrored_and_the_back_says_so():
    back = draw(WALL, mirror=True)
    assert "BACK - mirrored" in [text.words for text in texts(back)]
    assert "BACK - mirrored" not in [text.words for text in texts(draw(WALL))]
    assert {text.turn_deg for text in texts(back)} == {0.0, 90.0}
    front_sheet, back_sheet = panel_sheets(WALL)
    assert (front_sheet.face, back_sheet.face) == ("front", "back, mirrored")


def datum(drawing):
    (edge,) = (i for i in drawing.items if isinstance(i, Path) and i.pen is Pen.DATUM)
    return edge.corners[1][:2]


def test_the_datum_corner_is_lower_left_and_on_the_back_lower_right():
    assert datum(draw(WALL)) == pytest.approx((-1.5, -1.5), abs=EXACT)
    assert datum(draw(WALL, mirror=True)) == pytest.approx((161.5, -1.5), abs=EXACT)


def test_the_sizes_are_the_piece_measured_over_all():
    said = [text.words for text in texts(draw(piece("odd", block(58.25, 14.005))))]
    assert said == ["58.25", "14.01"]


def test_extension_lines_stand_at_the_ends_of_what_is_measured():
    drawing = draw(piece("bar", block(58.0, 14.0)))
    upright_lines = [
        item.corners
        for item in drawing.items
        if isinstance(item, Path)
        and item.pen is Pen.SIZE
        and len(item.corners) == 2
        and item.corners[0][0] == item.corners[1][0]
    ]
    assert {corners[0][0] for corners in upright_lines} >= {0.0, 58.0}


def test_plus_lies_at_the_left_end_and_turns_with_the_package():
    def plus(turn_deg):
        mark = replace(BACK.seats[0], turn_deg=turn_deg)
        drawing = draw(replace(BACK, seats=(mark,)))
        bar = next(
            i for i in drawing.items if isinstance(i, Path) and i.filled and i.pen is Pen.MARK
        )
        left, bottom, right, top = bounds(bar)
        return (left + right) / 2 - mark.x_mm, (bottom + top) / 2 - mark.y_mm

    # The bar's middle lies three eighths of 1.6 mm from the package's middle.
    assert plus(0.0) == pytest.approx((-0.6, 0.0), abs=EXACT)
    assert plus(90.0) == pytest.approx((0.0, -0.6), abs=EXACT)
    assert plus(180.0) == pytest.approx((0.6, 0.0), abs=EXACT)


@pytest.mark.parametrize("towards_deg", [0.0, 130.0])
def test_a_tilted_led_has_its_angle_and_an_arrow_its_way(towards_deg):
    mark = replace(BACK.seats[0], tilt_deg=30.0, towards_deg=towards_deg, on_wedge=True)
    drawing = draw(replace(BACK, seats=(mark,), holes=()))
    heads = [
        item
        for item in drawing.items
        if isinstance(item, Path)
        and item.filled
        and item.pen is Pen.MARK
        and len(item.corners) == 3
    ]
    ((x, y, _), *_) = heads[0].corners
    assert len(heads) == 1
    way = math.degrees(math.atan2(y - mark.y_mm, x - mark.x_mm))
    assert way == pytest.approx(towards_deg, abs=EXACT)
    assert f"{mark.led} 30 deg" in {text.words for text in texts(drawing)}
    assert not any(
        "deg" in text.words for text in texts(draw(replace(BACK, seats=(BACK.seats[0],))))
    )


def test_openings_are_named_in_or_beside_them():
    said = {text.words for text in texts(draw(WALL))}
    assert {"plotting display", "Ø32 mm", "tide board", "60 x 15 mm"} <= said
    assert "slot beside the door" in said


def test_feet_that_are_glued_on_are_marked():
    foot = block(10.0, 1.0, left=3.0, bottom=3.0)
    marks = [
        item.corners
        for item in draw(replace(BACK, glued=(foot,))).items
        if isinstance(item, Path) and item.pen is Pen.MARK
    ]
    assert foot.corners in marks


def test_the_same_piece_gives_the_same_drawing():
    assert draw(WALL) == draw(WALL)


def test_a_thousand_holes_are_all_drawn():
    holes = tuple(hole(n + 1, 3.0 + 5.0 * (n % 40), 3.0 + 5.0 * (n // 40)) for n in range(1000))
    drawing = draw(piece("field", block(206.0, 130.0), holes=holes))
    assert len(circles(drawing)) == 1000


@pytest.mark.parametrize("mirror", [False, True])
@pytest.mark.parametrize("wide", [6.0, 28.0, 55.0, 90.0])
@pytest.mark.parametrize("high", [2.0, 3.0, 5.0, 7.0, 12.0])
def test_no_note_of_a_narrow_ledge_lies_on_a_size(wide, high, mirror):
    """The arrows of a height too small for them stand outside, the lower one beside the notes."""
    note = "Glue it round the inside of the walls, its upper edge 6.00 mm over the back."
    ledge = replace(piece("ledge", block(wide, high)), notes=(note, note))
    assert_clear(draw(ledge, mirror=mirror))
