"""LEDs on walls beside baffles: which are told, and that what is offered mends it."""

import re
from math import cos, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.cutting.led_rules import led_overlap
from lamphouse.cutting.seats import baffle_foot, led_span
from lamphouse.cutting.wall_leds import body_on_wall
from lamphouse.design.lightbox import Seat
from lamphouse.record import replace
from lamphouse.shapes.spacing import gap_mm
from tolerances import EXACT

RING = ((20, 12), (40, 12), (40, 28), (20, 28))
"""The inside of the boxes here, 10 mm deep."""


def on_wall(x, y, **more):
    return s.led("A", x, y, seat=Seat.WALL, **{"height_mm": 3.0, **more})


def told(led, *baffles, **more):
    return led_overlap(s.box(leds=(led,), baffles=baffles, **more))


def mended(led, *baffles, **more):
    """Give the LED where the remedy puts it."""
    (finding,) = told(led, *baffles, **more)
    height = re.search(r"write height: ([\d.]+) mm", finding.remedy)
    if height:
        assert [(one.key, one.value) for one in finding.mend] == [("height", f"{height[1]} mm")]
        return replace(led, height_mm=float(height[1]))
    assert finding.mend == ()
    x = y = 0.0
    for far, way in re.findall(r"([\d.]+) mm (left|right|up|down)", finding.remedy):
        step = float(far) * (-1 if way in ("left", "down") else 1)
        x, y = (x + step, y) if way in ("left", "right") else (x, y + step)
    assert (x, y) != (0.0, 0.0)
    return replace(led, x_mm=led.x_mm + x, y_mm=led.y_mm + y)


@pytest.mark.parametrize(
    ("x", "meets"), [(30.0, True), (30.9, True), (31.0, True), (31.1, False), (28.9, False)]
)
def test_a_baffle_that_ends_where_it_sits_is_told(x, meets):
    """A 0603 is 1.6 mm long and the baffle 0.5 mm thick: they touch within 1.05 mm."""
    baffle = s.baffle("b", (30, 12), (30, 28))
    found = told(on_wall(x, 12), baffle)
    assert [one.code for one in found] == (["CUT021"] if meets else [])
    assert all("baffle 'b'" in one.message for one in found)
    # Turned on end it is 0.8 mm wide: 0.65 mm from its middle to the baffle's.
    upright = told(on_wall(x, 12, turn_deg=90.0), baffle)
    assert bool(upright) == (abs(x - 30.0) < 0.65)


@pytest.mark.parametrize(("height", "meets"), [(3.0, True), (5.3, True), (5.5, False)])
@pytest.mark.parametrize("hangs", [False, True])
def test_only_at_the_heights_of_the_baffle(height, meets, hangs):
    """Over a baffle 5 mm high, or under one as far down, the 0.8 mm of a 0603 want 0.4 mm."""
    seat = Seat.PANEL if hangs else Seat.BACK
    baffle = s.baffle("b", (30, 12), (30, 28), height_mm=5.0, seat=seat)
    led = on_wall(30, 12, height_mm=10.0 - height if hangs else height)
    assert bool(told(led, baffle)) == meets


def test_one_that_leans_is_held_as_far_as_it_reaches():
    """A dome that leans 60 degrees reaches a baffle 3 mm beside it; leaning away it does not."""
    baffle = s.baffle("b", (33, 12), (33, 28))
    dome = on_wall(30, 12, kind="white 3 mm", height_mm=5.0)
    assert told(dome, baffle) == ()
    # Seen from inside with the panel up, the left of this wall is to greater x.
    assert told(replace(dome, tilt_deg=60.0, towards_deg=180.0), baffle)
    assert told(replace(dome, tilt_deg=60.0, towards_deg=0.0), baffle) == ()


def test_a_baffle_that_runs_before_the_wall_is_told():
    led = on_wall(30, 12, kind="white 3 mm", height_mm=5.0)
    assert told(led, s.baffle("b", (25, 16), (35, 16), height_mm=8.0))
    assert told(led, s.baffle("b", (25, 19), (35, 19), height_mm=8.0)) == ()


def test_a_round_wall_holds_them_too():
    from lamphouse.shapes.outline import circle

    inside = circle(20, x_mm=30, y_mm=20)
    led = s.led("A", 30, 10, seat=Seat.WALL, height_mm=3.0)
    baffle = s.baffle("b", (30, 10), (30, 30))
    assert [one.code for one in led_overlap(s.box(inside, leds=(led,), baffles=(baffle,)))] == [
        "CUT021"
    ]


