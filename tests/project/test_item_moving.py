"""Items moved, taken out of rows, reshaped: the meant lines change, the design is as meant."""

from pathlib import Path

import pytest

from lamphouse.project.item_fields import form_of
from lamphouse.project.item_moving import moved, taken_out
from lamphouse.project.panel_items import panel_items
from lamphouse.project.read import read_text
from lamphouse.project.reshaping import (
    as_points,
    corner_added,
    corner_moved,
    corner_removed,
    kind_of,
    resized,
)
from lamphouse.project.write import ChangeError
from lamphouse.shapes.measure import bounds_mm

TEXT = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml").read_text(encoding="utf-8")
TEXT = "\n".join(
    line.replace(", {film: print film, films: 2, artwork: tide_chart.png}", "")
    for line in TEXT.split("\n")
)
TOP = ("sub_assemblies", "chart table", "panels", "top")
SCREEN = (*TOP, "openings", "screen")
ROW = (*TOP, "boxes", "screen box", "leds", "W")
PLACES = [(13.0, 26.0), (27.0, 26.0), (41.0, 26.0), (55.0, 26.0)]


def top_of(text):
    reading = read_text(text, file="project.yaml")
    assert reading.design, reading.findings
    sub = reading.design.sub_assemblies[0]
    return sub, sub.panels[0], sub.boxes[0][1]


def changed_lines(text):
    old, new = TEXT.split("\n"), text.split("\n")
    return [line.strip() for line in new if line not in old]


def test_a_moved_opening_changes_its_place_alone():
    text = moved(TEXT, path=SCREEN, by_mm=(1.0, -0.5), scale=24.0)
    assert changed_lines(text) == ["at: [35 mm, 25.5 mm]"]


def test_a_moved_box_carries_its_leds():
    text = moved(TEXT, path=(*TOP, "boxes", "screen box"), by_mm=(2.0, 0.0), scale=24.0)
    _, _, box = top_of(text)
    assert [led.x_mm for led in box.leds] == [15.0, 29.0, 43.0, 57.0]
    assert bounds_mm(box.inside.corners)[0] == pytest.approx(8.0)


def test_a_moved_box_carries_its_pillars_rows_and_single_ones():
    row = "{shape: round 2 mm, at: [8 mm, 9 mm], count: 2, step: [9 mm, 0 mm]}"
    posts = f"            pillars: {{a: {row}}}"
    text = TEXT.replace("            leds:\n", f"{posts}\n            leds:\n", 1)
    text = moved(text, path=(*TOP, "boxes", "screen box"), by_mm=(2.0, 1.0), scale=24.0)
    _, _, box = top_of(text)
    assert [pillar.name for pillar in box.pillars] == ["a1", "a2"]
    lefts = [bounds_mm(pillar.outline.corners)[:2] for pillar in box.pillars]
    assert lefts == [pytest.approx((9.0, 9.0)), pytest.approx((18.0, 9.0))]


def test_full_size_places_and_inches_are_moved_by_what_they_mean():
    text = TEXT.replace(
        "at: [34 mm, 26 mm]\n            layers", "at: [816 mm real, 1 in]\n            layers"
    )
    text = moved(text, path=SCREEN, by_mm=(1.0, 0.6), scale=24.0)
    assert "at: [35 mm, 26 mm]\n            layers" in text  # 816 / 24 + 1, 25.4 + 0.6


@pytest.mark.parametrize("member", [1, 2, 3, 4])
def test_one_led_leaves_its_row_and_all_keep_name_and_place(member):
    text = taken_out(TEXT, path=ROW, member=member, places_mm=PLACES, to_mm=(20.0, 30.0))
    _, _, box = top_of(text)
    wanted = {f"W{number}": place for number, place in enumerate(PLACES, start=1)}
    wanted[f"W{member}"] = (20.0, 30.0)
    assert {led.name: (led.x_mm, led.y_mm) for led in box.leds} == wanted
    assert {led.current_A for led in box.leds} == {0.0005}


