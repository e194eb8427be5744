"""The command balance as a shell sees it."""

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


def test_it_shows_strings_openings_and_why_no_fewer_values_do(call):
    before = MENDED.read_bytes()
    code, out, err = call("balance", MENDED)
    assert (code, err) == (0, "")
    assert "resistor values before: 7" in out
    assert "resistor values after:  6" in out
    assert "value that is in use anyway" in out
    assert out.splitlines()[-1].endswith("--apply")
    assert MENDED.read_bytes() == before


def test_applying_writes_it_and_the_check_agrees(call):
    code, out, _ = call("balance", MENDED, "--apply", "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert (code, told["result"]["applied"]) == (0, True)
    code, out, _ = call("check", MENDED, "--json")
    assert code == 0
    promised = [one["after"] for one in told["result"]["openings"]]
    assert json.loads(out)["result"]["glows"] == promised
    after = MENDED.read_bytes()
    call("balance", MENDED, "--apply")
    assert MENDED.read_bytes() == after


def test_what_no_resistor_does_is_told(call):
    code, out, _ = call("balance", "saltmarsh", "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert code == 0
    assert [one["code"] for one in told["findings"]] == ["BAL003"]


@pytest.mark.parametrize("ratio", ["1", "0.5", "nan", "much"])
def test_a_ratio_that_is_none_is_refused(call, ratio):
    code, out, err = call("balance", MENDED, "--match", ratio)
    assert (code, out) == (3, "")
    assert "--match" in err


def test_a_project_that_cannot_be_understood_is_said_so(call, tmp_path):
    (tmp_path / "bad.yaml").write_text("scale: [", encoding="utf-8")
    assert call("balance", "bad.yaml")[0] == 2
    told = json.loads(call("balance", "bad.yaml", "--json")[1])
    assert (told["exit"], told["result"]) == (2, None)
