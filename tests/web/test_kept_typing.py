"""What a maker is in the middle of stays when a plan comes: a place typed, a piece in hand."""

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.slow
NAME = "console / middle fascia"


@pytest.fixture
def sheets(serve, browse, saltmarsh):
    page = browse(serve(saltmarsh).entry)
    page.goto(page.url.rpartition("/")[0] + "/sheets")
    page.locator(".piece").first.wait_for()
    return page


def changed_by_an_editor(project, old, new):
    text = project.read_text()
    assert old in text
    project.write_text(text.replace(old, new, 1))


def test_a_place_half_typed_stays_with_its_piece(sheets, saltmarsh):
    sheets.locator(f'.piece[data-piece="{NAME}"]').focus()
    form = sheets.locator("form[data-place]:not([hidden])")
    expect(form.locator("[data-name]")).to_have_text(NAME)
    right = form.get_by_label("right")
    right.fill("61.")
    changed_by_an_editor(
        saltmarsh, "outline: rectangle 84 x 52 mm", "outline: rectangle 90 x 52 mm"
    )
    top = sheets.locator('.piece[data-piece="chart table / top"]')
    expect(top).to_have_attribute("data-h", "90.0")
    expect(form.locator("[data-name]")).to_have_text(NAME)
    expect(right).to_have_value("61.")
    expect(right).to_be_focused()
    right.press_sequentially("5 mm")
    right.press("Enter")
    expect(sheets.locator(f'.piece.locked[data-piece="{NAME}"]')).to_have_attribute(
        "data-x", "61.5"
    )


def test_a_piece_in_hand_stays_in_hand_when_the_order_changes(sheets, saltmarsh):
    piece = sheets.locator(f'.piece[data-piece="{NAME}"]')
    number = piece.locator("text").text_content()
    piece.focus()
    changed_by_an_editor(
        saltmarsh, "outline: rectangle 84 x 52 mm", "outline: rectangle 24 x 12 mm"
    )
    expect(piece.locator("text")).not_to_have_text(number)
    expect(piece).to_be_focused()


def test_a_piece_that_is_dragged_is_not_dropped_by_a_plan(sheets, saltmarsh):
    piece = sheets.locator(f'.piece[data-piece="{NAME}"]')
    number = piece.locator("text").text_content()
    piece.scroll_into_view_if_needed()
    box = piece.bounding_box()
    x, y = box["x"] + 4, box["y"] + 4
    sheets.mouse.move(x, y)
    sheets.mouse.down()
    sheets.mouse.move(x + 40, y, steps=2)
    changed_by_an_editor(
        saltmarsh, "outline: rectangle 84 x 52 mm", "outline: rectangle 24 x 12 mm"
    )
    expect(piece.locator("text")).not_to_have_text(number)
    sheets.mouse.move(x + 120, y, steps=2)
    sheets.mouse.up()
    expect(sheets.locator(".piece.locked")).to_have_count(1)
    expect(sheets.locator(".piece.locked")).to_have_attribute("data-piece", NAME)
    assert f"piece: {NAME}" in saltmarsh.read_text()
