"""A plan that follows the model as built: what was measured comes back, and ngspice agrees."""

import re
import subprocess

import pytest

from lamphouse.circuit.spice import deck
from lamphouse.design.as_built import AsBuilt
from lamphouse.findings import Where
from lamphouse.plan import make
from lamphouse.plan.bench_readings import with_readings
from lamphouse.plan.wirings import wirings
from lamphouse.project.read import read_project, read_text
from lamphouse.project.starter import start
from lamphouse.record import replace
from lamphouse.storage.bench_log import BenchLog
from tolerances import EXACT, PHYSICS

ENTRY = Where(item="as_built / 1")
WALL = "instrument wall"


@pytest.fixture(scope="module")
def design(tmp_path_factory):
    folder = tmp_path_factory.mktemp("model") / "saltmarsh"
    start(folder, demo="saltmarsh")
    return read_project(folder / "mended.yaml").design


def built(design, *figures):
    entries = tuple(AsBuilt(where=ENTRY, **figure) for figure in figures)
    return make.plan(replace(design, as_built=entries))


def string_of(plan, name, *, sub=WALL):
    (circuit,) = (one for one in plan.circuits if one.sub_assembly == sub)
    return next(one for one in circuit.strings if one.name == name)


def codes(plan):
    return {finding.code for finding in plan.findings if finding.code.startswith("ASB")}


def test_nothing_measured_changes_nothing(design):
    assert make.plan(replace(design, as_built=())) == make.plan(design)


def by_ngspice(plan, tool, tmp_path, *, sub=WALL):
    """Give the current of the supply as another solver finds it."""
    (wired,) = (one for one in wirings(plan) if one.sub_assembly == sub)
    path = tmp_path / "circuit.cir"
    path.write_text(deck(wired.netlist, title=sub))
    answer = subprocess.run(
        [tool("ngspice"), "-b", str(path)], capture_output=True, text=True, check=True, timeout=60
    ).stdout
    (current,) = re.findall(r"^\s*v_supply_source#branch\s+(\S+)", answer, re.MULTILINE)
    return -float(current)


def test_measured_currents_come_back_and_another_solver_agrees(design, tool, tmp_path):
    measured = {"S1": 1.1e-3, "S2": 0.95e-3}
    entries = [{"item": f"{WALL} / {name}", "current_A": amps} for name, amps in measured.items()]
    plan = built(design, *entries, {"item": f"{WALL} / R1", "resistor_ohm": 3850.0})
    for name, amps in measured.items():
        assert string_of(plan, name).current_A.nominal == pytest.approx(amps, rel=PHYSICS)
    total = by_ngspice(plan, tool, tmp_path)
    assert total == pytest.approx(sum(measured.values()), rel=PHYSICS)
    assert codes(plan) == set()


def test_a_measured_resistor_is_what_the_current_follows(design, tool, tmp_path):
    before = built(design)
    plan = built(design, {"item": f"{WALL} / R1", "resistor_ohm": 4050.0})
    string = string_of(plan, "S1")
    assert (string.resistor_ohm, string.measured_ohm) == (3900.0, 4050.0)
    total = by_ngspice(plan, tool, tmp_path)
    assert sum(string_of(plan, name).current_A.nominal for name in ("S1", "S2")) == pytest.approx(
        total, rel=PHYSICS
    )
    assert string.current_A.nominal < string_of(before, "S1").current_A.nominal
    width = [one.current_A.high - one.current_A.low for one in (string, string_of(before, "S1"))]
    assert width[0] < width[1], "what was measured is known better"
    assert plan.parts == before.parts, "what is bought stays what was planned"
    expected = with_readings(plan).readings.sub_assemblies
    (wall,) = (one for one in expected if one.sub_assembly == WALL)
    (on_board,) = (one for one in wall.expected if one.name == "R1")
    assert on_board.band.nominal == pytest.approx(4050.0, rel=EXACT)


def test_a_measured_supply_changes_no_resistor(design):
    before = built(design)
    plan = built(design, {"item": "supply", "voltage_V": 12.5})
    assert plan.design.supply.voltage_V == 12.5
    assert plan.design.supply.tolerance == 0.01
    for old, new in zip(before.circuits, plan.circuits, strict=True):
        assert [one.resistor_ohm for one in new.strings] == [
            one.resistor_ohm for one in old.strings
        ]
        assert new.total_A.nominal > old.total_A.nominal
    assert codes(plan) == set()
    assert codes(built(design, {"item": "supply", "voltage_V": 9.0})) == {"ASB005"}


