"""The command steps as a shell sees it."""

import json
from pathlib import Path

import icalendar
import jsonschema
import pytest

from lamphouse.cli import main
from lamphouse.outputs import answer

MENDED = Path("saltmarsh/mended.yaml")
CLOSE = "instrument wall/tide box/close"


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


def result_of(call, *words):
    code, out, err = call("steps", MENDED, *words, "--json")
    assert (code, err) == (0, "")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    return told["result"]


def test_the_next_evenings_are_told_with_their_gates(call):
    code, out, err = call("steps", MENDED)
    assert (code, err) == (0, "")
    assert "2026-11-27 19:30" in out
    assert "2026-11-28 14:00" in out
    assert "instrument wall/test LEDs  (GATE, 5 min)" in out
    assert "done on 2027-" in out


def test_two_hours_tonight(call):
    found = result_of(call, "--tonight", "2h", "--from", "2026-11-26")
    first = found["evenings"][0]
    assert (first["day"], first["starts"]) == ("2026-11-26", "19:30")
    assert 0 < first["minutes"] <= 120
    assert found["next"] == first["steps"]
    assert all(evening["day"] >= "2026-11-26" for evening in found["evenings"])


def test_why_says_what_comes_before_and_after(call):
    code, out, _ = call("steps", MENDED, "--why", CLOSE)
    assert code == 0
    assert "instrument wall/test open\n" in out
    assert "afterwards nobody reaches it" in out
    assert "seams can be closed only where two pieces meet" in out


def test_why_of_no_step_names_the_one_that_was_meant(call):
    code, _, err = call("steps", MENDED, "--why", "instrument wall/tide box/clsoe")
    assert code == 3
    assert CLOSE in err


def test_what_is_done_is_not_planned_again(call):
    before = result_of(call)
    name = before["next"][0]
    by_hand = result_of(call, "--done", name)
    assert by_hand["hours_left"] < before["hours_left"]
    code, _, err = call("log", "tick", MENDED, name, "--at", "2026-11-27T21:00:00+01:00")
    assert (code, err) == (0, "")
    logged = result_of(call)
    assert logged["evenings"] == by_hand["evenings"]
    assert [step["id"] for step in logged["steps"] if step["done"]] == [name]


def test_every_step_with_what_its_gate_expects(call):
    _, out, _ = call("steps", MENDED, "--all")
    assert "chart table/test open  (GATE" in out
    assert "plug: 1.84 mA (1.55 mA to 2.17 mA)" in out
    assert "the whole model" in out


def test_the_answer_holds_the_whole_order(call):
    found = result_of(call)
    names = [step["id"] for step in found["steps"]]
    place = {name: number for number, name in enumerate(names)}
    assert all(place[edge["before"]] < place[edge["after"]] for edge in found["edges"])
    assert all(edge["why"] for edge in found["edges"])
    closing = next(step for step in found["steps"] if step["id"] == CLOSE)
    assert closing["gate"] == "instrument wall/test open"
    assert closing["hides"]
    assert found["unplaced"] == []
    assert found["hours_left"] < found["likely_h"]


def test_the_calendar_is_written(call, tmp_path):
    found = result_of(call, "--calendar", "evenings.ics")
    assert found["file"] == "evenings.ics"
    whole = icalendar.Calendar.from_ical((tmp_path / "evenings.ics").read_bytes())
    assert len(whole.walk("VEVENT")) == len(found["evenings"])


@pytest.mark.parametrize("words", ["2", "-1h", "0 h", "25 h", "an hour", "nan h", "1e99 h"])
def test_an_evening_that_is_none_is_refused(call, words):
    code, _, err = call("steps", MENDED, f"--tonight={words}")
    assert code == 3
    assert "--tonight" in err


def test_a_circle_is_a_stop(call, tmp_path):
    file = tmp_path / MENDED
    text = file.read_text(encoding="utf-8")
    file.write_text(
        f"{text}\norder:\n  - {{first: {CLOSE}, then: instrument wall/test open}}\n",
        encoding="utf-8",
    )
    code, out, _ = call("steps", MENDED)
    assert code == 1
    assert "closes a circle" in out
    assert "ORD002" in out


def test_a_project_that_cannot_be_read_is_told(call, tmp_path):
    file = tmp_path / MENDED
    file.write_text("lamphouse: [", encoding="utf-8")
    code, out, _ = call("steps", MENDED)
    assert code == 2
    assert "[PRJ" in out


def test_without_evenings_it_still_says_what_is_next(call, tmp_path):
    file = tmp_path / "small.yaml"
    file.write_text(
        (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8"),
        encoding="utf-8",
    )
    code, out, err = call("steps", file)
    assert (code, err) == (0, "")
    assert "next, as if there were two hours" in out
