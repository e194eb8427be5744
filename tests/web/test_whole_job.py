"""The whole Saltmarsh job in a browser: from an empty folder to a pack, by mouse and by keys."""

import io
import json
import subprocess
import sys
import zipfile

import pytest
from playwright.sync_api import expect

from lamphouse.project.starter import demo_text
from web.waiting import until_so

pytestmark = pytest.mark.slow
WAIT_MS = 120_000
NAMED = (
    "(at => [at.ariaLabel, at.labels?.[0]?.textContent, at.textContent, at.id].filter(Boolean)"
    ".slice(0, 3).map(words => words.trim().replace(/\\s+/g, ' '))"
    ".some(words => words === NAME || words.startsWith(NAME + ': ')))"
)
"""Tells in the page whether what has the focus is called so."""
MISTAKES = ("CIR020", "CUT040", "LIT011", "COL020")
VIEWS = ("Table", "Panel", "Trace", "Circuit", "Blink", "Sheets", "Steps", "Parts", "Bench")


def there(page):
    page.wait_for_load_state("load")
    page.locator("#view > :not(.waiting)").first.wait_for(state="attached", timeout=WAIT_MS)


def lead(page, link):
    """Follow a link to another view, and wait for it."""
    with page.expect_navigation():
        link.click()
    there(page)


def mended(page, count):
    """Wait until the table's tour tells so many mended."""
    expect(page.locator(".tour li.past")).to_have_count(count, timeout=WAIT_MS)


def counts_are_none(page):
    for severity in ("stop", "warn"):
        expect(page.locator(f"[data-count={severity}]")).to_have_text("0", timeout=WAIT_MS)


def brightest(page, canvas):
    """Give the largest of the values of a picture's colours."""
    return page.evaluate(
        "name => { const c = document.querySelector(name);"
        "const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;"
        "return d.reduce((most, value, at) => at % 4 === 3 ? most : Math.max(most, value), 0); }",
        canvas,
    )


def by_command(folder):
    """Make the pack of a project by the command line; give its PDF."""
    code = "from lamphouse.cli.main import run; run()"
    words = ["pack", str(folder / "project.yaml"), "--into", str(folder / "other")]
    subprocess.run([sys.executable, "-c", code, *words], check=True, capture_output=True)
    return (folder / "other" / "pack.pdf").read_bytes()


def held_by(download):
    with zipfile.ZipFile(io.BytesIO(download.path().read_bytes())) as held:
        return {name.rpartition("/")[2]: held.read(name) for name in held.namelist()}


def test_from_an_empty_folder_to_a_pack_by_mouse(serve, browse, tmp_path):
    page = browse(serve().entry)
    page.get_by_role("button", name="Saltmarsh").click()
    page.wait_for_url("**/table")
    there(page)
    for number, code in enumerate(MISTAKES):
        mended(page, number)
        lead(page, page.locator(".tour li.here a"))
        page.get_by_role("button", name=f"Do it: {code}").first.click()
        expect(page.locator(f".finding[data-code={code}]")).to_have_count(0, timeout=WAIT_MS)
        lead(page, page.get_by_role("link", name="Table", exact=True))
    mended(page, len(MISTAKES))
    counts_are_none(page)

    page.get_by_label("Room light").fill("0")
    assert page.evaluate("document.documentElement.dataset.light") == "dark"
    lead(page, page.get_by_role("link", name="instrument wall", exact=True))
    display = page.locator("#panel-figures tr", has_text="plotting display")
    expect(display).to_contain_text("%")
    page.locator("#panel[data-state=planned][data-field]").wait_for()
    assert brightest(page, "#panel-seen") > 100  # it shines in the dark

    lead(page, page.get_by_role("link", name="Table", exact=True))
    page.get_by_role("button", name="Make the pack").click()
    link = page.get_by_role("link", name="all files")
    link.wait_for(timeout=WAIT_MS)
    with page.expect_download() as taken:
        link.click()
    held = held_by(taken.value)
    assert held["pack.pdf"] == by_command(tmp_path / "saltmarsh")
    assert held["pack.pdf"].startswith(b"%PDF-")


