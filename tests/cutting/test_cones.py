"""Layers of a cone: carried along the normal in space, and laid flat by another route."""

from math import atan2, cos, degrees, hypot, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point

from cutting import samples as s
from lamphouse.cutting.curve_rules import laid_flat
from lamphouse.cutting.cutlist import cut_panel
from lamphouse.findings import Finding, Severity
from lamphouse.project.read import read_text
from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

HEAD = """\
lamphouse: 1
name: sample
revision: A
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}
sub_assemblies:
  hood:
    panels:
      shade:
        curve:
"""


def read(curve, *, height="60 mm", openings="", strands="", more=""):
    keys = "".join(f"          {key}: {value}\n" for key, value in curve.items())
    text = HEAD + keys + f"        height: {height}\n"
    if openings:
        text += "        openings:\n" + "".join(f"          {o}\n" for o in openings)
    if strands:
        text += "        strands:\n" + "".join(f"          {o}\n" for o in strands)
    return read_text(text + more, file="project.yaml")


def shade(curve, **more):
    reading = read(curve, **more)
    assert reading.design is not None, [str(f) for f in reading.findings]
    (sub,) = reading.design.sub_assemblies
    (panel,) = sub.panels
    return panel, sub


def cut(curve, **more):
    panel, sub = shade(curve, **more)
    return cut_panel(
        panel,
        strands=[strand for _, strand in sub.strands],
        boxes=(),
        sub_assembly="hood",
        drills=s.DRILLS,
        lead_mm=0.56,
    )


def in_space(point, *, radius, slope, angle, out=0.0):
    """Bend a point of the panel plane (x on the lower edge, y up the slope) into space."""
    x, y = point
    turn = x / radius - angle / 2
    wide = radius - y * sin(slope)
    normal = np.array((cos(slope) * cos(turn), cos(slope) * sin(turn), sin(slope)))
    return np.array((wide * cos(turn), wide * sin(turn), y * cos(slope))) + out * normal


def polar(point, *, foot, slope):
    """Lay a point of space flat: distance from the apex, and the angle of the sector there.

    ``foot`` is the lower end of the straight line of the layer that lies at turn 0; the apex is
    where that line meets the axis.
    """
    apex = np.array((0.0, 0.0, foot[2] + foot[0] / tan(slope)))
    far = np.linalg.norm(point - apex)
    return far, atan2(point[1], point[0]) * hypot(point[0], point[1]) / far


def seen_from_the_centre(spot, piece):
    """Give the polar coordinates of a point of a piece about the centre of its own arcs."""
    arc = next(p for p in outline.pieces(piece.outline.corners) if not p.is_straight)
    x, y = arc.centre
    side = 1 if arc.bulge > 0 else -1
    return hypot(spot[0] - x, spot[1] - y), atan2(spot[0] - x, side * (y - spot[1]))


@given(
    radius=st.floats(60, 200),
    slope=st.one_of(st.floats(4, 50), st.floats(-40, -4)),
    angle=st.floats(40, 170),
    across=st.floats(0.3, 0.7),
    up=st.floats(0.3, 0.7),
    thick=st.sampled_from((0.25, 0.5, 1.0)),
)
def test_holes_of_every_layer_lie_where_the_normal_meets_it(
    *, radius, slope, angle, across, up, thick
):
    height = 40.0
    lean, round_by = radians(slope), radians(angle)
    if radius - height * tan(lean) < 20:
        radius = 20 + height * tan(lean)
    x, y = radius * round_by * across, height / cos(lean) * up
    at = f"[{x!r} mm, {y!r} mm]"
    pieces = cut(
        {
            "inner_radius": f"{radius!r} mm",
            "slope": f"{slope!r} deg",
            "angle": f"{angle!r} deg",
            "layers": f"[styrene {thick} mm, styrene {thick} mm, styrene {thick} mm]",
        },
        height=f"{height} mm",
        strands=[f"F: {{fibre: fibre 0.5 mm, at: {at}, group: g}}"],
        more="groups: {g: {in: hood, source: {led: green 3 mm, current: 5 mA}, "
        "pattern: {kind: steady}}}\n",
    ).pieces
    assert len(pieces) == 3
    for number, piece in enumerate(pieces):
        out = thick * (number + 0.5)
        place = {"radius": radius, "slope": lean, "angle": round_by, "out": out}
        point = in_space((x, y), **place)
        foot = in_space((radius * round_by / 2, 0.0), **place)
        far, sector = polar(point, foot=foot, slope=lean)
        (hole,) = piece.holes
        seen = seen_from_the_centre((hole.x_mm, hole.y_mm), piece)
        assert seen == pytest.approx((far, sector), rel=1e-8, abs=1e-8)


