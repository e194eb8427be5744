"""Nodes that resistances of nothing and sources without resistance join, and the currents there."""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from lamphouse.circuit.elimination import Array, Flags, Indices, across, order
from lamphouse.circuit.varied import Varied
from lamphouse.record import Record

LEAST_OHM = 1e-6
"""Less counts as nothing: a thousandth of a millimetre of thin wire has as much."""
_ALIKE = 1e-9
"""Sources without resistance may differ by this share of the largest and still agree."""


class Joined(Record):
    """Groups of joined nodes; for each, one of its nodes stands for all."""

    joins: Flags
    """Whether an element joins its ends, shape ``(variations, elements)``."""
    stands_for: Indices
    """The node that stands for each node, shape ``(variations, nodes)``."""
    above_V: Array
    """By how much each node lies above the one that stands for it, same shape."""

    def ends(self, varied: Varied) -> Indices:
        """Give the ends of all elements among the nodes that stand for others."""
        row = np.arange(len(varied.ends))[:, None, None]
        return self.stands_for[row, varied.ends]

    def currents(self, injected: Array, *, varied: Varied) -> Array:
        """Compute the current in every element that joins; nothing in the others.

        Elements side by side share it as equal resistances would.

        Parameters
        ----------
        injected
            What the others bring into each node, shape ``(variations, nodes)``. [A]
        """
        if not self.joins.any():
            return np.zeros(self.joins.shape)
        ends = np.where(self.joins[..., None], varied.ends, 0)
        alike = order(ends, nodes=len(varied.nodes))
        volts = alike.potentials(self.joins.astype(float), injected=injected)
        return across(volts, ends)


def join(varied: Varied, *, names: Sequence[str]) -> Joined:
    """Find the nodes that are joined in each variation, ground standing for those it is joined to.

    Raises
    ------
    ValueError
        If sources without resistance contradict each other or are short; the variation is named.
    """
    rows, nodes = len(varied.ends), len(varied.nodes)
    joins = varied.ohm < LEAST_OHM
    joins[:, varied.junctions()] = False
    rise = np.zeros(joins.shape)
    rise[:, varied.sources()] = varied.voltage_V
    stands_for = np.tile(np.arange(nodes), (rows, 1))
    above = np.zeros((rows, nodes))
    seen: dict[tuple[bytes, ...], int] = {}
    for row in np.flatnonzero(joins.any(axis=1)).tolist():
        own = joins[row]
        ends, rises = varied.ends[row, own], rise[row, own]
        first = seen.setdefault((ends.tobytes(), rises.tobytes()), row)
        if first < row:
            stands_for[row], above[row] = stands_for[first], above[first]
            continue
        for node, (root, height) in _walk(ends.tolist(), rises.tolist()).items():
            stands_for[row, node], above[row, node] = root, height
        gap = np.abs(above[row, ends[:, 0]] - above[row, ends[:, 1]] - rises)
        if gap.max() > _ALIKE * np.abs(rises).max():
            against = (
                f"variation '{names[row]}': sources without resistance are short or against each "
                f"other by {gap.max():g} V"
            )
            raise ValueError(against)
    return Joined(joins=joins, stands_for=stands_for, above_V=above)


def _walk(ends: list[list[int]], rises: list[float]) -> dict[int, tuple[int, float]]:
    """Give for each node that is joined its group's lowest node, and its height above that."""
    beside: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for (first, second), rise in zip(ends, rises, strict=True):
        beside[second].append((first, rise))
        beside[first].append((second, -rise))
    found: dict[int, tuple[int, float]] = {}
    for root in sorted(beside):
        if root in found:
            continue
        found[root] = (root, 0.0)
        waiting = [root]
        while waiting:
            node = waiting.pop()
            for other, rise in beside[node]:
                if other not in found:
                    found[other] = (root, found[node][1] + rise)
                    waiting.append(other)
    return found
