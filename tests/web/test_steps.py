"""The steps view without a browser: the command line's answers, the pack's chart, the log."""

import datetime
import json
import re
import subprocess
from html import unescape

import icalendar
import pytest
from click.testing import CliRunner

from lamphouse.cli.main import command
from lamphouse.outputs import contents, pack
from lamphouse.plan import make
from lamphouse.project.read import read_project
from lamphouse.storage.bench_log import BenchLog, log_path
from lamphouse.web.drawn import inline
from lamphouse.web.spread_work import MOST_STEPS
from web.views_client import opened, posted, waited

FROM = "2026-11-27"
"""The first evening of Saltmarsh: what the answers say does not hang on today."""
FIRST = "instrument wall/test LEDs"


@pytest.fixture
def demo(tmp_path):
    from lamphouse.project import starter

    starter.start(tmp_path / "saltmarsh", demo="saltmarsh")
    return tmp_path / "saltmarsh" / "mended.yaml"


@pytest.fixture
def page(demo, tmp_path):
    with opened(demo, state=tmp_path / "state") as one:
        yield one


def printed(*words):
    return json.loads(CliRunner().invoke(command, [*words, "--json"]).stdout)


def log(client, address, *entries):
    sent = [
        {"key": f"key-{number}-{one}", "at": "2026-11-26T20:00:00+00:00", **one}
        for number, one in enumerate(entries)
    ]
    return posted(client, f"{address}/bench/log", {"entries": sent})


def test_the_answer_is_the_command_lines(page, demo):
    client, _, address = page
    log(client, address, {"kind": "step", "item": FIRST})
    for query, words in (
        ("", []),
        (f"?from={FROM}&tonight=2h", ["--from", FROM, "--tonight", "2h"]),
        (f"?from=2026-12-05&why={FIRST}", ["--from", "2026-12-05", "--why", FIRST]),
        ("?done=bay/test%20LEDs", ["--done", "bay/test LEDs"]),
    ):
        assert client.get(f"{address}/answer/steps{query}").json() == printed(
            "steps", str(demo), *words
        )


def test_what_the_address_asks_wrongly_is_told(page):
    client, _, address = page
    for query, status in (
        ("tonight=forty", 400),
        ("tonight=25h", 400),
        ("from=soon", 400),
        ("why=nothing", 404),
        ("done=nothing", 404),
    ):
        assert client.get(f"{address}/answer/steps?{query}").status_code == status
    view = client.get(f"{address}/steps/body?tonight=25h")
    assert "Hours tonight: 25h is no evening" in unescape(view.text)
    many = "&".join(f"done={number}" for number in range(MOST_STEPS + 1))
    assert client.get(f"{address}/answer/steps?{many}").status_code == 400


def test_the_chart_is_the_packs(page, demo):
    client, _, address = page
    reading = read_project(demo)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    document = contents.document(pack.completed(plan))
    charts = [one["svg"] for one in document["pages"] if one["mark"] == "work chart"]
    body = client.get(f"{address}/steps/body?show=chart&from={FROM}").text
    drawn = re.findall(r'<svg role="img".*?</svg>', body, flags=re.DOTALL)
    assert len(drawn) == len(charts) == 1
    bars = re.findall(r'd="([^"]+)"', drawn[0])
    assert bars == re.findall(r'd="([^"]+)"', inline_of(plan, address, client))
    assert all(words in charts[0] for words in re.findall(r"<text [^>]*>([^<]+)</text>", drawn[0]))


def inline_of(plan, address, client):
    """Give the chart as the pack's own order pages hold it."""
    from lamphouse.outputs.order_pages import CHART, order_pages
    from lamphouse.outputs.svg import render
    from lamphouse.plan.ordered import with_order

    (entry,) = [one for one in order_pages(with_order(plan)) if one.mark == CHART]
    return str(inline(render(entry.labels[0].drawing)))


def test_the_calendar_has_an_event_for_every_evening(page):
    client, _, address = page
    answer = client.get(f"{address}/evenings.ics?from={FROM}&tonight=2h")
    assert answer.headers["content-type"].startswith("text/calendar")
    read = icalendar.Calendar.from_ical(answer.content)
    evenings = client.get(f"{address}/answer/steps?from={FROM}&tonight=2h").json()["result"]
    starts = [event["DTSTART"].dt for event in read.walk("VEVENT")]
    assert [one.date().isoformat() for one in starts] == [e["day"] for e in evenings["evenings"]]
    assert starts[0] == datetime.datetime(2026, 11, 27, 19, 30)  # noqa: DTZ001  wall clock


