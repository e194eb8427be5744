"""The steps view in a browser: ticks seen everywhere, readings judged, wishes written, by keys."""

import json
import re

import pytest
from playwright.sync_api import expect

from lamphouse.storage.bench_log import log_path, read_log

pytestmark = pytest.mark.slow
FROM = "from=2026-11-27"
"""The first evening of Saltmarsh: what is shown does not hang on today."""


@pytest.fixture
def view(serve, browse, saltmarsh):
    """Open a view of Saltmarsh and wait until it is there."""
    server = serve(saltmarsh)

    def opened(where, **options):
        page = browse(server.entry, **options)
        page.goto(page.url.rpartition("/")[0] + f"/{where}")
        page.locator("#view > :not(.waiting)").first.wait_for()
        return page

    return opened


def entries(project):
    return [(one.kind, one.item, one.name, one.value) for one in read_log(log_path(project))]


def button(page, log, item):
    return page.locator(f"[data-log='{log}'][data-item='{item}']")


def test_a_tick_is_seen_on_another_device_and_on_the_table(view, saltmarsh):
    page = view(f"steps?{FROM}&where=chart+table")
    other = view(f"steps?{FROM}&where=chart+table")
    table = view("table")
    left = table.locator(".figures dt", has_text="Work left").locator("xpath=following-sibling::dd")
    before = float(left.inner_text().split()[0])
    expect(button(page, "step", "chart table/leads")).to_have_count(0)
    button(page, "step", "chart table/test LEDs").click()
    for seen in (page, other):
        expect(button(seen, "step", "chart table/leads")).to_be_visible()
        expect(button(seen, "undone", "chart table/test LEDs")).to_be_visible()
    assert entries(saltmarsh) == [("step", "chart table/test LEDs", "", "")]
    # Five LEDs take less than the tenth of an hour that the table shows.
    button(page, "step", "chart table/leads").click()
    expect(button(other, "undone", "chart table/leads")).to_be_visible()
    expect(left).not_to_have_text(f"{before:.1f} h")
    assert float(left.inner_text().split()[0]) < before
    button(other, "undone", "chart table/leads").click()
    expect(button(page, "step", "chart table/leads")).to_be_visible()
    button(other, "undone", "chart table/test LEDs").click()
    expect(button(page, "step", "chart table/test LEDs")).to_be_visible()
    expect(left).to_have_text(f"{before:.1f} h")


def test_by_keys_alone_a_gate_is_opened_read_and_ticked(view, saltmarsh):
    page = view(f"steps?{FROM}&where=chart+table&state=ready")
    title = page.locator(".title", has_text="Test 5 loose LEDs")
    title.focus()
    page.keyboard.press("Enter")
    field = page.get_by_label("warm white 0603 reads", exact=True)
    expect(field).to_be_visible()
    expect(page.locator(".title:focus")).to_contain_text("Test 5 loose LEDs")
    expect(page).to_have_url(re.compile("step=chart"))
    while page.evaluate("document.activeElement.getAttribute('aria-label')") != (
        "warm white 0603 reads"
    ):
        page.keyboard.press("Tab")
    page.keyboard.type("2.1 V")
    page.keyboard.press("Enter")
    row = page.locator("tr", has=field)
    expect(row.locator(".verdict")).to_have_text("too low")
    expect(page.locator(".card")).to_contain_text("turn the LED round and test it again")
    expect(field).to_have_value("")
    field.fill("2.65 V")
    field.press("Enter")
    expect(row.locator(".verdict")).to_have_text("in band")
    assert [one[3] for one in entries(saltmarsh)] == ["2.1 V", "2.65 V"]
    page.go_back()
    expect(page.locator(".card")).to_have_count(0)


def test_what_is_being_typed_stays_when_another_device_ticks(view):
    page = view(f"steps?{FROM}&step=chart+table%2Ftest+LEDs")
    other = view(f"steps?{FROM}&where=bay")
    field = page.get_by_label("warm white 0603 reads", exact=True)
    field.fill("2.6")
    button(other, "step", "bay/test LEDs").click()
    expect(page.locator(".outlook")).to_contain_text("1 of 207 steps")
    expect(field).to_have_value("2.6")
    expect(field).to_be_focused()


def test_a_step_that_waits_says_why_and_leads_there(view):
    page = view(f"steps?{FROM}&where=chart+table&state=gates")
    page.locator(".title", has_text="Light the chart table while all of it is still open").click()
    first = page.locator(".card .whys a", has_text="Join LEDs, board and pigtail").first
    expect(first).to_be_visible()
    expect(page.locator(".card .name")).to_have_text("chart table/test open")
    first.click()  # no gate, so the list would leave it out
    expect(page.locator(".card .name")).to_have_text("chart table/join")
    expect(page.locator(".card")).to_contain_text("not passed yet")
    page.get_by_role("button", name="Done all the same").click()
    expect(page.locator(".card")).to_contain_text("Ticked")


