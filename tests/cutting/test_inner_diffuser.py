"""The inner diffuser as a cut piece: it drops in, is carried, and clears what passes through it."""

from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutting import samples as s
from cutting.standing_solids import slices, solid, worst_overlap
from lamphouse.cutting.box_frame import as_built
from lamphouse.cutting.inner_diffuser import FIT_MM, LEAST_PART_MM2, LEAST_WEB_MM
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.cutting.sheets import lay_on_sheets
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.lightbox import Build, Lid, Seat
from lamphouse.design.whole import SheetInHand
from lamphouse.shapes import outline
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

NOTHING_MM2 = 1e-6
GRID_MM = 1e-4
"""The grid that film is cut on."""
ELL = outline.polygon([(10, 5), (50, 5), (50, 18), (30, 18), (30, 34), (10, 34)])
INSIDES = {
    "rectangle": s.box_shape(40, 30, x=30, y=20),
    "hexagon": outline.regular_polygon(6, across_mm=30, x_mm=30, y_mm=20),
    "ell": ELL,
    "round": outline.circle(30, x_mm=30, y_mm=20),
}


def build(box, *, strands=()):
    cut = s.cut(s.panel(), boxes=[box], strands=strands)
    return cut.boxes[0], cut.findings


def films(made):
    return [piece for piece in made.pieces if " / inner diffuser" in piece.name]


def laid(made):
    """The film where it lies, from every standing piece of it."""
    return [shape for part, shape in slices(made, 6.1) if part.startswith("inner diffuser")]


def inside_of(box):
    return shapely.Polygon(flatten(as_built(box).inside.corners, error_mm=1e-5))


@pytest.mark.parametrize("built", Build)
@pytest.mark.parametrize("inside", INSIDES.values(), ids=INSIDES)
def test_it_is_the_inside_less_a_gap_all_round_and_of_its_own_film(inside, built):
    thick = 1.0 if built is Build.PRINTED else 0.5
    box = s.box(inside, inner_diffuser=s.diffuser(6), build=built, thickness_mm=thick)
    made, found = build(box)
    # A note tells that printed walls shine through.
    assert {one.code for one in found} <= ({"CUT077"} if built is Build.PRINTED else set())
    (film,) = films(made)
    assert (film.sheet.name, film.sheet.thickness_mm) == ("opal", 0.25)
    (shape,) = laid(made)
    # Shapely's own inward offset is the witness.
    wanted = inside_of(box).buffer(-FIT_MM, join_style="mitre", quad_segs=512)
    assert shape.symmetric_difference(wanted).area < 5e-3  # arcs are chords within 5e-5 mm


def test_a_round_one_stays_round():
    (film,) = films(build(s.box(INSIDES["round"], inner_diffuser=s.diffuser(6)))[0])
    ring = outline.circle_of(film.outline.corners)
    assert ring.diameter_mm == pytest.approx(30 - 2 * FIT_MM, abs=EXACT)


@pytest.mark.parametrize("inside", [INSIDES[name] for name in ("rectangle", "hexagon", "ell")])
def test_ledges_carry_it_all_round_but_for_corners(inside):
    made, _ = build(s.box(inside, inner_diffuser=s.diffuser(6), wire_exit_mm=0.0))
    (film,) = laid(made)
    ledge = shapely.union_all([one for part, one in slices(made, 5.9) if "ledge" in part])
    # Ledges are one sheet wide, so what lies on them is a rim one sheet less the gap wide.
    rim = film.difference(film.buffer(-(1.0 - FIT_MM), join_style="mitre"))
    assert rim.difference(ledge).area < 1e-3


@settings(max_examples=30)
@given(
    lean=st.floats(-12, 12),
    offset=st.floats(-9, 9),
    thick=st.floats(0.25, 1.5),
    length=st.sampled_from(["through", "half", "free"]),
    lid=st.sampled_from(Lid),
)
@example(lean=11.0, offset=8.0, thick=0.5, length="through", lid=Lid.BACK)  # over a ledge's corner
@example(lean=11.0, offset=9.0, thick=1.5, length="through", lid=Lid.BACK)  # leaves a crumb
@example(lean=11.9, offset=7.5, thick=1.5, length="through", lid=Lid.BACK)  # and over the box's
def test_baffles_that_reach_above_it_stand_in_notches(lean, offset, thick, length, lid):
    ends = {"through": (5, 35), "half": (5, 22), "free": (12, 26)}[length]
    across = [lean * (y - 20) / 15 for y in ends]
    start, end = ((30 + offset + x, y) for x, y in zip(across, ends, strict=True))
    tall = s.baffle("tall", start, end, height_mm=9, thickness_mm=thick)
    box = s.box(INSIDES["rectangle"], inner_diffuser=s.diffuser(6), lid=lid, baffles=(tall,))
    made, found = build(box)
    # It is told that the glow is not reckoned for such a baffle; the pieces fit all the same.
    assert {one.code for one in found} <= {"CUT023"}
    area, *names = worst_overlap(made, [5.9, 6.01, 6.1, 6.24, 6.3])
    assert area < NOTHING_MM2, names
    parts = laid(made)
    assert len(parts) == (2 if length == "through" else 1)
    (foot,) = (one for part, one in slices(made, 6.1) if part == "baffle tall")
    assert min(part.distance(foot) for part in parts) == pytest.approx(FIT_MM, abs=2 * GRID_MM)
    whole = inside_of(box).buffer(-FIT_MM, join_style="mitre")
    lost = whole.area - sum(part.area for part in parts)
    grown = foot.buffer(FIT_MM, join_style="mitre").intersection(whole).area
    assert grown - 0.02 < lost < grown + LEAST_PART_MM2 + 0.02  # but for a crumb


