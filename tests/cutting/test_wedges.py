"""Tilted LEDs on their pieces: marks, notes, wire holes, and the wall they lean along."""

from math import cos, radians

import pytest

from cutting import samples as s
from lamphouse.cutting.seats import foot_corners, from_front, wire_spots
from lamphouse.cutting.wedges import held_by, tilt_notes, tilt_words, way_of
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Build, Flange, Lid, Seat
from lamphouse.record import replace
from lamphouse.shapes import outline
from lamphouse.shapes.measure import bounds_mm, size_mm
from tolerances import EXACT

WINDOW = s.opening("window", s.box_shape(12, 8, x=30, y=20))
CASE_OF_30 = {"tilt_deg": 30.0, "towards_deg": 90.0}


def pieces(*leds, **more):
    made = s.cut(s.panel(WINDOW), boxes=[s.box(leds=leds, **more)])
    return {piece.name: piece for box in made.boxes for piece in box.pieces}, made


def test_a_chip_along_x_that_leans_up_by_hand():
    """0603: 1.6 x 0.8 x 0.6 mm; the wedge is as deep as 0.8 mm lie level at 30 degrees."""
    one = s.led("A", 30, 20, **CASE_OF_30)
    foot = foot_corners(one, x_mm=0.0, y_mm=0.0)
    assert size_mm(foot) == pytest.approx((1.6, 0.8 * cos(radians(30))), abs=EXACT)
    left, bottom, right, top = bounds_mm(package_corners(one, x_mm=0.0, y_mm=0.0))
    assert (left, right) == pytest.approx((-0.8, 0.8), abs=EXACT)
    assert bottom == pytest.approx(-0.4 * cos(radians(30)), abs=EXACT)
    assert top == pytest.approx(0.4 * cos(radians(30)) + 0.6 * 0.5, abs=EXACT)
    assert held_by(one) == "a wedge of 30 deg, foot 0.69 x 1.6 mm, 0.4 mm high at its thick edge"


def test_wires_keep_clear_of_what_a_chip_leans_over():
    flat, leant = s.led("A", 0, 0), s.led("A", 0, 0, tilt_deg=30.0, towards_deg=0.0)
    (plus, _), (minus, _) = wire_spots(flat, x_mm=0.0, y_mm=0.0, hole_mm=1.0)
    (back, _), (front, _) = wire_spots(leant, x_mm=0.0, y_mm=0.0, hole_mm=1.0)
    assert (plus, minus) == (-1.8, 1.8)
    # Its far corner lies 0.3 mm farther, its length 0.8 cos 30.
    assert front == pytest.approx(0.8 * cos(radians(30)) + 0.3 + 1.0, abs=EXACT)
    assert back == pytest.approx(-0.8 * cos(radians(30)) - 1.0, abs=EXACT)


def test_the_back_marks_the_lean_and_says_what_holds_it():
    found, _ = pieces(s.led("A", 30, 20, **CASE_OF_30), s.led("B", 26, 17))
    back = found["sample / plate / box / back"]
    marks = {mark.led: mark for mark in back.seats}
    assert (marks["A"].tilt_deg, marks["A"].towards_deg, marks["A"].on_wedge) == (30.0, 90.0, True)
    assert marks["B"].tilt_deg == 0.0
    (note,) = (note for note in back.notes if "lean" in note)
    assert note.startswith("A leans 30 deg along the arrow, on a wedge of 30 deg")


def test_a_wall_marks_the_lean_as_seen_from_inside():
    found, _ = pieces(s.led("W", 20, 20, seat=Seat.WALL, height_mm=4, **CASE_OF_30))
    wall = found["sample / plate / box / wall 4"]
    (mark,) = wall.seats
    assert (mark.tilt_deg, mark.towards_deg) == (30.0, 90.0)
    assert any("W leans 30 deg" in note for note in wall.notes)


def test_the_panel_names_the_lean_of_leds_under_it_in_words():
    _, made = pieces(s.led("P", 24, 16, seat=Seat.PANEL, **CASE_OF_30))
    (plate,) = made.pieces
    assert any("P leans 30 deg upwards, on a wedge" in note for note in plate.notes)


