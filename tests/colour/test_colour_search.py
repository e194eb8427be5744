"""The nearest colour that can be made: known answers, edges, and none better on a fine grid."""

import numpy as np
import pytest

from lamphouse.colour.colour_cube import grid, read_at
from lamphouse.colour.colour_search import nearest
from lamphouse.colour.difference import difference
from lamphouse.colour.inks import INKJET, LASER
from lamphouse.colour.printer import KNOWN, driver, intended, paper_lab, searched
from tolerances import PHYSICS

RANDOM = np.random.default_rng(3)


def bent(shares):
    """Give a colour model with a known inverse."""
    lightness = 100.0 * shares[:, 0] ** 0.8
    return np.stack(
        [lightness, 80.0 * (shares[:, 1] ** 2 - 0.4), 90.0 * (shares[:, 2] - 0.5)], axis=1
    )


def test_colours_that_can_be_made_are_found():
    shares = 0.05 + 0.9 * RANDOM.random((200, 3))
    assert nearest(bent, bent(shares)) == pytest.approx(shares, abs=1e-3)


def test_colours_out_of_reach_end_at_the_edge():
    wanted = np.array([[50.0, 0.0, 500.0], [50.0, 0.0, -500.0], [300.0, 0.0, 0.0]])
    found = nearest(bent, wanted)
    assert found.min() >= 0.0
    assert found.max() <= 1.0
    assert found[:, [2, 2, 0]].diagonal() == pytest.approx([1.0, 0.0, 1.0], abs=1e-6)


def test_a_pull_decides_where_the_model_does_not():
    def flat(shares):
        return bent(shares * np.array([1.0, 1.0, 0.0]))

    home = np.full((5, 3), 0.3)
    found = nearest(flat, flat(home), pull=1.0, towards=home)
    assert found == pytest.approx(home, abs=1e-3)


@pytest.mark.parametrize("inks", [INKJET, LASER], ids=lambda inks: inks.name)
def test_no_ink_on_a_fine_grid_is_nearer_than_what_the_printer_lays_down(inks):
    # The search against trying 33 x 33 x 33 amounts, for colours in and out of the inks' reach.
    tried = paper_lab(grid(33), inks=inks)
    wanted = intended(RANDOM.random((60, 3)), black=0.024)
    found = nearest(lambda inking: paper_lab(inking, inks=inks), wanted)
    ours = difference(paper_lab(found, inks=inks), wanted)
    best = np.array([difference(tried, one).min() for one in wanted])
    # out of reach the search weighs lightness by half, which CIEDE2000 does not
    assert np.mean(ours <= best + 0.5) > 0.6
    assert (ours - best).max() < 8.0
    in_reach = best < 1.5
    assert in_reach.sum() > 10
    assert (ours[in_reach] < best[in_reach] + 0.3).all()


@pytest.mark.parametrize("inks", KNOWN, ids=lambda inks: inks.name)
def test_what_is_kept_of_a_printer_is_what_the_search_finds(inks):
    # The kept file saves a check the search; stale, it would hold other amounts of ink.
    assert driver(inks).values == pytest.approx(searched(inks).values, abs=PHYSICS)


@pytest.mark.parametrize("inks", [INKJET, LASER], ids=lambda inks: inks.name)
def test_the_printer_is_right_on_paper_where_the_inks_reach(inks):
    # sRGB greys and muted colours, and what sRGB's own definition makes of them.
    muted = 0.25 + 0.5 * RANDOM.random((100, 3))
    laid = read_at(driver(inks), muted)
    off = difference(paper_lab(laid, inks=inks), intended(muted, black=0.024))
    assert np.median(off) < 1.5
    greys = np.repeat(np.linspace(0.0, 1.0, 12)[:, None], 3, axis=1)
    seen = paper_lab(read_at(driver(inks), greys), inks=inks)
    assert np.abs(seen[:, 1:]).max() < 3.0
    assert (np.diff(seen[:, 0]) > 0.0).all()
