"""The plot of a discharge: its lines are its numbers, and nothing leaves its room."""

import math

import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import Band
from lamphouse.circuit.discharge import Moment, RunTime
from lamphouse.design.supply import CellPack, Supply, SupplyKind
from lamphouse.drawings.discharge_plot import discharge_plot
from lamphouse.drawings.drawing import Path, Pen, Text
from lamphouse.findings import Where
from lamphouse.record import replace
from tolerances import EXACT

ROOM_MM = (174.0, 88.0)
CELL = built_in().cell_types["alkaline AA"]
SUPPLY = Supply(
    where=Where(item="supply"),
    kind=SupplyKind.CELLS,
    voltage_V=4.5,
    tolerance=0.05,
    max_current_A=0.5,
    cells=CellPack(cell=CELL, series=3, cut_off_V=0.9),
    hours_a_day=4.0,
)


def run_of(hours, *, top=1.2):
    moments = tuple(
        Moment(
            hours=hours * share,
            pack_V=4.8 - 2.0 * share,
            total_A=0.02 * (1 - share),
            light=top * (1.0 - share) ** 2,
        )
        for share in (number / 40 for number in range(41))
    )
    return RunTime(
        bright_h=Band(low=0.2 * hours, nominal=0.3 * hours, high=0.4 * hours),
        dark_h=Band(low=0.7 * hours, nominal=hours, high=1.3 * hours),
        bright_ends="a string gets less than 60 % of its current",
        dark_ends="less than a tenth of the light is left",
        moments=moments,
    )


def curves(drawing):
    return [item for item in drawing.items if isinstance(item, Path) and item.pen is Pen.CUT]


def numbers(drawing):
    """The numbers at the axes, with their places."""
    found = []
    for item in drawing.items:
        if isinstance(item, Text):
            words = item.words.removesuffix(" %")
            if words.replace(".", "", 1).isdigit():
                found.append((item.words, float(words), item.x_mm, item.y_mm))
    return found


@pytest.mark.parametrize("hours", [0.02, 1.0, 7.3, 250.0, 9000.0])
def test_a_curve_read_off_the_axes_gives_the_numbers_back(hours):
    run = run_of(hours)
    drawing = discharge_plot(run, supply=SUPPLY, room_mm=ROOM_MM)
    light, volts = curves(drawing)
    told = numbers(drawing)
    shares = sorted((value / 100, y) for words, value, _, y in told if words.endswith("%"))
    (low, low_y), (high, high_y) = shares[0], shares[-1]
    for (_, y, _), moment in zip(light.corners, run.moments, strict=True):
        # Numbers stand with their middle at their tick, 0.9 mm above their baseline.
        read = low + (y - 0.9 - low_y) * (high - low) / (high_y - low_y)
        assert read == pytest.approx(moment.light, abs=1e-6)
    least_y = min(y for *_, y in told)
    times = sorted((value, x) for _, value, x, y in told if math.isclose(y, least_y))
    (first, first_x), (last, last_x) = times[0], times[-1]
    assert len(times) >= 3
    for (x, _, _), moment in zip(volts.corners, run.moments, strict=True):
        read = first + (x - first_x) * (last - first) / (last_x - first_x)
        assert read == pytest.approx(moment.hours, abs=1e-6 * hours)


@pytest.mark.parametrize("hours", [0.02, 250.0, 9000.0])
@pytest.mark.parametrize("top", [0.4, 1.2, 3.0])
def test_nothing_leaves_its_room(hours, top):
    drawing = discharge_plot(run_of(hours, top=top), supply=SUPPLY, room_mm=ROOM_MM)
    assert drawing.left_mm >= -EXACT
    assert drawing.left_mm + drawing.width_mm <= ROOM_MM[0] + EXACT
    assert drawing.bottom_mm >= -EXACT
    assert drawing.bottom_mm + drawing.height_mm <= ROOM_MM[1] + EXACT


def test_the_wanted_time_is_drawn_where_it_falls_into_the_plot():
    for hours, shown in ((4.0, True), (400.0, False), (None, False)):
        power = replace(SUPPLY, hours_a_day=hours)
        drawing = discharge_plot(run_of(20.0), supply=power, room_mm=ROOM_MM)
        words = [item.words for item in drawing.items if isinstance(item, Text)]
        assert ("wanted" in words) == shown


def test_level_cells_are_drawn_too():
    run = run_of(10.0)
    level = replace(run, moments=tuple(replace(m, pack_V=12.0) for m in run.moments))
    drawing = discharge_plot(level, supply=SUPPLY, room_mm=ROOM_MM)
    _, volts = curves(drawing)
    assert len({y for _, y, _ in volts.corners}) == 1