def test_where_there_is_no_room_beside_it_a_height_is_offered():
    fence = [s.baffle(name, (x, 12), (x, 28), height_mm=5.0) for name, x in zip("abcdefg", (
        21, 24, 27, 30, 33, 36, 39), strict=True)]  # fmt: skip
    led = on_wall(30, 12)
    high = mended(led, *fence)
    assert high.height_mm == pytest.approx(5.0 + 1.0 + 0.4)
    assert told(high, *fence) == ()
    full = [replace(one, height_mm=9.9) for one in fence]
    (finding,) = told(led, *full)
    assert "another wall" in finding.remedy
    assert finding.mend == ()


BESIDE = (s.baffle("b", (30, 12), (30, 28)), 1.0 + 0.25 + 0.8 + 0.01)
"""A baffle in the middle of a wall, and how far a 0603 goes to stand 1 mm beside it."""


@pytest.mark.parametrize(
    ("other", "way"),
    [
        (None, "right"),
        (s.led("B", 33.0, 14.0, kind="white 3 mm"), "left"),
        (s.led("B", 33.0, 14.0, kind="white 3 mm", seat=Seat.PANEL), "right"),
        (s.led("B", 33.0, 14.0), "right"),
        (s.led("B", 33.0, 12.0, height_mm=3.0, seat=Seat.WALL), "left"),
    ],
)
def test_the_place_keeps_clear_of_leds_on_other_faces(other, way):
    """A dome on the back is 5 mm high and in the way at 3 mm; one at the panel 10 mm up is not."""
    baffle, far = BESIDE
    led = on_wall(30.0, 12.0)
    leds = (led, other) if other else (led,)
    (finding,) = led_overlap(s.box(leds=leds, baffles=(baffle,)))
    assert finding.remedy == f"move it {far:g} mm {way}"


def test_a_height_is_said_to_be_for_one_alone_where_there_are_others():
    fence = [s.baffle(name, (x, 12), (x, 28), height_mm=5.0) for name, x in zip("abcdefg", (
        21, 24, 27, 30, 33, 36, 39), strict=True)]  # fmt: skip
    mate = replace(on_wall(30, 28, height_mm=8.0), name="B")
    (finding,) = led_overlap(s.box(leds=(on_wall(30, 12), mate), baffles=fence))
    assert finding.remedy == "write height: 6.4 mm, for it alone if it stands in a row"


@settings(max_examples=60)
@given(
    place=st.tuples(st.integers(0, 3), st.floats(0.25, 0.75), st.floats(-1.0, 1.0)),
    turn=st.floats(-50.0, 50.0),
    kind=st.sampled_from(["white 0402", "white 0603", "white 1206"]),
    lean=st.tuples(st.sampled_from([0.0, 40.0, 80.0]), st.floats(0.0, 360.0)),
)
def test_the_place_that_is_offered_is_clear_of_the_baffle(place, turn, kind, lean):
    wall, share, off = place
    (ax, ay), (bx, by) = RING[wall], RING[(wall + 1) % 4]
    long = abs(bx - ax) + abs(by - ay)
    way = ((bx - ax) / long, (by - ay) / long)
    x, y = ax + share * (bx - ax), ay + share * (by - ay)
    along, inward = 8.0 * sin(radians(turn)), 8.0 * cos(radians(turn))
    to = (x + along * way[0] - inward * way[1], y + along * way[1] + inward * way[0])
    baffle = s.baffle("b", (x, y), to)
    led = on_wall(
        x + off * way[0],
        y + off * way[1],
        kind=kind,
        tilt_deg=lean[0],
        towards_deg=lean[1],
        height_mm=4.0,
    )
    gap = gap_mm(body_on_wall(led, ring=RING), other=baffle_foot(baffle))
    low, high = led_span(led, depth_mm=10.0)
    assert low < baffle.height_mm
    assert low < high
    found = told(led, baffle)
    if abs(gap) > 1e-6:
        assert bool(found) == (gap < 0.0)
    if found:
        moved = mended(led, baffle)
        assert told(moved, baffle) == ()
        if moved.height_mm == led.height_mm:
            away = gap_mm(body_on_wall(moved, ring=RING), other=baffle_foot(baffle))
            assert away >= 1.0 - EXACT
