"""From text to design: Saltmarsh as its scenario tells it, and every fault at its place."""

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.design.lightbox import Seat
from lamphouse.design.pattern import PatternKind
from lamphouse.findings import Severity
from lamphouse.project.read import read_project, read_shelf, read_text
from lamphouse.project.starter import demo_text
from lamphouse.project.tree import MOST_BYTES
from lamphouse.record import replace
from project.projects import SALTMARSH, SMALL, codes, line_of, only, read, small
from tolerances import EXACT

SUPPLY = "supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}"
LAMP = "lamp: {type: white 0603, at: [76 mm, 40 mm], current: 1 mA}"
STRAND = "F: {fibre: fibre 0.5 mm, at: [5 mm, 5 mm], group: glow}"
SCREEN = "screen: {shape: rectangle 20 x 10 mm, at: [34 mm, 26 mm], look: lit}"


@pytest.fixture(scope="module")
def saltmarsh():
    reading = read(SALTMARSH)
    assert not reading.findings
    return reading.design


def test_saltmarsh_holds_what_its_scenario_counts(saltmarsh):
    # The scenario's own sums: 30 LEDs, 45 fibres with the beacon, 6 pigtails, 65 mA in all.
    leds = [led for sub in saltmarsh.sub_assemblies for led in sub.leds()]
    strands = [strand for sub in saltmarsh.sub_assemblies for _, strand in sub.strands]
    assert (len(leds), len(strands)) == (30, 45)
    assert sum(sub.pigtail is not None for sub in saltmarsh.sub_assemblies) == 6
    groups = [strand.group for strand in strands]
    counted = {name: groups.count(name) for name in dict.fromkeys(groups)}
    assert counted == {
        "green steady": 12,
        "amber steady": 8,
        "chase": 4,
        "random": 12,
        "beacon": 1,
        "harbour": 8,
    }


def test_saltmarsh_has_its_planted_mistakes(saltmarsh):
    by_name = {sub.name: sub for sub in saltmarsh.sub_assemblies}
    assert by_name["chart table"].strings[0].leds == ("W1", "W2", "W3", "W4")
    plotting = next(
        box for _, box in by_name["instrument wall"].boxes if box.name == "plotting box"
    )
    assert plotting.depth_mm == 9.0
    layers = by_name["bay"].panels[0].curve.layers
    assert [layer.holes_from for layer in layers] == [1, 1]
    (printed,) = (
        layer for layer in by_name["chart table"].panels[0].openings[0].layers if layer.printed
    )
    assert (printed.count, printed.printed.artwork.file) == (1, "tide_chart.png")


def test_the_mended_saltmarsh_has_none_of_them():
    reading = read(demo_text("saltmarsh", "mended.yaml"))
    assert not reading.findings
    by_name = {sub.name: sub for sub in reading.design.sub_assemblies}
    assert [wish.leds for wish in by_name["chart table"].strings] == [("W1", "W2"), ("W3", "W4")]
    assert [layer.holes_from for layer in by_name["bay"].panels[0].curve.layers] == [1, 2]


def test_only_the_mended_places_differ(saltmarsh):
    mended = read(demo_text("saltmarsh", "mended.yaml")).design
    changed = {
        "chart table": ("strings", "panels"),
        "instrument wall": ("boxes",),
        "bay": ("panels",),
    }
    for old, new in zip(saltmarsh.sub_assemblies, mended.sub_assemblies, strict=True):
        fields = {field: getattr(old, field) for field in changed.get(old.name, ())}
        assert old == replace(new, **fields)


def test_the_bay_is_developed_along_its_inner_face(saltmarsh):
    # Closed form: arc length = radius x angle; 140 mm over 120 degrees.
    bay = next(sub for sub in saltmarsh.sub_assemblies if sub.name == "bay").panels[0]
    across = [x for x, _, _ in bay.outline.corners]
    up = [y for _, y, _ in bay.outline.corners]
    assert max(across) - min(across) == pytest.approx(140.0 * 2.0 * math.pi / 3.0, abs=EXACT)
    assert (min(across), min(up), max(up)) == pytest.approx((0.0, 0.0, 95.0), abs=EXACT)


