"""Two faults at once, where one slip of the iron makes both."""

from collections.abc import Mapping, Sequence
from itertools import combinations, islice
from typing import TypeVar

from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.fault_kinds import Fault, FaultKind
from lamphouse.circuit.netlist import Variation
from lamphouse.circuit.wired import WiredSubAssembly

T = TypeVar("T")

MOST_PAIRS = 240
SHARE = 0.05
"""How often two faults are met, beside all single ones; common practice, no source."""
_LIKELY = 0.5
"""Singles of this weight at least come in twos."""
_PAIRED = frozenset(
    {
        FaultKind.LED_OPEN,
        FaultKind.LED_REVERSED,
        FaultKind.LED_BRIDGED,
        FaultKind.LED_TYPE,
        FaultKind.WIRE_OPEN,
        FaultKind.DECADE,
    }
)


def double_faults(singles: Sequence[Fault], *, wired: WiredSubAssembly) -> tuple[Fault, ...]:
    """Pair the likeliest single faults of one string, and of strings side by side.

    The ``MOST_PAIRS`` likeliest are kept. Pairs of which one hides the other altogether are kept
    too: whoever mends the first finds the second.

    Parameters
    ----------
    singles
        All there are.
    wired
        For which strings lie side by side.
    """
    order = {chain.resistor.name: place for place, chain in enumerate(chains_of(wired))}
    likely = [
        one for one in singles if one.kind in _PAIRED and one.weight >= _LIKELY and one.string
    ]
    by_string: dict[int, list[int]] = {}
    for place, one in enumerate(likely):
        by_string.setdefault(order[one.string], []).append(place)
    near = sorted(
        {
            (one, other)
            for string, own in by_string.items()
            for one, other in combinations(sorted(own + by_string.get(string + 1, [])), 2)
        },
        key=lambda pair: (-likely[pair[0]].weight * likely[pair[1]].weight, pair),
    )
    agreeing = ((likely[one], likely[other]) for one, other in near)
    kept = list(islice((pair for pair in agreeing if _agree(*pair)), MOST_PAIRS))
    total = sum(one.weight * other.weight for one, other in kept)
    weight = SHARE * sum(one.weight for one in singles)
    return tuple(
        Fault(
            name=f"{one.name}; {other.name}",
            kind=FaultKind.DOUBLE,
            words=f"{one.words}, and {other.words}",
            mend=f"{one.mend}; {other.mend}",
            weight=weight * one.weight * other.weight / total,
            variation=_both(one.variation, other.variation),
            string=one.string if one.string == other.string else "",
        )
        for one, other in kept
    )


def _agree(one: Fault, other: Fault) -> bool:
    """Tell whether two faults can be at once: they change different parts."""
    changed = [
        {*fault.variation.ohm, *fault.variation.junction, *fault.variation.shift_V}
        | {end for bridge in fault.variation.bridges for end in (bridge.first, bridge.second)}
        | {f"{name}.1" for name in (*fault.variation.junction, *fault.variation.shift_V)}
        | {f"{name}.2" for name in (*fault.variation.junction, *fault.variation.shift_V)}
        for fault in (one, other)
    ]
    return changed[0].isdisjoint(changed[1])


def _both(one: Variation, other: Variation) -> Variation:
    return Variation(
        name=f"{one.name}; {other.name}",
        ohm=_joined(one.ohm, other.ohm),
        junction=_joined(one.junction, other.junction),
        shift_V=_joined(one.shift_V, other.shift_V),
        bridges=(*one.bridges, *other.bridges),
    )


def _joined(one: Mapping[str, T], other: Mapping[str, T]) -> dict[str, T]:
    return {**one, **other}