def words_of(pdf, tool):
    command = [tool("pdftotext"), "-layout", "-", "-"]
    return subprocess.run(command, input=pdf, capture_output=True, check=True).stdout.decode()


def test_the_sheets_to_print_follow_what_is_done(page, tool):
    client, _, address = page
    before = client.get(f"{address}/steps.pdf?from={FROM}").content
    assert "22 evenings" in words_of(before, tool)
    steps = client.get(f"{address}/answer/steps").json()["result"]["steps"]
    log(client, address, *({"kind": "step", "item": one["id"]} for one in steps[:150]))
    words = words_of(client.get(f"{address}/steps.pdf?from={FROM}").content, tool)
    assert "22 evenings" not in words
    assert re.search(r"\d+ evenings", words)


def test_a_tick_moves_a_step_to_what_is_done_and_opens_the_next(page):
    client, _, address = page
    where = f"{address}/steps/body?from={FROM}&where=instrument+wall"
    follower = 'data-item="instrument wall/leads"'
    assert follower not in client.get(where).text
    log(client, address, {"kind": "step", "item": FIRST})
    text = client.get(where).text
    assert follower in text
    assert f'data-log="undone" data-item="{FIRST}"' in text
    log(client, address, {"kind": "undone", "item": FIRST, "text": "again"})
    assert follower not in client.get(where).text


def test_a_coat_just_ticked_holds_up_the_next_until_it_is_dry(page, demo):
    client, _, address = page
    steps = client.get(f"{address}/answer/steps").json()["result"]["steps"]
    place = [one["id"] for one in steps].index("backdrop/painted sky/coat 1")
    coat = steps[place]
    log(client, address, *({"kind": "step", "item": one["id"]} for one in steps[: place + 1]))
    ticked = datetime.datetime(2026, 11, 26, 20)  # noqa: DTZ001  as the entries say
    dry = f"{ticked + datetime.timedelta(hours=coat['rest_hours']):%Y-%m-%d %H:%M}"
    text = client.get(f"{address}/steps/body?from={FROM}&where=backdrop").text
    assert f"not dry before {dry}" in text
    asked = ["--from", "2026-11-26", "--tonight", "2h"]
    answered = client.get(f"{address}/answer/steps?from=2026-11-26&tonight=2h").json()
    assert answered == printed("steps", str(demo), *asked)
    found = {one["id"]: one for one in answered["result"]["steps"]}
    assert found[coat["id"]]["dry"] == dry
    waits = {e["after"] for e in answered["result"]["edges"] if e["before"] == coat["id"]}
    assert waits
    assert all(found[name]["day"] > "2026-11-26" for name in waits)


def test_the_list_is_narrowed(page):
    client, _, address = page
    answered = client.get(f"{address}/answer/steps?from={FROM}").json()["result"]
    by_id = {one["id"]: one for one in answered["steps"]}

    def listed(query):
        text = client.get(f"{address}/steps/body?from={FROM}&{query}").text
        return len(re.findall(r'<li id="step-', text))

    gates = sum(one["kind"] == "test" for one in by_id.values())
    assert listed("state=gates") == gates
    assert listed("state=critical") == len(answered["critical"])
    assert listed("state=tonight") == len(answered["evenings"][0]["steps"])
    bay = [one for one in by_id.values() if one["sub_assembly"] == "bay"]
    assert listed("where=bay") >= len(bay)  # one that goes on stands on both evenings
    assert listed("where=bay&state=gates") == sum(one["kind"] == "test" for one in bay)
    first = {edge["after"] for edge in answered["edges"]}
    assert listed("state=ready") == len(by_id.keys() - first)
    assert listed("state=done") == 0


def test_a_reading_is_judged_in_place(page):
    client, _, address = page
    gate = f"{address}/steps/body?from={FROM}&step=chart+table%2Ftest+open"
    entry = {"kind": "reading", "item": "chart table", "name": "plug", "text": "gate open"}
    log(client, address, {**entry, "value": "0 mA"})
    text = client.get(gate).text
    assert "too low" in text
    assert "Now:" in text
    log(client, address, {**entry, "value": "1.84 mA"})
    text = client.get(gate).text
    assert "in band" in text
    assert "too low" not in text
    log(client, address, {**entry, "value": "rather dim", "name": "TP1"})
    assert "not understood" in client.get(gate).text


