"""The whole pack: its files, its listing, its progress, its writing."""

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.outputs import pack
from lamphouse.storage.refusal import StorageError
from outputs.sample_plan import NASTY, sample


@pytest.fixture(scope="module")
def files():
    return pack.build(sample())


def test_it_holds_what_the_bench_and_the_cutter_need(files):
    pieces = {
        "chart-table-top",
        "chart-table-screen-box-back",
        "chart-table-screen-box-long-wall",
        "chart-table-screen-box-short-wall",
        "console-left-fascia",
    }
    wanted = {"pack.pdf", "plan.json", "pack.json"}
    wanted |= {f"svg/{piece}.svg" for piece in pieces}
    wanted |= {f"dxf/{piece}.dxf" for piece in pieces}
    sheets = ("styrene-0-75-mm-sheet-1", "styrene-1-0-mm-sheet-1")
    wanted |= {f"sheets/{sheet}.{kind}" for sheet in sheets for kind in ("svg", "dxf")}
    lists = ("parts", "drill_chart", "leds", "strings", "pieces", "loom", "sheets", "offcuts")
    lists += ("strands", "pins")
    wanted |= {f"tables/{name}.csv" for name in lists}
    wanted.add("tables/parts.xlsx")
    wanted |= {f"circuit/{name}.cir" for name in ("chart-table", "console")}
    wanted |= {f"glow/chart-table-top-in-{colour}.png" for colour in ("colour", "wide-colour")}
    assert set(files) == wanted


def test_the_listing_gives_every_other_file_with_its_sha256(files):
    listing = json.loads(files["pack.json"])
    others = {name: data for name, data in files.items() if name != "pack.json"}
    assert set(listing["files"]) == set(others)
    for name, data in others.items():
        assert listing["files"][name]["sha256"] == hashlib.sha256(data).hexdigest()
        assert listing["files"][name]["bytes"] == len(data)
    assert (listing["project"], listing["revision"]) == ("Saltmarsh Pilot Station", "A")


def test_it_is_written_and_written_again_over_itself(tmp_path, files):
    pack.write(files, folder=tmp_path / "pack")
    pack.write(files, folder=tmp_path / "pack")
    found = {
        path.relative_to(tmp_path / "pack").as_posix(): path.read_bytes()
        for path in (tmp_path / "pack").rglob("*")
        if path.is_file()
    }
    assert found == files


def test_the_project_s_own_folder_is_refused(tmp_path, files):
    (tmp_path / "project.yaml").write_text("lamphouse: 1")
    with pytest.raises(StorageError, match="not made here"):
        pack.write(files, folder=tmp_path)
    assert (tmp_path / "project.yaml").read_text() == "lamphouse: 1"


def test_names_that_try_to_leave_the_folder_stay_in_it(tmp_path):
    files = pack.build(sample("../../etc", "CON"))
    pack.write(files, folder=tmp_path / "pack")
    assert [entry.name for entry in tmp_path.iterdir()] == ["pack"]
    assert "svg/etc-top.svg" in files


@pytest.mark.parametrize("name", NASTY)
def test_any_name_makes_a_pack(name):
    assert len(pack.build(sample(name))) == 32


@settings(max_examples=12, deadline=None)
@given(st.text(min_size=1, max_size=30))
def test_no_name_at_all_breaks_it(name):
    assert len(pack.build(sample(name))) == 32


def test_progress_is_told_before_each_step_and_at_the_end():
    told = []
    pack.build(sample(), tell=lambda done, of, what: told.append((done, of, what)))
    assert [done for done, _, _ in told] == list(range(told[0][1] + 1))
    assert told[-1][0] == told[-1][1]
    assert all(what for _, _, what in told)


def test_it_can_be_stopped_between_two_steps():
    class Stopped(Exception):
        pass

    def stop(done, _of, _what):
        if done == 2:
            raise Stopped

    with pytest.raises(Stopped):
        pack.build(sample(), tell=stop)


MAKE = """
import sys
sys.path.insert(0, sys.argv[1])
from lamphouse.outputs import pack
from outputs.sample_plan import sample
print(pack.build(sample())["pack.json"].decode())
"""


def test_two_packs_made_by_two_processes_are_the_same_bytes(files, tmp_path):
    tests = str(Path(__file__).parents[1])
    for seed in ("0", "12345"):
        said = subprocess.run(
            [sys.executable, "-c", MAKE, tests],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": "Pacific/Auckland"},
            cwd=tmp_path,
            capture_output=True,
            check=True,
        ).stdout
        assert json.loads(said) == json.loads(files["pack.json"])
