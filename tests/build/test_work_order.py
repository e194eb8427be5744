"""The maker's own steps in the order of work, and every rule of what comes before what."""

from pathlib import Path

import pytest

from lamphouse.build.made_things import MadeThings
from lamphouse.build.step_edges import EDGE_RULES, Site
from lamphouse.build.steps import Step, StepEdge, StepKind
from lamphouse.build.task_book import TaskBook
from lamphouse.build.work_order import in_order, work_order
from lamphouse.plan import make
from lamphouse.plan.ordered import ordered
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from lamphouse.sources import SOURCES
from random_models import random_model


def read(text):
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None, [str(one) for one in reading.findings]
    return reading.design


def order_with(extra="", seed=3):
    return work_order(MadeThings(design=read(random_model(seed) + extra)))


def place(order, name):
    return [step.id for step in order.steps].index(name)


BASE = order_with().order
PANEL = next(s.id.rpartition("/")[0] for s in BASE.steps if s.id.endswith("/prime"))
SUB = PANEL.partition("/")[0]


PILLARED = demo_text("saltmarsh", "mended.yaml").replace(
    "            fixing: {screw: M2, count: 2} ",
    "            pillars: {post: {shape: round 3 mm, at: [8 mm, 9 mm], finish: matt black paint}}\n"
    "            fixing: {screw: M2, count: 2} ",
    1,
)


def test_pillars_are_made_painted_and_set_before_leds_and_before_the_box_closes():
    order = work_order(MadeThings(design=read(PILLARED))).order
    steps = ("cut", "inside", "block light", "pillars", "set LEDs", "close")
    places = [place(order, f"chart table/screen box/{verb}") for verb in steps]
    assert places == sorted(places)
    made = order.step("chart table/screen box/make pillars")
    assert place(order, made.id) < places[3]
    assert made.title.endswith("16 mm high; paint: matt black paint")
    assert "round rod 3 mm" in made.parts


def test_a_printed_pillar_has_no_step_of_its_own():
    text = PILLARED.replace(
        "            fixing: {screw: M2, count: 2} ", "            build: printed "
    )
    order = work_order(MadeThings(design=read(text))).order
    assert not [step.id for step in order.steps if "pillar" in step.id]


def test_an_own_step_stands_where_the_maker_wants_it():
    extra = (
        f"steps:\n  weather: {{in: {SUB}, kind: paint, minutes: 40 min, rest: 12 h, "
        f"after: [{PANEL}/coat], before: [{SUB}/install], why: it looks too new}}\n"
    )
    found = order_with(extra)
    order = found.order
    own = order.step("own/weather")
    assert (own.kind, own.minutes, own.rest_hours) == (StepKind.PAINT, 40.0, 12.0)
    assert place(order, f"{PANEL}/coat") < place(order, own.id) < place(order, f"{SUB}/install")
    whys = {edge.why for edge in order.edges if own.id in (edge.before, edge.after)}
    assert whys == {"it looks too new"}
    assert not found.nowhere
    assert not found.circles


def test_the_resistance_of_a_run_is_told_in_ohm_not_as_a_resistors_code():
    plan = make.plan(read(demo_text("saltmarsh", "mended.yaml")))
    most, *_ = ordered(plan).order.step("model/test loom").expected
    told = float(most.removeprefix("each run ").split(" ohm at most")[0])
    assert told == pytest.approx(max(run.ohm for run in plan.loom.runs), rel=0.05)


def test_own_steps_follow_one_another_by_name():
    order = order_with("steps:\n  second: {after: [first]}\n  first: {minutes: 10 min}\n").order
    assert place(order, "own/first") < place(order, "own/second")


def test_a_wish_for_nothing_is_told_with_the_name_that_was_meant():
    found = order_with(f"steps:\n  weather: {{after: [{PANEL}/coatt]}}\n")
    (missing,) = found.nowhere
    assert (missing.key, missing.name) == ("after", f"{PANEL}/coatt")
    assert "own/weather" in [step.id for step in found.order.steps]


