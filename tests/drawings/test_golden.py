"""Whole drawings against drawings that were looked at and found good, item by item.

``REMAKE_GOLDEN=1 pytest tests/drawings/test_golden.py`` writes them anew; look at them before
they are kept.
"""

import os
from pathlib import Path as FilePath

import pytest

from drawings.sample_glow import aperture, full_box, hump, opening_glow, panel, solved
from drawings.sample_pieces import BACK, BOX, CEILING, FASCIA, TITLE, WALL
from drawings.sample_wired import sheets
from lamphouse.drawings.box import box_sheets
from lamphouse.drawings.drawing import Circle, Path
from lamphouse.drawings.face import draw, panel_sheets
from lamphouse.drawings.glow_map import glow_map
from lamphouse.drawings.page import lay_out
from lamphouse.drawings.section import section

GOLDEN = FilePath(__file__).parents[1] / "golden" / "drawings"


def number(value):
    """Write a number to four decimals, zero always without a sign."""
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")


def line_of(item):
    """Write an item as one line, to a tenth of a micrometre."""
    if isinstance(item, Path):
        corners = " ".join(",".join(number(v) for v in corner) for corner in item.corners)
        traits = " closed" * item.closed + " filled" * item.filled
        traits += f" {item.colour}" if item.colour else ""
        return f"{item.pen} path{traits} {corners}"
    place = f"{number(item.x_mm)},{number(item.y_mm)}"
    if isinstance(item, Circle):
        return f"{item.pen} circle{' filled' * item.filled} {place} {number(item.diameter_mm)}"
    turn = number(item.turn_deg)
    traits = f"{number(item.height_mm)} {item.anchor} {turn}{' bold' * item.bold}"
    return f"{item.pen} text {place} {traits} {item.words!r}"


def lines_of(drawing):
    box = (drawing.left_mm, drawing.bottom_mm, drawing.width_mm, drawing.height_mm)
    head = f"{drawing.name!r} {' '.join(number(v) for v in box)}"
    return "\n".join([head, *(line_of(item) for item in drawing.items), ""])


def cases():
    yield "fascia_front", draw(FASCIA)
    yield "fascia_back", draw(FASCIA, mirror=True)
    yield "wall_front", draw(WALL)
    yield "box_back", draw(BACK)
    (wires,) = sheets(3, 13)
    yield "schematic", wires.drawing
    tiled = lay_out(panel_sheets(CEILING)[:1], paper="A4", title=TITLE)
    yield "ceiling_tile_b1", next(page for page in tiled if page.tile == "B1").drawing
    box = full_box()
    yield "section", section(box, panel=panel(), solved=solved(box), room_mm=(176.0, 76.0))
    seen = hump()
    yield (
        "evenness",
        glow_map(opening_glow(seen), aperture=aperture(), picture=seen, room_mm=(86.0, 70.0)),
    )
    (packed,) = lay_out(box_sheets(BOX), paper="Letter", title=TITLE)
    yield "box_page_letter", packed.drawing


CASES = dict(cases())


@pytest.mark.parametrize("name", CASES)
def test_the_drawing_is_the_one_found_good(name):
    drawing = CASES[name]
    path = GOLDEN / f"{name}.txt"
    if os.environ.get("REMAKE_GOLDEN") == "1":
        path.write_text(lines_of(drawing), encoding="utf-8")
    assert lines_of(drawing) == path.read_text(encoding="utf-8")
