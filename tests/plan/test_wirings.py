"""Saltmarsh as it is soldered, against its designed currents and another solver."""

import re
import subprocess
from pathlib import Path

import pytest

from lamphouse.circuit.nodal import solve
from lamphouse.circuit.spice import deck
from lamphouse.circuit.wiring_up import SOURCE
from lamphouse.plan import make
from lamphouse.plan.wirings import wirings
from lamphouse.project.read import read_project
from tolerances import PHYSICS

SALTMARSH = Path(__file__).parents[2] / "src/lamphouse/project/scenarios/saltmarsh/mended.yaml"
WITNESS = 1e-5
"""Relative, against ngspice; its operating point is printed to six digits."""


@pytest.fixture(scope="module")
def plan():
    return make.plan(read_project(SALTMARSH).design)


def test_every_circuit_draws_what_was_designed(plan):
    wired = wirings(plan)
    assert [one.sub_assembly for one in wired] == [one.sub_assembly for one in plan.circuits]
    for circuit, one in zip(plan.circuits, wired, strict=True):
        total = solve(one.netlist).current(SOURCE)[0]
        assert total == pytest.approx(circuit.total_A.nominal, rel=PHYSICS)


def test_another_solver_agrees_on_every_circuit(plan, tool, tmp_path):
    program = tool("ngspice")
    for one in wirings(plan):
        path = tmp_path / "circuit.cir"
        path.write_text(deck(one.netlist, title=one.sub_assembly))
        answer = subprocess.run(
            [program, "-b", str(path)], capture_output=True, text=True, check=True, timeout=60
        ).stdout
        (current,) = re.findall(r"^\s*v_supply_source#branch\s+(\S+)", answer, re.MULTILINE)
        own = float(solve(one.netlist).current(SOURCE)[0])
        assert own == pytest.approx(-float(current), rel=WITNESS)
