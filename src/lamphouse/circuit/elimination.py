r"""Voltages in many networks of conductances at once, by taking out one node after another.

Taking out a node turns the star of its conductances into a mesh between its neighbours
[STAR-MESH]: ``g_ij = g_i g_j / sum(g)``. Nothing is ever subtracted, so that a node that hangs on
a thousandth of a nanosiemens beside a siemens keeps its digits; Gauss's elimination of the same
equations would lose them in its diagonal.

Terminology
-----------
network
    One variation of a circuit. All networks have as many nodes and elements; which nodes an element
    joins may differ from one to the next.
round
    Nodes that no edge joins, in all networks, taken out together. A chain is halved by each
    round, so that rounds grow with the logarithm of its length.
edge
    All elements between the same two nodes; also what the mesh adds.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """Nodes taken out together; ``edges`` is the most that one of them has."""

    node: Indices
    """Shape ``(nodes,)``."""
    edge: Indices
    """Their edges, shape ``(nodes, edges)``."""
    beside: Indices
    """The nodes at the other ends, same shape."""
    mesh: Indices
    """Edges of the mesh, shape ``(nodes, edges (edges - 1) / 2)``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Elimination:
    """The order in which the nodes of all networks are taken out. Node 0 stays."""

    shape: tuple[int, int]
    """Networks and nodes."""
    edge: Indices
    """Edge of each element, shape ``(networks, elements)``."""
    edges: int
    """Edges of all networks; one more, the last, conducts nothing."""
    rounds: tuple[Round, ...]

    def potentials(self, conductance: Array, *, injected: Array) -> Array:
        """Compute the voltage of every node against node 0.

        Parameters
        ----------
        conductance
            Of each element, not negative, shape ``(networks, elements)``. [S]
        injected
            Current into each node from outside, shape ``(networks, nodes)``. [A]

        Returns
        -------
        ndarray
            Shape ``(networks, nodes)``. [V] Of nodes without a way to node 0, one is at 0 V.
        """
        current = injected.flatten()
        taken = []
        for step, shares, total in self._reduced(conductance):
            np.add.at(current, step.beside, shares * current[step.node][:, None])
            taken.append((step, shares, total))
        volts = np.zeros_like(current)
        for step, shares, total in reversed(taken):
            own = np.divide(current[step.node], total, out=np.zeros_like(total), where=total > 0)
            volts[step.node] = own + (shares * volts[step.beside]).sum(axis=-1)
        return volts.reshape(self.shape)

    def grounded(self, conducts: Flags) -> Flags:
        """Tell which nodes have a way to node 0 over elements that conduct, same shapes."""
        taken = [(step, shares > 0) for step, shares, _ in self._reduced(conducts.astype(float))]
        reached = np.zeros(self.shape, dtype=bool)
        reached[:, 0] = True
        flat = reached.reshape(-1)
        for step, open_ways in reversed(taken):
            flat[step.node] = (open_ways & flat[step.beside]).any(axis=-1)
        return reached

    def _reduced(self, conductance: Array) -> Iterator[tuple[Round, Array, Array]]:
        """Give for each round the share of each edge in its node's conductance, and the sum."""
        edges = np.bincount(
            self.edge.reshape(-1), weights=conductance.reshape(-1), minlength=self.edges + 1
        )
        edges[-1] = 0.0
        for step in self.rounds:
            own = edges[step.edge]
            total = own.sum(axis=-1)
            shares = own / np.where(total > 0, total, 1.0)[:, None]
            first, second = np.triu_indices(own.shape[1], k=1)
            np.add.at(edges, step.mesh, own[:, first] * shares[:, second])
            yield step, shares, total


def across(volts: Array, ends: Indices) -> Array:
    """Give the voltage of each element's first end above its second.

    Parameters
    ----------
    volts
        Of every node, shape ``(networks, nodes)``. [V]
    ends
        Shape ``(networks, elements, 2)``.
    """
    row = np.arange(len(volts))[:, None]
    difference: Array = volts[row, ends[..., 0]] - volts[row, ends[..., 1]]
    return difference


def leaving(current: Array, ends: Indices, *, nodes: int) -> Array:
    """Sum the currents that leave each node through elements, shape ``(networks, nodes)``.

    Parameters
    ----------
    current
        From first to second end, shape ``(networks, elements)``. [A]
    """
    rows = len(current)
    at = ends + nodes * np.arange(rows)[:, None, None]
    out = np.stack([current, -current], axis=-1)
    total: Array = np.zeros(rows * nodes)
    np.add.at(total, at.reshape(-1), out.reshape(-1))
    return total.reshape(rows, nodes)


@dataclass(slots=True)
class _Pattern:
    """How the nodes of one network are joined, and their rounds."""

    edge: list[int]
    edges: int
    rounds: list[list[tuple[int, list[int], list[int], list[int]]]]
    """For each node its number, its edges, its neighbours, and the edges of the mesh."""


