"""The command colour as a shell sees it."""

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


def test_it_lists_ways_with_what_they_cost(call):
    code, out, err = call("colour", MENDED, "tide board", "--wanted", "red")
    assert (code, err) == (0, "")
    assert out.startswith("instrument wall / wall / tide board: red at ")
    assert "to buy" in out.splitlines()[1]
    assert out.splitlines()[2].startswith("1  ")


def test_applying_writes_the_way_and_the_check_agrees(call):
    words = ("tide board", "--wanted", "red", "--luminance", "40 cd/m2")
    code, out, _ = call("colour", MENDED, *words, "--apply", "2", "--json")
    assert code == 0
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    way = told["result"]["ways"][1]
    text = MENDED.read_text(encoding="utf-8")
    assert "# suggested: for red, " in text
    code, out, _ = call("check", MENDED, "--json")
    assert code == 0
    glow = next(one for one in json.loads(out)["result"]["glows"] if one["opening"] == "tide board")
    assert glow["mean_cd_m2"]["nominal"] == way["mean_cd_m2"]
    assert glow["colour"]["name"] == way["colour"] == "red"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("tide bord", "--wanted", "red"), "did you mean 'tide board'"),
        (("tide board", "--wanted", "ambr"), "write 'amber'"),
        (("tide board", "--wanted", "nan K"), "no colour that can be judged"),
        (("tide board", "--wanted", "99999 K"), "write 1000 K to 25000 K"),
        (("tide board", "--wanted", "red", "--luminance", "40 lx"), "--luminance"),
        (("tide board", "--wanted", "red", "--luminance", "0 cd/m2"), "no light"),
        (("tide board", "--wanted", "red", "--apply", "99"), "--apply: there are ways 1 to"),
    ],
)
def test_wrong_use_is_told_in_words_and_changes_nothing(call, words, says):
    before = MENDED.read_bytes()
    code, _, err = call("colour", MENDED, *words)
    assert code == 3
    assert says in err
    assert MENDED.read_bytes() == before


def test_without_a_colour_the_look_is_asked(call):
    text = MENDED.read_text(encoding="utf-8")
    call("colour", MENDED, "tide board")
    MENDED.write_text(
        text.replace("evenness: 70 %}", "evenness: 70 %, colour: amber}"), encoding="utf-8"
    )
    code, out, _ = call("colour", MENDED, "tide board")
    assert code == 0
    assert "tide board: amber at" in out
