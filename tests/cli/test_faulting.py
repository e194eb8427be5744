"""The command fault as a shell sees it."""

import json
from pathlib import Path

import jsonschema
import pytest

from lamphouse.cli import main
from lamphouse.outputs import answer

MENDED = Path("saltmarsh/mended.yaml")


@pytest.fixture
def call(capsys, monkeypatch, tmp_path):
    """Run a command in a folder with Saltmarsh; give exit code, output and error output."""
    monkeypatch.chdir(tmp_path)

    def run(*words):
        with pytest.raises(SystemExit) as leaving:
            main.run(list(map(str, words)))
        said = capsys.readouterr()
        return leaving.value.code or 0, said.out, said.err

    run("new", "saltmarsh", "--from", "saltmarsh")
    return run


def test_without_a_reading_it_says_what_to_expect_and_what_to_read_first(call):
    code, out, err = call("fault", MENDED, "chart table")
    assert (code, err) == (0, "")
    assert "with nothing wrong it reads" in out
    assert "read next: lights" in out
    assert "W1, W2 dark" in out


def test_readings_rank_the_faults_and_say_how_to_mend(call):
    code, out, _ = call("fault", MENDED, "chart table", "W1,W2=dark", "rest=lit", "TP2=0V")
    assert code == 0
    assert "W1 dead (open)" in out
    assert "-> turn it, cathode mark towards minus" in out
    assert "no reading tells these apart: look at the places" in out


def test_readings_that_nothing_explains_are_told(call):
    _, out, _ = call("fault", MENDED, "chart table", "TP6=31.0V", "plug=400mA")
    assert "faults explains this: the nearest misses the readings by" in out
    assert "Measure again" in out


def test_the_answer_is_of_the_shape_all_answers_have(call):
    words = ("W1,W2=dark", "rest=lit", "--json")
    code, out, _ = call("fault", MENDED, "chart table", *words)
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert (code, told["answer"], told["result"]["fits"]) == (0, "fault", True)
    assert told["result"]["readings"][0] == "W1 dark"
    assert sum(one["share"] for one in told["result"]["suspects"]) == pytest.approx(1.0, abs=0.02)
    assert told["result"]["then"]["outcomes"]


def test_closed_asks_for_the_plug_and_the_eye_alone(call):
    _, out, _ = call("fault", MENDED, "chart table", "plug=0mA", "--closed", "--json")
    assert json.loads(out)["result"]["then"]["probe"] in ("lights", "J1.1", "J1.2")


def test_of_many_strings_it_says_what_stands_for_what(call):
    """Seventy-two lamps in the ceiling: more than are solved each for itself."""
    text = MENDED.read_text(encoding="utf-8")
    few = "at: [60 mm, 90 mm], count: 6, step: [46 mm, 14 mm], current: 2 mA"
    assert few in text
    many = "at: [60 mm, 90 mm], count: 72, step: [3 mm, 0 mm], current: 2 mA"
    large = MENDED.with_name("large.yaml")
    large.write_text(text.replace(few, many), encoding="utf-8")
    _, out, _ = call("fault", large, "ceiling")
    assert "for all of their kind. Say which lights are dark" in out
    assert "read next: lights" in out
    dark = ",".join(f"room lamp{number}" for number in (40, 41, 42))
    _, out, _ = call("fault", large, "ceiling", f"{dark}=dark", "rest=lit")
    assert "lights lit" in out
    assert "Say which lights are dark" not in out
    (first, *_) = [line for line in out.splitlines() if "%  " in line]
    assert "room lamp4" in first


def test_what_cannot_be_is_wrong_use(call):
    for words in (["W9=dark"], ["TP1=3"], ["plug=1mA", "plug=2mA"], ["--error", "150"]):
        code, _, err = call("fault", MENDED, "chart table", *words)
        assert code == 3, words
        assert "Error:" in err
    code, out, _ = call("fault", MENDED, "cellar", "--json")
    assert code == 3
    assert "no sub-assembly 'cellar'" in json.loads(out)["error"]


def test_a_project_that_cannot_be_understood_is_told(call):
    Path("broken.yaml").write_text("lamphouse: 1\nname: [")
    code, _, _ = call("fault", "broken.yaml", "wall")
    assert code == 2
