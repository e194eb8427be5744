"""Pillars as pieces, rods and bodies; what stands in their way, each mend tried."""

import re
from math import cos, pi, radians, sin, sqrt

import pytest
import shapely

from cutting import samples as s
from lamphouse.catalogue.shelf import built_in
from lamphouse.cutting.baffle_ends import stretches_of
from lamphouse.cutting.baffle_joints import NO_BAFFLES
from lamphouse.cutting.box_fixing import places_of
from lamphouse.cutting.inner_diffuser import FIT_MM
from lamphouse.cutting.pillar_pieces import bar_words, bars_of
from lamphouse.cutting.shell_mesh import body_volume_mm3
from lamphouse.design.lightbox import Build, Lid, Pillar, Seat
from lamphouse.record import replace
from lamphouse.shapes import outline
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.transform import move, turn
from tolerances import EXACT

BLACK = built_in().finishes["matt black paint"]
WIDE = s.box_shape(40, 30, x=30, y=20)
ROUND = outline.circle(4, x_mm=30, y_mm=12)
SQUARE = s.box_shape(4, 4, x=30, y=12)


def pillar(corners, *, name="post", words="round 4 mm", **more):
    return Pillar(
        name=name,
        where=s.where(f"sample / plate / box / {name}"),
        outline=s.shape(corners, words=words),
        **more,
    )


def built(*pillars, panel=None, strands=(), **more):
    box = s.box(WIDE, pillars=pillars, **more)
    cut = s.cut(panel or s.panel(), boxes=[box], strands=strands)
    return cut.boxes[0], cut


def told(*pillars, panel=None, strands=(), **more):
    _, cut = built(*pillars, panel=panel, strands=strands, **more)
    return {one.code: one for one in cut.findings}


def same(one, other):
    """Whether two outlines without arcs cover the same, by the polygon library itself."""
    first, second = (shapely.Polygon([(x, y) for x, y, _ in ring]) for ring in (one, other))
    return first.symmetric_difference(second).area < 1e-9


def piece_of(made, part):
    return next(one for one in made.pieces if one.name.endswith(f" / {part}"))


@pytest.mark.parametrize(
    ("depth", "thick", "count", "last"),
    [(10.0, 1.0, 10, None), (10.4, 1.0, 11, "0.4 mm"), (10.0, 0.75, 14, "0.25 mm"),
     (9.995, 1.0, 10, None), (3.0, 0.3, 10, None), (0.8, 1.0, 1, "0.8 mm")],
)  # fmt: skip
def test_a_stack_has_the_slices_of_the_depth_and_the_last_is_filed(depth, thick, count, last):
    made, _ = built(pillar(ROUND, sheet=s.sheet(thick), finish=BLACK), depth_mm=depth)
    slices = piece_of(made, "pillar post")
    assert (slices.count, slices.sheet.thickness_mm) == (count, thick)
    assert ("filed down to" in slices.notes[0]) == (last is not None)
    assert last is None or f"filed down to {last}" in slices.notes[0]
    assert slices.notes[0].endswith("all round: matt black paint")
    assert area_mm2(slices.outline.corners) == pytest.approx(4.0 * pi, rel=EXACT)


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (outline.circle(3.2, x_mm=9, y_mm=9), "round rod 3.2 mm"),
        (s.box_shape(4, 4), "square bar 4 mm"),
        (turn(s.box_shape(3, 6), angle_deg=33), "flat bar 6 x 3 mm"),
        (outline.regular_polygon(6, across_mm=4), None),
        (outline.polygon([(0, 0), (4, 0), (5, 3), (1, 3)]), None),
        (outline.polygon([(0, 0), (4, 0), (3, 3), (1, 3)]), None),
        (outline.slot(6, width_mm=2), None),
    ],
)
def test_rods_and_bars_have_the_sections_that_are_sold(corners, words):
    assert bar_words(corners) == words


def test_a_rod_is_as_long_as_the_box_is_deep_and_no_piece():
    made, cut = built(pillar(ROUND), depth_mm=12.5)
    assert not cut.findings
    assert not [one for one in made.pieces if "pillar" in one.name]
    box = s.box(WIDE, pillars=(pillar(ROUND),), depth_mm=12.5)
    for strand, words in ((s.strand("T", 30, 12), "tube"), (s.strand("T", 20, 12), "rod")):
        (bar,) = bars_of(box, strands=[strand])
        assert (bar.words, bar.length_mm) == (f"round {words} 4 mm", 12.5)


