"""The command artwork as a shell sees it."""

import json
from pathlib import Path

import jsonschema
import pytest
from PIL import Image

from lamphouse.cli import main
from lamphouse.outputs import answer
from outputs.rasters import lines_mm, raster

MENDED = Path("saltmarsh/mended.yaml")
CHART = Path("saltmarsh/tide_chart.png")


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


def test_the_projects_own_artwork_is_made_for_its_lamp(call):
    code, out, err = call("artwork", MENDED, "screen")
    assert (code, err) == (0, "")
    assert "tide_chart.png on 2 films, inkjet" in out
    assert "ink alone reaches the wanted look" in out
    assert "other ways" not in out


def test_one_film_is_not_enough_and_what_would_do_is_said(call):
    code, out, _ = call("artwork", MENDED, "screen", CHART, "--films", "1")
    assert code == 0
    assert "on one film leaves" in out
    assert "; 2 films would leave 0%" in out
    assert "other ways" in out


def test_json_is_as_its_schema_says_and_the_files_are_there(call):
    code, out, _ = call("artwork", MENDED, "screen", "--into", "prints", "--ways", "--json")
    said = json.loads(out)
    jsonschema.validate(said, answer.schema())
    assert code == said["exit"] == 0
    result = said["result"]
    assert set(result["files"]) == {p.name for p in Path("prints").iterdir()}
    assert result["as_made"]["difference"] < result["as_drawn"]["difference"]
    with Image.open("prints/print.png") as printed:
        width_mm = printed.size[0] / printed.info["dpi"][0] * 25.4
        assert width_mm == pytest.approx(result["width_mm"], abs=0.05)
    first = {p.name: p.read_bytes() for p in Path("prints").iterdir()}
    call("artwork", MENDED, "screen", "--into", "prints", "--ways")
    assert first == {p.name: p.read_bytes() for p in Path("prints").iterdir()}


def test_the_sheet_prints_the_films_at_true_size(call, tool):
    # Measured by poppler: the opening is 48 mm wide, so that each of the trim lines stands 24 mm
    # from the mark in the middle.
    call("artwork", MENDED, "screen", "--into", "prints")
    dpi = 600
    page = raster(tool("pdftoppm"), "prints/print.pdf", page=1, box_mm=(0, 0, 210, 120), dpi=dpi)
    above = [row for row in page[:: dpi // 100] if len(lines_mm(row, dpi=dpi)) >= 6]
    spans = {
        round(float(lines[place + 1] - lines[place]), 1)
        for row in above
        for lines in [lines_mm(row, dpi=dpi)]
        for place in range(len(lines) - 1)
    }
    halves = {span for span in spans if abs(span - 24.0) < 0.11}
    assert halves, sorted(spans)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("screem",), 3, "did you mean 'screen'"),
        (("screen", "--gel", "pink fog"), 3, "no film 'pink fog'"),
        (("screen", "--dpi", "9000"), 3, "out of range"),
        (("screen", "--dpi", "nan"), 3, "out of range"),
        (("screen", "--room", "-5 lx"), 3, "less than no light"),
        (("screen", "lost.png"), 2, "name a PNG, JPEG or TIFF file"),
        (("screen", MENDED), 2, "no PNG, JPEG or TIFF picture"),
        (("plotting display",), 3, "names no artwork"),
    ],
)
def test_what_cannot_be_done_is_said(call, words, code, told):
    found, _, err = call("artwork", MENDED, *words)
    assert (found, told in err) == (code, True), err


def test_a_pack_is_not_written_over(call):
    Path("pack").mkdir()
    Path("pack/pack.pdf").write_bytes(b"")
    code, _, err = call("artwork", MENDED, "screen", "--into", "pack")
    assert code == 2
    assert "build pack" in err
