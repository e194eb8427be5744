"""Pillars in a box as it is solved: closed forms, random walks, the same box on half steps."""

import os
from importlib.util import find_spec
from math import dist, pi

import numpy as np
import pytest

from lamphouse.design.lightbox import Baffle, InnerDiffuser, Pillar, Seat
from lamphouse.light import glow, sound_box
from lamphouse.light.box_mesh import rows_of
from lamphouse.light.box_scene import draw_box
from lamphouse.light.judging import judge_box
from lamphouse.light.painted_faces import mean_grey, mean_paint
from lamphouse.light.pillar_scene import ring_of_pillar
from lamphouse.light.room_light import inside_mm2
from lamphouse.light.shared_walls import WALL_ERROR_MM
from lamphouse.light.sound_box import Kind
from lamphouse.light.step_size import step_mm
from lamphouse.light.strand_posts import posts_in
from lamphouse.light.verify import Effort, Opinion, verify
from lamphouse.record import replace as changed
from lamphouse.shapes.outline import circle, polygon, rectangle
from lamphouse.shapes.transform import turn
from light.designs import (
    SHEET,
    film,
    finish,
    led,
    light_box,
    opening,
    outline,
    panel,
    round_outline,
    upright,
    where,
)
from tolerances import EXACT

SIGMAS = 4.0
"""Standard errors that chance passes once in fifteen thousand."""
LOT = 4
"""Boxes drawn by lot."""


def post(shape, *, name="post", **more):
    return Pillar(name=name, where=where(f"pillar {name}"), outline=shape, **more)


def square(side, *, x, y, turn_deg=0.0):
    corners = rectangle(side, height_mm=side, x_mm=x, y_mm=y)
    return outline(turn(corners, angle_deg=turn_deg, about=(x, y)))


def walled(name, start, end, *, height_mm):
    return Baffle(
        name=name, where=where(name), start_mm=start, end_mm=end, height_mm=height_mm, sheet=SHEET
    )


def box_with(*pillars, leds=None, **more):
    leds = leds if leds is not None else (led("W1", 8.0, 10.0), led("W2", 22.0, 10.0))
    return changed(light_box(upright(0, 0, 30, 20), *leds, **more), pillars=pillars)


def drawn(box, *openings):
    openings = openings or (opening("A", upright(1, 14, 12, 19), film(0.55, 0.35)),)
    return draw_box(panel(*openings), box=box, currents={})


@pytest.mark.parametrize("across", [0.5, 1.0, 4.0, 20.0])
def test_a_round_pillar_is_as_long_round_as_it_is_and_as_near_as_round_walls(across):
    """The mean shadow of a convex outline is its length over pi (Cauchy's formula)."""
    ring = ring_of_pillar(post(round_outline(across, x_mm=5.0, y_mm=3.0)))
    edges = list(zip(ring, (*ring[1:], ring[0]), strict=True))
    assert sum(dist(*edge) for edge in edges) == pytest.approx(pi * across, rel=EXACT)
    for (ax, ay), (bx, by) in edges:
        for share in np.linspace(0.0, 1.0, 9):
            off = dist((ax + share * (bx - ax), ay + share * (by - ay)), (5.0, 3.0))
            assert abs(off - across / 2.0) <= WALL_ERROR_MM


def test_a_square_pillar_keeps_its_corners_whichever_way_it_is_written():
    corners = ((4.0, 4.0), (4.0, 6.0), (6.0, 6.0), (6.0, 4.0))
    ring = ring_of_pillar(post(outline(polygon(corners))))
    assert set(ring) == set(corners)


def test_each_pillar_has_its_own_paint_and_the_walls_that_of_the_box():
    box = box_with(
        post(square(3.0, x=15, y=10), finish=finish(0.05)),
        post(round_outline(2.0, x_mm=15, y_mm=16), name="rod"),
        paint=0.8,
    )
    scene = drawn(box).scene
    rod = len(scene.holes[1])
    assert scene.wall_reflectances == (0.8,) * 4 + (0.05,) * 4 + (0.8,) * rod


def test_faces_are_counted_with_the_pillars_and_without_their_feet():
    box = box_with(post(square(3.0, x=15, y=10), finish=finish(0.2)), depth_mm=8.0, paint=0.8)
    made = drawn(box)
    area = 2.0 * (600.0 - 9.0) + (100.0 + 12.0) * 8.0
    assert inside_mm2(made) == pytest.approx(area, rel=EXACT)
    painted = area - 11.0 * 5.0  # but for the opening
    mean = (0.8 * (painted - 96.0) + 0.2 * 96.0) / painted
    assert mean_grey(made.box, scene=made.scene) == pytest.approx(mean, rel=EXACT)
    assert mean_paint(made.box, scene=made.scene) == pytest.approx(mean, rel=EXACT)


