"""The panel in a browser: dragged, nudged, typed, undone, suggestions; the drawings of the pack."""

import json
import re
from functools import partial
from pathlib import Path

import pytest
from playwright.sync_api import expect

from web.waiting import until, until_so

pytestmark = pytest.mark.slow

AXE = Path(__file__).parent / "js" / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture
def panel(serve, browse, saltmarsh):
    """Open one panel of Saltmarsh."""

    def opened(sub="chart table", name="top", **options):
        page = browse(serve(saltmarsh).entry, **options)
        origin = page.url.split("/p/")[0]
        project = page.url.split("/p/")[1].split("/")[0]
        page.goto(f"{origin}/p/{project}/panel/{sub}/{name}")
        page.locator('#panel[data-state="planned"][data-field]').wait_for()
        return page

    return opened


def middle_of(page, item):
    box = page.locator(f'#panel-stage [data-id="{item}"] .hit').bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page, item, *, by_px, hold="Alt"):
    x, y = middle_of(page, item)
    page.keyboard.down(hold)
    page.mouse.move(x, y)
    page.mouse.down()
    for share in (0.3, 0.6, 1.0):
        page.mouse.move(x + share * by_px[0], y + share * by_px[1])
        page.wait_for_timeout(60)
    return x, y


def pixels(page):
    """Give the glow as the page has painted it."""
    return page.evaluate("document.getElementById('panel-seen').toDataURL()")


def figure(page, opening="screen"):
    row = page.locator("#panel-figures tr", has_text=opening)
    return row.locator("td").nth(1).text_content()


def wait_for_text(file, pattern, page):
    try:
        return until(page, lambda: re.search(pattern, file.read_text()))
    except AssertionError as fault:
        fault.add_note(f"no {pattern}; the page says: {page.locator('#said').text_content()}")
        raise


def planned(page):
    """Wait until the page shows the plan of the file as the page has made it."""
    until_so(
        page,
        "(at => at.dataset.state === 'planned'"
        " && at.dataset.field === document.body.dataset.revision)"
        "(document.getElementById('panel'))",
    )


def test_the_glow_follows_a_dragged_led_and_the_row_is_moved_or_taken_apart(panel, saltmarsh):
    page = panel()
    before, evenness = pixels(page), figure(page)
    drag(page, "LED:W1", by_px=(60, -80))
    until(page, lambda: figure(page) != evenness)
    assert pixels(page) != before
    assert "at: [13 mm, 26 mm], count: 4" in saltmarsh.read_text()
    page.mouse.up()
    page.keyboard.up("Alt")
    page.get_by_role("button", name="Take W1 out of the row").click()
    wait_for_text(saltmarsh, r"W1: \{type: white 0603, current: 0.5 mA, at: \[\d", page)
    assert re.search(
        r"W4: \{type: white 0603, current: 0.5 mA, at: \[55 mm, 26 mm\]", saltmarsh.read_text()
    )
    page.get_by_role("button", name="Undo").click()
    wait_for_text(saltmarsh, r"at: \[13 mm, 26 mm\], count: 4", page)
    page.locator('#panel-stage [data-id="LED:W4"]').wait_for()
    page.get_by_role("button", name="Redo").click()
    wait_for_text(saltmarsh, r"W1: \{type", page)


LOST = "The page has lost its server. Start lamphouse open again; nothing saved is lost."


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        (lambda route: route.abort(), LOST),
        (lambda route: route.fulfill(status=200, body='{"revision": "1", "open'), LOST),
        (lambda route: route.fulfill(status=500, body="Internal Server Error"), "Internal Server"),
        (lambda route: route.fulfill(status=404, json={"message": "There is no such"}), "no such"),
    ],
    ids=["server gone", "answer cut off", "server's fault", "no such panel"],
)
def test_what_cannot_be_fetched_is_said_and_asked_for_again(panel, saltmarsh, fault, words):
    page = panel()
    said, screen = page.locator("#said"), page.locator('#panel-stage [data-id="opening:screen"]')
    page.get_by_label("Item").select_option("opening:screen")
    page.route("**/panel/shown?*", fault)
    text = saltmarsh.read_text()
    saltmarsh.write_text(text.replace("rectangle 48 x 30 mm", "rectangle 46 x 30 mm"))
    expect(said).to_contain_text(words)
    expect(page.locator("#panel")).to_have_attribute("data-state", "planned")
    expect(screen.locator(".line")).to_have_attribute("d", re.compile("^M10 "))  # 34 - 48 / 2
    page.unroute("**/panel/shown?*")
    saltmarsh.write_text(text.replace("rectangle 48 x 30 mm", "rectangle 44 x 30 mm"))
    expect(screen.locator(".line")).to_have_attribute("d", re.compile("^M12 "))  # 34 - 44 / 2
    expect(said).to_have_text("")


