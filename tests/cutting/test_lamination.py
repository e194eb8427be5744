"""Curved panels: developed lengths, hole places of each layer, and the borrowed places."""

import json
import re
from math import degrees, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.shapes import measure, outline
from tolerances import EXACT, TABLE

WINDOWS = tuple(
    s.opening(f"window{i + 1}", s.box_shape(42, 52, x=29.3 + 58.6 * i, y=52)) for i in range(5)
)
HOLE = s.opening("hole", outline.circle(1.2, x_mm=263.7, y_mm=12))


def long_mm(piece):
    return measure.size_mm(piece.outline.corners)[0]


def test_layers_of_the_bay_have_the_published_lengths(reference):
    published = json.loads((reference / "unroll" / "values.json").read_text())["bay"]
    layers = ((published["layer_mm"], 1), (published["layer_mm"], 2))
    pieces = s.cut(
        s.bay(
            *WINDOWS,
            inner_radius_mm=published["inner_radius_mm"],
            angle_deg=published["angle_deg"],
            layers=layers,
        )
    ).pieces
    for piece, length in zip(pieces, published["developed_mm"], strict=True):
        assert long_mm(piece) == pytest.approx(length, abs=TABLE * 0.1)


def test_whole_cylinder_of_a_thin_sheet_has_the_closed_length(reference):
    row = json.loads((reference / "unroll" / "values.json").read_text())["cylinder"]
    thin = 1e-6
    (piece,) = s.cut(
        s.bay(
            inner_radius_mm=(row["d"] - thin) / 2,
            angle_deg=360,
            layers=((thin, 1),),
            height=row["h"],
        )
    ).pieces
    assert measure.size_mm(piece.outline.corners) == pytest.approx((row["w"], row["h"]), abs=1e-6)


@given(
    radius=st.floats(60, 400),
    angle=st.floats(30, 180),
    share=st.floats(0.2, 0.8),
    thick=st.floats(0.2, 1.0),
)
def test_openings_keep_their_angle_in_every_layer(radius, angle, share, thick):
    # Bent on its own mid-plane, each layer must show the opening at the angle drawn on the inner
    # face: that is what lining up means.
    arc = radius * radians(angle)
    drawn = s.box_shape(arc * 0.1, 20, x=arc * share, y=40)
    pieces = s.cut(
        s.bay(s.opening("w", drawn), inner_radius_mm=radius, angle_deg=angle,
              layers=((thick, 1), (thick, 2), (thick, 3)))
    ).pieces  # fmt: skip
    left, _, right, _ = measure.bounds_mm(drawn)
    for index, piece in enumerate(pieces):
        middle = radius + thick * (index + 0.5)
        (cut,) = piece.cutouts
        cut_left, bottom, cut_right, top = measure.bounds_mm(cut.corners)
        assert degrees(cut_left / middle) == pytest.approx(degrees(left / radius), rel=EXACT)
        assert degrees(cut_right / middle) == pytest.approx(degrees(right / radius), rel=EXACT)
        assert (bottom, top) == (30, 50)
        assert long_mm(piece) / middle == pytest.approx(radians(angle), rel=EXACT)


def test_round_window_becomes_an_ellipse_and_a_drilled_hole_stays_round():
    first, second = s.cut(
        s.bay(s.opening("port", outline.circle(32, x_mm=100, y_mm=40)), HOLE)
    ).pieces
    stretch = 140.75 / 140
    assert measure.size_mm(second.cutouts[0].corners) == pytest.approx((32 * stretch, 32), abs=0.01)
    assert second.holes[0].x_mm == pytest.approx(263.7 * stretch, rel=EXACT)
    assert second.holes[0].drill.name == "1.2 mm"
    assert first.holes[0].x_mm == pytest.approx(263.7 * 140.25 / 140, rel=EXACT)


def test_sound_bay_has_no_finding():
    assert s.codes(s.bay(*WINDOWS, HOLE)) == []


def test_borrowed_places_are_told_with_their_shift():
    bay = s.bay(*WINDOWS, HOLE, layers=((0.5, 1), (0.5, 1)))
    (finding,) = s.cut(bay).findings
    assert finding.code == "CUT040"
    assert finding.where.item == "sample / bay / layer 2"
    # By hand: 263.7 mm on the inner face is 263.7 / 140 rad; the mid-planes differ by 0.5 mm.
    assert f"by {263.7 / 140 * 0.5:.2f} mm when the layers start flush" in finding.message
    # Centred, the farthest window is 263.7 - 146.61 mm from the middle.
    assert f"{(263.7 - 140 * radians(120) / 2) / 140 * 0.5:.2f} mm when they are centred" in (
        finding.message
    )
    place = float(re.search(r"stands at ([\d.]+) mm", finding.remedy)[1])
    assert place == pytest.approx(263.7 / 140 * 140.75, abs=0.005)


def test_layer_with_borrowed_places_is_drawn_as_the_maker_says():
    own = s.cut(s.bay(*WINDOWS, HOLE)).pieces
    borrowed = s.cut(s.bay(*WINDOWS, HOLE, layers=((0.5, 1), (0.5, 1)))).pieces
    assert long_mm(borrowed[1]) == long_mm(own[1])
    assert borrowed[1].cutouts == own[0].cutouts
    assert borrowed[1].holes == own[0].holes != own[1].holes


def test_borrowed_places_that_still_line_up_are_let_pass():
    near = s.opening("near", s.box_shape(10, 20, x=10, y=40))
    assert s.codes(s.bay(near, layers=((0.5, 1), (0.5, 1)))) == []


def test_layer_number_that_is_not_there_leaves_the_layer_its_own_places():
    # The reader of the project file tells the fault; the pieces are drawn all the same.
    cut = s.cut(s.bay(*WINDOWS, layers=((0.5, 1), (0.5, 7))))
    assert cut.findings == ()
    assert cut.pieces[1].cutouts == s.cut(s.bay(*WINDOWS)).pieces[1].cutouts


def test_thick_sheet_in_a_tight_bend_is_noted_once_with_a_sheet_that_would_do():
    tight = s.bay(inner_radius_mm=30, layers=((1.0, 1), (1.0, 2)), height=40)
    (finding,) = s.cut(tight).findings
    assert finding.code == "CUT041"
    assert "1.6 percent" in finding.message  # 1.0 / (2 x 30.5)
    thin = float(re.search(r"at most ([\d.]+) mm", finding.remedy)[1])
    assert s.codes(s.bay(inner_radius_mm=30, layers=((thin, 1),), height=40)) == []
    assert thin == pytest.approx(0.6, abs=0.01)


def test_strands_of_a_curved_panel_move_with_their_layer():
    pieces = s.cut(s.bay(), strands=[s.strand("F", 200, 40)]).pieces
    assert [round(p.holes[0].x_mm, 4) for p in pieces] == [
        round(200 * 140.25 / 140, 4),
        round(200 * 140.75 / 140, 4),
    ]


def test_flat_box_behind_a_bend_is_told_its_gap():
    box = s.box(s.box_shape(28, 20, x=100, y=40))
    (finding,) = s.cut(
        s.bay(s.opening("w", s.box_shape(10, 10, x=100, y=40))), boxes=[box]
    ).findings
    assert finding.code == "CUT036"
    # Sagitta of 30 mm over a radius of 141 mm: 141 - sqrt(141^2 - 15^2) = 0.80 mm.
    assert "0.8 mm of gap" in finding.message
