"""The sub-commands parts and drawer, as a shell sees them."""

import csv
import json
import shutil
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from lamphouse.cli.main import command
from lamphouse.outputs import answer
from lamphouse.plan import make

SCENARIOS = Path(make.__file__).parents[1] / "project" / "scenarios"


@pytest.fixture
def saltmarsh(tmp_path):
    return Path(shutil.copytree(SCENARIOS / "saltmarsh", tmp_path / "saltmarsh")) / "mended.yaml"


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Run a command on a drawer of the test's own."""
    monkeypatch.setenv("LAMPHOUSE_DRAWER", str(tmp_path / "kept" / "drawer.sqlite"))

    def call(*words):
        return CliRunner().invoke(command, list(map(str, words)), standalone_mode=False)

    return call


def result(done):
    return json.loads(done.output)["result"]


def test_two_projects_do_not_both_count_the_last_five(run, saltmarsh, tmp_path):
    run("drawer", "add", "green 3 mm", 5)
    other = tmp_path / "other.yaml"
    text = saltmarsh.read_text().replace("name: Saltmarsh Pilot Station", "name: Other")
    shutil.copytree(saltmarsh.parent, tmp_path / "other")
    other = tmp_path / "other" / "mended.yaml"
    other.write_text(text)
    first = result(run("parts", saltmarsh, "--reserve", "--json"))
    assert ["green 3 mm", 3.0] in first["reserved"]  # two and a spare
    second = result(run("parts", other, "--reserve", "--json"))
    assert ["green 3 mm", 2.0] in second["reserved"]
    green = next(one for one in second["parts"] if one["part"] == "green 3 mm")
    assert (green["drawer"], green["promised"], green["get"]) == (2.0, 3.0, 1.0)
    again = result(run("parts", saltmarsh, "--reserve", "--json"))
    assert again["reserved"] == first["reserved"]


def test_without_asking_the_shared_drawer_is_left_alone(run, saltmarsh, tmp_path):
    run("drawer", "add", "green 3 mm", 50)
    alone = result(run("parts", saltmarsh, "--json"))
    assert alone["drawer"] == ""
    assert next(one for one in alone["parts"] if one["part"] == "green 3 mm")["get"] == 3.0
    shared = result(run("parts", saltmarsh, "--shared", "--json"))
    assert next(one for one in shared["parts"] if one["part"] == "green 3 mm")["get"] == 0.0


STOCK = "  - {sheet: styrene 0.5 mm, size: 300 x 200 mm, count: 2}\n"
SHEET = "styrene 0.5 mm, 300 x 200 mm"


@pytest.fixture
def lacking(saltmarsh):
    """The demo without its sheets of 0.5 mm; it needs two."""
    text = saltmarsh.read_text()
    assert STOCK in text
    saltmarsh.write_text(text.replace(STOCK, ""))
    return saltmarsh


def sheets(done):
    line = next(one for one in result(done)["parts"] if one["part"] == "styrene 0.5 mm")
    return line["need"], line["have"], line["drawer"], line["get"]


def test_sheets_of_the_drawer_are_laid_on_kept_cut_and_their_offcuts_come_back(run, lacking):
    run("drawer", "add", "styrene 0.5 mm, 30x20 cm", 3)
    run("drawer", "add", "styrene 0.75 mm, 300 x 200 mm", 1)  # of which it has enough itself
    need, have, drawer, get = sheets(run("parts", lacking, "--shared", "--json"))
    assert (need, have, drawer, get) == (2, 0, 2, 0)
    kept = dict(result(run("parts", lacking, "--reserve", "--json"))["reserved"])
    assert kept == {SHEET: 2.0}
    before = {one["part"]: one for one in result(run("drawer", "list", "--json"))["parts"]}
    assert (before[SHEET]["amount"], before[SHEET]["free"]) == (3.0, 1.0)

    done = run("drawer", "cut", lacking, "--json")
    after = {one["part"]: one for one in result(done)["parts"]}
    assert (after[SHEET]["amount"], after[SHEET]["promises"]) == (1.0, [])
    offcuts = [part for part in after if part.startswith("styrene 0.5 mm, ") and part != SHEET]
    assert offcuts
    assert after["styrene 0.75 mm, 300 x 200 mm"]["amount"] == 1.0
    for part in offcuts:  # an offcut is no larger than the sheet it comes from
        wide, high = map(float, part.split(", ")[1].removesuffix(" mm").split(" x "))
        assert 0 < wide < 300
        assert 0 < high < 200
    assert run("drawer", "cut", lacking).exception  # once
    assert result(run("drawer", "list", "--json"))["parts"] == list(after.values())
    assert result(run("drawer", "check", "--json"))["faults"] == []


def test_sheets_taken_before_they_are_cut_are_not_taken_twice(run, lacking):
    run("drawer", "add", SHEET, 3)
    run("parts", lacking, "--reserve")
    run("drawer", "take", "--for", "Saltmarsh Pilot Station")
    after = {one["part"]: one for one in result(run("drawer", "cut", lacking, "--json"))["parts"]}
    assert after[SHEET]["amount"] == 1.0
    assert sum(part.startswith("styrene 0.5 mm, ") for part in after) > 1


