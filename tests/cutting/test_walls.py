"""Light boxes: the pieces fill exactly the space between inside and outside."""

from math import cos, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.design.lightbox import Lid, Seat
from lamphouse.shapes import measure, outline
from lamphouse.shapes.spacing import close_pairs, margin_mm
from tolerances import EXACT

ELL = outline.polygon([(10, 5), (40, 5), (40, 18), (25, 18), (25, 34), (10, 34)])


def build(box):
    cut = s.cut(s.panel(), boxes=[box])
    return cut.boxes[0], cut.findings


def part(made, name):
    (piece,) = [p for p in made.pieces if p.name == f"sample / plate / box / {name}"]
    return piece


def volume(piece):
    holes = sum(measure.area_mm2(cut.corners) for cut in piece.cutouts)
    area = measure.area_mm2(piece.outline.corners) - holes
    return piece.count * piece.sheet.thickness_mm * area


@given(
    width=st.floats(8, 80),
    height=st.floats(8, 80),
    depth=st.floats(4, 40),
    thickness=st.floats(0.5, 1.5),
    lid=st.sampled_from(Lid),
)
def test_material_of_a_square_cut_box_is_outside_less_inside(width, height, depth, thickness, lid):
    box = s.box(
        s.box_shape(width, height, x=30, y=20),
        depth_mm=depth, thickness_mm=thickness, lid=lid, wire_exit_mm=0.0,
    )  # fmt: skip
    made, _ = build(box)
    wide, high, deep = made.outside_mm
    assert (wide, high) == pytest.approx((width + 2 * thickness, height + 2 * thickness), rel=EXACT)
    sheets = 2 if lid is Lid.OVER else 1
    assert deep == pytest.approx(depth + sheets * thickness, rel=EXACT)
    material = sum(volume(piece) for piece in made.pieces)
    assert material == pytest.approx(wide * high * deep - width * height * depth, rel=EXACT)


@pytest.mark.parametrize("lid", Lid)
def test_material_of_an_l_shaped_box_is_outside_less_inside(lid):
    # Square corners, one of them reflex. Grown by 1 mm the L is 32 x 31 less 15 x 16.
    made, _ = build(s.box(ELL, lid=lid, wire_exit_mm=0.0))
    outside, inside = 32 * 31 - 15 * 16, 30 * 29 - 15 * 16
    deep = 12 if lid is Lid.OVER else 11
    assert sum(volume(piece) for piece in made.pieces) == pytest.approx(
        outside * deep - inside * 10, rel=EXACT
    )
    assert made.outside_mm == pytest.approx((32, 31, deep), abs=EXACT)


def test_cut_sizes_of_a_box_worked_by_hand():
    # 20 x 16 inside, 10 deep, 1 mm sheet. Back over the walls: 22 x 18. Long walls run through.
    made, _ = build(s.box())
    assert part(made, "back").outline.words == "22 x 18 mm over all"
    assert part(made, "wall 1").outline.words.startswith("rectangle 22 x 10 mm with a notch")
    assert part(made, "wall 3").outline.words == "rectangle 22 x 10 mm"
    assert part(made, "walls 2, 4").outline.words == "rectangle 16 x 10 mm"
    assert part(made, "walls 2, 4").count == 2


def test_back_between_the_walls_makes_them_a_sheet_higher():
    made, _ = build(s.box(lid=Lid.OVER))
    assert part(made, "back").outline.words == "20 x 16 mm over all"
    assert part(made, "lid").outline.words == "22 x 18 mm over all"
    assert part(made, "wall 3").outline.words == "rectangle 22 x 11 mm"
    assert part(made, "back").holes == ()
    assert "stands between the walls: sand until it slides in" in part(made, "back").notes