@pytest.mark.parametrize("lid", Lid)
def test_its_foot_is_marked_on_the_back_and_behind_the_panel(lid):
    made, cut = built(pillar(SQUARE), lid=lid)
    back, (face,) = piece_of(made, "back"), cut.pieces
    (foot,) = [mark for mark in back.glued if mark.words == "pillar post"]
    # The back begins at the outer faces of the walls, or under a lid at the inner ones.
    wall = 0.0 if lid is Lid.OVER else 1.0
    wanted = move(SQUARE, x_mm=-(10.0 - wall), y_mm=-(5.0 - wall))
    assert same(foot.corners, wanted)
    (behind,) = [mark for mark in face.behind if mark.words == "pillar post"]
    assert same(behind.corners, SQUARE)


@pytest.mark.parametrize("build", [Build.PIECES, Build.PRINTED])
def test_the_inner_diffuser_has_a_hole_for_it_with_play(build):
    made, _ = built(pillar(ROUND, sheet=s.sheet()), inner_diffuser=s.diffuser(6), build=build)
    film = piece_of(made, "inner diffuser")
    (hole,) = film.cutouts
    area = shapely.Polygon(flatten(hole.corners, error_mm=1e-4)).area
    assert area == pytest.approx(pi * (2.0 + FIT_MM) ** 2, rel=2e-2)  # chords


@pytest.mark.parametrize("lid", Lid)
def test_in_a_printed_box_it_is_part_of_the_body_unless_it_is_stacked(lid):
    volumes = []
    for pillars in ((), (pillar(SQUARE),), (pillar(SQUARE, sheet=s.sheet()),)):
        made, cut = built(*pillars, build=Build.PRINTED, lid=lid, leds=(s.led("A", 20, 26),))
        assert {one.code for one in cut.findings} <= {"CUT077"}
        volumes.append(sum(body_volume_mm3(body) for body in made.bodies))
    assert volumes[1] - volumes[0] == pytest.approx(16.0 * 10.0, rel=1e-3)
    assert volumes[2] == pytest.approx(volumes[0], rel=1e-6)
    hexagon = outline.regular_polygon(6, across_mm=4, x_mm=30, y_mm=12)
    assert "CUT094" not in told(pillar(hexagon), build=Build.PRINTED)


@pytest.mark.parametrize("off", [0.0, 0.7, -1.2])
def test_a_baffle_that_ends_on_a_round_pillar_is_cut_to_it(off):
    """Along a line a distance off the middle, a circle begins sqrt(r^2 - off^2) before it."""
    baffle = s.baffle("a", (30 + off, 34), (30 + off, 12), thickness_mm=0.5)
    ring = [(10, 5), (50, 5), (50, 35), (10, 35)]
    (stretch,) = stretches_of([baffle], ring=ring, depth_mm=14.0, pillars=[pillar(ROUND)])
    assert stretch.last.pillar == "post"
    for along, side in ((stretch.last.near_mm, -1.0), (stretch.last.far_mm, 1.0)):
        there = 34.0 - 12.0 - sqrt(4.0 - (off + side * 0.25) ** 2)
        assert there - 0.04 <= along <= there + 0.01
    # No part of the end stands in the pillar; half a millimetre on chords 0.01 mm off.
    foot = shapely.Polygon(stretch.plan)
    assert foot.intersection(shapely.Point(30, 12).buffer(2.0, 512)).area < 0.5 * 0.01


def test_a_tube_takes_the_strands_inside_it_through_back_slices_and_panel():
    strands = (s.strand("T", 30.2, 12.1), s.strand("F", 20.0, 12.0))
    made, cut = built(pillar(ROUND, sheet=s.sheet()), strands=strands, inner_diffuser=s.diffuser(6))
    assert not cut.findings
    (hole,) = piece_of(made, "pillar post").holes
    assert (hole.purpose, hole.x_mm, hole.y_mm) == ("T", pytest.approx(2.2), pytest.approx(2.1))
    assert [one.purpose for one in piece_of(made, "back").holes] == ["T"]
    assert [one.purpose for one in piece_of(made, "inner diffuser").holes] == ["F"]


