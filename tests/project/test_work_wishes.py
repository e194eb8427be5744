"""Evenings and wishes for the order of work as they stand in the file."""

from datetime import date

import pytest

from project.projects import codes, read

SOUND_HEAD = """\
lamphouse: 1
name: Small
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, max_current: 1 A}
sub_assemblies:
  desk:
    lamps:
      lamp: {type: white 0603, at: [5 mm, 5 mm], current: 1 mA}
"""


def design_of(text):
    return read(SOUND_HEAD + text).design


def test_an_evening_comes_again_each_week():
    design = design_of("evenings:\n  - {date: 2026-11-27, hours: 2 h, weeks: 3, for: [painting]}\n")
    assert [one.day for one in design.evenings] == [
        date(2026, 11, 27),
        date(2026, 12, 4),
        date(2026, 12, 11),
    ]
    assert {one.suits for one in design.evenings} == {("painting",)}
    assert {one.starts_h for one in design.evenings} == {19.5}


@pytest.mark.parametrize(("text", "hours"), [("7:05", 7.0 + 5 / 60), ("19.30", 19.5), ("00:00", 0)])
def test_a_time_of_day_is_read(text, hours):
    design = design_of(f"evenings:\n  - {{date: 2026-11-27, hours: 2 h, starts: {text}}}\n")
    assert design.evenings[0].starts_h == pytest.approx(hours)


@pytest.mark.parametrize("text", ["24:00", "7", "7:60", "evening", "-1:00", "1:2:3"])
def test_what_is_no_time_of_day_is_refused(text):
    found = codes(f"{SOUND_HEAD}evenings:\n  - {{date: 2026-11-27, hours: 2 h, starts: {text}}}\n")
    assert found == ["PRJ022"]


def test_the_last_day_there_is_ends_the_weeks():
    design = design_of("evenings:\n  - {date: 9999-12-20, hours: 2 h, weeks: 104}\n")
    assert [one.day for one in design.evenings] == [date(9999, 12, 20), date(9999, 12, 27)]


def test_own_steps_and_waiting_are_read():
    design = design_of(
        "steps:\n  wash: {in: desk, kind: paint, minutes: 1 h, rest: 2 h, why: dust}\n"
        "order:\n  - {first: own/wash, then: desk/leads}\n"
        "waiting:\n  - {part: white 0603}\n"
    )
    (own,) = design.work.steps
    assert (own.kind, own.minutes, own.rest_hours) == ("paint", 60.0, 2.0)
    assert design.work.orders[0].then == "desk/leads"
    assert design.work.waiting[0].until is None


def test_a_step_of_no_sub_assembly_points_nowhere():
    assert codes(f"{SOUND_HEAD}steps:\n  wash: {{in: dask}}\n") == ["PRJ041"]


@pytest.mark.parametrize(
    "text",
    [
        "evenings: [" + "{date: 2026-11-27, hours: 1 h, weeks: 104}," * 60 + "]\n",
        "steps: {" + ", ".join(f"s{n}: {{kind: own}}" for n in range(600)) + "}\n",
        "steps: {wash: {after: [" + ", ".join(["a"] * 600) + "]}}\n",
    ],
)
def test_more_than_years_of_work_is_refused(text):
    assert codes(SOUND_HEAD + text) == ["PRJ007"]
