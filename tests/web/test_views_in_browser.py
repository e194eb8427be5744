"""Table, circuit, blink, sheets and parts in a browser: by pointer, by keys, and looked through."""

import re
import time

import pytest

pytestmark = pytest.mark.slow


def until(page, script, *, seconds=30.0):
    """Wait until a script says so; a page that forbids scripts from texts allows this way only."""
    for _ in range(int(seconds * 20)):
        if page.evaluate(script):
            return
        time.sleep(0.05)
    raise AssertionError(script)


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


@pytest.mark.parametrize("where", ["circuit?sub=console", "blink", "sheets", "steps", "parts"])
def test_only_the_view_scrolls_never_the_page_round_it(view, where):
    for width, height in ((1440, 900), (390, 844)):
        page = view(where, width=width, height=height)
        page.locator("#view .waiting").wait_for(state="detached")
        tall = page.evaluate("document.scrollingElement.scrollHeight")
        assert tall <= height


def test_the_floor_plan_leads_to_a_sub_assembly_by_keys(view):
    page = view("table")
    page.locator("a.stand[data-sub='bay']").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.subCard") == "bay"
    assert page.locator("li.here").get_attribute("data-sub-card") == "bay"


def test_glows_on_the_table_follow_the_room_light(view):
    page = view("table")
    picture = page.locator("img[alt='Glow of wall']")
    loaded = "at => at.complete && at.naturalWidth > 0"
    until(page, f"({loaded})(document.querySelector('[alt=\"Glow of wall\"]'))")
    bright = picture.get_attribute("src")
    slider = page.get_by_label("Room light")
    slider.focus()
    page.keyboard.press("Home")
    until(page, "document.querySelector('[alt=\"Glow of wall\"]').src.includes('lx=0&')")
    assert picture.get_attribute("src") != bright
    assert page.evaluate("document.documentElement.dataset.light") == "dark"


def test_leds_are_grouped_otherwise_and_back_again(view, saltmarsh):
    page = view("circuit?sub=chart%20table")
    rows = page.locator(".strings tbody tr:not(.why)")
    assert rows.count() == 3
    page.locator("button[data-drop]").first.click()
    page.locator("button[data-drop]").nth(0).wait_for()
    until(page, "document.querySelectorAll('button[data-drop]').length === 1")
    page.locator("button[data-drop]").click()
    until(page, "document.querySelectorAll('button[data-drop]').length === 0")
    page.get_by_label("LEDs here grouped").select_option("single")
    until(page, "document.querySelectorAll('.strings tbody tr:not(.why)').length === 5")
    assert "grouping: single" in saltmarsh.read_text()
    page.get_by_role("button", name="Undo").click()
    until(page, "document.getElementById('undo').title.startsWith('Let the tool')")
    assert "grouping: single" not in saltmarsh.read_text()


def test_a_resistor_that_is_none_is_told_beside_its_field(view, saltmarsh):
    page = view("circuit?sub=chart%20table")
    before = saltmarsh.read_text()
    own = page.locator("input[data-label='Resistor of S1']")
    own.fill("a big one")
    own.press("Enter")
    page.locator("label.refused .refusal", has_text="resistor").wait_for()
    assert own.input_value() == "a big one"
    assert saltmarsh.read_text() == before
    own.fill("18k")
    own.press("Enter")
    page.locator(".strings tr", has_text="brown grey orange gold").wait_for()
    assert "resistor: 18k" in saltmarsh.read_text()


def test_a_piece_is_dragged_nudged_turned_and_let_go(view, saltmarsh):
    page = view("sheets")
    before = saltmarsh.read_text()
    name = "console / middle fascia"
    piece = page.locator(f'.piece[data-piece="{name}"]')
    piece.scroll_into_view_if_needed()
    box = piece.bounding_box()
    page.mouse.move(box["x"] + 4, box["y"] + 4)
    page.mouse.down()
    page.mouse.move(box["x"] + 124, box["y"] + 4, steps=4)
    page.mouse.up()
    page.locator(f'.piece.locked[data-piece="{name}"]').wait_for()
    held = re.search(rf"piece: {name}, stock: 1, at: \[([\d.]+) mm", saltmarsh.read_text())
    assert float(held.group(1)) > 40.0
    piece.focus()
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowRight")
    wanted = round(float(held.group(1)) + 1.1, 1)
    until(page, f"document.activeElement.dataset.x - {wanted} < 0.05")
    until(page, f"Math.abs(document.activeElement.dataset.x - {wanted}) < 0.05")
    turn = (float(piece.get_attribute("data-turn")) + 90.0) % 360.0
    page.keyboard.press("r")
    until(page, f"document.activeElement.dataset.turn === '{turn}'")
    page.keyboard.press("l")
    page.locator(f'.piece:not(.locked)[data-piece="{name}"]').wait_for()
    assert "locked" not in saltmarsh.read_text().replace(before, "")