def test_hours_tonight_plan_an_evening_of_today(view):
    page = view("steps")
    page.get_by_label("Hours tonight").fill("45 min")
    page.get_by_label("Hours tonight").press("Enter")
    expect(page).to_have_url(re.compile("tonight=45"))
    evening = page.locator(".evening h2 small").first
    expect(evening).to_have_text(re.compile(r"^(\d|[1-3]\d|4[0-5]) min"))
    page.locator("select[name=state]").select_option("tonight")
    expect(page.locator(".evening")).to_have_count(1)
    ground = page.url.split("/steps")[0]
    told = json.loads(page.request.get(f"{ground}/bench/next?tonight=45+min").text())
    expect(page.locator(".steps > li")).to_have_count(len(told["next"]))
    page.get_by_label("Hours tonight").fill("a while")
    page.get_by_role("button", name="Show", exact=True).click()
    expect(page.locator("p.stop")).to_contain_text("Hours tonight")


def test_evenings_parts_and_own_steps_are_written_into_the_file(view, saltmarsh):
    page = view("steps?show=wishes")
    before = saltmarsh.read_text()
    page.locator("form[data-add=evenings] [name=date]").fill("2026-12-24")
    page.locator("form[data-add=evenings] [name=hours]").fill("90 min")
    page.get_by_role("button", name="Add an evening").click()
    row = page.get_by_role("group", name="Evening 2026-12-24")
    row.get_by_label("What for").fill("painting, gluing")
    row.get_by_label("What for").press("Tab")
    page.get_by_role("button", name="Undo").and_(
        page.locator("[title*='painting, gluing']")
    ).wait_for()
    page.locator("form[data-add=waiting] [name=part]").fill("white 0603")
    page.get_by_role("button", name="Wait for it").click()
    page.get_by_role("group", name="Waiting for white 0603").wait_for()
    page.locator("form[data-add=steps] [name=name]").fill("sign the floor")
    page.locator("form[data-add=steps] [name=before]").fill("model/close floor")
    page.get_by_role("button", name="Add a step").click()
    own = page.get_by_role("group", name="sign the floor")
    own.get_by_label("Hands on").fill("soon")
    own.get_by_label("Hands on").press("Tab")
    expect(own.locator(".refused .refusal")).to_contain_text("soon")
    own.get_by_label("Hands on").fill("5 min")
    own.get_by_label("Hands on").press("Tab")
    page.locator("#undo[title*='5 min']").wait_for()
    text = saltmarsh.read_text()
    assert "2026-12-24" in text
    assert "90 min" in text
    assert "sign the floor" in text
    page.get_by_role("link", name="Evenings", exact=True).click()
    expect(page.locator(".title", has_text="sign the floor")).to_be_visible()
    expect(page.locator("p.warn")).to_contain_text("wait for a part that has no day")
    while page.locator("#undo").is_enabled():
        told = page.locator("#undo").get_attribute("title")
        page.locator("#undo").click()
        expect(page.locator("#undo")).not_to_have_attribute("title", told)
    assert saltmarsh.read_text() == before


def test_a_phone_is_led_from_the_step_to_its_readings(view):
    page = view("bench", width=390, height=844)
    page.get_by_role("tab", name="Next").click()
    best = page.locator("#next .step", has=page.locator(".best")).first
    expect(best).to_contain_text("best for")
    gate = page.locator("#next .step", has_text="Test 5 loose LEDs of the chart table")
    gate.get_by_role("button", name="Readings").click()
    expect(page.get_by_role("tab", name="Read")).to_have_attribute("aria-selected", "true")
    expect(page.locator("#read-where")).to_have_value("chart table")
    expect(page.locator("#read-gate")).to_have_value("loose")
    expect(page.locator("[data-read='warm white 0603']")).to_be_visible()


def test_photographs_are_seen_in_the_log(view, saltmarsh):
    page = view("bench", width=390, height=844)
    page.get_by_role("tab", name="Log").click()
    picture = saltmarsh.parent / "pictures" / "clock-bezel.jpg"
    page.get_by_label("Photograph", exact=True).set_input_files(str(picture))
    page.get_by_role("button", name="Keep it").click()
    seen = page.locator("#entries img")
    expect(seen).to_be_visible()
    assert seen.evaluate("at => at.decode().then(() => at.naturalWidth)") > 0
