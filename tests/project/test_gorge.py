"""The Gorge demo: what its scenario counts, its planted mistakes, their mending, any size."""

import json
from math import pi

import pytest

from lamphouse.design.pattern import PatternKind
from lamphouse.findings import Severity
from lamphouse.outputs import pack
from lamphouse.plan import make
from lamphouse.plan.kept import Kept
from lamphouse.project.gorge.model_text import MOST_MODULES, model_text
from lamphouse.project.starter import demo_text
from lamphouse.record import replace
from project.projects import read
from tolerances import BENCH, TABLE

COPPER_OHM_MM2_PER_M = 1.0 / 58.0
"""Annealed copper at 20 degC [IEC 60028]."""
AWG_30_MM = 0.127 * 92 ** ((36 - 30) / 39)
"""Diameter by the definition of the American wire gauge [ASTM B258]."""


def planned(text):
    reading = read(text)
    assert not reading.findings
    return make.plan(reading.design, places=reading.places)


@pytest.fixture(scope="module")
def planted():
    return planned(demo_text("gorge"))


@pytest.fixture(scope="module")
def mended():
    return planned(demo_text("gorge", "mended.yaml"))


def places(plan, severity):
    return {(f.code, f.where.item) for f in plan.findings if f.severity is severity}


@pytest.mark.parametrize(("file", "as_planned"), [("project.yaml", True), ("mended.yaml", False)])
def test_the_files_are_what_the_generator_writes(file, as_planned):
    assert demo_text("gorge", file) == model_text(planted=as_planned)


def counted(design):
    """Light boxes, printed openings, LEDs, strands, and groups that are switched."""
    subs = design.sub_assemblies
    openings = [opening for sub in subs for panel in sub.panels for opening in panel.openings]
    return (
        sum(len(sub.boxes) for sub in subs),
        sum(any(layer.film.use == "print" for layer in each.layers) for each in openings),
        sum(len(sub.leds()) for sub in subs),
        sum(len(sub.strands) for sub in subs),
        sum(group.is_switched for group in design.groups),
    )


def test_it_holds_what_its_scenario_counts(mended):
    # The scenario's own numbers: six modules of 2.4 x 0.9 m, a cycle of 12 minutes.
    design = mended.design
    assert counted(design) == (48, 14, 620, 420, 36)
    assert (design.room.width_mm, design.room.depth_mm, design.scale) == (2400.0, 900.0, 50.0)
    assert sum(scene.lasts_s for scene in design.scenes) == 12 * 60.0
    assert 1.0 < mended.load.total_A.nominal < 1.5


def test_its_curved_walls_and_patterns_are_those_of_the_scenario(mended):
    design = mended.design
    curves = {
        panel.name: panel.curve
        for sub in design.sub_assemblies
        for panel in sub.panels
        if panel.curve
    }
    assert set(curves) == {"lift 1", "lift 2", "lift 3", "apse wall"}
    assert curves["lift 1"].inner_radius_mm * pi == pytest.approx(817.0, abs=TABLE)
    apse = curves["apse wall"]
    assert (apse.inner_radius_mm, apse.angle_deg) == (180.0, 150.0)
    of_kind = {}
    for group in design.groups:
        of_kind.setdefault(group.pattern.kind, []).append(group)
    (mast,) = of_kind[PatternKind.BEACON]
    assert 60.0 / mast.pattern.period_s == 40.0
    strands = [strand for sub in design.sub_assemblies for _, strand in sub.strands]
    assert sum(strand.group == mast.name for strand in strands) == 2  # in unison
    assert len(of_kind[PatternKind.ALARM]) == len(of_kind[PatternKind.STRIKE]) == 3
    assert {PatternKind.FIRE, PatternKind.WELDING} <= set(of_kind)


def test_every_planted_mistake_is_found(planted):
    assert places(planted, Severity.STOP) == {
        ("CIR059", "loom / M6"),  # the fuse before the thin wire
        ("LOM020", "loom / M6"),  # what it carries
        ("CUT008", "M1 diagram wall / tile 7 / M1V7"),
        ("FIB004", "M1 diagram wall / tile 7 / M1V7"),
    }
    warned = places(planted, Severity.WARN)
    assert ("LOM022", "M6 street / pigtail") in warned
    alike = {item for code, item in warned if code == "BLK003"}
    chance = [g for g in planted.design.groups if g.pattern.kind is PatternKind.RANDOM]
    assert len(alike) == len(chance) - 1  # each is told against the first