@pytest.mark.parametrize(("slope", "angle"), [(20, 120), (-15, 90), (35, 360)])
def test_windows_of_every_layer_lie_where_the_normal_meets_it(slope, angle):
    # The window drawn on the face, bent into space and carried along the normal point by point,
    # has the outline of the layer's cut-out: its radii, and its sides along the slope.
    radius, lean, round_by = 90.0, radians(slope), radians(angle)
    x, y, width, height = 70.0, 25.0, 30.0, 16.0
    pieces = cut(
        {
            "inner_radius": "90 mm",
            "slope": f"{slope} deg",
            "angle": f"{angle} deg",
            "layers": "[styrene 0.5 mm]",
        },
        openings=["w: {shape: rectangle 30 x 16 mm, at: [70 mm, 25 mm]}"],
    ).pieces
    (cutout,) = pieces[0].cutouts
    wide = radius - y * sin(lean)
    place = {"radius": radius, "slope": lean, "angle": round_by, "out": 0.25}
    foot = in_space((radius * round_by / 2, 0.0), **place)
    corners = []
    for right, over in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        # As wide as drawn at the height of its middle, its sides running up the slope.
        spot = (x + right * width / 2 * radius / wide, y + over * height / 2)
        corners.append(polar(in_space(spot, **place), foot=foot, slope=lean))
    assert len(cutout.corners) == 4
    for corner, expected in zip(cutout.corners, corners, strict=True):
        assert seen_from_the_centre(corner[:2], pieces[0]) == pytest.approx(
            expected, rel=1e-8, abs=1e-8
        )
    bent = [not piece.is_straight for piece in outline.pieces(cutout.corners)]
    assert bent == [True, False, True, False]


def test_round_window_is_round_on_the_face_and_not_on_the_layers():
    (panel, _) = shade(
        {"inner_radius": "60 mm", "slope": "25 deg", "angle": "140 deg",
         "layers": "[styrene 1.0 mm, styrene 1.0 mm]"},
        openings=["port: {shape: round 24 mm, at: [70 mm, 30 mm]}"],
    )  # fmt: skip
    assert panel.openings[0].outline.diameter_mm == pytest.approx(24, abs=EXACT)
    pieces = cut(
        {"inner_radius": "60 mm", "slope": "25 deg", "angle": "140 deg",
         "layers": "[styrene 1.0 mm, styrene 1.0 mm]"},
        openings=["port: {shape: round 24 mm, at: [70 mm, 30 mm]}"],
    ).pieces  # fmt: skip
    outer = pieces[1]
    assert outer.cutouts[0].diameter_mm is None
    # Along the slope it stays 24 mm; round the wall it grows as the radius does at its middle.
    seen = [seen_from_the_centre(spot, outer) for spot in flatten(outer.cutouts[0].corners)]
    assert max(r for r, _ in seen) - min(r for r, _ in seen) == pytest.approx(24, abs=1e-3)
    wide = 60 - 30 * sin(radians(25))
    grown = 24 * (wide + 1.5 * cos(radians(25))) / wide
    middle = (max(r for r, _ in seen) + min(r for r, _ in seen)) / 2
    across = (max(a for _, a in seen) - min(a for _, a in seen)) * middle
    assert across == pytest.approx(grown, rel=2e-3)


