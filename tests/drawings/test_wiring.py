"""The wiring diagram: every part of every string there once, joined from plus to minus."""

import pytest
from shapely import LineString, box
from shapely.ops import unary_union

from drawings.sample_pieces import PIGTAIL, circuit
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.moves import bounds
from lamphouse.drawings.paper import SIZES_MM, upright
from lamphouse.drawings.symbols import led, resistor
from lamphouse.drawings.wiring import wiring_sheets
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT


def sheets(*leds, paper="A4", pigtail=PIGTAIL):
    return wiring_sheets(circuit(*leds), pigtail=pigtail, paper=paper)


def texts(sheet):
    return [item for item in sheet.drawing.items if isinstance(item, Text)]


def line_of(item):
    if isinstance(item, Circle):
        reach = item.diameter_mm / 2
        corners = ((item.x_mm - reach, item.y_mm, 1.0), (item.x_mm + reach, item.y_mm, 1.0))
        item = Path(pen=item.pen, corners=corners, closed=True)
    points = list(flatten(item.corners, error_mm=1e-3))
    return LineString(points + points[:1] if item.closed else points)


def test_a_resistor_is_a_rectangle_three_times_as_long_as_high():
    # IEC 60617, symbol 04-01-01, proportions from memory.
    (body,) = resistor()
    left, bottom, right, top = bounds(body)
    assert (right - left) / (top - bottom) == pytest.approx(3.0, abs=EXACT)


def test_an_led_is_a_triangle_to_a_bar_with_two_arrows_going_away():
    # IEC 60617, symbol 05-03-02: a diode with two arrows pointing away from it.
    items = led()
    triangle = next(i for i in items if i.closed and not i.filled)
    tip_x = max(x for x, _, _ in triangle.corners)
    assert [c for c in triangle.corners if c[0] == tip_x] == [(tip_x, 0.0, 0.0)]
    arrows = [i for i in items if i.filled]
    assert len(arrows) == 2
    for arrow in arrows:
        tip, *base = arrow.corners
        assert all(tip[1] > y for _, y, _ in base)


def test_every_led_stands_in_its_string_in_order_from_plus():
    (sheet,) = sheets(3, 2, 13)
    by_words = {text.words: text for text in texts(sheet)}
    for name, leds in (("S1", 3), ("S2", 2), ("S3", 13)):
        places = [
            (-by_words[f"{name}-{n + 1}"].y_mm, by_words[f"{name}-{n + 1}"].x_mm)
            for n in range(leds)
        ]
        assert places == sorted(places)
        assert by_words[name].x_mm < places[0][1]


def test_value_bands_current_and_plug_are_written():
    (sheet,) = sheets(3)
    said = [text.words for text in texts(sheet)]
    assert {"2k7", "red, violet, red, gold", "1.49 mA", "1.21 to 1.76 mA"} <= set(said)
    assert "A meter in the plug reads 4.9 mA, within 4.1 to 5.6 mA." in said
    assert "2-pin 1.25 mm plug, 30 AWG insulated, 160 mm" in said


@pytest.mark.parametrize("paper", sorted(SIZES_MM))
@pytest.mark.parametrize("leds", [(1,), (3, 2, 13), (6,) * 9, (40,)])
def test_no_words_lie_on_anything_and_all_fits_the_field(paper, leds):
    for sheet in sheets(*leds, paper=paper):
        width, height = upright(paper).room_mm
        assert sheet.drawing.width_mm <= width
        assert sheet.drawing.height_mm <= height
        boxes = [box(*bounds(text)) for text in texts(sheet)]
        lines = unary_union([line_of(i) for i in sheet.drawing.items if not isinstance(i, Text)])
        for number, one in enumerate(boxes):
            words = texts(sheet)[number].words
            assert not one.intersects(lines), words
            assert not any(one.intersects(other) for other in boxes[:number]), words


def test_a_finger_can_go_from_plus_to_minus_along_wires_and_symbols():
    for sheet in sheets(3, 2, 13):
        inked = [
            line_of(i).buffer(0.01)
            for i in sheet.drawing.items
            if not isinstance(i, Text) and i.pen in (Pen.MARK, Pen.CUT)
        ]
        assert unary_union(inked).geom_type == "Polygon"


def test_many_strings_go_on_to_another_sheet_and_none_is_lost():
    many = sheets(*(3,) * 20)
    assert len(many) > 1
    said = [text.words for sheet in many for text in texts(sheet)]
    assert all(said.count(f"S{n + 1}") == 1 for n in range(20))
    assert [sheet.piece for sheet in many] == [f"{n + 1} of {len(many)}" for n in range(len(many))]


def test_no_strings_no_sheet():
    assert sheets() == ()


def test_without_a_pigtail_the_lead_is_not_described():
    (sheet,) = sheets(2, pigtail=None)
    assert not any("plug," in text.words for text in texts(sheet))