def test_full_size_lengths_go_through_the_scale():
    # 7 mm to the foot is 1:43.54; 140 cm there is 32.15 mm.
    text = small("scale: 1:24", "scale: 7 mm/ft").replace("length: 160 mm", "length: 140 cm real")
    length = read(text).design.sub_assemblies[0].pigtail.length_mm
    assert length == pytest.approx(1400.0 * 7.0 / 304.8, abs=EXACT)


def test_a_row_is_spread_and_named():
    text = small(STRAND, STRAND.replace("at:", "count: 3, step: [-2 mm, 1/8 in], at:"))
    strands = [strand for _, strand in read(text).design.sub_assemblies[0].strands]
    assert [(s.name, s.x_mm, s.y_mm) for s in strands] == [
        ("F1", 5.0, 5.0),
        ("F2", 3.0, pytest.approx(5.0 + 3.175, abs=EXACT)),
        ("F3", 1.0, pytest.approx(5.0 + 6.35, abs=EXACT)),
    ]


def test_items_are_named_from_the_outside_in():
    reading = read(SALTMARSH)
    for item in (
        "chart table / top / screen box / W1",
        "console / left fascia / G12",
        "bay / glazing / layer 2",
        "instrument wall / pigtail",
        "groups / beacon",
        "looks / lit panel",
        "stock / 1",
        "supply",
    ):
        assert item in reading.places, item
    place = reading.places["chart table / top / screen box / W1"]
    assert place.line == line_of(SALTMARSH, "W: {type: white 0603")


@pytest.mark.parametrize(
    ("old", "new", "code", "words"),
    [
        ("voltage: 12 V", "volts: 12 V", "PRJ020", "write voltage"),
        (", max_current: 500 mA", "", "PRJ021", "add max_current: 500 mA"),
        ("voltage: 12 V", "voltage: 12", "PRJ022", "12 V"),
        ("voltage: 12 V", "voltage: 12 mA", "PRJ022", "current"),
        ("voltage: 12 V", "voltage: nan V", "PRJ022", "nan"),
        ("voltage: 12 V", "voltage: 1e999 V", "PRJ022", "1e999"),
        ("kind: plug-in supply", "kind: plugin supply", "PRJ022", "write plug-in supply"),
        ("current: 1 mA", "current: 15 A", "PRJ023", "at most 1 A"),
        (LAMP, LAMP.replace("at:", "count: 1000000000, step: [1 mm, 0 mm], at:"), "PRJ023", "500"),
        (LAMP, LAMP.replace("at:", "count: 0x10, at:"), "PRJ022", "digits"),
        ("at: [76 mm, 40 mm]", "at: [76 mm]", "PRJ024", "two lengths"),
        ("at: [76 mm, 40 mm]", "at: [76,5 mm, 40 mm]", "PRJ024", "write [76.5 mm, 40 mm]"),
        ("at: [76 mm, 40 mm]", "at: [76 mm, 40,5 mm]", "PRJ024", "write [76 mm, 40.5 mm]"),
        ("kind: plug-in supply", "kind: mains", "PRJ023", "mains is never led into a model"),
        ("at: [76 mm, 40 mm]", "at: {x: 1 mm}", "PRJ024", "keys"),
        (SUPPLY, "supply: [1]", "PRJ024", "keys"),
        (LAMP, "lamp: yes", "PRJ024", "keys"),
        ("scale: 1:24", "scale:", "PRJ025", "1:24"),
        ("at: [76 mm, 40 mm]", "at: 76, 40 mm", "PRJ026", "write at: [76 mm, 40 mm]"),
        ("      lamp:", "      a/b:", "PRJ027", "write a b"),
        ("      lamp:", f"      {'x' * 61}:", "PRJ027", "at most 60"),
        (LAMP, LAMP.replace("at:", "count: 3, at:"), "PRJ028", "step"),
        (LAMP, LAMP.replace("at:", "seat: wall, at:"), "PRJ028", "height"),
        ("sheet: styrene 1.0 mm", "grain: along x", "PRJ028", "add sheet"),
        (SCREEN, SCREEN.replace("rectangle 20 x 10 mm", "square 20 mm"), "PRJ022", "rectangle"),
        (SCREEN, SCREEN.replace("rectangle 20 x 10 mm", "slot 10 x 20 mm"), "PRJ023", "slot 20 mm"),
        (SCREEN, SCREEN.replace("rectangle 20 x 10 mm", "rectangle 0 x 10 mm"), "PRJ023", "0.1 mm"),
        ("sheet: styrene 1.0 mm", "sheet: styren 1.0 mm", "PRJ040", "styrene 1.0 mm"),
        ("sheet: styrene 1.0 mm", "sheet: styrene", "PRJ040", "write one of styrene 0.13 mm, "),
        (
            "sheet: styrene 1.0 mm",
            "sheet: Opal Acrylic",
            "PRJ040",
            "2.0 mm, opal acrylic 3.0 mm, or",
        ),
        ("wire: 30 AWG insulated", "wire: 30 AWG isolated", "PRJ040", "30 AWG insulated"),
        ("group: glow", "group: glw", "PRJ041", "write glow"),
        ("look: lit", "look: unlit", "PRJ041", "lit"),
        ("in: desk", "in: dsk", "PRJ041", "write desk"),
    ],
)
def test_a_fault_is_told_once_with_its_mend(old, new, code, words):
    text = small(old, new)
    found = only_stop(text, code)
    assert words in f"{found.message}; {found.remedy}", str(found)
    assert found.where.line == line_of(text, new.split(":")[0].strip() if new else "supply:") or (
        found.where.line in range(1, text.count("\n") + 1)
    )


