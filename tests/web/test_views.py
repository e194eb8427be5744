"""The views without a browser: the pack's drawings and bytes, the command line's answers."""

import io
import json
import re
import zipfile
from concurrent.futures import ThreadPoolExecutor
from html import unescape
from xml.etree import ElementTree as ET

import pytest
from click.testing import CliRunner

from lamphouse.cli.main import command
from lamphouse.outputs import contents, pack, page_drawings
from lamphouse.outputs.lists import TABLES, to_bytes
from lamphouse.plan import make
from lamphouse.project.read import read_project
from lamphouse.web.drawn import inline
from lamphouse.web.showing import digits
from web.views_client import opened, posted, waited


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    from lamphouse.project import starter

    folder = tmp_path_factory.mktemp("views") / "saltmarsh"
    starter.start(folder, demo="saltmarsh")
    return folder / "mended.yaml"


@pytest.fixture(scope="module")
def page(demo, tmp_path_factory):
    with opened(demo, state=tmp_path_factory.mktemp("state")) as one:
        yield one


@pytest.fixture(scope="module")
def plan(demo):
    reading = read_project(demo)
    made = make.plan(reading.design, found=reading.findings, places=reading.places)
    return pack.completed(made)


@pytest.fixture(scope="module")
def document(plan):
    return contents.document(plan)


def answered(*words):
    return json.loads(CliRunner().invoke(command, [*words, "--json"]).stdout)


def test_large_numbers_are_not_told_in_powers_of_ten():
    assert [digits(1257.4), digits(104.2, 2), digits(0.0318), digits(2.0)] == [
        "1260",
        "100",
        "0.0318",
        "2",
    ]


def geometry(svg):
    """Give what a drawing shows, whatever its inks and names of groups: tags, places, words."""
    kept = ("d", "cx", "cy", "r", "x", "y", "transform", "font-size", "stroke-width", "viewBox")
    kept += ("width", "height", "stroke-dasharray", "text-anchor", "font-weight")
    return [
        (one.tag.rpartition("}")[2], *(one.get(name) for name in kept), (one.text or "").strip())
        for one in ET.fromstring(svg).iter()
    ]


def drawings_in(html):
    return re.findall(r"<svg role=.*?</svg>", html, flags=re.DOTALL)


SHOWN = [
    (what, sub)
    for what in page_drawings.OF_SUB_ASSEMBLY
    for sub in ("chart table", "instrument wall", "console", "bay")
] + [(what, "") for what in page_drawings.OF_MODEL]


@pytest.mark.parametrize(("what", "name"), SHOWN)
def test_a_drawing_on_the_page_stands_on_the_packs_own_pages(plan, document, what, name):
    sub = next((one for one in plan.design.sub_assemblies if one.name == name), None)
    labels = (
        page_drawings.OF_SUB_ASSEMBLY[what](plan, sub)
        if sub
        else page_drawings.OF_MODEL[what](plan)
    )
    if not labels:
        assert (what, name) not in {("circuit", "console"), ("templates", "console")}
        return
    alone = contents.document_of(plan, [contents.Drawn(mark="one", labels=labels)])
    in_pack = [one["svg"] for one in document["pages"] if one["kind"] == "drawn"]
    assert all(one["svg"] in in_pack for one in alone["pages"])
    on_page = "".join(one["svg"] for one in alone["pages"])
    for shown in page_drawings.drawings(plan, what, sub=sub):
        for words in re.findall(r"<text [^>]*>([^<]+)</text>", shown.svg):
            assert f">{words}</text>" in on_page


def test_what_is_put_into_the_page_is_the_same_drawing_line_for_line(plan, page):
    client, _, address = page
    sub = next(one for one in plan.design.sub_assemblies if one.name == "console")
    served = drawings_in(client.get(f"{address}/circuit/body?sub=console").text)
    pictures = [one.svg for one in page_drawings.drawings(plan, "circuit", sub=sub)]
    from lamphouse.outputs import board_sheets

    pictures += [one["svg"] for one in board_sheets.board(plan, sub)["pictures"]]
    assert [geometry(one) for one in served] == [geometry(one) for one in pictures]


def test_an_ink_follows_the_light_and_a_bands_colour_does_not(plan):
    sub = next(one for one in plan.design.sub_assemblies if one.name == "console")
    (drawn,) = page_drawings.drawings(plan, "circuit", sub=sub)
    markup = inline(drawn.svg)
    assert 'id="' not in markup
    assert markup.count('class="pen pen-') == drawn.svg.count('<g id="')
    assert "#c4161c" in markup  # the red band of a resistor stays red
    assert 'fill="#000000"' not in markup


