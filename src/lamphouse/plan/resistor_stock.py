"""Which resistors of the drawer are free for which sub-assembly.

Those that the maker has fixed come first, all over the model. The others are given out in the order
of the file: a sub-assembly finds what those before it leave.
"""

from collections.abc import Callable, Iterator

from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.from_drawer import less, resistors_in
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.supply_rules import designable_supply
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.trial import Stock
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding

Judged = tuple[SubAssemblyCircuit | None, tuple[Finding, ...]]
"""A circuit, None where none can be designed, and what is to be said of it."""


def stock_of(design: Design) -> Stock:
    """Give the resistors in the drawer that no string of the maker's has fixed."""
    fixed = (
        wish.resistor_ohm
        for sub in design.sub_assemblies
        for wish in sub.strings
        if wish.resistor_ohm is not None
    )
    return less(resistors_in(design.drawer), fixed)


def left_after(stock: Stock, *, circuit: SubAssemblyCircuit, sub: SubAssembly) -> Stock:
    """Give what a sub-assembly leaves of a stock."""
    return less(stock, _chosen(circuit, sub=sub)) if stock else stock


def in_turn(design: Design, *, judge: Callable[[SubAssembly, Stock], Judged]) -> Iterator[Judged]:
    """Design the sub-assemblies in turn: each finds the resistors that those before it leave."""
    stock = stock_of(design)
    for sub in design.sub_assemblies:
        judged = judge(sub, stock)
        yield judged
        if judged[0]:
            stock = left_after(stock, circuit=judged[0], sub=sub)


def stock_for(sub: SubAssembly, *, design: Design) -> Stock:
    """Give what the sub-assemblies before one leave it, the loom's resistance left aside."""
    stock = stock_of(design)
    supply = at_terminals(design.supply, subs=design.sub_assemblies)
    for before in design.sub_assemblies:
        if not stock or before.name == sub.name or not designable_supply(supply):
            break
        package = before.board.resistor_package if before.board else design.resistor_package
        circuit = design_circuit(
            before, supply=supply, habits=design.habits, package=package, drawer=stock
        )
        stock = left_after(stock, circuit=circuit, sub=before)
    return stock


def _chosen(circuit: SubAssemblyCircuit, *, sub: SubAssembly) -> Iterator[float]:
    fixed = {wish.name for wish in sub.strings if wish.resistor_ohm is not None}
    return (string.resistor_ohm for string in circuit.strings if string.name not in fixed)
