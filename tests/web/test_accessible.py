"""Every view by an automated checker, in both lights: axe-core, levels A and AA of WCAG 2.2."""

import json
import os
from pathlib import Path

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.slow

AXE = Path(__file__).parent / "js" / "node_modules" / "axe-core" / "axe.min.js"
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
VIEWS = {
    "table": "table",
    "panel": "panel/instrument wall/wall",
    "trace": "trace",
    "circuit": "circuit?sub=chart+table",
    "loom": "circuit?show=loom",
    "blink": "blink",
    "sheets": "sheets",
    "templates": "sheets?sub=chart+table",
    "steps": "steps?from=2026-11-27",
    "gate": "steps?from=2026-11-27&step=chart+table%2Ftest+open",
    "chart": "steps?show=chart&from=2026-11-27",
    "wishes": "steps?show=wishes",
    "parts": "parts",
    "bench": "bench",
}

LIGHTS_LX = {1440: (300, 1), 390: (1,)}
"""By width of the page; a phone's colours are those of the wide page."""


@pytest.fixture(scope="module")
def axe():
    if not AXE.exists():
        reason = "the checker is not installed; `make scripts` does it"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return AXE.read_text()


def violations(page, axe):
    page.evaluate(axe)
    options = json.dumps({"runOnly": {"type": "tag", "values": LEVELS}})
    found = page.evaluate(f"axe.run(document, {options})")
    assert found["passes"]  # it looked at something
    return [
        f"{one['id']}: {node['target']} {node['failureSummary'][:300]}"
        for one in found["violations"]
        for node in one["nodes"][:4]
    ]


def in_light(page, lux, path=""):
    page.evaluate(f"localStorage.setItem('room light', '{lux}')")
    page.goto(path or page.url)
    page.locator("#view .waiting").wait_for(state="detached")
    expect(page.locator("#panel:not([data-state=planned][data-field])")).to_have_count(0)
    expect(page.locator(".htmx-request")).to_have_count(0)


@pytest.mark.parametrize("width", LIGHTS_LX)
def test_every_view_in_both_lights(serve, browse, saltmarsh, axe, width):
    server = serve(saltmarsh)
    page = browse(server.entry, width=width, height=844, bypass_csp=True)
    ground = page.url.removesuffix("/table")
    wrong = {}
    for lux in LIGHTS_LX[width]:
        in_light(page, lux, server.address + "/")
        wrong[f"start at {lux} lx"] = violations(page, axe)
        for name, path in VIEWS.items():
            in_light(page, lux, f"{ground}/{path}")
            wrong[f"{name} at {lux} lx"] = violations(page, axe)
        page.get_by_role("button", name="findings").click()
        expect(page.locator("#side .finding").first).to_be_visible()
        wrong[f"findings at {lux} lx"] = violations(page, axe)
    assert not {view: told for view, told in wrong.items() if told}


def test_reduced_motion_is_honoured(serve, browse, saltmarsh):
    page = browse(serve(saltmarsh).entry, reduced_motion="reduce")
    page.locator("#view .waiting").wait_for(state="detached")
    moving = page.evaluate(
        "[...document.querySelectorAll('*')].filter(e => {"
        "const s = getComputedStyle(e);"
        "return parseFloat(s.transitionDuration) > 0 || parseFloat(s.animationDuration) > 0"
        "}).length"
    )
    assert moving == 0
