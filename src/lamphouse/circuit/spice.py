"""A netlist as a SPICE deck, for whoever wants to solve it again with another program.

Each element stands behind a comment with our name for it. Nodes and elements get names that every
dialect takes: letters, digits and underscores, unique without regard to case.
"""

import re
from collections.abc import Iterable, Iterator
from math import exp, isinf

from lamphouse.circuit.joined import LEAST_OHM
from lamphouse.circuit.netlist import GROUND, Junction, Netlist, Resistance, Source

THERMAL_V = 1.38064852e-23 * 300.15 / 1.6021766208e-19
"""k T / q at 27 degC, of the constants of 2014 that the solvers of this family carry; those of 2019
lie a few parts in ten million off [SPICE3]."""


def deck(netlist: Netlist, *, title: str) -> str:
    """Write a netlist as a deck that asks for the operating point.

    A resistance of nothing becomes a source of 0 V and an open one is left out, as decks know
    neither. A source with a resistance inside becomes two elements. The diodes' models hold at
    27 degC, which says nothing of the air: their curves are already as warm as ours.

    Parameters
    ----------
    netlist
        Saturation currents below 1e-28 A would be raised by some solvers; no LED of the catalogue
        comes near.
    title
        First line of the deck.

    Returns
    -------
    str
        Plain ASCII, lines ended by a line feed.

    References
    ----------
    [SPICE3]
    """
    names = element_names(netlist)
    nodes = node_names(netlist)
    models: dict[str, str] = {}
    lines = [_ascii(title)]
    for resistance in netlist.resistances:
        lines += _resistance(resistance, name=names[resistance.name], nodes=nodes)
    for junction in netlist.junctions:
        model = models.setdefault(_model(junction), f"LED{len(models) + 1}")
        ends = f"{nodes[junction.anode]} {nodes[junction.cathode]}"
        lines += [_comment(junction.name), f"{names[junction.name]} {ends} {model}"]
    for source in netlist.sources:
        lines += _source(source, name=names[source.name], nodes=nodes)
    lines += [f".model {name} {values}" for values, name in models.items()]
    lines += [".options temp=27 tnom=27", ".op", ".end"]
    return "\n".join(lines) + "\n"


def element_names(netlist: Netlist) -> dict[str, str]:
    """Give each element's name in the deck, its first letter telling the kind."""
    lettered = [("V" if one.ohm < LEAST_OHM else "R", one.name) for one in netlist.resistances]
    lettered += [("D", one.name) for one in netlist.junctions]
    lettered += [("V", one.name) for one in netlist.sources]
    legal = _legal(f"{letter}_{name}" for letter, name in lettered)
    return {name: made for (_, name), made in zip(lettered, legal, strict=True)}


def node_names(netlist: Netlist) -> dict[str, str]:
    """Give each node's name in the deck; ground stays as it is."""
    ours: dict[str, None] = {}
    for resistance in netlist.resistances:
        ours |= {resistance.first: None, resistance.second: None}
    for junction in netlist.junctions:
        ours |= {junction.anode: None, junction.cathode: None}
    for source in netlist.sources:
        ours |= {source.plus: None, source.minus: None}
    ours.pop(GROUND, None)
    return {GROUND: GROUND, **dict(zip(ours, _legal(f"n_{node}" for node in ours), strict=True))}


def _legal(names: Iterable[str]) -> Iterator[str]:
    taken: set[str] = set()
    for name in names:
        made = plain = re.sub(r"[^A-Za-z0-9]+", "_", name).rstrip("_")
        number = 1
        while made.lower() in taken:
            number += 1
            made = f"{plain}_{number}"
        taken.add(made.lower())
        yield made


def _resistance(one: Resistance, *, name: str, nodes: dict[str, str]) -> list[str]:
    ends = f"{nodes[one.first]} {nodes[one.second]}"
    if isinf(one.ohm):
        return [_comment(f"{one.name}, {one.role}, open: left out")]
    value = "DC 0" if one.ohm < LEAST_OHM else repr(float(one.ohm))
    return [_comment(f"{one.name}, {one.role}"), f"{name} {ends} {value}"]


def _source(one: Source, *, name: str, nodes: dict[str, str]) -> list[str]:
    plus, minus, value = nodes[one.plus], nodes[one.minus], f"DC {float(one.voltage_V)!r}"
    if one.ohm < LEAST_OHM:
        return [_comment(one.name), f"{name} {plus} {minus} {value}"]
    inside = f"{name}_inside"
    return [
        _comment(f"{one.name}, with its resistance inside"),
        f"{name} {inside} {minus} {value}",
        f"R{inside} {inside} {plus} {float(one.ohm)!r}",
    ]


def _model(one: Junction) -> str:
    saturation, factor = exp(one.log_saturation), one.slope_V / THERMAL_V
    return f"D(IS={saturation!r} N={factor!r} RS={float(one.series_ohm)!r})"


def _comment(text: str) -> str:
    return f"* {_ascii(text)}"


def _ascii(text: str) -> str:
    return " ".join(text.encode("ascii", "replace").decode().split())