def test_hexagon_walls_say_their_bevel():
    made, found = build(s.box(outline.regular_polygon(6, across_mm=24, x_mm=30, y_mm=20)))
    assert found == ()
    plain = next(p for p in made.pieces if p.count == 5)
    assert "left end: bevel 30.0 deg off square, outer face the longer" in plain.notes
    # Outer side of a hexagon 24 mm across flats, walls 1 mm: 26 tan 30 deg.
    assert measure.size_mm(plain.outline.corners)[0] == pytest.approx(26 / 3**0.5, abs=EXACT)


def test_notch_is_as_large_as_asked_and_open_at_the_back_edge():
    for lid, high in ((Lid.BACK, 2.5), (Lid.OVER, 3.5)):
        made, _ = build(s.box(wire_exit_mm=2.5, lid=lid))
        wall = part(made, "wall 1")
        whole = part(made, "wall 3")
        gone = measure.area_mm2(whole.outline.corners) - measure.area_mm2(wall.outline.corners)
        assert gone == pytest.approx(2.5 * high, abs=EXACT)
        notch = [x for x, y, _ in wall.outline.corners if y == high]
        assert sum(notch) / 2 == pytest.approx(11, abs=EXACT)


def test_notch_moves_aside_for_an_led_on_that_wall():
    led = s.led("A", 30, 12, seat=Seat.WALL, height_mm=2.0)
    made, found = build(s.box(leds=(led,)))
    assert found == ()
    wall = part(made, "wall 1")
    notch = [x for x, y, _ in wall.outline.corners if y == 2]
    seat = wall.seats[0]
    assert abs(sum(notch) / 2 - seat.x_mm) > 2.0 / 2 + seat.length_mm / 2


def test_seat_and_wire_holes_follow_the_led():
    made, _ = build(s.box(leds=(s.led("A", 28, 22), s.led("B", 36, 16, turn_deg=90))))
    back = part(made, "back")
    # The back's datum corner is the box's outer corner, (19, 11) in the panel plane.
    assert [(m.led, m.x_mm, m.y_mm) for m in back.seats] == [
        ("A", pytest.approx(9), pytest.approx(11)),
        ("B", pytest.approx(17), pytest.approx(5)),
    ]
    holes = {hole.purpose: (hole.x_mm, hole.y_mm) for hole in back.holes}
    # At turn 0 the anode lies to the left; turned by 90 degrees anticlockwise, below.
    assert holes["wire A +"][0] < 9 < holes["wire A -"][0]
    assert holes["wire A +"][1] == pytest.approx(11)
    assert holes["wire B +"][1] < 5 < holes["wire B -"][1]
    shapes = [outline.circle(h.drill.diameter_mm, x_mm=h.x_mm, y_mm=h.y_mm) for h in back.holes]
    shapes.append(outline.rectangle(1.6, height_mm=0.8, x_mm=9, y_mm=11))
    assert close_pairs(shapes, nearer_than_mm=0.3) == ()


def test_led_on_a_wall_is_marked_on_that_wall_as_seen_from_inside():
    # Right wall of the box, seen from inside with the panel's edge up: the top lies to the left.
    led = s.led("A", 40, 26, seat=Seat.WALL, height_mm=5.0)
    made, _ = build(s.box(leds=(led,)))
    (mark,) = part(made, "wall 2").seats
    assert (mark.x_mm, mark.y_mm) == pytest.approx((2, 5), abs=EXACT)


def test_ledge_carries_the_diffuser_at_its_height():
    made, found = build(s.box(inner_diffuser=s.diffuser(6.0)))
    assert found == ()
    strips = [p for p in made.pieces if "ledge" in p.name]
    # Inside the walls the strips fill a ring one sheet wide: 20 x 16 less 18 x 14, 2 mm high.
    assert sum(volume(p) for p in strips) == pytest.approx((20 * 16 - 18 * 14) * 2, rel=EXACT)
    (foot,) = part(made, "walls 2, 4").glued
    assert measure.bounds_mm(foot.corners)[1::2] == pytest.approx((4, 6), abs=EXACT)


