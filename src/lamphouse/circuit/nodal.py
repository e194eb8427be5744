r"""The operating point of a netlist in all its variations: voltages of nodes, currents of elements.

Newton's method on all variations together. At each step every junction, with its series
resistance, is a conductance and a current [SHOCKLEY]; the network of conductances is solved by
:mod:`lamphouse.circuit.elimination`. A junction's own voltage may not rise by more than lets its
current grow as the step foresaw, which keeps its exponential from running away [NAGEL].

Terminology
-----------
junction voltage
    Across the junction alone, without its series resistance.
joined
    At one voltage difference whatever flows: the ends of a resistance of nothing, and of a
    source without resistance. Joined nodes are solved as one.

Limits of the model
-------------------
Beside each junction lies a leak of ``LEAK_S``, so that a node between two junctions that block
has a voltage. Real LEDs leak far more in reverse, each its own amount, and a meter draws more
still: no reading there can be foretold. A node with no way to ground, over nothing but what
conducts, has no voltage: NaN, for a probe there reads nothing.
"""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np

from lamphouse.circuit.elimination import Array, Elimination, Indices, across, leaving, order
from lamphouse.circuit.joined import Joined, join
from lamphouse.circuit.netlist import Netlist, Variation
from lamphouse.circuit.varied import Varied, lay_out
from lamphouse.record import Record

LEAK_S = 1e-15
"""Conductance beside each junction."""
_SERIES_OHM = 1e-12
"""In series with each junction at least, or none could lie across a source."""
_START_A = 1e-12
"""Every junction starts at the voltage of this current, and a step up from below counts from there.
Started at a milliampere, two junctions that block each other bounce for hundreds of steps."""
_MOST_STEPS = 300
_ASTRAY, _LEAST_A = 1e-12, 1e-18
"""How far a junction may lie off the straight line of the last step, as a share of its current and
in ampere."""
_PATIENCE, _ROUNDING = 100, 1e-15
"""After so many steps, what rounding stirs is borne too: this share of the variation's largest
current. Where amperes circle in a part of the circuit that leaks alone hold, its height against
ground has no more digits."""
_KIRCHHOFF_A = 1e-12
_KIRCHHOFF = 1e-9
"""What may be missing at a node, in ampere and as a share of the variation's largest current."""


class Solutions(Record):
    """Voltages and currents of all variations of one netlist."""

    node_V: Array
    """Against ``GROUND``, shape ``(variations, nodes)``; NaN at nodes with no way to it."""
    current_A: Array
    """Shape ``(variations, elements)``: of a resistance from first to second, of a junction from
    its anode to its cathode, of a source out of its plus."""
    nodes: Mapping[str, int]
    """Index of each node."""
    elements: Mapping[str, int]
    """Index of each element; bridges have no name and no place."""

    def voltage(self, node: str) -> Array:
        """Give a node's voltage in every variation, in V."""
        volts: Array = self.node_V[:, self.nodes[node]]
        return volts

    def current(self, element: str) -> Array:
        """Give an element's current in every variation, in A."""
        amps: Array = self.current_A[:, self.elements[element]]
        return amps


def solve(netlist: Netlist, variations: Sequence[Variation] = (Variation(),)) -> Solutions:
    """Compute the operating point of a netlist in each of its variations.

    Parameters
    ----------
    netlist
        Junctions are as warm as their parameters say; ``Variation.shift_V`` drifts them.
    variations
        Solved together; by default the netlist as it is, alone.

    Returns
    -------
    Solutions
        Kirchhoff's current law holds at every node to 1e-12 A and 1e-9 of the largest current.
        Resistances of nothing that lie side by side share their current as equals.

    Raises
    ------
    ValueError
        If the netlist or a variation contradicts itself: two elements of one name, an unknown
        name, a negative resistance, sources without resistance against each other or in short.
    ArithmeticError
        If a variation does not settle, which would be a bug; it is named.

    References
    ----------
    [SHOCKLEY], [NAGEL], [STAR-MESH]
    """
    varied = lay_out(netlist, variations)
    names = [variation.name for variation in variations]
    nodes = len(varied.nodes)
    joined = join(varied, names=names)
    ends = joined.ends(varied)
    elimination = order(ends, nodes=nodes)
    volts, current = _settle(varied, joined=joined, ends=ends, elimination=elimination, names=names)
    current += joined.currents(-leaving(current, varied.ends, nodes=nodes), varied=varied)
    _check(current, varied=varied, names=names)
    grounded = elimination.grounded(np.isfinite(varied.ohm) & (ends[..., 0] != ends[..., 1]))
    node_V = np.where(
        np.take_along_axis(grounded, joined.stands_for, axis=1),
        np.take_along_axis(volts, joined.stands_for, axis=1) + joined.above_V,
        np.nan,
    )
    current[:, varied.sources()] *= -1.0
    current_A = current[:, varied.named()]
    for array in (node_V, current_A):
        array.flags.writeable = False
    return Solutions(
        node_V=node_V,
        current_A=current_A,
        nodes=MappingProxyType({name: index for index, name in enumerate(varied.nodes)}),
        elements=MappingProxyType({name: index for index, name in enumerate(varied.names)}),
    )


