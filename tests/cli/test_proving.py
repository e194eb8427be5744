"""The sub-command prove: a project's programs are run, and the pack prints what came of it."""

import json
import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from lamphouse.cli.main import command
from lamphouse.outputs import program_runs
from lamphouse.outputs.avr_proof import missing_tools
from lamphouse.outputs.program_proof import ToolMissing
from lamphouse.plan import make

SCENARIOS = Path(make.__file__).parents[1] / "project" / "scenarios"
needs_simulator = pytest.mark.skipif(
    bool(missing_tools()) and os.environ.get("CI") != "true",
    reason=f"not there: {', '.join(missing_tools())}",
)


@pytest.fixture
def saltmarsh(tmp_path):
    return Path(shutil.copytree(SCENARIOS / "saltmarsh", tmp_path / "saltmarsh"))


def run(*words):
    return CliRunner().invoke(command, list(map(str, words)), standalone_mode=False)


@needs_simulator
def test_the_program_of_a_project_is_run_and_written_down(saltmarsh):
    done = run("prove", saltmarsh / "mended.yaml", "--seconds", 2)
    assert done.return_value == 0, done.output
    assert "ran 2 s of model time: 0 differences in 1440 values" in done.output
    (kept,) = json.loads((saltmarsh / "proof.json").read_text())["runs"]
    assert (kept["controller"], kept["differences"]) == ("blinker", 0)
    assert "day" not in kept
    assert "date" not in kept


@needs_simulator
def test_json_tells_the_same(saltmarsh):
    done = run("prove", saltmarsh / "mended.yaml", "--seconds", 1, "--json")
    answer = json.loads(done.output)
    assert (answer["answer"], answer["exit"]) == ("prove", 0)
    assert [one["ran_s"] for one in answer["result"]["runs"]] == [1.0]
    assert answer["result"]["not_run"] == []


def test_a_missing_tool_is_named_and_nothing_written(saltmarsh, monkeypatch):
    def lacking(*_args, **_given):
        raise ToolMissing("the proof of a program for an AVR needs avr-gcc")  # noqa: TRY003, EM101

    monkeypatch.setattr(program_runs, "run_avr", lacking)
    done = run("prove", saltmarsh / "mended.yaml")
    assert done.return_value == 2
    assert "NOT RUN: the proof of a program for an AVR needs avr-gcc" in done.output
    assert not (saltmarsh / "proof.json").exists()


def test_a_project_without_anything_to_run_says_so(saltmarsh):
    file = saltmarsh / "mended.yaml"
    text = file.read_text()
    start, end = text.index("controllers:"), text.index("\nsub_assemblies:")
    file.write_text(text[:start] + text[end:])
    done = run("prove", file)
    assert done.return_value == 0
    assert "nothing to run" in done.output


def test_a_file_that_cannot_be_understood_is_refused_with_its_findings(tmp_path):
    file = tmp_path / "project.yaml"
    file.write_text("lamphouse: 1\n")
    done = run("prove", file)
    assert done.return_value == 2
    assert "PRJ" in done.output
