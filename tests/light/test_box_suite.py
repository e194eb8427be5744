"""Boxes that share openings, from the maker's drawing to figures and findings."""

from math import cos, dist, radians, sin

import pytest

from lamphouse.design.lightbox import Passage
from lamphouse.light.box_scene import draw_box
from lamphouse.light.box_suite import connected, suite_of
from lamphouse.light.judging import judge_box
from lamphouse.light.shared_walls import Fit, Flaw, Misfit, fitted, look_at_passages
from lamphouse.light.sound_suite import faults, solve
from lamphouse.record import replace
from light.designs import film, led, light_box, opening, outline, panel, upright, where
from tolerances import EXACT

OPAL = film(0.6, 0.3, name="opal")
CLEAR = film(0.92, 0.08, name="clear", use="gel")


def passage(*, start=(30.0, 6.0), end=(30.0, 14.0), low=2.0, high=6.0, closed=None, into="bay"):
    return Passage(
        name="slot",
        where=where("box / slot"),
        into=into,
        start_mm=start,
        end_mm=end,
        low_mm=low,
        high_mm=high,
        film=closed,
    )


def lit_box(*passages, **changes):
    box = light_box(upright(0.0, 0.0, 30.0, 20.0), led("W1", 12.0, 9.0), **changes)
    return replace(box, passages=passages)


def bay(left=32.0, *, depth_mm=8.0, name="bay"):
    box = light_box(upright(left, 0.0, left + 16.0, 20.0), depth_mm=depth_mm)
    return replace(box, name=name, where=where(name))


PANEL = panel(
    opening("screen", upright(3.0, 3.0, 27.0, 17.0), OPAL),
    opening("beside", upright(35.0, 3.0, 45.0, 17.0), OPAL),
)


def judged(box, *beside):
    return judge_box(
        PANEL, box=box, sub_assembly="desk", currents=(), looks=(), room=None, beside=beside
    )


def mean_of(box, *beside):
    drawn = draw_box(PANEL, box=box, currents={}, beside=beside)
    assert faults(drawn) == ()
    return solve(drawn).looks[0].mean_cd_m2


def test_a_passage_is_a_hole_as_long_as_the_wall_is_thick():
    fit = fitted(passage(), box=lit_box(), other=bay())
    assert isinstance(fit, Fit)
    assert fit.near_mm == ((30.0, 6.0), (30.0, 14.0))
    assert fit.far_mm == ((32.0, 6.0), (32.0, 14.0))
    assert fit.gap_mm == pytest.approx(2.0, abs=EXACT)


def test_the_drawing_turned_in_the_plane_makes_the_same_hole():
    turn = radians(33.0)

    def turned(spot):
        x, y = spot[:2]
        return (x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn))

    def whole(box):
        corners = tuple((*turned(corner), 0.0) for corner in box.inside.corners)
        return replace(box, inside=outline(corners))

    slot = passage(start=turned((30.0, 6.0)), end=turned((30.0, 14.0)))
    fit = fitted(slot, box=whole(lit_box()), other=whole(bay()))
    assert isinstance(fit, Fit)
    assert fit.gap_mm == pytest.approx(2.0, abs=1e-6)
    assert dist(*fit.far_mm) == pytest.approx(8.0, abs=1e-6)


@pytest.mark.parametrize(
    ("given", "other", "flaw"),
    [
        (passage(start=(28.0, 6.0), end=(28.0, 14.0)), bay(), Flaw.OFF_WALL),
        (passage(start=(30.0, 6.0), end=(25.0, 14.0)), bay(), Flaw.OFF_WALL),
        (passage(), bay(36.0), Flaw.APART),
        (passage(), bay(29.0), Flaw.APART),
        (passage(start=(12.0, 20.0), end=(18.0, 20.0)), bay(), Flaw.APART),
        (passage(start=(30.0, 14.0), end=(30.0, 23.0)), bay(), Flaw.PAST_END),
        (passage(start=(30.0, 6.0), end=(30.0, 6.2)), bay(), Flaw.PAST_END),
        (passage(high=9.0), bay(), Flaw.HEIGHT),
        (passage(low=2.0), bay(depth_mm=5.0), Flaw.HEIGHT),
        (passage(low=4.0, high=4.2), bay(), Flaw.HEIGHT),
        (passage(low=7.0, high=3.0), bay(), Flaw.HEIGHT),
        (passage(closed=CLEAR), bay(), Flaw.CLEAR),
    ],
)
def test_what_does_not_fit_is_told(given, other, flaw):
    fits, misfits = look_at_passages(lit_box(given), beside=(other,))
    assert fits == ()
    assert [misfit.flaw for misfit in misfits] == [flaw]
    glow, told = judged(lit_box(given), other)
    assert glow is None
    assert any(finding.where.item == "box / slot" and finding.remedy for finding in told)


def test_the_mend_of_a_gap_closes_it():
    misfit = fitted(passage(), box=lit_box(), other=bay(37.5))
    assert isinstance(misfit, Misfit)
    (dx, dy) = misfit.spots[0]
    assert (dx, dy) == pytest.approx((-5.5, 0.0), abs=EXACT)
    assert isinstance(fitted(passage(), box=lit_box(), other=bay(37.5 + dx)), Fit)


