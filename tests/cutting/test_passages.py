"""Passages on the pieces: where the hole is on both walls, what it meets, moves that mend it."""

import re
from math import cos, radians, sin

import numpy as np
import pytest

from cutting import samples as s
from lamphouse.cutting.cutlist import cut_panel
from lamphouse.cutting.wall_holes import side_of
from lamphouse.design.lightbox import Lid, Passage, Seat
from lamphouse.plan.shared_holes import holes_between
from lamphouse.record import replace
from lamphouse.shapes import measure, outline
from tolerances import EXACT

WINDOW = s.opening("window", s.box_shape(12, 8, x=20, y=20))
BOARD = s.panel(WINDOW, corners=s.box_shape(80, 40, x=40, y=20))


def passage(start=(30.0, 16.0), end=(30.0, 24.0), *, low=2.0, high=6.0, name="slot", **more):
    return Passage(
        name=name, where=s.where(f"sample / plate / screen / {name}"), into="bay",
        start_mm=start, end_mm=end, low_mm=low, high_mm=high, **more,
    )  # fmt: skip


def screen(*passages, **more):
    """20 x 20 mm inside, its right wall at x = 30."""
    return s.box(
        s.box_shape(20, 20, x=20, y=20), name="screen", passages=passages,
        **{"wire_exit_mm": 2.0, **more},
    )  # fmt: skip


def bay(**more):
    """16 x 30 mm inside, its left wall at x = 32."""
    return s.box(s.box_shape(16, 30, x=40, y=20), name="bay", **more)


def cut(one, other):
    return cut_panel(
        BOARD, strands=(), boxes=(one, other), sub_assembly="sample", drills=s.DRILLS,
        lead_mm=0.56, passages=holes_between((one, other)),
    )  # fmt: skip


def holed(made, box):
    """Give the pieces of a box that name the passage in their notes."""
    (own,) = [one for one in made.boxes if one.box == box]
    return [piece for piece in own.pieces if any(n.startswith("slot:") for n in piece.notes)]


def told(made):
    return [finding.code for finding in made.findings]


def test_both_walls_get_the_hole_at_the_place_drawn():
    made = cut(screen(passage()), bay())
    assert told(made) == []
    (near,), (far,) = holed(made, "screen"), holed(made, "bay")
    # The right wall of the screen box: of two equal sides the earlier runs through, so this one
    # stops at the bottom wall and covers the top one, which lies to the left seen from inside:
    # 1 mm of joint, then 30 - 24 = 6 mm of clear wall.
    assert near.outline.words == "rectangle 21 x 10 mm"
    assert measure.bounds_mm(near.cutouts[0].corners) == pytest.approx((7, 2, 15, 6), abs=EXACT)
    # The left wall of the bay is 30 long and runs through: 1 mm of joint before its clear end.
    assert far.outline.words == "rectangle 32 x 10 mm"
    assert measure.bounds_mm(far.cutouts[0].corners) == pytest.approx((12, 2, 20, 6), abs=EXACT)
    assert near.cutout_names == far.cutout_names == ("slot",)


def test_seen_from_inside_the_hole_is_mirrored():
    """Off its middle upwards on the panel: to the left on a right wall, to the right on a left."""
    made = cut(screen(passage((30.0, 20.0), (30.0, 28.0))), bay())
    (near,), (far,) = holed(made, "screen"), holed(made, "bay")
    assert measure.bounds_mm(near.cutouts[0].corners)[::2] == pytest.approx((3, 11), abs=EXACT)
    assert measure.bounds_mm(far.cutouts[0].corners)[::2] == pytest.approx((16, 24), abs=EXACT)


@pytest.mark.parametrize("lid", Lid)
def test_boxes_of_two_depths_have_it_at_one_distance_from_the_panel(lid):
    made = cut(screen(passage(low=4.0, high=8.0)), bay(depth_mm=7.0, lid=lid))
    (near,), (far,) = holed(made, "screen"), holed(made, "bay")
    tops = []
    for piece in (near, far):
        (_, _, _, top), (_, _, _, edge) = (
            measure.bounds_mm(one.corners) for one in (piece.cutouts[0], piece.outline)
        )
        tops.append(edge - top)
    assert tops == pytest.approx([2.0, 2.0], abs=EXACT)