@pytest.mark.parametrize(("slope", "up"), [(25, 30.0), (-30, 20.0), (50, 12.0)])
def test_round_window_is_where_the_normal_carries_every_point_of_it(slope, up):
    # Points of a circle of the developed face, bent into space by another route than ours, moved
    # along the normal, and laid flat: they lie on the outline of the layer's cut-out.
    radius, lean, angle = 60.0, radians(slope), radians(140)
    pieces = cut(
        {"inner_radius": "60 mm", "slope": f"{slope} deg", "angle": "140 deg",
         "layers": "[styrene 1.0 mm, styrene 1.0 mm]"},
        height="30 mm",
        openings=[f"port: {{shape: round 18 mm, at: [80 mm, {up} mm]}}"],
    ).pieces  # fmt: skip
    apex_mm = radius / abs(sin(lean))  # along the slope, from the lower edge
    side = 1 if slope > 0 else -1
    far = apex_mm - side * up
    middle = (80.0 / radius - angle / 2) * abs(sin(lean))
    for number, piece in enumerate(pieces):
        out = number + 0.5
        place = {"radius": radius, "slope": lean, "angle": angle, "out": out}
        foot = in_space((radius * angle / 2, 0.0), **place)
        edge = LineString(
            [seen_flat(spot, piece) for spot in flatten(piece.cutouts[0].corners, error_mm=1e-6)]
        )
        for step in np.linspace(0, 2 * pi, 37):
            x = far * sin(middle) + 9 * cos(step)
            y = far * cos(middle) + 9 * sin(step)
            sector = atan2(x, y)
            along = side * (apex_mm - hypot(x, y))
            spot = ((sector / abs(sin(lean)) + angle / 2) * radius, along)
            away, turned = polar(in_space(spot, **place), foot=foot, slope=lean)
            point = Point(away * sin(turned), away * cos(turned))
            ring = LineString([*edge.coords, edge.coords[0]])
            assert ring.distance(point) < 2e-4


def seen_flat(spot, piece):
    far, turned = seen_from_the_centre(spot, piece)
    return far * sin(turned), far * cos(turned)


@pytest.mark.parametrize(
    "window",
    [
        "{shape: rectangle 800 x 800 mm, at: [8 mm, 20 mm]}",
        "{shape: rectangle 3 x 800 mm, at: [8 mm, 5 mm]}",
        "{shape: rectangle 300 x 8 mm, at: [60 mm, 5 mm]}",
        "{shape: round 300 mm, at: [60 mm, 5 mm]}",
    ],
)
def test_shapes_larger_than_the_wall_are_told(window):
    # Carried round the apex more than once they would look like small ones.
    curve = {"inner_radius": "20 mm", "slope": "60 deg", "angle": "360 deg",
             "layers": "[card 0.3 mm]"}  # fmt: skip
    found = cut(curve, height="10 mm", openings=[f"w: {window}"]).findings
    assert "CUT003" in [f.code for f in found]


def test_moves_on_a_cone_are_said_to_be_meant_flat():
    def told(remedy):
        finding = Finding(
            code="CUT003", severity=Severity.STOP, where=s.where("w"), message="", remedy=remedy
        )
        return laid_flat([finding])[0].remedy

    assert told("move it 1 mm right").endswith("right (as the template lies flat)")
    assert told("put it at [3 mm, 4.5 mm]").endswith("(as the template lies flat)")
    assert told("make it 92 percent of its size") == "make it 92 percent of its size"


