"""How far a sub-assembly is: stages in their order, none skipped, hours of what is not done."""

from lamphouse.build.steps import Step, StepKind
from lamphouse.outputs.work_states import STAGES, hours_left, stage_of


def step(name, kind, minutes=30.0, sub="bay"):
    return Step(
        id=name, kind=kind, title=name, sub_assembly=sub, items=(), minutes=minutes, rest_hours=8.0
    )


STEPS = (
    step("cut", StepKind.CUT),
    step("cut lid", StepKind.CUT, 10.0),
    step("solder", StepKind.SOLDER),
    step("test", StepKind.TEST),
    step("close", StepKind.CLOSE, 20.0),
    step("cut other", StepKind.CUT, sub="console"),
)


def stage(*done, steps=STEPS):
    return STAGES[stage_of(steps, sub_assembly="bay", done=frozenset(done))]


def test_a_stage_is_reached_when_all_of_its_kind_is_done():
    assert stage() == "drawn"
    assert stage("cut") == "drawn"
    assert stage("cut", "cut lid") == "cut"
    assert stage("cut", "cut lid", "solder", "test", "close") == "closed"


def test_a_stage_is_not_reached_past_one_that_is_open():
    assert stage("solder", "test", "close") == "drawn"
    assert stage("cut", "cut lid", "close") == "cut"


def test_a_stage_without_steps_of_its_kind_holds_nothing_up():
    bare = tuple(one for one in STEPS if one.kind not in (StepKind.SOLDER, StepKind.TEST))
    assert stage("cut", "cut lid", steps=bare) == "cut"
    assert stage("cut", "cut lid", "close", steps=bare) == "closed"
    assert stage(steps=()) == "drawn"


def test_hours_left_are_hands_on_and_leave_drying_out():
    assert hours_left(STEPS, done=frozenset()) == 2.5
    assert hours_left(STEPS, done=frozenset({"cut", "solder"})) == 1.5