def test_supply_and_feeds_are_read_with_everything_lit(page):
    client, _, address = page
    gate = f"{address}/steps/body?from={FROM}&step=model%2Frehearse"
    assert 'data-reading="supply"' in client.get(gate).text
    entry = {"kind": "reading", "item": "whole model", "name": "supply", "value": "900 mA"}
    log(client, address, entry)
    assert "too high" in client.get(gate).text


def test_best_for_tonight_is_the_schedules(page):
    client, _, address = page
    told = client.get(f"{address}/bench/next?tonight=2h").json()
    steps = client.get(f"{address}/answer/steps?tonight=2h&from=2026-11-26").json()["result"]
    assert told["next"] == steps["next"]
    assert told["evening"] == "Thursday 2026-11-26, 19:30"
    refused = client.get(f"{address}/bench/next?tonight=soon")
    assert refused.status_code == 422


def test_the_table_follows_the_ticks(page):
    client, _, address = page
    steps = client.get(f"{address}/answer/steps").json()["result"]["steps"]
    hours = sum(one["minutes"] for one in steps) / 60
    assert f"{hours:.1f} h" in client.get(f"{address}/table/body").text
    cut = [one for one in steps if one["sub_assembly"] == "chart table" and one["kind"] == "cut"]
    log(client, address, *({"kind": "step", "item": one["id"]} for one in cut))
    text = client.get(f"{address}/table/body").text
    left = hours - sum(one["minutes"] for one in cut) / 60
    assert f"{left:.1f} h" in text
    card = text.split('data-sub-card="chart table"')[1].split("</li>")[0]
    assert re.search(r"</span> cut</p>", card)


def test_a_pack_for_one_purpose_is_the_command_lines(page, demo):
    client, _, address = page
    started = posted(client, f"{address}/start/pack", {"purpose": "care"})
    state, _ = waited(client, address, started.json()["number"])
    assert state == "done"
    told = posted(client, f"{address}/pack/folder", {}).json()
    assert told["folder"] == str(demo.parent / "pack-care")
    written = {
        one.relative_to(demo.parent / "pack-care").as_posix(): one.read_bytes()
        for one in (demo.parent / "pack-care").rglob("*")
        if one.is_file()
    }
    made = printed("pack", str(demo), "--for", "care", "--into", str(demo.parent / "other"))
    other = demo.parent / "other"
    assert set(written) == set(made["result"]["files"])
    assert all((other / name).read_bytes() == data for name, data in written.items())
    assert posted(client, f"{address}/start/pack", {"purpose": "fun"}).status_code == 400


def test_a_photograph_of_the_log_is_given_and_nothing_else(page, demo):
    client, _, address = page
    data = (demo.parent / "pictures" / "clock-bezel.jpg").read_bytes()
    kept = client.post(
        f"{address}/bench/photo",
        data={"key": "photo-12345", "at": "2026-11-26T20:00:00+00:00", "item": FIRST},
        files={"file": ("bezel.jpg", data)},
    ).json()["entry"]["attachment"]
    answer = client.get(f"{address}/bench/photo/{kept}")
    assert answer.content == data
    assert answer.headers["content-type"] == "image/jpeg"
    folder = demo.with_name("mended.log")
    (folder / "beside.jpg").write_bytes(b"not in the log")
    (demo.parent / "secret.jpg").write_bytes(b"secret")
    (folder / "link.jpg").symlink_to(demo.parent / "secret.jpg")
    with BenchLog(log_path(demo)) as bench_log:
        for number, name in enumerate(("link.jpg", "page.html", "gone.jpg")):
            (folder / "page.html").write_text("<script>")
            bench_log.append(
                key=f"another-{number}",
                at="2026-11-26T20:00:00+00:00",
                by="",
                device="",
                kind="photo",
                item="",
                attachment=name,
            )
    for name in ("beside.jpg", "link.jpg", "page.html", "gone.jpg", "..%2fsecret.jpg"):
        assert client.get(f"{address}/bench/photo/{name}").status_code == 404
