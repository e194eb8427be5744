"""A thousand mutants of Saltmarsh, each read and planned as the commands would."""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import pytest

FUZZ = Path(__file__).parents[2] / "fuzz" / "project_file.py"
SEED = 20_261_125


@pytest.fixture(scope="module")
def fuzz():
    spec = importlib.util.spec_from_file_location("project_file", FUZZ)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_no_mutant_ends_in_anything_but_findings_or_a_plan():
    """In processes of their own, so that time and memory are the mutants' alone."""
    runs = [
        subprocess.Popen(
            [sys.executable, FUZZ, "500", str(SEED), first],
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
            stdout=subprocess.PIPE,
            text=True,
        )
        for first in ("0", "500")
    ]
    told = [run.communicate()[0] for run in runs]
    assert [run.returncode for run in runs] == [0, 0], told
    for words in told:
        assert "500 mutants" in words
        assert " 0 failures" in words
        assert all(end in words for end in ("'plan'", "'plan with stops'", "'no design'"))


def test_one_text_holds_every_key_of_light_boxes_and_gets_a_plan_without_stops(fuzz):
    """Else its mutants would reach nothing of what they are there for."""
    text = fuzz.LIGHT_BOXES.read_text(encoding="utf-8")
    assert text in fuzz.bases()
    design = fuzz.read_text(text, file="light_boxes.yaml").design
    ((_, box),) = design.sub_assemblies[0].boxes
    assert box.faces
    assert box.pillars
    assert {baffle.hangs for baffle in box.baffles} == {True, False}
    assert {led.seat.value for led in box.leds if led.tilt_deg} == {"back", "wall"}
    assert fuzz.outcome(text.encode()) == "plan"


def test_a_mutant_is_known_by_its_seed_and_number(fuzz):
    text = fuzz.demo_text("saltmarsh")
    first = [fuzz.mutant(text, seed=1, number=number) for number in range(20)]
    assert first == [fuzz.mutant(text, seed=1, number=number) for number in range(20)]
    assert len(set(first)) == 20
