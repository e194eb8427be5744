"""Where leads reach, against how boards are drilled and how chips are made."""

import csv
from math import ceil
from pathlib import Path

import pytest

from board.samples import PACKAGES
from lamphouse.board.holes import PITCH_MM, Hole, cut_size_mm, most_holes, row_name
from lamphouse.board.legs import (
    FUSE,
    TRIM_KNOB,
    Form,
    Posture,
    fewest_holes,
    least_span_mm,
    poses,
    resistor_body,
)
from lamphouse.record import replace
from tolerances import EXACT

REFERENCE = Path(__file__).parents[1] / "reference" / "boards"


def rows(name):
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def spans(body, *, standing=False, posture=Posture.LYING):
    return {
        max(map(abs, pose.steps[1]))
        for pose in poses(body, standing=standing)
        if pose.posture is posture
    }


def test_the_pitch_is_a_tenth_of_an_inch():
    assert pytest.approx(25.4 / 10, abs=EXACT) == PITCH_MM  # [IEC60097], [INCH1959]


@pytest.mark.parametrize("row", rows("lead_pitch.csv"), ids=lambda row: row["package"])
def test_a_lying_resistor_needs_the_holes_boards_are_drilled_for(row):
    body = resistor_body(PACKAGES[row["package"]])
    assert min(spans(body)) * PITCH_MM == pytest.approx(float(row["pitch_mm"]), abs=EXACT)


def test_a_lead_is_straight_for_its_own_thickness_and_at_least_0_8_mm():
    # [LEAD-FORMING]: straight for a diameter, not less than 0.8 mm; inside radius one diameter, so
    # that the lead's middle comes down one and a half diameters further out.
    body = resistor_body(PACKAGES["axial 1/4 W"])
    assert least_span_mm(replace(body, lead_mm=0.6)) == pytest.approx(6.3 + 2 * (0.8 + 0.9))
    assert least_span_mm(replace(body, lead_mm=1.0)) == pytest.approx(6.3 + 2 * (1.0 + 1.5))


@pytest.mark.parametrize("row", rows("chips.csv"), ids=lambda row: row["package"])
def test_a_chip_reaches_across_two_pads_or_not(row):
    package = replace(
        PACKAGES["0603"],
        name=row["package"],
        body_mm=(float(row["length_mm"]), float(row["width_mm"]), 0.4),
    )
    body = resistor_body(package)
    assert body.form is Form.CHIP
    assert bool(poses(body, standing=True)) == (row["fits"] == "yes")


@pytest.mark.parametrize("name", ["0603", "0805", "1206"])
def test_chips_of_the_catalogue_are_as_long_as_the_standard_says(name):
    lengths = {row["package"]: float(row["length_mm"]) for row in rows("chips.csv")}
    assert PACKAGES[name].body_mm[0] == pytest.approx(lengths[name], abs=0.1)


def test_a_standing_quarter_watt_spans_one_hole_or_two():
    body = resistor_body(PACKAGES["axial 1/4 W"])
    assert spans(body, standing=True, posture=Posture.STANDING) == {1, 2}


def test_radial_parts_keep_their_pins_and_turn_by_quarters():
    for body in (TRIM_KNOB, FUSE):
        turned = {pose.steps for pose in poses(body, standing=False)}
        assert len(turned) == 4
        assert body.pin_steps in turned


def test_the_fewest_holes_are_leads_and_what_lies_between():
    body = resistor_body(PACKAGES["axial 1/4 W"])
    assert fewest_holes(body, standing=False) == ceil(10.16 / 2.54) + 1
    assert fewest_holes(body, standing=True) == 2


def test_holes_have_letters_and_numbers():
    assert [Hole(row=r, column=c).name for r, c in ((0, 0), (2, 3), (25, 9))] == ["A1", "C4", "Z10"]
    assert [row_name(row) for row in (26, 27, 51, 52)] == ["AA", "AB", "AZ", "BA"]


def test_a_board_is_cut_between_holes():
    assert cut_size_mm(columns=6, rows=4) == pytest.approx((15.24, 10.16), abs=EXACT)
    assert most_holes((10.16, 15.24)) == (6, 4)
    assert most_holes((15.23, 10.15)) == (5, 3)
    assert most_holes((2.0, 2.0)) == (0, 0)