@pytest.mark.parametrize("lid", Lid)
def test_on_a_folded_box_its_foot_is_as_large_and_its_strand_in_its_middle(lid):
    made, cut = built(
        pillar(ROUND, sheet=s.sheet()),
        strands=(s.strand("T", 30, 12),),
        build=Build.FOLDED,
        lid=lid,
        thickness_mm=0.5,
    )
    assert not cut.findings
    marked = [one for one in made.pieces if any(mark.words == "pillar post" for mark in one.glued)]
    (base,) = marked
    (foot,) = [mark for mark in base.glued if mark.words == "pillar post"]
    assert area_mm2(foot.corners) == pytest.approx(4.0 * pi, rel=EXACT)
    (hole,) = [one for one in base.holes if one.purpose == "T"]
    (left, low, right, high) = bounds_mm(foot.corners)
    assert (hole.x_mm, hole.y_mm) == pytest.approx(((left + right) / 2, (low + high) / 2))
    # As far from the middle of the back as in the box: 8 mm below it.
    inside = [mark for mark in base.glued if mark.words == "inner faces of the walls"]
    for around in inside:
        _, foot_mm, _, head_mm = bounds_mm(around.corners)
        assert abs(hole.y_mm - (foot_mm + head_mm) / 2) == pytest.approx(8.0)


def test_blocks_inside_keep_off_it():
    from lamphouse.cutting.box_frame import frame_of
    from lamphouse.design.lightbox import Blocks, Fixing

    fixing = Fixing(where=s.where("fixing"), screw="M2", blocks=Blocks.INSIDE, count=2)
    taken = []
    posts = ()
    for _ in range(2):
        box = s.box(WIDE, pillars=posts, fixing=fixing)
        frame, _ = frame_of(box, panel="plate", sub_assembly="sample", drills=s.DRILLS,
                            lead_mm=0.56, passages=(), strands=())  # fmt: skip
        places = places_of(frame, fixing=fixing, baffling=NO_BAFFLES, around=(), within=WIDE)
        taken.append({place.at_mm for place in places})
        posts = tuple(
            pillar(outline.circle(1.0, x_mm=x, y_mm=y), name=f"p{n}")
            for n, (x, y) in enumerate(sorted(taken[0]))
        )
    assert taken[0]
    assert not taken[0] & taken[1]


def moved_by(remedy, corners):
    """Carry out ``move it 2.5 mm right and 1 mm up``."""
    way = {"right": (1, 0), "left": (-1, 0), "up": (0, 1), "down": (0, -1)}
    x = y = 0.0
    for size, word in re.findall(r"([0-9.]+) mm (right|left|up|down)", remedy):
        x, y = x + float(size) * way[word][0], y + float(size) * way[word][1]
    assert (x, y) != (0.0, 0.0), remedy
    return move(corners, x_mm=x, y_mm=y)


@pytest.mark.parametrize(
    ("code", "corners", "more"),
    [
        ("CUT090", outline.circle(4, x_mm=11, y_mm=20), {}),
        ("CUT090", outline.circle(4, x_mm=12.02, y_mm=20), {}),
        ("CUT090", outline.circle(4, x_mm=12.6, y_mm=20), {"inner_diffuser": s.diffuser(6)}),
        ("CUT090", outline.circle(4, x_mm=70, y_mm=20), {}),
        ("CUT093", outline.circle(4, x_mm=30, y_mm=24), {}),
        ("CUT093", outline.circle(1, x_mm=30, y_mm=20), {}),
        ("CUT093", s.box_shape(3, 3, x=36, y=16), {"leds": (s.led("A", 40, 12),)}),
    ],
)
def test_a_pillar_out_of_place_is_told_and_the_move_mends_it(code, corners, more):
    window = s.panel(s.opening("window", s.box_shape(12, 8, x=30, y=20)))
    found = told(pillar(corners), panel=window, **more)
    assert set(found) == {code}
    there = moved_by(found[code].remedy, corners)
    assert not told(pillar(there), panel=window, **more)


def test_the_move_from_under_an_opening_is_about_the_shortest():
    window = s.panel(s.opening("window", s.box_shape(12, 8, x=30, y=20)))
    found = told(pillar(outline.circle(4, x_mm=30, y_mm=23)), panel=window)
    # Straight up: the rim to 0.5 mm above the opening's edge at 24 mm.
    assert "move it 3.5 mm up" in found["CUT093"].remedy


def test_two_pillars_in_one_place_are_told_and_the_move_mends_it():
    other = outline.circle(4, x_mm=32, y_mm=13)
    found = told(pillar(ROUND), pillar(other, name="b"))
    assert set(found) == {"CUT091"}
    there = moved_by(found["CUT091"].remedy, other)
    assert not told(pillar(ROUND), pillar(there, name="b"))


