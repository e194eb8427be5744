"""Outlines from pictures in a browser: taken in, traced, nudged, taken into a panel, undone."""

import re

import pytest
from playwright.sync_api import expect

from lamphouse.project.starter import demo_pictures
from web.test_accessible import axe, in_light, violations  # noqa: F401  # axe is a fixture
from web.waiting import until

pytest.importorskip("cv2")
pytestmark = pytest.mark.slow

BELL = "bell-plate.jpg"


@pytest.fixture
def view(serve, browse, saltmarsh):
    server = serve(saltmarsh)

    def opened(**options):
        page = browse(server.entry, **options)
        page.goto(page.url.rpartition("/")[0] + "/trace?panel=instrument%20wall%20/%20bell%20plate")
        page.locator("#trace").wait_for()
        return page

    return opened


def trace_scan(page):
    page.get_by_label("a flatbed scan").check()
    page.get_by_label("resolution, dpi").fill("600")
    page.get_by_role("button", name="Trace", exact=True).click()
    page.locator("#trace-found").wait_for()


def first_corner(page):
    return page.locator(".spot[data-spot='0/0']")


def moved_mm(page):
    found = re.search(r"at most ([\d.]+) mm; now", page.locator("#trace-nudges").inner_text())
    return float(found.group(1)) if found else 0.0


def test_a_picture_is_taken_in_traced_dragged_taken_and_undone(view, saltmarsh, tmp_path):
    scan = tmp_path / "Käte's scan (2).jpg"
    scan.write_bytes(demo_pictures("saltmarsh")[f"pictures/{BELL}"] + b"\0")
    wrong = tmp_path / "notes.jpg"
    wrong.write_text("no picture")
    page = view()
    before = saltmarsh.read_text()
    page.locator("#trace-file").set_input_files([scan, wrong])
    page.locator("#trace-taken", has_text="1 picture taken in").wait_for()
    expect(page.locator("fieldset.pictures .refusal")).to_contain_text("notes.jpg")
    kept = page.locator("#trace-pictures input:checked").get_attribute("value")
    assert (saltmarsh.parent / "pictures" / kept).read_bytes() == scan.read_bytes()
    trace_scan(page)
    expect(page.locator("#trace-figures")).to_contain_text("0.07 mm")
    # what 30 pixels of the screen are in mm of the part at 600 dpi
    wide = page.evaluate("document.getElementById('trace-stage').getScreenCTM().a")
    spot = first_corner(page).locator(".dot").bounding_box()
    x, y = spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 15, y, steps=3)
    page.mouse.move(x + 30, y, steps=3)
    page.mouse.up()
    until(page, lambda: moved_mm(page) == pytest.approx(30 / wide * 25.4 / 600, abs=0.02))
    by = moved_mm(page)
    page.get_by_role("button", name="Take it into the panel").click()
    page.locator("#trace-written a").wait_for()
    assert f"by at most {by:.2f} mm" in saltmarsh.read_text()
    page.get_by_role("button", name="Undo").click()
    until(page, lambda: saltmarsh.read_text() == before)


def test_by_keys_alone(view, saltmarsh):
    page = view()
    page.locator(f"input[value='{BELL}']").focus()
    page.keyboard.press("Space")
    page.get_by_label("a flatbed scan").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.type("600")
    page.keyboard.press("Enter")
    page.locator("#trace-found").wait_for()
    page.locator("#trace-stage").focus()
    page.keyboard.press("PageDown")
    page.keyboard.press("Shift+ArrowRight")
    for _ in range(5):
        page.keyboard.press("ArrowLeft")
    until(page, lambda: moved_mm(page) == pytest.approx(0.5))
    expect(first_corner(page)).to_be_focused()
    page.keyboard.press("Backspace")
    expect(page.locator("#trace-nudges")).to_be_empty()
    page.keyboard.press("PageUp")  # round to the last hole
    page.keyboard.press("ArrowUp")
    until(page, lambda: moved_mm(page) == pytest.approx(0.1))
    page.reload()
    until(page, lambda: moved_mm(page) == pytest.approx(0.1))
    expect(page.get_by_label("a flatbed scan")).to_be_checked()
    take = page.get_by_role("button", name="Take it into the panel")
    take.focus()
    page.keyboard.press("Enter")
    page.locator("#trace-written a").wait_for()
    assert "nudged: 0.1 mm" in saltmarsh.read_text()


def test_what_is_typed_while_a_tracing_is_on_its_way_stays(view):
    page, held = view(), []
    page.route("**/trace/found?*", lambda route: held.append(route))
    page.locator(f"input[value='{BELL}']").check()
    page.get_by_label("a flatbed scan").check()
    dpi = page.get_by_label("resolution, dpi")
    dpi.fill("600")
    with page.expect_request("**/trace/found?*"):
        page.get_by_role("button", name="Trace", exact=True).click()
    dpi.fill("1200")  # for the next one
    held[0].continue_()
    page.locator("#trace-found").wait_for()
    expect(dpi).to_have_value("1200")
    page.unroute("**/trace/found?*")
    page.reload()
    page.locator("#trace-found").wait_for()
    expect(dpi).to_have_value("600")  # as it was asked for


