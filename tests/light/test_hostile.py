"""Hostile light boxes that the solver takes, each solved in a process of its own."""

import importlib.util
import sys
from pathlib import Path

import pytest

from lamphouse.light.box_mesh import MOST_ROWS, rows_of
from lamphouse.light.sound_suite import MOST_TOGETHER, size_faults
from lamphouse.light.step_size import step_mm

FUZZ = Path(__file__).parents[2] / "fuzz" / "light_box.py"
SEED = 20_261_126
KINDS = 8


@pytest.fixture(scope="module")
def fuzz():
    spec = importlib.util.spec_from_file_location("light_box", FUZZ)
    module = importlib.util.module_from_spec(spec)
    sys.modules["light_box"] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_one_box_of_each_kind_is_solved_within_its_memory(fuzz):
    told = dict(fuzz.run(KINDS, seed=SEED))
    assert [one["fault"] for one in told.values()] == [""] * KINDS
    assert len({one["kind"] for one in told.values()}) == KINDS
    assert max(one["peak_mib"] for one in told.values()) < fuzz.MOST_MIB


@pytest.mark.slow
def test_what_is_taken_has_few_enough_rows(fuzz):
    for number in range(2 * KINDS):
        drawn = fuzz.hostile(seed=SEED, number=number)
        rows = [rows_of(box, step_mm=step_mm(box), most=MOST_ROWS) for box in drawn.boxes]
        assert max(rows) <= MOST_ROWS
        assert sum(rows) <= MOST_TOGETHER
        assert not drawn.passages or not any(size_faults(drawn.suite()))


def test_a_box_is_known_by_its_seed_and_number(fuzz):
    one, two = (fuzz.hostile(seed=SEED, number=8) for _ in range(2))
    assert one == two
    assert one.boxes != fuzz.hostile(seed=SEED + 1, number=8).boxes