def test_a_baffle_through_a_pillar_is_told_and_two_ends_mend_it():
    found = told(pillar(SQUARE), baffles=(s.baffle("a", (10, 12), (50, 12)),))
    assert set(found) == {"CUT092"}
    assert "write to: [28 mm, 12 mm]" in found["CUT092"].remedy
    halves = (s.baffle("a", (10, 12), (28, 12)), s.baffle("b", (32, 12), (50, 12)))
    assert not told(pillar(SQUARE), baffles=halves)
    side = told(pillar(SQUARE), baffles=(s.baffle("a", (10, 14.2), (50, 14.2)),))
    assert set(side) == {"CUT092"}
    there = moved_by(side["CUT092"].remedy, ((10, 14.2, 0.0), (50, 14.2, 0.0)))
    ends = [(x, y) for x, y, _ in there]
    assert not told(pillar(SQUARE), baffles=(s.baffle("a", *ends),))


def test_a_baffle_that_stops_short_of_a_pillar_is_told():
    found = told(pillar(SQUARE), baffles=(s.baffle("a", (10, 12), (27, 12)),))
    assert set(found) == {"CUT071"}
    assert "short of pillar 'post'" in found["CUT071"].message
    assert "to: [28 mm, 12 mm]" in found["CUT071"].remedy


@pytest.mark.parametrize(
    ("led", "code"),
    [
        (s.led("A", 30, 12), "CUT021"),
        (s.led("A", 30, 12, seat=Seat.PANEL), "CUT021"),
        (s.led("A", 26.8, 12), "CUT026"),
    ],
)
def test_leds_and_their_wires_in_a_pillar_are_told(led, code):
    found = told(pillar(SQUARE), leds=(led,))
    assert set(found) == {code}
    assert "pillar" in found[code].message


def test_an_led_on_a_wall_that_reaches_into_a_pillar_is_told():
    near = pillar(s.box_shape(4, 4, x=12.5, y=20))
    found = told(near, leds=(s.led("A", 10, 20, seat=Seat.WALL, height_mm=5),))
    assert set(found) == {"CUT095"}
    assert not told(near, leds=(s.led("A", 10, 30, seat=Seat.WALL, height_mm=5),))


@pytest.mark.parametrize("towards", [0.0, 90.0])
def test_a_tilted_led_on_a_wall_reaches_into_a_pillar_with_its_raised_corner(towards):
    """A turned rectangle rises by its length times the sine and its height times the cosine."""
    flat = s.led("A", 10, 20, seat=Seat.WALL, height_mm=5)
    length, width, high = flat.led_type.package_mm
    side = length if towards == 0.0 else width
    top = side * sin(radians(50.0)) + high * cos(radians(50.0))
    leaning = replace(flat, tilt_deg=50.0, towards_deg=towards)
    for gap, meets in ((top - 0.05, True), (top + 0.05, False)):
        assert gap > high
        near = pillar(s.box_shape(4, 4, x=10 + gap + 2, y=20))
        assert "CUT095" not in told(near, leds=(flat,))
        assert ("CUT095" in told(near, leds=(leaning,))) == meets


def test_a_strand_half_in_a_pillar_is_told_and_the_move_mends_it():
    found = told(pillar(ROUND), strands=(s.strand("T", 32, 12),))
    assert set(found) == {"CUT095"}
    ((x, y, _),) = moved_by(found["CUT095"].remedy, ((32, 12, 0.0),))
    assert not told(pillar(ROUND), strands=(s.strand("T", x, y),))


def test_an_outline_that_is_none_is_told_and_the_rest_is_cut():
    crossed = outline.polygon([(28, 10), (32, 14), (32, 10), (28, 14)])
    made, cut = built(pillar(crossed, sheet=s.sheet()))
    assert [one.code for one in cut.findings] == ["CUT001"]
    assert piece_of(made, "back")


def test_a_section_no_bar_has_is_told_and_a_sheet_mends_it():
    hexagon = pillar(outline.regular_polygon(6, across_mm=4, x_mm=30, y_mm=12))
    assert set(told(hexagon)) == {"CUT094"}
    assert not told(replace(hexagon, sheet=s.sheet()))


def test_many_under_one_opening_are_told_together():
    window = s.panel(s.opening("window", s.box_shape(30, 8, x=30, y=20)))
    posts = [pillar(outline.circle(1, x_mm=17 + 2 * n, y_mm=20), name=f"p{n}") for n in range(12)]
    found = [one for one in built(*posts, panel=window)[1].findings if one.code == "CUT093"]
    assert len(found) == 5
    assert "so do 7 more" in found[-1].message


def test_a_row_that_stands_in_itself_is_told_once_for_each_pillar():
    row = [
        pillar(outline.circle(4, x_mm=20 + 0.5 * number, y_mm=20), name=f"post{number}")
        for number in range(8)
    ]
    _, cut = built(*row)
    assert [one.code for one in cut.findings].count("CUT091") == 7
