"""Equal boxes are solved once, and each gets what it would get alone."""

import numpy as np
import pytest

from lamphouse.light import equal_boxes, glow
from lamphouse.light.equal_boxes import at_datum, solve_alike
from lamphouse.light.scene import Aperture, Baffle, Disc, Patch, Port
from lamphouse.record import replace
from light.boxes import OPAL, lamp, plain_box, rectangle
from tolerances import EXACT, SINGLE


def moved(box, right, up, *, name):
    """The same box elsewhere, with names of its own: written out, not by what is tested."""

    def spot(at):
        return at[0] + right, at[1] + up

    def shape(one):
        return rectangle(
            one.left_mm + right, one.bottom_mm + up, one.right_mm + right, one.top_mm + up
        )

    return replace(
        box,
        outline=tuple(spot(at) for at in box.outline),
        lamps=tuple(
            replace(one, x_mm=one.x_mm + right, y_mm=one.y_mm + up, name=f"{name} {one.name}")
            for one in box.lamps
        ),
        apertures=tuple(
            replace(one, name=f"{name} {one.name}", shape=shape(one.shape)) for one in box.apertures
        ),
    )


@pytest.fixture(autouse=True)
def forgotten():
    equal_boxes._solved.cache_clear()


def test_a_box_elsewhere_is_solved_once_and_keeps_its_names():
    box = plain_box()
    alone = glow.solve(box)
    for number in range(5):  # steps of 29.3 mm, which no binary fraction holds
        made = solve_alike(moved(box, 29.3 * number, 0.7 * number, name=f"box {number}"))
        (look,) = made.looks
        assert look.name == f"box {number} A"
        np.testing.assert_allclose(
            look.luminance_cd_m2, alone.looks[0].luminance_cd_m2, rtol=SINGLE
        )
        assert made.energy.missing == pytest.approx(alone.energy.missing, abs=SINGLE)
    assert equal_boxes._solved.cache_info().misses == 1


@pytest.mark.parametrize(
    "change",
    [
        {"depth_mm": 9.0},
        {"back_reflectance": 0.8},
        {"lamps": (lamp(12.0, 9.001, 0.6),)},
        {"lamps": (lamp(12.0, 9.0, 0.6, flux=1.1),)},
        {"apertures": (Aperture(name="A", shape=rectangle(3, 3, 27, 16.9), fill=OPAL),)},
        {
            "baffles": (
                Baffle(start_mm=(5, 0), end_mm=(5, 9), low_mm=0, high_mm=4, reflectance=0.8),
            )
        },
    ],
)
def test_a_box_that_differs_is_not_taken_for_the_same(change):
    assert at_datum(plain_box(**change)) != at_datum(plain_box())
    solve_alike(plain_box())
    solve_alike(plain_box(**change))
    assert equal_boxes._solved.cache_info().misses == 2


def test_everything_of_a_box_moves_with_it():
    ring = ((1.0, 1.0), (3.0, 1.0), (2.0, 3.0))
    box = plain_box(
        outline=((10.0, 5.0), (40.0, 5.0), (40.0, 25.0), (10.0, 25.0)),
        holes=(((20.0, 10.0), (22.0, 10.0), (22.0, 12.0)),),
        apertures=(
            Aperture(
                name="B",
                shape=Disc(x_mm=25.0, y_mm=15.0, diameter_mm=8.0),
                fill=None,
                shown=(Patch(ring=ring),),
            ),
        ),
        ports=(
            Port(start_mm=(10.0, 9.0), end_mm=(10.0, 14.0), low_mm=1, high_mm=4, reflectance=0),
        ),
    )
    made = at_datum(box)
    assert made.outline[0] == (0.0, 0.0)
    assert made.holes[0][0] == (10.0, 5.0)
    assert (made.ports[0].start_mm, made.ports[0].end_mm) == ((0.0, 4.0), (0.0, 9.0))
    (opening,) = made.apertures
    assert (opening.shape.x_mm, opening.shape.y_mm) == (15.0, 10.0)
    assert opening.shown[0].ring[2] == pytest.approx((-8.0, -2.0), abs=EXACT)


def test_what_is_kept_cannot_be_changed_by_one_who_got_it():
    look = solve_alike(plain_box()).looks[0]
    with pytest.raises(ValueError, match="read-only"):
        look.luminance_cd_m2[0] = 0.0