def test_marks_are_put_onto_a_ruler(view):
    page = view()
    page.locator(f"input[value='{BELL}']").check()
    page.get_by_label("two marks of a ruler").check()
    page.get_by_role("button", name="Put the marks").click()
    page.locator("#trace.filled").wait_for()
    stage = page.locator("#trace-stage")
    box = stage.bounding_box()
    for off in (-150, 150):
        stage.click(position={"x": box["width"] / 2 + off, "y": box["height"] / 2})
    page.locator("#trace-marked", has_text="two marks").wait_for()
    page.get_by_label("how far apart they are").fill("soon")
    page.get_by_role("button", name="Trace", exact=True).click()
    page.locator("[data-field=apart].refused").wait_for()
    page.get_by_label("how far apart they are").fill("10 mm")
    page.get_by_role("button", name="Trace", exact=True).click()
    page.locator("#trace-found").wait_for()
    apart = float(re.search(r"(\d+) pixels", page.locator("#trace-marked").inner_text()).group(1))
    wide = float(re.search(r"([\d.]+) x", page.locator("#trace-figures").inner_text()).group(1))
    # the plate is 24 mm wide in a scan at 600 dpi
    assert wide == pytest.approx(24.0 * 600 / 25.4 * 10.0 / apart, rel=0.01)


def test_the_one_question_left_is_answered_by_a_button(view, saltmarsh):
    # taken for 660 dpi, the demo's holes of 1 mm measure 0.91 mm: drills of 0.9 and 0.92 mm fit
    page = view()
    page.locator(f"input[value='{BELL}']").check()
    page.get_by_label("a flatbed scan").check()
    page.get_by_label("resolution, dpi").fill("660")
    page.get_by_role("button", name="Trace", exact=True).click()
    page.locator("#trace-found").wait_for()
    question = page.locator("fieldset.open p").first
    drills = question.locator("button:not([data-drill=''])")
    expect(drills).to_have_count(2)
    name, hole = drills.nth(1).inner_text(), drills.nth(1).get_attribute("data-piece")
    drills.nth(1).click()
    expect(page.locator(f"[data-piece='{hole}'][aria-pressed=true]")).to_have_text(name)
    row = page.locator("table.holes tbody tr").nth(int(hole) - 1)
    expect(row).to_contain_text(f"{name}, chosen")


def test_zoom_keeps_what_is_under_the_pointer_and_handles_stay_large_enough(view):
    page = view(width=390, height=844, has_touch=True)
    page.locator(f"input[value='{BELL}']").check()
    trace_scan(page)
    page.locator("#trace-stage").scroll_into_view_if_needed()
    for _ in range(3):
        hit = first_corner(page).locator(".hit").bounding_box()
        assert min(hit["width"], hit["height"]) >= 23.9  # WCAG 2.2, 2.5.8: 24 px
        page.get_by_role("button", name="Larger").click()
    before = first_corner(page).locator(".dot").bounding_box()
    page.get_by_role("button", name="Whole").click()
    until(page, lambda: first_corner(page).locator(".dot").bounding_box() != before)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_nudges_are_there_after_a_power_cut(serve, browse, saltmarsh):
    server = serve(saltmarsh)
    page = browse(server.entry)
    where = page.url.rpartition("/")[0].removeprefix(server.address) + "/trace"
    page.goto(server.address + where)
    page.locator(f"input[value='{BELL}']").check()
    trace_scan(page)
    page.locator("#trace-stage").focus()
    page.keyboard.press("PageDown")
    page.keyboard.press("Shift+ArrowUp")
    until(page, lambda: moved_mm(page) == pytest.approx(1.0))
    server.kill()
    again = serve(saltmarsh)
    page = browse(again.entry)
    page.goto(again.address + where)
    page.locator("#trace-found").wait_for()
    until(page, lambda: moved_mm(page) == pytest.approx(1.0))


@pytest.mark.parametrize("width", [1440, 390])
def test_a_tracing_is_for_everybody(view, width, axe):  # noqa: F811
    # axe-core, rules of levels A and AA [WCAG22]
    page = view(width=width, height=844, bypass_csp=True)
    page.locator(f"input[value='{BELL}']").check()
    trace_scan(page)
    found = {}
    for lux in (300, 1):
        in_light(page, lux)
        page.locator("#trace-found").wait_for()
        found[lux] = violations(page, axe)
    assert found == {300: [], 1: []}
