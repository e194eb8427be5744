"""What is said about light boxes and what stands in them: each rule fires, alone, and stops."""

import re

import pytest

from cutting import samples as s
from lamphouse.design.lightbox import Lid, Seat
from lamphouse.shapes import outline

WINDOW = s.opening("window", s.box_shape(12, 8, x=30, y=20))


def find(box, *others, window=WINDOW, panel=None):
    return s.cut(panel or s.panel(window), boxes=[box, *others]).findings


def test_sound_box_has_no_finding():
    box = s.box(
        leds=(
            s.led("A", 26, 20),
            s.led("B", 34, 20),
            s.led("W", 20, 20, seat=Seat.WALL, height_mm=4),
        ),
        baffles=(s.baffle("b", (30, 12), (30, 28), height_mm=5),),
        inner_diffuser=s.diffuser(7),
    )  # fmt: skip
    assert find(box) == ()


@pytest.mark.parametrize(
    ("code", "box", "words"),
    [
        ("CUT001", s.box(outline.polygon([(20, 12), (40, 28), (40, 12), (20, 28)])), "(30, 20)"),
        ("CUT020", s.box(leds=(s.led("A", 39.8, 20),)), "0.6 mm beyond"),
        ("CUT020", s.box(leds=(s.led("A", 100, 20),)), "LED 'A'"),
        ("CUT020", s.box(leds=(s.led("A", 20, 20, seat=Seat.WALL, height_mm=9.8),)), "wall 4"),
        ("CUT020", s.box(leds=(s.led("A", 20, 20, seat=Seat.WALL, height_mm=5.0),),
                         inner_diffuser=s.diffuser(7)), "0.4 mm beyond wall 4 of box 'box' below"),
        ("CUT021", s.box(leds=(s.led("A", 30, 20), s.led("B", 31, 20))), "'B' and LED 'A'"),
        ("CUT021", s.box(leds=(s.led("A", 30.2, 20),),
                         baffles=(s.baffle("b", (30, 12), (30, 28)),)),
         "baffle 'b'"),
        ("CUT021", s.box(leds=(s.led("A", 20, 20, seat=Seat.WALL, height_mm=5),
                               s.led("B", 20, 20.5, seat=Seat.WALL, height_mm=5))), "one place"),
        ("CUT022", s.box(depth_mm=4, leds=(s.led("A", 30, 20, kind="white 3 mm"),)), "5.3 mm high"),
        ("CUT022", s.box(leds=(s.led("A", 30, 20, kind="white 3 mm"),),
                         inner_diffuser=s.diffuser(5)), "inner diffuser"),
        # 3 mm of leg at 30 degrees, 3.4 mm to the middle of the cap and its 1.9 mm.
        ("CUT022", s.box(depth_mm=7, leds=(s.led("A", 30, 20, kind="white 3 mm",
                                                 tilt_deg=30.0, towards_deg=0.0),)),
         "tilted by 30 deg, is 7.44 mm high"),
        # Half of 0.8 mm up the slope, 0.6 mm over by the sine: 0.4 cos + 0.6 sin = 0.65 mm.
        ("CUT020", s.box(leds=(s.led("A", 30, 27.5, tilt_deg=30.0, towards_deg=90.0),)),
         "0.15 mm beyond"),
        ("CUT021", s.box(leds=(s.led("A", 30, 20, tilt_deg=60.0, towards_deg=0.0),
                               s.led("B", 31.7, 20, tilt_deg=60.0, towards_deg=180.0))),
         "one place"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 14), (30, 34)),)), "6 mm beyond"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 14), (30, 14)),)), "0 mm long"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 14), (30, 14.05)),)),
         "0.05 mm long, and no piece of 'styrene 0.5 mm' shorter than 0.5 mm"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 14), (30, 15.2), thickness_mm=1.5),)),
         "shorter than 1.5 mm"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 12), (30, 28), thickness_mm=0.05),)),
         "0.05 mm thick, and nothing thinner than 0.1 mm"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 12), (30, 28), height_mm=11),)), "11 mm high"),
        ("CUT023", s.box(baffles=(s.baffle("b", (30, 12), (30, 28), height_mm=7),),
                         inner_diffuser=s.diffuser(6)), "inner diffuser"),
        ("CUT024", s.box(inner_diffuser=s.diffuser(9.9)), "up to 9.75 mm"),
        ("CUT024", s.box(inner_diffuser=s.diffuser(0.0)), "0 mm above"),
        ("CUT025", s.box(depth_mm=1.0, wire_exit_mm=0), "1 mm deep"),
        ("CUT026", s.box(leds=(s.led("A", 30, 20), s.led("B", 32.2, 20))), "'B'"),
        ("CUT030", s.box(((16, 14, 0.0), (44, 14, 1.0))), "goes round no corner"),
        ("CUT070", s.box(outline.circle(20, x_mm=30, y_mm=20)), "radius of 10 mm"),
        ("CUT032", s.box(depth_mm=3, wire_exit_mm=4), "3 mm high"),
        ("CUT033", s.box(s.box_shape(8, 16, x=30, y=20)), "33 percent"),
        ("CUT034", s.box(s.box_shape(20, 16, x=52, y=20)), "3 mm over the edge"),
    ],
)  # fmt: skip
def test_each_fault_is_told_once_with_its_numbers(code, box, words):
    window = s.opening("slit", s.box_shape(6, 6, x=49, y=20)) if code == "CUT034" else WINDOW
    found = find(box, window=window)
    if code in ("CUT026", "CUT021"):
        found = [f for f in found if f.where.item.endswith("B") or len(found) == 1]
    assert [finding.code for finding in found] == [code]
    assert words in found[0].message
    assert found[0].remedy


