"""The Night Studio demo: what its scenario counts, its planted mistakes, and their mending."""

import pytest

from lamphouse.design.pattern import PatternKind
from lamphouse.findings import Severity
from lamphouse.plan import make
from lamphouse.project.starter import demo_text
from lamphouse.record import replace
from project.projects import read

COIN = "supply: {kind: cells, voltage: 3 V, max_current: 3 mA, cells: {type: coin CR2032}}\n"


def planned(text):
    reading = read(text)
    assert not reading.findings
    return make.plan(reading.design, places=reading.places)


@pytest.fixture(scope="module")
def planted():
    return planned(demo_text("night-studio"))


@pytest.fixture(scope="module")
def mended():
    return planned(demo_text("night-studio", "mended.yaml"))


def places(plan, severity):
    return {(f.code, f.where.item) for f in plan.findings if f.severity is severity}


def test_it_holds_what_its_scenario_counts(mended):
    # The scenario's own sums: 38 LEDs, 25 fibres with the beacon, 24 on the desk, 8 of each group.
    design = mended.design
    assert sum(len(sub.leds()) for sub in design.sub_assemblies) == 38
    strands = [strand for sub in design.sub_assemblies for _, strand in sub.strands]
    groups = [strand.group for strand in strands]
    counted = {name: groups.count(name) for name in dict.fromkeys(groups)}
    assert counted == {"level": 8, "chatter": 8, "amber steady": 8, "mast": 1}
    mast = next(group for group in design.groups if group.name == "mast").pattern
    assert (mast.kind, 60.0 / mast.period_s) == (PatternKind.BEACON, 40.0)


def test_its_planted_mistakes_are_found(planted):
    assert places(planted, Severity.STOP) == {("CIR020", "rear wall / P")}
    assert ("CIR007", "supply") in places(planted, Severity.WARN)
    (bank,) = [found for found in planted.findings if found.code == "CIR007"]
    assert "'day' switched off" in bank.message


def test_the_mended_model_has_no_stops_and_no_warnings(mended):
    assert places(mended, Severity.STOP) == places(mended, Severity.WARN) == set()


def test_what_blinks_is_switched(planted, mended):
    """A maker who builds it as it is drawn sees the desk chatter, the tube strike, the mast."""
    for plan in (planted, mended):
        assert "BLP001" not in {found.code for found in plan.findings}
        (controller,) = plan.design.controllers
        moving = {
            group.name
            for group in plan.design.groups
            if group.pattern.kind is not PatternKind.STEADY
        }
        assert moving == {"chatter", "tube", "mast"}
        assert controller.name == "blinker"


def test_only_the_mended_places_differ(planted, mended):
    for old, new in zip(planted.design.sub_assemblies, mended.design.sub_assemblies, strict=True):
        if old.name == "rear wall":
            assert (len(old.strings), len(new.strings)) == (1, 0)
            (wall,), (other,) = old.panels, new.panels
            changed = {one.name for one in wall.openings if one not in other.openings}
            assert changed == {"weather map"}
            assert replace(old, strings=(), panels=new.panels) == new
        else:
            assert old == new


def test_coin_cells_in_its_place_would_be_refused():
    text = demo_text("night-studio", "mended.yaml")
    begin, end = text.index("supply:"), text.index("circuit:")
    plan = planned(text[:begin] + COIN + text[end:])
    assert ("CIR055", "supply") in places(plan, Severity.STOP)
