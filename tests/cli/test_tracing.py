"""The command trace as a shell sees it."""

import json
import sys
from pathlib import Path

import cv2
import jsonschema
import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "trace"))
from part_pictures import Plate, Scan, Sketch, packed

from lamphouse.cli import main
from lamphouse.outputs import answer
from lamphouse.project.read import read_project
from lamphouse.shapes import measure

PHOTOS = Path(__file__).parents[1] / "reference" / "photos"


@pytest.fixture
def call(capsys, monkeypatch, tmp_path):
    """Run a command in a folder with a scan and a project; give exit code, output and errors."""
    monkeypatch.chdir(tmp_path)
    Path("plate.jpg").write_bytes(packed(Scan().pixels()))

    def run(*words):
        with pytest.raises(SystemExit) as leaving:
            main.run(list(map(str, words)))
        said = capsys.readouterr()
        return leaving.value.code or 0, said.out, said.err

    run("new", "job")
    return run


def test_a_scan_becomes_figures_and_a_picture_to_judge(call):
    code, out, err = call("trace", "plate.jpg", "--dpi", 600)
    assert (code, err) == (0, "")
    assert "4 lines, 2 arcs, 8 holes" in out
    assert "6.0 mm" in out
    assert "judge it by eye: plate-traced.png" in out
    shown = cv2.imread("plate-traced.png")
    blue, _, red = (shown[..., channel].astype(int) for channel in range(3))
    assert (red - blue > 100).sum() > 500  # the outline
    assert (blue - red > 100).sum() > 100  # the round holes


