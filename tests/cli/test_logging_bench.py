"""The commands of log as a shell sees them."""

import json
from pathlib import Path

import jsonschema
import pytest
from PIL import Image

from lamphouse.cli import main
from lamphouse.outputs import answer
from lamphouse.storage.bench_log import read_log

MENDED = Path("saltmarsh/mended.yaml")
LOG = Path("saltmarsh/mended.log.sqlite")


@pytest.fixture
def call(capsys, monkeypatch, tmp_path):
    """Run a command in a folder with Saltmarsh; give exit code, output and error output."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("LAMPHOUSE_BY", raising=False)

    def run(*words):
        with pytest.raises(SystemExit) as leaving:
            main.run(list(map(str, words)))
        said = capsys.readouterr()
        return leaving.value.code or 0, said.out, said.err

    run("new", "saltmarsh", "--from", "saltmarsh")
    return run


def test_a_reading_in_its_band_is_logged_and_one_goes_on(call):
    code, out, err = call("log", "reading", MENDED, "chart table", "plug=1.84mA", "TP1=5.19V")
    assert (code, err) == (0, "")
    assert out.count("in band") == 2
    assert "next: go on" in out
    assert [(one.item, one.name, one.value) for one in read_log(LOG)] == [
        ("chart table", "plug", "1.84mA"),
        ("chart table", "TP1", "5.19V"),
    ]


def test_a_reading_that_is_off_names_suspects_and_the_next_reading(call):
    code, out, _ = call("log", "reading", MENDED, "chart table", "plug=1.40mA", "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    result = told["result"]
    assert (code, told["exit"]) == (1, 1)
    assert [one["verdict"] for one in result["judged"]] == ["too low"]
    assert result["fault"]["suspects"]
    assert result["next"].startswith("read ")
    assert len(read_log(LOG)) == 1, "what is wrong is logged as well"


@pytest.mark.parametrize(
    ("reading", "verdict", "then"),
    [
        (["R1=15.02kohm"], "in band", "go on"),
        (["R2=22.0kohm"], "too high", "it reads like 22k"),
        (["W1=2.64V"], "in band", "go on"),
        (["W1=1.80V"], "too low", "turn the LED round"),
        (["rails=open"], "in band", "go on"),
        (["rails=3.1ohm"], "too low", "bridge of solder"),
        (["TP1-TP2=2.600V"], "in band", "go on"),
        (["W1=dark", "rest=lit"], "not as it should be", "read "),
    ],
)
def test_each_gate_is_judged_by_its_own_band(call, reading, verdict, then):
    _, out, _ = call("log", "reading", MENDED, "chart table", *reading, "--json")
    result = json.loads(out)["result"]
    assert result["judged"][0]["verdict"] == verdict
    assert then in result["next"]


def test_the_whole_model_is_judged_and_its_plugs_are_the_way_on(call):
    assert call("log", "reading", MENDED, "whole model", "supply=60.0mA")[0] == 0
    code, out, _ = call("log", "reading", MENDED, "whole model", "supply=43.5mA")
    assert code == 1
    assert "plug in one sub-assembly after the other" in out
    assert "ceiling 11.9 mA" in out


def test_what_was_built_is_followed_by_every_plan(call):
    words = ("log", "as-built", MENDED, "chart table / R1", "resistor=14.7kohm")
    code, out, _ = call(*words)
    assert code == 0
    assert "chart table / S1: 0.454 mA becomes 0.463 mA" in out
    _, out, _ = call("check", MENDED, "--json")
    (summary,) = (
        one for one in json.loads(out)["result"]["sub_assemblies"] if one["name"] == "chart table"
    )
    assert summary["plug_mA"]["nominal"] == pytest.approx(1.852, abs=0.001)
    code, out, _ = call("log", "as-built", MENDED, "chart table / R1", "resistor=as planned")
    assert (code, "becomes" in out) == (0, False)


def test_a_moved_led_tells_what_it_does_to_the_glow(call):
    code, out, _ = call("log", "as-built", MENDED, "instrument wall / P2", "at=49mm, 66mm")
    assert code == 0
    assert "instrument wall / plotting display: evenness" in out


def test_figures_that_cannot_be_are_refused_and_not_logged(call):
    for item, figure, told in [
        ("chart table / R9", "resistor=15kohm", "did you mean"),
        ("chart table / R1", "resistor=15", "no unit"),
        ("chart table / R1", "colour=red", "no figure 'colour'"),
        ("chart table / S1", "at=8mm, 5mm", "no place of its own"),
        ("supply", "voltage", "is no figure"),
    ]:
        code, _, err = call("log", "as-built", MENDED, item, figure)
        assert (code, told in err) == (3, True), err
    assert not LOG.exists()


def test_notes_photographs_and_the_way_out(call, tmp_path):
    Image.new("RGB", (80, 60)).save(tmp_path / "wiring.jpg")
    call("log", "note", MENDED, "second coat is thin", "--item", "bay", "--by", "Ann")
    code, out, _ = call("log", "photo", MENDED, "wiring.jpg", "--item", "bay")
    assert code == 0
    (note, photo) = read_log(LOG)
    assert (note.by, note.text) == ("Ann", "second coat is thin")
    assert (tmp_path / "saltmarsh" / "mended.log" / photo.attachment).is_file()
    _, out, _ = call("log", "show", MENDED, "--item", "bay", "--after", "1")
    assert "wiring-" in out
    assert "second coat" not in out
    code, out, _ = call("log", "export", MENDED, "log.tsv")
    lines = (tmp_path / "log.tsv").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 3
    assert lines[0].split("\t")[:3] == ["number", "key", "at"]


def test_an_entry_sent_twice_is_written_once(call):
    words = ("log", "note", MENDED, "glued", "--key", "k1", "--at", "2026-03-14T20:15:00+01:00")
    call(*words)
    code, _out, _ = call(*words)
    assert (code, len(read_log(LOG))) == (0, 1)
    code, _, err = call("log", "note", MENDED, "painted", "--key", "k1")
    assert (code, "stands for another entry" in err) == (3, True)
    code, _, err = call("log", "note", MENDED, "x", "--at", "yesterday")
    assert (code, "no time with its zone" in err) == (3, True)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("note", "nowhere", "x"), "no such project"),
        (("reading", MENDED, "chart tabel", "plug=1mA"), "did you mean 'chart table'"),
        (("reading", MENDED, "chart table", "plug"), "is no reading"),
        (("photo", MENDED, "saltmarsh/mended.yaml"), "no PNG, JPEG or TIFF"),
        (("photo", MENDED, "gone.jpg"), "name a picture"),
        (("tick", MENDED, "no such step"), "no step 'no such step'"),
    ],
)
def test_what_cannot_be_understood_is_refused(call, words, told):
    code, _, err = call("log", *words)
    assert (code in (2, 3), told in err) == (True, True), err
    assert not LOG.exists()


def test_ticking_a_step_tells_what_should_come_before(call):
    from lamphouse.plan import make
    from lamphouse.plan.ordered import with_order
    from lamphouse.project.read import read_project

    order = with_order(make.plan(read_project(MENDED).design)).order
    after = order.edges[-1].after
    edge = next(one for one in order.edges if one.after == after)
    code, out, _ = call("log", "tick", MENDED, edge.after)
    assert code == 0
    assert "not done yet: " in out
    assert edge.why in out
    for step in {one.before for one in order.edges if one.after == edge.after}:
        call("log", "tick", MENDED, step)
    call("log", "tick", MENDED, edge.after, "--undo")
    _, out, _ = call("log", "tick", MENDED, edge.after, "--json")
    told = json.loads(out)["result"]
    assert told["told"] == []
    assert edge.after in told["done"]
