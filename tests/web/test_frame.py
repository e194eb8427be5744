"""The frame of every view: edits, undo, findings, two tabs, an editor beside, a kill."""

import pathlib

import pytest
from playwright.sync_api import expect

from lamphouse.project.write import set_value

pytestmark = pytest.mark.slow


def accept_first(page, reason):
    page.get_by_role("button", name="findings").click()
    first = page.locator("#side .finding:has(form)").first
    first.locator("summary").click()
    first.get_by_label("Reason").fill(reason)
    first.get_by_role("button", name="Accept").click()
    page.locator("#side .reason", has_text=reason).wait_for()


def settled(page):
    page.locator("#view .waiting").wait_for(state="detached")


def test_a_finding_is_accepted_and_the_acceptance_taken_back(serve, browse, saltmarsh):
    before = saltmarsh.read_text()
    page = browse(serve(saltmarsh).entry)
    accept_first(page, "seen on the bench")
    assert "seen on the bench" in saltmarsh.read_text()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#undo")).to_be_disabled()
    assert saltmarsh.read_text() == before


def test_what_one_tab_does_the_other_shows(serve, browse, saltmarsh):
    server = serve(saltmarsh)
    page = browse(server.entry)
    other = page.context.new_page()
    other.goto(page.url)
    accept_first(page, "told to both")
    expect(other.locator("#undo")).to_be_enabled()
    other.get_by_role("button", name="findings").click()
    other.locator("#side .reason", has_text="told to both").wait_for()
    other.keyboard.press("Escape")
    other.keyboard.press("Control+z")
    expect(page.locator("#redo")).to_be_enabled()
    assert "told to both" not in saltmarsh.read_text()


def test_what_an_editor_writes_comes_onto_the_page(serve, browse, saltmarsh):
    page = browse(serve(saltmarsh).entry)
    settled(page)
    part = saltmarsh.with_name("part")
    part.write_text(set_value(saltmarsh.read_text(), ("supply", "max_current"), "20 mA"))
    pathlib.Path(part).replace(saltmarsh)
    expect(page.locator("[data-count=stop]")).not_to_have_text("0")


def test_a_reason_half_written_stays_with_its_finding(serve, browse, saltmarsh):
    page = browse(serve(saltmarsh).entry)
    settled(page)
    page.get_by_role("button", name="findings").click()
    last = page.locator("#side .finding:has(form)").last
    last.locator("summary").click()
    about = last.get_attribute("data-code"), last.get_attribute("data-item")
    last.get_by_label("Reason").fill("as the prototype ha")
    part = saltmarsh.with_name("part")
    part.write_text(set_value(saltmarsh.read_text(), ("supply", "max_current"), "20 mA"))
    pathlib.Path(part).replace(saltmarsh)
    page.locator("#side .finding.stop").first.wait_for()
    opened = page.locator("#side .finding:has(details[open])")
    expect(opened).to_have_count(1)
    expect(opened.get_by_label("Reason")).to_have_value("as the prototype ha")
    assert (opened.get_attribute("data-code"), opened.get_attribute("data-item")) == about
    expect(opened.get_by_label("Reason")).to_be_focused()


def test_a_kill_and_a_reload_lose_nothing(serve, browse, saltmarsh):
    server = serve(saltmarsh)
    page = browse(server.entry)
    before = saltmarsh.read_text()
    accept_first(page, "before the power cut")
    server.kill()
    expect(page.locator("body")).to_have_attribute("data-server", "gone")
    page.get_by_role("button", name="Undo").click()
    page.get_by_role("alert").filter(has_text="lost its server").wait_for()
    again = serve(saltmarsh, port=server.port)
    page.goto(again.entry)
    settled(page)
    page.reload()
    settled(page)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#undo")).to_be_disabled()
    assert saltmarsh.read_text() == before


def test_a_view_that_fails_to_come_anew_leaves_what_is_shown(serve, browse, saltmarsh):
    page = browse(serve(saltmarsh).entry)
    settled(page)
    page.route(
        "**/table/body", lambda route: route.fulfill(status=500, body="Internal Server Error")
    )
    accept_first(page, "as it should be")  # the view is fetched anew
    page.get_by_role("alert").filter(has_text="could not be computed anew").wait_for()
    expect(page.locator(".table-view .subs")).to_be_visible()
    page.unroute("**/table/body")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#said")).to_be_empty()


def test_the_first_screen_starts_a_demo(serve, browse, tmp_path):
    page = browse(serve().entry)
    page.get_by_role("button", name="Night studio").click()
    page.wait_for_url("**/table")
    settled(page)
    assert (tmp_path / "night-studio" / "project.yaml").is_file()
    page.get_by_role("link", name="Night Studio").click()
    page.get_by_role("heading", name="Open again").wait_for()


def test_what_cannot_be_opened_is_told_and_what_was_typed_stays(serve, browse):
    page = browse(serve().entry)
    field = page.get_by_label("Folder or project file")
    field.fill("/nowhere/at/all")
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("status").filter(has_text="no such file").wait_for()
    assert field.input_value() == "/nowhere/at/all"


def test_the_room_light_is_kept_and_dims_the_page(serve, browse):
    page = browse(serve().entry)
    page.evaluate("localStorage.setItem('room light', '0')")
    page.reload()
    assert page.evaluate("document.documentElement.dataset.light") == "dark"
