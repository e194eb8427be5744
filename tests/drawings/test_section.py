"""Sections through boxes: where they are cut, where rays end, what the sizes say."""

from math import radians, sqrt, tan

import pytest

from drawings.sample_glow import (
    NOWHERE,
    OPAL,
    PAINT,
    SHEET,
    WHITE,
    full_box,
    led,
    light_box,
    outline,
    panel,
    solved,
    upright,
)
from lamphouse.cutting.wall_holes import WallHole
from lamphouse.design.box_faces import repainted
from lamphouse.design.lightbox import FaceFinish, Lid, Pillar, Seat
from lamphouse.design.panel import Opening, Panel
from lamphouse.drawings.drawing import Path, Pen, Text
from lamphouse.drawings.hatching import hatched
from lamphouse.drawings.section import SCALES, section
from lamphouse.drawings.section_plane import Plane, baffle_crossing, clear_spans, plane_of, spans_in
from lamphouse.light.scene import Baffle
from lamphouse.record import replace
from tolerances import EXACT, PHYSICS

ROOM_MM = (176.0, 76.0)
DRAWN = 2.0
"""Scale of the plain box in that room."""
L_SHAPE = outline((0, 0), (40, 0), (40, 12), (14, 12), (14, 40), (0, 40))


def drawn(box, *, front=None, room_mm=ROOM_MM):
    board = front or panel()
    return section(box, panel=board, solved=solved(box, board), room_mm=room_mm)


def paths(drawing, pen):
    return [item for item in drawing.items if isinstance(item, Path) and item.pen is pen]


def words(drawing):
    return [item.words for item in drawing.items if isinstance(item, Text)]


def test_the_cut_follows_the_row_of_leds():
    plane = plane_of(solved(light_box()))
    assert (plane.along, plane.level_mm) == ("x", 20.0)
    upright = light_box(leds=(led("W1", 30.0, 13.0), led("W2", 30.0, 27.0), led("W3", 20.0, 20.0)))
    plane = plane_of(solved(upright))
    assert (plane.along, plane.level_mm) == ("y", 30.0)


def test_a_box_without_leds_is_cut_through_its_middle():
    plane = plane_of(solved(light_box(leds=())))
    assert (plane.along, plane.level_mm) == ("x", 20.0)


def test_a_cut_meets_every_arm_of_a_box():
    box = light_box(inside=L_SHAPE, leds=(led("W1", 5.0, 6.0), led("W2", 30.0, 6.0)))
    low = Plane(along="x", level_mm=6.0)
    assert [(a.u_mm, b.u_mm) for a, b in clear_spans(low, solved(box))] == [(0.0, 40.0)]
    high = Plane(along="x", level_mm=20.0)
    assert [(a.u_mm, b.u_mm) for a, b in clear_spans(high, solved(box))] == [(0.0, 14.0)]
    u_shape = ((0, 0), (30, 0), (30, 20), (20, 20), (20, 8), (10, 8), (10, 20), (0, 20))
    assert spans_in(high, [(x, y + 5) for x, y in u_shape]) == [(0.0, 10.0), (20.0, 30.0)]


def test_a_wall_cut_at_45_degrees_is_wider_by_the_root_of_two():
    ring = outline((0, 0), (40, 0), (30, 10), (0, 10))
    box = light_box(inside=ring, leds=(led("W1", 10.0, 5.0), led("W2", 20.0, 5.0)))
    ((left, right),) = clear_spans(plane_of(solved(box)), solved(box))
    assert left.slant == pytest.approx(1.0, abs=EXACT)
    assert right.slant == pytest.approx(sqrt(2.0), abs=EXACT)
    assert right.u_mm == pytest.approx(35.0, abs=1e-5)


def test_rays_of_half_the_peak_leave_at_half_the_beam():
    """120 degrees in all: a ray is tan 60 as far out as it is high."""
    drawing = drawn(light_box())
    rays = paths(drawing, Pen.CENTRE)
    assert len(rays) == 6
    ends = {
        (round(ray.corners[0][0] / DRAWN, 6), round(ray.corners[1][0] / DRAWN, 4)): ray
        for ray in rays
    }
    out = (10.0 - 0.6) * tan(radians(60.0))
    assert (30.0, round(30.0 + out, 4)) in ends
    assert (30.0, round(30.0 - out, 4)) in ends
    wall = ends[18.0, 10.0].corners[1]  # the first LED's left ray meets the wall 8 mm away
    assert wall[1] / DRAWN == pytest.approx(0.6 + 8.0 / tan(radians(60.0)), rel=PHYSICS)


