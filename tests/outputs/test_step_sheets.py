"""The order of work and the evenings on paper: every step once, gates with figures to write in."""

import pytest

from lamphouse.build.themes import MIND
from lamphouse.outputs import contents, pdf
from lamphouse.outputs.order_pages import order_pages
from lamphouse.outputs.step_sheets import evenings, order_of_work
from lamphouse.plan import make
from lamphouse.plan.ordered import planned, with_order
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text
from lamphouse.record import replace


@pytest.fixture(scope="module")
def plan():
    text = demo_text("saltmarsh", "mended.yaml")
    reading = read_text(text, file="p.yaml", own_pictures=demo_pictures("saltmarsh"))
    return with_order(make.plan(reading.design))


def test_every_step_stands_once_and_after_what_it_waits_for_in_its_part(plan):
    listed = [row["id"] for part in order_of_work(plan)["parts"] for row in part["rows"]]
    assert sorted(listed) == sorted(step.id for step in plan.order.steps)
    place = {name: number for number, name in enumerate(listed)}
    of = {step.id: step.sub_assembly for step in plan.order.steps}
    for edge in plan.order.edges:
        if of[edge.before] == of[edge.after]:
            assert place[edge.before] < place[edge.after]


def test_a_gate_has_what_the_meter_should_say(plan):
    rows = {row["id"]: row for part in order_of_work(plan)["parts"] for row in part["rows"]}
    gate = rows["chart table/test open"]
    assert gate["gate"]
    # The same figure as on the readings sheet, which its own test holds against a solver.
    (bench,) = [b for b in plan.readings.sub_assemblies if b.sub_assembly == "chart table"]
    plug = next(one for one in bench.expected if one.name == "plug")
    assert gate["expected"][0].startswith(f"plug: {1e3 * plug.band.nominal:.3g} mA")
    closing = rows["instrument wall/tide box/close"]
    assert closing["needs"] == "instrument wall/test open"
    assert "instrument wall / wall / tide box / T1" in closing["hides"]


def test_evenings_tell_what_to_mind(plan):
    data = evenings(plan, planned(plan))
    words = " ".join(one["mind"] for one in data["evenings"])
    assert all(caution in words for caution in MIND.values())
    assert sum(len(one["rows"]) for one in data["evenings"]) >= len(plan.order.steps)


def test_a_plan_without_an_order_has_no_pages(plan):
    assert list(order_pages(replace(plan, order=None))) == []


def test_the_typesetter_takes_the_pages(plan):
    document = contents.document(plan)
    document["pages"] = [
        page for page in document["pages"] if page["mark"] in ("steps", "evenings", "work chart")
    ]
    assert [page["mark"] for page in document["pages"]] == ["work chart", "evenings", "steps"]
    assert pdf.set_pages(document, day=plan.design.day).startswith(b"%PDF")
