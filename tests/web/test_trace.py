"""Outlines from pictures on the page: the same tracing as on the command line, judged by hand.

The pictures of the demo are synthetic, rendered from known shapes.
"""

import json
import math
import struct
import sys
import types
import zlib
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "trace"))
from demo_parts import PICTURES

from lamphouse.cli import main
from lamphouse.project.read import read_project
from lamphouse.project.starter import demo_pictures
from lamphouse.shapes.measure import centroid_mm
from lamphouse.shapes.outline import circle_of
from web.views_client import opened, posted, waited

pytest.importorskip("cv2")

BELL = "bell-plate.jpg"
PANEL = "instrument wall / bell plate"
SCAN = {"pictures": [BELL], "reference": "dpi", "dpi": "600"}


@pytest.fixture
def page(saltmarsh, tmp_path):
    with opened(saltmarsh, state=tmp_path / "state") as (client, bench, ground):
        yield client, bench, ground


def traced(client, ground, **asked):
    answer = posted(client, f"{ground}/trace/start", {**SCAN, **asked})
    assert answer.status_code == 200, answer.text
    number = answer.json()["number"]
    state, line = waited(client, ground, number)
    assert state == "done", line
    return number


def found(client, ground, number):
    answer = client.get(f"{ground}/trace/found?job={number}")
    assert answer.status_code == 200
    return answer.json()


def nudged(client, ground, number, **command):
    return posted(client, f"{ground}/trace/nudge", {"command": {"job": number, **command}})


def cli(capsys, *words):
    capsys.readouterr()
    with pytest.raises(SystemExit) as leaving:
        main.run(["trace", *map(str, words), "--json"])
    return leaving.value.code or 0, json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("against", ["", PANEL])
def test_the_answer_and_pictures_are_those_of_the_command_line(page, saltmarsh, capsys, against):
    client, _, ground = page
    number = traced(client, ground, against=against)
    seen = found(client, ground, number)
    folder = saltmarsh.parent / "pictures"
    overlay = client.get(f"{ground}/trace/overlay.png?job={number}").content
    deviations = client.get(f"{ground}/trace/against.png?job={number}")
    for made in folder.glob("*.png"):
        made.unlink()
    more = ["--against", against] if against else []
    code, said = cli(capsys, folder / BELL, "--dpi", 600, "--project", saltmarsh, *more)
    assert code == 0
    assert seen["answer"] == said
    assert overlay == (folder / "bell-plate-traced.png").read_bytes()
    if against:
        assert deviations.content == (folder / "bell-plate-against.png").read_bytes()
        text = client.get(f"{ground}/trace/figures?job={number}").text
        assert f"{said['result']['against']['edge']['max_mm']:.3f} mm" in text
    else:
        assert deviations.status_code == 404


def test_a_photograph_with_the_card_is_the_same_too(page, saltmarsh, capsys):
    client, _, ground = page
    pipe = next(one for one in PICTURES if one.name == "pipe-plate.jpg")
    how = dict(zip(pipe.how[1::2], pipe.how[2::2], strict=True))
    number = traced(
        client,
        ground,
        pictures=[pipe.name],
        reference="card",
        dpi="",
        printed=how["--printed"],
        thickness=how["--thickness"],
        finest=how["--finest"],
    )
    picture = saltmarsh.parent / "pictures" / pipe.name
    _, said = cli(capsys, picture, *pipe.how, "--project", saltmarsh)
    assert found(client, ground, number)["answer"] == said


def test_a_refusal_is_that_of_the_command_line(page, saltmarsh, capsys):
    client, _, ground = page
    asked = {"reference": "card", "dpi": ""}
    number = traced(client, ground, **asked)
    seen = found(client, ground, number)
    code, said = cli(capsys, saltmarsh.parent / "pictures" / BELL, "--card")
    assert code == 2
    assert seen["answer"] == said
    assert seen["pieces"] == []
    assert said["findings"][0]["code"] in client.get(f"{ground}/trace/figures?job={number}").text