def test_a_server_that_comes_back_is_asked_for_what_it_owes(panel):
    page = panel()
    said = page.locator("#said")
    page.route("**/panel/shown?*", lambda route: route.abort())
    page.evaluate("document.dispatchEvent(new CustomEvent('viewstale'))")
    expect(said).to_have_text(LOST)
    page.unroute("**/panel/shown?*")
    page.evaluate("document.dispatchEvent(new CustomEvent('projectstate'))")
    expect(said).to_have_text("")


def test_keys_alone_nudge_an_opening_by_a_tenth_and_by_one(panel, saltmarsh):
    page = panel()
    page.locator("#panel-stage").focus()
    page.keyboard.press("PageDown")
    page.locator('#panel-stage [data-id="panel:top"].picked').wait_for()
    page.keyboard.press("PageDown")
    page.locator('#panel-stage [data-id="opening:screen"].picked').wait_for()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    wait_for_text(saltmarsh, r"shape: rectangle 48 x 30 mm\n +at: \[34.2 mm, 27 mm\]", page)
    page.locator("#panel-stage").focus()
    page.keyboard.press("Control+z")
    wait_for_text(saltmarsh, r"shape: rectangle 48 x 30 mm\n +at: \[34 mm, 26 mm\]", page)


def test_a_place_typed_in_inch_is_kept_as_typed_and_drawn_where_it_says(panel, saltmarsh):
    page = panel()
    page.get_by_label("Item").select_option("opening:screen")
    field = page.locator("#panel-form").get_by_label("at right")
    assert "1.339 in" in field.get_attribute("title")
    field.fill("1 1/4 in")
    field.press("Enter")
    wait_for_text(saltmarsh, r"at: \[1 1/4 in, 26 mm\]", page)
    # 1 1/4 in is 31.75 mm: the left edge of 48 mm stands at 7.75 mm
    page.locator('#panel-stage [data-id="opening:screen"] .line[d^="M7.75 "]').wait_for()


def test_a_field_that_is_refused_says_why_and_keeps_what_was_typed(panel, saltmarsh):
    page = panel()
    before = saltmarsh.read_text()
    page.get_by_label("Item").select_option("box:screen box")
    field = page.locator("#panel-form").get_by_label("depth")
    field.fill("900 mm")
    field.press("Enter")
    page.locator("#panel-form .refused .refusal", has_text="500 mm").wait_for()
    assert field.input_value() == "900 mm"
    assert saltmarsh.read_text() == before


def test_a_face_of_a_box_is_finished_in_its_form(panel, saltmarsh):
    page = panel()
    cell = page.locator("#panel-figures tr", has_text="screen").locator("td").nth(0)
    before = cell.text_content()
    page.get_by_label("Item").select_option("box:screen box")
    field = page.locator("#panel-form").get_by_label("back finish")
    field.fill("matt black paint")
    field.press("Enter")
    wait_for_text(saltmarsh, r"faces:\s+\{?back: matt black paint", page)
    expect(cell).not_to_have_text(before)
    assert float(cell.text_content().split()[0]) < 0.8 * float(before.split()[0])


