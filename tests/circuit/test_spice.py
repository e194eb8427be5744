import re
import subprocess
from math import log

import pytest

from lamphouse.circuit.netlist import GROUND, OPEN_OHM, Junction, Netlist, Resistance, Source
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.spice import THERMAL_V, deck, element_names, node_names

CELL = Source(name="cell", plus="p", minus=GROUND, voltage_V=3.0, ohm=0.5)
LED = Junction(
    name="desk lamp",
    anode="a",
    cathode=GROUND,
    slope_V=2.0 * THERMAL_V,
    log_saturation=log(1e-20),
    series_ohm=4.0,
)


def ohm(name, first, second, value=1.0):
    return Resistance(name=name, first=first, second=second, ohm=value)


def test_a_deck_line_by_line():
    circuit = Netlist(
        resistances=(
            ohm("R1", "p", "a", 120.0),
            ohm("switch / on", "a", "b", 0.0),
            ohm("off", "b", "c", OPEN_OHM),
        ),
        junctions=(LED,),
        sources=(CELL,),
    )
    lines = deck(circuit, title="Saltmarsh, D\u00e4mmer").splitlines()
    assert lines[:11] == [
        "Saltmarsh, D?mmer",
        "* R1, resistor",
        "R_R1 n_p n_a 120.0",
        "* switch / on, resistor",
        "V_switch_on n_a n_b DC 0",
        "* off, resistor, open: left out",
        "* desk lamp",
        "D_desk_lamp n_a 0 LED1",
        "* cell, with its resistance inside",
        "V_cell V_cell_inside 0 DC 3.0",
        "RV_cell_inside V_cell_inside n_p 0.5",
    ]
    found = re.fullmatch(r"\.model LED1 D\(IS=(\S+) N=(\S+) RS=(\S+)\)", lines[11])
    assert [float(value) for value in found.groups()] == pytest.approx([1e-20, 2.0, 4.0])
    assert lines[12:] == [".options temp=27 tnom=27", ".op", ".end"]


def test_names_are_legal_and_differ_whatever_their_case():
    names = ("w1", "W1", "W 1", "W-1", "", "\u7a93")
    circuit = Netlist(
        resistances=tuple(ohm(name, name, f"{name} end") for name in names),
        junctions=(),
        sources=(CELL,),
    )
    for made in (element_names(circuit), node_names(circuit)):
        lowered = [name.lower() for name in made.values()]
        assert len(set(lowered)) == len(lowered)
        assert all(name.replace("_", "").isalnum() and name.isascii() for name in lowered)
    assert deck(circuit, title="\n*\n").isascii()


def test_another_program_reads_the_deck(tool, tmp_path):
    program = tool("ngspice")
    circuit = Netlist(resistances=(ohm("R1", "p", "a", 120.0),), junctions=(LED,), sources=(CELL,))
    path = tmp_path / "deck.cir"
    path.write_text(deck(circuit, title="one lamp"))
    answer = subprocess.run(
        [program, "-b", str(path)], capture_output=True, text=True, check=True, timeout=60
    ).stdout
    (current,) = re.findall(r"^\s*v_cell#branch\s+(\S+)", answer, re.MULTILINE)
    assert -float(current) == pytest.approx(float(solve(circuit).current("cell")[0]), rel=1e-5)