TILTED = """        boxes:
          box:
            inside: rectangle 30 x 20 mm
            at: [34 mm, 26 mm]
            depth: 12 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
              T: {type: white 0603, at: [34 mm, 26 mm], current: 1 mA, LEAN}
"""


def leaning(words):
    text = small("        strands:\n", TILTED.replace("LEAN", words) + "        strands:\n")
    return read(text)


def test_a_tilt_is_read_for_every_led_of_a_row():
    reading = leaning("count: 2, step: [4 mm, 0 mm], tilt: 30 deg, towards: -90 deg")
    leds = [led for _, box in reading.design.sub_assemblies[0].boxes for led in box.leds]
    assert [(led.tilt_deg, led.towards_deg) for led in leds] == [(30.0, -90.0)] * 2
    assert all(led.tilt_deg == 0.0 for led in reading.design.sub_assemblies[0].lamps)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        ("tilt: 30 deg", "PRJ028", "add towards"),
        ("towards: 30 deg", "PRJ028", "add tilt"),
        ("tilt: 95 deg, towards: 0 deg", "PRJ023", "90 deg"),
        ("tilt: -5 deg, towards: 0 deg", "PRJ023", "0 deg"),
        ("tilt: nan deg, towards: 0 deg", "PRJ022", "nan"),
        ("tilt: 30, towards: 0 deg", "PRJ022", "30 deg"),
        ("tilt: 30 mm, towards: 0 deg", "PRJ022", "length"),
        ("tilt: 30 deg, towards: up", "PRJ022", "up"),
        ("tilt: 30 deg, towards: 999 deg", "PRJ023", "360"),
        ("tilt: 30 deg, toward: 0 deg", "PRJ020", "write towards"),
    ],
)
def test_a_tilt_that_says_nothing_is_told(words, code, told):
    stops = [one for one in leaning(words).findings if one.severity is Severity.STOP]
    found = next(one for one in stops if one.code == code)
    assert told in f"{found.message}; {found.remedy}"
    assert found.where.line == line_of(
        small("        strands:\n", TILTED + "        strands:\n"), "T: {type"
    )
    assert len(stops) == 1 or code == "PRJ020"


def test_a_lamp_without_a_box_has_no_seat_to_lean_on():
    text = small(LAMP, LAMP.replace("at:", "tilt: 30 deg, towards: 0 deg, at:"))
    found = only_stop(text, "PRJ028")
    assert "outside a light box" in found.message
    assert found.where.item == "desk / lamp"


def test_a_source_of_strands_has_no_tilt():
    text = small("current: 5 mA}", "current: 5 mA, tilt: 30 deg}")
    assert "tilt" in only_stop(text, "PRJ020").message


def only_stop(text, code):
    stops = [one for one in read(text).findings if one.severity is Severity.STOP]
    assert [one.code for one in stops] == [code], [str(one) for one in stops]
    return stops[0]


