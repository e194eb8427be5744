"""Baffles that hang from a panel: what they share with those that stand, and what is told."""

from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutting import samples as s
from cutting.standing_solids import worst_overlap
from lamphouse.cutting.seats import baffle_foot
from lamphouse.design.lightbox import BaffleJoint, Build, Flange, Lid, Pillar, Seat
from lamphouse.drawings.drawing import Path
from lamphouse.drawings.face import draw
from lamphouse.record import replace
from lamphouse.shapes import measure
from tolerances import EXACT

NOTHING_MM2 = 1e-6
DEEP_MM = 10.0
WIDE = s.box_shape(40, 30, x=30, y=20)


def hung(name, start, end, **more):
    return s.baffle(name, start, end, seat=Seat.PANEL, **more)


def build(box, *openings, strands=()):
    cut = s.cut(s.panel(*openings), boxes=[box], strands=strands)
    return cut.boxes[0], cut.findings


def part(made, name):
    (piece,) = [p for p in made.pieces if p.name.rpartition(" / ")[2] == name]
    return piece


def place(made, name):
    (one,) = [p for p in made.standing if p.part == name]
    return one


@settings(max_examples=30)
@example(turn=25.0, thick=(1.0, 1.0), high=(5.0, 5.0), hanging=(False, True))
@given(
    turn=st.floats(25, 155),
    thick=st.tuples(st.floats(0.25, 1.5), st.floats(0.25, 1.5)),
    high=st.tuples(st.floats(2, 9.5), st.floats(2, 9.5)),
    hanging=st.sampled_from([(False, True), (True, False), (True, True)]),
)
def test_crossing_baffles_share_no_place_and_halve_the_height_they_share(
    turn, thick, high, hanging
):
    way = (9.0 * cos(radians(turn)), 9.0 * sin(radians(turn)))
    ends = (((21, 20), (39, 20)), ((30 - way[0], 20 - way[1]), (30 + way[0], 20 + way[1])))
    seats = [Seat.PANEL if one else Seat.BACK for one in hanging]
    made, found = build(s.box(WIDE, baffles=tuple(
        s.baffle(name, *foot, thickness_mm=t, height_mm=h, seat=seat)
        for name, foot, t, h, seat in zip("ab", ends, thick, high, seats, strict=True)
    )))  # fmt: skip
    assert found == ()
    spans = [
        (DEEP_MM - h, DEEP_MM) if one else (0.0, h) for h, one in zip(high, hanging, strict=True)
    ]
    # A cut in the very plane of an edge would find the edge itself.
    levels = sorted(edge for span in spans for edge in span)
    edges = np.array([*levels, (levels[1] + levels[2]) / 2.0])
    cuts = [z for z in np.linspace(0.01, DEEP_MM - 0.01, 23) if abs(edges - z).min() > 1e-3]
    area, *names = worst_overlap(made, cuts)
    assert area < NOTHING_MM2, names
    low, top = max(span[0] for span in spans), min(span[1] for span in spans)
    for name, span in zip("ab", spans, strict=True):
        piece = part(made, f"baffle {name}")
        foot = place(made, f"baffle {name}").corner_mm[2]
        assert foot == pytest.approx(span[0], abs=EXACT)
        inner = [
            foot + y
            for _, y, _ in piece.outline.corners
            if span[0] + 1e-6 < foot + y < span[1] - 1e-6
        ]
        lap = [(low + top) / 2.0] * 2 if top > low + 1e-3 else []
        if abs(top - low) > 1e-2:
            assert inner == pytest.approx(lap, abs=1e-8)


def test_the_one_that_hangs_is_open_below_whatever_the_order_in_the_file():
    stands = s.baffle("stands", (21, 20), (39, 20), height_mm=7)
    hangs = hung("hangs", (30, 11), (30, 29), height_mm=7)
    for both in ((stands, hangs), (hangs, stands)):
        made, _ = build(s.box(WIDE, baffles=both))
        assert "slot from below over baffle stands" in " ".join(part(made, "baffle hangs").notes)
        assert "slot from above for baffle hangs" in " ".join(part(made, "baffle stands").notes)
    # Two that hang go on the panel in their order: the first is open towards the back.
    pair = (hung("first", (21, 20), (39, 20)), hung("second", (30, 11), (30, 29)))
    made, _ = build(s.box(WIDE, baffles=pair))
    assert "slot from below" in " ".join(part(made, "baffle first").notes)
    assert "slot from above" in " ".join(part(made, "baffle second").notes)


def test_one_above_the_other_they_neither_meet_nor_overlap():
    both = (
        s.baffle("a", (30, 5), (30, 35), height_mm=4),
        hung("b", (30, 5), (30, 35), height_mm=5),
    )
    made, found = build(s.box(WIDE, baffles=both))
    assert found == ()
    assert [measure.size_mm(part(made, f"baffle {n}").outline.corners)[0] for n in "ab"] == [30, 30]
    both = (both[0], replace(both[1], height_mm=6.5))
    assert [f.code for f in build(s.box(WIDE, baffles=both))[1]] == ["CUT072"]


