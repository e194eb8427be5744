"""The chain: everything is in the plan, and what has not changed is not computed again."""

from pathlib import Path

import pytest

from lamphouse.plan import make
from lamphouse.plan.kept import Kept
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
SALTMARSH = "src/lamphouse/project/scenarios/saltmarsh"


def read(text):
    return read_text(text, file="project.yaml")


def make_plan(text, kept=None):
    reading = read(text)
    return make.plan(reading.design, found=reading.findings, places=reading.places, kept=kept)


@pytest.fixture
def saltmarsh():
    return (Path(__file__).parents[2] / SALTMARSH / "project.yaml").read_text(encoding="utf-8")


def test_the_same_text_gives_the_same_plan(saltmarsh):
    assert make_plan(saltmarsh) == make_plan(saltmarsh)


def test_nothing_is_computed_twice(saltmarsh):
    kept = Kept()
    first = make_plan(saltmarsh, kept)
    computed = kept.computed
    assert make_plan(saltmarsh, kept) == first
    assert kept.computed == computed


def test_a_comment_above_computes_nothing_and_moves_the_lines(saltmarsh):
    kept = Kept()
    first = make_plan(saltmarsh, kept)
    computed = kept.computed
    moved = make_plan("# one more line\n" + saltmarsh, kept)
    assert kept.computed == computed
    assert [f.where.line for f in moved.findings] == [f.where.line + 1 for f in first.findings]


def test_a_change_in_one_sub_assembly_computes_that_one_alone(saltmarsh):
    kept = Kept()
    make_plan(saltmarsh, kept)
    computed = kept.computed
    changed = saltmarsh.replace("rectangle 190 x 120 mm", "rectangle 190 x 121 mm")
    assert make_plan(changed, kept) == make_plan(changed)
    # Its panel's pieces, its painting, its looks, its circuit, its spread, its heat, its runs and
    # their rules; and the room it stands in.
    assert kept.computed == computed + 9


def test_a_run_forgets_what_it_did_not_use():
    kept = Kept()
    make_plan(SOUND, kept)
    first = kept.computed
    make_plan(SOUND.replace("80 x 50 mm", "81 x 50 mm"), kept)
    touched = kept.computed - first
    make_plan(SOUND.replace("80 x 50 mm", "82 x 50 mm"), kept)
    between = kept.computed
    make_plan(SOUND, kept)
    assert kept.computed == between + touched


def test_every_wanted_light_is_in_the_plan(saltmarsh):
    plan = make_plan(saltmarsh)
    strung = [
        (circuit.sub_assembly, led.name)
        for circuit in plan.circuits
        for string in circuit.strings
        for led in string.leds
    ]
    wanted = [(sub.name, led.name) for sub in plan.design.sub_assemblies for led in sub.leds()]
    assert sorted(strung) == sorted(wanted)


def test_the_plugs_add_up_to_the_supply(saltmarsh):
    plan = make_plan(saltmarsh)
    assert plan.load.total_A.nominal == pytest.approx(
        sum(circuit.total_A.nominal for circuit in plan.circuits) + plan.load.own_A, rel=1e-12
    )
