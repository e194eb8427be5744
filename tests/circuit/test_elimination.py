from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.circuit.elimination import across, leaving, order
from tolerances import EXACT

ROUNDING = 1e-13
"""Relative, on each node's voltage, whatever the spread of the conductances."""


def exact(ends, conductance, injected, *, nodes):
    """The same equations in fractions, by Gauss's elimination without any rounding."""
    rows = [[Fraction(0)] * (nodes - 1) + [Fraction(float(injected[n]))] for n in range(1, nodes)]
    for (first, second), value in zip(ends, conductance, strict=True):
        for here, there in ((first, second), (second, first)):
            if here:
                rows[here - 1][here - 1] += Fraction(float(value))
                if there:
                    rows[here - 1][there - 1] -= Fraction(float(value))
    for place in range(nodes - 1):
        pivot = next(row for row in range(place, nodes - 1) if rows[row][place])
        rows[place], rows[pivot] = rows[pivot], rows[place]
        for row in range(nodes - 1):
            if row != place and rows[row][place]:
                factor = rows[row][place] / rows[place][place]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[place], strict=True)]
    return [0.0] + [float(rows[place][-1] / rows[place][place]) for place in range(nodes - 1)]


def tree_and_more(rng, *, nodes, more):
    """Ends of a network in which every node has a way to node 0."""
    ends = [(int(rng.integers(node)), node) for node in range(1, nodes)]
    ends += [tuple(int(node) for node in rng.integers(nodes, size=2)) for _ in range(more)]
    return ends


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 9), st.integers(0, 12))
def test_voltages_against_exact_fractions(seed, nodes, more):
    rng = np.random.default_rng(seed)
    ends = tree_and_more(rng, nodes=nodes, more=more)
    conductance = 10 ** rng.uniform(-20, 6, len(ends))
    injected = np.zeros(nodes)
    injected[1:] = rng.uniform(0.0, 1.0, nodes - 1)
    own = order(np.array([ends]), nodes=nodes).potentials(
        conductance[None], injected=injected[None]
    )[0]
    assert own == pytest.approx(exact(ends, conductance, injected, nodes=nodes), rel=ROUNDING)


def test_what_a_dense_solver_loses_is_kept():
    # A siemens between two nodes that a femtosiemens in all ties to ground.
    ends, conductance = [(0, 1), (1, 2), (2, 0)], np.array([3e-18, 1.0, 7e-18])
    injected = np.array([0.0, 1e-17, 0.0])
    own = order(np.array([ends]), nodes=3).potentials(conductance[None], injected=injected[None])
    assert own[0, 1] == pytest.approx(1.0, rel=ROUNDING)
    dense = np.array([[conductance[0] + 1.0, -1.0], [-1.0, conductance[2] + 1.0]])
    assert np.linalg.matrix_rank(dense) == 1


def test_many_networks_of_different_shapes_against_numpy():
    rng = np.random.default_rng(7)
    nodes, networks = 12, 40
    ends = np.array([tree_and_more(rng, nodes=nodes, more=15) for _ in range(networks)])
    conductance = rng.uniform(0.1, 1.0, ends.shape[:2])
    injected = rng.uniform(-1.0, 1.0, (networks, nodes))
    own = order(ends, nodes=nodes).potentials(conductance, injected=injected)
    for network in range(networks):
        matrix = np.zeros((nodes, nodes))
        for (first, second), value in zip(ends[network], conductance[network], strict=True):
            for here, there in ((first, second), (second, first)):
                matrix[here, here] += value
                matrix[here, there] -= value
        dense = np.linalg.solve(matrix[1:, 1:], injected[network, 1:])
        assert own[network, 1:] == pytest.approx(dense, rel=EXACT, abs=EXACT)
    flow = conductance * across(own, ends)
    missing = injected - leaving(flow, ends, nodes=nodes)
    assert np.abs(missing[:, 1:]).max() < EXACT


def test_a_node_is_grounded_when_something_conducts_all_the_way():
    ends = np.array([[(0, 1), (1, 2), (3, 4), (4, 2)]])
    ways = order(ends, nodes=6)
    assert ways.grounded(np.array([[True, True, False, True]])).tolist() == [
        [True, True, True, False, True, False]
    ]
    assert ways.grounded(np.array([[False, True, True, True]])).tolist() == [
        [True, False, False, False, False, False]
    ]


def test_several_sides_at_once_are_each_alone():
    rng = np.random.default_rng(2)
    ends = np.array([tree_and_more(rng, nodes=7, more=5) for _ in range(3)])
    own = order(ends, nodes=7)
    conductance = 10 ** rng.uniform(-9, 3, ends.shape[:2])
    injected = rng.uniform(-1.0, 1.0, (3, 7, 4))
    together = own.potentials(conductance, injected=injected)
    alone = [own.potentials(conductance, injected=injected[..., side]) for side in range(4)]
    assert (together == np.stack(alone, axis=-1)).all()
