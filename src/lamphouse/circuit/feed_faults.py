"""What can be wrong with the supply, and between it and the board."""

from collections.abc import Iterator

from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.discharge import cell_ohm_at, open_V_at
from lamphouse.circuit.fault_kinds import BRIDGE_OHM, Fault, FaultKind, fault_of
from lamphouse.circuit.netlist import GROUND, OPEN_OHM, Bridge, Resistance, Role, Source, Variation
from lamphouse.circuit.phrases import ohms, volts
from lamphouse.circuit.terminals import feed_ohm
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.circuit.wiring_up import SOURCE, SUPPLY
from lamphouse.design.supply import CellPack, Supply

POOR_FEED_OHM = (10.0, 100.0, 1e3)
SUPPLIES_V = (3.0, 5.0, 6.0, 9.0, 12.0, 15.0, 24.0)
"""What stands about on a bench and fits the same plug."""
_OTHER_SUPPLY = 0.1
"""Within this share of the right voltage it is the right supply."""
_SAGGED = (0.8, 0.6)
"""Shares of the voltage that flat cells of no name, or a supply with too much on it, give."""
_STIFF_OHM = 1e-3
"""Of a supply in the place of cells: too little for any reading, and enough for every slope."""
_RUN_DOWN = {"half empty": 0.5, "nearly empty": 0.8, "empty": 1.0}
"""Depths of discharge at which somebody begins to look for a fault; from memory."""


def feed_faults(wired: WiredSubAssembly, *, supply: Supply) -> Iterator[Fault]:
    """Break, spoil, swap and short the way from the supply, and the supply itself."""
    netlist = wired.netlist
    source = netlist.sources[0]
    rails = {net.name for net in wired.nets if "." not in net.name or " / " in net.name}
    inner = {wire.name for chain in chains_of(wired) for wire in chain.wires}
    feed = [one for one in netlist.resistances if one.role is not Role.RESISTOR]
    feed = [one for one in feed if one.name not in inner]
    for one in feed:
        words, mend = _feed_words(one)
        yield fault_of(
            FaultKind.FEED_OPEN,
            words.format("open" if one.role in (Role.CONTACT, Role.SWITCH) else "broken"),
            mend,
            Variation(name=f"{one.name} open", ohm={one.name: OPEN_OHM}),
        )
        for ohm in POOR_FEED_OHM if one.role is not Role.SWITCH else ():
            yield fault_of(
                FaultKind.FEED_POOR,
                words.format(f"poor, about {ohms(ohm)}"),
                mend,
                Variation(name=f"{one.name} poor {ohms(ohm)}", ohm={one.name: ohm}),
                figure=f"{one.name} poor",
            )
    switches = [one.name for one in feed if one.role is Role.SWITCH]
    if len(switches) > 1:
        yield fault_of(
            FaultKind.FEED_OPEN,
            "all switches open, or their returns not joined on the bench",
            "switch them on; on the bench, where there are none, join the returns in the plug",
            Variation(name="all switches open", ohm=dict.fromkeys(switches, OPEN_OHM)),
        )
    swap = {SUPPLY: GROUND, GROUND: SUPPLY}
    yield fault_of(
        FaultKind.POLARITY,
        "plus and minus swapped",
        "swap the plug's pins, or turn the supply's plug",
        Variation(
            name="plus and minus swapped",
            moved={
                (one.name, end): swap[node]
                for one in feed
                for end, node in enumerate((one.first, one.second))
                if node in swap
            },
        ),
    )
    yield from _shorts(wired, rails=rails, limit_A=supply.max_current_A)
    yield from _supply_faults(source, supply=supply)
    if supply.cells:
        yield from _low_cells(source, pack=supply.cells)
    else:
        yield from _sagged(source)