def test_a_circle_is_told_and_left_out():
    found = order_with(f"order:\n  - {{first: {PANEL}/coat, then: {PANEL}/cut}}\n")
    (circle,) = found.circles
    assert circle.way[0] == f"{PANEL}/cut"
    assert circle.way[-1] == f"{PANEL}/coat"
    assert len(circle.reasons) == len(circle.way) - 1
    assert all(circle.reasons)
    assert found.order.edges == BASE.edges


def test_a_circle_of_own_steps_names_the_other_wish():
    found = order_with("steps:\n  a: {after: [b]}\n  b: {after: [a]}\n")
    (circle,) = found.circles
    assert [other.where.item for other in circle.others] == ["steps / a"]


def test_a_step_before_itself_is_a_circle():
    (circle,) = order_with("steps:\n  a: {after: [a]}\n").circles
    assert circle.way == ("own/a",)


def test_an_own_step_that_hides_a_light_waits_for_its_gate():
    design = read(random_model(3))
    sub = next(one for one in design.sub_assemblies if one.leds())
    extra = f"steps:\n  cornice: {{kind: glue, hides: [{sub.where.item}]}}\n"
    order = order_with(extra).order
    gates = {edge.before for edge in order.edges if edge.after == "own/cornice"}
    assert f"{sub.name}/test open" in gates
    assert order.step("own/cornice").gate in gates


def test_an_own_step_that_hides_a_light_too_early_is_a_circle():
    design = read(random_model(3))
    sub = next(one for one in design.sub_assemblies if one.leds())
    extra = (
        f"steps:\n  cornice: {{kind: glue, hides: [{sub.where.item}], before: [{sub.name}/join]}}\n"
    )
    assert len(order_with(extra).circles) == 1


def test_the_same_design_gives_the_same_names():
    again = order_with().order
    assert [step.id for step in again.steps] == [step.id for step in BASE.steps]
    assert len({step.id for step in BASE.steps}) == len(BASE.steps)


def test_names_that_meet_stay_apart():
    # A box is called after the panel it stands behind.
    text = demo_text("saltmarsh", "mended.yaml").replace("          tide box:", "          wall:")
    order = work_order(MadeThings(design=read(text))).order
    names = [step.id for step in order.steps]
    assert len(set(names)) == len(names)
    assert "instrument wall/wall/cut" in names
    assert "instrument wall/wall/wall/cut" in names


HANGING = """\
lamphouse: 1
name: Hanging
scale: 1:24
room: {size: 300 x 200 x 150 mm}
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
sub_assemblies:
  desk:
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 160 mm}
    panels:
      top:
        outline: rectangle 84 x 52 mm
        sheet: styrene 1.0 mm
        openings:
          left: {shape: rectangle 14 x 14 mm, at: [26 mm, 26 mm], layers: [opal film 60]}
          right: {shape: rectangle 14 x 14 mm, at: [44 mm, 26 mm], layers: [opal film 60]}
        boxes:
          pair:
            inside: rectangle 40 x 24 mm
            at: [35 mm, 26 mm]
            depth: 12 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            coats: [black paint]
            build: flat pieces
            leds: {A: {type: white 0603, at: [26 mm, 26 mm], current: 1 mA}}
            baffles:
              curtain:
                {from: [35 mm, 14 mm], to: [35 mm, 38 mm], height: 7 mm, seat: panel,
                 sheet: styrene 0.5 mm}
"""


def hanging(old="", new=""):
    return ordered(make.plan(read(HANGING.replace(old, new) if old else HANGING))).order


