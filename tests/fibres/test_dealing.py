"""Dealing against published chromatic numbers, and against every dealing there is."""

import json
from itertools import product
from pathlib import Path

import networkx as nx
import numpy as np
import pytest

from lamphouse.fibres import dealing
from lamphouse.fibres.dealing import clashes_of, deal

CHROMATIC = json.loads(
    (Path(__file__).parents[1] / "reference" / "fibres" / "values.json").read_text()
)["chromatic_number"]
TOO_LARGE = {"hoffman_singleton_graph()", "mycielski_graph(6)"}
"""With one colour fewer these take an integer program minutes."""


def graph(name):
    made, _, rest = name.partition("(")
    arguments = [int(each) for each in rest.rstrip(")").split(",") if each]
    return nx.convert_node_labels_to_integers(getattr(nx, made)(*arguments))


@pytest.mark.parametrize("name", sorted(set(CHROMATIC) - TOO_LARGE))
def test_exact_dealing_finds_the_chromatic_number(name, monkeypatch):
    monkeypatch.setattr(dealing, "MOST_EXACT", 10_000)
    monkeypatch.setattr(dealing, "NODES", 100_000)
    drawn, wanted = graph(name), CHROMATIC[name]
    count = len(drawn)
    enough = deal([[0.0] * wanted] * count, neighbours=list(drawn.edges), most=[count] * wanted)
    assert enough.clashes == 0
    assert enough.is_best
    short = deal(
        [[0.0] * (wanted - 1)] * count, neighbours=list(drawn.edges), most=[count] * (wanted - 1)
    )
    assert short.is_best
    assert short.clashes > 0


@pytest.mark.parametrize("name", sorted(CHROMATIC))
def test_searched_dealing_needs_at_most_one_colour_more(name, monkeypatch):
    monkeypatch.setattr(dealing, "MOST_EXACT", 0)
    drawn, groups = graph(name), CHROMATIC[name] + 1
    count = len(drawn)
    found = deal([[0.0] * groups] * count, neighbours=list(drawn.edges), most=[count] * groups)
    assert found.clashes == 0 == clashes_of(found.groups, neighbours=list(drawn.edges))


@pytest.mark.parametrize("seed", range(6))
def test_exact_dealing_is_the_best_of_all(seed):
    chance = np.random.default_rng(seed)
    ways = chance.integers(1, 50, (7, 3)).astype(float)
    edges = [pair for pair in ((a, b) for b in range(7) for a in range(b)) if chance.random() < 0.4]
    most = [3, 3, 2]
    best = min(
        (clashes_of(each, neighbours=edges), sum(ways[at, g] for at, g in enumerate(each)))
        for each in product(range(3), repeat=7)
        if all(each.count(group) <= share for group, share in enumerate(most))
    )
    found = deal(ways.tolist(), neighbours=edges, most=most)
    assert (found.clashes, found.way_mm) == pytest.approx(best)
    assert found.is_best
    assert found.least_way_mm <= found.way_mm


@pytest.mark.parametrize("seed", range(4))
def test_searched_dealing_keeps_shares_and_bounds(seed, monkeypatch):
    chance = np.random.default_rng(seed)
    count, groups = 60, 5
    ways = chance.uniform(1.0, 50.0, (count, groups))
    edges = [(at, at + 1) for at in range(count - 1)]
    monkeypatch.setattr(dealing, "MOST_EXACT", 0)
    found = deal(ways.tolist(), neighbours=edges, most=[12] * groups)
    assert [found.groups.count(group) for group in range(groups)] == [12] * groups
    assert found.clashes == 0
    assert found.least_clashes <= found.clashes
    assert found.least_way_mm <= found.way_mm + 1e-9
    monkeypatch.setattr(dealing, "MOST_EXACT", 10_000)
    exact = deal(ways.tolist(), neighbours=edges, most=[12] * groups)
    assert exact.is_best
    assert exact.way_mm <= found.way_mm + 1e-6
    assert found.way_mm <= 1.25 * exact.way_mm


def test_fixed_points_stay_and_full_groups_refuse():
    found = deal([[0.0, 9.0]] * 4, neighbours=[(0, 1)], most=[2, 2], fixed=[1, None, None, None])
    assert found.groups[0] == 1
    assert found.clashes == 0
    assert deal([[0.0, 0.0]] * 5, neighbours=[], most=[2, 2]) is None
    assert deal([[float("inf")]], neighbours=[], most=[1]) is None
    assert deal([], neighbours=[], most=[]).is_best
