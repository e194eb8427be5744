"""Ways round obstacles against closed forms of tangents and arcs."""

from math import asin, atan2, dist, hypot

import pytest
import shapely

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import circle, rectangle
from lamphouse.shapes.roundabout import Roundabout, length_of
from lamphouse.shapes.transform import move


def test_round_a_box_by_two_tangents_two_arcs_and_a_side():
    # Geometry: corner circles of 8 mm about (20, 10); tangents from 60 mm out on the axis.
    ways = Roundabout([rectangle(40, height_mm=20)], goal=(60, 0), radius_mm=8, clear_mm=1)
    reach = hypot(40, 10)
    angle = atan2(10, 40) + asin(8 / reach)
    exact = 2 * (reach**2 - 8**2) ** 0.5 + 2 * 8 * angle + 40
    length = length_of(ways.way((-60, 0)))
    # Chords outside the arc, so never shorter, and by less than a thousandth.
    assert exact <= length <= exact * 1.001


def test_round_a_disc():
    ways = Roundabout([circle(20.0)], goal=(30, 0), radius_mm=5, clear_mm=1)
    exact = 2 * (30**2 - 15**2) ** 0.5 + 15 * 2 * asin(15 / 30)
    assert exact <= length_of(ways.way((-30, 0))) <= exact * 1.01


def test_a_free_way_is_straight():
    ways = Roundabout([rectangle(10, height_mm=10)], goal=(0, 40), radius_mm=5, clear_mm=1)
    assert ways.way((50, 40)) == ((50, 40), (0, 40))
    assert Roundabout([], goal=(3, 4), radius_mm=5, clear_mm=1).way((0, 0)) == ((0, 0), (3, 4))


def test_no_way_through_a_gap_narrower_than_two_radii():
    boxes = [
        rectangle(100, height_mm=4),
        move(rectangle(4, height_mm=60), x_mm=-50, y_mm=30),
        move(rectangle(4, height_mm=60), x_mm=50, y_mm=30),
        move(rectangle(46, height_mm=4), x_mm=-27, y_mm=60),
        move(rectangle(46, height_mm=4), x_mm=27, y_mm=60),
    ]
    wide = Roundabout(boxes, goal=(0, 30), radius_mm=3, clear_mm=1)
    narrow = Roundabout(boxes, goal=(0, 30), radius_mm=8, clear_mm=1)
    assert wide.way((80, 90)) is not None
    assert narrow.way((80, 90)) is None


def test_a_goal_or_a_spot_in_an_obstacle_has_no_way():
    box = [rectangle(10, height_mm=10)]
    assert Roundabout(box, goal=(0, 0), radius_mm=2, clear_mm=1).way((50, 0)) is None
    assert Roundabout(box, goal=(50, 0), radius_mm=2, clear_mm=1).way((0, 0)) is None


def test_ways_keep_clear_of_every_obstacle():
    boxes = [
        move(rectangle(30, height_mm=30), x_mm=50 * column, y_mm=50 * row)
        for column in range(4)
        for row in range(3)
    ]
    solids = shapely.union_all([shapely.Polygon(flatten(each)) for each in boxes])
    ways = Roundabout(boxes, goal=(25, 25), radius_mm=8, clear_mm=1)
    for spot in ((180, 60), (-20, 110), (75, 125), (0, 20)):
        way = ways.way(spot)
        assert shapely.LineString(way[1:-1] if len(way) > 3 else way).distance(solids) >= 0.99
        assert length_of(way) >= dist(spot, (25, 25)) - 1e-9


@pytest.mark.parametrize("spot", [(22.0, 0.0), (0.0, 12.0)])
def test_a_spot_beside_a_box_leaves_it_straight(spot):
    ways = Roundabout([rectangle(40, height_mm=20)], goal=(-60, 0), radius_mm=8, clear_mm=1)
    way = ways.way(spot)
    assert way[0] == spot
    assert way[-1] == (-60, 0)
