"""The PDF judged by poppler: its scale, its words, its fonts; and the same bytes everywhere."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from lamphouse.drawings.drawing import Path as Line
from lamphouse.drawings.face import panel_sheets
from lamphouse.drawings.page import lay_out
from lamphouse.drawings.title import TitleBlock
from lamphouse.outputs import pdf
from lamphouse.outputs.contents import document
from lamphouse.record import replace
from outputs.rasters import lines_mm, raster
from outputs.sample_plan import NASTY, sample

DPI = 2400
SCALE_MM = 0.02
"""Most that 100 mm on paper may be off: the project's own requirement."""
TICK_MM = 3.0
"""A row this far from a ruler's base line meets only the ticks of whole centimetres."""
PAPERS_PT = {"A4": (595.276, 841.890), "Letter": (612.0, 792.0)}
"""ISO 216 sizes and 8.5 by 11 inches in units of 1/72 inch, ISO 32000-1, 8.3.2.3."""


@pytest.fixture(scope="module")
def pages():
    return document(sample())


@pytest.fixture(scope="module")
def made(tmp_path_factory, pages):
    path = tmp_path_factory.mktemp("pdf") / "pack.pdf"
    path.write_bytes(pdf.set_pages(pages, day=sample().design.day))
    return path


def base_lines(plan, *, paper):
    """Find the base lines of both rulers on the first template, in mm from the upper left."""
    title = TitleBlock(project="", revision="", day="", model_scale="")
    page = lay_out(panel_sheets(plan.panels[0]), paper=paper, title=title)[0]
    found = {}
    for item in page.drawing.items:
        if isinstance(item, Line) and len(item.corners) == 2:
            (x0, y0, _), (x1, y1, _) = item.corners
            if abs(abs(x1 - x0) + abs(y1 - y0) - 101.6) < 1e-6:
                key = "level" if y0 == y1 else "upright"
                found[key] = (min(x0, x1), page.drawing.height_mm - max(y0, y1))
    return found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_100_mm_are_100_mm_on_both_axes(tmp_path, tool, paper):
    pdftoppm, plan = tool("pdftoppm"), sample(paper=paper)
    path, laid = tmp_path / "pack.pdf", document(plan)
    path.write_bytes(pdf.set_pages(laid, day=plan.design.day))
    page, rulers = pdf.page_numbers(laid)[0]["1 templates"], base_lines(plan, paper=paper)
    x, y = rulers["level"]
    row = raster(pdftoppm, path, page=page, box_mm=(x - 1, y - TICK_MM, 103, 0.1), dpi=DPI)[0]
    ticks = lines_mm(row, dpi=DPI)
    assert len(ticks) == 11
    assert abs(ticks[-1] - ticks[0] - 100.0) < SCALE_MM
    x, y = rulers["upright"]
    column = raster(pdftoppm, path, page=page, box_mm=(x - TICK_MM, y - 1, 0.1, 104), dpi=DPI)
    ticks = lines_mm(column[:, 0], dpi=DPI)
    assert len(ticks) == 11
    assert abs(ticks[-1] - ticks[0] - 100.0) < SCALE_MM


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_every_page_has_the_paper_s_size(tmp_path, tool, paper):
    path = tmp_path / "pack.pdf"
    path.write_bytes(pdf.set_pages(document(sample(paper=paper)), day=None))
    said = subprocess.run(
        [tool("pdfinfo"), "-f", "1", "-l", "99", path], capture_output=True, text=True, check=True
    ).stdout
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", said)
    assert len(sizes) == int(re.search(r"Pages: +(\d+)", said)[1])
    for size in sizes:
        assert sorted(map(float, size)) == pytest.approx(PAPERS_PT[paper], abs=0.01)


def test_only_our_font_is_in_it_and_all_of_it_is_embedded(made, tool):
    said = subprocess.run(
        [tool("pdffonts"), made], capture_output=True, text=True, check=True
    ).stdout.splitlines()[2:]
    assert said
    for line in said:
        assert "LamphouseSans" in line
        assert line.split()[-5:-2] == ["yes", "yes", "yes"], "embedded, subset, with Unicode"


