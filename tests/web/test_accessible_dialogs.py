"""What opens over the views, and what is seen once, by the checker of the views [WCAG22]."""

import re

import pytest
from playwright.sync_api import expect

from web.test_accessible import axe, in_light, violations  # noqa: F401  # axe is a fixture

pytestmark = pytest.mark.slow
LIGHTS = (300, 1)


def test_the_first_screen_and_a_demo_that_leads(serve, browse, axe):  # noqa: F811
    server = serve()
    page = browse(server.entry, bypass_csp=True)
    page.get_by_role("button", name="Look around").click()
    page.locator("#folders *").first.wait_for()
    wrong = {"looking around": violations(page, axe)}
    page.get_by_role("button", name="Saltmarsh").click()
    page.wait_for_url("**/table")
    for lux in LIGHTS:
        in_light(page, lux)
        page.locator(".tour li.here").wait_for()
        wrong[f"tour at {lux} lx"] = violations(page, axe)
    assert not {view: told for view, told in wrong.items() if told}


def test_dialogs(serve, browse, saltmarsh, axe):  # noqa: F811
    server = serve(saltmarsh)
    page = browse(server.entry, bypass_csp=True)
    ground = page.url.removesuffix("/table")
    wrong = {}
    for lux in LIGHTS:
        in_light(page, lux, f"{ground}/panel/instrument wall/wall")
        page.locator('#panel[data-state="planned"][data-field]').wait_for()
        for name in ("conflict", "panel-row"):
            page.evaluate(f"document.getElementById('{name}').showModal()")
            expect(page.locator(f"#{name}")).to_be_visible()
            wrong[f"{name} at {lux} lx"] = violations(page, axe)
            page.keyboard.press("Escape")
            expect(page.locator(f"#{name}")).to_be_hidden()
        page.get_by_role("button", name="Find ways").click()
        page.locator("#panel-choices[open] button").first.wait_for(timeout=120_000)
        wrong[f"ways at {lux} lx"] = violations(page, axe)
    assert not {view: told for view, told in wrong.items() if told}


def test_what_opens_on_the_steps(serve, browse, saltmarsh, axe):  # noqa: F811
    server = serve(saltmarsh)
    page = browse(server.entry, bypass_csp=True)
    ground = page.url.removesuffix("/table")
    wrong = {}
    for lux in LIGHTS:
        for show in ("chart", "wishes"):
            in_light(page, lux, f"{ground}/steps?show={show}")
            wrong[f"{show} at {lux} lx"] = violations(page, axe)
        in_light(page, lux, f"{ground}/steps?tonight=2+h")
        page.locator("#view a[href*='step=']").first.click()
        page.locator("#view .card").first.wait_for()
        wrong[f"a step at {lux} lx"] = violations(page, axe)
    assert not {view: told for view, told in wrong.items() if told}


def test_a_phone_before_and_after_it_is_paired(serve, browse, saltmarsh, axe):  # noqa: F811
    server = serve(saltmarsh, "--network")
    owner = browse(server.entry, bypass_csp=True)
    owner.goto(owner.url.replace("/table", "/bench"))
    owner.get_by_text("Pair a phone").click()
    owner.get_by_role("button", name="Show a code").click()
    code = re.search(r"/pair/(\S+)", owner.locator("#phone-code code").inner_text())[1]
    wrong = {"code": violations(owner, axe)}
    size = {"width": 390, "height": 844, "has_touch": True, "is_mobile": True}
    phone = browse(f"{server.address}/pair/{code}", bypass_csp=True, **size)
    wrong["asked"] = violations(phone, axe)
    phone.get_by_role("button").first.click()
    phone.wait_for_url("**/bench")
    for lux in LIGHTS:
        in_light(phone, lux)
        wrong[f"phone at {lux} lx"] = violations(phone, axe)
    assert not {view: told for view, told in wrong.items() if told}