def test_a_hole_up_to_the_panel_is_cut_out_of_the_edge():
    made = cut(screen(passage(high=10.0)), bay())
    assert told(made) == []
    for box in ("screen", "bay"):
        (piece,) = holed(made, box)
        assert piece.cutouts == ()
        left, _, right, top = measure.bounds_mm(piece.outline.corners)
        missing = (right - left) * top - measure.area_mm2(piece.outline.corners)
        assert missing == pytest.approx(8.0 * 8.0, abs=1e-6)


def test_the_notch_makes_way():
    """A passage in the bottom wall: the notch stands beside it with a sheet between."""
    upper = s.box(s.box_shape(20, 10, x=20, y=28), name="screen", passages=(
        passage((16.0, 23.0), (24.0, 23.0), low=0.0, high=4.0),))  # fmt: skip
    lower = s.box(s.box_shape(20, 10, x=20, y=16), name="bay")
    made = cut(upper, lower)
    (near,) = holed(made, "screen")
    assert set(told(made)) == {"CUT033"}  # neither box covers the sample's window
    spots = sorted({x for x, y, _ in near.outline.corners if y == pytest.approx(2.0, abs=EXACT)})
    left, _, right, _ = 7.0, 0.0, 15.0, 4.0
    assert len(spots) == 2
    assert spots[1] <= left - 1.0 + EXACT or spots[0] >= right + 1.0 - EXACT


def test_a_slanted_wall_has_it_too():
    """Walls at 30 degrees: the hole is as long on both pieces as it is drawn."""
    turn = radians(30.0)

    def turned(spots):
        return outline.polygon(
            [(40 + x * cos(turn) - y * sin(turn), 20 + x * sin(turn) + y * cos(turn))
             for x, y in spots])  # fmt: skip

    near = turned([(-14, -8), (-1, -8), (-1, 8), (-14, 8)])
    far = turned([(1, -8), (12, -8), (12, 8), (1, 8)])
    ends = [(x, y) for x, y, _ in turned([(-1, -3), (-1, 4)])]
    one = s.box(near, name="screen", passages=(passage(*ends),))
    made = cut(one, s.box(far, name="bay"))
    for box in ("screen", "bay"):
        (piece,) = holed(made, box)
        assert measure.size_mm(piece.cutouts[0].corners) == pytest.approx((7.0, 4.0), abs=1e-6)


MEETING = [
    ({"leds": (s.led("A", 30, 20, seat=Seat.WALL, height_mm=3.0),)}, {}, "LED 'A'"),
    ({"inner_diffuser": s.diffuser(6.0)}, {}, "ledge"),
    ({"baffles": (s.baffle("b", (22, 20), (30, 20), height_mm=4.0),)}, {}, "baffle 'b'"),
    ({}, {"leds": (s.led("A", 32, 22, seat=Seat.WALL, height_mm=3.0),)}, "wall 4 of box 'bay'"),
    ({}, {"baffles": (s.baffle("b", (32, 18), (40, 18), height_mm=4.0),)}, "of box 'bay'"),
]


def mended(remedy, old):
    """Draw a passage as a remedy says."""
    places = re.findall(r"\[([\d.]+) mm, ([\d.]+) mm\]", remedy)
    spots = [(float(x), float(y)) for x, y in places]
    low, high = (re.search(rf"{key}: ([\d.]+) mm", remedy) for key in ("low", "high"))
    return replace(
        old,
        start_mm=spots[0] if spots else old.start_mm,
        end_mm=spots[1] if spots else old.end_mm,
        low_mm=float(low[1]) if low else old.low_mm,
        high_mm=float(high[1]) if high else old.high_mm,
    )


@pytest.mark.parametrize(("near", "far", "words"), MEETING)
def test_what_it_meets_on_either_wall_is_told_and_the_mend_mends(near, far, words):
    old = passage()
    made = cut(screen(old, **near), bay(**far))
    (finding,) = [one for one in made.findings if one.code == "CUT037"]
    assert words in finding.message
    again = cut(screen(mended(finding.remedy, old), **near), bay(**far))
    assert [code for code in told(again) if code in ("CUT037", "CUT038", "CUT039")] == []
    assert len(holed(again, "screen")) == len(holed(again, "bay")) == 1