def text_of(tool, path):
    command = [tool("pdftotext"), "-layout", path, "-"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return done.stdout


def test_page_numbers_in_the_contents_are_those_of_the_pages(pages, made, tool):
    sheets = text_of(tool, made).split("\f")[:-1]
    numbers, total = pdf.page_numbers(pages)
    assert total == len(sheets)
    for mark, words in {"parts": "Parts list", "findings": "Findings", "1 schematic": "S2"}.items():
        assert words in sheets[numbers[mark] - 1], mark
    for number, sheet in enumerate(sheets, start=1):
        assert f"{number} of {len(sheets)}" in sheet


@pytest.mark.parametrize("name", NASTY)
def test_words_that_look_like_markup_print_as_themselves(tmp_path, tool, name):
    path = tmp_path / "pack.pdf"
    path.write_bytes(pdf.set_pages(document(sample(name)), day=None))
    text = text_of(tool, path)
    assert text.count(name) >= 4


LONG = (
    "The extraordinarily long name of the wall behind the watchman's chair on the port side",
    "W" * 80,
)


@pytest.mark.parametrize("name", LONG)
def test_long_names_stay_on_the_paper(tmp_path, tool, name):
    path = tmp_path / "pack.pdf"
    plan = sample(name)
    plan = replace(plan, design=replace(plan.design, name=name))
    path.write_bytes(pdf.set_pages(document(plan), day=None))
    sheets = text_of(tool, path).split("\f")[:-1]  # the cover may now take two of them
    assert all(f"{number} of {len(sheets)}" in sheet for number, sheet in enumerate(sheets, 1))
    command = [tool("pdftotext"), "-bbox", path, "-"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    ends = [float(end) for end in re.findall(r'<word [^>]*xMax="([\d.]+)"', said)]
    wide = [float(width) for width in re.findall(r'<page width="([\d.]+)"', said)]
    assert ends
    assert max(ends) < max(wide)


def test_signs_the_font_lacks_are_told_on_the_first_page(tmp_path, tool):
    path = tmp_path / "pack.pdf"
    path.write_bytes(pdf.set_pages(document(sample("海図台")), day=None))
    assert "no sign for U+6D77, U+56F3, U+53F0" in text_of(tool, path)


def test_the_title_and_the_date_are_the_project_s(made, tool):
    said = subprocess.run([tool("pdfinfo"), "-isodates", made], capture_output=True, text=True)
    assert "Saltmarsh Pilot Station, build pack" in said.stdout
    assert re.search(r"CreationDate: +2026-11-25", said.stdout)
    assert "Author" not in said.stdout


MAKE = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
from lamphouse.outputs import pdf
from lamphouse.outputs.contents import document
from outputs.sample_plan import sample
from lamphouse.record import replace
plan = sample()
for day in (plan.design.day, None):
    dated = replace(plan, design=replace(plan.design, day=day))
    print(hashlib.sha256(pdf.set_pages(document(dated), day=day)).hexdigest())
"""


def test_the_same_bytes_in_another_process_folder_zone_and_language(tmp_path):
    tests = str(Path(__file__).parents[1])
    said = set()
    for seed, zone, language in (("1", "UTC", "C"), ("2", "Asia/Tokyo", "tr_TR.UTF-8")):
        told = {"PYTHONHASHSEED": seed, "TZ": zone, "LANG": language, "LC_ALL": language}
        said.add(
            subprocess.run(
                [sys.executable, "-c", MAKE, tests],
                env={**os.environ, **told},
                cwd=tmp_path if seed == "2" else tests,
                capture_output=True,
                text=True,
                check=True,
            ).stdout
        )
    assert len(said) == 1


def test_a_warning_of_the_typesetter_is_a_fault(monkeypatch):
    monkeypatch.setattr(pdf, "_LAYOUT", Path(__file__).parent / "warning_layout")
    with pytest.raises(pdf.TypesetterWarning, match="unknown font family"):
        pdf.set_pages({}, day=None)


def test_the_self_test_names_the_typesetter_and_the_font():
    assert re.fullmatch(r"typst [\d.]+, Lamphouse Sans", pdf.self_test())
