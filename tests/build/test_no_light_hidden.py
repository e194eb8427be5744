"""No light is hidden before its gate: a search for a counter-example that knows no rule.

What hides a light, and what shows that it lights, is read off the design and the bench here, not
off the rules: a glued box hides its LEDs and the strands that run through it, a decal the tips
under it, a collar its source, a place without a plug all of a sub-assembly. A light was seen when
a test touched it after it was soldered and in its place. For every step that hides something the
search tries the order in which that step comes as early as the edges let it: if any order hides an
unseen light, this one does. Orders by chance are walked besides.
"""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from lamphouse.build.made_things import MadeThings
from lamphouse.build.steps import StepKind
from lamphouse.build.work_order import work_order
from lamphouse.circuit.laid_loom import lay_loom
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.cutting.cutlist import cut_panel
from lamphouse.cutting.mask_verdict import judge_masks
from lamphouse.design.lightbox import Build
from lamphouse.design.panel import LayerKind
from lamphouse.design.strand import Head
from lamphouse.plan import make
from lamphouse.plan.ordered import ordered
from lamphouse.plan.under_floor import members_of
from lamphouse.project.read import read_project, read_text
from lamphouse.project.starter import DEMOS
from lamphouse.record import replace
from lamphouse.shapes.measure import bounds_mm
from random_models import random_model

MODELS = 300
WALKS = 3
SCENARIOS = Path(make.__file__).parents[1] / "project" / "scenarios"


def made_of(design):
    """Cut, mask and wire a design, without computing how it glows."""
    panels, boxes, formers, paintings, circuits = [], [], [], [], []
    for sub in design.sub_assemblies:
        for panel in sub.panels:
            strands = tuple(strand for name, strand in sub.strands if name == panel.name)
            behind = tuple(box for name, box in sub.boxes if name == panel.name)
            cut = cut_panel(
                panel,
                strands=strands,
                boxes=behind,
                passages=(),
                sub_assembly=sub.name,
                drills=design.drills,
                lead_mm=1.0,
            )
            panels += cut.pieces
            boxes += cut.boxes
            formers += cut.formers
            for name, masks in sub.masks:
                if name == panel.name:
                    plan, _ = judge_masks(
                        panel,
                        masks=masks,
                        strands=strands,
                        boxes=behind,
                        sub_assembly=sub.name,
                        drills=design.drills,
                    )
                    paintings += [plan] if plan else []
        circuit, _ = judge_sub_assembly(
            sub,
            supply=design.supply,
            habits=design.habits,
            package=design.resistor_package,
            groups=design.groups,
        )
        circuits += [circuit] if circuit else []
    members = members_of(design)
    loom = lay_loom(members, wishes=design.loom, room=design.room) if members else None
    return MadeThings(
        design=design,
        panels=tuple(panels),
        boxes=tuple(boxes),
        formers=tuple(formers),
        paintings=tuple(paintings),
        circuits=tuple(circuits),
        loom=loom,
    )


@dataclass
class Bench:
    """What lies on the table, followed step by step."""

    design: object
    soldered: set = field(default_factory=set)
    joined: set = field(default_factory=set)
    placed: set = field(default_factory=set)
    threaded: set = field(default_factory=set)
    seen: set = field(default_factory=set)
    hidden: set = field(default_factory=set)
    painted: set = field(default_factory=set)
    closed: set = field(default_factory=set)

    def __post_init__(self):
        self.leds, self.strands, self.sources, self.box_of = {}, {}, set(), {}
        self.boxes, self.panels, self.subs = {}, {}, {}
        for sub in self.design.sub_assemblies:
            self.subs[sub.where.item] = sub
            self.leds |= {led.where.item: sub.name for led in sub.leds()}
            self.panels |= {panel.where.item: (sub, panel) for panel in sub.panels}
            for panel, box in sub.boxes:
                self.boxes[box.where.item] = (sub, panel, box)
                self.box_of |= {led.where.item: box.where.item for led in box.leds}
            for panel, strand in sub.strands:
                self.strands[strand.where.item] = (sub, panel, strand)
        self.sources = {g.source.where.item for g in self.design.groups if g.source}

    def covers(self, step):
        """Give the lights that a step puts out of reach, from the design alone."""
        items = set(step.items)
        if step.kind is StepKind.CLOSE:
            for item in items & set(self.boxes):
                sub, panel, box = self.boxes[item]
                self.closed.add(item)
                if box.fixing and box.build is Build.PIECES:
                    continue
                yield from (led.where.item for led in box.leds)
                yield from (
                    s
                    for s, (own, at, strand) in self.strands.items()
                    if own is sub and at == panel and within(strand, box.inside.corners)
                )
        elif step.kind is StepKind.GLUE and "collar" in step.title:
            yield from items & self.sources
        elif step.kind is StepKind.DECAL:
            for item in items & set(self.panels):
                sub, panel = self.panels[item]
                decals = [
                    o.outline.corners
                    for o in panel.openings
                    if any(layer.kind is LayerKind.DECAL for layer in o.layers)
                ]
                yield from (
                    s
                    for s, (own, at, strand) in self.strands.items()
                    if own is sub
                    and at == panel.name
                    and (
                        strand.head is Head.SET_BACK
                        or any(within(strand, corners) for corners in decals)
                    )
                )
        elif step.kind is StepKind.INSTALL:
            for item in items & set(self.subs):
                sub = self.subs[item]
                if sub.pigtail is None:
                    yield from (led.where.item for led in sub.leds())
                    yield from (s for s, (own, _, _) in self.strands.items() if own is sub)

    def take(self, step):
        """Do a step; give what is wrong with doing it now."""
        items = set(step.items)
        lights = items & set(self.leds)
        # The tails of hidden strands still hang out; bundling them is no work on what is hidden.
        works = step.kind in (StepKind.SOLDER, StepKind.THREAD, StepKind.FILM)
        if works and items & self.hidden and "Bundle" not in step.title:
            yield f"{step.id} works on what is out of reach"
        if step.kind is StepKind.SOLDER:
            if step.id.endswith("/leads"):
                self.soldered |= lights
            elif step.id.endswith("/join"):
                self.joined |= lights & self.soldered
        elif step.kind is StepKind.GLUE:
            self.placed |= lights
        elif step.kind is StepKind.THREAD and step.id.endswith("/thread"):
            if items & set(self.strands) & self.threaded:
                yield f"{step.id} threads twice"
            self.threaded |= items & set(self.strands)
        elif step.kind is StepKind.TEST:
            self.seen |= {
                led for led in lights & self.joined if led in self.placed or led in self.sources
            }
            self.seen |= items & self.threaded
        yield from self.bench_rules(step, items)
        for light in self.covers(step):
            self.hidden.add(light)
            if light not in self.seen:
                yield f"{step.id} hides {light}, which nobody has seen lit"

    def bench_rules(self, step, items):
        """Give what a builder would not do: drill in paint, paint over tips, open a glued box."""
        panels = items & set(self.panels)
        if step.kind in (StepKind.PRIME, StepKind.PAINT) and step.id.rpartition("/")[2] != "tint":
            self.painted |= panels
            for item in panels:
                sub, panel = self.panels[item]
                tips = {
                    s for s, (own, at, _) in self.strands.items() if own is sub and at == panel.name
                }
                if tips & self.threaded:
                    yield f"{step.id} paints over tips"
        if step.kind in (StepKind.CUT, StepKind.DRILL, StepKind.BEND) and panels & self.painted:
            yield f"{step.id} cuts or bends fresh paint"
        boxes = items & set(self.boxes)
        if step.kind in (StepKind.CUT, StepKind.DRILL, StepKind.PAINT, StepKind.FILM) and (
            boxes & self.closed
        ):
            yield f"{step.id} works inside a closed box"