def test_a_fault_names_line_and_column_of_its_key():
    text = small("current: 1 mA", "current: 1")
    where = only_stop(text, "PRJ022").where
    line = text.splitlines()[where.line - 1]
    assert line[where.column - 1 :].startswith("current: 1}")
    assert where.item == "desk / lamp"


@pytest.mark.parametrize(
    ("old", "new", "remedy"),
    [
        ("shape: rectangle 20 x 10 mm", "shape: rect 20 x 10 mm", "write rectangle 20 x 10 mm,"),
        ("shape: rectangle 20 x 10 mm", "shape: circle 20 mm", "write round 20 mm,"),
        ("shape: rectangle 20 x 10 mm", "shape: square 10 mm", "write rectangle 10 mm x 10 mm,"),
        ("at: [34 mm, 26 mm]", "at: 34 x 26 mm", "write [34 mm, 26 mm]"),
        ("sheet: styrene 1.0 mm", "sheet: styrene 0.9 mm", "write styrene 1.0 mm,"),
        ("sheet: styrene 1.0 mm", "sheet: 1.0 mm styrene", "write styrene 1.0 mm,"),
        ("type: white 0603", "type: 0603 white", "write white 0603,"),
        ("wire: 30 AWG insulated", "wire: 30 AWG", "write one of 30 AWG insulated, 30 AWG e"),
        ("length: 160 mm", "length: {a: b}", "write 160 mm"),
    ],
)
def test_a_slip_is_told_with_what_was_meant(old, new, remedy):
    (found,) = read(small(old, new)).findings
    assert found.remedy.startswith(remedy)


def test_a_bare_time_is_told_in_the_unit_of_its_field():
    found = only(SMALL + "evenings: [{date: 2026-11-27, hours: 2}]\n", "PRJ022")
    assert found.remedy == "write 2 h or 2 s or 2 min"


@pytest.mark.parametrize("word", ["yes", "true", "on", "True"])
def test_yes_may_be_said_as_yaml_says_it(word):
    text = SMALL + f"circuit: {{prefer_drawer: {word}}}\n"
    assert read(text).design.habits.prefer_drawer
    assert not read(text.replace(word, "off")).design.habits.prefer_drawer


def test_a_diameter_sign_is_read():
    shape = small("shape: rectangle 20 x 10 mm", "shape: round \u00d816 mm")
    assert codes(shape) == []


def test_a_missing_section_is_told_with_one_that_would_do():
    found = only(small(SUPPLY + "\n", ""), "PRJ021")
    assert found.message == "supply is missing"
    assert found.remedy.startswith("add supply: {kind: plug-in supply, ")
    mended = small(SUPPLY, found.remedy.removeprefix("add "))
    assert codes(mended) == []


def test_a_key_without_its_section_is_told_by_its_name():
    found = only(
        small("{shape: rectangle 20 x 10 mm, at: [34 mm, 26 mm], look: lit}", ""), "PRJ024"
    )
    assert found.where.item == "desk / top / screen"
    assert "write screen: {shape: rectangle" in found.remedy


def test_a_comment_that_ate_a_value_is_explained():
    keys = ("fibre: fibre 0.5 mm", "at: [5 mm, 5 mm]", "group: glow", "hole: #75")
    text = small(STRAND, "F:" + "".join(f"\n            {key}" for key in keys))
    found = only(text, "PRJ025")
    assert "# begins a comment" in found.message
    assert 'hole: "#75"' in found.remedy
    hole = read(text.replace("#75", '"#75"')).design.sub_assemblies[0].strands[0][1].hole_mm
    # ASME B94.11M number drill 75 is 0.0210 in.
    assert hole == pytest.approx(0.0210 * 25.4, abs=EXACT)


def test_every_fault_of_a_file_is_told_at_once():
    text = (
        small("voltage: 12 V", "voltage: 12")
        .replace("group: glow", "group: glw")
        .replace("sheet: styrene 1.0 mm", "sheet: styren")
        .replace("scale: 1:24", "scale: 24")
        .replace("current: 1 mA", "curent: 1 mA")
    )
    assert sorted(codes(text)) == ["PRJ020", "PRJ022", "PRJ022", "PRJ040", "PRJ041"]
    assert read(text).design is None
    assert len(read(text).in_the_way) == 5