def test_rays_end_at_an_inner_sheet_and_at_a_baffle():
    rays = paths(drawn(full_box()), Pen.CENTRE)
    tops = {round(ray.corners[1][1] / DRAWN, 4) for ray in rays}
    assert max(tops) == 6.0
    right = [ray for ray in rays if ray.corners[0][0] == pytest.approx(18.0 * DRAWN)]
    far = max(ray.corners[1][0] for ray in right) / DRAWN
    assert far == pytest.approx(18.0 + (6.0 - 0.6) * tan(radians(60.0)), rel=PHYSICS)
    tall = replace(full_box().baffles[0], height_mm=5.9)
    box = replace(full_box(), baffles=(replace(tall, start_mm=(22.0, 10.0), end_mm=(22.0, 25.0)),))
    stopped = [
        ray.corners[1][0] / DRAWN
        for ray in paths(drawn(box), Pen.CENTRE)
        if ray.corners[0][0] == pytest.approx(18.0 * DRAWN)
    ]
    assert max(stopped) == pytest.approx(22.0, rel=PHYSICS)


def test_slanted_baffles_that_cross_are_each_cut_once():
    (baffle,) = full_box().baffles
    spots = (((12.0, 12.0), (36.0, 28.0)), ((12.0, 28.0), (36.0, 13.0)))
    crossed = tuple(replace(baffle, start_mm=start, end_mm=end) for start, end in spots)
    drawing = drawn(light_box(baffles=crossed))
    assert drawing.items != drawn(light_box(baffles=crossed[:1])).items


def test_a_baffle_that_hangs_is_cut_from_its_edge_to_the_panel_and_stops_rays_there_alone():
    hung = replace(
        full_box().baffles[0], start_mm=(22.0, 10.0), end_mm=(22.0, 25.0), seat=Seat.PANEL
    )
    box = replace(full_box(), baffles=(hung,), inner_diffuser=None)
    solid = [
        (left, right, low, high)
        for path in paths(drawn(box), Pen.CUT)
        for xs, ys in [zip(*((x / DRAWN, y / DRAWN) for x, y, *_ in path.corners), strict=True)]
        for left, right, low, high in [(min(xs), max(xs), min(ys), max(ys))]
    ]
    half = hung.sheet.thickness_mm / 2.0
    wanted = (22.0 - half, 22.0 + half, box.depth_mm - hung.height_mm, box.depth_mm)
    assert any(one == pytest.approx(wanted, abs=1e-6) for one in solid)
    right = [
        ray.corners[1][0] / DRAWN
        for ray in paths(drawn(box), Pen.CENTRE)
        if ray.corners[0][0] == pytest.approx(18.0 * DRAWN)
    ]
    # From 0.6 mm up a ray of 60 degrees passes 4 mm aside at 2.9 mm, below the edge at 6 mm.
    assert box.depth_mm - hung.height_mm > 0.6 + 4.0 / tan(radians(60.0))
    assert max(right) > 22.0 + EXACT


def test_leds_off_the_cut_are_dashed_and_have_no_rays():
    hidden = paths(drawn(full_box()), Pen.HIDDEN)
    assert len(hidden) == 1
    assert hidden[0].corners[0][0] / DRAWN == pytest.approx(30.0 - 0.8)


def test_sizes_are_true_whatever_the_scale():
    for room_mm, scale in ((ROOM_MM, 2.0), ((100.0, 60.0), 1.0)):
        drawing = drawn(light_box(), room_mm=room_mm)
        said = words(drawing)
        assert {"10", "8", "12"} <= set(said)
        assert any(f"drawn {scale:g} : 1" in line for line in said)
        assert drawing.width_mm <= room_mm[0]
        assert drawing.height_mm <= room_mm[1]


def test_what_fits_no_scale_is_drawn_at_the_smallest():
    drawing = drawn(light_box(), room_mm=(20.0, 20.0))
    right = max(x for path in paths(drawing, Pen.CENTRE) for x, _, _ in path.corners)
    assert right == pytest.approx(50.0 * SCALES[-1], rel=PHYSICS)


def test_openings_and_materials_are_named():
    said = " ".join(words(drawn(light_box())))
    for name in ("screen: opal film 60", "W1", "styrene 1.0 mm", "matt white paint", "120 degrees"):
        assert name in said


BLACK = replace(PAINT, name="matt black paint", reflectance=0.05)


