"""Evenings: everything in its order, dry when it must be, and planned anew from what is done."""

from datetime import date, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest

from lamphouse.build.judged_log import dry_at
from lamphouse.build.log_entries import LogEntry
from lamphouse.build.made_things import MadeThings
from lamphouse.build.schedule import schedule
from lamphouse.build.steps import Step, StepEdge, StepKind, WorkOrder
from lamphouse.build.themes import THEME_OF, THEMES
from lamphouse.build.work_order import work_order
from lamphouse.design.whole import Evening
from lamphouse.project.read import read_text
from lamphouse.record import replace
from random_models import random_model

FRIDAY = date(2026, 11, 27)
CLOSE_H = 1e-6


def evenings(count, *, hours=2.0, every=2, suits=()):
    return [
        Evening(day=FRIDAY + timedelta(days=every * number), hours=hours, suits=suits)
        for number in range(count)
    ]


def step(name, *, kind=StepKind.CUT, minutes=30.0, rest=0.0, parts=()):
    return Step(
        id=name, kind=kind, title=name, sub_assembly="", items=(), minutes=minutes,
        rest_hours=rest, parts=parts,
    )  # fmt: skip


def order_of(*steps, edges=()):
    return WorkOrder(
        steps=steps, edges=tuple(StepEdge(before=a, after=b, why="x") for a, b in edges)
    )


def assert_holds(order, planned, given):
    """Check a schedule with nothing that made it: no overlap, in the evenings, dry in time."""
    at = {one.step: one for one in planned.placed}
    spans = sorted((one.starts, one.ends) for one in planned.placed)
    for (_, over), (begins, _) in pairwise(spans):
        assert over <= begins + CLOSE_H
    for edge in order.edges:
        if edge.after in at and edge.before in {one.id for one in order.steps}:
            if edge.before in at:
                assert at[edge.before].rests_until <= at[edge.after].starts + CLOSE_H
            else:
                assert edge.before not in planned.unplaced, "it comes after what has no evening"
    zero = planned.first_day
    free = [(24.0 * (one.day - zero).days + one.starts_h, one.hours, one) for one in given]
    longest = max(hours for _, hours, _ in free)
    for one in order.steps:
        if one.id not in at:
            continue
        own = at[one.id]
        inside = [
            evening for begins, hours, evening in free
            if begins - CLOSE_H <= own.starts and own.ends <= begins + hours + CLOSE_H
        ]  # fmt: skip
        assert inside or one.minutes / 60.0 > longest
        for evening in inside:
            theme = THEME_OF[one.kind]
            assert not evening.suits or not theme or theme in evening.suits