def test_stock_sheets_on_the_page_are_the_packs_files_for_cutters(plan, page):
    client, _, address = page
    served = drawings_in(client.get(f"{address}/sheets/body").text)
    files = dict(pack._pieces(plan))
    sheets = [name for name in files if name.startswith("sheets/") and name.endswith(".svg")]
    assert len(served) == len(sheets) > 5
    for drawing, name in zip(served, sheets, strict=True):
        lines = set(re.findall(r' d="([^"]+)"', files[name].decode()))
        assert lines <= set(re.findall(r' d="([^"]+)"', drawing))


def test_a_cutter_file_is_byte_for_byte_the_packs(plan, page):
    client, _, address = page
    files = dict(pack._pieces(plan))
    for kind in ("svg", "dxf"):
        asked = client.get(f"{address}/cutter.{kind}", params={"name": "console / left fascia"})
        assert asked.content == files[f"{kind}/console-left-fascia.{kind}"]
    assert client.get(f"{address}/cutter.dxf", params={"name": "nothing"}).status_code == 404


def test_a_list_is_byte_for_byte_the_packs(plan, page):
    client, _, address = page
    for name, table in TABLES.items():
        if name in ("strands", "pins", "parts", "sheets", "pieces", "leds"):
            assert client.get(f"{address}/tables/{name}.csv").content == to_bytes(table(plan))


@pytest.mark.slow
def test_the_answers_are_those_of_the_command_line(demo, page):
    client, _, address = page
    for name in ("check", "glow"):
        assert client.get(f"{address}/answer/{name}").json() == answered(name, str(demo))
    one = client.get(f"{address}/answer/glow", params={"box": "tide box"}).json()
    assert one == answered("glow", str(demo), "--box", "tide box")
    assert client.get(f"{address}/answer/pack").status_code == 404
    assert client.get(f"{address}/answer/glow", params={"box": "none"}).status_code == 404


@pytest.mark.slow
def test_a_pack_is_made_written_and_answered_like_the_command_lines(demo, page, tmp_path):
    client, bench, address = page
    number = client.post(f"{address}/start/pack").json()["number"]
    assert waited(client, address, number)[0] == "done"
    whole = zipfile.ZipFile(io.BytesIO(client.get(f"{address}/pack.zip").content))
    assert client.get(f"{address}/pack.pdf").content == whole.read("pack.pdf")
    answer = answered("pack", str(demo), "--into", str(tmp_path / "pack"))
    for name in answer["result"]["files"]:
        assert whole.read(name) == (tmp_path / "pack" / name).read_bytes(), name
    written = client.post(f"{address}/pack/folder").json()
    assert written["folder"] == str(demo.parent / "pack")
    answer["result"]["folder"] = written["folder"]
    assert client.get(f"{address}/answer/pack").json() == answer
    assert bench.jobs.job(number).outcome.files["pack.pdf"].startswith(b"%PDF")


def test_one_page_is_printed_alone(page):
    client, _, address = page
    for asked in (
        {"what": "board", "sub": "console"},
        {"what": "templates", "sub": "chart table", "only": "chart table / top"},
        {"what": "sheets", "only": "styrene 0.75 mm, sheet 1"},
        {"what": "parts"},
        {"what": "time line"},
    ):
        answer = client.get(f"{address}/page.pdf", params=asked)
        assert answer.content.startswith(b"%PDF"), asked
    assert client.get(f"{address}/page.pdf", params={"what": "nothing"}).status_code == 404
    away = {"what": "templates", "sub": "chart table", "only": "no such piece"}
    assert client.get(f"{address}/page.pdf", params=away).status_code == 404


@pytest.mark.slow
def test_a_range_is_tried_without_touching_the_file(demo, page):
    client, _, address = page
    before = demo.read_bytes()
    path = ["sub_assemblies", "chart table", "panels", "top", "boxes", "screen box", "depth"]
    asked = {"path": path, "low": "8 mm", "high": "16 mm", "steps": 3}
    number = posted(client, f"{address}/start/sweep", asked).json()["number"]
    state, line = waited(client, address, number)
    assert state == "done", line
    assert demo.read_bytes() == before
    said = re.findall(r'<th scope="row">([^<]+)</th>', line)
    assert said == ["8 mm", "12 mm", "16 mm"]
    # the figures of the last one are those of the file as it is, whose box is 16 mm deep
    mean = next(
        one["mean_cd_m2"]["nominal"]
        for one in answered("check", str(demo))["result"]["glows"]
        if one["opening"] == "screen"
    )
    assert f"{mean:.3g}" in line.rpartition("16 mm</th>")[2]
    wrong = {**asked, "low": "a yard"}
    number = posted(client, f"{address}/start/sweep", wrong).json()["number"]
    assert waited(client, address, number)[0] == "failed"


