"""Flanges of folded boxes: folded up they lie on the panel, and nothing lies on them."""

import numpy as np
import pytest
import shapely

from cutting import samples as s
from cutting.test_folded_box import POLYGONS, at, fold_up, frame, into_box
from lamphouse.cutting.baffle_joints import NO_BAFFLES
from lamphouse.cutting.box_development import develop_box
from lamphouse.cutting.flange import FLANGE_MM
from lamphouse.cutting.folded_box import flange_plans, folded_foot, folded_pieces
from lamphouse.design.lightbox import Build, Flange, Lid
from lamphouse.record import replace
from lamphouse.shapes import measure, outline
from tolerances import EXACT

SIDES = [Flange.OUTSIDE, Flange.INSIDE]


def plane(corners):
    return shapely.Polygon([(x, y) for x, y, _ in corners])


@pytest.mark.parametrize("flange", SIDES)
@pytest.mark.parametrize("lid", Lid)
@pytest.mark.parametrize("thickness", [0.3, 0.8])
@pytest.mark.parametrize("inside", POLYGONS.values(), ids=POLYGONS)
def test_folded_up_each_flange_lies_on_the_panel(inside, thickness, lid, flange):
    held = frame(inside, thickness=thickness, lid=lid, flange=flange)
    made = develop_box(held)
    assert (made.meets, made.flangeless) == ((), ())
    assert len(made.strips) == len(held.spots)
    maps, place = fold_up(made, thickness), into_box(made, held.spots)
    # The face glued to the panel: the seen one of a strip folded back, the other of one folded in.
    half = thickness / 2 if flange is Flange.OUTSIDE else -thickness / 2
    ring = shapely.Polygon(held.spots)
    plans = []
    for strip in made.strips:
        number = next(n for n, one in enumerate(made.facets)
                      if one.name == f"flange {strip.wall + 1}")  # fmt: skip
        flat = made.facets[number].corners
        spots = [place(at(maps, number, x, y, half), thickness) for x, y, _ in flat]
        assert [z for _, _, z in spots] == pytest.approx([held.wall_mm] * 4, abs=EXACT)
        plan = shapely.Polygon([spot[:2] for spot in spots])
        assert plan.symmetric_difference(plane(strip.plan)).area < 1e-9
        plans.append(plan)
        if flange is Flange.INSIDE:
            assert plan.difference(ring).area < 1e-9
        else:
            assert plan.intersection(ring).area < 1e-9
    for number, one in enumerate(plans):
        assert all(one.intersection(other).area < 1e-9 for other in plans[:number])
    # No wall and no flap stands higher than a flange's underside lets it.
    for number, facet in enumerate(made.facets):
        if not facet.name.startswith("flange"):
            top = max(place(at(maps, number, x, y), thickness)[2] for x, y, _ in facet.corners)
            assert top <= held.wall_mm - thickness + EXACT


@pytest.mark.parametrize("flange", SIDES)
def test_the_flat_piece_is_whole_and_says_how_to_glue(flange):
    held = frame(flange=flange)
    (piece,), found = folded_pieces(held, baffling=NO_BAFFLES)
    assert found == ()
    bare, _ = folded_pieces(replace(held, box=replace(held.box, flange=Flange.NONE)),
                            baffling=NO_BAFFLES)  # fmt: skip
    # Every flange adds its strip and its fold, less the thickness its wall is lower by.
    assert len(piece.folds) == len(bare[0].folds) + 4
    assert measure.size_mm(piece.outline.corners)[1] == pytest.approx(
        measure.size_mm(bare[0].outline.corners)[1] + FLANGE_MM + (np.pi / 4 - 1) * 0.5, abs=1e-6
    )
    assert any("glue" in note and "panel" in note for note in piece.notes)


def lacking(box, *, panel=None, strands=(), others=()):
    cut = s.cut(panel or s.panel(), boxes=[box, *others], strands=strands)
    return [one.message for one in cut.findings if one.code == "CUT081"]


def card(inside=None, *, flange=Flange.OUTSIDE, **more):
    return s.box(inside, build=Build.FOLDED, thickness_mm=0.5, depth_mm=12.0, flange=flange, **more)


def test_a_flange_keeps_within_the_panel_clear_of_openings_strands_and_boxes():
    assert lacking(card()) == []
    # The panel is 60 wide; the wall's outside lies 1.5 mm from its edge.
    (said,) = lacking(card(s.box_shape(20, 16, x=12, y=20)))
    assert "wall 4 of box 'box' has no room" in said
    strand = s.strand("S", 30, 10.5)
    (said,) = lacking(card(), strands=[strand])
    assert "wall 1 of" in said
    beside = s.box(s.box_shape(10, 16, x=47, y=20), name="beside")
    (said,) = lacking(card(), others=[beside])
    assert "wall 2 of" in said
    window = s.opening("window", s.box_shape(18, 8, x=30, y=20))
    (said,) = lacking(card(flange=Flange.INSIDE), panel=s.panel(window))
    assert "walls 2, 4 of" in said
    assert lacking(card(flange=Flange.OUTSIDE), panel=s.panel(window)) == []


def test_a_narrower_flange_is_taken_where_the_wide_one_finds_no_room():
    held = frame(s.box_shape(20, 16, x=13.5, y=20), flange=Flange.OUTSIDE)
    edge = s.box_shape(60, 40, x=30, y=20)
    made = develop_box(replace(held, panel_edge=edge))
    assert made.flangeless == ()
    wide = {strip.wall: strip.wide_mm for strip in made.strips}
    assert wide == {0: 5.0, 1: 5.0, 2: 5.0, 3: 3.0}
    held = replace(held, panel_edge=edge)
    foot = plane(folded_foot(held, flanges=flange_plans(held)))
    assert foot.area == pytest.approx(21 * 17 + sum(plane(one.plan).area for one in made.strips))


def test_inward_flanges_of_a_narrow_box_do_not_lie_on_one_another():
    held = frame(s.box_shape(30, 7, x=30, y=20), flange=Flange.INSIDE)
    plans = [plane(strip.plan) for strip in develop_box(held).strips]
    assert len(plans) >= 2
    assert sum(plan.area for plan in plans) == pytest.approx(shapely.union_all(plans).area)


def test_a_flange_on_a_box_that_is_not_folded_is_told():
    cut = s.cut(s.panel(), boxes=[s.box(flange=Flange.OUTSIDE)])
    assert "CUT082" in [one.code for one in cut.findings]


def test_walls_of_a_star_keep_their_flanges_apart():
    ell = outline.polygon([(10, 5), (50, 5), (50, 18), (30, 18), (30, 34), (10, 34)])
    for flange in SIDES:
        made = develop_box(frame(ell, flange=flange))
        plans = [plane(strip.plan) for strip in made.strips]
        assert sum(plan.area for plan in plans) == pytest.approx(shapely.union_all(plans).area)