def test_ledge_of_a_shifted_wall_stands_under_the_inside():
    # The long wall runs one sheet past both corners, so its strip starts 1 mm from its end.
    made, _ = build(s.box(inner_diffuser=s.diffuser(6.0), wire_exit_mm=0.0))
    (foot,) = part(made, "walls 1, 3").glued
    assert measure.bounds_mm(foot.corners)[::2] == pytest.approx((1, 21), abs=EXACT)


def test_baffle_stands_on_the_back_and_is_cut_to_length():
    made, found = build(s.box(baffles=(s.baffle("b", (30, 12), (30, 28), height_mm=6),)))
    assert found == ()
    piece = part(made, "baffle b")
    assert piece.outline.words == "rectangle 16 x 6 mm"
    assert piece.sheet.thickness_mm == 0.5
    feet = {foot.words: foot.corners for foot in part(made, "back").glued}
    assert measure.bounds_mm(feet["baffle b"]) == pytest.approx((10.75, 1, 11.25, 17), abs=EXACT)


@given(
    st.lists(st.floats(12, 25), min_size=3, max_size=8),
    st.sampled_from([0.5, 1.0]),
)
def test_any_polygon_is_built_or_refused_with_a_reason(reaches, thickness):
    spots = [
        (40 + r * cos(2 * pi * i / len(reaches)), 40 + r * sin(2 * pi * i / len(reaches)))
        for i, r in enumerate(reaches)
    ]
    cut = s.cut(
        s.panel(corners=s.box_shape(100, 100, x=40, y=40)),
        boxes=[s.box(outline.polygon(spots), thickness_mm=thickness)],
    )
    if not cut.boxes:
        assert {finding.code for finding in cut.findings} <= {"CUT031"}
        assert cut.findings
        return
    assert sum(p.count for p in cut.boxes[0].pieces if "wall" in p.name) == len(reaches)
    back = next(p for p in cut.boxes[0].pieces if p.name.endswith("back"))
    inner = next(g for g in back.glued if g.words == "inner faces of the walls")
    assert margin_mm(inner.corners, outer=back.outline.corners) == pytest.approx(
        thickness, abs=1e-6
    )


@pytest.mark.parametrize(
    ("spots", "words"),
    [
        ([(10, 10), (50, 10), (50, 16)], "8.5 deg"),
        ([(10, 10), (40, 10), (40, 10.5), (10.5, 30)], "0.5 mm"),
        ([(10, 5), (30, 5), (30, 25), (20.75, 25), (20.75, 20), (25, 20), (25, 10), (15, 10),
          (15, 20), (19.25, 20), (19.25, 25), (10, 25)],
         "in one another"),
    ],
)  # fmt: skip
def test_walls_that_cannot_be_joined_are_refused(spots, words):
    cut = s.cut(s.panel(), boxes=[s.box(outline.polygon(spots))])
    assert {finding.code for finding in cut.findings} == {"CUT031"}
    assert words in cut.findings[0].message
    assert cut.boxes == ()


def test_box_of_many_faults_is_told_once():
    count = 2000
    ring = outline.regular_polygon(count, across_mm=30, x_mm=30, y_mm=20)
    cut = s.cut(s.panel(), boxes=[s.box(ring)])
    (finding,) = cut.findings
    assert finding.code == "CUT031"
    assert f"and at {count - 1} more places" in finding.message


def test_strands_that_run_through_a_box_are_named_on_its_back():
    strands = [s.strand(f"K{n}", 22 + 2 * n, 15) for n in range(8)] + [s.strand("off", 50, 15)]
    made = s.cut(s.panel(), boxes=[s.box()], strands=strands).boxes[0]
    (note,) = [note for note in part(made, "back").notes if note.startswith("strands")]
    assert note.startswith("strands K0, K1, K2, K3, K4, K5 and 2 more through the back")
    plain = s.cut(s.panel(), boxes=[s.box()], strands=strands[-1:]).boxes[0]
    assert not [note for note in part(plain, "back").notes if "strand" in note]
