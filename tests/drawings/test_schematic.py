"""The schematic: read back from its lines it is the netlist, and nothing lies on anything else."""

import csv
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, STRtree, box

from drawings.reread import crossings, dots_of, meetings, nets_of, wires_of
from drawings.sample_pieces import circuit, string
from drawings.sample_wired import grouped, sheets, wired, with_knobs, with_pins
from lamphouse.circuit.wired import WiredKind
from lamphouse.design.supply import Common
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.moves import bounds
from lamphouse.drawings.paper import SIZES_MM, upright
from lamphouse.drawings.resistor_body import resistor_body
from lamphouse.drawings.schematic import schematic
from lamphouse.drawings.symbols import diode, fuse, led, resistor, trim_knob
from lamphouse.record import replace
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT


def texts(sheet):
    return [item for item in sheet.drawing.items if isinstance(item, Text)]


def line_of(item):
    if isinstance(item, Circle):
        reach = item.diameter_mm / 2
        corners = ((item.x_mm - reach, item.y_mm, 1.0), (item.x_mm + reach, item.y_mm, 1.0))
        item = Path(pen=item.pen, corners=corners, closed=True)
    points = list(flatten(item.corners, error_mm=1e-3))
    return LineString(points + points[:1] if item.closed else points)


def parts(own, kind):
    return [part.name for part in own.parts if part.kind is kind]


def nets_match(sheet, own):
    """Read a sheet back; check that its nets are those of the circuit, as far as they are on it."""
    leds, resistors, knobs = (
        parts(own, kind) for kind in (WiredKind.LED, WiredKind.RESISTOR, WiredKind.TRIM)
    )
    said = {word for text in texts(sheet) for word in text.words.split()}
    plug = next(iter(parts(own, WiredKind.PLUG)), "")
    shown = {name for name in (*leds, *resistors, *knobs) if name in said} | ({plug} - {""})
    nets, probes = nets_of(
        sheet.drawing,
        leds=[name for name in leds if name in shown],
        resistors=[name for name in resistors if name in shown],
        knobs=[name for name in knobs if name in shown],
        plug=plug,
    )
    drawn = sorted(sorted(net) for net in nets.values())
    # A return without strings on this sheet has no wire on it.
    on_sheet = [[(pin.part, pin.pin) for pin in net.pins if pin.part in shown] for net in own.nets]
    wanted = sorted(sorted(net) for net in on_sheet if any(part != plug for part, _ in net))
    assert drawn == wanted
    names = {point.name: point.node for point in own.test_points}
    by_node = {net.name: frozenset((pin.part, pin.pin) for pin in net.pins) for net in own.nets}
    for name, group in probes.items():
        assert nets[group] <= by_node[names[name]], name
    return shown, set(probes)


def test_a_resistor_is_a_rectangle_three_times_as_long_as_high():
    # IEC 60617, symbol 04-01-01, proportions from memory.
    (body,) = resistor().items
    left, bottom, right, top = bounds(body)
    assert (right - left) / (top - bottom) == pytest.approx(3.0, abs=EXACT)


def test_a_variable_resistor_has_an_arrow_across_and_a_fuse_its_wire_through():
    # IEC 60617, symbols 04-01-03 and 07-21-01, from memory.
    body, shaft, head = trim_knob().items
    assert line_of(shaft).crosses(line_of(body))
    assert head.filled
    assert head.corners[0][:2] == shaft.corners[1][:2]
    shell, through = fuse().items
    assert bounds(through)[::2] == bounds(shell)[::2]


def test_an_led_is_a_triangle_to_a_bar_with_two_arrows_going_away():
    # IEC 60617, symbol 05-03-02: a diode with two arrows pointing away from it.
    items = led().items
    triangle = next(i for i in items if i.closed and not i.filled)
    tip_x = max(x for x, _, _ in triangle.corners)
    assert [c for c in triangle.corners if c[0] == tip_x] == [(tip_x, 0.0, 0.0)]
    assert not any(i.filled for i in diode().items)
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
    assert {"R1  2k7", "red, violet, red, gold", "1.49 mA", "1.21 to 1.76 mA"} <= set(said)
    assert "A meter in the common wire reads 4.9 mA, within 4.1 to 5.6 mA." in said
    assert "2-pin 1.25 mm plug, 30 AWG insulated, 160 mm" in said
    assert {"J1", "1 + common", "2 \u2212 return", "TP1", "TP2", "TP3", "TP4", "TP5"} <= set(said)


