"""The painting in the pack, and compensated lines, from a project as a maker writes it."""

import csv
import io
import json
import re
from functools import cache
from pathlib import Path

import ezdxf
import pytest

from lamphouse.drawings.drawing import Path as Line
from lamphouse.drawings.mask_view import mask_sheet, mask_view
from lamphouse.outputs import pack
from lamphouse.outputs.contents import document
from lamphouse.outputs.mask_sheets import painting
from lamphouse.plan import make
from lamphouse.project.read import read_text
from lamphouse.shapes import measure

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
MASKS = """\
        masks:
          clear: [screen]
          areas:
            ground: {paint: white}
            frame: {paint: brass, round: screen, width: 3 mm}
            stripe: {paint: blue, from: [0 mm, 5 mm], to: [80 mm, 5 mm], width: 4 mm, count: 2,
                     step: [0 mm, 40 mm]}
            dot: {paint: brass, shape: round 8 mm, at: [65 mm, 36 mm]}
"""
CUTTING = "cutting: {gap: 2 mm, kerf: 0.2 mm, compensate: yes}\n"


def plan_of(text):
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None, [str(one) for one in reading.findings]
    return make.plan(reading.design, found=reading.findings)


@cache
def painted():
    return plan_of(SOUND.replace("        boxes:\n", f"{MASKS}        boxes:\n", 1))


@cache
def packed():
    return pack.build(plan_of(painted_text() + CUTTING))


def painted_text():
    return SOUND.replace("        boxes:\n", f"{MASKS}        boxes:\n", 1)


def test_the_page_lists_coats_and_masks_in_their_order():
    data = painting(painted(), painted().design.sub_assemblies[0])
    (panel,) = data["panels"]
    assert [(row[0], row[1]) for row in panel["rows"]] == [
        ("Mask A", "piece A from behind"),
        ("Coat 1", "white"),
        ("Mask B", "pieces B1, B2, B3 on the face"),
        ("Coat 2", "brass"),
        ("Mask C", "pieces C1, C2 on the face"),
        ("Coat 3", "blue"),
        ("Last", "take all masks off"),
    ]
    assert any("vapours" in step for step in data["how"])


def test_the_pack_has_its_pages_and_says_so_on_the_cover():
    pages = document(painted())["pages"]
    kinds = [page["kind"] for page in pages]
    assert "masks" in kinds
    cover = json.dumps(pages[0])
    assert "1 painting" in cover
    names = [page["name"] for page in pages if page["kind"] == "drawn"]
    assert any("painting" in name for name in names)
    assert any("mask" in name or "desk / top" in name for name in names)


def test_nothing_painted_has_no_page():
    plan = plan_of(SOUND)
    assert painting(plan, plan.design.sub_assemblies[0]) is None
    assert plan.paintings == ()


def test_the_view_shows_every_area_once_with_its_coat():
    (one,) = painted().paintings
    drawing = mask_view(one, paper="A4").drawing
    words = [item.words for item in drawing.items if hasattr(item, "words")]
    assert "1  white: ground" in words
    assert "2  brass: frame" in words
    assert "2  brass: dot" in words
    assert "3  blue: stripe" in words


def test_masks_from_behind_are_on_mirrored_sheets():
    (one,) = painted().paintings
    faces = {piece.name.rpartition(" ")[2]: mask_sheet(piece).face for piece in one.pieces()}
    assert faces["A"] == "back, mirrored"
    assert faces["B1"] == "front"


def test_a_mask_is_drawn_at_its_size():
    (one,) = painted().paintings
    piece = one.pieces()[0]
    cut = next(
        item for item in mask_sheet(piece).drawing.items if isinstance(item, Line) and item.closed
    )
    # The screen of 30 x 20 mm and 1 mm all round.
    assert measure.size_mm(cut.corners) == pytest.approx((32.0, 22.0))


def test_masks_lie_on_sheets_of_film_and_are_bought():
    rows = list(csv.DictReader(io.StringIO(packed()["tables/sheets.csv"].decode())))
    film = [row for row in rows if row["sheet"] == "masking film 0.08 mm"]
    assert len(film) == 6
    parts = csv.DictReader(io.StringIO(packed()["tables/parts.csv"].decode()))
    assert any(row["part"].startswith("masking film") for row in parts)


def test_compensated_files_say_so_and_paper_stays_as_drawn():
    files = packed()
    lines = [name for name in files if name.startswith(("svg/", "dxf/", "sheets/"))]
    assert lines
    assert all("kerf-0-2-mm" in name for name in lines)
    written = files["svg/desk-top-kerf-0-2-mm.svg"].decode()
    assert "compensated for kerf 0.2 mm" in written
    document_ = ezdxf.read(io.StringIO(files["dxf/desk-top-kerf-0-2-mm.dxf"].decode()))
    assert ("LINES", "compensated for kerf 0.2 mm") in list(document_.header.custom_vars)
    outline, screen = (
        sorted(line.get_points("xy")) for line in document_.modelspace().query("LWPOLYLINE")
    )
    # 80 x 50 mm grown and 30 x 20 mm shrunk by 0.1 mm all round.
    assert outline[-1][0] - outline[0][0] == pytest.approx(80.2)
    assert screen[-1][0] - screen[0][0] == pytest.approx(29.8)
    plan = painted()
    assert measure.size_mm(plan.panels[0].outline.corners) == pytest.approx((80.0, 50.0))


def test_whole_sheets_keep_gap_and_kerf_between_pieces():
    written = packed()["sheets/styrene-1-0-mm-sheet-1-kerf-0-2-mm.dxf"].decode()
    import shapely

    document_ = ezdxf.read(io.StringIO(written))
    solids = [
        shapely.Polygon(line.get_points("xy"))
        for line in document_.modelspace().query("LWPOLYLINE[layer=='CUT']")
    ]
    outer = [one for one in solids if not any(o is not one and o.contains(one) for o in solids)]
    gaps = [a.distance(b) for n, a in enumerate(outer) for b in outer[:n]]
    # Between the ways of the tool stays the whole gap of 2 mm.
    assert min(gaps) >= 2.0 - 1e-6


def test_without_a_kerf_names_say_nothing():
    assert not any(re.search("kerf", name) for name in pack.build(painted()))
