"""Tilted LEDs in their seats: where their light lies, what it lights, that none of it is lost."""

from math import cos, pi, radians, sin

import numpy as np
import pytest

from lamphouse.design.lightbox import Seat
from lamphouse.light import glow
from lamphouse.light.box_scene import beam_of, draw_box
from lamphouse.light.clearance import too_near
from lamphouse.light.emitter import falling
from lamphouse.light.interior import make_interior
from lamphouse.light.landing import landing
from lamphouse.light.pieces import level_pieces, targets
from lamphouse.light.sightline_rules import least_angle_deg, led_in_sight
from lamphouse.light.sound_box import faults
from lamphouse.light.step_size import screens_of
from lamphouse.light.strand_posts import face_spots
from lamphouse.light.verify import Effort, Opinion, verify
from lamphouse.light.viewers import Screens
from lamphouse.record import replace
from lamphouse.shapes.outline import polygon
from light.designs import film, led, led_type, light_box, opening, outline, panel, upright
from tolerances import EXACT, PHYSICS

NOTHING = Screens(
    start_mm=np.zeros((0, 2)), end_mm=np.zeros((0, 2)), low_mm=np.zeros(0), high_mm=np.zeros(0)
)
OPAL = film(0.55, 0.35)
SIGMAS = 4.0


def leaning(name, x, y, *, tilt, towards, turn=0.0, **more):
    return replace(led(name, x, y, **more), tilt_deg=tilt, towards_deg=towards, turn_deg=turn)


def drawn_of(*leds, inside=None, depth_mm=10.0, paint=0.85, window=(3, 3, 27, 17), films=(OPAL,)):
    box = light_box(inside or upright(0, 0, 30, 20), *leds, depth_mm=depth_mm, paint=paint)
    return draw_box(panel(opening("A", upright(*window), *films)), box=box, currents={})


@pytest.mark.parametrize(
    ("seat", "towards", "axis"),
    [
        # Seen from the front, x to the right, y up; z towards the panel. Tilt 30: sine a half.
        (Seat.BACK, 0.0, (0.5, 0.0, 0.75**0.5)),
        (Seat.BACK, 90.0, (0.0, 0.5, 0.75**0.5)),
        (Seat.PANEL, 0.0, (0.5, 0.0, -(0.75**0.5))),
        (Seat.PANEL, 90.0, (0.0, 0.5, -(0.75**0.5))),
        # In the lower wall, looking down at it from inside with the panel ahead of the eye's top:
        # right is towards lesser x.
        (Seat.WALL, 0.0, (-0.5, 0.75**0.5, 0.0)),
        (Seat.WALL, 90.0, (0.0, 0.75**0.5, 0.5)),
        (Seat.WALL, 270.0, (0.0, 0.75**0.5, -0.5)),
    ],
)
def test_a_beam_leans_the_way_the_file_says(seat, towards, axis):
    drawn = drawn_of(leaning("A", 12.0, 0.2, tilt=30.0, towards=towards, seat=seat, height_mm=4.0))
    (lamp,) = drawn.scene.lamps
    assert lamp.direction == pytest.approx(axis, abs=EXACT)


@pytest.mark.parametrize("backwards", [False, True])
def test_right_on_every_wall_is_where_the_next_wall_stands_at_the_right(backwards):
    """Facing a wall from inside a box seen from the front, its right end joins the wall before."""
    corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]
    inside = outline(polygon(corners[::-1] if backwards else corners))
    for spot, way in (
        ((12.0, 0.2), (-1, 0)),
        ((29.8, 9.0), (0, -1)),
        ((12.0, 19.8), (1, 0)),
        ((0.2, 9.0), (0, 1)),
    ):
        one = leaning("A", *spot, tilt=90.0, towards=0.0, seat=Seat.WALL, height_mm=4.0)
        (lamp,) = drawn_of(one, inside=inside).scene.lamps
        assert lamp.direction == pytest.approx((*way, 0.0), abs=EXACT)