def lines_along(box):
    """Give the lines along faces as ends in mm of the box, from left to right and from below."""
    alike = repainted(box, finish=box.finish, instead_of=lambda _: True)
    plain = {path.corners for path in paths(drawn(alike), Pen.MARK)}
    new = [path for path in paths(drawn(box), Pen.MARK) if path.corners not in plain]
    return sorted(
        tuple((round(x / DRAWN, 4), round(y / DRAWN, 4)) for x, y, _ in path.corners)
        for path in new
    )


def faces(*names):
    return tuple(FaceFinish(face=name, finish=BLACK) for name in names)


@pytest.mark.parametrize(
    ("face", "lines"),
    [
        ("back", [((10.4, 0.4), (49.6, 0.4))]),
        # the opening takes 14 to 46 mm of the panel
        ("panel", [((10.4, 9.6), (14.0, 9.6)), ((46.0, 9.6), (49.6, 9.6))]),
        ("wall 2", [((49.6, 0.4), (49.6, 9.6))]),
        ("wall 4", [((10.4, 0.4), (10.4, 9.6))]),
        ("walls", [((10.4, 0.4), (10.4, 9.6)), ((49.6, 0.4), (49.6, 9.6))]),
        ("wall 1", []),
    ],
)
def test_a_face_with_another_finish_has_a_line_along_it(face, lines):
    """The cut runs along x: walls 2 and 4 of the rectangle lie right and left, 1 and 3 along it."""
    box = light_box(faces=faces(face))
    assert lines_along(box) == lines
    said = " ".join(words(drawn(box)))
    assert f"inside: matt white paint, but {face} matt black paint" in said
    assert ("lines along faces: not matt white paint" in said) == bool(lines)
    assert (face in words(drawn(box))) == (face in ("wall 2", "wall 4"))


def test_a_baffle_with_another_finish_has_a_line_on_both_sides():
    (baffle,) = full_box().baffles
    dark = replace(full_box(), baffles=(replace(baffle, finish=BLACK),))
    across = [start[0] for start, _ in lines_along(dark)]
    assert across == [29.1, 30.9]  # half a millimetre of sheet, and 0.8 mm on the drawing


def test_a_hanging_baffle_has_its_lines_where_it_hangs():
    (baffle,) = full_box().baffles
    hung = replace(baffle, seat=Seat.PANEL, finish=BLACK)
    box = replace(full_box(), baffles=(hung,))
    new = {path.corners for path in paths(drawn(box), Pen.MARK)}
    plain = replace(box, baffles=(replace(hung, finish=PAINT),))
    new -= {path.corners for path in paths(drawn(plain), Pen.MARK)}
    heights = {tuple(round(y / DRAWN, 4) for _, y, _ in corners) for corners in new}
    off = 0.8 / DRAWN
    assert heights == {(box.depth_mm - hung.height_mm, box.depth_mm - off)}


def test_a_pillar_in_the_cut_has_its_own_line_and_never_that_of_a_wall():
    """The pillar is 4 mm square around the row of LEDs, between the walls at 10 and 50 mm."""
    corners = (28.0, 18.0), (32.0, 18.0), (32.0, 22.0), (28.0, 22.0)
    post = Pillar(name="post", where=full_box().where, outline=outline(*corners))
    plain = replace(light_box(faces=faces("walls")), pillars=(post,))
    walls = [((10.4, 0.4), (10.4, 9.6)), ((49.6, 0.4), (49.6, 9.6))]
    assert lines_along(plain) == walls
    assert not {"wall 1", "wall 3"} & set(words(drawn(plain)))
    dark = replace(plain, faces=(), pillars=(replace(post, finish=BLACK),))
    across = [path.corners for path in paths(drawn(dark), Pen.MARK)]
    bare = [path.corners for path in paths(drawn(replace(dark, pillars=(post,))), Pen.MARK)]
    sides = {round(corners[0][0] / DRAWN, 4) for corners in across if corners not in bare}
    assert sides == {27.6, 32.4}


def test_a_baffle_that_is_drawn_into_a_pillar_is_not_drawn_within_it():
    """The cut runs at 20 mm, the pillar from 18 to 22 mm; only there does the baffle end in it."""
    (baffle,) = full_box().baffles
    corners = (28.0, 18.0), (32.0, 18.0), (32.0, 22.0), (28.0, 22.0)
    post = Pillar(name="post", where=full_box().where, outline=outline(*corners))
    into = replace(baffle, start_mm=(30.0, 10.0), end_mm=(30.0, 20.5), finish=BLACK)
    alone = replace(light_box(), pillars=(post,))
    for seat in (Seat.BACK, Seat.PANEL):
        both = replace(alone, baffles=(replace(into, seat=seat),))
        for pen in (Pen.CUT, Pen.MARK):
            assert paths(drawn(both), pen) == paths(drawn(alone), pen)


