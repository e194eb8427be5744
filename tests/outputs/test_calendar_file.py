"""The calendar file, read back by an independent parser of RFC 5545 (icalendar)."""

from datetime import date, datetime, timedelta

import icalendar
import pytest

from lamphouse.build.schedule import Schedule, Session, schedule
from lamphouse.build.steps import Step, StepKind, WorkOrder
from lamphouse.design.whole import Evening
from lamphouse.outputs.calendar_file import FOLD, calendar
from lamphouse.plan import make
from lamphouse.plan.ordered import planned, with_order
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text

FRIDAY = date(2026, 11, 27)


def parsed(raw):
    return icalendar.Calendar.from_ical(raw)


def one_step(title, *, expected=(), kind=StepKind.CUT):
    return Step(
        id="a/cut",
        kind=kind,
        title=title,
        sub_assembly="a",
        items=(),
        minutes=30.0,
        rest_hours=2.0,
        expected=expected,
    )


def file_of(title, *, project="Model", expected=()):
    order = WorkOrder(steps=(one_step(title, expected=expected),), edges=())
    spread = schedule(order, evenings=[Evening(day=FRIDAY, hours=2.0)])
    return calendar(order, spread, project=project)


def test_the_evenings_of_a_demo_come_back_as_they_were():
    text = demo_text("saltmarsh", "mended.yaml")
    design = read_text(text, file="p.yaml", own_pictures=demo_pictures("saltmarsh")).design
    plan = with_order(make.plan(design))
    spread = planned(plan)
    whole = parsed(calendar(plan.order, spread, project=design.name))
    assert whole["VERSION"] == "2.0"
    assert not whole.errors
    events = whole.walk("VEVENT")
    assert len(events) == len(spread.sessions) > 10
    assert len({str(event["UID"]) for event in events}) == len(events)
    steps = {step.id: step for step in plan.order.steps}
    for event, session in zip(events, spread.sessions, strict=True):
        assert not event.errors
        starts = datetime.combine(session.day, datetime.min.time()) + timedelta(
            hours=session.starts_h
        )
        assert event.start == starts
        assert event.end - event.start == timedelta(minutes=session.minutes)
        told = str(event["DESCRIPTION"])
        for name in session.steps:
            assert steps[name].title in told
            assert all(line in told for line in steps[name].expected)


@pytest.mark.parametrize(
    "title",
    [
        "Cut, drill; bend",
        "A \\ in it, and \\n that is no break",
        "Größe 30 x 20 mm, ½ \N{GREEK CAPITAL LETTER OMEGA}",
        "x" * 400,
        "\N{CLAPPER BOARD}" * 60,
        "BEGIN:VEVENT",
        "two\nlines\r\nEND:VCALENDAR",
        "a tab\tand a bell\a",
    ],
)
def test_any_words_come_back(title):
    raw = file_of(title, expected=("plug: 1.84 mA, 1.5 to 2.2",))
    (event,) = parsed(raw).walk("VEVENT")
    kept = "".join(sign for sign in title if sign == "\n" or sign >= " ")
    first, *others = str(event["DESCRIPTION"]).split("\n")
    told = "\n".join([first, *others])
    assert kept in told
    assert "plug: 1.84 mA, 1.5 to 2.2" in told


def test_lines_end_and_fold_as_the_standard_wants():
    raw = file_of("Cut " + "ä" * 200)
    assert raw.endswith(b"\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    for line in raw.split(b"\r\n"):
        assert len(line) <= FOLD
        line.decode()  # no character is cut in two


def test_no_evenings_make_an_empty_calendar():
    empty = Schedule(sessions=(), unplaced=(), critical=(), ends=None, next=())
    assert parsed(calendar(WorkOrder(steps=(), edges=()), empty, project="x")).walk("VEVENT") == []


def test_an_evening_past_midnight_ends_on_the_next_day():
    order = WorkOrder(steps=(one_step("Cut"),), edges=())
    late = Session(day=FRIDAY, starts_h=23.75, steps=("a/cut",), minutes=30.0, theme="cutting")
    spread = Schedule(sessions=(late,), unplaced=(), critical=(), ends=FRIDAY, next=("a/cut",))
    (event,) = parsed(calendar(order, spread, project="x")).walk("VEVENT")
    assert event.end.isoformat() == "2026-11-28T00:15:00"


def test_the_same_evenings_give_the_same_bytes():
    assert file_of("Cut") == file_of("Cut")