@pytest.mark.parametrize(
    ("drawn", "left"),
    [
        ({"low": 0.4}, "0.4 mm"),
        ({"high": 9.5}, "0.5 mm"),
        ({"start": (30.0, 10.0)}, "0 mm"),
        ({"start": (30.0, 10.3)}, "0.3 mm"),
    ],
)
def test_a_thin_strip_is_told_and_the_mend_mends(drawn, left):
    old = passage(**drawn)
    made = cut(screen(old), bay())
    (finding,) = made.findings
    assert finding.code == "CUT038"
    assert f"leaves {left} of sheet" in finding.message
    assert told(cut(screen(mended(finding.remedy, old)), bay())) == []


def test_passages_too_near_to_each_other_are_told_once():
    other = passage((30.0, 24.5), (30.0, 28.0), name="second")
    made = cut(screen(passage(), other), bay())
    (finding,) = made.findings
    assert finding.code == "CUT038"
    assert "second" in finding.message
    assert "passage 'slot' on" in finding.message
    assert told(cut(screen(passage(), mended(finding.remedy, other)), bay())) == []


def test_a_wall_cut_in_two_stops():
    old = passage(low=0.0, high=10.0)
    made = cut(screen(old), bay())
    (finding,) = made.findings
    assert finding.code == "CUT039"
    assert "wall 2 of box 'screen' and wall 4 of box 'bay'" in finding.message
    assert told(cut(screen(mended(finding.remedy, old)), bay())) == []


def test_one_that_does_not_fit_is_not_cut():
    made = cut(screen(passage((26.0, 16.0), (26.0, 24.0))), bay())
    assert [piece for box in ("screen", "bay") for piece in holed(made, box)] == []


def test_both_rooms_number_the_same_wall():
    (through,) = holes_between((screen(passage()), bay()))
    assert side_of(through.near, box=screen()).name == "wall 2 of box 'screen'"
    assert side_of(through.far, box=bay()).name == "wall 4 of box 'bay'"


def scattered(rng, *, x, low, high, inwards):
    """Things on one wall of a box, at random."""
    depth = float(rng.choice([6.0, 8.0, 10.0, 14.0]))
    more = {"depth_mm": depth, "lid": list(Lid)[rng.integers(2)]}
    if rng.random() < 0.4:
        more["leds"] = tuple(
            s.led(f"A{n}", x, rng.uniform(low, high), seat=Seat.WALL,
                  height_mm=rng.uniform(1.0, depth - 1.0))
            for n in range(rng.integers(1, 4))
        )  # fmt: skip
    if rng.random() < 0.3:
        more["inner_diffuser"] = s.diffuser(rng.uniform(1.0, depth - 1.0))
    if rng.random() < 0.4:
        ends = (x, rng.uniform(low, high)), (x + 6.0 * inwards, rng.uniform(low, high))
        more["baffles"] = (s.baffle("b", *ends, height_mm=rng.uniform(1.0, depth)),)
    return more


@pytest.mark.parametrize("seed", range(60))
def test_every_mend_told_mends(seed):
    rng = np.random.default_rng(seed)
    near = scattered(rng, x=30.0, low=10.0, high=30.0, inwards=-1.0)
    far = scattered(rng, x=32.0, low=5.0, high=35.0, inwards=1.0)
    ends = sorted(rng.uniform(10.0, 30.0) for _ in range(2))
    low = rng.choice([0.0, rng.uniform(0.0, 3.0)])
    high = rng.choice([near["depth_mm"], rng.uniform(3.0, 6.0)])
    old = passage((30.0, ends[0]), (30.0, ends[1]), low=low, high=high)
    codes = {"CUT037", "CUT038", "CUT039"}
    for finding in cut(screen(old, **near), bay(**far)).findings:
        if finding.code in codes and "draw it elsewhere" not in finding.remedy:
            new = screen(mended(finding.remedy, old), **near)
            assert len(holes_between((new, bay(**far)))) == 1
            assert not codes & set(told(cut(new, bay(**far))))