def test_a_lid_lies_over_back_and_walls():
    lowest = []
    for lid in Lid:
        cut = paths(drawn(light_box(lid=lid)), Pen.CUT)
        lowest.append(min(y for path in cut for _, y, _ in path.corners) / DRAWN)
    assert lowest == pytest.approx([-1.0, -2.0])


def test_a_baffle_is_met_where_it_crosses():
    baffle = Baffle(
        start_mm=(10.0, 0.0), end_mm=(20.0, 10.0), low_mm=0.0, high_mm=5.0, reflectance=0.8
    )
    cross = baffle_crossing(Plane(along="x", level_mm=4.0), baffle)
    assert cross.u_mm == pytest.approx(14.0, abs=1e-5)
    assert cross.slant == pytest.approx(sqrt(2.0), abs=EXACT)
    assert baffle_crossing(Plane(along="x", level_mm=11.0), baffle) is None


@pytest.mark.parametrize("falls", [False, True])
def test_hatching_stays_inside_and_runs_at_45_degrees(falls):
    box = (3.0, 1.0, 17.0, 4.5)
    edge, *lines = hatched(box, falls=falls)
    assert not edge.filled
    assert len(lines) > 5
    for line in lines:
        (x0, y0, _), (x1, y1, _) = line.corners
        assert (y1 - y0) / (x1 - x0) == pytest.approx(-1.0 if falls else 1.0)
        assert all(3.0 <= x <= 17.0 for x in (x0, x1))
        assert all(1.0 - EXACT <= y <= 4.5 + EXACT for y in (y0, y1))


def test_thin_parts_are_filled_and_nothing_is_drawn_of_none():
    (only,) = hatched((0.0, 0.0, 10.0, 0.5))
    assert only.filled
    assert list(hatched((5.0, 0.0, 5.0, 2.0))) == []


def wall_hole(ends, *, film=None):
    return WallHole(
        passage="slot", where=NOWHERE, box="screen box", beyond="bay", ends_mm=ends,
        low_mm=2.0, high_mm=6.0, film=film,
    )  # fmt: skip


def drawn_with(hole):
    board = panel()
    return section(
        light_box(), panel=board, solved=solved(light_box(), board), room_mm=ROOM_MM, holes=[hole]
    )


RIGHT_WALL = (50.0 * DRAWN, 51.0 * DRAWN)


def on_right_wall(drawing, pen):
    """Heights of what is drawn of the right wall, in mm of the box."""
    found = []
    for path in paths(drawing, pen):
        xs, ys = ([spot[axis] for spot in path.corners] for axis in (0, 1))
        if path.closed and (min(xs), max(xs)) == pytest.approx(RIGHT_WALL):
            found.append((min(ys) / DRAWN, max(ys) / DRAWN))
    return sorted(found)


def test_a_passage_in_the_cut_opens_its_wall():
    open_wall = on_right_wall(drawn_with(wall_hole(((50.0, 15.0), (50.0, 25.0)))), Pen.CUT)
    assert open_wall == [pytest.approx((0.0, 2.0)), pytest.approx((6.0, 10.0))]
    assert on_right_wall(drawn(light_box()), Pen.CUT) == [pytest.approx((0.0, 10.0))]


def test_a_ray_goes_on_through_an_open_passage_and_ends_at_its_film():
    ends = ((50.0, 15.0), (50.0, 25.0))
    for film, far in ((None, 51.0), (OPAL, 50.0)):
        rays = paths(drawn_with(wall_hole(ends, film=film)), Pen.CENTRE)
        assert max(x for ray in rays for x, *_ in ray.corners) / DRAWN == pytest.approx(far)


def test_a_passage_off_the_cut_is_dashed_and_its_wall_is_whole():
    drawing = drawn_with(wall_hole(((20.0, 30.0), (40.0, 30.0))))
    assert on_right_wall(drawing, Pen.CUT) == [pytest.approx((0.0, 10.0))]
    outlines = [
        [(x / DRAWN, y / DRAWN) for x, y, _ in path.corners]
        for path in paths(drawing, Pen.HIDDEN)
        if path.corners[0][1] == pytest.approx(2.0 * DRAWN)
    ]
    (corners,) = outlines
    assert {x for x, _ in corners} == {20.0, 40.0}
    assert {y for _, y in corners} == {2.0, 6.0}


