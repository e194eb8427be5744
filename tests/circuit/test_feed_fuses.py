"""A feed with a fuse of its own: what it guards, what it is judged by, and what is bought."""

from pathlib import Path

import pytest

from lamphouse.circuit.loom_netlist import netlist_of
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.plan import make
from lamphouse.project.read import read_text
from tolerances import EXACT, PHYSICS

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
SUPPLY = "supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}"
STRONG = SUPPLY.replace("500 mA", "2 A")


def planned(supply, loom=""):
    assert SUPPLY in SOUND
    text = SOUND.replace(SUPPLY, supply) + loom
    return make.plan(read_text(text, file="project.yaml").design)


def codes(supply, loom=""):
    found = {finding.code for finding in planned(supply, loom).findings}
    return {code for code in found if code.startswith("CIR")}


def feed(*, fuse="", wire="24 AWG insulated"):
    own = f", fuse: {fuse}" if fuse else ""
    return f"loom:\n  wire: {wire}\n  feeds:\n    day: {{sub_assemblies: [desk]{own}}}\n"


def test_the_fuse_of_a_feed_guards_the_pigtails_behind_it():
    assert codes(STRONG) == {"CIR010"}
    assert codes(STRONG, feed()) == {"CIR010"}
    assert codes(STRONG, feed(fuse="500 mA")) == set()
    assert codes(STRONG, feed(fuse="600 mA")) == {"CIR009"}


def test_the_smaller_of_two_fuses_counts():
    large = STRONG.replace("2 A", "2 A, fuse: 1 A")
    assert codes(large) == {"CIR009"}
    assert codes(large, feed(fuse="400 mA")) == set()


@pytest.mark.parametrize(("fuse", "told"), [("12 mA", True), ("40 mA", False)])
def test_a_feed_s_fuse_carries_its_load(fuse, told):
    text = SOUND.replace("current: 0.5 mA", "current: 8 mA") + feed(fuse=fuse)
    plan = make.plan(read_text(text, file="project.yaml").design)
    assert 0.012 < plan.load.total_A.high < 0.040
    assert ("CIR058" in {finding.code for finding in plan.findings}) == told


def test_a_thin_trunk_is_fused_by_what_it_carries():
    thin = {"wire": "36 AWG enamelled"}
    assert "CIR067" in codes(SUPPLY, feed(**thin))
    assert "CIR059" in codes(SUPPLY, feed(fuse="130 mA", **thin))
    assert codes(SUPPLY, feed(fuse="120 mA", **thin)) == set()
    assert codes(SUPPLY.replace("500 mA", "100 mA"), feed(**thin)) == set()


def test_a_feed_s_fuse_guards_against_a_short_of_cells():
    cells = (
        "supply: {kind: cells, voltage: 9 V, tolerance: 10 %, max_current: 400 mA, "
        "reverse_protection: schottky diode, cells: {type: alkaline AA, count: 6}}"
    )
    assert codes(cells) == {"CIR064"}
    assert codes(cells, feed(fuse="500 mA")) == set()


def test_cells_fuse_and_protection_are_bought():
    supply = (
        "supply: {kind: cells, voltage: 4.5 V, tolerance: 10 %, max_current: 500 mA, "
        "fuse_type: glass 500 mA, reverse_protection: p-channel mosfet, "
        "cells: {type: alkaline AA, count: 3, parallel: 2}}"
    )
    drawer = "drawer:\n  - {part: alkaline AA, count: 4}\n"
    reading = read_text(SOUND.replace(SUPPLY, supply) + drawer, file="project.yaml")
    assert reading.findings == ()
    lines = {line.part: line for line in make.plan(reading.design).parts}
    assert (lines["alkaline AA"].need, lines["alkaline AA"].have) == (6, 4)
    assert (lines["glass 500 mA"].need, lines["glass 500 mA"].spares) == (1, 1)
    assert lines["p-channel mosfet"].spares == 0