def test_faults_in_one_item_hide_none_in_another():
    text = (
        small("outline: rectangle 84 x 52 mm", "outline: rectangle 84 x 52")
        .replace("length: 160 mm", "length: 160")
        .replace("30 AWG insulated", "30 AWG isolated")
        .replace("look: lit", "look: unlit")
        .replace("fibre: fibre 0.5 mm", "fibre: fibre 5 mm")
    )
    assert sorted(codes(text)) == ["PRJ022", "PRJ022", "PRJ040", "PRJ040", "PRJ041"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("current: 5 mA", "current: 5"),
        ("groups:\n  glow:", "groups:\n  a/b: {in: desk}\n  glow:"),
        ("groups:\n", "groups: none\ngroups_:\n"),
        ("luminance: 20 to 100 cd/m2", "luminance: bright"),
        ("looks:\n  lit: {luminance: 20 to 100 cd/m2}", "looks: [lit]"),
        ("size: 300 x 200 x 150 mm", "size: 3"),
        ("at: [40 mm, 60 mm]", "at: here"),
        ("in: desk, ", ""),
        (", group: glow", ""),
        ("outline: rectangle 84 x 52 mm", "outline: big"),
        (LAMP, LAMP.replace("at:", "count: some, step: [1 mm, 0 mm], at:")),
    ],
)
def test_one_fault_raises_no_false_alarm_elsewhere(old, new):
    # What refers to a faulty item, or stands beside a faulty value, is in order.
    told = read(small(old, new)).findings
    assert {found.code for found in told} <= {
        "PRJ020",
        "PRJ021",
        "PRJ022",
        "PRJ024",
        "PRJ027",
        "PRJ028",
    }
    assert len(told) == (2 if "groups_" in new else 1), [str(found) for found in told]


def test_an_unknown_key_does_not_stand_in_the_way():
    reading = read(small("scale: 1:24", "scale: 1:24\ncolour: blue"))
    assert [found.code for found in reading.findings] == ["PRJ020"]
    assert reading.design is not None
    assert reading.in_the_way == ()


ROW = "{type: white 0603, at: [1 mm, 1 mm], count: %d, step: [1 mm, 0 mm], current: 1 mA}"


def test_a_second_led_of_one_name_is_told_with_a_free_name():
    one = "{type: white 0603, at: [1 mm, 9 mm], current: 1 mA}"
    found = only(f"{SMALL}      W: {ROW % 2}\n      W1: {one}\n", "PRJ042")
    assert "'W1'" in found.message
    assert found.remedy == "call one of them W3"


def test_one_flag_on_two_strands_is_told_across_sub_assemblies():
    strand = "{F: {fibre: fibre 0.5 mm, at: [4 mm, 4 mm], group: glow}}"
    panel = f"{{outline: round 9 mm, sheet: styrene 1.0 mm, strands: {strand}}}"
    found = only(f"{SMALL}  shelf: {{panels: {{top: {panel}}}}}\n", "PRJ042")
    assert "the project" in found.message


def test_own_parts_lie_over_the_catalogue(tmp_path):
    (tmp_path / "project.yaml").write_text(
        small("sheet: styrene 1.0 mm", "sheet: my card"), "utf-8"
    )
    assert [found.code for found in read_project(tmp_path).findings] == ["PRJ040"]
    (tmp_path / "parts").mkdir()
    shelf, _ = read_shelf(None)
    columns = "name,material,thickness,size,source,kind,date"
    (tmp_path / "parts" / "sheet_stock.csv").write_text(
        f"{columns}\nmy card,card,1.2 mm,300 x 200 mm,my calliper,measured,2026-11-25\n",
        "utf-8",
    )
    reading = read_project(tmp_path)
    assert not reading.findings, [str(found) for found in reading.findings]
    assert reading.design.sub_assemblies[0].panels[0].sheet.thickness_mm == 1.2
    own, found = read_shelf(tmp_path)
    assert not found
    assert own.count() == shelf.count() + 1


def test_points_and_arcs_make_an_outline():
    # A half disc of radius 10 mm on a square of 20 mm: area 400 + 50 pi.
    from lamphouse.shapes.measure import area_mm2

    square = "[-10 mm, -20 mm], [10 mm, -20 mm], [10 mm, 0 mm]"
    points = f"{{points: [{square}, {{via: [0 mm, 10 mm], to: [-10 mm, 0 mm]}}]}}"
    design = read(small("shape: rectangle 20 x 10 mm", f"shape: {points}")).design
    corners = design.sub_assemblies[0].panels[0].openings[0].outline.corners
    assert area_mm2(corners) == pytest.approx(400.0 + 50.0 * math.pi, abs=EXACT)


