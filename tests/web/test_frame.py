"""The frame of every view: edits, undo, findings, two tabs, an editor beside, a kill."""

import pytest

pytestmark = pytest.mark.slow


def test_a_finding_is_accepted_and_the_acceptance_taken_back(serve, browse, saltmarsh):
    before = saltmarsh.read_text()
    page = browse(serve(saltmarsh).entry)
    page.get_by_role("button", name="findings").click()
    first = page.locator("#side .finding:has(form)").first
    first.locator("summary").click()
    first.get_by_label("Reason").fill("seen on the bench")
    first.get_by_role("button", name="Accept").click()
    page.locator("#side .reason", has_text="seen on the bench").wait_for()
    assert "seen on the bench" in saltmarsh.read_text()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("document.getElementById('undo').disabled")
    assert saltmarsh.read_text() == before