def test_whole_cone_with_a_lap_has_the_closed_area():
    (piece,) = cut(
        {"inner_radius": "30 mm", "upper_radius": "0 mm", "angle": "360 deg",
         "layers": "[card 0.3 mm]", "lap": "6 mm"},
        height="40 mm",
    ).pieces  # fmt: skip
    # By hand: slant 50, sine 0.6, cosine 0.8; the mid-plane lies 0.15 mm out.
    low = 30 + 0.15 * 0.8
    centre = 0.15 * 0.8  # what is left at the upper edge
    turn = 2 * pi + 6 / low
    assert measure.area_mm2(piece.outline.corners) == pytest.approx(
        turn * 50 * (low + centre) / 2, rel=EXACT
    )
    (lap,) = [foot for foot in piece.glued if foot.words == "lap"]
    assert measure.area_mm2(lap.corners) == pytest.approx(
        6 / low * 50 * (low + centre) / 2, rel=EXACT
    )


def test_slope_and_upper_radius_say_the_same():
    one = cut({"inner_radius": "15 mm", "upper_radius": "10 mm", "angle": "360 deg",
               "layers": "[card 0.3 mm]"}, height="12 mm").pieces[0]  # fmt: skip
    slope = f"{degrees(atan2(5, 12))!r} deg"
    two = cut({"inner_radius": "15 mm", "slope": slope, "angle": "360 deg",
               "layers": "[card 0.3 mm]"}, height="12 mm").pieces[0]  # fmt: skip
    for a, b in zip(one.outline.corners, two.outline.corners, strict=True):
        assert a == pytest.approx(b, abs=EXACT)


def test_upper_radius_equal_to_the_lower_is_the_cylinder():
    keys = {"inner_radius": "140 mm", "angle": "120 deg", "layers": "[styrene 0.5 mm]"}
    window = ["w: {shape: rectangle 42 x 52 mm, at: [88 mm, 30 mm]}"]
    same = cut({**keys, "upper_radius": "140 mm"}, openings=window).pieces
    assert same == cut(keys, openings=window).pieces


def test_nearly_a_cylinder_is_as_good_as_one():
    keys = {"inner_radius": "140 mm", "angle": "120 deg", "layers": "[styrene 0.5 mm]"}
    window = ["w: {shape: rectangle 42 x 52 mm, at: [88 mm, 30 mm]}"]
    (near,) = cut({**keys, "upper_radius": "139.999999 mm"}, openings=window).pieces
    (true,) = cut(keys, openings=window).pieces
    for a, b in zip(near.cutouts[0].corners, true.cutouts[0].corners, strict=True):
        assert a == pytest.approx(b, abs=1e-5)


@pytest.mark.parametrize(
    ("curve", "height", "words"),
    [
        ({"slope": "10 deg", "upper_radius": "5 mm"}, "20 mm", "upper_radius or a slope, not both"),
        ({"slope": "45 deg"}, "60 mm", "meets in a point 30.00 mm up"),
        ({"upper_radius": "0 mm"}, "5 mm", "up to 70 deg"),
        ({"lap": "6 mm"}, "20 mm", "does not meet itself"),
        ({"slope": "80 deg"}, "20 mm", "cut as a disc"),
    ],
)
def test_what_is_no_cone_is_refused_with_the_limit(curve, height, words):
    reading = read(
        {"inner_radius": "30 mm", "angle": "120 deg", "layers": "[card 0.3 mm]", **curve},
        height=height,
    )
    assert any(words in f.message or words in f.remedy for f in reading.findings), [
        str(f) for f in reading.findings
    ]


def test_heights_and_slopes_of_the_remedy_do():
    reading = read({"inner_radius": "30 mm", "slope": "45 deg", "angle": "120 deg",
                    "layers": "[card 0.3 mm]"})  # fmt: skip
    (finding,) = reading.findings
    assert "height at most 30 mm" in finding.remedy or "29.99 mm" in finding.remedy
    assert read({"inner_radius": "30 mm", "slope": "45 deg", "angle": "120 deg",
                 "layers": "[card 0.3 mm]"}, height="29.99 mm").findings == ()  # fmt: skip


