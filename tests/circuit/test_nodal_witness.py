"""The nodal solver against ngspice, on decks that this project writes."""

import re
import subprocess
from math import exp, isinf, isnan

import pytest

from lamphouse.circuit import nodal
from lamphouse.circuit.netlist import GROUND, Resistance, Role
from lamphouse.circuit.spice import THERMAL_V, deck, element_names, node_names
from lamphouse.record import replace
from random_netlists import random_netlist

WITNESS = 1e-5
"""Relative, on the current of every element."""
DAMP_OHM = 1e12
"""From every node to ground on both sides, and as gmin beside every junction: with less, ngspice
does not settle where a part of the circuit floats."""
FLOOR_A = 1e-10
"""What ngspice leaves undecided: its abstol, and rounding of amperes."""
REVERSE = 0.01
"""Below -3 n VT it replaces the exponential by a cubic, up to this share of the saturation current
off [NGSPICE, by comparing]."""
EACH, DECIDED = 52, 50
"""Circuits in each batch, and how many ngspice must settle; one in 250 it gives up."""
OPTIONS = f".options gmin={1 / DAMP_OHM} abstol=1e-12 reltol=1e-5 vntol=1e-8 itl1=500\n.end"


def damp(netlist):
    shunts = [
        Resistance(name=f"damp {node}", first=node, second=GROUND, ohm=DAMP_OHM, role=Role.LOAD)
        for node in node_names(netlist)
        if node != GROUND
    ]
    return replace(netlist, resistances=(*netlist.resistances, *shunts))


@pytest.fixture
def witness(tool, tmp_path):
    """Solve netlists in one run of ngspice; give the current of each element, by netlist."""
    program = tool("ngspice")

    def run(netlists):
        script = ["set numdgt=12"]
        for number, netlist in enumerate(netlists):
            path = tmp_path / f"{number}.cir"
            path.write_text(deck(netlist, title=str(number)).replace(".end", OPTIONS))
            script += [f"source {path}", "op", f"echo case {number}"]
            for name in element_names(netlist).values():
                shown = (
                    f"i({name})"
                    if name[0] == "V"
                    else f"@{name}[{'id' if name[0] == 'D' else 'i'}]"
                )
                script.append(f"print {shown}")
            script += ["destroy all", "remcirc"]
        path = tmp_path / "all.cir"
        path.write_text("\n".join(["all", ".control", *script, "quit", ".endc", ".end"]) + "\n")
        answer = subprocess.run(
            [program, "-b", str(path)], capture_output=True, text=True, check=False, timeout=300
        )
        cases = re.split(r"^case \d+$", answer.stdout, flags=re.MULTILINE)[1:]
        assert len(cases) == len(netlists), answer.stderr[-2000:]
        return [
            {
                name.lower(): float(value)
                for name, value in re.findall(r"^(?:i\(|@)(\w+)\S* = (\S+)\s*$", case, re.MULTILINE)
            }
            for case in cases
        ]

    return run


@pytest.mark.parametrize("batch", range(10))
def test_five_hundred_random_circuits(witness, batch, monkeypatch):
    monkeypatch.setattr(nodal, "LEAK_S", 1 / DAMP_OHM)
    seeds = range(batch * EACH, (batch + 1) * EACH)
    netlists = [damp(random_netlist(seed, thermal_V=THERMAL_V)) for seed in seeds]
    decided = 0
    for seed, netlist, found in zip(seeds, netlists, witness(netlists), strict=True):
        if any(isnan(value) for value in found.values()):
            continue
        decided += 1
        solved = nodal.solve(netlist)
        floor = FLOOR_A + REVERSE * max(exp(one.log_saturation) for one in netlist.junctions)
        names = element_names(netlist)
        sources = {source.name for source in netlist.sources}
        for element in (*netlist.resistances, *netlist.junctions, *netlist.sources):
            own = float(solved.current(element.name)[0])
            if isinf(getattr(element, "ohm", 0.0)):
                assert own == 0.0
                continue
            theirs = found[names[element.name].lower()]
            theirs = -theirs if element.name in sources else theirs
            assert own == pytest.approx(theirs, rel=WITNESS, abs=floor), (seed, element)
    assert decided >= DECIDED