def test_the_json_answer_keeps_to_its_schema(call):
    code, out, _ = call("trace", "plate.jpg", "--dpi", 600, "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert code == told["exit"] == 0
    assert told["result"]["width_mm"] == pytest.approx(Plate().width_mm, abs=0.05)
    assert sum(hole["is_round"] for hole in told["result"]["holes"]) == len(Plate().holes)


def test_it_is_written_into_a_panel_and_a_second_tracing_takes_its_place(call):
    file = Path("job/project.yaml")
    words = ("trace", "plate.jpg", "--dpi", 600, "--project", "job", "--into", "wall / face")
    before = file.read_text(encoding="utf-8")
    assert call(*words)[0] == 0
    after = file.read_text(encoding="utf-8")
    assert "# traced: plate.jpg; scan at 600 dpi" in after
    kept = [line for line in before.splitlines() if "outline:" not in line]
    assert [line for line in kept if line not in after.splitlines()] == []
    design = read_project(Path("job")).design
    assert design is not None
    panel = design.sub_assemblies[0].panels[0]
    plate = Plate()
    area = plate.width_mm * plate.height_mm - 2 * plate.radius_mm**2 * (1 - np.pi / 4)
    assert measure.area_mm2(panel.outline.corners) == pytest.approx(area, rel=1e-3)
    holes = [opening for opening in panel.openings if opening.name.startswith("traced ")]
    assert len(holes) == len(plate.holes) + 1
    assert panel.traced is not None
    assert panel.traced.picture == "plate.jpg"
    stated = json.loads(call("trace", "plate.jpg", "--dpi", 600, "--json")[1])["result"]
    assert 0.0 <= panel.traced.within_mm - stated["uncertain_mm"] <= 0.001
    assert call(*words)[0] == 0
    assert file.read_text(encoding="utf-8") == after


def test_a_copy_is_laid_over_its_panel(call):
    words = ("trace", "plate.jpg", "--dpi", 600, "--project", "job")
    call(*words, "--into", "wall / face")
    Path("copy.jpg").write_bytes(packed(Scan(turn_deg=-30.0).pixels()))
    words = ("trace", "copy.jpg", "--dpi", 600, "--project", "job", "--against", "face")
    code, out, _ = call(*words, "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert code == 0
    against = told["result"]["against"]
    assert against["edge"]["p95_mm"] < 0.05
    assert against["extra"] == 0
    assert len(against["holes"]) == len(Plate().holes) + 1
    assert all(abs(hole["right_mm"]) < 0.04 for hole in against["holes"])
    assert cv2.imread(against["map"]) is not None
    assert "against panel face" in call(*words)[1]


def test_two_marks_of_a_ruler_scale_a_picture(call):
    apart = 1000 * 25.4 / 600
    words = ("trace", "plate.jpg", "--ruler", 100, 100, 1100, 100, f"{apart} mm", "--json")
    code, out, _ = call(*words)
    assert code == 0
    assert json.loads(out)["result"]["width_mm"] == pytest.approx(Plate().width_mm, abs=0.05)


def test_the_card_is_a_page_to_print(call):
    assert call("card", "card.pdf")[0] == 0
    assert Path("card.pdf").read_bytes().startswith(b"%PDF")
    first = Path("card.pdf").read_bytes()
    assert call("card", "card.pdf")[0] == 0
    assert Path("card.pdf").read_bytes() == first
    assert call("card", "letter.pdf", "--paper", "Letter")[0] == 0


def test_a_scan_without_the_card_says_that_it_sees_none(call):
    code, _, err = call("trace", "plate.jpg", "--card")
    assert code == 2
    assert "0 of the frame card's 56 markers are seen" in err


def test_a_refusal_carries_its_code_in_text_and_json(call):
    code, out, err = call("trace", "plate.jpg", "--dpi", 100)
    assert (code, out) == (2, "")
    assert "[TRC023]" in err
    code, out, _ = call("trace", "plate.jpg", "--dpi", 100, "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert code == told["exit"] == 2
    assert told["result"] is None
    (finding,) = told["findings"]
    assert (finding["code"], finding["file"]) == ("TRC023", "plate.jpg")
    assert finding["remedy"]


def test_a_photograph_is_scaled_by_another_of_the_same_camera(call):
    for name in ("board_and_ruler.png", "coins_same_camera.png"):
        Path(name).write_bytes((PHOTOS / name).read_bytes())
    words = ("--board", 12, 10, "15.091 mm", "--scale-from", "board_and_ruler.png")
    window = ("--window", 420, 310, 580, 460, "--finest", "1.2 mm", "--within", "0.2 mm")
    code, out, _ = call(
        "trace", "coins_same_camera.png", *words, *window, "--thickness", "1.93 mm", "--json"
    )
    told = json.loads(out)
    assert code == 0
    assert told["result"]["width_mm"] == pytest.approx(19.75, abs=0.12)  # the mint's diameter
    assert {finding["code"] for finding in told["findings"]} >= {"TRC005"}
    assert told["result"]["pictures"] == ["coins_same_camera.png"]


def test_a_coin_on_a_sheet_and_a_drawing_are_traced(call):
    Path("coins.jpg").write_bytes((PHOTOS / "coins_on_sheet_square.jpg").read_bytes())
    window = ("--window", 275, 573, 425, 723, "--finest", "2 mm", "--within", "0.2 mm")
    code, out, _ = call("trace", "coins.jpg", "--sheet", "a4", *window, "--json")
    assert code == 0
    assert json.loads(out)["result"]["height_mm"] == pytest.approx(21.25, abs=0.4)
    assert "TRC015" in out
    Path("sketch.png").write_bytes(packed(Sketch().pixels(), kind=".png"))
    code, out, _ = call("trace", "sketch.png", "--dpi", 300, "--sketch", "--finest", "0.8 mm")
    assert code == 0
    assert "judge it by eye: sketch-traced.png" in out


@pytest.mark.parametrize(
    ("words", "code", "reason"),
    [
        (("plate.jpg", "--card", "--sheet", "A4"), 3, "one reference is enough"),
        (("plate.jpg", "plate.jpg", "--dpi", "600"), 3, "several pictures are photographs"),
        (("plate.jpg", "--dpi", "600", "--scale-from", "plate.jpg"), 3, "--scale-from goes with"),
        (("plate.jpg", "--dpi", "600", "--thickness", "1 mm"), 3, "--thickness goes with"),
        (("plate.jpg", "--sheet", "A4", "--dpi", "600"), 3, "without --dpi"),
        (("plate.jpg", "--id-card"), 2, "TRC010"),
        (("plate.jpg", "--dpi", "600", "--window", "0", "0", "9", "99999"), 2, "TRC003"),
        (("plate.jpg",), 3, "--dpi"),
        (("nothing.jpg", "--dpi", "600"), 2, "nothing.jpg: No such file"),
        (("job", "--dpi", "600"), 2, "job: Is a directory"),
        (("job/project.yaml", "--dpi", "600"), 2, "no PNG, JPEG or TIFF picture"),
        (("plate.jpg", "--dpi", "100"), 2, "pixels across in this picture"),
        (("plate.jpg", "--dpi", "600", "--into", "face"), 3, "--project"),
        (("plate.jpg", "--dpi", "600", "--finest", "0.3"), 3, "no unit"),
        (("plate.jpg", "--dpi", "600", "--project", "job", "--into", "roof"), 2, "wall / face"),
    ],
    ids=[
        "two references",
        "two scans",
        "lender of a scan",
        "thick scan",
        "sheet in a scan",
        "no card",
        "window outside",
        "no scale",
        "missing",
        "folder",
        "text",
        "coarse",
        "no project",
        "no unit",
        "no panel",
    ],
)
def test_what_cannot_be_done_is_said(call, words, code, reason):
    found, out, err = call("trace", *words)
    assert found == code
    assert reason in err
    assert not out
    assert not list(Path("job").glob("*.part"))