def bezel(name, left, right, *, hole=None):
    cutout = Opening(name="window", where=NOWHERE, outline=upright(*hole)) if hole else None
    return Panel(
        name=name,
        where=NOWHERE,
        outline=upright(left, 5.0, right, 35.0),
        sheet=SHEET,
        openings=(cutout,) if cutout else (),
    )


def levels(drawing, *, above):
    """Rectangles of cut sheet above a height, in mm of the box: left, bottom, right, top."""
    found = set()
    for path in paths(drawing, Pen.CUT):
        xs, ys = ([spot[axis] / DRAWN for spot in path.corners] for axis in (0, 1))
        if path.closed and min(ys) >= above - EXACT:
            found.add(tuple(round(at, 6) for at in (min(xs), min(ys), max(xs), max(ys))))
    return found


def test_overlays_lie_on_the_panel_and_on_one_another():
    """Panel of 1 mm over 10 mm of depth; the second overlay lies on the first where they meet."""
    front = panel(overlays=(
        bezel("frame", 12.0, 48.0, hole=(15.0, 14.0, 45.0, 26.0)), bezel("fret", 30.0, 52.0),
    ))  # fmt: skip
    drawing = drawn(light_box(), front=front)
    assert levels(drawing, above=11.0) == {
        (12.0, 11.0, 15.0, 12.0), (45.0, 11.0, 48.0, 12.0), (30.0, 12.0, 52.0, 13.0)
    }  # fmt: skip
    said = " ".join(words(drawing))
    assert "frame styrene" in said
    (name,) = [item for item in drawing.items if isinstance(item, Text) and "screen:" in item.words]
    assert name.y_mm > 13.0 * DRAWN


def test_a_tilted_led_turns_the_cut_its_way_and_its_rays_lean():
    """A row along x whose beams lean 30 degrees up: rays at 30 degrees off its axis each side."""
    row = tuple(
        replace(one, tilt_deg=30.0, towards_deg=90.0, led_type=replace(WHITE, beam_deg=60.0))
        for one in light_box().leds
    )
    box = light_box(leds=row)
    plane = plane_of(solved(box))
    assert (plane.along, plane.level_mm) == ("y", 30.0)
    drawing = drawn(box)
    lamp = solved(box).lamps[1]
    rays = [
        [(x / DRAWN, y / DRAWN) for x, y, _ in ray.corners] for ray in paths(drawing, Pen.CENTRE)
    ]
    assert all(start == pytest.approx((lamp.y_mm, lamp.z_mm)) for start, _ in rays)
    slopes = sorted((y - b) / (x - a) if abs(x - a) > 1e-6 else 0.0 for (a, b), (x, y) in rays)
    # One straight up, one 60 degrees from it: tan 30.
    assert slopes == pytest.approx([0.0, tan(radians(30.0))], rel=PHYSICS)


def test_a_tilted_chip_and_its_wedge_are_drawn_as_they_lie():
    one = replace(led("W", 30.0, 20.0), tilt_deg=30.0, towards_deg=0.0)
    shapes = [
        [(x / DRAWN, y / DRAWN) for x, y, _ in path.corners]
        for path in paths(drawn(light_box(leds=(one,))), Pen.CUT)
        if path.closed and not path.filled and all(20 < x / DRAWN < 40 for x, *_ in path.corners)
    ]
    wedge, package = shapes
    cos30, half = 3.0**0.5 / 2.0, 0.8
    low, thin = 30.0 - half * cos30, 30.0 + half * cos30
    meant = [(low, 0.0), (low, 0.8), (thin, 0.0)]
    assert sorted(wedge) == [pytest.approx(spot, abs=EXACT) for spot in meant]
    assert max(y for _, y in package) == pytest.approx(0.8 + 0.6 * cos30, rel=EXACT)
    assert min(y for _, y in package) == pytest.approx(0.0, abs=EXACT)


def test_a_tilted_dome_is_drawn_on_its_bent_legs():
    dome = replace(WHITE, package="3 mm", package_mm=(3.8, 3.8, 5.3))
    one = replace(led("D", 30.0, 20.0), led_type=dome, tilt_deg=90.0, towards_deg=0.0)
    lines = [
        [(x / DRAWN, y / DRAWN) for x, y, _ in path.corners]
        for path in paths(drawn(light_box(leds=(one,))), Pen.CUT)
        if not path.closed and len(path.corners) == 3
    ]
    # Up by its radius, so that the body lies on the back, then 3 mm level.
    assert lines == [[pytest.approx(at) for at in ((30.0, 0.0), (30.0, 1.9), (33.0, 1.9))]]