def printed(reference, name):
    with (reference / "circuit" / name).open(newline="") as file:
        return list(csv.DictReader(file))


def test_bands_are_drawn_in_the_order_they_are_read(reference):
    # IEC 60062 and worked examples; the tolerance apart from the others.
    for row in printed(reference, "colour_bands.csv"):
        wanted = row["bands"].split()
        drawn = resistor_body(replace(string("S1", 1), resistor_colour_bands=tuple(wanted)))
        bands = [i for i in drawn if isinstance(i, Path) and i.colour]
        places = [bounds(band)[0] for band in bands]
        assert places == sorted(places)
        assert [band.colour for band in bands] == wanted
        gaps = [after - before for before, after in pairwise(places)]
        # Of 20 % there is no band for the tolerance.
        assert len(wanted) == 3 or gaps[-1] > 1.2 * max(gaps[:-1])
        assert bounds(drawn[2])[0] < places[0]
        assert bounds(bands[-1])[2] < bounds(drawn[2])[2]


def test_codes_are_printed_on_the_body_of_a_chip(reference):
    for row in printed(reference, "chip_codes.csv"):
        marks = {"resistor_colour_bands": (), "resistor_code": row["code"]}
        items = resistor_body(replace(string("S1", 1), **marks))
        (code,) = [i for i in items if isinstance(i, Text)]
        assert code.words == row["code"]
        left, bottom, right, top = bounds(code)
        inner = sorted(x for i in items if isinstance(i, Path) for x in bounds(i)[::2])
        assert inner[1] < left
        assert right < inner[-2]
        assert bounds(items[0])[1] < bottom
        assert top < bounds(items[0])[3]


@st.composite
def circuits(draw):
    """Up to seven strings of up to twenty LEDs, some blinking in up to three groups."""
    lengths = draw(st.lists(st.integers(1, 20), min_size=1, max_size=7))
    names = draw(st.lists(st.sampled_from(("", "", "a", "b", "c")), min_size=7, max_size=7))
    trimmed = draw(st.lists(st.booleans(), min_size=7, max_size=7))
    pins = draw(st.integers(2, 12))
    common = draw(st.sampled_from(Common))
    paper = draw(st.sampled_from(sorted(SIZES_MM)))
    lead = draw(st.booleans())
    drawn = grouped(circuit(*lengths), names[: len(lengths)])
    return with_knobs(drawn, trimmed[: len(lengths)]), pins, common, paper, lead


@settings(max_examples=25, deadline=None)
@given(circuits())
def test_read_back_from_its_lines_it_is_the_circuit(case):
    drawn, pins, common, paper, lead = case
    pigtail = with_pins(pins) if lead else None
    own = wired(drawn, pigtail=pigtail, common=common)
    shown, probed = set(), set()
    for sheet in schematic(own, circuit=drawn, pigtail=pigtail, paper=paper):
        wires = wires_of(sheet.drawing)
        assert crossings(wires) == []
        dots = {(round(dot.x, 6), round(dot.y, 6)) for dot in dots_of(sheet.drawing)}
        assert dots == meetings(wires)
        names, probes = nets_match(sheet, own)
        shown |= names
        probed |= probes
    assert shown == {part.name for part in own.parts}
    at_plug = {pin.node for pin in own.plug_pins}
    assert probed == {point.name for point in own.test_points if point.node not in at_plug}


def renamed(drawn, name):
    """Lengthen what the maker may name; names stay unique."""
    strings = tuple(
        replace(
            string,
            name=f"{string.name} {name}".strip(),
            resistor_ohm=string.resistor_ohm * 1.2345 if name else string.resistor_ohm,
            resistor_package=replace(string.resistor_package, name=f"axial 1/4 W {name}"),
            leds=tuple(
                replace(
                    one,
                    name=f"{name} {one.name}".strip(),
                    led_type=replace(one.led_type, colour=f"white {name}"),
                )
                for one in string.leds
            ),
        )
        for string in drawn.strings
    )
    return replace(drawn, strings=strings)


NAMES = ("", "reading lamp left of the door", "Wandleuchteganzobenlinksohnel\u00fccke", "W" * 60)