def test_places_lie_where_the_picture_shows_them(page, saltmarsh):
    # at 600 dpi a pixel is 25.4 mm / 600, up is against the rows: the definition of dpi
    client, _, ground = page
    seen = found(client, ground, traced(client, ground))
    pixel = 25.4 / 600
    turn = math.radians(seen["answer"]["result"]["turned_deg"])
    outline = seen["pieces"][0]["handles"]
    first = outline[0]
    for spot in outline[1:]:
        right, up = (one - other for one, other in zip(spot["mm"], first["mm"], strict=True))
        x = (right * math.cos(turn) + up * math.sin(turn)) / pixel
        y = -(up * math.cos(turn) - right * math.sin(turn)) / pixel
        assert spot["at"][0] - first["at"][0] == pytest.approx(x, abs=0.02)
        assert spot["at"][1] - first["at"][1] == pytest.approx(y, abs=0.02)


def test_a_corner_is_nudged_and_put_back(page):
    client, _, ground = page
    number = traced(client, ground)
    before = found(client, ground, number)
    corner = {"do": "move", "piece": 0, "corner": 2}
    nudged(client, ground, number, **corner, by=[0.1, 0])
    after = nudged(client, ground, number, **corner, by=[0.2, 0.4]).json()
    was, is_ = (one["pieces"][0]["handles"][2]["mm"] for one in (before, after))
    assert is_ == pytest.approx([was[0] + 0.3, was[1] + 0.4])
    assert after["nudged"]["places"] == 1
    assert after["nudged"]["most_mm"] == pytest.approx(0.5)  # 3, 4, 5
    assert after["nudged"]["max_mm"] > before["nudged"]["max_mm"]
    assert after["answer"] == before["answer"]  # what was traced stays what was traced
    assert "0.50 mm" in client.get(f"{ground}/trace/figures?job={number}").text
    back = nudged(client, ground, number, do="last").json()
    assert back["nudged"]["most_mm"] == pytest.approx(0.1)
    gone = nudged(client, ground, number, do="place", piece=0, corner=2).json()
    assert gone["nudged"]["places"] == 0
    assert gone["pieces"] == before["pieces"]


def test_an_outline_is_not_made_to_cross_itself(page):
    client, _, ground = page
    number = traced(client, ground)
    before = found(client, ground, number)
    width = before["answer"]["result"]["width_mm"]
    answers = [
        nudged(client, ground, number, do="move", piece=0, corner=0, by=by)
        for by in ([3 * width, width / 3], [-3 * width, width / 3], [width / 3, 3 * width])
    ]
    refused = [one for one in answers if one.status_code == 422]
    assert refused
    assert "outline" in refused[0].json()["message"]


@pytest.mark.parametrize(
    "command",
    [
        {"do": "move", "piece": 0, "corner": None, "by": [1, 0]},
        {"do": "move", "piece": 0, "corner": 5000, "by": [1, 0]},
        {"do": "move", "piece": 400, "corner": None, "by": [1, 0]},
        {"do": "move", "piece": 1, "corner": 0, "by": [1, 0]},  # a round hole has no corners
        {"do": "drill", "piece": 1, "drill": "9 mm"},
        {"do": "drill", "piece": 99, "drill": ""},
    ],
)
def test_what_is_not_there_is_not_moved(page, command):
    client, _, ground = page
    number = traced(client, ground)
    assert nudged(client, ground, number, **command).status_code == 422