@pytest.fixture
def keys(browse):
    """Open a page that is left to the keyboard alone."""

    class Keys:
        def __init__(self, address):
            self.page = browse(address)
            self.press = self.page.keyboard.press

        def to(self, name, *, most=400):
            """Go to what has a name, by Tab only, once it is there."""
            named = NAMED.replace("NAME", json.dumps(name))
            until_so(self.page, f"[...document.querySelectorAll('*')].some({named})")
            for _ in range(most):
                if self.page.evaluate(f"({named})(document.activeElement)"):
                    return self.shown()
                self.press("Tab")
            raise LookupError(name)

        def shown(self):
            """What has the focus is in view, and has a mark of it."""
            until_so(
                self.page,
                "(at => { const box = at.getBoundingClientRect();"
                "return box.bottom > 0 && box.top < innerHeight && at.matches(':focus-visible'); })"
                "(document.activeElement)",
            )

        def go(self, name):
            self.to(name)
            with self.page.expect_navigation():
                self.press("Enter")
            there(self.page)

    return Keys


def test_from_an_empty_folder_to_a_pack_by_keys_alone(serve, keys, tmp_path):
    by = keys(serve().entry)
    page = by.page
    by.to("Saltmarsh")
    by.press("Enter")
    page.wait_for_url("**/table")
    there(page)

    by.go("See it in Circuit: Four whites in series on 12 V")
    by.to("Do it: CIR020 at chart table / S1")
    by.press("Enter")
    expect(page.locator(".finding[data-code=CIR020]")).to_have_count(0)
    by.go("Table")

    by.go("See it in Panel: Holes copied from one bent layer to the next")
    by.to("Do it: CUT040 at bay / glazing / layer 2")
    by.press("Enter")
    expect(page.locator(".finding[data-code=CUT040]")).to_have_count(0)
    by.go("Table")

    by.go("See it in Panel: A light box too shallow for its LEDs")
    page.locator("#panel[data-state=planned][data-field]").wait_for()
    page.locator("#panel-side .finding[data-code=LIT011]").wait_for()
    while page.evaluate("document.activeElement.id") != "panel-stage":
        by.press("Tab")
    for _ in range(40):
        by.press("PageDown")
        if "plotting box" in page.locator("#panel-item option:checked").inner_text():
            break
    page.locator("#panel-form").get_by_label("depth", exact=True).wait_for()
    by.press("Enter")
    by.to("depth")
    by.press("Control+A")
    page.keyboard.type("15 mm")
    by.press("Enter")
    expect(page.locator("#panel-side .finding[data-code=LIT011]")).to_have_count(0)
    by.go("Table")

    by.go("See it in Panel: One film where the chart needs two")
    by.to("Do it: COL020 at chart table / top / screen")
    by.press("Enter")
    expect(page.locator("#panel-side .finding[data-code=COL020]")).to_have_count(0)
    by.go("Table")
    mended(page, len(MISTAKES))
    counts_are_none(page)

    by.to("Room light")
    by.press("Home")
    assert page.evaluate("document.documentElement.dataset.light") == "dark"

    by.to("Make the pack")
    by.press("Enter")
    page.get_by_role("link", name="all files").wait_for(timeout=WAIT_MS)
    by.to("all files (ZIP)")
    with page.expect_download() as taken:
        by.press("Enter")
    held = held_by(taken.value)
    assert held["pack.pdf"].startswith(b"%PDF-")
    mine = (tmp_path / "saltmarsh" / "project.yaml").read_text()
    theirs = demo_text("saltmarsh", "mended.yaml")
    for key in ("depth: 15 mm", "films: 2"):
        assert key in mine
        assert key in theirs
    assert "holes_from" not in mine


def test_the_views_on_a_phone(serve, browse, tmp_path):
    page = browse(serve().entry, width=390, height=844, has_touch=True, is_mobile=True)
    page.get_by_role("button", name="Saltmarsh").tap()
    page.wait_for_url("**/table")
    there(page)
    wide = {}
    for view in VIEWS:
        with page.expect_navigation():
            page.get_by_role("navigation", name="Views").get_by_role("link", name=view).tap()
        there(page)
        wide[view] = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert {view: told for view, told in wide.items() if told[0] > told[1]} == {}
    with page.expect_navigation():
        page.get_by_role("link", name="Table", exact=True).tap()
    there(page)
    with page.expect_navigation():
        page.locator(".tour li.here a").tap()
    there(page)
    page.get_by_role("button", name="Do it: CIR020").tap()
    expect(page.locator(".finding[data-code=CIR020]")).to_have_count(0)
    assert "S1: {leds" not in (tmp_path / "saltmarsh" / "project.yaml").read_text()
