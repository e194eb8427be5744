"""What is said about a panel's outlines, openings and holes: each rule fires, alone, and stops."""

import re
from math import cos, nan, pi, sin
from time import process_time

import pytest

from cutting import samples as s
from lamphouse.shapes import outline

SOUND_STRANDS = (s.strand("F1", 45, 30), s.strand("F2", 47, 30))


def test_sound_panel_has_no_finding():
    panel = s.panel(
        s.opening("window", s.box_shape(12, 8, x=20, y=20)),
        s.opening("port", outline.circle(12, x_mm=45, y_mm=15)),
        s.opening("cable", outline.circle(3, x_mm=55, y_mm=33)),
    )
    assert s.codes(panel, strands=SOUND_STRANDS) == []


def window(x=30.0, y=20.0, width=12.0, height=8.0, name="window"):
    return s.opening(name, s.box_shape(width, height, x=x, y=y))


BOW_TIE = outline.polygon([(20, 20), (28, 26), (28, 20), (20, 26)])


@pytest.mark.parametrize(
    ("code", "openings", "strands", "words"),
    [
        ("CUT001", [s.opening("tie", BOW_TIE)], [], "crosses itself at (24, 23) mm"),
        ("CUT001", [s.opening("n", outline.polygon([(0, 0), (nan, 1), (2, 2)]))], [], "corner 2"),
        ("CUT001", [s.opening("far", s.box_shape(1e12, 1e12))], [], "10 m"),
        ("CUT001", [s.opening("dot", s.box_shape(1e-12, 1e-12, x=9, y=9))], [], "one place"),
        ("CUT002", [window(width=12, height=0.4)], [], "0.75 mm"),
        ("CUT003", [window(x=57)], [], "by 3 mm"),
        ("CUT003", [window(x=54)], [], "breaks out"),
        ("CUT003", [window(x=200)], [], "opening 'window'"),
        ("CUT004", [window(x=53.5)], [], "only 0.5 mm"),
        ("CUT004", [], [s.strand("F", 0.5, 20)], "0.23 mm"),
        ("CUT005", [window(), window(x=36, name="b")], [], "'b' runs into opening 'window'"),
        ("CUT005", [window(), window(x=42, name="b")], [], "runs into"),
        ("CUT006", [window(), window(x=42.5, name="b")], [], "0.5 mm wide"),
        ("CUT006", [window()], [s.strand("F", 36.5, 20)], "strand 'F'"),
        ("CUT007", [], [s.strand("F", 62, 20)], "by 2.27 mm"),
        ("CUT007", [], [s.strand("F", 60, 20)], "by 0.27 mm"),
        ("CUT008", [], [s.strand("A", 20, 20), s.strand("B", 20.2, 20)], "runs into strand 'A'"),
        ("CUT008", [window()], [s.strand("F", 30, 20)], "runs into opening 'window'"),
        ("CUT009", [], [s.strand("A", 20, 20), s.strand("B", 20.8, 20)], "1.07 mm"),
        ("CUT010", [], [s.strand("F", 20, 20, hole_mm=16)], "16 mm"),
        ("CUT010", [], [s.strand("F", 20, 20, kind=s.fibre(30.0))], "no drill"),
        ("CUT011", [], [s.strand("F", 20, 20, hole_mm=0.4)], "0.5 mm thick"),
        ("CUT012", [], [s.strand("F", 20, 20, hole_mm=0.7)], "too loose"),
        ("CUT012", [], [s.strand("F", 20, 20, hole_mm=0.5)], "too tight"),
    ],
)  # fmt: skip
def test_each_fault_is_told_once_with_its_numbers(code, openings, strands, words):
    found = s.cut(s.panel(*openings), strands=strands).findings
    assert [finding.code for finding in found] == [code]
    assert words in found[0].message
    assert found[0].remedy


def test_unsound_panel_is_told_alone_and_not_cut():
    cut = s.cut(s.panel(window(), corners=BOW_TIE))
    assert [finding.code for finding in cut.findings] == ["CUT001"]
    assert cut.pieces == ()


def test_unsound_opening_is_left_out_of_the_piece():
    (piece,) = s.cut(s.panel(s.opening("tie", BOW_TIE), window(x=45))).pieces
    assert piece.cutout_names == ("window",)


def moved(remedy, x, y):
    """Follow a remedy ``move it 3 mm left and 1 mm up``."""
    for size, way in re.findall(r"([\d.]+) mm (left|right|up|down)", remedy):
        step = float(size) * (1 if way in ("right", "up") else -1)
        x, y = (x + step, y) if way in ("left", "right") else (x, y + step)
    return x, y


@pytest.mark.parametrize(("x", "y"), [(57, 20), (2, 39), (53.5, 20), (80, -10)])
def test_following_the_remedy_mends_an_opening_off_its_panel(x, y):
    (finding,) = s.cut(s.panel(window(x=x, y=y))).findings
    assert s.codes(s.panel(window(*moved(finding.remedy, x, y)))) == []


@pytest.mark.parametrize("x", [36, 42, 42.5, 25])
def test_following_the_remedy_mends_openings_in_one_place(x):
    (finding,) = s.cut(s.panel(window(), window(x=x, y=21, name="b"))).findings
    assert s.codes(s.panel(window(), window(*moved(finding.remedy, x, 21), name="b"))) == []


def test_opening_larger_than_its_panel_is_told_a_size_that_fits():
    (finding,) = s.cut(s.panel(window(width=80, height=20))).findings
    share = int(re.search(r"(\d+) percent", finding.remedy)[1]) / 100
    assert 0.7 < share < 0.75
    assert s.codes(s.panel(window(width=80 * share, height=20 * share))) == []


def test_following_the_remedy_mends_a_hole_without_a_drill():
    (finding,) = s.cut(s.panel(), strands=[s.strand("F", 20, 20, hole_mm=16)]).findings
    hole = float(re.search(r"hole: ([\d.]+) mm", finding.remedy)[1])
    assert "CUT010" not in s.codes(s.panel(), strands=[s.strand("F", 20, 20, hole_mm=hole)])


def test_hole_near_a_cut_and_a_nearer_hole_is_still_a_thin_bridge():
    # The nearer neighbour is a drilled hole well apart; the cut beside it must not be forgotten.
    found = s.codes(
        s.panel(window()), strands=[s.strand("A", 37.9, 20.0), s.strand("B", 36.6, 20.0)]
    )
    assert found == ["CUT006"]


def test_hostile_panels_take_seconds():
    count = 20_000
    ring = outline.polygon(
        (500 + 499 * cos(2 * pi * i / count), 500 + 499 * sin(2 * pi * i / count))
        for i in range(count)
    )
    heap = [window(x=500, y=500, name=f"w{i}") for i in range(1500)]
    spread = [
        window(x=20 + 13 * (i % 70), y=300 + 9 * (i // 70), name=f"s{i}") for i in range(1500)
    ]
    began = process_time()
    found = s.cut(s.panel(*heap, *spread, corners=ring)).findings
    assert process_time() - began < 20.0
    assert sum(finding.code == "CUT005" for finding in found) >= len(heap) - 1
