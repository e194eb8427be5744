"""Programs in the pack: files, the page, and the proof that holds for these very bytes alone."""

import json
from pathlib import Path

import pytest

from lamphouse.outputs.pack import build
from lamphouse.outputs.pin_list import pins
from lamphouse.outputs.program_files import program_files
from lamphouse.outputs.program_record import RunRecord, joined, read_runs, to_bytes
from lamphouse.outputs.program_sheets import NOT_RUN, program, proof_line
from lamphouse.plan import make
from lamphouse.project.read import read_project
from lamphouse.record import replace

SCENARIOS = Path(make.__file__).parents[1] / "project" / "scenarios"


@pytest.fixture(scope="module")
def plan():
    reading = read_project(SCENARIOS / "saltmarsh" / "mended.yaml")
    return make.plan(reading.design, found=reading.findings, places=reading.places)


def run_of(file, **given):
    facts = {"ran_s": 20.0, "compared": 14400, "differences": 0, "worst": 0.004}
    return RunRecord(
        controller=file.controller,
        file=f"{file.folder}/{file.name}",
        sha256=file.sha256,
        tools=("simulator 1.6",),
        **(facts | given),
    )


def test_the_page_says_that_it_was_run_only_of_the_very_program(plan):
    (file,) = program_files(plan)
    run = run_of(file)
    assert proof_line(file, runs={}) == NOT_RUN
    said = proof_line(file, runs={run.sha256: run})
    assert said.startswith("this program was run for 20 s of model time: 0 differences")
    other = replace(file, text=file.text + " ")
    assert proof_line(other, runs={run.sha256: run}) == NOT_RUN
    bad = run_of(file, differences=3)
    page = program(plan, runs={bad.sha256: bad})
    assert not page["controllers"][0]["proved"]
    assert "3 differences" in page["controllers"][0]["proof"]


def test_the_pin_table_is_a_list_too(plan):
    head, rows = pins(plan)
    table = [dict(zip(head, row, strict=True)) for row in rows]
    assert [(row["pin"], row["group"], row["plug_pins"]) for row in table] == [
        ("PB0", "random", "console 3"),
        ("PB1", "chase", "console 4"),
        ("PB2", "beacon", "ceiling 3"),
    ]
    assert all(row["pin_mA"] < 20.0 for row in table)


def test_the_pack_holds_the_program_and_tells_its_run(plan):
    (file,) = program_files(plan)
    run = run_of(file)
    files = build(plan, runs={run.sha256: run})
    assert files["program/blinker/main.c"] == file.text.encode()
    assert b"avr-gcc -mmcu=atmega328p" in files["program/blinker/build.txt"]
    assert build(plan)["pack.pdf"] != files["pack.pdf"]


def test_runs_are_written_and_read_back_and_other_programs_kept(plan, tmp_path):
    (file,) = program_files(plan)
    run, place = run_of(file), tmp_path / "proof.json"
    place.write_bytes(to_bytes([run]))
    assert read_runs(place) == {run.sha256: run}
    other = replace(run, sha256="0" * 64, differences=1)
    assert joined([other], file=place) == (run, other)
    again = replace(run, ran_s=30.0)
    assert joined([again], file=place) == (again,)


@pytest.mark.parametrize(
    "spoiled",
    [
        "",
        "[]",
        "[" * 5000,
        '{"lamphouse_proof": 2, "runs": []}',
        '{"lamphouse_proof": 1, "runs": [{"sha256": "x"}]}',
        '{"lamphouse_proof": 1, "runs": 4}',
    ],
)
def test_a_spoiled_proof_proves_nothing(spoiled, tmp_path):
    place = tmp_path / "proof.json"
    place.write_text(spoiled)
    assert read_runs(place) == {}


def test_a_proof_with_impossible_figures_proves_nothing(plan, tmp_path):
    (file,) = program_files(plan)
    whole = json.loads(to_bytes([run_of(file)]))
    for key, value in (("ran_s", -1), ("compared", 0), ("ran_s", float("nan")), ("tools", None)):
        wrong = {**whole, "runs": [{**whole["runs"][0], key: value}]}
        place = tmp_path / "proof.json"
        place.write_text(json.dumps(wrong))
        assert read_runs(place) == {}
    assert read_runs(tmp_path / "none.json") == {}
