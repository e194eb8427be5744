"""The command photo as a shell sees it."""

import json
import sys
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1] / "trace"))
from lit_photographs import Camera, corners, longer, photograph

from lamphouse.cli import main
from lamphouse.outputs import answer

BOUNDS = (0.0, 0.0, 160.0, 110.0)
CAMERA = Camera(columns=640, rows=480)
CORNERS = [f"{one:.2f}" for one in corners(CAMERA, BOUNDS).ravel()]


def even(spots):
    """Shine evenly at the tide board alone."""
    x, y = spots.T
    return np.where((x > 85.0) & (x < 145.0) & (y > 54.5) & (y < 69.5), 60.0, 0.0)


@pytest.fixture
def call(capsys, monkeypatch, tmp_path):
    """Run a command in a folder with Saltmarsh and two photographs."""
    monkeypatch.chdir(tmp_path)
    for name, camera in (("lit.jpg", CAMERA), ("long.jpg", longer(CAMERA, 1.6))):
        data = photograph(even, bounds=BOUNDS, camera=camera, white=120.0)
        (tmp_path / name).write_bytes(data)

    def run(*words):
        with pytest.raises(SystemExit) as leaving:
            main.run(list(map(str, words)))
        said = capsys.readouterr()
        return leaving.value.code or 0, said.out, said.err

    run("new", "saltmarsh", "--from", "saltmarsh")
    return run


def photo(*words):
    return ("photo", "saltmarsh/mended.yaml", "wall", *words, "--corners", *CORNERS)


def test_openings_are_told_beside_their_prediction_and_drawn(call, tmp_path):
    code, out, err = call(*photo("lit.jpg"))
    assert (code, err) == (0, "")
    assert "tide board" in out
    assert "evenness" in out
    assert "[PHO005]" in out
    with Image.open(tmp_path / "lit-against.png") as drawn:
        assert drawn.size[1] > drawn.size[0], "three pictures under one another"


def test_the_answer_is_of_the_shape_all_answers_have(call):
    code, out, _ = call(*photo("lit.jpg", "long.jpg", "--into", "seen.png", "--json"))
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert (code, told["answer"]) == (0, "photo")
    (tide,) = (one for one in told["result"]["openings"] if one["opening"] == "tide board")
    assert tide["evenness"] > 0.95
    assert tide["predicted_evenness"] < 0.9
    assert told["result"]["exposures"].startswith("2 exposures of 1 : 1.6, as the files tell")
    assert "PHO006" in {one["code"] for one in told["findings"]}
    assert Path("seen.png").exists()


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("gone.jpg",), 2, "name a photograph"),
        (("saltmarsh/mended.yaml",), 2, "no PNG, JPEG or TIFF"),
        (("lit.jpg", "--printed", "168 x 216 mm"), 3, "go with --card-in"),
        (("lit.jpg", "--card-in", "long.jpg"), 2, "markers are seen"),
        (("lit.jpg", "--unlit", "saltmarsh/pictures/bell-plate.jpg"), 2, "one camera that stands"),
    ],
)
def test_what_cannot_be_compared_is_refused(call, words, code, told):
    found, out, err = call(*photo(*words))
    assert (found, told in out + err) == (code, True), err


def test_a_panel_that_is_not_there_is_refused(call):
    code, _, err = call(
        "photo", "saltmarsh/mended.yaml", "ceiling 9", "lit.jpg", "--corners", *CORNERS
    )
    assert (code, "no panel has the name" in err) == (3, True)