@pytest.mark.parametrize("seed", range(12))
def test_evenings_of_models_made_by_chance_hold(seed):
    design = read_text(random_model(seed), file="project.yaml").design
    order = work_order(MadeThings(design=design)).order
    given = [
        replace(one, suits=("painting", "gluing") if number % 3 == 0 else ())
        for number, one in enumerate(evenings(200))
    ]
    planned = schedule(order, evenings=given)
    assert planned.unplaced == ()
    assert planned.ends is not None
    assert_holds(order, planned, given)
    # Planned anew from half of it done: the rest alone, and none of it twice.
    half = frozenset(one.id for one in order.steps[: len(order.steps) // 2])
    again = schedule(order, evenings=given, done=half)
    assert {one.step for one in again.placed} == {one.id for one in order.steps} - half
    assert_holds(order, again, given)
    assert again.hours_left < planned.hours_left


def test_paint_dries_until_the_next_evening():
    order = order_of(
        step("coat", kind=StepKind.PAINT, rest=12.0),
        step("mask", kind=StepKind.MASK),
        edges=[("coat", "mask")],
    )
    planned = schedule(order, evenings=evenings(3))
    assert [one.day for one in planned.sessions] == [FRIDAY, FRIDAY + timedelta(days=2)]


def ticked(step, at, *, kind="step"):
    return LogEntry(number=1, key=f"{step} {at}", at=at, by="", device="", kind=kind, item=step)


COATED = order_of(
    step("coat", kind=StepKind.PAINT, rest=12.0),
    step("mask", kind=StepKind.MASK),
    step("cut"),
    edges=[("coat", "mask")],
)


def test_a_coat_that_was_ticked_late_is_not_masked_while_it_dries():
    dry = dry_at([ticked("coat", "2026-11-27T10:15:00+01:00")], order=COATED)
    assert dry == {"coat": datetime(2026, 11, 27, 22, 15)}  # noqa: DTZ001  as the wall clock has it
    done = frozenset({"coat"})
    planned = schedule(COATED, evenings=evenings(3), done=done, dry=dry)  # Friday, half past seven
    assert [one.steps for one in planned.sessions] == [("cut",), ("mask",)]
    assert planned.next == ("cut",)
    (evening,) = schedule(COATED, evenings=evenings(3), done=done).sessions
    assert set(evening.steps) == {"cut", "mask"}  # nobody knows when it was done: it is dry


def test_only_a_tick_that_stands_and_has_a_sound_time_tells_when_it_is_dry():
    early, late = "2026-11-26T20:00:00+00:00", "2026-11-27T08:00:00+00:00"
    again = [ticked("coat", early), ticked("coat", late)]
    assert dry_at(again, order=COATED)["coat"].isoformat() == "2026-11-27T20:00:00"
    assert dry_at([*again, ticked("coat", late, kind="undone")], order=COATED) == {}
    assert dry_at([ticked("cut", early)], order=COATED) == {}
    assert dry_at([ticked("coat", "9999-12-31T23:00:00+00:00")], order=COATED) == {}
    far = dry_at([ticked("coat", "9990-01-01T00:00:00+00:00")], order=COATED)
    planned = schedule(COATED, evenings=evenings(3), done=frozenset({"coat"}), dry=far)
    assert planned.unplaced == ("mask",)


def test_what_dries_for_days_leaves_evenings_to_other_work():
    order = order_of(
        step("cast", kind=StepKind.GLUE, rest=72.0),
        step("trim", kind=StepKind.CUT),
        step("solder", kind=StepKind.SOLDER, minutes=120.0),
        edges=[("cast", "trim")],
    )
    planned = schedule(order, evenings=evenings(4, every=1))
    assert [one.steps for one in planned.sessions] == [("cast",), ("solder",), ("trim",)]


def test_a_step_longer_than_any_evening_goes_on_the_next():
    planned = schedule(order_of(step("drill", minutes=200.0)), evenings=evenings(3))
    assert [one.steps for one in planned.sessions] == [("drill",), ("drill",)]
    assert [one.minutes for one in planned.sessions] == [120.0, 80.0]


def test_work_of_one_theme_stands_together():
    names = [("c1", StepKind.CUT), ("p1", StepKind.PAINT), ("s1", StepKind.SOLDER)]
    names += [("c2", StepKind.CUT), ("p2", StepKind.PAINT), ("s2", StepKind.SOLDER)]
    order = order_of(*(step(name, kind=kind, minutes=20.0) for name, kind in names))
    (evening,) = schedule(order, evenings=evenings(1)).sessions
    themes = [THEME_OF[dict(names)[name]] for name in evening.steps]
    assert themes == sorted(themes, key=THEMES.index)  # dust first, wet paint last
    assert len(themes) == 6


def test_an_evening_that_suits_painting_has_painting_alone():
    order = order_of(step("cut"), step("coat", kind=StepKind.PAINT))
    given = [*evenings(1, suits=("painting",)), *evenings(3)[1:]]
    planned = schedule(order, evenings=given)
    assert planned.sessions[0].steps == ("coat",)
    assert planned.sessions[1].steps == ("cut",)


def test_the_last_evening_there_is_plans_nothing_and_breaks_nothing():
    given = [Evening(day=date.max, hours=24.0)]
    planned = schedule(order_of(step("cast", rest=2000.0)), evenings=given)
    assert planned.unplaced == ("cast",)


def test_a_step_waits_for_its_part():
    order = order_of(step("test", parts=("white 0603",)), step("cut"))
    comes = FRIDAY + timedelta(days=3)
    planned = schedule(order, evenings=evenings(4), waiting={"white 0603": comes})
    assert planned.sessions[0].steps == ("cut",)
    assert planned.sessions[1].day >= comes


def test_a_part_without_a_day_holds_up_all_that_follows():
    order = order_of(
        step("test", parts=("white 0603",)), step("leads"), step("cut"), edges=[("test", "leads")]
    )
    planned = schedule(order, evenings=evenings(4), waiting={"white 0603": None})
    assert planned.held_up == ("test", "leads")
    assert planned.unplaced == ("test", "leads")
    assert planned.ends is None


def test_too_few_evenings_are_spent_on_what_the_end_hangs_on():
    chain = [step(f"coat {n}", kind=StepKind.PAINT, rest=12.0) for n in range(6)]
    short = [step(f"cut {n}", minutes=10.0) for n in range(30)]
    order = order_of(*short, *chain, edges=[(f"coat {n}", f"coat {n + 1}") for n in range(5)])
    planned = schedule(order, evenings=evenings(2, hours=1.0))
    done = {one.step for one in planned.placed}
    assert {"coat 0", "coat 1"} <= done
    assert planned.ends is None
    assert planned.hours_short == pytest.approx(planned.hours_left - 2.0, abs=0.2)


def test_without_evenings_the_next_two_hours_are_told():
    planned = schedule(order_of(step("a"), step("b", minutes=100.0)), evenings=[])
    assert planned.sessions == ()
    assert planned.next in (("a",), ("b",))
    assert planned.unplaced == ("a", "b")


def test_two_evenings_of_one_day_that_overlap_follow_on_one_another():
    given = [
        Evening(day=FRIDAY, hours=2.0, starts_h=19.0),
        Evening(day=FRIDAY, hours=2.0, starts_h=20.0),
    ]
    order = order_of(*(step(f"s{n}", minutes=60.0) for n in range(4)))
    planned = schedule(order, evenings=given)
    assert planned.unplaced == ()
    assert planned.sessions[1].starts_h == pytest.approx(21.0)


def test_a_part_that_comes_in_a_far_year_costs_no_time():
    order = order_of(step("test", parts=("white 0603",)))
    planned = schedule(order, evenings=evenings(2), waiting={"white 0603": date(9999, 12, 31)})
    assert planned.unplaced == ("test",)


def test_nothing_left_is_nothing_planned():
    planned = schedule(order_of(step("a")), evenings=evenings(2), done=frozenset({"a"}))
    assert planned.sessions == ()
    assert planned.critical == ()
    assert planned.hours_left == 0.0


def test_the_same_work_gives_the_same_evenings():
    chance = np.random.default_rng(5)
    steps = [step(f"s{n}", minutes=float(chance.integers(5, 60))) for n in range(40)]
    order = order_of(*steps)
    assert schedule(order, evenings=evenings(30)) == schedule(order, evenings=evenings(30))