class TestANamedFuse:
    """A feed's fuse out of the catalogue: rated, derated, and felt by what hangs on it."""

    LAMPS = """    lamps:
      L: {type: white 0603, at: [10 mm, 10 mm], count: 32, step: [1 mm, 0 mm], current: 5 mA}
"""

    def plan(self, loom, *, supply=SUPPLY, lamps=32):
        lit = self.LAMPS.replace("count: 32", f"count: {lamps}")
        text = SOUND.replace(SUPPLY, supply) + lit
        reading = read_text(text + loom, file="project.yaml")
        assert reading.findings == ()
        return make.plan(reading.design)

    def loom(self, fuse_type, *, wire="24 AWG insulated", more=""):
        row = f"{{sub_assemblies: [desk], fuse_type: {fuse_type}{more}}}"
        return f"loom:\n  wire: {wire}\n  feeds:\n    day: {row}\n"

    def codes(self, *given, **more):
        return {finding.code for finding in self.plan(*given, **more).findings}

    def test_its_row_says_its_rating_and_it_is_bought(self):
        plan = self.plan(self.loom("glass 250 mA"))
        (day,) = plan.loom.feeds
        assert (day.fuse_A, day.fuse_ohm) == (0.25, 1.2)
        (line,) = [line for line in plan.parts if line.kind == "fuse"]
        assert (line.part, line.need, line.spares) == ("glass 250 mA", 1, 1)

    def test_its_resistance_is_in_the_drop_and_dims_the_strings(self):
        """Ohm's law: 3 ohm at the feed's own largest current."""
        bare, fused = (
            self.plan(text)
            for text in (
                self.loom("x").replace("fuse_type: x", "fuse: 250 mA"),
                self.loom("resettable 250 mA"),
            )
        )
        (before,), (after,) = bare.loom_load.sockets, fused.loom_load.sockets
        (carried,) = fused.loom_load.feeds_A
        wires_V = sum(
            load.drop_V
            for run, load in zip(fused.loom.runs, fused.loom_load.runs, strict=True)
            if run.means in ("common", "return")
        )
        assert after.loom_drop_V == pytest.approx(wires_V + 3.0 * carried.high, rel=EXACT)
        assert after.drop_V > before.drop_V
        assert fused.circuits[0].lead_ohm - bare.circuits[0].lead_ohm == pytest.approx(3.0)

    def test_it_carries_less_when_warm(self):
        """0.95 percent for each kelvin above 23 degC [FUSES]: 130 mA holds 115 mA in 35 degC."""
        told = {count: self.plan(self.loom("resettable 130 mA"), lamps=count) for count in (32, 45)}
        assert told[32].load.total_A.high < 0.1152 < told[45].load.total_A.high < 0.13
        codes = {count: {finding.code for finding in plan.findings} for count, plan in told.items()}
        assert "CIR060" not in codes[32]
        assert "CIR060" in codes[45]
        assert "CIR058" not in codes[45]

    def test_a_trunk_carries_what_opens_it(self):
        thin = {"wire": "30 AWG insulated"}
        assert "CIR061" in self.codes(self.loom("resettable 500 mA", **thin), supply=STRONG)
        assert "CIR061" not in self.codes(self.loom("resettable 200 mA", **thin), supply=STRONG)

    def test_two_ratings_and_an_unknown_name(self):
        assert "CIR063" in self.codes(self.loom("glass 250 mA", more=", fuse: 500 mA"))
        text = SOUND + self.loom("glass 33 mA")
        assert [f.code for f in read_text(text, file="project.yaml").findings] == ["PRJ040"]

    def test_it_breaks_the_voltage_of_the_supply(self):
        strong = SUPPLY.replace("12 V", "31 V")
        assert "CIR062" in self.codes(self.loom("chip 500 mA"), supply=strong)
        assert "CIR062" not in self.codes(self.loom("glass 500 mA"), supply=strong)

    @pytest.mark.parametrize("common", ["positive", "negative"])
    def test_the_whole_circuit_solved_gives_the_designed_currents(self, common):
        """Kirchhoff's laws, node by node, with the fuse as a resistance of its own."""
        text = SOUND.replace("circuit: {", f"circuit: {{common: {common}, ")
        design = read_text(text + self.loom("resettable 80 mA"), file="project.yaml").design
        plan = make.plan(design)
        (sub,), (circuit,) = design.sub_assemblies, plan.circuits
        wired = wire_up(
            circuit, sub=sub, supply=design.supply, habits=design.habits, groups=design.groups
        )
        solved = solve(netlist_of(plan.loom, wired=[wired]))
        for number, string in enumerate(circuit.strings, start=1):
            found = abs(solved.current(f"desk / R{number}")[0])
            assert found == pytest.approx(string.current_A.nominal, rel=PHYSICS)
        assert solved.current("fuse day")[0] == pytest.approx(circuit.total_A.nominal, rel=PHYSICS)