def test_an_led_is_tilted_in_the_form_and_shows_where_it_leans(panel, saltmarsh):
    page = panel()
    page.get_by_label("Item").select_option("LED:W1")
    field = page.locator("#panel-form").get_by_label("tilt")
    field.fill("30 deg")
    field.press("Enter")
    wait_for_text(saltmarsh, r"tilt: 30 deg, towards: 0 deg", page)
    page.locator('#panel-stage [data-id="LED:W1"] .lean').wait_for()
    towards = page.locator("#panel-form").get_by_label("towards")
    expect(towards).to_have_value("0 deg")
    towards.fill("90 deg")
    towards.press("Enter")
    wait_for_text(saltmarsh, r"tilt: 30 deg, towards: 90 deg", page)
    expect(towards).to_have_attribute("data-was", "90 deg")
    planned(page)
    before = figure(page)
    drag(page, "LED:W1", by_px=(60, -80))
    until(page, lambda: figure(page) != before)
    page.keyboard.press("Escape")
    page.mouse.up()
    page.keyboard.up("Alt")
    page.get_by_label("Item").select_option("LED:W1")
    field = page.locator("#panel-form").get_by_label("tilt")
    expect(field).to_have_value("30 deg")
    field.fill("")
    field.press("Enter")
    until(page, lambda: "towards" not in saltmarsh.read_text())
    assert "tilt:" not in saltmarsh.read_text()
    assert "towards:" not in saltmarsh.read_text()


def test_layers_are_added_ordered_and_taken_away_in_place(panel, saltmarsh):
    page = panel()
    page.get_by_label("Item").select_option("opening:screen")
    page.locator("#panel-form").get_by_label("Add one").fill("amber gel")
    page.locator("#panel-form").get_by_label("Add one").press("Tab")
    wait_for_text(saltmarsh, r"layers: \[opal film 60, \{film: print film.*\}, amber gel\]", page)
    page.get_by_role("button", name="Nearer to the lamp: amber gel").click()
    wait_for_text(saltmarsh, r"layers: \[opal film 60, amber gel, \{film: print film", page)
    page.get_by_role("button", name="Take away amber gel").click()
    wait_for_text(saltmarsh, r"layers: \[opal film 60, \{film: print film[^]]*\}\]", page)


def test_items_are_drawn_reshaped_and_removed(panel, saltmarsh):
    page = panel()
    page.get_by_role("button", name="round hole").click()
    page.locator("#panel-stage").press("Enter")
    wait_for_text(saltmarsh, r"opening 1: \{shape: round 5 mm, at: \[", page)
    page.locator('#panel-stage [data-id="opening:opening 1"].picked').wait_for()
    page.locator('#panel-stage [data-handle="0"]').focus()
    page.keyboard.press("Shift+ArrowRight")
    wait_for_text(saltmarsh, r"opening 1: \{shape: round 7 mm", page)
    page.get_by_role("button", name="Make points").click()
    wait_for_text(saltmarsh, r"opening 1: \{shape: \{points: ", page)
    page.get_by_role("button", name="Remove", exact=True).click()
    page.locator('#panel-stage [data-id="opening:opening 1"]').wait_for(state="detached")
    assert "opening 1" not in saltmarsh.read_text()


def test_one_change_waits_for_the_one_before(panel, saltmarsh):
    page = panel()
    page.get_by_role("button", name="round hole").click()
    page.locator("#panel-stage").press("Enter")
    wait_for_text(saltmarsh, r"opening 1: \{shape: round 5 mm, at: \[", page)
    page.locator('#panel-stage [data-id="opening:opening 1"].picked').wait_for()
    page.locator("#panel-form input[data-path*='opening 1']").first.wait_for()
    page.route("**/panel/do", lambda route: (page.wait_for_timeout(300), route.continue_()))
    page.locator('#panel-stage [data-handle="0"]').focus()
    page.keyboard.press("Shift+ArrowRight")
    page.get_by_role("button", name="Make points").click()  # within the wait for more nudges
    found = wait_for_text(saltmarsh, r"opening 1: \{shape: \{points: .*", page)
    corners = [float(number) for number in re.findall(r"(-?[\d.]+) mm", found[0].split("at:")[0])]
    assert max(corners) - min(corners) == pytest.approx(7.0)  # nudged before it was made points
    expect(page.locator("#said")).to_be_empty()


