"""Templates of panels: what is cut, what is drilled, what stands behind."""

import pytest

from cutting import samples as s
from lamphouse.design.panel import Layer, LayerKind
from lamphouse.shapes import measure, outline
from tolerances import EXACT


def test_panel_keeps_its_plane_and_splits_drilled_from_cut():
    panel = s.panel(
        s.opening("window", outline.backwards(s.box_shape(12, 8, x=20, y=20))),
        s.opening("port", outline.circle(12, x_mm=45, y_mm=15)),
        s.opening("cable", outline.circle(3, x_mm=55, y_mm=33)),
    )
    (piece,) = s.cut(panel, strands=[s.strand("F1", 45, 30)]).pieces
    assert piece.name == "sample / plate"
    assert piece.outline == panel.outline
    assert piece.cutout_names == ("window", "port")
    assert all(measure.signed_area_mm2(cut.corners) > 0 for cut in piece.cutouts)
    assert [cut.diameter_mm for cut in piece.cutouts] == [None, 12]
    assert [(hole.purpose, hole.x_mm, hole.y_mm) for hole in piece.holes] == [
        ("cable", 55, 33),
        ("F1", 45, 30),
    ]


def test_boxes_and_leds_stand_behind_with_their_walls():
    box = s.box(leds=(s.led("A", 30, 20, turn_deg=90), s.led("D", 34, 24, kind="red 3 mm")))
    (piece,) = s.cut(s.panel(), boxes=[box]).pieces
    shown = {edge.words: edge.corners for edge in piece.behind}
    assert measure.bounds_mm(shown["box box"]) == pytest.approx((19, 11, 41, 29), abs=EXACT)
    # A 0603 is 1.6 x 0.8 mm; turned by 90 degrees it stands upright.
    assert measure.size_mm(shown["LED A"]) == pytest.approx((0.8, 1.6), abs=EXACT)
    assert outline.circle_of(shown["LED D"]) is not None


def test_layers_are_listed_from_lamp_to_eye():
    layers = (
        Layer(kind=LayerKind.DIFFUSER, film=s.film()),
        Layer(kind=LayerKind.PRINT, film=s.film(), count=2),
    )
    panel = s.panel(s.opening("screen", s.box_shape(12, 8, x=20, y=20), layers=layers))
    (piece,) = s.cut(panel).pieces
    assert piece.notes == ("behind screen, lamp to eye: opal, 2 x opal",)