@settings(max_examples=25, deadline=None)
@given(circuits(), st.sampled_from(NAMES))
def test_nothing_lies_on_anything_and_all_fits_the_field(case, name):
    drawn, pins, common, paper, lead = case
    drawn = renamed(drawn, name)
    pigtail = with_pins(pins) if lead else None
    own = wired(drawn, pigtail=pigtail, common=common)
    for sheet in schematic(own, circuit=drawn, pigtail=pigtail, paper=paper):
        width, height = upright(paper).room_mm
        assert sheet.drawing.width_mm <= width
        assert sheet.drawing.height_mm <= height
        words = [box(*bounds(text)) for text in texts(sheet)]
        lines = [line_of(i) for i in sheet.drawing.items if not isinstance(i, Text)]
        symbols = [
            box(*bounds(i))
            for i in sheet.drawing.items
            if i.pen is Pen.CUT and (isinstance(i, Circle) or i.closed)
        ]
        assert met(words, lines) == []
        assert [pair for pair in met(words, words) if pair[0] != pair[1]] == []
        assert [pair for pair in met(symbols, symbols) if pair[0] != pair[1]] == []


def met(ones, others):
    """List the pairs of indices that touch."""
    return STRtree(others).query(ones, predicate="intersects").T.tolist()


@pytest.mark.parametrize("common", list(Common))
def test_current_flows_the_way_its_arrow_points_and_through_every_led(common):
    drawn = circuit(3)
    own = wired(drawn, common=common)
    (sheet,) = schematic(own, circuit=drawn, pigtail=with_pins(2), paper="A4")
    (arrow,) = [
        i for i in sheet.drawing.items if isinstance(i, Path) and i.filled and i.pen is Pen.MARK
    ]
    tip, *base = arrow.corners
    to_the_right = all(tip[0] > x for x, _, _ in base)
    assert to_the_right == (common is Common.POSITIVE)
    said = {text.words for text in texts(sheet)}
    signs = ("+", "\u2212") if common is Common.POSITIVE else ("\u2212", "+")
    assert {f"1 {signs[0]} common", f"2 {signs[1]} return"} <= said
    for item in sheet.drawing.items:
        if isinstance(item, Path) and item.pen is Pen.CUT and len(item.corners) == 3:
            xs = [x for x, _, _ in item.corners]
            tip_right = xs.count(max(xs)) == 1
            assert tip_right == to_the_right


def test_many_strings_go_on_to_another_sheet_and_none_is_lost():
    many = sheets(*(3,) * 20)
    assert len(many) > 1
    said = [text.words for sheet in many for text in texts(sheet)]
    assert all(said.count(f"S{n + 1}") == 1 for n in range(20))
    assert [sheet.piece for sheet in many] == [f"{n + 1} of {len(many)}" for n in range(len(many))]


def test_a_plug_with_thirty_groups_shows_on_each_sheet_those_that_are_on_it():
    drawn = grouped(circuit(*(2,) * 31), [f"g{number:02}" for number in range(31)])
    own = wired(drawn, pigtail=with_pins(32))
    assert len(own.plug_pins) == 32
    shown = set()
    for sheet in schematic(own, circuit=drawn, pigtail=with_pins(32), paper="A4"):
        assert sheet.drawing.height_mm <= upright("A4").room_mm[1]
        assert crossings(wires_of(sheet.drawing)) == []
        shown |= nets_match(sheet, own)[0]
    assert shown == {part.name for part in own.parts}


def test_no_strings_no_sheet():
    assert sheets() == ()


def test_the_current_of_a_switched_plug_is_that_with_every_switch_closed():
    drawn = grouped(circuit(2, 2), ["slow", "quick"])
    own = wired(drawn, pigtail=with_pins(3))
    (sheet,) = schematic(own, circuit=drawn, pigtail=with_pins(3), paper="A4")
    (reads,) = [text.words for text in texts(sheet) if "closed" in text.words]
    assert reads == "Common wire, every switch closed: 4.9 mA, within 4.1 to 5.6 mA."


def test_without_a_pigtail_the_lead_is_not_described():
    (sheet,) = sheets(2, pigtail=None)
    said = [text.words for text in texts(sheet)]
    assert not any("plug," in words for words in said)
    assert {"+ of the supply", "\u2212 of the supply"} <= set(said)
