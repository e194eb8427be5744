"""Nets on the grid, against shortest trees from closed forms and an exact search."""

import csv
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from lamphouse.board.growing import Wish, grow
from lamphouse.board.seatings import Ground

REFERENCE = Path(__file__).parents[1] / "reference" / "boards"
WORST_RATIO = 1.5
"""Of a spanning tree to the shortest tree: Hwang, On Steiner minimal trees with rectilinear
distance, SIAM J. Appl. Math. 30 (1976)."""
with (REFERENCE / "steiner.csv").open(encoding="utf-8", newline="") as file:
    CLOSED = [
        ([tuple(map(int, point.split())) for point in row["points"].split(";")], int(row["length"]))
        for row in csv.DictReader(file)
    ]


def shortest_tree(points, *, side):
    """Give the length of the shortest tree on a square grid, exactly (Dreyfus and Wagner, 1971)."""
    spots = [(x, y) for x in range(side) for y in range(side)]
    apart = np.array([[abs(a - c) + abs(b - d) for c, d in spots] for a, b in spots])
    index = [spots.index(point) for point in points]
    last, rest = index[-1], index[:-1]
    best = {frozenset([n]): apart[rest[n]].astype(float) for n in range(len(rest))}
    for size in range(2, len(rest) + 1):
        for chosen in map(frozenset, combinations(range(len(rest)), size)):
            split = np.min(
                [
                    best[frozenset(part)] + best[chosen - frozenset(part)]
                    for half in range(1, size // 2 + 1)
                    for part in combinations(sorted(chosen), half)
                ],
                axis=0,
            )
            best[chosen] = (apart + split[None, :]).min(axis=1)
    return int(best[frozenset(range(len(rest)))][last])


def grown_length(points, *, side):
    ground = Ground(columns=side, rows=side)
    pins = tuple(ground.bit(row=y, column=x) for x, y in points)
    growth = grow(
        [Wish(name="net", pins=pins, wires=0)], ground=ground, covered=0, strips=False, links=False
    )
    assert growth.lacking == 0
    return growth.nets[0].claimed.bit_count() - 1


@pytest.mark.parametrize(("points", "length"), CLOSED)
def test_the_exact_search_meets_the_closed_forms(points, length):
    assert shortest_tree(points, side=8) == length


@pytest.mark.parametrize(("points", "length"), CLOSED)
def test_a_grown_net_is_near_the_closed_forms(points, length):
    grown = grown_length(points, side=8)
    assert length <= grown <= WORST_RATIO * length


def test_grown_nets_stay_within_the_worst_ratio_of_the_shortest():
    chance = np.random.default_rng(4)
    ratios = []
    for _ in range(60):
        cells = chance.choice(49, size=int(chance.integers(2, 6)), replace=False)
        points = [(int(cell) % 7, int(cell) // 7) for cell in cells]
        best, grown = shortest_tree(points, side=7), grown_length(points, side=7)
        assert grown >= best
        ratios.append(grown / best)
    assert max(ratios) <= WORST_RATIO
    assert np.mean(ratios) < 1.05


def wished(ground, **nets):
    return [
        Wish(
            name=name,
            pins=tuple(ground.bit(row=r, column=c) for r, c in pins),
            wires=wires,
        )
        for name, (pins, wires) in nets.items()
    ]


def test_no_pad_is_claimed_twice_and_every_wire_has_its_hole():
    ground = Ground(columns=6, rows=4)
    wishes = wished(ground, a=([(0, 0), (0, 5)], 3), b=([(3, 0), (3, 5)], 3), c=([(1, 2)], 2))
    growth = grow(wishes, ground=ground, covered=0, strips=False, links=False)
    assert growth.lacking == 0
    claimed = [net.claimed for net in growth.nets]
    assert all(not one & other for one, other in combinations(claimed, 2))
    assert [len(set(net.wires)) for net in growth.nets] == [3, 3, 2]


def test_what_is_walled_in_is_lacking_unless_a_link_may_help():
    ground = Ground(columns=5, rows=3)
    wall = [(row, 2) for row in range(3)]
    wishes = wished(ground, across=([(1, 0), (1, 4)], 0), wall=(wall, 0))
    apart = grow(wishes, ground=ground, covered=0, strips=False, links=False)
    assert apart.lacking == 1
    linked = grow(wishes, ground=ground, covered=0, strips=False, links=True)
    assert linked.lacking == 0
    assert len(linked.nets[0].links) == 1


def test_no_wire_is_put_under_a_body():
    ground = Ground(columns=4, rows=1)
    covered = ground.bit(row=0, column=1)
    wishes = wished(ground, a=([(0, 0)], 1))
    growth = grow(wishes, ground=ground, covered=covered, strips=False, links=False)
    assert growth.nets[0].wires == [ground.bit(row=0, column=2)]


def test_nets_on_one_strip_keep_a_hole_for_the_cut():
    ground = Ground(columns=3, rows=1)
    near = wished(ground, a=([(0, 0)], 0), b=([(0, 1)], 0))
    far = wished(ground, a=([(0, 0)], 0), b=([(0, 2)], 0))
    more = wished(ground, a=([(0, 0)], 1), b=([(0, 2)], 0))
    lacking = [
        grow(wishes, ground=ground, covered=0, strips=True, links=False).lacking
        for wishes in (near, far, more)
    ]
    assert lacking == [1, 0, 1]
