"""Walls as foot lines: each keeps its paint, whichever way its outline is drawn."""

import pytest

from lamphouse.light import glow
from lamphouse.light.scene import Aperture
from lamphouse.light.uprights import segments
from lamphouse.light.verify import Effort, verify
from light.boxes import OPAL, lamp, plain_box, rectangle
from tolerances import SINGLE

RING = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
PAINTS = (0.9, 0.1, 0.5, 0.3)
"""Of the walls below, to the right, above and to the left."""

PILLAR = ((17.0, 7.0), (21.0, 7.0), (21.0, 13.0), (17.0, 13.0))

WALKS = 0.01
"""Twice the error asked of the walks, and what glow and walks may differ by in a lit opening."""


def turned(ring, paints):
    """The same ring drawn the other way round: its last edge but one comes first."""
    return ring[::-1], (*paints[-2::-1], paints[-1])


@pytest.mark.parametrize(("ring", "paints"), [(RING, PAINTS), turned(RING, PAINTS)])
def test_each_wall_of_an_outline_has_its_own_paint(ring, paints):
    walls = segments(plain_box(outline=ring, wall_reflectances=paints))
    found = {wall.start_mm: (wall.end_mm, wall.reflectance) for wall in walls}
    assert found == {
        start: (end, paint)
        for start, end, paint in zip(RING, (*RING[1:], RING[0]), PAINTS, strict=True)
    }


def test_a_box_glows_alike_whichever_way_it_is_drawn():
    ring, paints = turned(RING, PAINTS)
    one, two = (
        glow.solve(plain_box(outline=ring, wall_reflectances=paints)).looks[0]
        for ring, paints in ((RING, PAINTS), (ring, paints))
    )
    assert two.luminance_cd_m2 == pytest.approx(one.luminance_cd_m2, rel=SINGLE)


@pytest.mark.parametrize("way", [1, -1])
def test_a_pillar_throws_back_what_walks_say(way):
    """Black towards the lamp and white behind, or the other way round."""
    box = plain_box(
        outline=RING,
        holes=(PILLAR[::way],),
        wall_reflectances=(*(0.3,) * 4, 0.0, 0.3, 0.95, 0.3),
        lamps=(lamp(19.0, 2.0, 2.0, direction=(0.0, 1.0, 0.0)),),
        apertures=(Aperture(name="A", shape=rectangle(13.0, 1.0, 25.0, 6.5), fill=OPAL),),
    )
    effort = Effort(relative_error=WALKS / 2.0, most_walks=400_000)
    walked = verify(box, seed=1, effort=effort).openings[0].mean_cd_m2
    assert glow.solve(box).looks[0].mean_cd_m2 == pytest.approx(walked, rel=WALKS)