def test_boxes_that_stand_in_one_another_are_told_and_touching_ones_are_not():
    near = s.box(s.box_shape(10, 10, x=46.5, y=20), name="near")
    (finding,) = find(s.box(), near)
    assert finding.code == "CUT035"
    step = float(re.search(r"([\d.]+) mm right", finding.remedy)[1])
    touching = s.box(s.box_shape(10, 10, x=46.5 + step, y=20), name="near")
    assert find(s.box(), touching) == ()
    assert step == pytest.approx(0.5)


def test_mends_of_leds_mend():
    (finding,) = find(s.box(leds=(s.led("A", 39.8, 20),)))
    step = float(re.search(r"([\d.]+) mm left", finding.remedy)[1])
    codes = {f.code for f in find(s.box(leds=(s.led("A", 39.8 - step, 20),)))}
    assert "CUT020" not in codes
    (finding,) = find(s.box(inner_diffuser=s.diffuser(9.9)))
    height = float(re.search(r"at ([\d.]+) mm", finding.remedy)[1])
    assert find(s.box(inner_diffuser=s.diffuser(height))) == ()
    (finding,) = find(s.box(depth_mm=5, wire_exit_mm=6))
    exit_mm = float(re.search(r"wire_exit: ([\d.]+) mm", finding.remedy)[1])
    assert find(s.box(depth_mm=5, wire_exit_mm=exit_mm)) == ()


def test_mend_of_an_uncovered_opening_covers_it():
    (finding,) = find(s.box(s.box_shape(8, 16, x=30, y=20)))
    width, height, x, y = map(
        float, re.search(r"rectangle ([\d.]+) x ([\d.]+) mm at \[([\d.]+) mm, ([\d.]+) mm\]",
                         finding.remedy).groups(),
    )  # fmt: skip
    assert find(s.box(s.box_shape(width, height, x=x, y=y))) == ()


def test_opening_beside_the_box_is_no_business_of_it():
    far = s.opening("far", s.box_shape(6, 6, x=8, y=8))
    assert find(s.box(), panel=s.panel(WINDOW, far)) == ()


def test_wires_that_stay_inside_need_no_holes():
    leds = (s.led("A", 30, 20), s.led("B", 32.2, 20))
    assert find(s.box(leds=leds, lid=Lid.OVER)) == ()


def test_unsound_box_is_told_once_however_much_stands_in_it():
    tie = outline.polygon([(20, 12), (40, 28), (40, 12), (20, 28)])
    box = s.box(tie, leds=(s.led("A", 100, 100),), inner_diffuser=s.diffuser(99))
    assert [finding.code for finding in find(box)] == ["CUT001"]
