"""Formers put together in space: pieces that cross share no room, edges lie on the wall."""

from math import cos, hypot, radians, tan

import pytest
from shapely import Polygon, box

from cutting import samples as s
from lamphouse.cutting.former import PLAY_MM, RIB_STEP_MM, former_of, former_pieces
from lamphouse.design.panel import Curve, CurveLayer
from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

KINDS = {
    "bay": {"radius": 140, "angle": 120, "height": 95},
    "shallow": {"radius": 600, "angle": 20, "height": 60},
    "half": {"radius": 60, "angle": 170, "height": 70},
    "apse": {"radius": 60, "angle": 250, "height": 70},
    "nearly round": {"radius": 60, "angle": 340, "height": 70},
    "drum": {"radius": 45, "angle": 360, "height": 80},
    "wide drum": {"radius": 150, "angle": 360, "height": 40},
    "hood": {"radius": 90, "angle": 140, "height": 60, "slope": 35},
    "funnel": {"radius": 40, "angle": 140, "height": 60, "slope": -35},
    "cone": {"radius": 60, "angle": 360, "height": 79, "slope": 37},
    "thin": {"radius": 9, "angle": 200, "height": 30},
}


def curve(*, radius, angle, height, slope=0.0, thick=2.0):
    return Curve(
        inner_radius_mm=float(radius),
        angle_deg=float(angle),
        layers=(CurveLayer(sheet=s.sheet(0.5), holes_from=1, where=s.where("layer")),),
        along_mm=height / cos(radians(slope)),
        slope_deg=float(slope),
        former=s.sheet(thick, material="card"),
    )


def pieces(bend):
    panel = s.panel(curve=bend, name="bay")
    return former_pieces(panel, sub_assembly="sample")


def flat_polygons(bend):
    """Give every rib and upright as drawn, moved back into its place."""
    from lamphouse.cutting import former as rooms

    made = former_of(bend)
    ribs = [corners for _, corners, *_ in rooms.rib_parts(made)]
    uprights = [corners for _, corners, *_ in rooms.upright_parts(made)]
    return (
        made,
        [Polygon(flatten(c, error_mm=1e-4)) for c in ribs],
        [Polygon(flatten(c)) for c in uprights],
    )


@pytest.mark.parametrize("kind", KINDS)
def test_pieces_that_cross_share_no_room_and_meet_halfway(kind):
    bend = curve(**KINDS[kind])
    made, ribs, uprights = flat_polygons(bend)
    thick = made.sheet.thickness_mm
    assert all(polygon.is_valid for polygon in (*ribs, *uprights))
    met = 0
    for (x, carried), upright in zip(made.uprights, uprights, strict=True):
        for number, (rib, shape) in enumerate(zip(made.ribs, ribs, strict=True)):
            # What both fill where the two sheets cross: spans along the depth.
            across = box(x - thick / 2, -1e4, x + thick / 2, 1e4)
            level = box(-1e4, rib.low_mm, 1e4, rib.low_mm + thick)
            of_rib = shape.intersection(across)
            of_upright = upright.intersection(level)
            if number not in carried:
                assert (
                    of_rib.is_empty
                    or of_upright.is_empty
                    or (_shared(of_rib.bounds[1::2], of_upright.bounds[0::2]) <= 0)
                )
                continue
            met += 1
            assert of_rib.geom_type == of_upright.geom_type == "Polygon"
            low, high = of_rib.bounds[1], of_rib.bounds[3]
            near, far = of_upright.bounds[0], of_upright.bounds[2]
            assert far <= low + EXACT  # the upright ends where the rib goes on
            assert low - far <= PLAY_MM
            assert far - near >= 2
            assert high - low >= 3
    assert met >= 2 * len(made.uprights)
    assert {n for _, carried in made.uprights for n in carried} == set(range(len(made.ribs)))


def _shared(one, other):
    return min(one[1], other[1]) - max(one[0], other[0])


@pytest.mark.parametrize("kind", KINDS)
def test_round_edges_lie_on_the_inner_face_and_never_proud(kind):
    bend = curve(**KINDS[kind])
    made, ribs, _ = flat_polygons(bend)
    fall = tan(radians(bend.slope_deg))
    for rib, shape in zip(made.ribs, ribs, strict=True):
        reach = max(
            hypot(*spot) for spot in shape.exterior.coords[:-1] if spot[1] > rib.back_mm + 1
        )
        at = [bend.inner_radius_mm - fall * z for z in (rib.low_mm, rib.low_mm + 2.0)]
        assert reach == pytest.approx(min(at), abs=1e-3)


@pytest.mark.parametrize("kind", KINDS)
def test_uprights_stay_behind_the_face(kind):
    bend = curve(**KINDS[kind])
    made, _, uprights = flat_polygons(bend)
    fall = tan(radians(bend.slope_deg))
    for (x, _), upright in zip(made.uprights, uprights, strict=True):
        for y, z in upright.exterior.coords:
            assert hypot(abs(x) + 1.0, y) <= bend.inner_radius_mm - fall * z + EXACT or y < 0
            if bend.angle_deg == 360:
                assert hypot(abs(x) + 1.0, y) <= bend.inner_radius_mm - fall * z + EXACT


def test_bay_has_one_rib_to_every_thirty_millimetres_and_uprights_to_its_height():
    made = pieces(curve(**KINDS["bay"]))
    (rib,) = [piece for piece in made if "rib" in piece.name]
    # 95 mm in steps of at most 30 mm: 5 ribs.
    assert rib.count == 5 == -(-95 // RIB_STEP_MM) + 1
    assert "rib 1 to 5" in rib.name
    assert "140 mm" in rib.notes[0]
    uprights = [piece for piece in made if "upright" in piece.name]
    assert all(
        measure.size_mm(piece.outline.corners)[1] == pytest.approx(95, abs=EXACT)
        for piece in uprights
    )
    arc = next(p for p in outline.pieces(rib.outline.corners) if not p.is_straight)
    assert arc.radius_mm == pytest.approx(140, abs=1e-6)
    # Past the ends of the wall: 3 mm of round edge each.
    assert arc.radius_mm * arc.sweep_rad == pytest.approx(140 * radians(120) + 6, abs=1e-6)


def test_ribs_of_a_cone_each_have_their_own_radius():
    ribs = [piece for piece in pieces(curve(**KINDS["hood"])) if "rib" in piece.name]
    assert [piece.count for piece in ribs] == [1] * len(ribs)
    assert len({piece.notes for piece in ribs}) == len(ribs)


def test_no_former_without_a_sheet_for_it_or_from_one_too_thick():
    flat = curve(radius=140, angle=120, height=5, thick=2.0)
    assert former_of(flat) is None
    assert pieces(flat) == ()