def test_a_part_nudged_is_taken_in_with_its_nudge_and_taken_back(page, saltmarsh):
    client, _, ground = page
    number = traced(client, ground)
    before = saltmarsh.read_text()
    seen = found(client, ground, number)
    nudged(client, ground, number, do="move", piece=0, corner=1, by=[0.1, 0])
    nudged(client, ground, number, do="move", piece=1, corner=None, by=[0, -0.3])
    answer = posted(
        client, f"{ground}/trace/accept", {"job": number, "panel": PANEL, "into": "panel"}
    )
    assert answer.status_code == 200, answer.text
    text = saltmarsh.read_text()
    assert "nudged: 0.3 mm" in text
    assert "2 places were moved by hand, by at most 0.30 mm" in text
    panel = plate(saltmarsh)
    assert panel.traced.nudged_mm == pytest.approx(0.3)
    assert panel.traced.within_mm >= seen["answer"]["result"]["uncertain_mm"]
    hole = seen["pieces"][1]["handles"][0]["mm"]
    ring = circle_of(next(one for one in panel.openings if one.name == "traced 1").outline.corners)
    # a corner moved to the right by 0.1 mm leaves the lower left corner, or takes it along
    assert ring.y_mm == pytest.approx(hole[1] - 0.3, abs=0.002)
    assert abs(ring.x_mm - hole[0]) < 0.102
    assert client.post(f"{ground}/undo").status_code == 200
    assert saltmarsh.read_text() == before
    assert found(client, ground, number)["answer"]["result"]["written_into"] == PANEL


def test_the_shape_of_one_opening_is_taken_from_a_picture(page, saltmarsh):
    client, _, ground = page
    number = traced(client, ground)
    where = {"job": number, "panel": "instrument wall / wall", "into": "opening"}
    answer = posted(client, f"{ground}/trace/accept", {**where, "opening": "bell", "at": "x"})
    assert answer.status_code == 422
    assert answer.json()["field"] == "at"
    sent = {**where, "opening": "bell", "at": "40 mm, 1 in"}
    answer = posted(client, f"{ground}/trace/accept", sent)
    assert answer.status_code == 200, answer.text
    result = found(client, ground, number)["answer"]["result"]
    (sub,) = [
        s for s in read_project(saltmarsh).design.sub_assemblies if s.name == "instrument wall"
    ]
    wall = next(one for one in sub.panels if one.name == "wall")
    bell = next(one for one in wall.openings if one.name == "bell")
    xs = [x for x, _, _ in bell.outline.corners]
    assert max(xs) - min(xs) == pytest.approx(result["width_mm"], abs=0.02)
    assert centroid_mm(bell.outline.corners) == pytest.approx((40.0, 25.4), abs=0.01)
    assert "# traced: bell-plate.jpg" in saltmarsh.read_text()


def plate(file):
    (sub,) = [s for s in read_project(file).design.sub_assemblies if s.name == "instrument wall"]
    return next(one for one in sub.panels if one.name == "bell plate")


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"pictures": ["../mended.yaml"]}, "pictures"),
        ({"pictures": [BELL, BELL]}, "pictures"),
        ({"pictures": [BELL, "clock-bezel.jpg"]}, "pictures"),
        ({"dpi": "soon"}, "dpi"),
        ({"dpi": "nan"}, "dpi"),
        ({"thickness": "1 mm"}, "thickness"),
        ({"reference": "card", "dpi": "", "thickness": "1 V"}, "thickness"),
        ({"reference": "card", "dpi": "", "printed": "168"}, "printed"),
        ({"reference": "card", "dpi": "", "lender": BELL}, "lender"),
        ({"reference": "board", "across": "2", "high": "6", "square": "10 mm"}, "across"),
        ({"reference": "ruler", "apart": "100 mm"}, "apart"),
        ({"window": "1 2 3"}, "window"),
        ({"against": "nothing / here"}, "against"),
    ],
)
def test_a_field_that_cannot_be_read_is_named(page, asked, field):
    client, _, ground = page
    answer = posted(client, f"{ground}/trace/start", {**SCAN, **asked})
    assert answer.status_code == 422
    assert answer.json()["field"] == field