def _settle(
    varied: Varied, *, joined: Joined, ends: Indices, elimination: Elimination, names: Sequence[str]
) -> tuple[Array, Array]:
    """Walk to the voltages of the nodes that stand for others, and the elements' currents."""
    nodes = len(varied.nodes)
    junctions, sources = varied.junctions(), varied.sources()
    with np.errstate(divide="ignore"):
        conductance = np.where(joined.joins, 0.0, 1.0 / varied.ohm)
    lit, slope, log_sat = varied.lit, varied.slope_V, varied.log_saturation
    series = np.where(lit, np.maximum(varied.ohm[:, junctions], _SERIES_OHM), 0.0)
    beyond = across(joined.above_V, varied.ends)
    beyond[:, sources] -= varied.voltage_V
    reach = 2.0 * np.abs(varied.voltage_V).sum(axis=1, keepdims=True) + 1.0
    knee = np.maximum(slope * (np.log(_START_A) - log_sat), 0.0)
    own = np.where(lit, knee, 0.0)
    foreseen, wished = np.full(own.shape, np.inf), own
    volts, settled = np.zeros((len(ends), nodes)), np.zeros(varied.ohm.shape)
    calm = 0
    # One step more than it takes: the last moves nothing and so carries no rounding of what moved.
    for turn in range(_MOST_STEPS):
        passed, slant = _junction(own, slope, log_sat)
        astray = np.abs(passed - foreseen) + slant * np.abs(own - wished)
        borne = _ASTRAY * np.abs(passed) + _LEAST_A
        if turn > _PATIENCE:
            borne = borne + _ROUNDING * np.abs(settled).max(axis=1, keepdims=True)
        unsettled = (lit & ~(astray <= borne)).any(axis=1)
        calm = 0 if unsettled.any() else calm + 1
        if turn > 1 and calm > 1:
            return volts, settled
        outer = own + series * passed
        chord = slant / (1.0 + series * slant)
        conductance[:, junctions] = np.where(lit, chord, conductance[:, junctions])
        drop = across(volts, ends) + beyond
        current = conductance * drop
        straight = passed + chord * (drop[:, junctions] - outer)
        current[:, junctions] = np.where(lit, straight, current[:, junctions])
        moved = elimination.potentials(conductance, injected=-leaving(current, ends, nodes=nodes))
        stirred = across(moved, ends)
        volts, settled = volts + moved, current + conductance * stirred
        beside = drop[:, junctions] + stirred[:, junctions] - outer
        wished = np.clip(own + beside / (1.0 + series * slant), -reach, reach)
        foreseen = passed + slant * (wished - own)
        floor = np.maximum(own, knee)
        jump = np.maximum(wished - floor, 0.0)
        own = np.where(jump > 0.0, floor + slope * np.log1p(jump / slope), wished)
    bad = f"variation '{names[int(unsettled.argmax())]}' of the netlist did not settle"
    raise ArithmeticError(bad)


def _junction(own: Array, slope: Array, log_sat: Array) -> tuple[Array, Array]:
    """Give the current through junctions at their own voltages, and its slope over voltage."""
    saturation, forward = np.exp(log_sat), np.exp(log_sat + own / slope)
    near = saturation * np.expm1(np.minimum(own / slope, 1.0))
    passed = np.where(own > slope, forward - saturation, near)
    return passed + LEAK_S * own, forward / slope + LEAK_S


def _check(current: Array, *, varied: Varied, names: Sequence[str]) -> None:
    """Raise where Kirchhoff's current law does not hold."""
    nodes = len(varied.nodes)
    missing = np.abs(leaving(current, varied.ends, nodes=nodes))
    largest = np.abs(current).max(axis=1, initial=0.0, keepdims=True)
    astray = (missing > _KIRCHHOFF_A + _KIRCHHOFF * largest).any(axis=1)
    if astray.any():
        lost = f"variation '{names[int(astray.argmax())]}' loses current at a node"
        raise ArithmeticError(lost)