def test_the_thin_feed_loses_what_ohm_s_law_says(planted):
    # Both wires of the trunk, at the current of the worst case, by the resistivity of copper.
    trunk = [run for run in planted.loom.runs if run.feed == "M6" and not run.sub_assembly]
    (common,) = [run for run in trunk if run.positive]
    section_mm2 = pi / 4.0 * AWG_30_MM**2
    ohm = COPPER_OHM_MM2_PER_M * common.length_mm / 1000.0 / section_mm2
    assert common.ohm == pytest.approx(ohm, rel=BENCH)
    assert 2.5 < common.length_mm / 1000.0 < 3.6  # "3 m long"


def test_the_mended_model_has_neither_stops_nor_warnings(mended):
    assert places(mended, Severity.STOP) == places(mended, Severity.WARN) == set()


def test_only_the_mended_places_differ(planted, mended):
    old, new = planted.design, mended.design
    named = [sub.name for sub, other in zip(*_subs(old, new), strict=True) if sub != other]
    assert named == ["M1 diagram wall"]
    feeds = zip(old.loom.feeds, new.loom.feeds, strict=True)
    assert [one.name for one, other in feeds if one != other] == ["M6"]
    for one, other in zip(old.groups, new.groups, strict=True):
        seedless = replace(one.pattern, seed=None)
        assert replace(one, pattern=seedless) == other


def _subs(*designs):
    return [design.sub_assemblies for design in designs]


@pytest.mark.parametrize("modules", [1, 7, 12, MOST_MODULES])
def test_it_grows_to_any_number_of_modules(modules):
    for as_planned in (True, False):
        reading = read(model_text(modules=modules, planted=as_planned))
        assert not reading.findings
        boxes, _, leds, strands, groups = counted(reading.design)
        assert (boxes, strands, groups) == (8 * modules, 70 * modules, 6 * modules)
        assert 103 * modules <= leds <= 104 * modules


@pytest.mark.slow
def test_twice_the_modules_have_no_stops_either():
    assert places(planned(model_text(modules=12, planted=False)), Severity.STOP) == set()


@pytest.mark.parametrize("modules", [1, 6, 9])
def test_its_drawer_holds_a_tenth_more_than_it_takes(modules):
    design = read(model_text(modules=modules, planted=False)).design
    kinds = [led.led_type.name for sub in design.sub_assemblies for led in sub.leds()]
    for part in design.drawer:
        assert 0 <= 10 * part.count - 11 * kinds.count(part.part) < 10


@pytest.mark.parametrize("modules", [0, -1, MOST_MODULES + 1])
def test_no_other_number_is_written(modules):
    with pytest.raises(ValueError, match="modules"):
        model_text(modules=modules, planted=True)


def test_a_change_in_one_module_runs_that_module_s_steps_alone():
    text, kept = demo_text("gorge", "mended.yaml"), Kept()
    reading = read(text)
    first = make.plan(reading.design, places=reading.places, kept=kept)
    everything = kept.computed
    again = make.plan(reading.design, places=reading.places, kept=kept)
    assert (kept.computed, again.findings) == (everything, first.findings)
    deeper = read(text.replace("depth: 20 mm", "depth: 19 mm", 1))
    changed = make.plan(deeper.design, places=deeper.places, kept=kept)
    assert kept.computed - everything < 0.1 * everything
    for old, new in zip(first.circuits[3:], changed.circuits[3:], strict=True):
        assert old is new


@pytest.mark.slow
def test_its_pack_holds_a_page_for_every_sub_assembly(mended):
    files = pack.build(mended)
    listed = json.loads(files["pack.json"])["files"]
    assert set(listed) == set(files) - {"pack.json"}
    decks = [name for name in files if name.startswith("circuit/")]
    assert len(decks) == len(mended.design.sub_assemblies)
    strands = files["tables/strands.csv"].decode().splitlines()
    assert len(strands) == 1 + 420
