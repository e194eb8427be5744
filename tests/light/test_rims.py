"""The panel cut along the rims of openings: exact for rectangles, whatever the mesh."""

import numpy as np
import pytest

from lamphouse.light.interior import make_interior
from lamphouse.light.pieces import level_pieces
from lamphouse.light.rims import rimmed
from lamphouse.light.scene import Aperture, Disc
from lamphouse.light.turning import LEVEL
from lamphouse.light.uprights import ring_area_centre
from light.boxes import OPAL, plain_box, rectangle
from tolerances import EXACT

CELL = np.array([[[0.0, 0.0], [10.0, 0.0], [10.0, 8.0], [0.0, 8.0]]])


def cut(aperture):
    box = plain_box(apertures=(aperture,), panel_reflectance=0.8)
    panel = level_pieces(CELL, height_mm=8.0, up=False, face=np.array([0]))
    before = panel.corner_mm.copy()
    made = rimmed(panel, box=box, way=LEVEL)
    assert (panel.corner_mm == before).all()
    return made, ring_area_centre(made.corner_mm[..., :2])[0]


@pytest.mark.parametrize(
    "rim", [(2.3, 1.1, 7.7, 6.4), (-5.0, 3.0, 5.0, 20.0), (4.0, -1.0, 6.0, 9.0), (2.0, 2.0, 50, 50)]
)
def test_what_a_rectangle_covers_is_told_from_what_it_leaves(rim):
    made, area = cut(Aperture(name="A", shape=rectangle(*rim), fill=OPAL))
    assert {round(float(one), 9) for one in made.weight} == {0.8, OPAL.reflectance}
    covered = (min(rim[2], 10.0) - max(rim[0], 0.0)) * (min(rim[3], 8.0) - max(rim[1], 0.0))
    assert area.sum() == pytest.approx(80.0, rel=EXACT)
    assert area[made.weight < 0.5].sum() == pytest.approx(covered, rel=EXACT)


def test_a_round_rim_is_cut_finely_and_weighed_by_what_it_covers():
    made, area = cut(Aperture(name="A", shape=Disc(x_mm=5, y_mm=4, diameter_mm=6), fill=OPAL))
    assert len(area) == 16
    kept = (0.8 - made.weight) @ area / (0.8 - OPAL.reflectance)
    assert kept == pytest.approx(np.pi * 9.0, rel=1e-4)  # the circle as chords


def test_no_piece_of_a_box_with_rectangles_is_crossed():
    inside = make_interior(plain_box())
    ceiling = inside.onto[-1].pieces
    cells = inside.cavities[-1].cell_count
    panel = (ceiling.face >= cells) & (ceiling.face < 2 * cells)
    assert len(np.unique(ceiling.weight[panel].round(9))) == 2