def test_seats_and_patterns_come_through():
    text = small(
        LAMP, LAMP.replace("at:", "seat: wall, height: 6 mm, turn: 90 deg, group: glow, at:")
    )
    text = text.replace(
        "current: 5 mA}}", "current: 5 mA}, pattern: {kind: beacon, period: 2 s, duty: 20 %}}"
    )
    design = read(text).design
    led = design.sub_assemblies[0].lamps[0]
    assert (led.seat, led.height_mm, led.turn_deg, led.group) == (Seat.WALL, 6.0, 90.0, "glow")
    pattern = design.groups[0].pattern
    assert (pattern.kind, pattern.period_s, pattern.duty) == (PatternKind.BEACON, 2.0, 0.2)


def test_the_source_of_a_group_is_a_lamp_of_its_sub_assembly():
    design = read(SMALL).design
    source = design.groups[0].source
    assert source is design.sub_assemblies[0].lamps[-1]
    assert (source.name, source.group) == ("glow source", "glow")


@pytest.mark.parametrize("name", ["nowhere.yaml", ""])
def test_a_file_that_is_not_there_is_an_oserror(tmp_path, name):
    with pytest.raises(OSError, match=r"project|nowhere"):
        read_project(tmp_path / name)


def test_a_file_of_50_mib_is_refused_at_once(tmp_path):
    file = tmp_path / "project.yaml"
    with file.open("wb") as stream:
        stream.truncate(50 * 2**20)
    begin = time.process_time()
    found = read_project(file).findings
    assert [one.code for one in found] == ["PRJ001"]
    assert time.process_time() - begin < 0.5
    assert file.stat().st_size > MOST_BYTES


def test_very_many_faults_are_told_in_part_and_counted():
    text = SMALL + "".join(f"key{number}: x\n" for number in range(1000))
    found = read(text).findings
    assert len(found) == 201
    assert any("1000 faults" in one.message for one in found)


def test_more_than_a_model_holds_is_refused_before_it_is_spread():
    rows = "".join(f"      L{number}: {ROW % 500}\n" for number in range(21))
    assert codes(SMALL + rows) == ["PRJ007"]


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_any_value_anywhere_ends_in_a_reading(data):
    lines = SMALL.splitlines()
    number = data.draw(st.integers(0, len(lines) - 1))
    new = data.draw(
        st.text(max_size=20)
        | st.sampled_from(
            ["1e999 mm", "-0 mm", "nan", "[]", "{}", "[[]]", "{a: {b: c}}", "'", "#75", "\u0661 mm"]
        )
    )
    key = lines[number].partition(":")[0]
    lines[number] = f"{key}: {new}"
    reading = read_text("\n".join(lines), file="p.yaml")
    assert reading.design or reading.in_the_way


BOX = """\
        boxes:
          b:
            inside: rectangle 40 x 24 mm
            at: [35 mm, 26 mm]
            depth: 12 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            baffles:
              c: {from: [35 mm, 14 mm], to: [35 mm, 38 mm], height: 7 mm, SEATsheet: styrene 0.5 mm}
        strands:
"""


@pytest.mark.parametrize(
    ("seat", "hangs", "span"), [("", False, (0.0, 7.0)), ("seat: panel, ", True, (5.0, 12.0))]
)
def test_the_seat_of_a_baffle_says_from_where_its_height_counts(seat, hangs, span):
    reading = read(small("        strands:\n", BOX.replace("SEAT", seat)))
    assert not reading.findings
    ((_, box),) = reading.design.sub_assemblies[0].boxes
    (baffle,) = box.baffles
    assert baffle.hangs == hangs
    assert baffle.span_mm(depth_mm=box.depth_mm) == span


def test_a_baffle_on_a_wall_is_refused_with_words():
    found = only(small("        strands:\n", BOX.replace("SEAT", "seat: wall, ")), "PRJ023")
    assert "wall to wall" in found.message
    assert found.where.item == "desk / top / b / c"
    assert "back, panel" in found.remedy