def test_the_player_moves_its_head_and_the_panel_changes(view):
    page = view("blink")
    page.locator("[data-panel]").select_option(label="console / middle fascia")
    until(page, "document.querySelector('[data-tips]').width > 400")
    tips = "document.querySelector('[data-tips]').toDataURL()"
    first = page.evaluate(tips)
    page.locator("[data-head]").focus()
    slider = page.locator("[data-head]")
    slider.fill("1.5")  # the second half of the chase's two seconds is dark
    until(page, f"{tips} !== {first!r}")
    assert page.locator("[data-clock]").inner_text() == "1.5 s"
    page.get_by_role("button", name="Play").click()
    until(page, "Number.parseFloat(document.querySelector('[data-clock]').textContent) > 2")
    page.get_by_role("button", name="Stop").first.click()
    stood = page.locator("[data-clock]").inner_text()
    page.wait_for_timeout(300)
    assert page.locator("[data-clock]").inner_text() == stood


def test_who_asks_for_less_motion_moves_the_head_by_hand(view):
    page = view("blink", reduced_motion="reduce")
    page.locator("[data-rule]", has_text="less motion").wait_for()
    assert page.get_by_role("button", name="Play").is_disabled()
    page.locator("[data-head]").fill("3")
    assert page.locator("[data-clock]").inner_text() == "3.0 s"


def test_what_would_flash_over_too_much_of_the_page_is_held(serve, browse, saltmarsh):
    # both displays of the instrument wall at five flashes a second: more than a quarter of ten
    # degrees of the view on this page, though far less on the model [WCAG 2.2, 2.3.1]
    text = saltmarsh.read_text()
    strobe = "  strobe: {in: instrument wall, pattern: {kind: beacon, period: 0.2 s}}\n"
    text = text.replace("\ncontrollers:", f"{strobe}\ncontrollers:", 1)
    text = re.sub(r"(\b[PT]: \{type: [^}]*current: 1 mA)\}", r"\1, group: strobe}", text)
    saltmarsh.write_text(text.replace("plug: 2-pin 1.25 mm", "plug: 5-pin 1.25 mm"))
    page = browse(serve(saltmarsh).entry)
    page.goto(page.url.rpartition("/")[0] + "/blink")
    page.locator("[data-panel]").select_option(label="instrument wall / wall")
    page.locator("[data-rule]", has_text="strobe").wait_for()
    glow = "document.querySelector('[data-glow]').toDataURL()"
    first = page.evaluate(glow)
    for seconds in ("0.05", "0.1", "0.15"):
        page.locator("[data-head]").fill(seconds)
        assert page.evaluate(glow) == first


def test_a_pattern_is_changed_where_it_is_shown(view, saltmarsh):
    page = view("blink")
    page.get_by_label("kind of chase").select_option("beacon")
    until(page, "!document.querySelector('.code')?.textContent.includes('BLK002')")
    assert (
        "chase: {in: console, source: {led: red 3 mm, current: 5 mA}, pattern: {kind: beacon"
        in (saltmarsh.read_text())
    )


def test_a_price_gives_a_cost(view, saltmarsh):
    page = view("parts?buy=1")
    form = page.locator("form[data-price='print film']")
    form.get_by_label("Price of a pack").fill("12.50 EUR")
    form.get_by_role("button", name="Note").click()
    page.locator("tr", has_text="print film").get_by_text("12.50 EUR in all").wait_for()
    assert "price: 12.50 EUR" in saltmarsh.read_text()
    with page.expect_download() as held:
        page.get_by_role("link", name="CSV", exact=True).click()
    assert held.value.suggested_filename.endswith(".csv")


def test_long_work_is_followed_and_stopped(view):
    page = view("table")
    page.get_by_role("button", name="Second opinion").click()
    page.get_by_role("button", name="Make the pack").click()
    waiting = page.locator("li[data-state='waiting']", has_text="Pack")
    waiting.get_by_role("button").click()
    page.locator("li[data-state='running']").get_by_role("button").click()
    page.locator("li[data-state='stopped']", has_text="Second opinion").wait_for()
    page.locator("li[data-state='stopped']", has_text="Pack").wait_for()