def test_one_led_of_a_row_is_removed():
    text = taken_out(TEXT, path=ROW, member=4, places_mm=PLACES, to_mm=None)
    text = text.replace("S2: {leds: [W3, W4]}", "S2: {leds: [W3]}")
    _, _, box = top_of(text)
    assert [led.name for led in box.leds] == ["W1", "W2", "W3"]


def test_what_stands_along_an_outline_is_not_moved():
    text = TEXT.replace(
        "at: [13 mm, 26 mm], count: 4, step: [14 mm, 0 mm]",
        "along: screen, at: [0 mm, 0 mm], count: 4",
    )
    text = text.replace("at: [0 mm, 0 mm], count: 4", "count: 4")
    with pytest.raises(ChangeError, match="along 'screen'"):
        moved(text, path=ROW, by_mm=(1.0, 0.0), scale=24.0)


def test_a_resized_rectangle_leaves_the_corner_across():
    text = resized(
        TEXT, path=(*SCREEN, "shape"), size_mm=(50.0, 31.0), by_mm=(1.0, 0.5), scale=24.0
    )
    _, panel, _ = top_of(text)
    assert bounds_mm(panel.openings[0].outline.corners) == pytest.approx((10.0, 11.0, 60.0, 42.0))


def test_words_become_points_that_lie_where_the_shape_lay():
    _, before, _ = top_of(TEXT)
    corners = before.openings[0].outline.corners
    text = as_points(TEXT, path=(*SCREEN, "shape"), corners=corners, stands_mm=(34.0, 26.0))
    _, panel, _ = top_of(text)
    assert panel.openings[0].outline.corners == corners
    text = corner_moved(text, path=(*SCREEN, "shape"), corner=2, to_mm=(26.0, 16.0))
    text = corner_added(text, path=(*SCREEN, "shape"), before=4, at_mm=(-25.0, 0.0))
    _, panel, _ = top_of(text)
    assert bounds_mm(panel.openings[0].outline.corners) == pytest.approx((9.0, 11.0, 60.0, 42.0))
    text = corner_removed(text, path=(*SCREEN, "shape"), corner=4)
    _, panel, _ = top_of(text)
    assert len(panel.openings[0].outline.corners) == 4


def test_no_outline_loses_its_third_corner():
    text = TEXT.replace(
        "shape: rectangle 48 x 30 mm",
        "shape: {points: [[0 mm, 0 mm], [20 mm, 0 mm], [0 mm, 20 mm]]}",
    )
    with pytest.raises(ChangeError, match="three corners"):
        corner_removed(text, path=(*SCREEN, "shape"), corner=0)


def test_every_item_of_a_panel_is_listed_with_its_place_in_the_file():
    reading = read_text(TEXT, file="project.yaml")
    items = panel_items(reading.tree, sub_assembly="chart table", panel="top", scale=24.0)
    assert [(item.kind, item.name, item.member, item.of) for item in items] == [
        ("panel", "top", 0, 1),
        ("opening", "screen", 0, 1),
        ("box", "screen box", 0, 1),
        *(("LED", f"W{number}", number, 4) for number in range(1, 5)),
    ]
    for item in items:
        assert form_of(reading.tree, path=item.path, scale=24.0).fields


def test_a_form_shows_a_length_in_mm_and_inch():
    reading = read_text(TEXT, file="project.yaml")
    fields = {field.path: field for field in form_of(reading.tree, path=ROW, scale=24.0).fields}
    assert fields[*ROW, "at", 0].both == "13 mm (0.512 in)"  # 13 / 25.4
    assert fields[*ROW, "seat"].choices == ("back", "wall", "panel")


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("rectangle 48 x 30 mm", "rectangle"),
        ("rectangle 48 x 30 mm, grown 2 mm", "changed"),
        ("like screen grown 2 mm", "changed"),
        ("like screen", "like"),
        ({"points": []}, "points"),
        ({"points": [], "then": "mirrored"}, "changed"),
        ("", "changed"),
    ],
)
def test_shapes_are_known_by_their_words(words, kind):
    assert kind_of(words) == kind