def test_the_mend_of_a_passage_off_its_wall_puts_it_there():
    misfit = fitted(passage(start=(28.0, 6.0), end=(28.5, 22.0)), box=lit_box(), other=bay())
    start, end = misfit.spots
    assert isinstance(fitted(passage(start=start, end=end), box=lit_box(), other=bay()), Fit)


def test_passages_over_one_another_are_told():
    twice = (passage(), replace(passage(start=(30.0, 10.0), end=(30.0, 18.0)), name="notch"))
    fits, misfits = look_at_passages(lit_box(*twice), beside=(bay(),))
    assert [fit.passage.name for fit in fits] == ["slot"]
    assert [misfit.flaw for misfit in misfits] == [Flaw.CROSSING]


def test_passages_named_from_both_sides_are_told_where_they_cross():
    back = passage(start=(32.0, 18.0), end=(32.0, 12.0), low=1.0, high=4.0, into="box")
    deep, shallow = lit_box(passage(low=4.0)), replace(bay(depth_mm=6.0), passages=(back,))
    for box, other in ((deep, shallow), (shallow, deep)):
        fits, misfits = look_at_passages(box, beside=(other,))
        assert fits == ()
        assert [misfit.flaw for misfit in misfits] == [Flaw.CROSSING]
    above = replace(back, low_mm=4.2, high_mm=5.0)
    fits, misfits = look_at_passages(deep, beside=(replace(shallow, passages=(above,)),))
    assert (len(fits), misfits) == (1, ())


def test_a_box_without_an_led_glows_by_its_neighbours():
    box = lit_box(passage())
    glow, told = judged(bay(), box)
    assert glow is not None
    assert [one.opening for one in glow.openings] == ["beside"]
    assert glow.openings[0].mean_cd_m2 > 0.0
    assert "LIT004" not in {finding.code for finding in told}
    alone, told = judged(bay())
    assert alone is None
    assert "LIT004" in {finding.code for finding in told}


def test_a_thicker_wall_passes_less():
    box = lit_box(passage())
    beside = [mean_of(bay(30.0 + gap), box) for gap in (0.0, 0.05, 1.0, 2.0)]
    assert beside == sorted(beside, reverse=True)
    # Walls that touch, and a wall of a twentieth of a millimetre, are solved in different ways.
    assert beside[1] == pytest.approx(beside[0], rel=0.01)


def test_who_names_the_passage_does_not_matter_while_it_is_open():
    back = passage(start=(32.0, 14.0), end=(32.0, 6.0), into="box")
    there = mean_of(bay(), lit_box(passage()))
    again = mean_of(replace(bay(), passages=(back,)), lit_box())
    assert again == pytest.approx(there, rel=1e-3)


def test_boxes_are_connected_through_one_another():
    first = lit_box(passage())
    second = replace(bay(), passages=(passage(start=(48.0, 6.0), end=(48.0, 14.0), into="third"),))
    third, fourth = bay(50.0, name="third"), bay(70.0, name="fourth")
    names = [box.name for box in connected(third, beside=(fourth, second, first))]
    assert names == ["bay", "box", "third"]
    assert connected(fourth, beside=(first, second, third)) == (fourth,)


def test_a_box_beside_one_that_cannot_be_solved_has_no_figures():
    shiny = replace(bay(), finish=replace(bay().finish, shine="shiny"))
    glow, told = judged(lit_box(passage()), shiny)
    assert glow is None
    assert any("'bay'" in finding.message for finding in told if finding.code == "LIT002")


def test_four_boxes_in_a_ring_that_does_not_close_are_refused():
    """Two touch within a hundredth, their neighbours exactly: they cannot all be drawn together."""

    def square(name, left, bottom, *passages):
        box = light_box(
            upright(left, bottom, left + 20.0, bottom + 20.0), led(name, left + 9, bottom + 9)
        )
        return replace(box, name=name, where=where(name), passages=passages)

    low = square(
        "a",
        0.0,
        0.0,
        passage(start=(20.0, 6.0), end=(20.0, 14.0), into="b"),
        replace(passage(start=(6.0, 20.0), end=(14.0, 20.0), into="c"), name="up"),
    )
    right = square("b", 20.01, 0.0, passage(start=(26.0, 20.0), end=(34.0, 20.0), into="d"))
    top = square("c", 0.0, 20.0, passage(start=(20.0, 26.0), end=(20.0, 34.0), into="d"))
    last = square("d", 20.0, 20.0)
    drawn = draw_box(PANEL, box=low, currents={}, beside=(right, top, last))
    assert drawn.suite is None
    assert [fault.kind for fault in faults(drawn)] == ["boxes in a ring"]


def test_the_suite_keeps_the_order_of_its_boxes():
    boxes = connected(bay(), beside=(lit_box(passage()),))
    drawn = {box.name: draw_box(PANEL, box=box, currents={}).scene for box in boxes}
    suite = suite_of(boxes, drawn=lambda box: drawn[box.name])
    assert suite is not None
    assert suite.boxes[:2] == tuple(drawn[box.name] for box in boxes)
    assert len(suite.boxes) == 3
    assert suite.boxes[2].depth_mm == pytest.approx(4.0)
