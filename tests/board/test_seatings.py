"""Where parts may sit, against every hole looked at by itself in the polygon library."""

import pytest
import shapely
import shapely.affinity

from board.samples import PACKAGES
from lamphouse.board.holes import PITCH_MM
from lamphouse.board.legs import BODY_GAP_MM, FUSE, TRIM_KNOB, Form, poses, resistor_body
from lamphouse.board.seatings import Ground, members, plan_of, seatings
from tolerances import EXACT

WIRE_MM = 0.9
RESISTORS = [resistor_body(package) for package in PACKAGES.values()]
BODIES = [body for body in (FUSE, TRIM_KNOB, *RESISTORS) if poses(body, standing=False)]


@pytest.mark.parametrize("standing", [False, True])
@pytest.mark.parametrize("body", BODIES, ids=[body.name for body in BODIES])
def test_a_part_covers_the_holes_a_wire_no_longer_fits(body, standing):
    ground = Ground(columns=12, rows=8)
    holes = {
        ground.bit(row=row, column=column): (column * PITCH_MM, -row * PITCH_MM)
        for row in range(ground.rows)
        for column in range(ground.columns)
    }
    found = seatings(body, ground=ground, standing=standing, wire_mm=WIRE_MM)
    assert found
    for seat in found:
        boxes = [
            shapely.affinity.translate(
                shapely.box(*box), seat.column * PITCH_MM, -seat.row * PITCH_MM
            )
            for box in plan_of(body, seat.pose)
        ]
        # a chip lies on the other side of the board, between its pads
        over = shapely.union_all([] if body.form is Form.CHIP else boxes)
        reach = WIRE_MM / 2 + BODY_GAP_MM - EXACT  # what just fits, fits
        near = {
            bit
            for bit, (x, y) in holes.items()
            if over.intersects(shapely.box(x - reach, y - reach, x + reach, y + reach))
        }
        assert set(members(seat.taken)) <= set(holes)
        assert set(members(seat.covered)) == near - set(seat.pins)


def test_every_place_on_the_board_is_listed_once():
    ground = Ground(columns=7, rows=4)
    found = seatings(FUSE, ground=ground, standing=False, wire_mm=WIRE_MM)
    # two pins two holes apart: lying 5 x 4 and upright 7 x 2 places, each either way round
    assert len({(seat.pose, seat.row, seat.column) for seat in found}) == len(found)
    assert len(found) == 2 * (5 * 4 + 7 * 2)
