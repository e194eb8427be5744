"""Everything that can be wrong with a sub-assembly alone, as it is soldered.

Limits of the model
-------------------
One fault at a time; :mod:`lamphouse.circuit.double_faults` has those that come in twos. A poor
joint is tried at three decades. Two returns swapped in the plug light all the same with every
switch closed and are not listed. Cells have no resistance of their own here: their sag is a fault.
"""

from collections import Counter
from collections.abc import Sequence

from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.fault_kinds import WEIGHTS, Fault, FaultKind
from lamphouse.circuit.feed_faults import feed_faults
from lamphouse.circuit.netlist import Variation
from lamphouse.circuit.string_faults import chain_faults, faults_between, knob_faults, type_faults
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.design.supply import Supply
from lamphouse.record import replace


def single_faults(
    wired: WiredSubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    supply: Supply,
    series: str,
    led_types: Sequence[LedType] = (),
) -> tuple[Fault, ...]:
    """List everything that can be wrong alone, and first that nothing is.

    Parameters
    ----------
    wired, circuit
        The sub-assembly, soldered as designed.
    supply
        As the maker decided; its largest current bounds a short.
    series
        Preferred numbers, of which the neighbours of each value are taken for it by mistake.
    led_types
        Those on the bench: one of the same package may have got into another's place.
    """
    chains = chains_of(wired)
    found = (
        *feed_faults(wired, supply=supply),
        *(fault for chain in chains for fault in chain_faults(chain, series=series)),
        *knob_faults(wired, circuit=circuit),
        *type_faults(chains, circuit=circuit, led_types=led_types),
        *faults_between(chains),
    )
    sharing = Counter((fault.figure or fault.name, fault.kind) for fault in found)
    right = Fault(
        name="nothing",
        kind=FaultKind.NOTHING,
        words="nothing wrong here",
        mend="look at the loom and the other sub-assemblies",
        weight=WEIGHTS[FaultKind.NOTHING],
        variation=Variation(name="nothing"),
    )
    return (
        right,
        *(
            replace(one, weight=one.weight / sharing[one.figure or one.name, one.kind])
            for one in found
        ),
    )