@pytest.mark.parametrize("lid", list(Lid))
def test_a_folded_box_turns_the_arrow_with_the_seat(lid):
    """On the flat piece the back hangs on its wall: what lies up in the box lies down there."""
    for towards in (0.0, 90.0):
        one = s.led("A", 30, 20, tilt_deg=30.0, towards_deg=towards)
        found, _ = pieces(one, build=Build.FOLDED, flange=Flange.NONE, lid=lid)
        for piece in found.values():
            for mark in piece.seats:
                turned = (mark.turn_deg - one.turn_deg) % 360.0
                assert (mark.towards_deg - towards) % 360.0 == pytest.approx(turned, abs=EXACT)


def test_a_printed_box_gets_no_pocket_for_bent_legs_and_one_as_large_as_the_wedge():
    dome = s.led("D", 30, 20, kind="white 3 mm", tilt_deg=40.0, towards_deg=0.0)
    assert foot_corners(dome, x_mm=0.0, y_mm=0.0) is None
    assert foot_corners(s.led("A", 0, 0, tilt_deg=90.0), x_mm=0.0, y_mm=0.0) is None
    made = s.cut(s.panel(WINDOW), boxes=[s.box(leds=(dome,), build=Build.PRINTED)])
    (shell,) = (body for box in made.boxes for body in box.bodies)
    assert any("D leans 40 deg to the right, with legs bent 3 mm" in one for one in shell.notes)


def test_leds_that_lean_alike_share_a_note():
    row = [s.led(f"L{number}", 4 * number, 0, **CASE_OF_30) for number in range(1, 7)]
    (note,) = tilt_notes([*row, s.led("flat", 40, 0)])
    assert note.startswith("L1, L2, L3 and 3 more lean 30 deg along the arrows, each on")
    other = s.led("M", 0, 9, tilt_deg=30.0, towards_deg=0.0)
    assert len(tilt_notes([*row, other])) == 2
    assert tilt_words([other]) == ("M on a wedge of 30 deg leaning to the right",)
    assert tilt_words([replace(other, tilt_deg=80.0)]) == (
        "M on an upright strip at 80 deg leaning to the right",
    )
    dome = s.led("D", 0, 0, kind="white 3 mm", tilt_deg=20.0, towards_deg=33.0)
    (words,) = tilt_words([dome])
    assert words.startswith("D with legs bent by 20 deg leaning towards 33 deg, anticlockwise from")


@pytest.mark.parametrize(
    ("towards", "words"),
    [
        (0.0, "to the right seen from inside"),
        (90.0, "towards the panel"),
        (-90.0, "towards the back"),
    ],
)
def test_ways_along_a_wall_have_names(towards, words):
    assert way_of(s.led("W", 0, 0, seat=Seat.WALL, tilt_deg=9.0, towards_deg=towards)) == words


def test_neighbours_on_a_wall_that_lean_at_one_another_are_in_one_place():
    """Seen from inside the lower wall, A stands at the right of B, as its x is less."""

    def told(left_way, right_way):
        row = [
            s.led(name, x, 12, seat=Seat.WALL, height_mm=5, tilt_deg=60.0, towards_deg=way)
            for name, x, way in (("A", 29.0, left_way), ("B", 30.7, right_way))
        ]
        return {one.code for one in s.cut(s.panel(WINDOW), boxes=[s.box(leds=row)]).findings}

    assert "CUT021" in told(180.0, 0.0)  # A leans left, to greater x, and B right, to less
    assert "CUT021" not in told(0.0, 180.0)


def test_what_a_tilted_led_on_a_wall_may_reach_is_a_round():
    one = s.led("W", 20, 20, seat=Seat.WALL, height_mm=4, **CASE_OF_30)
    ring = outline.circle_of(from_front(one))
    assert ring.diameter_mm / 2.0 >= 0.4 + 0.6 * cos(radians(30)) - EXACT