def test_two_marks_of_a_ruler_give_the_scale(page):
    # 600 pixels of a 600 dpi scan are an inch
    client, _, ground = page
    asked = {"reference": "ruler", "dpi": "", "marks": [100, 100, 700, 100], "apart": "1 in"}
    by_marks = found(client, ground, traced(client, ground, **asked))["answer"]["result"]
    by_dpi = found(client, ground, traced(client, ground))["answer"]["result"]
    assert by_marks["width_mm"] == pytest.approx(by_dpi["width_mm"], abs=0.01)
    assert by_marks["uncertain_mm"] > by_dpi["uncertain_mm"]


def png(columns, rows, data=b""):
    def chunk(kind, held):
        return (
            struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))
        )

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(data)) + chunk(b"IEND", b"")


def sent(client, ground, name, data):
    return client.post(f"{ground}/trace/picture", files={"file": (name, data)})


HOSTILE = {
    "pixel bomb.png": png(100_000, 100_000, b"\0" * 1000),
    "wide.png": png(60_000, 50, b"\0"),
    "less than it says.png": png(4000, 4000, b"\0" * 100),
    "tiny.png": png(4, 4, b"\0" * 20),
    "truncated.jpg": demo_pictures("saltmarsh")[f"pictures/{BELL}"][:30_000],
    "page.jpg": b"<html><script>alert(1)</script></html>",
    "drawing.png": b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg'/>",
    "nothing.png": b"",
    "header only.jpg": b"\xff\xd8\xff",
    "archive.tif": b"PK\x03\x04" + b"\0" * 400,
    "tags without end.tif": b"II*\x00" + struct.pack("<I", 8) + b"\xff" * 40,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_picture_is_refused_and_not_kept(page, saltmarsh, name):
    client, _, ground = page
    folder = saltmarsh.parent / "pictures"
    before = sorted(folder.iterdir())
    answer = sent(client, ground, name, HOSTILE[name])
    assert answer.status_code == 422, answer.text
    assert "; " in answer.json()["message"]  # what is wrong, and what to do
    assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize(
    "name",
    ["../../out.jpg", "/etc/out.jpg", "..\\out.jpg", "CON.jpg", "a" * 400 + ".jpg", ".jpg",
     "out\u202egpj.exe", "name\r\nSet-Cookie: a=b.jpg", "bell-plate-traced.jpg"],
)  # fmt: skip
def test_names_lead_nowhere(page, saltmarsh, name):
    client, _, ground = page
    folder = saltmarsh.parent / "pictures"
    outside = {path for path in saltmarsh.parent.parent.rglob("*") if folder not in path.parents}
    data = demo_pictures("saltmarsh")["pictures/clock-bezel.jpg"] + b"\0"  # not one that is there
    answer = sent(client, ground, name, data)
    assert answer.status_code in (200, 400), answer.text
    after = {path for path in saltmarsh.parent.parent.rglob("*") if folder not in path.parents}
    assert after - outside <= {saltmarsh.parent / "pictures"} | after - outside - set(after)
    if answer.status_code == 200:
        kept = answer.json()["name"]
        assert (folder / kept).read_bytes() == data
        assert set(kept) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.")
        assert kept.endswith(".jpg")


def test_a_picture_sent_twice_is_kept_once_and_another_of_its_name_beside_it(page, saltmarsh):
    client, _, ground = page
    data = demo_pictures("saltmarsh")["pictures/clock-bezel.jpg"]
    assert sent(client, ground, "again.png", data).json()["name"] == "clock-bezel.jpg"
    other = sent(client, ground, "clock bezel.jpg", data + b"\0").json()
    assert other["name"] == "clock-bezel-2.jpg"
    assert (saltmarsh.parent / "pictures/clock-bezel.jpg").read_bytes() == data


def test_a_link_out_of_the_project_is_no_picture(page, saltmarsh, tmp_path):
    client, _, ground = page
    secret = tmp_path / "secret.jpg"
    secret.write_bytes(demo_pictures("saltmarsh")["pictures/clock-bezel.jpg"])
    (saltmarsh.parent / "pictures/link.jpg").symlink_to(secret)
    assert client.get(f"{ground}/trace/shown?name=link.jpg").status_code == 404
    assert (
        posted(client, f"{ground}/trace/start", {**SCAN, "pictures": ["link.jpg"]}).status_code
        == 422
    )


def test_a_picture_is_shown_as_it_is_measured(page):
    import cv2
    import numpy as np

    client, _, ground = page
    answer = client.get(f"{ground}/trace/shown?name={BELL}")
    columns, rows = map(int, answer.headers["picture-size"].split())
    plain = cv2.imdecode(
        np.frombuffer(demo_pictures("saltmarsh")[f"pictures/{BELL}"], np.uint8),
        cv2.IMREAD_GRAYSCALE,
    )
    assert plain.shape == (rows, columns)
    assert cv2.imdecode(np.frombuffer(answer.content, np.uint8), 0) is not None


@pytest.mark.parametrize("number", ["", "0", "99", "-1", "x", "9" * 400, "²"])
def test_a_tracing_that_is_not_there_is_told(page, number):
    client, _, ground = page
    for where in ("found", "figures", "sight.png", "overlay.png"):
        assert client.get(f"{ground}/trace/{where}", params={"job": number}).status_code == 404


def test_without_the_image_library_the_page_says_what_to_install(page, monkeypatch):
    from lamphouse.web.page_views import trace_work

    client, _, ground = page
    monkeypatch.setattr(trace_work, "is_installed", lambda: False)
    assert "pip install &#39;lamphouse[trace]&#39;" in client.get(f"{ground}/trace/body").text
    for answer in (
        sent(client, ground, "a.png", b"x"),
        client.get(f"{ground}/trace/shown?name={BELL}"),
        posted(client, f"{ground}/trace/start", SCAN),
    ):
        assert answer.status_code == 409
        assert "pip install" in answer.json()["message"]


def test_the_page_comes_while_the_image_library_is_being_loaded(page, monkeypatch):
    client, _, ground = page
    monkeypatch.setitem(sys.modules, "cv2", types.ModuleType("cv2"))  # has no spec meanwhile
    assert client.get(f"{ground}/trace/body").status_code == 200


def test_nudges_outlive_the_program(saltmarsh, tmp_path):
    with opened(saltmarsh, state=tmp_path / "state") as (client, _, ground):
        number = traced(client, ground)
        nudged(client, ground, number, do="move", piece=0, corner=1, by=[0.1, 0])
        before = nudged(client, ground, number, do="move", piece=2, corner=None, by=[0, 0.2]).json()
    with opened(saltmarsh, state=tmp_path / "state") as (client, _, ground):
        assert "data-left" in client.get(f"{ground}/trace/body").text
        number = client.post(f"{ground}/trace/again").json()["number"]
        assert waited(client, ground, number)[0] == "done"
        after = found(client, ground, number)
        assert after == before
        taken = {"job": number, "panel": PANEL, "into": "panel"}
        assert posted(client, f"{ground}/trace/accept", taken).status_code == 200
        assert client.post(f"{ground}/trace/again").status_code == 404


def test_nudges_go_when_the_picture_is_traced_again(page, saltmarsh):
    client, _, ground = page
    kept = saltmarsh.with_name("mended.yaml.tracing.json")
    for leave in ("again", "last"):
        number = traced(client, ground)
        nudged(client, ground, number, do="move", piece=0, corner=1, by=[0.1, 0])
        assert kept.exists()
        if leave == "last":
            nudged(client, ground, number, do="last")
        else:
            traced(client, ground)
        assert not kept.exists()


@pytest.mark.parametrize("held", [b"", b"{}", b"\0" * 100, b'{"asked": 1}', b"[" * 10_000])
def test_a_broken_file_of_nudges_is_none(page, saltmarsh, held):
    client, _, ground = page
    saltmarsh.with_name("mended.yaml.tracing.json").write_bytes(held)
    assert client.get(f"{ground}/trace/body").status_code == 200
    assert client.post(f"{ground}/trace/again").status_code == 404
