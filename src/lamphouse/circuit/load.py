"""What all sub-assemblies together take from the supply, and how long the supply can give it."""

from collections.abc import Sequence

from lamphouse.circuit.branch import Band, SubAssemblyCircuit, SupplyLoad
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Supply


def supply_load(
    circuits: Sequence[SubAssemblyCircuit],
    *,
    supply: Supply,
    groups: Sequence[SourceGroup] = (),
) -> SupplyLoad:
    """Sum up the currents of all sub-assemblies.

    All hang on the same voltage, so that their lowest currents come together, and their highest.

    Notes
    -----
    The run time is the nominal capacity over the nominal current, for a bank that holds its
    voltage; that of named cells is solved along their discharge instead.
    """
    blinking = {group.name for group in groups if group.is_switched}
    low, nominal, high = (
        sum(getattr(circuit.total_A, end) for circuit in circuits)
        for end in ("low", "nominal", "high")
    )
    runs = supply.capacity_Ah is not None and supply.cells is None and nominal > 0.0
    dark = sum(
        string.current_A.low
        for circuit in circuits
        for string in circuit.strings
        if any(led.group in blinking for led in string.leds)
    )
    return SupplyLoad(
        total_A=Band(low=low, nominal=nominal, high=high),
        share=high / supply.max_current_A,
        run_time_h=supply.capacity_Ah / nominal if runs else None,
        dimmest_A=max(low - dark, 0.0),
    )