def test_a_sheet_promised_to_another_is_not_laid_on(run, lacking):
    run("drawer", "add", SHEET, 2)
    text = lacking.read_text().replace("name: Saltmarsh Pilot Station", "name: Other")
    other = lacking.with_name("other.yaml")
    other.write_text(text)
    run("parts", other, "--reserve")
    need, have, drawer, get = sheets(run("parts", lacking, "--shared", "--json"))
    assert (have, drawer, get) == (0, 0, need)
    run("drawer", "cut", lacking)  # what is kept for another stays
    (line,) = result(run("drawer", "list", "--find", SHEET, "--json"))["parts"]
    assert (line["amount"], line["promises"]) == (2.0, [["Other", 2.0]])


def test_a_sheet_too_small_for_any_piece_is_none_and_an_area_counts_no_sheets(run, lacking):
    run("drawer", "add", "styrene 0.5 mm, 5 x 5 mm", 9)
    run("drawer", "add", "styrene 0.5 mm", "900 x 600 mm")  # 5400 cm2 of unknown sizes
    need, have, drawer, get = sheets(run("parts", lacking, "--shared", "--json"))
    assert (have, drawer, get) == (0, 0, need)


def test_the_pack_lays_pieces_on_sheets_kept_for_it(run, lacking, tmp_path):
    run("drawer", "add", SHEET, 2)
    run("parts", lacking, "--reserve")
    for flags, stock in (([], "to buy"), (["--shared"], "")):
        run("pack", lacking, "--for", "cutting", "--into", tmp_path / "pack", *flags)
        table = (tmp_path / "pack" / "tables" / "parts.csv").read_text().splitlines()
        (line,) = [row for row in csv.DictReader(table) if row["part"] == "styrene 0.5 mm"]
        assert bool(float(line["to_get"])) == bool(stock)


def test_files_hold_what_is_shown(run, saltmarsh, tmp_path):
    table, book = tmp_path / "p.csv", tmp_path / "p.xlsx"
    done = run("parts", saltmarsh, "--buy-only", "--csv", table, "--spreadsheet", book, "--json")
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert [row["part"] for row in rows] == [one["part"] for one in result(done)["parts"]]
    assert all(float(row["to_get"]) > 0.0 for row in rows)
    assert book.read_bytes()[:2] == b"PK"


def test_nothing_is_shown_as_bought_that_is_at_hand(run, saltmarsh):
    rows = run("parts", saltmarsh).output.splitlines()
    (row,) = [row for row in rows if row.startswith("warm white 0603")]  # 20 at hand, 19 wanted
    assert row.split()[-3:] == ["-", "-", "-"]


def test_prices_of_the_drawer_serve_where_the_project_has_none(run, saltmarsh):
    run("drawer", "add", "red 3 mm", "--price", "0.40 EUR", "--pack", "10")
    red = next(
        one
        for one in result(run("parts", saltmarsh, "--shared", "--json"))["parts"]
        if one["part"] == "red 3 mm"
    )
    assert (red["packs"], red["cost"], red["over"]) == (1, 0.4, 8.0)


def test_answers_have_their_documented_shape(run, saltmarsh):
    schema = answer.schema()
    run("drawer", "add", "white 0603", 7, "--price", "1.00 EUR")
    for words in (
        ("parts", saltmarsh, "--reserve", "--json"),
        ("drawer", "list", "--json"),
        ("drawer", "check", "--json"),
    ):
        jsonschema.validate(json.loads(run(*words).output), schema)


def test_the_life_of_a_part(run):
    assert "7 pieces" in run("drawer", "add", "resistor 4.7k", 7).output
    assert "4 left" in run("drawer", "take", "resistor 4k7", 3).output
    (line,) = result(run("drawer", "list", "--json"))["parts"]
    assert (line["part"], line["amount"]) == ("resistor 4k7", 4.0)
    assert run("drawer", "check").return_value == 0


def test_as_text_and_back(run, tmp_path):
    run("drawer", "add", "white 0603", 7, "--price", "1.00 EUR")
    text = tmp_path / "drawer.csv"
    assert run("drawer", "export", text).return_value == 0
    fresh = tmp_path / "fresh.sqlite"
    assert "2 lines" in run("drawer", "import", text, "--drawer", fresh).output
    assert run("drawer", "export", "--drawer", fresh).output == text.read_text()


@pytest.mark.parametrize(
    "words",
    [
        ("take", "white 0603", "9"),
        ("take", "nothing of this name", "1"),
        ("take", "white 0603", "1 m"),
        ("take",),
        ("add", "white 0603", "none"),
        ("add", "white 0603"),
        ("add", "white 0603", "1", "--price", "4,50"),
        ("add", "", "1"),
        ("import", "no-such-file"),
        ("list", "--drawer", "no-such-drawer"),
    ],
)
def test_what_cannot_be_is_refused_in_words(run, words):
    run("drawer", "add", "white 0603", 5)
    done = run("drawer", *words)
    assert done.exception is not None
    assert not isinstance(done.exception, (TypeError, AttributeError, KeyError, ValueError))
    assert len(str(done.exception)) > 15


@pytest.mark.parametrize(
    "size", ["9 x nan mm", "-3 x 20 mm", "0 x 20 mm", "300 x 200", "300 x 200 m"]
)
def test_a_sheet_of_no_size_is_not_kept(run, size):
    done = run("drawer", "add", f"styrene 0.5 mm, {size}", 3)
    assert "none that a sheet can have" in str(done.exception)


@pytest.mark.parametrize("part", ["header, 2 x 3 pins", "card, 4x relay"])
def test_a_name_with_a_times_sign_is_no_sheet(run, part):
    done = run("drawer", "add", part, 3)
    assert f"3 pieces of {part} are there now" in done.output
