"""The whole model behind its loom, solved node by node, against the designed currents."""

from pathlib import Path

import pytest

from lamphouse.circuit.laid_loom import lay_loom, member_of
from lamphouse.circuit.loom_netlist import netlist_of
from lamphouse.circuit.netlist import Variation
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.design.supply import Common
from lamphouse.plan import make as chain
from lamphouse.project.read import read_project
from lamphouse.record import replace
from tolerances import PHYSICS

SALTMARSH = Path(__file__).parents[2] / "src/lamphouse/project/scenarios/saltmarsh/mended.yaml"


@pytest.fixture(scope="module", params=list(Common))
def model(request):
    design = read_project(SALTMARSH).design
    design = replace(design, habits=replace(design.habits, common=request.param))
    plan = chain.plan(design)
    subs = {sub.name: sub for sub in design.sub_assemblies}
    wired = [
        wire_up(
            circuit,
            sub=subs[circuit.sub_assembly],
            supply=design.supply,
            habits=design.habits,
            groups=design.groups,
        )
        for circuit in plan.circuits
    ]
    return plan, wired, solve(netlist_of(plan.loom, wired=wired))


def test_every_string_gets_what_was_designed(model):
    plan, _, solved = model
    for circuit in plan.circuits:
        for number, string in enumerate(circuit.strings, start=1):
            found = abs(solved.current(f"{circuit.sub_assembly} / R{number}")[0])
            assert found == pytest.approx(string.current_A.nominal, rel=PHYSICS)


def test_runs_have_the_pole_of_the_pins_they_lead_to(model):
    plan, wired, _ = model
    positive = plan.design.habits.common is Common.POSITIVE
    for run in plan.loom.runs:
        assert run.positive is ((run.means == "common") is positive)
        if run.means in ("common", "return"):
            assert run.colour == ("RD" if run.positive else "BK")
            assert run.sign == ("+" if run.positive else "\u2212")
    for one in wired:
        runs = {run.pin: run for run in plan.loom.runs if run.sub_assembly == one.sub_assembly}
        assert {pin.pin: pin.positive for pin in one.plug_pins} == {
            pin: run.positive for pin, run in runs.items()
        }


def test_every_run_carries_what_its_table_says(model):
    plan, _, solved = model
    for run, load in zip(plan.loom.runs, plan.loom_load.runs, strict=True):
        found = abs(solved.current(f"run {run.number}")[0])
        assert found == pytest.approx(load.current_A.nominal, rel=5 * PHYSICS)


def test_the_trunk_carries_all(model):
    plan, _, solved = model
    total = sum(circuit.total_A.nominal for circuit in plan.circuits)
    assert solved.current("supply / source")[0] == pytest.approx(total, rel=PHYSICS)


def test_a_cut_trunk_darkens_everything_and_a_cut_run_one(model):
    plan, wired, _ = model
    dead = Variation(name="trunk", ohm={"run 1": float("inf")})
    run = plan.loom.runs_of("F1", sub_assembly="bay")[0]
    one = Variation(name="bay", ohm={f"run {run.number}": float("inf")})
    solved = solve(netlist_of(plan.loom, wired=wired), [dead, one])
    assert solved.current("supply / source")[0] == pytest.approx(0.0, abs=1e-9)
    assert solved.current("bay / R1")[1] == pytest.approx(0.0, abs=1e-9)
    assert abs(solved.current("console / R1")[1]) > 1e-4


def test_each_way_from_the_supply_has_its_runs_once_and_its_switch(model):
    plan, wired, _ = model
    whole = netlist_of(plan.loom, wired=wired)
    own = [one.ohm for one in whole.resistances if " / run / " in one.name]
    assert own
    assert set(own) == {0.0}
    (beacon,) = [one.name for one in whole.resistances if one.name == "ceiling / switch / beacon"]
    solved = solve(whole, [Variation(), Variation(name="off", ohm={beacon: float("inf")})])
    return_run = next(
        run for run in plan.loom.runs if (run.sub_assembly, run.means) == ("ceiling", "beacon")
    )
    lit, dark = (abs(current) for current in solved.current(f"run {return_run.number}"))
    assert lit > 1e-3
    assert dark < 1e-9


def test_a_member_is_what_the_plug_wants():
    design = read_project(SALTMARSH).design
    subs = {sub.name: sub for sub in design.sub_assemblies}
    means = {
        name: [use.means for use in member_of(sub, groups=design.groups, supply_V=12.0).pins]
        for name, sub in subs.items()
    }
    assert means["console"] == ["common", "return", "random", "chase"]
    assert means["ceiling"] == ["common", "return", "beacon"]
    assert means["bay"] == ["common", "return"]
    assert lay_loom((), wishes=design.loom, room=design.room) is None