def order(ends: Indices, *, nodes: int) -> Elimination:
    """Find an order in which to take out the nodes, few neighbours first.

    Parameters
    ----------
    ends
        The two nodes of each element, shape ``(networks, elements, 2)``. An element with both
        ends at one node joins nothing.
    nodes
        How many there are in each network.
    """
    numbered: dict[bytes, int] = {}
    kind = np.array([numbered.setdefault(one.tobytes(), len(numbered)) for one in ends], dtype=int)
    firsts = [int(np.argmax(kind == number)) for number in range(len(numbered))]
    patterns = [_pattern(ends[first].tolist()) for first in firsts]
    sizes = np.array([pattern.edges for pattern in patterns], dtype=int)
    starts = np.concatenate([[0], np.cumsum(sizes[kind])])
    last = int(starts[-1])
    edge = np.full(ends.shape[:2], last)
    for number, pattern in enumerate(patterns):
        rows = kind == number
        own = np.array(pattern.edge, dtype=int)
        edge[rows] = np.where(own < 0, last, starts[:-1][rows][:, None] + own)
    count = max((len(pattern.rounds) for pattern in patterns), default=0)
    rounds = tuple(
        _merged(
            [pattern.rounds[turn] if turn < len(pattern.rounds) else [] for pattern in patterns],
            kind=kind,
            starts=starts,
            nodes=nodes,
        )
        for turn in range(count)
    )
    return Elimination(shape=(len(ends), nodes), edge=edge, edges=last, rounds=rounds)


def _merged(
    turns: list[list[tuple[int, list[int], list[int], list[int]]]],
    *,
    kind: Indices,
    starts: Indices,
    nodes: int,
) -> Round:
    """Lay one round of every pattern out over its networks."""
    most = max(len(edges) for turn in turns for _, edges, _, _ in turn)
    pairs = most * (most - 1) // 2
    place = {pair: index for index, pair in enumerate(combinations(range(most), 2))}
    last = int(starts[-1])
    node, edge, beside, mesh = [], [], [], []
    for number, turn in enumerate(turns):
        if not turn:
            continue
        networks = np.flatnonzero(kind == number)
        table = np.full((len(turn), 1 + 2 * most + pairs), -1)
        for row, (own, edges, nearby, meshed) in enumerate(turn):
            width = len(edges)
            table[row, 0] = own
            table[row, 1 : 1 + width] = edges
            table[row, 1 + most : 1 + most + width] = nearby
            if width == most:
                table[row, 1 + 2 * most :] = meshed
            else:
                for pair, target in zip(combinations(range(width), 2), meshed, strict=True):
                    table[row, 1 + 2 * most + place[pair]] = target
        by_edge = starts[networks][:, None, None]
        by_node = (networks * nodes)[:, None, None]
        own_edges = table[:, 1 : 1 + most]
        targets = table[:, 1 + 2 * most :]
        rows = len(networks) * len(turn)
        node.append((table[:, :1] + by_node).reshape(rows))
        edge.append(np.where(own_edges < 0, last, own_edges + by_edge).reshape(rows, most))
        others = np.maximum(table[:, 1 + most : 1 + 2 * most], 0)
        beside.append((others + by_node).reshape(rows, most))
        mesh.append(np.where(targets < 0, last, targets + by_edge).reshape(rows, pairs))
    return Round(
        node=np.concatenate(node),
        edge=np.concatenate(edge),
        beside=np.concatenate(beside),
        mesh=np.concatenate(mesh),
    )


def _pattern(ends: list[list[int]]) -> _Pattern:
    """Take out the nodes with few neighbours first; those that nothing joins are left alone."""
    joined: dict[int, dict[int, int]] = defaultdict(dict)
    edges = 0
    edge = []
    for first, second in ends:
        if first == second:
            edge.append(-1)
            continue
        if second not in joined[first]:
            joined[first][second] = joined[second][first] = edges
            edges += 1
        edge.append(joined[first][second])
    rounds = []
    left = [node for node in joined if node]
    while left:
        fewest = max(2, min(len(joined[node]) for node in left))
        taken, kept = [], []
        barred: set[int] = set()
        for node in left:
            beside = joined[node]
            if len(beside) > fewest or node in barred:
                kept.append(node)
                continue
            barred.update(beside)
            others = list(beside)
            mesh = []
            for other in others:
                del joined[other][node]
            for first, second in combinations(others, 2):
                if second not in joined[first]:
                    joined[first][second] = joined[second][first] = edges
                    edges += 1
                mesh.append(joined[first][second])
            taken.append((node, list(beside.values()), others, mesh))
        rounds.append(taken)
        left = kept
    return _Pattern(edge=edge, edges=edges, rounds=rounds)