@pytest.mark.parametrize("far", [(15.0, 8.8), (15.0, 10.0), (15.0, 11.4), (15.0, 8.2)])
def test_a_baffle_that_comes_to_a_pillar_ends_on_it(far):
    box = box_with(
        post(square(3.0, x=15, y=10)), baffles=(walled("a", (15.0, 0.0), far, height_mm=6.0),)
    )
    (baffle,) = drawn(box).scene.baffles
    assert baffle.end_mm == pytest.approx((15.0, 8.5), abs=EXACT)
    assert not sound_box.faults(drawn(box).scene)


def test_a_baffle_between_two_pillars_ends_on_both():
    box = box_with(
        post(square(3.0, x=10, y=10)),
        post(square(3.0, x=20, y=10), name="other"),
        baffles=(walled("a", (10.0, 10.0), (20.0, 10.0), height_mm=6.0),),
    )
    (baffle,) = drawn(box).scene.baffles
    assert (*baffle.start_mm, *baffle.end_mm) == pytest.approx((11.5, 10.0, 18.5, 10.0), abs=EXACT)


A_POST = post(square(3.0, x=15, y=10))
ALONG = {"height_mm": 6.0}


@pytest.mark.parametrize(
    ("box", "kind", "said"),
    [
        (box_with(post(square(3.0, x=29, y=10))), Kind.PILLAR, "pillar 'post' does not stand"),
        (box_with(post(square(60.0, x=15, y=10))), Kind.PILLAR, "pillar 'post' does not stand"),
        (box_with(post(square(3.0, x=80, y=10))), Kind.PILLAR, "pillar 'post' does not stand"),
        (
            box_with(A_POST, post(square(3.0, x=17, y=11), name="b")),
            Kind.PILLARS_MEET,
            "pillar 'post' and pillar 'b' run into one another",
        ),
        (
            box_with(A_POST, post(square(1.0, x=15, y=10), name="b")),
            Kind.PILLARS_MEET,
            "pillar 'post' and pillar 'b'",
        ),
        (
            box_with(A_POST, post(square(3.0, x=15, y=10), name="b")),
            Kind.PILLARS_MEET,
            "pillar 'post' and pillar 'b'",
        ),
        (
            box_with(post(square(0.6, x=15.3, y=10.1)),
                     baffles=(walled("a", (15.3, 1.0), (15.3, 19.0), **ALONG),)),
            Kind.BAFFLE_PILLAR,
            "baffle 'a' runs through a pillar",
        ),
        (
            box_with(A_POST, leds=(led("W1", 15.0, 10.0),)),
            Kind.LAMP_PLACE,
            "LED 'W1' stands in pillar 'post'",
        ),
        (
            box_with(post(square(3.0, x=6, y=16))),
            Kind.OPENING_PILLAR,
            "opening 'A' lies over pillar 'post'",
        ),
        (
            box_with(post(square(0.4, x=12.1, y=16.3, turn_deg=20))),
            Kind.OPENING_PILLAR,
            "opening 'A' lies over pillar 'post'",
        ),
        (
            box_with(post(outline(polygon([(13, 8), (17, 12), (17, 8), (13, 12)])))),
            Kind.PILLAR,
            "",
        ),
        (
            box_with(*(post(round_outline(1.0, x_mm=1.5 + 1.5 * (n % 18), y_mm=2 + n // 18),
                            name=f"p{n}") for n in range(200))),
            Kind.COUNT,
            "corners",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_told_by_name(box, kind, said):
    made = drawn(box)
    assert kind in {fault.kind for fault in sound_box.faults(made.scene)}
    result, found = judge_box(
        made.panel, box=box, sub_assembly="desk", currents=(), looks=(), room=None
    )
    assert result is None
    if said:
        assert any(said in one.message for one in found if one.code == "LIT002")
    else:
        assert found == ()  # an outline that is none is for the rules of cutting


def test_an_led_near_a_pillar_and_a_shiny_pillar_are_told_by_name():
    near = box_with(A_POST, leds=(led("W1", 12.9, 10.0),))
    shiny = box_with(changed(A_POST, finish=finish(0.8, shine="shiny")))
    for box, said in (
        (near, "0.6 mm from pillar 'post'"),
        (shiny, "pillar post, which mirrors"),
    ):
        result, found = judge_box(
            drawn(box).panel, box=box, sub_assembly="desk", currents=(), looks=(), room=None
        )
        assert result is None
        assert any(said in one.message for one in found)


def test_an_opening_may_touch_a_pillar():
    box = box_with(post(square(2.0, x=13, y=16)))
    assert not sound_box.faults(drawn(box).scene)


def _by_lot(rng):
    """Draw a box with one to three pillars, LEDs beside them, baffles that end on them."""
    while True:
        wide, high = rng.uniform(25.0, 60.0), rng.uniform(20.0, 45.0)
        deep, white = rng.uniform(6.0, 20.0), float(rng.choice([0.85, 0.8, 0.4]))
        pillars, baffles, leds = [], [], []
        for number in range(rng.integers(1, 4)):
            x, y = rng.uniform(4.0, wide - 4.0), rng.uniform(4.0, high - 4.0)
            size = rng.uniform(1.0, 7.0)
            angle = float(rng.choice([0.0, 25.0]))
            shape = (
                outline(circle(size, x_mm=x, y_mm=y))
                if rng.integers(2)
                else square(size, x=x, y=y, turn_deg=angle)
            )
            paint = rng.choice([None, finish(0.05), finish(0.85)])
            pillars.append(post(shape, name=f"p{number}", finish=paint))
            if rng.integers(2):
                end = [(0.0, y), (x, 0.0), (wide, y), (x, high)][rng.integers(4)]
                top = deep * float(rng.choice([0.5, 0.55, 1.0]))
                baffles.append(walled(f"b{number}", end, (x, y), height_mm=top))
            way, off = rng.uniform(0.0, 2.0 * pi), 0.75 * size + rng.uniform(1.2, 6.0)
            leds.append(led(f"W{number}", x + off * np.cos(way), y + off * np.sin(way)))
        inner = None
        if rng.integers(3) == 0:
            inner = InnerDiffuser(film=film(0.5, 0.4), height_mm=0.6 * deep)
            baffles = [changed(one, height_mm=min(one.height_mm, 0.6 * deep)) for one in baffles]
        box = changed(
            light_box(upright(0, 0, wide, high), *leds, depth_mm=deep, paint=white, inner=inner),
            pillars=tuple(pillars),
            baffles=tuple(baffles),
        )
        sides = rng.uniform(3.0, wide / 2.0), rng.uniform(3.0, high / 2.0)
        left, low = rng.uniform(1.0, wide - sides[0] - 1.0), rng.uniform(1.0, high - sides[1] - 1)
        shape = upright(left, low, left + sides[0], low + sides[1])
        films = (film(0.55, 0.35),) if rng.integers(4) else ()
        made = drawn(box, opening("A", shape, *films))
        if not sound_box.faults(made.scene):
            return made.scene


@pytest.fixture(scope="module")
def lot():
    rng = np.random.default_rng(41)
    scenes = [_by_lot(rng) for _ in range(LOT)]
    assert any(scene.baffles for scene in scenes)
    assert any(scene.sheet for scene in scenes)
    return [(scene, glow.solve(scene)) for scene in scenes]


def test_boxes_by_lot_agree_with_random_walks(lot):
    """The walks share nothing with the solver but the records of the box."""
    if find_spec("numba") is None:
        assert os.environ.get("CI") != "true", "the walks cannot be tested without their compiler"
        pytest.skip("the compiler 'numba' is not installed")
    effort = Effort(relative_error=0.004, most_walks=150_000)
    for scene, solved in lot:
        opinion = verify(scene, seed=5, effort=effort)
        assert isinstance(opinion, Opinion)
        for look, seen in zip(solved.looks, opinion.openings, strict=True):
            off = abs(look.mean_cd_m2 - seen.mean_cd_m2)
            assert seen.relative_error < 0.01
            assert off <= look.bar_cd_m2 + SIGMAS * seen.mean_error_cd_m2


def test_boxes_by_lot_agree_with_themselves_on_half_steps(lot):
    size = {id(one): rows_of(one, step_mm=step_mm(one), most=10**6) for one, _ in lot}
    quick = sorted(lot, key=lambda one: size[id(one[0])])[:2]
    for scene, solved in quick:
        fine = glow.solve(scene, step=step_mm(scene) / 2.0)
        for look, finer in zip(solved.looks, fine.looks, strict=True):
            assert abs(look.mean_cd_m2 - finer.mean_cd_m2) <= look.bar_cd_m2


def test_light_is_not_lost_or_made_round_pillars(lot):
    for _, solved in lot:
        energy = solved.energy
        both = energy.absorbed_lm + energy.escaped_lm
        assert both == pytest.approx(energy.emitted_lm, rel=2e-2)


def test_a_thin_pillar_far_from_all_changes_little_and_a_wide_black_one_darkens():
    bare, thin, black = (
        glow.solve(drawn(box_with(*pillars)).scene).looks[0].mean_cd_m2
        for pillars in (
            (),
            (post(square(0.3, x=28, y=2)),),
            (post(square(6.0, x=15, y=8), finish=finish(0.0)),),
        )
    )
    assert thin == pytest.approx(bare, rel=0.02)
    assert black < 0.9 * bare


def test_a_strand_in_a_tube_is_no_post_in_the_light():
    from cutting.samples import strand

    made = drawn(box_with(post(round_outline(4.0, x_mm=15, y_mm=10))))
    inside, beside = strand("T", 15.0, 10.0), strand("U", 15.0, 14.0)
    assert [one.name for one in posts_in(made, strands=(inside, beside))] == ["U"]


def test_an_led_on_a_wall_is_seated_on_the_wall_and_not_on_a_pillar():
    wall = led("W1", 0.0, 10.0, seat=Seat.WALL, height_mm=4.0)
    lamp = drawn(box_with(post(square(2.0, x=3.5, y=10)), leds=(wall,))).scene.lamps[0]
    assert (lamp.x_mm, lamp.direction) == (pytest.approx(0.6), (1.0, 0.0, 0.0))
