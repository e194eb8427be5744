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
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]


class Round(Record):
    """Nodes taken out together; ``edges`` is the most that one of them has."""

    node: Indices
    """Shape ``(nodes,)``."""
    edge: Indices
    """Their edges, shape ``(nodes, edges)``."""
    beside: Indices
    """The nodes at the other ends, same shape."""
    mesh: Indices
    """Edges of the mesh, shape ``(nodes, edges (edges - 1) / 2)``."""


class Elimination(Record):
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
            Current into each node from outside, shape ``(networks, nodes)``, or
            ``(networks, nodes, sides)`` for several at once. [A]

        Returns
        -------
        ndarray
            Of that shape. [V] Of nodes without a way to node 0, one is at 0 V.
        """
        taken = list(self._reduced(conductance))
        volts = np.zeros_like(injected)
        for side in np.ndindex(injected.shape[2:]):
            current = injected[(..., *side)].flatten()
            volts[(..., *side)] = _through(taken, current).reshape(self.shape)
        return volts

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
        flat = self.edge.reshape(-1)
        summed = np.bincount(flat, weights=conductance.reshape(-1), minlength=self.edges + 1)
        edges = np.asarray(summed, dtype=float)
        edges[-1] = 0.0
        for step in self.rounds:
            own = edges[step.edge]
            total = own.sum(axis=-1)
            shares = own / np.where(total > 0, total, 1.0)[:, None]
            first, second = _pairs(own.shape[1])
            _add(edges, step.mesh, own[:, first] * shares[:, second])
            yield step, shares, total


def _through(taken: Sequence[tuple[Round, Array, Array]], current: Array) -> Array:
    """Carry the currents into the nodes through all rounds, and the voltages back."""
    for step, shares, _ in taken:
        _add(current, step.beside, shares * current[step.node][:, None])
    volts = np.zeros_like(current)
    for step, shares, total in reversed(taken):
        own = np.divide(current[step.node], total, out=np.zeros_like(total), where=total > 0)
        volts[step.node] = own + (shares * volts[step.beside]).sum(axis=-1)
    return volts


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
    _add(total, at, out)
    return total.reshape(rows, nodes)


@cache
def _pairs(count: int) -> tuple[Indices, Indices]:
    """Give each two of so many, in the order of ``combinations``."""
    return np.triu_indices(count, k=1)


def _add(total: Array, places: Indices, values: Array) -> None:
    """Add values in their places; numpy is many times as quick where both are in one row."""
    np.add.at(total, places.reshape(-1), values.reshape(-1))


class _Star(NamedTuple):
    """A node as it is taken out."""

    node: int
    edges: list[int]
    beside: list[int]
    """The nodes at the other ends."""
    mesh: list[int]
    """Edges between each two of them, in the order of ``combinations``."""


class _Pattern(NamedTuple):
    """How the nodes of one network are joined, and in what order they are taken out."""

    edge: list[int]
    """Of each element; -1 where it joins nothing."""
    edges: int
    rounds: list[list[_Star]]


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
    return _ordered(ends.astype(np.intp).tobytes(), ends.shape, nodes)


@lru_cache(maxsize=4)  # an operating point and its slopes are solved in the same order
def _ordered(joints: bytes, shape: tuple[int, ...], nodes: int) -> Elimination:
    """Find the order for ends given as bytes, by which they are known again."""
    ends: Indices = np.frombuffer(joints, dtype=np.intp).reshape(shape)
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


def _merged(turns: list[list[_Star]], *, kind: Indices, starts: Indices, nodes: int) -> Round:
    """Lay one round of every pattern out over its networks."""
    most = max(len(star.edges) for stars in turns for star in stars)
    last = int(starts[-1])
    node, edge, beside, mesh = [], [], [], []
    for number, stars in enumerate(turns):
        if not stars:
            continue
        networks = np.flatnonzero(kind == number)
        by_edge = starts[networks][:, None, None]
        by_node = (networks * nodes)[:, None, None]
        own = np.array([[star.node] for star in stars])
        edges = np.array([_padded(star.edges, most, nothing=-1) for star in stars], dtype=int)
        others = np.array([_padded(star.beside, most, nothing=0) for star in stars], dtype=int)
        meshed = np.array([_spread(star, most) for star in stars], dtype=int)
        rows = len(networks) * len(stars)
        node.append((own + by_node).reshape(rows))
        edge.append(np.where(edges < 0, last, edges + by_edge).reshape(rows, most))
        beside.append((others + by_node).reshape(rows, most))
        mesh.append(np.where(meshed < 0, last, meshed + by_edge).reshape(rows, meshed.shape[1]))
    return Round(
        node=np.concatenate(node),
        edge=np.concatenate(edge),
        beside=np.concatenate(beside),
        mesh=np.concatenate(mesh),
    )


def _padded(numbers: list[int], most: int, *, nothing: int) -> list[int]:
    return numbers + [nothing] * (most - len(numbers))


def _spread(star: _Star, most: int) -> list[int]:
    """Give the mesh of a star as of one with the most edges; -1 where an end is missing."""
    if len(star.edges) == most:
        return star.mesh
    own = dict(zip(combinations(range(len(star.edges)), 2), star.mesh, strict=True))
    return [own.get(pair, -1) for pair in combinations(range(most), 2)]


def _pattern(ends: list[list[int]]) -> _Pattern:
    """Take out the nodes with few neighbours first; those that nothing joins are left alone."""
    joined: dict[int, dict[int, int]] = defaultdict(dict)
    edges, edge = 0, []
    for first, second in ends:
        if first == second:
            edge.append(-1)
            continue
        if second not in joined[first]:
            joined[first][second] = joined[second][first] = edges
            edges += 1
        edge.append(joined[first][second])
    rounds: list[list[_Star]] = []
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
            star = _Star(node, list(beside.values()), list(beside), [])
            for other in star.beside:
                del joined[other][node]
            for first, second in combinations(star.beside, 2):
                if second not in joined[first]:
                    joined[first][second] = joined[second][first] = edges
                    edges += 1
                star.mesh.append(joined[first][second])
            taken.append(star)
        rounds.append(taken)
        left = kept
    return _Pattern(edge, edges, rounds)