def test_the_light_of_a_tilted_chip_lies_off_its_seat_by_hand():
    # Half of 0.8 mm on the slope lifts it by 0.2; 0.6 mm of chip lean 0.3 aside and 0.52 up.
    up = 0.2 + 0.6 * 0.75**0.5
    (back,) = drawn_of(leaning("A", 12, 9, tilt=30, towards=90)).scene.lamps
    assert (back.x_mm, back.y_mm, back.z_mm) == pytest.approx((12.0, 9.3, up), abs=EXACT)
    under = leaning("A", 12, 9, tilt=30, towards=90, seat=Seat.PANEL)
    (front,) = drawn_of(under).scene.lamps
    assert (front.x_mm, front.y_mm, front.z_mm) == pytest.approx((12.0, 9.3, 10.0 - up), abs=EXACT)
    wall = leaning("A", 12, 0.2, tilt=30, towards=90, seat=Seat.WALL, height_mm=4.0)
    (beside,) = drawn_of(wall).scene.lamps
    assert (beside.x_mm, beside.y_mm, beside.z_mm) == pytest.approx((12.0, up, 4.3), abs=EXACT)


@pytest.mark.parametrize("beam_deg", [60.0, 120.0, 160.0])
@pytest.mark.parametrize("tilt", [20.0, 55.0])
def test_a_tilted_led_lights_panel_and_seat_by_the_inverse_square_and_cosine_laws(beam_deg, tilt):
    """``E = I0 cos(off)^m cos(landing) / r^2``, ``I0 = (m + 1) / 2 pi`` for 1 lm, in one plane."""
    one = leaning("A", 8, 10, tilt=tilt, towards=0.0, kind=led_type(beam_deg=beam_deg))
    drawn = drawn_of(one)
    (lamp,) = drawn.scene.lamps
    m = beam_of(beam_deg).m
    for x, z, faces_up in ((8.5, 10.0, False), (20.0, 10.0, False), (14.0, 0.0, True)):
        aside, rise = x - lamp.x_mm, z - lamp.z_mm
        far = np.hypot(aside, rise)
        off = (aside * sin(radians(tilt)) + rise * cos(radians(tilt))) / far
        expected = (m + 1) / (2 * pi) * max(off, 0.0) ** m * abs(rise) / far**3
        (found,) = falling(
            lamp,
            x_mm=np.array([x]),
            y_mm=np.array([10.0]),
            z_mm=z,
            faces_up=faces_up,
            lobe=None,
            screens=screens_of(drawn.scene),
        )
        assert found == pytest.approx(expected, rel=EXACT)


@pytest.mark.parametrize("tilt", [20.0, 30.0, 60.0, 90.0])
@pytest.mark.parametrize("height", [0.3, 0.7])
def test_the_seat_of_an_even_led_gets_what_its_tilt_gives_it(tilt, height):
    """Form factor of a tilted Lambertian element to the plane under it: ``(1 - cos t) / 2``.

    To a plate of finite size it is less, by at most ``height / reach``.
    """
    reach = 300.0
    corner = np.array([[(-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach)]])
    seat = level_pieces(corner, height_mm=0.0, up=True, face=np.array([0]))
    (lamp,) = drawn_of(leaning("A", 8, 10, tilt=tilt, towards=33.0)).scene.lamps
    placed = replace(lamp, x_mm=0.0, y_mm=0.0, z_mm=height)
    flux = landing(placed, onto=targets(seat, count=1, lobe=None), screens=NOTHING).flux[0]
    assert flux == pytest.approx((1.0 - cos(radians(tilt))) / 2.0, abs=height / reach)


SEATED = [
    leaning("B", 9, 8, tilt=30, towards=70, turn=20, kind=led_type(beam_deg=60.0)),
    leaning("B", 9, 8, tilt=75, towards=200, kind=led_type(beam_deg=160.0)),
    leaning("W", 12, 0.2, tilt=45, towards=90, seat=Seat.WALL, height_mm=3.0),
    leaning("P", 1.5, 10, tilt=60, towards=10, seat=Seat.PANEL),
]


@pytest.mark.parametrize("one", SEATED, ids=lambda one: f"{one.seat} {one.tilt_deg:g}")
def test_no_light_of_a_tilted_led_is_lost(one):
    scene = drawn_of(one).scene
    inside = make_interior(scene)
    (lamp,) = scene.lamps
    landed = landing(lamp, onto=inside.onto[0], screens=inside.screens)
    # A beam of less than cos^1 falls off steeply at its horizon, and pieces see that less well.
    assert landed.flux.sum() == pytest.approx(1.0, abs=PHYSICS)
    assert glow.solve(scene).energy.missing < 1e-6