def test_an_answer_that_comes_late_is_not_drawn_over_a_later_one(panel):
    page = panel()
    asked, answered = [], []

    def late_first(route):
        asked.append(route)
        answer = route.fetch()
        if len(asked) == 1:
            until(page, lambda: answered)
        answered.append(answer.json()["planned"])
        route.fulfill(response=answer)

    page.route("**/panel/shown?*", late_first)
    page.get_by_role("button", name="round hole").click()
    page.locator("#panel-stage").press("Enter")
    until(page, lambda: len(answered) > 1)
    assert answered[:2] == [True, False]  # the second was asked for before there was a plan
    page.locator('#panel-stage [data-id="opening:opening 1"].picked').wait_for()
    expect(page.locator("#panel")).to_have_attribute("data-state", "planned")


def test_a_field_left_while_it_is_being_sent_is_sent_once(panel, saltmarsh):
    page = panel()
    page.get_by_label("Item").select_option("box:screen box")
    depth = page.locator("#panel-form").get_by_label("depth", exact=True)
    sent = []
    page.on("request", lambda one: one.url.endswith("/edit") and sent.append(one.post_data_json))
    page.route("**/edit", lambda route: (page.wait_for_timeout(300), route.continue_()))
    depth.fill("17 mm")
    depth.press("Enter")
    depth.press("Tab")
    wait_for_text(saltmarsh, r"depth: 17 mm", page)
    expect(page.locator("#undo")).to_have_attribute("title", "depth: 17 mm")
    depth.fill("18 mm")  # sent after all that came before
    depth.press("Enter")
    wait_for_text(saltmarsh, r"depth: 18 mm", page)
    assert [one["edits"][0]["value"] for one in sent] == ["17 mm", "18 mm"]
    assert page.locator("#conflict[open]").count() == 0


def test_items_nudged_one_upon_the_other_are_both_moved_and_taken_back(panel, saltmarsh):
    page = panel()
    before = saltmarsh.read_text()
    for item in ("opening:screen", "box:screen box"):
        page.get_by_label("Item").select_option(item)
        page.locator(f'#panel-stage [data-id="{item}"]').focus()
        page.keyboard.press("ArrowUp")
    wait_for_text(saltmarsh, r"(?s)at: \[34 mm, 26.1 mm\].*at: \[34 mm, 26.1 mm\]", page)
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Control+z")  # what was just nudged, though it was not yet in the file
    page.keyboard.press("Control+z")
    page.keyboard.press("Control+z")
    until(page, lambda: saltmarsh.read_text() == before)


def test_a_pillar_is_drawn_dragged_with_its_light_and_typed(panel, saltmarsh):
    text = saltmarsh.read_text()
    post = "pillars: {post: {shape: round 3 mm, at: [20 mm, 9 mm]}}"
    saltmarsh.write_text(
        text.replace(
            "            seams: taped\n", f"            seams: taped\n            {post}\n", 1
        )
    )
    page = panel()
    before = pixels(page)
    drag(page, "pillar:post", by_px=(40, 0))
    until(page, lambda: pixels(page) != before)
    page.mouse.up()
    page.keyboard.up("Alt")
    wait_for_text(saltmarsh, r"post: \{shape: round 3 mm, at: \[2[1-9][0-9.]* mm, 9 mm\]\}", page)
    page.get_by_role("button", name="pillar", exact=True).click()
    page.locator("#panel-stage").press("Enter")
    wait_for_text(saltmarsh, r"pillar 1: \{shape: round 4 mm, at: \[", page)
    page.locator('#panel-stage [data-id="pillar:pillar 1"].picked').wait_for()
    page.locator("#panel-form input[data-path*='pillar 1']").first.wait_for()
    field = page.locator("#panel-form").get_by_label("finish", exact=True)
    field.fill("matt black paint")
    field.press("Enter")
    wait_for_text(saltmarsh, r"pillar 1: \{.*finish: matt black paint", page)


def test_ways_to_light_a_box_are_compared_and_one_is_applied_and_taken_back(panel, saltmarsh):
    page = panel("instrument wall", "wall")
    before = saltmarsh.read_text()
    page.locator("#panel-side").get_by_label("Light box").select_option("tide box")
    page.get_by_role("button", name="Find ways").click()
    ways = page.locator("#panel-choices .way")
    ways.last.wait_for()
    drawn, *others = ways.all_text_contents()
    assert "To buy" not in drawn
    assert others
    assert all("To buy" in one for one in others)
    page.get_by_role("button", name="Apply 1").click()
    page.locator("#panel-choices").wait_for(state="hidden")
    wait_for_text(saltmarsh, "# suggested:", page)
    page.get_by_role("button", name="Undo").click()
    until(page, lambda: saltmarsh.read_text() == before)