def _supply_faults(source: Source, *, supply: Supply) -> Iterator[Fault]:
    right = "the cells" if supply.cells else volts(source.voltage_V)
    use = "the cells" if supply.cells else f"the supply of {right}"
    other_ohm = {SOURCE: max(feed_ohm(supply), _STIFF_OHM)} if supply.cells else {}
    yield fault_of(
        FaultKind.SUPPLY_DEAD,
        "supply off, fuse blown or cells flat",
        "measure the supply alone; find why a fuse blew",
        Variation(name="no supply", source_ohm={SOURCE: OPEN_OHM}),
    )
    for other_V in SUPPLIES_V:
        if abs(other_V / source.voltage_V - 1.0) > _OTHER_SUPPLY:
            yield fault_of(
                FaultKind.SUPPLY_WRONG,
                f"supply of {volts(other_V)} instead of {right}",
                f"use {use}",
                Variation(
                    name=f"supply {volts(other_V)}",
                    voltage_V={SOURCE: other_V},
                    source_ohm=other_ohm,
                ),
                figure="supply wrong",
            )


def _sagged(source: Source) -> Iterator[Fault]:
    for share in _SAGGED:
        low_V = share * source.voltage_V
        yield fault_of(
            FaultKind.SUPPLY_LOW,
            f"supply sagged to about {volts(low_V)}",
            "measure it alone and loaded; put in fresh cells",
            Variation(name=f"supply sagged to {volts(low_V)}", voltage_V={SOURCE: low_V}),
            figure="supply low",
        )


def _low_cells(source: Source, *, pack: CellPack) -> Iterator[Fault]:
    """Run all cells down, and one cell of a single row: less voltage behind more resistance."""
    cases = {f"cells {words}": (depth, pack.series) for words, depth in _RUN_DOWN.items()}
    if pack.series > 1 and pack.parallel == 1:
        cases[f"one cell of {pack.series} empty"] = (1.0, 1)
    for words, (depth, run_down) in cases.items():
        less_V = run_down * (pack.cell.fresh_V - float(open_V_at(pack, depth)))
        more_ohm = float(cell_ohm_at(pack, depth)) - pack.cell.fresh_ohm
        yield fault_of(
            FaultKind.SUPPLY_LOW,
            words,
            "measure each cell under load; put in fresh cells, all at once",
            Variation(
                name=words,
                voltage_V={SOURCE: max(source.voltage_V - less_V, 0.0)},
                source_ohm={SOURCE: source.ohm + run_down / pack.parallel * more_ohm},
            ),
            figure="supply low",
        )


def _feed_words(one: Resistance) -> tuple[str, str]:
    """Name a piece of the feed with a gap for what is wrong, and say how to mend it."""
    first, second = (end.strip() for end in one.name.split(" / ", 1))
    second = second.replace(" / ", " ")
    if one.role is Role.CONTACT:
        return (
            f"contact of {second} in the plug {{}}",
            "clean and bend it",
        )
    if one.role is Role.SWITCH:
        return f"switch of {second} {{}}", "see whether it is on and its contacts close"
    if first == "run":
        return f"loom's run to {second} {{}}", "mend it under the floor"
    if first == "lead":
        return f"lead to the board's {second} {{}}", "solder it anew"
    return (
        f"pigtail's wire {first} to {second} {{}}",
        "solder it anew at both ends",
    )


def _shorts(wired: WiredSubAssembly, *, rails: set[str], limit_A: float) -> Iterator[Fault]:
    """Short plus to minus at the plug and at the board, the supply at its limit."""
    source = wired.netlist.sources[0]
    limit_ohm = {SOURCE: max(source.ohm, source.voltage_V / limit_A)}
    common = "plus" if wired.common_positive else "minus"
    pins = [(pin.node, pin.positive, f"pin {pin.pin}") for pin in wired.plug_pins]
    places = [
        (one, other, f"{first} and {second} of the plug")
        for one, positive, first in pins
        for other, negative, second in pins
        if positive and not negative
    ]
    places += [
        (common, rail, f"the board's {common} and {rail.replace(' / ', ' ')}")
        for rail in sorted(rails - {common})
    ]
    for one, other, names in places:
        yield fault_of(
            FaultKind.FEED_SHORT,
            f"{names} short",
            "switch off; look for a whisker of wire or solder",
            Variation(
                name=f"{one} to {other} short",
                bridges=(Bridge(first=one, second=other, ohm=BRIDGE_OHM),),
                source_ohm=limit_ohm,
            ),
            loose=0.3,
        )