@pytest.mark.parametrize("paint", [0.1, 0.93])
@pytest.mark.parametrize("one", SEATED, ids=lambda one: f"{one.seat} {one.tilt_deg:g}")
def test_random_walks_find_the_same_glow_of_a_tilted_led(one, paint):
    pytest.importorskip("numba")
    drawn = drawn_of(one, paint=paint)
    assert not faults(drawn.scene)
    assert not any(too_near(drawn))
    (look,) = glow.solve(drawn.scene).looks
    opinion = verify(drawn.scene, seed=3, effort=Effort(relative_error=0.001, most_walks=200_000))
    assert isinstance(opinion, Opinion)
    (seen,) = opinion.openings
    off = abs(look.mean_cd_m2 - seen.mean_cd_m2)
    assert off < look.bar_cd_m2 + SIGMAS * seen.mean_error_cd_m2
    assert off / seen.mean_cd_m2 < 5.0 * PHYSICS


def test_leaning_the_other_way_lights_the_other_half():
    """A mirrored lean gives the mirrored field: 6 rows of 8 parts, left and right swapped."""
    right, left = (
        glow.solve(drawn_of(leaning("A", 15, 10, tilt=40, towards=way)).scene).looks[0]
        for way in (0.0, 180.0)
    )
    field = np.array(right.luminance_cd_m2).reshape(-1, 8)
    assert np.array(left.luminance_cd_m2).reshape(-1, 8)[:, ::-1] == pytest.approx(field, rel=1e-6)
    assert field[:, 4:].mean() > 1.2 * field[:, :4].mean()


def test_an_led_under_the_panel_is_too_near_an_opening_it_lights_from_beside():
    near = leaning("P", 2.6, 10, tilt=60, towards=0, seat=Seat.PANEL)
    (found,) = too_near(drawn_of(near))
    assert found.what == "opening 'A'"
    assert not any(too_near(drawn_of(replace(near, tilt_deg=0.0))))
    assert not any(too_near(drawn_of(replace(near, x_mm=1.2))))


def test_an_led_that_leans_away_from_a_hole_is_not_seen_through_it():
    # The hole lies straight over it; leaned by 90 degrees it still shows its face at a slant.
    for tilt, window, is_seen in ((0.0, (8, 8, 12, 12), True), (89.0, (1, 8, 5, 12), False)):
        drawn = drawn_of(leaning("A", 10, 10, tilt=tilt, towards=0.0), window=window, films=())
        (aperture,) = drawn.scene.apertures
        angle = least_angle_deg(drawn, lamp=drawn.scene.lamps[0], aperture=aperture, panel_mm=1.0)
        assert (angle is not None) == is_seen


def test_the_move_out_of_sight_is_of_the_led_and_not_of_its_light():
    inside = upright(0, 0, 60, 40)
    places = []
    for tilt in (0.0, 30.0):
        one = leaning("A", 10, 10, tilt=tilt, towards=0.0)
        box = light_box(inside, one, depth_mm=6.0)
        drawn = draw_box(panel(opening("A", upright(8, 8, 12, 12))), box=box, currents={})
        (told,) = led_in_sight(drawn)
        places.append(told.remedy.split("move the LED to ")[1].strip("[] ."))
    assert places[0] != places[1]


def test_the_lit_face_of_a_tilted_led_is_foreshortened_seen_from_above():
    flat, leant = (
        face_spots(one, lamp=drawn.scene.lamps[0], drawn=drawn)
        for tilt in (0.0, 60.0)
        for one in (leaning("A", 10, 10, tilt=tilt, towards=0.0),)
        for drawn in (drawn_of(one),)
    )
    assert np.ptp(leant[:, 0]) == pytest.approx(np.ptp(flat[:, 0]) / 2.0, rel=EXACT)
    assert np.ptp(leant[:, 1]) == pytest.approx(np.ptp(flat[:, 1]), rel=EXACT)