@pytest.mark.parametrize("build", ["flat pieces", "folded", "printed"])
def test_a_baffle_hangs_before_the_box_goes_over_it(build):
    order = hanging("build: flat pieces", f"build: {build}")
    hung, shut = (
        "desk/pair/hang",
        "desk/pair/mount" if build == "flat pieces" else "desk/pair/close",
    )
    for before in ("desk/pair/inside", "desk/top/block light", "desk/top/films"):
        assert place(order, before) < place(order, hung)
    assert place(order, hung) < place(order, shut)
    assert any(item.endswith("curtain") for item in order.step(hung).items)
    assemblies = [step for step in order.steps if step.id == "desk/pair/assemble"]
    assert not any(item.endswith("curtain") for step in assemblies for item in step.items)


def test_with_tabs_it_goes_on_between_the_walls():
    order = hanging("build: flat pieces", "baffle_joint: tabs")
    assert "desk/pair/hang" not in [step.id for step in order.steps]
    for name in ("desk/pair/assemble", "desk/pair/mount"):
        assert any(item.endswith("curtain") for item in order.step(name).items)


def test_its_sheet_is_on_the_parts_list_of_a_printed_box_too():
    plan = make.plan(read(HANGING.replace("build: flat pieces", "build: printed")))
    assert any(line.part == "styrene 0.5 mm" for line in plan.parts)


def test_every_rule_finds_something_in_some_model():
    # A rule that never fires guards nothing.
    silent = {rule.name: rule for rule in EDGE_RULES}
    for seed in range(60):
        design = read(random_model(seed))
        order = work_order(MadeThings(design=design)).order
        whys = {edge.why for edge in order.edges}
        silent = {name: rule for name, rule in silent.items() if rule.why not in whys}
        if not silent:
            break
    # Loom and knobs are those of a plan, not of the design alone.
    text = demo_text("saltmarsh", "mended.yaml").replace(
        "  console:\n", "  console:\n    trim: yes\n"
    )
    design = read(text)
    whys = {edge.why for edge in ordered(make.plan(design)).order.edges}
    # In Night Studio the ceiling lies over the mixing desk.
    night = ordered(make.plan(read(demo_text("night-studio", "mended.yaml")))).order
    whys |= {edge.why for edge in night.edges}
    whys |= {edge.why for edge in hanging().edges}
    whys |= {edge.why for edge in work_order(MadeThings(design=read(PILLARED))).order.edges}
    silent = {name: rule for name, rule in silent.items() if rule.why not in whys}
    assert sorted(silent) == []
    assert place(night, "mixing desk/install") < place(night, "ceiling/install")


@pytest.mark.parametrize("rule", EDGE_RULES, ids=lambda rule: rule.name)
def test_every_rule_says_why_and_where_from(rule):
    assert rule.source in SOURCES
    assert rule.find.__doc__
    assert rule.why[0].islower()
    assert not rule.why.endswith(".")


def test_a_rule_over_no_steps_finds_nothing():
    site = Site(book=TaskBook(), made=MadeThings(design=read(random_model(0))))
    for rule in EDGE_RULES:
        assert not [pair for pair in rule.find(site) if pair[0] and pair[1]]


def test_steps_that_wait_for_one_another_have_no_order():
    steps = [
        Step(id=name, kind=StepKind.OWN, title="", sub_assembly="", items=(), minutes=5.0)
        for name in "ab"
    ]
    edges = [StepEdge(before="a", after="b", why=""), StepEdge(before="b", after="a", why="")]
    with pytest.raises(ValueError, match="circle"):
        in_order(steps, edges=edges)


@pytest.mark.parametrize(
    ("coats", "verb", "said"),
    [
        ("[black paint]", "block light", "then matt white paint over it inside the boxes"),
        ("[]", "inside", "and the rear of the panel in it: matt white paint"),
    ],
)
def test_some_step_finishes_the_panel_s_rear_face_too(coats, verb, said):
    sound = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
    text = sound.replace(
        "finish: matt white paint", f"finish: matt white paint\n            coats: {coats}"
    )
    steps = work_order(MadeThings(design=read(text))).order.steps
    titles = [step.title for step in steps if step.id.endswith(f"/{verb}")]
    assert any(said in title for title in titles)
    assert sum("matt white paint" in step.parts for step in steps) == (2 if "black" in coats else 1)
