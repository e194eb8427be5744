"""The command suggest as a shell sees it."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

from lamphouse.cli import main
from lamphouse.cli.suggesting import _evenness
from lamphouse.outputs import answer


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


MENDED = Path("saltmarsh/mended.yaml")


def test_it_shows_ranked_choices_with_their_price_and_the_proof(call):
    code, out, err = call("suggest", MENDED, "tide box")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].startswith("instrument wall / wall / tide box")
    assert lines[2].strip().startswith("as drawn")
    assert lines[3].startswith("1  ")
    assert "beside the box as drawn:" in out
    assert "to buy beyond the model as drawn: no price in your list for 'resistor" in out
    assert re.search(r"proved: no fewer than \d LEDs will do in the box as drawn;", out)
    assert re.search(r"\d \u00b1\d", out)
    assert lines[-1].endswith("--apply NUMBER")


def test_money_is_told_in_words_and_figures(call):
    # Saltmarsh has 17 warm white LEDs and 2 spares: of 19 in the drawer none is missing, and the
    # fourth LED of a choice opens a pack.
    held = "{part: warm white 0603, count: 20}"
    text = MENDED.read_text(encoding="utf-8")
    assert held in text
    MENDED.write_text(text.replace(held, held.replace("20", "19")), encoding="utf-8")
    _, out, _ = call("suggest", MENDED, "tide box")
    assert out.count("to buy beyond the model as drawn: 6.00 EUR more; no price") == 2
    _, out, _ = call("suggest", MENDED, "tide box", "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert (told["result"]["drawn"]["to_buy"], told["result"]["drawn"]["cost"]) == ("", [])
    for choice in told["result"]["choices"]:
        packs = [{"currency": "EUR", "cost": 6.0}] if len(choice["leds"]) == 4 else []
        assert choice["cost"] == packs
        assert choice["to_buy"].startswith("6.00 EUR more" if packs else "no price in your list")
        assert all(part in choice["to_buy"] for part in choice["unpriced"])


def test_applying_writes_the_choice_and_the_check_agrees(call):
    before = MENDED.read_text(encoding="utf-8")
    code, out, _ = call("suggest", MENDED, "tide box", "--apply", "1", "--json")
    assert code == 0
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert told["result"]["applied"] == 1
    after = MENDED.read_text(encoding="utf-8")
    assert after != before
    assert "# suggested:" in after
    assert after.count("#") == before.count("#") + 1
    code, out, _ = call("check", MENDED, "--json")
    assert code == 0
    glow = next(one for one in json.loads(out)["result"]["glows"] if one["opening"] == "tide board")
    promised = told["result"]["choices"][0]["openings"][0]
    assert glow["evenness"] == promised["evenness"]
    assert glow["mean_cd_m2"]["nominal"] == promised["mean_cd_m2"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("tide",), "did you mean 'tide box'"),
        (("tide box", "--look", "x"), "no look 'x'"),
        (("tide box", "--led", "whit 0603"), "did you mean 'white 0603'"),
        (("tide box", "--deepest", "12"), "--deepest"),
        (("tide box", "--deepest", "-3 mm"), "no depth"),
        (("tide box", "--apply", "99"), "there are choices 1 to"),
    ],
)
def test_wrong_use_is_told_and_nothing_is_written(call, words, told):
    before = MENDED.read_bytes()
    code, _, err = call("suggest", MENDED, *words)
    assert code == 3
    assert told in err
    assert MENDED.read_bytes() == before


def test_a_project_that_cannot_be_understood_gives_its_findings(call):
    MENDED.write_text("lamphouse: 1\nname: [\n", encoding="utf-8")
    code, out, _ = call("suggest", MENDED, "tide box")
    assert code == 2
    assert "PRJ004" in out


def test_no_choice_is_deeper_than_there_is_room_for(call):
    code, out, _ = call("suggest", MENDED, "tide box", "--deepest", "9 mm", "--json")
    assert code == 0
    result = json.loads(out)["result"]
    depths = [choice["depth_mm"] for choice in result["choices"]]
    assert depths
    assert max(depths) == 9.0
    assert all("9 mm deep" in one["words"] for one in result["choices"] if one["depth_mm"] == 9.0)
    _, out, _ = call("suggest", MENDED, "tide box", "--deepest", "0.4 mm")
    assert "nothing better than the box as drawn was found" in out


@pytest.mark.parametrize(
    ("share", "wanted", "said"),
    [(0.6987, 0.7, "69.9%"), (0.7001, 0.7, "70%"), (0.69, 0.7, "69%"), (0.6987, None, "70%")],
)
def test_an_evenness_that_just_falls_short_does_not_look_enough(share, wanted, said):
    assert _evenness({"evenness": share, "wanted_evenness": wanted}) == said


def test_bright_choices_are_written_without_powers_of_ten(call):
    text = MENDED.read_text(encoding="utf-8")
    wanted = "amber board: {luminance: 20 to 100 cd/m2, evenness: 70 %"
    assert wanted in text
    MENDED.write_text(
        text.replace(wanted, "amber board: {luminance: 2000 to 4000 cd/m2, evenness: 70 %"),
        encoding="utf-8",
    )
    _, out, _ = call("suggest", MENDED, "tide box")
    assert re.search(r" 1\d{3} \u00b1\d", out)
    assert "e+0" not in out


ROW = "T: {type: warm white 0603, at: [95 mm, 62 mm], count: 3, step: [20 mm, 0 mm], current: 1 mA}"


def test_how_the_leds_of_a_choice_lean_is_told_and_written(call):
    text = MENDED.read_text(encoding="utf-8")
    assert ROW in text
    leaning = ROW.replace("1 mA}", "1 mA, tilt: 30 deg, towards: 90 deg}")
    MENDED.write_text(text.replace(ROW, leaning), encoding="utf-8")
    _, out, _ = call("suggest", MENDED, "tide box")
    (line,) = [line for line in out.splitlines() if line.startswith("1  ") and " LED" in line]
    assert "tilted 30 deg upwards" in line
    _, out, _ = call("suggest", MENDED, "tide box", "--apply", "1", "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert told["result"]["note"] == ""
    first = told["result"]["choices"][0]
    assert {(led["tilt_deg"], led["towards_deg"]) for led in first["leds"]} == {(30.0, 90.0)}
    after = MENDED.read_text(encoding="utf-8")
    assert "tilt: 30 deg, towards: 90 deg" in after.partition("# suggested:")[2]
    assert call("check", MENDED)[0] == 0


def test_it_says_when_the_tilts_of_the_leds_would_go(call):
    text = MENDED.read_text(encoding="utf-8")
    rows = ROW.replace("T: ", "U: ").replace("95 mm", "94 mm").replace("count: 3", "count: 2")
    both = rows.replace("1 mA}", "1 mA, tilt: 30 deg, towards: 0 deg}")
    both += "\n              T: {type: warm white 0603, at: [134 mm, 62 mm], current: 1 mA}"
    MENDED.write_text(text.replace(ROW, both), encoding="utf-8")
    _, out, _ = call("suggest", MENDED, "tide box")
    assert "the LEDs of 'tide box' do not all lean alike" in out
    _, out, _ = call("suggest", MENDED, "tide box", "--apply", "1", "--json")
    result = json.loads(out)["result"]
    assert "lose tilt and towards" in result["note"]
    assert "straight" in result["choices"][0]["words"]
    assert "tilt:" not in MENDED.read_text(encoding="utf-8")