def test_slanted_ends_are_refused_clearly():
    reading = read({"inner_radius": "30 mm", "angle": "120 deg", "layers": "[card 0.3 mm]"},
                   more="        outline: rectangle 60 x 40 mm\n")  # fmt: skip
    assert any("cut aslant or elliptic are not developed" in f.message for f in reading.findings)


def test_lap_over_several_layers_is_refused():
    reading = read({"inner_radius": "30 mm", "angle": "360 deg", "lap": "6 mm",
                    "layers": "[card 0.3 mm, card 0.3 mm]"})  # fmt: skip
    assert any("butted" in f.message for f in reading.findings)


def test_places_off_the_sector_are_told_and_never_come_round_again():
    panel, _ = shade(
        {"inner_radius": "60 mm", "slope": "60 deg", "angle": "90 deg", "layers": "[card 0.3 mm]"},
        height="10 mm",
        openings=["far: {shape: round 2 mm, at: [436 mm, 5 mm]}",
                  "above: {shape: rectangle 2 x 2 mm, at: [40 mm, 300 mm]}"],
    )  # fmt: skip
    codes = [
        f.code
        for f in cut(
            {"inner_radius": "60 mm", "slope": "60 deg", "angle": "90 deg",
             "layers": "[card 0.3 mm]"},
            height="10 mm",
            openings=["far: {shape: round 2 mm, at: [436 mm, 5 mm]}",
                      "above: {shape: rectangle 2 x 2 mm, at: [40 mm, 300 mm]}"],
        ).findings
    ]  # fmt: skip
    assert len(panel.openings) == 2
    assert len(codes) >= 2


def test_borrowed_places_of_a_cone_miss_by_the_chord():
    found = cut(
        {"inner_radius": "80 mm", "slope": "30 deg", "angle": "150 deg",
         "layers": "[styrene 0.5 mm, {sheet: styrene 0.5 mm, holes_from: 1}]"},
        height="30 mm",
        openings=["w: {shape: rectangle 10 x 10 mm, at: [180 mm, 15 mm]}"],
    )  # fmt: skip
    finding = next(f for f in found.findings if f.code == "CUT040")
    own = cut(
        {"inner_radius": "80 mm", "slope": "30 deg", "angle": "150 deg",
         "layers": "[styrene 0.5 mm, styrene 0.5 mm]"},
        height="30 mm",
        openings=["w: {shape: rectangle 10 x 10 mm, at: [180 mm, 15 mm]}"],
    )  # fmt: skip
    # The two templates laid corner on corner, side on side: where the windows' middles come to.
    borrowed, true = found.pieces[1], own.pieces[1]
    apart = np.subtract(*(measure.centroid_mm(p.cutouts[0].corners) for p in (borrowed, true)))
    assert f"misses by {hypot(*apart):.2f} mm" in finding.message


CLOSED = {"inner_radius": "20 mm", "angle": "360 deg", "layers": "[card 0.3 mm, card 0.3 mm]"}
SIX = ["w: {shape: rectangle 8 x 12 mm, at: [10.47 mm, 30 mm], count: 6, step: [20.94 mm, 0 mm]}"]


def test_joints_of_a_closed_wall_are_turned_clear_of_the_openings():
    one, two = cut(CLOSED, openings=SIX).pieces
    assert any("joint stands 180.0 deg" in note for note in two.notes)
    assert two.glued == ()  # its joint is where the middle of the wall is
    # Every window of layer 2 whole, and at its own angle less half a turn.
    left, _, right, _ = measure.bounds_mm(two.outline.corners)
    for first, second in zip(one.cutouts, two.cutouts, strict=True):
        low, _, high, _ = measure.bounds_mm(second.corners)
        assert left + 1 < low < high < right - 1
        turn = measure.centroid_mm(first.corners)[0] / 20.15
        again = measure.centroid_mm(second.corners)[0] / 20.45
        assert (turn - pi) % (2 * pi) == pytest.approx(again, abs=1e-6)


