"""Gauss points of four-cornered pieces, and what any other places in a piece count for at them."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Rule(Record):
    """Gauss points of a piece along both of its sides."""

    node: Floats
    """(n,) places along a side, 0 to 1."""
    across: Ints
    """(P,) which of them each point has along one side."""
    up: Ints
    """(P,) and along the other."""
    blend: Floats
    """(P, 4) shares of the corners of the piece in the place of each point."""
    weight: Floats
    """(P, 1) what its own quarter of the area is multiplied by; adds up to 4."""

    def stands_for(self, u: Floats, *, v: Floats) -> Floats:
        """Give the share of each of many even places in what each point stands for, (M, P).

        What is as smooth as the rule can tell follows from its points; columns add up to 1.
        """
        across, up = (_between(self.node, places=places) for places in (u, v))
        shares = across[:, self.across] * up[:, self.up]
        return np.asarray(shares / shares.sum(axis=0))


def _between(node: Floats, *, places: Floats) -> Floats:
    """Give what each node counts for at places (M,), by Lagrange's formula, (M, n)."""
    gap = places[:, None] - node
    columns = []
    for number, here in enumerate(node):
        others = np.delete(np.arange(len(node)), number)
        columns.append(np.prod(gap[:, others] / (here - node[others]), axis=1))
    return np.stack(columns, axis=1)


def blend(u: Floats, *, v: Floats) -> Floats:
    """Shares of the four corners of a piece in places within it, (P, 4)."""
    return np.stack([(1.0 - u) * (1.0 - v), u * (1.0 - v), u * v, (1.0 - u) * v], axis=1)


def _rule(count: int) -> Rule:
    """Lay out ``count`` points along each side, those of each quarter of the piece together."""
    node, weight = np.polynomial.legendre.leggauss(count)
    node = (1.0 + node) / 2.0
    across, up = (axis.ravel() for axis in np.divmod(np.arange(count * count), count))
    half = np.lexsort((up, across, up * 2 // count, across * 2 // count))
    across, up = across[half], up[half]
    return Rule(
        node=node,
        across=across,
        up=up,
        blend=blend(node[across], v=node[up]),
        weight=(weight[across] * weight[up])[:, None],
    )


FOUR, SIXTEEN = _rule(2), _rule(4)