def test_the_room_light_washes_the_glow_out(panel):
    page = panel()
    slider = page.get_by_label("Room light")
    slider.fill("0")
    washed = page.locator("#panel-figures td").last
    expect(washed).to_have_text("0 %")
    dark = pixels(page)
    slider.fill("100")
    expect(washed).to_have_text(re.compile(r"^([5-9]\d|100) %$"))
    until(page, lambda: pixels(page) != dark)


def test_the_drawings_are_those_of_the_pack(panel, saltmarsh):
    from lamphouse.drawings.face import panel_sheets
    from lamphouse.outputs.glow_views import maps_of, section_of
    from lamphouse.outputs.svg import render
    from lamphouse.plan import make
    from lamphouse.plan.pictured import pictured
    from lamphouse.project.read import read_project

    page = panel()
    reading = read_project(saltmarsh)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    shown = json.loads(
        page.evaluate(
            """async () => (await fetch(document.location.pathname
            + "/shown" + document.location.search)).text()"""
        )
    )
    piece = next(one for one in plan.panels if one.name == "chart table / top")
    assert shown["ground"]["svg"] == render(panel_sheets(piece)[0].drawing)
    lit = pictured(next(one for one in plan.glows if one.box == "screen box"))
    panel_ = plan.design.sub_assemblies[0].panels[0]
    side = page.evaluate(
        """async () => (await fetch(document.location.pathname
        + "/side" + document.location.search)).text()"""
    )
    for drawing in (section_of(plan, lit, panel=panel_), *maps_of(lit)):
        whole = render(drawing)
        bare = re.sub(r'<g id="[a-z]+" ', "<g ", whole[whole.index("<svg") :])
        assert bare in side


def test_lit_beside_unlit_and_artwork_beside_print_are_shown_when_looked_at(panel):
    page = panel()
    for which in ("colours", "artwork"):
        picture = page.locator(f'#panel-side img[data-src*="which={which}"]').first
        picture.scroll_into_view_if_needed()
        expect(picture).to_have_attribute("src", re.compile("picture"))
        wide = "at => at.naturalWidth > at.naturalHeight && at.naturalHeight > 20"
        until(page, partial(picture.evaluate, wide))  # two pictures beside one another


def test_the_button_of_a_mend_makes_it_and_the_finding_goes(serve, browse, saltmarsh):
    text = saltmarsh.read_text()
    saltmarsh.write_text(text.replace("depth: 15 mm", "depth: 8 mm"))
    page = browse(serve(saltmarsh).entry)
    origin, project = page.url.split("/p/")[0], page.url.split("/p/")[1].split("/")[0]
    page.goto(f"{origin}/p/{project}/panel?sub=instrument wall&panel=wall")
    finding = page.locator('#panel-side .finding[data-code^="LIT01"]')
    finding.get_by_role("button", name="Do it").click()
    finding.wait_for(state="detached")
    assert "depth: 8 mm" not in saltmarsh.read_text() or "inner_diffuser" in saltmarsh.read_text()
    page.get_by_role("button", name="Undo").click()
    finding.wait_for()


@pytest.mark.parametrize("lux", ["0", "300"])
def test_an_item_in_hand_is_open_to_everybody_in_both_lights(panel, lux):
    """By axe-core, the rules of WCAG 2.2 AA that a program can check."""
    if not AXE.is_file():
        pytest.skip("axe-core is not installed")
    page = panel("instrument wall", "wall")
    page.evaluate("lux => localStorage.setItem('room light', lux)", lux)
    page.reload()
    page.locator('#panel[data-state="planned"][data-field]').wait_for()
    page.get_by_label("Item").select_option("opening:tide board")
    page.locator("#panel-form .list").wait_for()
    page.evaluate(AXE.read_text())
    levels = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    found = page.evaluate("levels => axe.run(document, {runOnly: levels})", levels)
    assert found["passes"]  # it looked at something
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