def test_a_joint_moves_aside_for_a_window():
    across = ["w: {shape: rectangle 30 x 12 mm, at: [62.83 mm, 30 mm]}"]
    _, two = cut(CLOSED, openings=across).pieces
    low, _, high, _ = measure.bounds_mm(two.cutouts[0].corners)
    left, _, right, _ = measure.bounds_mm(two.outline.corners)
    assert min(low - left, right - high) == pytest.approx(2.0 * 20.45 / 20, abs=1e-6)


def test_joints_that_have_no_other_place_are_told():
    codes = [
        f.code
        for f in cut(
            CLOSED, openings=["w: {shape: rectangle 118 x 4 mm, at: [62.83 mm, 30 mm]}"]
        ).findings
    ]
    assert "CUT045" in codes
    assert "CUT045" not in [f.code for f in cut(CLOSED, openings=SIX).findings]


def test_lap_over_an_opening_is_told_with_the_move_that_mends_it():
    curve = {"inner_radius": "20 mm", "angle": "360 deg", "lap": "6 mm", "layers": "[card 0.3 mm]"}
    (finding,) = [
        f
        for f in cut(
            curve, openings=["w: {shape: rectangle 10 x 12 mm, at: [8 mm, 20 mm]}"]
        ).findings
        if f.code == "CUT046"
    ]
    by = float(finding.remedy.split("move it ")[1].split(" mm")[0])
    # By hand: the lap reaches 6 mm x 20 / 20.15 on the inner face, the window begins at 3 mm.
    assert by == pytest.approx(6 * 20 / 20.15 - 3, abs=0.011)
    moved = [f"w: {{shape: rectangle 10 x 12 mm, at: [{8 + by!r} mm, 20 mm]}}"]
    assert "CUT046" not in [f.code for f in cut(curve, openings=moved).findings]


def test_cone_that_ends_in_a_point_is_told_to_crease():
    found = cut({"inner_radius": "30 mm", "upper_radius": "0 mm", "angle": "360 deg",
                 "layers": "[styrene 0.5 mm]"}, height="40 mm").findings  # fmt: skip
    (finding,) = [f for f in found if f.code == "CUT041"]
    assert "narrower edge at least" in finding.remedy
    wide = float(finding.remedy.split("at least ")[1].split(" mm")[0])
    again = cut({"inner_radius": "30 mm", "upper_radius": f"{wide} mm", "angle": "360 deg",
                 "layers": "[styrene 0.5 mm]"}, height="40 mm").findings  # fmt: skip
    assert "CUT041" not in [f.code for f in again]


@pytest.mark.parametrize("curve", [
    {"inner_radius": "60 mm", "slope": "30 deg", "angle": "120 deg"},
    {"inner_radius": "60 mm", "angle": "120 deg"},
    {"inner_radius": "20 mm", "angle": "360 deg"},
])  # fmt: skip
def test_a_pin_through_the_middle_goes_through_the_marks_of_all_layers(curve):
    radius, angle = (float(curve[key].split(" ")[0]) for key in ("inner_radius", "angle"))
    middle = f"{radius * radians(angle) / 2!r} mm"
    pieces = cut(
        {**curve, "layers": "[card 0.3 mm, card 0.3 mm, card 0.3 mm]"},
        openings=[f"pin: {{shape: round 1 mm, at: [{middle}, 1.5 mm]}}"],
    ).pieces
    assert len({piece.outline.corners for piece in pieces}) == 3
    for piece in pieces:
        (hole,) = piece.holes
        lower, _ = [foot.corners for foot in piece.glued if foot.words == "middle"]
        ends = [(x, y) for x, y, _ in lower]
        # The tip is 1.5 mm from the pin, the corners of the base 1.5 mm on and 1 mm aside.
        away = sorted(hypot(x - hole.x_mm, y - hole.y_mm) for x, y in ends)
        assert away == pytest.approx([1.5, hypot(1.5, 1.0), hypot(1.5, 1.0)], abs=0.02)