def test_a_baffle_up_to_its_underside_cuts_nothing():
    low = s.baffle("low", (30, 5), (30, 35), height_mm=6)
    box = s.box(INSIDES["rectangle"], inner_diffuser=s.diffuser(6), baffles=(low,))
    (film,) = films(build(box)[0])
    assert film.outline.words == "39.6 x 29.6 mm over all"
    assert film.cutouts == ()


@pytest.mark.parametrize(("height", "notches"), [(6.1, 1), (2.5, 0), (9.0, 0)])
def test_an_led_on_a_wall_beside_it_stands_in_a_notch(height, notches):
    led = s.led("A", 30, 5, seat=Seat.WALL, height_mm=height)
    box = s.box(INSIDES["rectangle"], inner_diffuser=s.diffuser(6), leds=(led,), wire_exit_mm=0)
    (shape,) = laid(build(box)[0])
    long, _, tall = led.led_type.package_mm
    package = shapely.box(30 - long / 2, 5, 30 + long / 2, 5 + tall)
    whole = 39.6 * 29.6
    if notches:
        assert shape.distance(package) == pytest.approx(FIT_MM, abs=2 * GRID_MM)
        assert whole - shape.area == pytest.approx((long + 2 * FIT_MM) * tall, abs=1e-3)
    else:
        assert shape.area == pytest.approx(whole, abs=1e-3)


def test_wires_of_leds_on_the_panel_go_down_through_a_notch_over_their_exit():
    def area(*leds):
        box = s.box(INSIDES["rectangle"], inner_diffuser=s.diffuser(6), leds=leds)
        (shape,) = laid(build(box)[0])
        return shape.area

    lit = area(s.led("A", 20, 20, seat=Seat.PANEL))
    # The exit is 2 mm wide; of as much depth the gap at the wall is cut already.
    assert area() - lit == pytest.approx(2.0 * (2.0 - FIT_MM), abs=1e-3)
    assert area(s.led("A", 20, 20)) == area()


def test_strands_pass_through_holes_as_wide_as_in_the_panel_or_notches_at_the_edge():
    strands = [s.strand("S1", 20, 20), s.strand("S2", 30, 5.5), s.strand("S3", 55, 20)]
    box = s.box(INSIDES["rectangle"], inner_diffuser=s.diffuser(6))
    made, _ = build(box, strands=strands)
    (film,) = films(made)
    (hole,) = film.holes  # S2 runs along the wall, S3 beside the box
    assert (hole.x_mm, hole.y_mm) == pytest.approx((20 - 10.2, 20 - 5.2), abs=GRID_MM)
    panel = s.cut(s.panel(), strands=strands).pieces[0]
    drilled = next(one for one in panel.holes if one.purpose == "S1")
    assert (hole.purpose, hole.drill) == ("S1", drilled.drill)
    (shape,) = laid(made)
    fibre = shapely.Point(30, 5.5).buffer(0.25)
    assert shape.distance(fibre) >= LEAST_WEB_MM - 0.03


def test_film_lies_on_film_in_hand_and_is_not_asked_for_elsewhere():
    (film,) = films(build(s.box(inner_diffuser=s.diffuser(6)))[0])
    habits = CuttingHabits()

    def in_hand(sheet, width, height):
        return SheetInHand(where=s.where("stock / 1"), sheet=sheet, width_mm=width,
                           height_mm=height, count=1)  # fmt: skip

    none = lay_on_sheets([film], in_hand=[], habits=habits, seed=1)
    assert (none.sheets, none.unlaid) == ((), (film,))
    other = in_hand(s.sheet(1.0), 300.0, 200.0)
    assert look_at_sheets([film], in_hand=[other], habits=habits)[1] == ()
    some = lay_on_sheets([film], in_hand=[in_hand(film.sheet, 40.0, 30.0)], habits=habits, seed=1)
    assert [one.piece for one in some.sheets[0].laid] == [film]
    small = [in_hand(film.sheet, 20.0, 15.0)]
    assert [one.code for one in look_at_sheets([film], in_hand=small, habits=habits)[1]] == [
        "CUT050"
    ]


def test_many_strands_over_film_end_in_a_piece():
    rng = np.random.default_rng(3)
    spots = rng.uniform([8, 3], [52, 37], (150, 2))
    strands = [s.strand(f"S{number}", x, y) for number, (x, y) in enumerate(spots)]
    made, _ = build(s.box(INSIDES["round"], inner_diffuser=s.diffuser(6)), strands=strands)
    parts = films(made)
    assert parts
    for film in parts:
        shape = solid(film)
        assert shape.is_valid
        assert shape.area < pi * 15**2
        for hole in film.holes:
            disc = shapely.Point(hole.x_mm, hole.y_mm).buffer(hole.drill.diameter_mm / 2)
            assert shape.buffer(1e-6).contains(disc)