def test_a_place_is_kept_within_the_sheet_and_taken_back(demo, page):
    client, bench, address = page
    before = demo.read_text()
    asked = {"piece": "console / left fascia", "stock": 1, "x": 900.0, "y": -5.0, "turn": 90.0}
    assert posted(client, f"{address}/sheets/place", asked).status_code == 200
    # 18 mm wide as turned, on a sheet of 300 mm: 282 mm is the farthest it can lie
    assert "at: [282 mm, 0 mm], turn: 90 deg" in demo.read_text()
    html = client.get(f"{address}/sheets/body").text
    assert re.search(r"console / left fascia, locked, at 282\.0, 0\.0 mm, turned 90", html)
    assert "CUT053" not in html
    assert client.post(f"{address}/undo").status_code == 200
    assert demo.read_text() == before
    assert bench.redo_label == "Lock console / left fascia where it lies"
    beyond = {**asked, "stock": 99}
    assert posted(client, f"{address}/sheets/place", beyond).status_code == 409
    assert posted(client, f"{address}/sheets/place", {**asked, "x": "left"}).status_code == 400


def test_two_locked_pieces_that_overlap_are_told_in_place(demo, page):
    client, _, address = page
    before = demo.read_text()
    for piece in ("console / left fascia", "console / right fascia"):
        asked = {"piece": piece, "stock": 1, "x": 50.0, "y": 50.0, "turn": 0.0}
        posted(client, f"{address}/sheets/place", asked)
    html = unescape(client.get(f"{address}/sheets/body").text)
    assert "CUT053" in html
    assert "overlaps 'console / left fascia'" in html
    pieces = ["console / left fascia", "console / right fascia"]
    posted(client, f"{address}/sheets/free", {"pieces": pieces})
    assert "locked:" not in demo.read_text()
    for _ in range(3):
        client.post(f"{address}/undo")
    assert demo.read_text() == before


def test_a_panels_picture_follows_the_room_light(page):
    client, _, address = page
    asked = {"sub": "instrument wall", "panel": "wall", "px": "96"}
    pictures = {
        lx: client.get(f"{address}/glow.png", params={**asked, "lx": lx}) for lx in ("0", "1000")
    }
    from PIL import Image

    corner = {
        lx: sum(Image.open(io.BytesIO(one.content)).convert("RGB").getpixel((2, 2)))
        for lx, one in pictures.items()
    }
    assert corner["0"] == 0  # a face without light is black
    assert corner["1000"] > 200
    again = client.get(
        f"{address}/glow.png",
        params={**asked, "lx": "0"},
        headers={"if-none-match": pictures["0"].headers["etag"]},
    )
    assert again.status_code == 304
    assert client.get(f"{address}/glow.png", params={**asked, "lx": "-1"}).status_code == 400


def test_a_wish_goes_into_keys_that_are_not_there_yet(demo, page):
    client, _, address = page
    before = demo.read_text()
    edit = {"do": "set", "path": ["cutting", "gap"], "value": "3 mm", "was": ""}
    assert posted(client, f"{address}/edit", {"label": "gap", "edits": [edit]}).status_code == 200
    assert "cutting: {gap: 3 mm}" in demo.read_text()
    client.post(f"{address}/undo")
    assert demo.read_text() == before


@pytest.mark.slow
def test_a_sheet_is_squeezed_and_its_places_kept(demo, page):
    pytest.importorskip("spyrrow", reason="the extra 'squeeze' is not installed")
    client, bench, address = page
    before = demo.read_text()
    asked = {"sheets": ["styrene 0.75 mm, sheet 1"], "seconds": 2}
    number = posted(client, f"{address}/start/squeeze", asked).json()["number"]
    assert waited(client, address, number)[0] == "done"
    squeezed = bench.jobs.job(number).outcome
    sheet = next(one for one in squeezed.sheets if one.name == asked["sheets"][0])
    kept = posted(client, f"{address}/sheets/hold", {"sheet": sheet.name})
    assert kept.status_code == 200
    html = client.get(f"{address}/sheets/body").text
    assert "CUT053" not in html
    for piece in sheet.pieces:
        lies = f"{piece.name}, locked, at {piece.x_mm:.1f}, {piece.y_mm:.1f} mm"
        assert lies in html
    client.post(f"{address}/undo")
    assert demo.read_text() == before


def test_work_that_meets_a_fault_of_ours_ends_as_failed(page):
    from lamphouse.web.page_views.long_work import begun

    client, bench, address = page

    def work(tell):
        tell(1, 2, "half way")
        raise ZeroDivisionError

    async def begin(request, bench):
        return begun(bench, "Fault", work)

    import asyncio

    async def run():
        await begin(None, bench)
        job = bench.jobs.all()[0]
        for _ in range(100):
            await asyncio.sleep(0.01)
            if job.state == "failed":
                break
        return job

    with ThreadPoolExecutor(1) as threads:  # the browser's driver keeps a loop in this one
        job = threads.submit(asyncio.run, run()).result()
    assert (job.state, job.words) == ("failed", "a fault of the program itself")
    assert 'data-state="failed"' in client.get(f"{address}/jobs").text
