"""What all sub-assemblies together take from the supply, and how long the supply can give it."""

from collections.abc import Sequence

from lamphouse.circuit.branch import Band, SubAssemblyCircuit, SupplyLoad
from lamphouse.design.supply import Supply


def supply_load(circuits: Sequence[SubAssemblyCircuit], *, supply: Supply) -> SupplyLoad:
    """Sum up the currents of all sub-assemblies.

    All hang on the same voltage, so that their lowest currents come together, and their highest.

    Notes
    -----
    The run time is the nominal capacity over the nominal current: cells that sag, age or are
    drawn on quickly give less, which is not in the model.
    """
    low, nominal, high = (
        sum(getattr(circuit.total_A, end) for circuit in circuits)
        for end in ("low", "nominal", "high")
    )
    runs = supply.capacity_Ah is not None and nominal > 0.0
    return SupplyLoad(
        total_A=Band(low=low, nominal=nominal, high=high),
        share=high / supply.max_current_A,
        run_time_h=supply.capacity_Ah / nominal if runs else None,
    )