def within(strand, corners):
    """Tell whether a strand comes out inside the box around an outline; all here are rectangles."""
    left, bottom, right, top = bounds_mm(corners)
    return left <= strand.x_mm <= right and bottom <= strand.y_mm <= top


def orders_of(order, chance):
    """Give the orders to walk: each hiding step as early as it goes, then some by chance."""
    names = [step.id for step in order.steps]
    before = {name: set() for name in names}
    for edge in order.edges:
        before[edge.after].add(edge.before)
    yield names
    for step in order.steps:
        if step.kind in (StepKind.CLOSE, StepKind.GLUE, StepKind.DECAL, StepKind.INSTALL):
            needed, ahead = set(), [step.id]
            while ahead:
                for one in before[ahead.pop()] - needed:
                    needed.add(one)
                    ahead.append(one)
            yield [name for name in names if name in needed] + [step.id]
    for _ in range(WALKS):
        yield by_chance(names, before, chance)


def by_chance(names, before, chance):
    """Walk the graph, at each step to any that is free."""
    left, done, order = list(names), set(), []
    while left:
        free = [name for name in left if before[name] <= done]
        assert free, "the edges close a circle"
        one = free[int(chance.integers(len(free)))]
        left.remove(one)
        done.add(one)
        order.append(one)
    return order


def counter_examples(order, design, *, seed=1):
    """Search for an order that does harm."""
    chance = np.random.default_rng(seed)
    step_of = {step.id: step for step in order.steps}
    for names in orders_of(order, chance):
        bench = Bench(design=design)
        for name in names:
            yield from bench.take(step_of[name])


def lights_of(design):
    return {led.where.item for sub in design.sub_assemblies for led in sub.leds()}


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("file", ["project.yaml", "mended.yaml"])
def test_no_demo_hides_a_light_before_its_gate(demo, file):
    reading = read_project(SCENARIOS / demo.replace("-", "_") / file)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    order = ordered(plan).order
    assert list(counter_examples(order, plan.design)) == []
    # Every light is seen in the end, or the search would have nothing to say.
    bench = Bench(design=plan.design)
    for step in order.steps:
        list(bench.take(step))
    assert lights_of(plan.design) <= bench.seen
    assert set(bench.strands) <= bench.seen


@pytest.mark.parametrize(
    "block", [0, *(pytest.param(number, marks=pytest.mark.slow) for number in range(1, 10))]
)
def test_no_model_made_by_chance_hides_a_light_before_its_gate(block):
    for seed in range(block * MODELS // 10, (block + 1) * MODELS // 10):
        design = read_text(random_model(seed), file="project.yaml").design
        made = made_of(design)
        order = work_order(made).order
        found = list(counter_examples(order, design, seed=seed))
        assert found == [], (seed, found[:3])
        bench = Bench(design=design)
        for step in order.steps:
            list(bench.take(step))
        assert lights_of(design) <= bench.seen, seed
        assert set(bench.strands) <= bench.seen, seed


def test_the_search_finds_a_gate_that_was_taken_out():
    design = read_text(random_model(3), file="project.yaml").design
    order = work_order(made_of(design)).order
    tests = {step.id for step in order.steps if step.id.endswith(("/test open", "/test strands"))}
    holed = replace(order, edges=tuple(edge for edge in order.edges if edge.before not in tests))
    assert list(counter_examples(holed, design)) != []