def test_a_moved_led_is_drawn_and_glows_where_it_is(design):
    before = built(design)
    plan = built(design, {"item": f"{WALL} / P2", "at_mm": (48.0, 61.0)})
    (led,) = (one for sub in plan.design.sub_assemblies for one in sub.leds() if one.name == "P2")
    assert (led.x_mm, led.y_mm) == (48.0, 61.0)
    glow, old = (
        next(one for one in each.glows if one.box == "plotting box") for each in (plan, before)
    )
    assert glow != old
    lost = built(design, {"item": f"{WALL} / P2", "at_mm": (90.0, 61.0)})
    assert "CUT020" in {finding.code for finding in lost.findings}, "what it breaks is told"


def test_what_was_measured_with_a_knob_is_the_resistance_in_series(design):
    """The knob's place is what a current through its string tells."""
    subs = [replace(sub, trim=sub.name == WALL) for sub in design.sub_assemblies]
    trimmed = replace(design, sub_assemblies=tuple(subs))
    assert string_of(built(trimmed), "S1").knob
    plan = built(trimmed, {"item": f"{WALL} / S1", "current_A": 0.9e-3})
    string = string_of(plan, "S1")
    assert string.knob is None
    assert string.current_A.nominal == pytest.approx(0.9e-3, rel=PHYSICS)
    left_V = string.measured_ohm * string.current_A.nominal
    assert left_V + string.leds_V.nominal == pytest.approx(12.0, rel=PHYSICS)


@pytest.mark.parametrize(
    ("figure", "code", "told"),
    [
        ({"item": f"{WALL} / S9", "resistor_ohm": 1e3}, "ASB001", "did you mean"),
        ({"item": "supply", "current_A": 1.0}, "ASB002", "no current of its own"),
        ({"item": f"{WALL} / S1", "at_mm": (1.0, 1.0)}, "ASB002", "no place of its own"),
        ({"item": f"{WALL} / S1", "current_A": 5.0}, "ASB002", "would take"),
        ({"item": f"{WALL} / S1", "resistor_ohm": 4.7e3}, "ASB003", "it is a 4k7"),
        ({"item": f"{WALL} / S1", "current_A": 1.8e-3}, "ASB004", "good parts pass"),
    ],
)
def test_figures_that_do_not_fit_are_told(design, figure, code, told):
    found = [one for one in built(design, figure).findings if one.code == code]
    assert found
    assert told in f"{found[0].message}; {found[0].remedy}"


def test_the_file_holds_and_the_log_follows(tmp_path):
    start(tmp_path / "saltmarsh", demo="saltmarsh")
    file = tmp_path / "saltmarsh" / "mended.yaml"
    with BenchLog(tmp_path / "saltmarsh" / "mended.log.sqlite") as log:
        for number, (item, name, value) in enumerate(
            [
                (f"{WALL} / S1", "resistor", "4.02 kohm"),
                (f"{WALL} / S1", "resistor", "4.05 kohm"),
                (f"{WALL} / S2", "resistor", "3.8 kohm"),
                (f"{WALL} / S2", "resistor", "as planned"),
                (f"{WALL} / P2", "at", "48 mm, 61 mm"),
                (f"{WALL} / P3", "at", "far left"),
            ]
        ):
            log.append(
                key=str(number),
                at="2026-03-14T20:15:00Z",
                by="",
                device="",
                kind="as built",
                item=item,
                name=name,
                value=value,
            )
    reading = read_project(file)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    assert string_of(plan, "S1").measured_ohm == 4050.0
    assert string_of(plan, "S2").measured_ohm is None
    (unread,) = (one for one in plan.findings if one.code == "ASB002")
    assert (unread.where.item, unread.where.line) == ("bench log / 6", 6)
    text = file.read_text(encoding="utf-8")
    file.write_text(
        f"{text}\nas_built:\n  - {{item: {WALL} / S1, resistor: 3.95 kohm}}\n", encoding="utf-8"
    )
    reading = read_project(file)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    assert string_of(plan, "S1").measured_ohm == 3950.0
    (differ,) = (one for one in plan.findings if one.code == "ASB006")
    assert "bench log / 2" in differ.message


def test_a_log_that_cannot_be_read_is_told_and_left(tmp_path):
    start(tmp_path / "saltmarsh", demo="saltmarsh")
    beside = tmp_path / "saltmarsh" / "mended.log.sqlite"
    beside.write_bytes(b"no database, and longer than the header of one " * 20)
    reading = read_project(tmp_path / "saltmarsh" / "mended.yaml")
    assert reading.design
    assert [one.code for one in reading.findings if one.code.startswith("ASB")] == ["ASB007"]
    assert beside.read_bytes().startswith(b"no database")


def test_figures_of_the_file_have_units_and_ranges():
    text = "lamphouse: 1\nname: x\nscale: 1:24\nas_built:\n  - {item: supply, voltage: 12}\n"
    (found,) = (one for one in read_text(text, file="p.yaml").findings if one.code == "PRJ022")
    assert found.where.item == "as_built / 1"
