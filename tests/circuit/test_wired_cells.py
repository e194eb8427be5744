"""Cells in the circuit as wired: against their discharge, ngspice, and Ohm's law."""

import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.discharge import run_time
from lamphouse.circuit.expected import Gate
from lamphouse.circuit.fault_finder import diagnose, open_book
from lamphouse.circuit.fault_kinds import FaultKind
from lamphouse.circuit.meter import Reading
from lamphouse.circuit.netlist import GROUND, Variation
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.probes import voltage_at
from lamphouse.circuit.readings import readings_of
from lamphouse.circuit.spice import deck, element_names, node_names
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.terminals import at_terminals, terminals_of
from lamphouse.circuit.wiring_up import SOURCE, SUPPLY, whole_netlist, wire_up
from lamphouse.design.supply import CellPack, SupplyKind
from lamphouse.record import replace
from tolerances import EXACT

CELLS = built_in().cell_types
FUSE = built_in().fuses["resettable 130 mA"]
DROP = built_in().protectors["schottky diode"]
SAME = 1e-6
"""Relative: two ways to solve one circuit."""
WITNESS = 1e-5
"""Relative, beside ngspice."""


def celled(make, name="alkaline AA", *, series=3, parallel=1, **given):
    cell = CELLS[name]
    pack = CellPack(cell=cell, series=series, parallel=parallel, cut_off_V=cell.cut_off_V)
    given = {"kind": SupplyKind.CELLS, "cells": pack, "tolerance": 0.1, "fuse_A": None} | given
    return make.supply(series * cell.nominal_V, **given)


def two_walls(make, power):
    subs = [
        replace(make.sub(make.leds("W", 5, current_A=0.015)), name="wall"),
        replace(make.sub(make.leds("R", 4, led_type=make.RED, current_A=0.010)), name="desk"),
    ]
    habits = make.habits()
    fed = at_terminals(power, subs=subs)
    circuits = [
        design_circuit(sub, supply=fed, habits=habits, package=make.PACKAGE) for sub in subs
    ]
    wired = [
        wire_up(circuit, sub=sub, supply=power, habits=habits)
        for circuit, sub in zip(circuits, subs, strict=True)
    ]
    return subs, circuits, wired


@pytest.mark.parametrize("feed", [{}, {"fuse_type": FUSE, "fuse_A": 0.13, "protector": DROP}])
@pytest.mark.parametrize("parallel", [1, 2])
def test_fresh_cells_sag_as_their_discharge_begins(make, feed, parallel):
    power = celled(make, parallel=parallel, **feed)
    _, circuits, wired = two_walls(make, power)
    whole = whole_netlist(wired)
    (source,) = whole.sources
    # 0.15 ohm a cell, three in a row.
    behind = 7.0 + DROP.series_ohm if feed else 0.0
    assert source.ohm == pytest.approx(3 * 0.15 / parallel + behind, rel=EXACT)
    run = run_time(circuits, supply=power, habits=make.habits())
    # The discharge knows no wires to the LEDs.
    bare = Variation(
        ohm={
            f"{one.sub_assembly} / {wire.name}": 0.0
            for one in wired
            for chain in chains_of(one)
            for wire in chain.wires
        }
    )
    solved = solve(whole, [Variation(), bare])
    assert solved.current(SOURCE)[1] == pytest.approx(run.moments[0].total_A, rel=SAME)
    cells_V = 3 * 1.6 - 3 * 0.15 / parallel * solved.current(SOURCE)[1]
    assert cells_V == pytest.approx(run.moments[0].pack_V, rel=SAME)
    if not feed:
        assert solved.voltage(SUPPLY)[1] == pytest.approx(cells_V, rel=SAME)
    # The designed bands hold the fresh cells; the wires take next to nothing.
    assert solved.current(SOURCE)[0] == pytest.approx(solved.current(SOURCE)[1], rel=2e-3)
    assert solved.current(SOURCE)[0] < sum(circuit.total_A.high for circuit in circuits)
    assert solved.current(SOURCE)[0] > sum(circuit.total_A.low for circuit in circuits)


