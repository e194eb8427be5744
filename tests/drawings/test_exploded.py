"""Boxes pulled apart: the projection by closed forms, and what is seen by rays."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.cutting.box_frame import as_built
from lamphouse.design.lightbox import BaffleJoint, Build, Flange, Lid, RoundWalls, Seat
from lamphouse.drawings.drawing import Circle, Path, Pen, Text
from lamphouse.drawings.exploded import SCALES, exploded
from lamphouse.drawings.paper import upright
from lamphouse.drawings.solids import Plate, depth_of, faces_of, projected
from lamphouse.shapes import outline
from lamphouse.shapes.sightlines import seen_of
from lamphouse.shapes.tilting import tilted, wedge_of
from tolerances import EXACT

RIM = 1e-4
"""Lines may end this much before or after the edge that hides them."""
SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
RIGHT, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)


def cuboid(size, at=(0.0, 0.0, 0.0), part="cuboid"):
    wide, high, deep = size
    ring = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    corner = (at[0], at[1], at[2] + deep)
    return Plate(part=part, rings=(ring,), corner_mm=corner, right=RIGHT, up=UP, thickness_mm=deep)


def looked_at(*plates):
    faces = [face for plate in plates for face in faces_of(plate)]
    return faces, seen_of(faces)


def length(sights):
    seen = {
        tuple(sorted((tuple(np.round(a, 6)), tuple(np.round(b, 6)))))
        for sight in sights
        for a, b in sight.lines
    }
    return sum(math.dist(a, b) for a, b in seen)


def test_the_axes_are_120_degrees_apart_and_equally_long():
    # Isometric projection [ISO5456-3]: one scale along three axes at 120 degrees; y stands upright.
    axes = [np.array(projected(axis)) for axis in ((1, 0, 0), (0, 1, 0), (0, 0, 1))]
    assert [np.hypot(*axis) for axis in axes] == pytest.approx([1, 1, 1], abs=EXACT)
    angles = [math.degrees(math.atan2(axis[1], axis[0])) for axis in axes]
    assert angles == pytest.approx([-30, 90, -150], abs=EXACT)
    assert projected((1, 1, 1)) == pytest.approx((0, 0), abs=EXACT)  # the line of sight


def test_a_cube_is_a_hexagon_with_nine_edges():
    faces, sights = looked_at(cuboid((1, 1, 1)))
    assert len(faces) == 3
    assert length(sights) == pytest.approx(9, abs=RIM)
    # Three rhombi of 60 degrees with sides of 1.
    assert sum(sight.seen_mm2 for sight in sights) == pytest.approx(3 * math.sqrt(3) / 2, abs=1e-9)


@given(
    size=st.tuples(*[st.floats(0.2, 9)] * 3),
    at=st.tuples(*[st.floats(-9, 9)] * 3),
)
def test_depth_over_a_face_is_the_depth_of_its_corners(size, at):
    for face in faces_of(cuboid(size, at)):
        level, across, up = face.depth
        for x, y in face.rings[0]:
            found = level + across * x + up * y
            corners = [
                (at[0] + a * size[0], at[1] + b * size[1], at[2] + c * size[2])
                for a in (0, 1) for b in (0, 1) for c in (0, 1)
            ]  # fmt: skip
            depths = [depth_of(one) for one in corners
                      if math.dist(projected(one), (x, y)) < 1e-6]  # fmt: skip
            assert min(abs(found - depth) for depth in depths) < 1e-6


def test_a_smaller_cube_right_behind_a_larger_one_is_not_seen():
    # Along the line of sight (1, 1, 1) its hexagon lies wholly within that of the larger one.
    _, sights = looked_at(cuboid((2, 2, 2)), cuboid((1, 1, 1), (-4.5, -4.5, -4.5), part="far"))
    assert all(sight.seen_mm2 > 0 for sight in sights[:3])
    assert all(sight.seen_mm2 == pytest.approx(0, abs=1e-4) for sight in sights[3:])
    assert all(sight.lines == () for sight in sights[3:])


def test_planes_that_cross_each_hide_half_of_the_other():
    # Two upright unit squares that cross in their middles: x = 0.5 and z = 0.5. Seen from (1, 1, 1)
    # each hides the half of the other behind it where their pictures overlap.
    a = Plate(part="a", rings=(SQUARE,), corner_mm=(0, 0, 0.5), right=RIGHT, up=UP,
              thickness_mm=1e-6)  # fmt: skip
    b = Plate(part="b", rings=(SQUARE,), corner_mm=(0.5, 0, 1), right=(0.0, 0.0, -1.0), up=UP,
              thickness_mm=1e-6)  # fmt: skip
    faces, sights = looked_at(a, b)
    large = [one for one, face in zip(sights, faces, strict=True)
             if len(face.rings[0]) == 4 and one.seen_mm2 > 0.1]  # fmt: skip
    assert len(large) == 2
    whole = math.sqrt(3) / 2
    # By symmetry both keep the same area, and together they cover the union of the pictures.
    assert large[0].seen_mm2 == pytest.approx(large[1].seen_mm2, abs=1e-4)
    assert whole / 2 < large[0].seen_mm2 < whole


@settings(max_examples=25)
@given(
    boxes=st.lists(
        st.tuples(*[st.floats(0.5, 4)] * 3, *[st.integers(0, 3)] * 3), min_size=2, max_size=5
    )
)
def test_every_drawn_point_is_seen_by_a_ray_and_every_hidden_one_is_not(boxes):
    # Independent witness: rays from the eye against cuboids, by slabs.
    cuboids, taken = [], set()
    for wide, high, deep, i, j, k in boxes:
        if (i, j, k) in taken:
            continue
        taken.add((i, j, k))
        cuboids.append(((wide, high, deep), (5.0 * i, 5.0 * j, 5.0 * k)))
    plates = [cuboid(size, at) for size, at in cuboids]
    faces, sights = looked_at(*plates)

    def nearest(u, v):
        # The line of sight through a place: (u / (2 cos 30), v, -u / (2 cos 30)) + t (1, 1, 1).
        base = np.array([u / math.sqrt(3), v, -u / math.sqrt(3)])
        best = -math.inf
        for size, at in cuboids:
            low = np.array(at) - base
            first, last = low.max(), (low + np.array(size)).min()
            if last >= first:
                best = max(best, base.sum() + 3 * last)
        return best

    for face, sight in zip(faces, sights, strict=True):
        level, across, up = face.depth
        for (ax, ay), (bx, by) in sight.lines:
            for share in (0.21, 0.5, 0.83):
                u, v = ax + share * (bx - ax), ay + share * (by - ay)
                assert nearest(u, v) <= level + across * u + up * v + 1e-3
        seen = sum(math.dist(a, b) for a, b in sight.lines)
        ring, hidden, steps = face.rings[0], 0, 0
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
            for share in (np.arange(60) + 0.5) / 60:
                u, v = ax + share * (bx - ax), ay + share * (by - ay)
                steps += math.dist((ax, ay), (bx, by)) / 60
                if nearest(u, v) > level + across * u + up * v + 1e-3:
                    hidden += math.dist((ax, ay), (bx, by)) / 60
        assert seen == pytest.approx(steps - hidden, abs=0.06 * steps + 0.05)


WINDOW = s.opening("window", s.box_shape(16, 12, x=30, y=20))
FULL = s.box(
    s.box_shape(30, 24, x=30, y=20),
    baffles=(s.baffle("a", (30, 8), (30, 32)), s.baffle("b", (15, 20), (45, 20), height_mm=4)),
    baffle_joint=BaffleJoint.TABS,
    inner_diffuser=s.diffuser(8),
    lid=Lid.OVER,
    leds=(s.led("A", 22, 26), s.led("W", 45, 24, seat=Seat.WALL, height_mm=3)),
)


def draw(box, panel=None):
    panel = panel or s.panel(WINDOW)
    made = s.cut(panel, boxes=[box]).boxes[0]
    return exploded(made, box=as_built(box), panel=panel, paper="A4"), made


def test_every_piece_is_named_with_a_leader_that_ends_on_it():
    label, made = draw(FULL)
    words = {item.words for item in label.drawing.items if isinstance(item, Text)}
    wanted = {one.part for one in made.standing if not one.part.startswith(("ledge", "wall"))}
    assert wanted | {"inner diffuser", "panel plate", "LED A"} <= words
    assert {"wall 1", "wall 2", "wall 3", "wall 4"} <= words
    dots = [item for item in label.drawing.items if isinstance(item, Circle)]
    assert len(dots) == len(words)


@pytest.mark.parametrize(
    "box",
    [
        FULL,
        s.box(outline.circle(30, x_mm=30, y_mm=20), thickness_mm=0.5),
        s.box(outline.circle(30, x_mm=30, y_mm=20), round_walls=RoundWalls.FLAT),
        s.box(build=Build.FOLDED, thickness_mm=0.5),
        s.box(build=Build.PRINTED, lid=Lid.OVER),
    ],
    ids=["full", "wrapped", "flat walls", "folded", "printed"],
)
def test_it_fits_its_page_at_a_standard_scale_and_names_stand_apart(box):
    label, _ = draw(box)
    wide, high = upright("A4").room_mm
    assert label.drawing.width_mm <= wide
    assert label.drawing.height_mm <= high
    assert label.drawn in {f"{x:g}:1" if x >= 1 else f"1:{1 / x:g}" for x in SCALES}
    names = [item for item in label.drawing.items if isinstance(item, Text)]
    for number, one in enumerate(names):
        for other in names[:number]:
            if one.anchor is other.anchor:
                assert abs(one.y_mm - other.y_mm) >= 3.5
    assert any(isinstance(item, Path) for item in label.drawing.items)


def test_the_notes_of_printed_bodies_stand_below_as_they_have_no_drawing_of_their_own():
    label, made = draw(s.box(build=Build.PRINTED, lid=Lid.OVER))
    text = " ".join(item.words for item in label.drawing.items if isinstance(item, Text))
    assert len(made.bodies) == 2
    for body in made.bodies:
        assert f"{body.name.rpartition(' / ')[2]}: {'; '.join(body.notes)}" in text


@pytest.mark.parametrize("flange", [Flange.OUTSIDE, Flange.INSIDE])
def test_the_flange_of_a_folded_box_is_drawn_with_its_walls_and_named(flange):
    bare, _ = draw(s.box(build=Build.FOLDED, thickness_mm=0.5, flange=Flange.NONE))
    label, made = draw(s.box(build=Build.FOLDED, thickness_mm=0.5, flange=flange))
    assert len(made.flanges) == 4
    texts = [[item.words for item in one.drawing.items if isinstance(item, Text)]
             for one in (bare, label)]  # fmt: skip
    assert "flange" not in texts[0]
    assert texts[1].count("flange") == 1
    lines = [sum(isinstance(item, Path) for item in one.drawing.items) for one in (bare, label)]
    assert lines[1] > lines[0]


def test_the_same_box_gives_the_same_drawing():
    assert draw(FULL)[0] == draw(FULL)[0]


@pytest.mark.parametrize("tilt", [30.0, 89.0, 90.0])
def test_a_tilted_led_stands_on_its_wedge(tilt):
    """Its lines span what the corners of its package and wedge span, as the picture shows them."""
    one = s.led("A", 30, 20, tilt_deg=tilt, towards_deg=90.0)
    wide = s.opening("wide", s.box_shape(48, 32, x=30, y=20))
    label, _ = draw(s.box(s.box_shape(50, 34, x=30, y=20), leds=(one,)), panel=s.panel(wide))
    scale = float(label.drawn.split(":")[0]) / float(label.drawn.split(":")[1])
    lines = [
        item.corners
        for item in label.drawing.items
        if isinstance(item, Path) and item.pen is Pen.MARK
    ]
    package = one.led_type.package_mm
    body = tilted(package, is_round=False, turn_deg=0.0, tilt_deg=tilt, towards_deg=90.0)
    wedge = wedge_of(package, turn_deg=0.0, tilt_deg=tilt, towards_deg=90.0)
    foot = wedge.corners() if tilt < 90.0 else ()
    spots = [projected(corner) for corner in (*body.corners(), *foot)]
    for axis in (0, 1):
        drawn = [corner[axis] / scale for line in lines for corner in line]
        meant = [spot[axis] for spot in spots]
        assert max(drawn) - min(drawn) == pytest.approx(max(meant) - min(meant), abs=1e-6)
