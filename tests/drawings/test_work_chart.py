"""The chart of the evenings: every step once, told by line and fill, and it fits the paper."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from lamphouse.build.schedule import schedule
from lamphouse.design.whole import Evening
from lamphouse.drawings.drawing import Path, Pen, Text
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.page import lay_out
from lamphouse.drawings.paper import lying
from lamphouse.drawings.title import TitleBlock
from lamphouse.drawings.work_chart import KEY, work_chart
from lamphouse.plan import make
from lamphouse.plan.ordered import planned, with_order
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text

TITLE = TitleBlock(project="x", revision="A", day="", model_scale="1:24")


@pytest.fixture(scope="module")
def plan():
    text = demo_text("saltmarsh", "mended.yaml")
    reading = read_text(text, file="p.yaml", own_pictures=demo_pictures("saltmarsh"))
    return with_order(make.plan(reading.design))


def shapes(charts, *, corners, filled=None):
    """Give closed shapes of so many corners that are diamonds or bars, not letters."""
    return [
        item
        for chart in charts
        for item in chart.drawing.items
        if isinstance(item, Path)
        and item.closed
        and len(item.corners) == corners
        and (filled is None or item.filled is filled)
    ]


def is_diamond(item):
    return len({x for x, _, _ in item.corners}) == 3


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_step_has_its_mark_and_it_fits_the_paper(plan, paper):
    spread = planned(plan)
    charts = work_chart(plan.order, spread, paper=paper)
    wide, high = lying(paper).room_mm
    for chart in charts:
        assert chart.drawing.width_mm <= wide
        assert chart.drawing.height_mm <= high
    pages = lay_out(charts, paper=paper, title=TITLE)
    assert all(not page.tile for page in pages)
    marks = shapes(charts, corners=4)
    gates = {step.id for step in plan.order.steps if step.is_gate}
    placed = [name for session in spread.sessions for name in session.steps]
    assert len([one for one in marks if is_diamond(one)]) == sum(name in gates for name in placed)
    assert len([one for one in marks if not is_diamond(one)]) == sum(
        name not in gates for name in placed
    )


def test_the_chain_is_told_by_fill_and_line(plan):
    spread = planned(plan)
    charts = work_chart(plan.order, spread, paper="A4")
    chain = set(spread.critical)
    placed = [name for session in spread.sessions for name in session.steps]
    filled = shapes(charts, corners=4, filled=True)
    assert len(filled) == sum(name in chain for name in placed) > 5
    assert {one.pen for one in filled} == {Pen.CUT}
    assert {one.pen for one in shapes(charts, corners=4, filled=False)} == {Pen.FRAME}


def test_what_dries_is_dashed_and_bars_of_one_builder_never_overlap(plan):
    charts = work_chart(plan.order, planned(plan), paper="A4")
    dashed = [
        item
        for chart in charts
        for item in chart.drawing.items
        if isinstance(item, Path) and item.pen is Pen.HIDDEN
    ]
    assert len(dashed) > 20
    (chart,) = charts
    bars = sorted(
        (min(x for x, _, _ in one.corners), max(x for x, _, _ in one.corners))
        for one in shapes([chart], corners=4)
        if not is_diamond(one)
    )
    for (_, over), (begins, _) in pairwise(bars):
        assert over <= begins + 0.01


def test_days_hours_themes_and_the_key_are_written(plan):
    spread = planned(plan)
    charts = work_chart(plan.order, spread, paper="A4")
    words = [item for c in charts for item in c.drawing.items if isinstance(item, Text)]
    said = {item.words for item in words}
    assert KEY in said
    days = {
        f"{one.day.day} {one.day:%b} {14 if one.starts_h == 14.0 else 19}:"
        for one in spread.sessions
    }
    assert days <= {text[:-2] for text in said}
    assert {session.theme for session in spread.sessions} <= said
    assert all(item.height_mm >= LEAST_MM for item in words)


def test_many_evenings_take_several_pages(plan):
    short = [
        Evening(day=date(2026, 11, 27) + timedelta(days=number), hours=0.75)
        for number in range(200)
    ]
    spread = schedule(plan.order, evenings=short)
    charts = work_chart(plan.order, spread, paper="A4")
    assert len(charts) > 1
    names = [chart.name for chart in charts]
    assert len(set(names)) == len(names)
    width = lying("A4").room_mm[0]
    assert all(chart.drawing.width_mm <= width for chart in charts)


def test_no_evenings_no_chart(plan):
    assert work_chart(plan.order, schedule(plan.order, evenings=[]), paper="A4") == ()