def test_tabs_go_into_walls_and_never_into_the_back():
    baffles = (hung("a", (30, 5), (30, 35), height_mm=9),)
    made, found = build(s.box(WIDE, baffles=baffles, baffle_joint=BaffleJoint.TABS))
    assert found == ()
    assert part(made, "back").cutouts == ()
    assert part(made, "back").glued[0].words == "inner faces of the walls"
    assert not [foot for foot in part(made, "back").glued if foot.words.startswith("baffle")]
    slots = [
        measure.bounds_mm(cut.corners)[1::2]
        for p in made.pieces
        for cut in p.cutouts
        if "wall" in p.name
    ]
    # The middle third of what reaches from 1 to 10 mm above the back, and the play.
    assert slots == [pytest.approx((3.95, 7.05))] * 2
    assert worst_overlap(made, np.linspace(0.05, 9.95, 31))[0] < NOTHING_MM2


@pytest.mark.parametrize("lid", Lid)
def test_its_foot_is_marked_on_the_rear_template_where_the_mirror_shows_it(lid):
    baffle = hung("a", (22, 12), (24, 28))
    cut = s.cut(s.panel(), boxes=[s.box(lid=lid, baffles=(baffle,))])
    (panel,) = cut.pieces
    (mark,) = [one for one in panel.behind if one.words == "baffle a"]
    assert mark.corners == baffle_foot(baffle)
    assert "baffle a of box box is glued to the rear, over its outline" in panel.notes
    seen = draw(panel, mirror=True)
    places = {
        (round(x, 6), round(y, 6))
        for item in seen.items
        if isinstance(item, Path)
        for x, y, *_ in item.corners
    }
    right = max(x for x, *_ in panel.outline.corners)
    left = min(x for x, *_ in panel.outline.corners)
    for x, y, _ in baffle_foot(baffle):
        assert (round(left + right - x, 6), round(y, 6)) in places


def test_an_inner_diffuser_ends_it_above_and_stays_whole():
    baffles = (hung("a", (30, 12), (30, 28), height_mm=5),)
    box = s.box(baffles=baffles, inner_diffuser=s.diffuser(6))
    (finding,) = build(box)[1]
    assert finding.code == "CUT023"
    film = box.inner_diffuser.film.thickness_mm
    (edit,) = finding.mend
    assert edit.key == "height"
    assert float(edit.value.removesuffix(" mm")) == pytest.approx(4.0 - film, abs=0.005)
    lower = replace(baffles[0], height_mm=4.0 - film)
    made, found = build(replace(box, baffles=(lower,)))
    assert found == ()
    assert len([p for p in made.pieces if "inner diffuser" in p.name]) == 1
    assert len([p for p in made.standing if p.part.startswith("ledge")]) == 4
    assert [
        f.code for f in build(s.box(baffles=(hung("a", (30, 12), (30, 28), height_mm=11),)))[1]
    ] == ["CUT023"]


@pytest.mark.parametrize(
    ("start", "end", "way"),
    [
        ((35, 12), (35, 28), "right"),
        ((25.5, 12), (25.5, 28), "left"),
        ((34, 12), (36, 28), "right"),
    ],
)
def test_over_an_opening_it_is_told_and_the_mend_clears_it(start, end, way):
    window = s.opening("window", s.box_shape(12, 8, x=30, y=20))
    baffle = hung("a", start, end)
    (finding,) = build(s.box(baffles=(baffle,)), window)[1]
    assert finding.code == "CUT088"
    assert "opening 'window'" in finding.message
    assert way in finding.remedy
    ends = {"from": [0.0, 0.0], "to": [0.0, 0.0]}
    for edit in finding.mend:
        key, axis = edit.key.split()
        ends[key][int(axis)] = float(edit.value.removesuffix(" mm"))
    moved = replace(baffle, start_mm=tuple(ends["from"]), end_mm=tuple(ends["to"]))
    assert "CUT088" not in [f.code for f in build(s.box(baffles=(moved,)), window)[1]]
    # Half a millimetre of sheet beside the foot, no more: the sum for an upright one.
    if start[0] == end[0]:
        rim = 36.0 if way == "right" else 24.0
        assert abs(moved.start_mm[0] - rim) == pytest.approx(0.25 + 0.5, abs=0.011)


def test_where_there_is_no_room_beside_the_opening_the_words_say_so():
    window = s.opening("window", s.box_shape(19.5, 8, x=30, y=20))
    (finding,) = build(s.box(baffles=(hung("a", (30, 12), (30, 28)),)), window)[1]
    assert finding.mend == ()
    assert "no room" in finding.remedy


def test_a_strand_under_its_foot_is_told():
    strand = s.strand("F", 30, 20)
    (finding,) = build(s.box(baffles=(hung("a", (30, 12), (30, 28)),)), strands=(strand,))[1]
    assert finding.code == "CUT088"
    assert "strand 'F'" in finding.message


