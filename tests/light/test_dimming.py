"""What a gel before an opening comes to, of many alike solved once."""

import pytest

from lamphouse.light import dimming
from lamphouse.light.box_scene import draw_box
from lamphouse.light.cover import area_of, ring_of
from lamphouse.light.scene import Disc
from lamphouse.light.solved_box import solve_box
from lamphouse.light.uprights import direction
from light.designs import film, led, light_box, opening, panel, round_outline, upright
from light.test_judging import look
from tolerances import EXACT

OPAL = film(0.6, 0.36)
PLACES = ((5.0, 5.0), (15.0, 10.0), (25.0, 16.0))
DARK = look(1.0, 60.0)


@pytest.fixture
def solved():
    """Solve a box with three holes alike and a wider one."""
    holes = [
        opening(f"hole {number}", round_outline(1.5, x_mm=x, y_mm=y), OPAL, look="lit")
        for number, (x, y) in enumerate(PLACES)
    ]
    wide = opening("wide", round_outline(3.0, x_mm=25.0, y_mm=5.0), OPAL, look="lit")
    box = light_box(upright(0, 0, 30, 20), led("A", 8.0, 10.0), led("B", 22.0, 10.0), depth_mm=10.0)
    drawn = draw_box(panel(*holes, wide), box=box, currents={}, beside=())
    return solve_box(drawn, currents=(), looks=(DARK,), room=None, without=frozenset())


def test_openings_alike_take_the_share_that_one_of_them_was_solved_with(solved, monkeypatch):
    calls = []
    real = dimming.solve_box
    monkeypatch.setattr(
        dimming, "solve_box", lambda *args, **options: calls.append(args) or real(*args, **options)
    )
    together = {}
    found = [
        dimming.denser(solved, sight=sight, factor=0.01, tried=together) for sight in solved.sights
    ]
    kinds = {(gel, shape) for gel, _, shape in together}
    assert len({shape for _, shape in kinds}) == 2
    assert len(calls) == len(together) == len(kinds)
    for sight, words in zip(solved.sights, found, strict=True):
        alone = {}
        assert (dimming.denser(solved, sight=sight, factor=0.01, tried=alone) is None) == (
            words is None
        )
        for kind, share in alone.items():
            assert together[kind] == pytest.approx(share, rel=0.005)


def test_the_area_of_a_disc_is_that_of_its_ring():
    disc = Disc(x_mm=3.0, y_mm=4.0, diameter_mm=1.7)
    assert area_of(disc) == pytest.approx(direction(ring_of(disc)) / 2.0, rel=EXACT)
