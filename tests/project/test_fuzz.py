"""Three thousand mutants of Saltmarsh, each read and planned as the commands would."""

import importlib.util
import resource
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
def test_no_mutant_ends_in_anything_but_findings_or_a_plan(fuzz):
    ends, longest, failures = fuzz.run(3000, seed=SEED)
    assert failures == []
    assert sum(ends.values()) == 3000
    assert set(ends) == {"plan", "plan with stops", "no design", "not read"}
    assert longest < fuzz.LONGEST_S
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 < fuzz.MOST_MIB


def test_a_mutant_is_known_by_its_seed_and_number(fuzz):
    text = fuzz.demo_text("saltmarsh")
    first = [fuzz.mutant(text, seed=1, number=number) for number in range(20)]
    assert first == [fuzz.mutant(text, seed=1, number=number) for number in range(20)]
    assert len(set(first)) == 20
