"""What all sub-assemblies together take from the supply, and how long the supply can give it."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from lamphouse.circuit.branch import Band, SubAssemblyCircuit, SupplyLoad
from lamphouse.design.loom import FeedWish
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Supply


def supply_load(
    circuits: Sequence[SubAssemblyCircuit],
    *,
    supply: Supply,
    groups: Sequence[SourceGroup] = (),
    feeds: Sequence[FeedWish] = (),
    control: Mapping[str, Band] = MappingProxyType({}),
) -> SupplyLoad:
    """Sum up the currents of all sub-assemblies and controllers.

    All hang on the same voltage, so that their lowest currents come together, and their highest.

    Parameters
    ----------
    control
        What controllers draw themselves by the sub-assembly they stand in, empty for under the
        floor. [A]

    Notes
    -----
    The run time is the nominal capacity over the nominal current, for a bank that holds its
    voltage; that of named cells is solved along their discharge instead.
    """
    blinking = {group.name for group in groups if group.is_switched}
    low, nominal, high = (
        sum(
            getattr(taken, end) for taken in (*(one.total_A for one in circuits), *control.values())
        )
        for end in ("low", "nominal", "high")
    )
    runs = supply.capacity_Ah is not None and supply.cells is None and nominal > 0.0
    steady = {
        circuit.sub_assembly: circuit.total_A.low
        - sum(
            string.current_A.low
            for string in circuit.strings
            if any(led.group in blinking for led in string.leds)
        )
        for circuit in circuits
    }
    for name, own in control.items():
        steady[name] = steady.get(name, 0.0) + own.low
    off, dimmest_A = _dimmest(steady, feeds=feeds)
    return SupplyLoad(
        total_A=Band(low=low, nominal=nominal, high=high),
        share=high / supply.max_current_A,
        run_time_h=supply.capacity_Ah / nominal if runs else None,
        dimmest_A=max(dimmest_A, 0.0),
        off_feeds=off,
        own_A=sum((own.nominal for own in control.values()), 0.0),
    )


def _dimmest(
    steady: Mapping[str, float], *, feeds: Sequence[FeedWish]
) -> tuple[tuple[str, ...], float]:
    """Give the switched feeds that are off when least is drawn, and what is then drawn.

    One feed at least is on: when all are off, nothing is wanted of the supply.
    """
    on_switch = {
        feed.name: sum(steady.get(name, 0.0) for name in feed.sub_assemblies)
        for feed in feeds
        if feed.switched
    }
    always = sum(steady.values()) - sum(on_switch.values())
    left = {name for feed in feeds if feed.switched for name in feed.sub_assemblies}
    if on_switch and not steady.keys() - left:
        last = min(on_switch, key=lambda name: on_switch[name])
        return tuple(name for name in on_switch if name != last), on_switch[last]
    return tuple(on_switch), always
