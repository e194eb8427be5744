"""Openings under overlays: what is free counts, and only that."""

import numpy as np
import pytest

from lamphouse.light import glow
from lamphouse.light.box_scene import draw_box
from lamphouse.light.judging import judge_box
from lamphouse.light.opening_spots import area_mm2 as cell_area
from lamphouse.light.opening_spots import spot_cells
from lamphouse.light.scene import Disc, Rectangle
from lamphouse.record import replace
from light.boxes import plain_box, rectangle
from light.designs import film, led, light_box, opening, panel, round_outline, upright
from tolerances import EXACT, PHYSICS

OPAL = film(0.6, 0.36)
WINDOW = upright(3, 3, 27, 17)


def lid(name, outline, *cutouts):
    return replace(panel(*cutouts), name=name, outline=outline)


def under(*overlays):
    return replace(panel(opening("A", WINDOW, OPAL)), overlays=overlays)


def box():
    return light_box(upright(0, 0, 30, 20), led("A", 8.0, 10.0), led("B", 22.0, 10.0), depth_mm=8.0)


def judged(top):
    return judge_box(top, box=box(), sub_assembly="desk", currents=(), looks=(), room=None)


def seen(*parts):
    whole = plain_box()
    (aperture,) = whole.apertures
    changed = replace(whole, apertures=(replace(aperture, shown=parts),))
    return glow.solve(changed).looks[0]


def test_the_left_half_of_an_opening_glows_as_it_does_in_the_whole():
    # Columns 1 to 4 of the whole are pairs of the half's eight.
    whole = glow.solve(plain_box()).looks[0].luminance_cd_m2.reshape(6, 8)
    half = seen(rectangle(3, 3, 15, 17)).luminance_cd_m2.reshape(6, 4, 2).mean(axis=2)
    assert half == pytest.approx(whole[:, :4], rel=2 * PHYSICS)


def test_two_halves_make_the_whole():
    whole = glow.solve(plain_box()).looks[0]
    both = seen(rectangle(3, 3, 15, 17), rectangle(15, 3, 27, 17))
    assert both.area_mm2.sum() == pytest.approx(24 * 14, abs=EXACT)
    assert both.mean_cd_m2 == pytest.approx(whole.mean_cd_m2, rel=PHYSICS)
    assert both.flux_lm == pytest.approx(whole.flux_lm, rel=PHYSICS)


def test_the_walks_look_at_the_same_parts():
    parts = (rectangle(3, 3, 9, 17), Disc(x_mm=20.0, y_mm=10.0, diameter_mm=6.0))
    (aperture,) = plain_box().apertures
    cells = spot_cells(replace(aperture, shown=parts), small_mm=0.0)
    look = seen(*parts)
    assert [cell_area(cell) for cell in cells] == pytest.approx(look.area_mm2, rel=PHYSICS)


def test_a_bezel_leaves_what_its_cutout_leaves():
    bezel = lid("bezel", upright(-5, -5, 40, 30), opening("pane", upright(3, 3, 15, 17)))
    drawn = draw_box(under(bezel), box=box(), currents={})
    assert drawn.scene.apertures[0].shown == (rectangle(3, 3, 15, 17),)
    assert drawn.scene.apertures[0].shape == rectangle(3, 3, 27, 17)
    glowing, found = judged(under(bezel))
    assert found == ()
    (one,) = glowing.openings
    (row,) = one.cells_cd_m2
    assert len(row) == 48


def test_evenness_is_that_of_what_is_seen():
    middle = lid("bezel", upright(-5, -5, 40, 30), opening("pane", upright(11, 7, 19, 13)))
    whole, part = (judged(top)[0].openings[0] for top in (under(), under(middle)))
    assert part.evenness > whole.evenness
    cells = np.array(part.cells_cd_m2)
    assert part.evenness == pytest.approx(cells.min() / cells.mean(), rel=EXACT)


def test_bars_divide_an_opening_into_panes():
    bar = lid("bar", upright(14, -5, 16, 30))
    drawn = draw_box(under(bar), box=box(), currents={})
    assert drawn.scene.apertures[0].shown == (rectangle(3, 3, 14, 17), rectangle(16, 3, 27, 17))


def test_a_round_cutout_is_a_disc():
    hole = opening("pane", round_outline(8.0, x_mm=15.0, y_mm=10.0))
    drawn = draw_box(under(lid("bezel", upright(-5, -5, 40, 30), hole)), box=box(), currents={})
    (disc,) = drawn.scene.apertures[0].shown
    assert isinstance(disc, Disc)
    assert disc.diameter_mm == pytest.approx(8.0, abs=EXACT)


def test_an_overlay_beside_an_opening_changes_nothing():
    aside = lid("plate", upright(40, 0, 50, 20))
    assert judged(under(aside))[0].openings == judged(under())[0].openings
    assert isinstance(draw_box(under(aside), box=box(), currents={}).scene.apertures[0].shape,
                      Rectangle)  # fmt: skip


def test_a_covered_opening_has_no_figure_and_is_told():
    glowing, found = judged(under(lid("lid", upright(-5, -5, 40, 30))))
    assert glowing.openings == ()
    assert [finding.code for finding in found] == ["LIT033"]
    assert "24 mm x 14 mm at [15 mm, 10 mm]" in found[0].remedy