@pytest.mark.parametrize("name", ["alkaline AA", "coin CR2032"])
def test_ngspice_reads_the_same_on_cells(make, spice, name):
    power = celled(make, name, series=3 if name == "alkaline AA" else 1)
    netlist = two_walls(make, power)[2][1].netlist
    current = f"i({element_names(netlist)[SOURCE]})"
    across = f"v({node_names(netlist)[SUPPLY]})"
    body = deck(netlist, title="cells").partition(".options")[0].partition("\n")[2]
    found = spice(body, [current.lower(), across.lower()])
    solved = solve(netlist)
    assert -found[current.lower()] == pytest.approx(solved.current(SOURCE)[0], rel=WITNESS)
    assert found[across.lower()] == pytest.approx(solved.voltage(SUPPLY)[0], rel=WITNESS)


def test_readings_begin_with_fresh_cells_and_hold_those_in_use(make):
    power = celled(make)
    (sub, _), (circuit, _), (wired, _) = two_walls(make, power)
    habits = make.habits()
    read = readings_of(wired, circuit=circuit, sub=sub, supply=power, habits=habits)
    solved = solve(wired.netlist)
    (plug,) = (one for one in read.at(Gate.OPEN) if one.name == "plug")
    assert plug.band.nominal == pytest.approx(solved.current(SOURCE)[0], rel=EXACT)
    (volts,) = (one for one in read.at(Gate.IN_MODEL) if one.name != "plug")
    assert volts.band.nominal < 4.8 - 3 * 0.15 * plug.band.nominal
    # Written 4.5 V, 10 % less under load: the cells' own resistance takes nothing of it again.
    contacts_ohm = 2 * make.PLUG.contact_ohm
    assert 4.05 - contacts_ohm * plug.band.high < volts.band.low
    assert volts.band.low < 4.05 - contacts_ohm * plug.band.low
    assert contacts_ohm * plug.band.high < 3 * 0.15 * plug.band.low


@pytest.mark.parametrize("parallel", [1, 2])
def test_low_cells_stand_behind_more_resistance_and_are_found(make, parallel):
    power = celled(make, parallel=parallel)
    _, (circuit, _), (wired, _) = two_walls(make, power)
    book = open_book(wired, circuit=circuit, supply=power, habits=make.habits())
    low = {one.name: one for one in book.faults if one.kind is FaultKind.SUPPLY_LOW}
    cell = power.cells.cell
    empty = low["cells empty"].variation
    assert empty.voltage_V[SOURCE] == pytest.approx(3 * 0.80, rel=EXACT)
    assert empty.source_ohm[SOURCE] == pytest.approx(3 * cell.empty_ohm / parallel, rel=EXACT)
    assert ("one cell of 3 empty" in low) == (parallel == 1)
    if parallel == 1:
        one = low["one cell of 3 empty"].variation
        assert one.voltage_V[SOURCE] == pytest.approx(2 * 1.6 + 0.8, rel=EXACT)
        assert one.source_ohm[SOURCE] == pytest.approx(2 * 0.15 + cell.empty_ohm, rel=EXACT)
    fault = low["cells nearly empty"]
    solved = solve(wired.netlist, [fault.variation])
    point = next(point for point in wired.test_points if point.node == "plus")
    reading = Reading(probe=voltage_at(wired, point.name), value=float(solved.voltage("plus")[0]))
    assert diagnose(book, [reading]).suspects[0].faults[0].kind is FaultKind.SUPPLY_LOW


def test_a_supply_without_cells_is_wired_as_it_was(make):
    power = make.supply(12.0, fuse_A=0.13, fuse_type=FUSE, protector=DROP)
    ends = terminals_of(power, subs=())
    assert (ends.open_V, ends.cells_ohm) == (ends.nominal_V, 0.0)
    _, _, wired = two_walls(make, power)
    (source,) = whole_netlist(wired).sources
    assert (source.voltage_V, source.ohm) == (ends.nominal_V, ends.ohm)
    assert source.minus == GROUND
