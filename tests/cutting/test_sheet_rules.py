"""What is said about sheets, and that every mend it computes does mend."""

import re

import pytest

from cutting.stock_samples import in_hand, plate
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.design.cutting_habits import CuttingHabits, LockedPiece, Turns
from lamphouse.findings import Where


def codes(pieces, stock=(), **habits):
    return [f.code for f in told(pieces, stock, **habits)]


def told(pieces, stock=(), **habits):
    return look_at_sheets(pieces, in_hand=stock, habits=CuttingHabits(**habits))[1]


def lock(name, x, y, *, stock=1, turn=0.0):
    return LockedPiece(
        where=Where(item="lock"), piece=name, stock=stock, x_mm=x, y_mm=y, turn_deg=turn
    )


@pytest.mark.parametrize("grain", ["", "along x", "along y"])
def test_the_sheet_to_buy_is_just_large_enough(grain):
    long = plate("long", 340, 40, grain=grain)
    (finding,) = told([long])
    wide, high = map(float, re.search(r"at least ([\d.]+) x ([\d.]+) mm", finding.remedy).groups())
    assert sorted((wide, high)) == [44, 344]
    assert codes([long], [in_hand(wide, high)]) == []
    assert codes([long], [in_hand(wide - 0.1, high)]) == ["CUT050"]


def test_grain_decides_which_way_a_piece_must_fit():
    assert codes([plate("wide", 290, 20, grain="along x")]) == []
    assert codes([plate("wide", 290, 20, grain="along y")]) == ["CUT050"]
    assert codes([plate("wide", 290, 20)], turns=Turns.FREE) == []


def test_a_thickness_the_stock_lacks_is_noted_once_and_only_with_a_stock():
    pieces = [plate("a", 20, 10), plate("b", 20, 10, count=2)]
    assert codes(pieces) == []
    (finding,) = told(pieces, [in_hand(300, 200, thickness_mm=0.5)])
    assert finding.code == "CUT051"
    assert "'a' and 2 more" in finding.message
    assert finding.remedy == "buy it, or use styrene 0.5 mm"


def test_gap_and_edge_are_at_least_the_kerf():
    assert codes([], gap_mm=1.0, kerf_mm=1.0) == []
    assert codes([], gap_mm=0.9, edge_mm=0.0, kerf_mm=1.0) == ["CUT052", "CUT052"]


def test_every_wrong_place_is_told_with_what_would_do():
    pieces = [plate("a", 50, 30), plate("b", 40, 20)]
    stock = [in_hand(100, 80), in_hand(100, 80, thickness_mm=0.5)]

    def remedy(*locked):
        findings = told(pieces, stock, locked=locked)
        assert [f.code for f in findings] == ["CUT053"] * len(findings)
        return [f.remedy for f in findings]

    assert remedy(lock("a", 10, 10)) == []
    assert remedy(lock("c", 10, 10)) == ["use a name of the list of pieces, or remove the entry"]
    assert remedy(lock("a", 10, 10, stock=2)) == ["use stock: 1"]
    assert remedy(lock("a", 60, 70)) == ["use at: [50 mm, 50 mm]"]
    assert remedy(lock("a", 50, 50)) == []
    assert remedy(lock("a", 0, 0), lock("a", 0, 40)) == ["remove one of the entries"]
    assert remedy(lock("a", 0, 0), lock("b", 51, 0)) == [
        "begin at x = 52 mm, right of 'a', or use another free place"
    ]
    assert remedy(lock("a", 0, 0), lock("b", 52, 0)) == []
