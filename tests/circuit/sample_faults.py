"""A sub-assembly with its book of faults, and a fault written into its netlist for a witness."""

from lamphouse.circuit.fault_finder import open_book
from lamphouse.circuit.netlist import OPEN_OHM, JunctionState, Resistance
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.varied import SHORT_OHM
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.record import replace


def opened(make, sub, *, groups=(), power=None, led_types=(), wished=None, **given):
    """Design, wire up and open the book of a sub-assembly; ``wished`` are the circuit's habits."""
    power, habits = power or make.supply(), make.habits(**(wished or {}))
    circuit = design_circuit(sub, supply=power, habits=habits, package=make.PACKAGE)
    wired = wire_up(circuit, sub=sub, supply=power, habits=habits, groups=groups)
    return open_book(
        wired, circuit=circuit, supply=power, habits=habits, led_types=led_types, **given
    )


def small(make):
    """Two strings of white LEDs, unlike in length, and a red one."""
    return make.sub(
        make.leds("W", 5, current_A=0.002), make.leds("A", 1, led_type=make.RED, current_A=0.004)
    )


def written_out(netlist, variation):
    """Give a netlist in which a variation is no longer one: written by hand, not by the solver."""
    moved = variation.moved
    resistances = [
        replace(
            one,
            ohm=variation.ohm.get(one.name, one.ohm),
            first=moved.get((one.name, 0), one.first),
            second=moved.get((one.name, 1), one.second),
        )
        for one in netlist.resistances
    ]
    junctions = []
    for one in netlist.junctions:
        state = variation.junction.get(one.name)
        shift = variation.shift_V.get(one.name, 0.0) / one.slope_V
        own = replace(one, log_saturation=one.log_saturation - shift)
        if state is JunctionState.REVERSED:
            own = replace(own, anode=one.cathode, cathode=one.anode)
        if state in (JunctionState.OPEN, JunctionState.SHORT):
            ohm = OPEN_OHM if state is JunctionState.OPEN else SHORT_OHM
            resistances.append(
                Resistance(name=one.name, first=one.anode, second=one.cathode, ohm=ohm)
            )
        else:
            junctions.append(own)
    resistances += [
        Resistance(name=f"bridge {place}", first=one.first, second=one.second, ohm=one.ohm)
        for place, one in enumerate(variation.bridges)
    ]
    sources = [
        replace(
            one,
            voltage_V=variation.voltage_V.get(one.name, one.voltage_V),
            ohm=variation.source_ohm.get(one.name, one.ohm),
        )
        for one in netlist.sources
    ]
    return replace(
        netlist,
        resistances=tuple(resistances),
        junctions=tuple(junctions),
        sources=tuple(sources),
    )
