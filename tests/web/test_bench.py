"""The bench on a phone: pairing, flags, steps, readings, faults, and the network going away."""

import re

import pytest
from playwright.sync_api import expect

from lamphouse.storage.bench_log import log_path, photo_folder, read_log

pytestmark = pytest.mark.slow
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def phone(serve, browse, saltmarsh):
    """Pair a phone with the served Saltmarsh, and give its page."""
    server = serve(saltmarsh, "--network")
    owner = browse(server.entry.replace("/table", "/bench"))
    owner.get_by_text("Pair a phone").click()
    owner.get_by_role("button", name="Show a code").click()
    code = re.search(r"/pair/(\S+)", owner.locator("#phone-code code").inner_text())[1]
    page = browse(f"{server.address}/pair/{code}", **PHONE, has_touch=True, is_mobile=True)
    page.get_by_role("button", name="Pair").tap()
    expect(page.locator("#sync")).to_have_text("all sent")
    expect(page.locator("#read-where option").first).to_be_attached()
    page.wait_for_load_state("networkidle")  # what is not fetched whole the phone does not keep
    return page


def entries(project):
    return [(one.kind, one.item, one.name, one.value) for one in read_log(log_path(project))]


def test_a_flag_is_found_and_said_what_it_is(phone):
    phone.get_by_label("Flag or name").fill("r12")
    first = phone.locator("#found .flag").first
    expect(first.locator("h2")).to_have_text("R12")
    expect(first).to_contain_text("console")
    expect(first).to_contain_text("drill")


def test_what_is_logged_without_the_network_is_sent_when_it_is_back(phone, saltmarsh):
    phone.get_by_role("tab", name="Next").tap()
    expect(phone.locator("#next .best").first).to_be_visible()  # its order stands
    title = phone.locator("#next .step h2").first.inner_text()
    phone.context.set_offline(True)
    phone.locator("#next [data-done]").first.tap()
    expect(phone.locator("#sync")).to_have_text("no network, 1 not sent yet")
    expect(phone.locator("#next .last")).to_contain_text(title)
    assert entries(saltmarsh) == []
    phone.context.set_offline(False)
    expect(phone.locator("#sync")).to_have_text("all sent")
    assert [one[0] for one in entries(saltmarsh)] == ["step"]
    phone.get_by_role("button", name="Not done after all").tap()
    expect(phone.locator("#next .step h2").first).to_have_text(title)


def test_what_is_logged_survives_a_reload_without_the_network_noticed(phone, saltmarsh):
    phone.context.set_offline(True)
    phone.get_by_role("tab", name="Log").tap()
    phone.get_by_label("Note").fill("second coat is thin")
    phone.get_by_role("button", name="Log it").tap()
    phone.context.set_offline(False)
    phone.reload()
    expect(phone.locator("#sync")).to_have_text("all sent")
    assert [one.text for one in read_log(log_path(saltmarsh))] == ["second coat is thin"]


def test_the_bench_opens_again_without_the_network(phone, saltmarsh):
    address = phone.url
    phone.context.set_offline(True)
    phone.goto("about:blank")  # as when the phone has thrown the page out of its memory
    phone.goto(address)
    phone.get_by_label("Flag or name").fill("r12")
    expect(phone.locator("#found .flag h2").first).to_have_text("R12")
    phone.get_by_role("tab", name="Log").tap()
    phone.get_by_label("Note").fill("noted in the cellar")
    phone.get_by_role("button", name="Log it").tap()
    expect(phone.locator("#sync")).to_have_text("no network, 1 not sent yet")
    phone.context.set_offline(False)
    expect(phone.locator("#sync")).to_have_text("all sent")
    assert [one.text for one in read_log(log_path(saltmarsh))] == ["noted in the cellar"]


def test_a_photograph_taken_without_the_network_is_sent_when_it_is_back(phone, saltmarsh, tmp_path):
    from PIL import Image

    picture = tmp_path / "back of the wall.jpg"
    Image.new("RGB", (64, 48), (90, 60, 30)).save(picture)
    address = phone.url
    phone.context.set_offline(True)
    phone.get_by_role("tab", name="Log").tap()
    phone.get_by_label("Photograph").set_input_files(picture)
    phone.get_by_role("button", name="Keep it").tap()
    expect(phone.locator("#sync")).to_have_text("no network, 1 not sent yet")
    phone.goto("about:blank")
    phone.goto(address)
    expect(phone.locator("#sync")).to_have_text("no network, 1 not sent yet")
    phone.context.set_offline(False)
    expect(phone.locator("#sync")).to_have_text("all sent")
    (entry,) = read_log(log_path(saltmarsh))
    assert entry.kind == "photo"
    assert (photo_folder(saltmarsh) / entry.attachment).read_bytes() == picture.read_bytes()


def test_an_older_page_that_a_phone_keeps_gives_way(phone):
    phone.evaluate("document.body.dataset.page = '/static/v-0'")
    with phone.expect_event("load"):
        phone.evaluate("document.dispatchEvent(new CustomEvent('viewstale'))")
    assert phone.evaluate("document.body.dataset.page") != "/static/v-0"
    expect(phone.locator("#sync")).to_have_text("all sent")


def test_a_phone_that_is_not_known_any_more_is_told_and_loses_nothing(phone, saltmarsh):
    phone.context.clear_cookies()  # as after a start of the program, which knows new keys only
    phone.get_by_role("tab", name="Log").tap()
    phone.get_by_label("Note").fill("still here")
    phone.get_by_role("button", name="Log it").tap()
    expect(phone.locator("#bench-said")).to_contain_text("Pair this phone again")
    expect(phone.locator("#sync")).to_have_text("1 not sent yet")
    assert entries(saltmarsh) == []


def test_a_reading_is_logged_and_judged(phone, saltmarsh):
    phone.get_by_role("tab", name="Read").tap()
    phone.get_by_label("Sub-assembly").first.select_option("chart table")
    phone.get_by_label("When").select_option("open")
    row = phone.locator("#read-rows .reading", has=phone.locator("[data-read=plug]"))
    row.locator("input").fill("0 mA")
    row.get_by_role("button", name="Log").tap()
    expect(row.locator(".verdict")).to_contain_text("too low")
    assert entries(saltmarsh) == [("reading", "chart table", "plug", "0 mA")]


def test_the_fault_finder_answers(phone):
    phone.get_by_role("tab", name="Fault").tap()
    phone.locator("#fault-where").select_option("chart table")
    phone.get_by_label("What it reads").fill("plug=0mA")
    phone.get_by_role("button", name="What is wrong?").tap()
    expect(phone.locator("#fault-told")).to_contain_text("%")
    expect(phone.locator("#fault-told")).to_contain_text("Read next")


def test_a_photograph_is_kept_beside_the_log(phone, saltmarsh):
    phone.get_by_role("tab", name="Log").tap()
    picture = saltmarsh.parent / "pictures" / "clock-bezel.jpg"
    phone.get_by_label("Photograph").set_input_files(str(picture))
    phone.get_by_role("button", name="Keep it").tap()
    expect(phone.locator("#bench-said")).to_have_text("Kept.")
    (entry,) = read_log(log_path(saltmarsh))
    kept = saltmarsh.with_name("mended.log") / entry.attachment
    assert kept.read_bytes() == picture.read_bytes()
    assert entry.device == "phone 1"


def test_a_phone_reaches_nothing_but_its_bench(phone):
    table = phone.url.replace("/bench", "/table")
    assert phone.request.get(table).status == 403
    assert phone.request.get(phone.url).status == 200