def test_leds_meet_it_only_at_its_own_heights():
    curtain = (hung("a", (30, 12), (30, 28), height_mm=6),)
    assert build(s.box(baffles=curtain, leds=(s.led("A", 30, 20),)))[1] == ()
    found = build(s.box(baffles=curtain, leds=(s.led("A", 30, 20, seat=Seat.PANEL),)))[1]
    assert [f.code for f in found] == ["CUT021"]
    low = (replace(curtain[0], height_mm=9.8),)
    assert [f.code for f in build(s.box(baffles=low, leds=(s.led("A", 30, 20),)))[1]] == ["CUT021"]


@pytest.mark.parametrize("seat", [Seat.BACK, Seat.PANEL])
def test_a_tilted_led_meets_it_as_high_as_its_raised_corner(seat):
    """Half of the length by the sine over the wedge's thin edge, as a turned rectangle rises."""
    kind = s.led("A", 30, 20).led_type
    length, _, high = kind.package_mm
    top = length * sin(radians(60.0)) + high * cos(radians(60.0))
    assert top > high + 0.5
    edge = high + 0.25  # over one that lies flat, under the corner of one that leans
    other = Seat.PANEL if seat is Seat.BACK else Seat.BACK
    baffles = (s.baffle("a", (30, 12), (30, 28), height_mm=DEEP_MM - edge, seat=other),)
    flat = s.led("A", 30, 20, seat=seat)
    assert build(s.box(baffles=baffles, leds=(flat,)))[1] == ()
    leaning = replace(flat, tilt_deg=60.0, towards_deg=0.0)
    found = [f.code for f in build(s.box(baffles=baffles, leds=(leaning,)))[1]]
    assert "CUT021" in found


def test_the_mend_moves_it_into_no_pillar():
    window = s.opening("window", s.box_shape(12, 8, x=30, y=20))
    baffle = hung("a", (35, 12), (35, 28))
    rim = s.box_shape(1, 1, x=37, y=14)
    post = Pillar(name="post", where=baffle.where, outline=s.shape(rim))
    bare, beside = (
        next(f for f in build(box, window)[1] if f.code == "CUT088")
        for box in (s.box(baffles=(baffle,)), s.box(baffles=(baffle,), pillars=(post,)))
    )
    assert "right" in bare.remedy
    assert "left" in beside.remedy


@pytest.mark.parametrize(("seat", "high"), [(Seat.PANEL, 4.0), (Seat.BACK, 9.7), (Seat.WALL, 6.0)])
def test_the_mend_moves_it_onto_no_led(seat, high):
    """The near place is beside the right rim; an LED of any seat sends it past, or to the left."""
    window = s.opening("window", s.box_shape(12, 8, x=30, y=20))
    baffle = hung("a", (35, 12), (35, 28), height_mm=high)
    at = (36.7, 12, 8.0) if seat is Seat.WALL else (36.9, 14, 0.0)
    led = s.led("A", at[0], at[1], seat=seat, height_mm=at[2])

    def mended(*leds):
        found = build(s.box(baffles=(baffle,), leds=leds), window)[1]
        (finding,) = [one for one in found if one.code == "CUT088"]
        x = next(float(one.value.split()[0]) for one in finding.mend if one.key == "from 0")
        return replace(baffle, start_mm=(x, 12), end_mm=(x, 28))

    beside = s.box(baffles=(mended(),), leds=(led,))
    assert "CUT021" in [one.code for one in build(beside, window)[1]]
    clear = s.box(baffles=(mended(led),), leds=(led,))
    assert not {"CUT021", "CUT088"} & {one.code for one in build(clear, window)[1]}


@pytest.mark.parametrize("build_of", [Build.FOLDED, Build.PRINTED])
def test_it_is_a_piece_of_its_own_in_a_folded_or_printed_box(build_of):
    both = (
        s.baffle("a", (20, 24), (40, 24), height_mm=6),
        hung("b", (30, 12), (30, 28), height_mm=7),
    )
    box = s.box(baffles=both, build=build_of, thickness_mm=0.5, flange=Flange.NONE)
    made, found = build(box)
    assert not [f for f in found if f.code in ("CUT023", "CUT072")]
    names = {p.name.rpartition(" / ")[2] for p in made.pieces}
    assert "baffle b" in names
    assert ("baffle a" in names) == (build_of is Build.FOLDED)
    depths = sorted({round(3.0 + y, 6) for _, y, _ in part(made, "baffle b").outline.corners})
    # Folded, the two are halved at the middle of 3 to 6 mm; a printed one stays whole.
    assert depths == pytest.approx([3.0, 4.5 if build_of is Build.FOLDED else 6.0, 10.0])
    if build_of is Build.PRINTED:
        alone = build(replace(box, baffles=both[:1]))[0]
        assert made.bodies == alone.bodies
        full = (replace(both[0], height_mm=9.8), both[1])
        assert "CUT072" in [f.code for f in build(replace(box, baffles=full))[1]]
