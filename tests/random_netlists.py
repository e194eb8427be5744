"""Random circuits as a clumsy hand would solder them, for the tests and the benchmark."""

import numpy as np

from lamphouse.circuit.netlist import (
    GROUND,
    OPEN_OHM,
    Junction,
    Netlist,
    Resistance,
    Role,
    Source,
)

VOLTS = (1.5, 3.0, 5.0, 9.0, 12.0, 24.0)


def random_netlist(seed, *, thermal_V):
    """Up to a dozen places with resistors, strings, single diodes, switches and cells between.

    Anything may be reversed, open, shorted, bridged, or hang on one end; sources may work against
    each other. One source stands on ground.
    """
    rng = np.random.default_rng(seed)
    places = [GROUND, *(f"n{number}" for number in range(1, int(rng.integers(3, 13))))]

    def two():
        first, second = rng.choice(len(places), size=2, replace=False)
        return places[first], places[second]

    resistances = []
    for number in range(int(rng.integers(2, 16))):
        first, second = two()
        kind = rng.choice(4, p=(0.65, 0.15, 0.1, 0.1))
        ohm = (10 ** rng.uniform(1, 5), 10 ** rng.uniform(-2, 0), 0.0, OPEN_OHM)[kind]
        role = (Role.RESISTOR, Role.WIRE, Role.SWITCH, Role.SWITCH)[kind]
        # A wire of nothing right across a source is no circuit: those hang on a place of their own.
        second = f"s{number}" if kind == 2 else second
        resistances.append(
            Resistance(name=f"r{number}", first=first, second=second, ohm=float(ohm), role=role)
        )
        if kind == 2:
            places.append(second)
    junctions = []
    for string in range(int(rng.integers(1, 7))):
        first, last = two()
        length = int(rng.integers(1, 4))
        nodes = [first, *(f"d{string}_{place}" for place in range(1, length)), last]
        kind = rng.choice(3, p=(0.75, 0.15, 0.1))
        factor = rng.uniform(*((1.8, 4.0), (1.0, 1.9), (1.0, 1.1))[kind])
        log_saturation = rng.uniform(*((-52, -28), (-36, -22), (-20, -16))[kind])
        series = rng.uniform(0.0, (30.0, 1.0, 0.2)[kind]) if rng.random() < 0.8 else 0.0
        for place in range(length):
            ends = nodes[place : place + 2]
            anode, cathode = ends[::-1] if rng.random() < 0.15 else ends
            junctions.append(
                Junction(
                    name=f"d{string}_{place}",
                    anode=anode,
                    cathode=cathode,
                    slope_V=float(factor * thermal_V),
                    log_saturation=float(log_saturation),
                    series_ohm=float(series),
                )
            )
    sources = [
        Source(
            name=f"v{number}",
            plus=plus,
            minus=minus,
            voltage_V=float(rng.choice(VOLTS)),
            ohm=float(10 ** rng.uniform(-1, 2)),
        )
        for number, (plus, minus) in enumerate(
            [(places[1], GROUND), *(two() for _ in range(int(rng.integers(0, 3))))]
        )
    ]
    return Netlist(
        resistances=tuple(resistances), junctions=tuple(junctions), sources=tuple(sources)
    )
