"""Critical paths and three times against published networks (tests/reference/scheduling)."""

import json
from pathlib import Path

import networkx as nx
import numpy as np
import pytest

from lamphouse.build.critical_path import (
    Activity,
    chance_within,
    critical_path,
    one_after_another,
    three_times,
)
from tolerances import EXACT, TABLE

NETWORKS = json.loads(
    (Path(__file__).parents[1] / "reference" / "scheduling" / "networks.json").read_text()
)
CPM = NETWORKS["cpm_8"]["values"]
PERT = NETWORKS["pert_14"]["values"]
ARROWS = NETWORKS["pert_aoa"]["values"]
AFTER = {"A": "", "B": "", "C": "A", "D": "AB", "E": "C", "F": "C", "G": "DE", "H": "FG"}
"""Of the eight activities, as their source line gives them."""


def estimates(triples):
    return {
        name: three_times(times[0], likely=times[1], pessimistic=times[2])
        for name, times in triples.items()
    }


def network(lasts, after):
    return critical_path(
        [Activity(name=name, lasts=lasts[name], after=tuple(after[name])) for name in after]
    )


def test_eight_activities():
    means = {name: one.mean for name, one in estimates(CPM["pert_abm"]).items()}
    found = network(means, AFTER)
    assert found.lasts == pytest.approx(CPM["duration"], abs=EXACT)
    assert list(found.critical) == CPM["critical"]
    for name, timing in found.timings.items():
        assert timing.slack == pytest.approx(CPM["slack"][name], abs=EXACT)
        assert timing.earliest == pytest.approx(CPM["ES"][name], abs=EXACT)


def test_eight_activities_by_sixteen_weeks():
    own = estimates(CPM["pert_abm"])
    whole = one_after_another([own[name] for name in CPM["critical"]])
    assert whole.variance == pytest.approx(CPM["variance"], abs=EXACT)
    assert whole.deviation == pytest.approx(CPM["sd"], abs=TABLE * 1e-6)
    assert chance_within(16.0, estimate=whole) == pytest.approx(CPM["P_le_16"], abs=TABLE * 1e-6)


def test_fourteen_activities():
    own = estimates(PERT["abm_pred"])
    after = {name: row[3] for name, row in PERT["abm_pred"].items()}
    found = network({name: one.mean for name, one in own.items()}, after)
    for name, mean in PERT["published"]["mean"].items():
        assert own[name].mean == pytest.approx(mean, abs=TABLE * 1e-2)
    for name, slack in (*PERT["published"]["slack"].items(), *PERT["recomputed"]["slack"].items()):
        # 1.8333 is printed as 1.83, 8 as 8.0.
        assert found.timings[name].slack == pytest.approx(slack, abs=TABLE * 1e-2)
    expected = PERT["recomputed"]
    assert found.lasts == pytest.approx(expected["duration"], abs=TABLE * 1e-4)
    assert list(found.critical) == expected["critical"]
    whole = one_after_another([own[name] for name in found.critical])
    assert whole.deviation == pytest.approx(expected["sd"], abs=TABLE * 1e-5)
    assert chance_within(53.0, estimate=whole) == pytest.approx(
        expected["P_le_53"], abs=TABLE * 1e-5
    )
    assert chance_within(55.0, estimate=whole) == pytest.approx(
        expected["P_le_55"], abs=TABLE * 1e-6
    )


def test_activities_on_arrows():
    own = estimates(ARROWS["abm"])
    for name, one in own.items():
        assert one.mean == pytest.approx(ARROWS["te"][name], abs=EXACT)
        assert one.variance == pytest.approx(ARROWS["var"][name], abs=EXACT)
    graph = nx.DiGraph(tuple(name.split("-")) for name in own)
    ordered = [f"{a}-{b}" for node in nx.topological_sort(graph) for a, b in graph.out_edges(node)]
    after = {
        name: tuple(f"{a}-{b}" for a, b in graph.in_edges(name.split("-")[0])) for name in ordered
    }
    found = network({name: own[name].mean for name in own}, after)
    assert found.lasts == pytest.approx(ARROWS["duration"], abs=EXACT)
    assert list(found.critical) == ARROWS["critical"]
    whole = one_after_another([own[name] for name in found.critical])
    assert whole.deviation == pytest.approx(ARROWS["sd"], abs=EXACT)


@pytest.mark.parametrize("seed", range(20))
def test_the_longest_way_is_that_of_a_graph_library(seed):
    # networkx finds longest paths in a graph whose edges carry the time of where they begin.
    chance = np.random.default_rng(seed)
    count = 30
    lasts = chance.integers(1, 20, size=count)
    after = {
        number: tuple(int(one) for one in range(number) if chance.random() < 0.15)
        for number in range(count)
    }
    found = critical_path(
        [
            Activity(name=str(n), lasts=float(lasts[n]), after=tuple(map(str, after[n])))
            for n in range(count)
        ]
    )
    graph = nx.DiGraph()
    for number in range(count):
        graph.add_edge(number, "end", weight=int(lasts[number]))
        graph.add_edges_from((one, number, {"weight": int(lasts[one])}) for one in after[number])
    assert found.lasts == nx.dag_longest_path_length(graph)


def test_what_takes_its_time_for_certain_has_no_chance_in_it():
    sure = three_times(4.0, likely=4.0, pessimistic=4.0)
    assert chance_within(4.0, estimate=sure) == 1.0
    assert chance_within(3.9, estimate=sure) == 0.0


def test_no_activities_take_no_time():
    assert critical_path([]).lasts == 0.0
