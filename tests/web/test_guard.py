"""Who may ask: DNS rebinding, cross-site requests, keys, sizes, paces, what a browser may load.

What browsers send is after RFC 9110 (Host), RFC 6454 (Origin) and the W3C note on fetch metadata
(Sec-Fetch-Site); the safety headers after the OWASP list of secure headers, common practice.
"""

import itertools

import pytest
from starlette.testclient import TestClient

from lamphouse.storage.recent import Recent
from lamphouse.web.app import make_app
from lamphouse.web.guard import AT_ONCE, MOST_BODY
from lamphouse.web.keys import PAIRING_S, KeyRing

OWN = "http://127.0.0.1:7724"
SAME = {"Origin": OWN}


class Clock:
    now = 0.0

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def keys(clock):
    return KeyRing(clock)


@pytest.fixture
def app(keys, clock, tmp_path):
    return make_app(
        keys=keys,
        hosts=["127.0.0.1:7724", "localhost:7724"],
        recent=Recent(tmp_path / "state"),
        home=tmp_path,
        now=lambda: "2026-11-26T20:00:00+00:00",
        clock=clock,
    )


@pytest.fixture
def stranger(app):
    with TestClient(app, base_url=OWN) as client:
        yield client


@pytest.fixture
def owner(stranger, keys):
    assert stranger.get("/enter", params={"key": keys.entry}).status_code == 200
    return stranger


@pytest.fixture
def project(owner, app, saltmarsh):
    return app.projects.open(saltmarsh).id


def test_nobody_is_let_in_without_the_key(stranger):
    assert stranger.get("/").status_code == 403
    assert stranger.get("/enter", params={"key": "guess"}).status_code == 403
    assert stranger.get("/").status_code == 403


def test_the_key_opens_the_page_and_cannot_be_read_by_scripts(stranger, keys):
    answer = stranger.get("/enter", params={"key": keys.entry}, follow_redirects=False)
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert stranger.get("/").status_code == 200


@pytest.mark.parametrize("host", ["evil.example", "evil.example:7724", "127.0.0.1", ""])
def test_another_name_for_this_machine_is_refused(owner, host):
    assert owner.get("/", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://127.0.0.1:7724"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {},
    ],
)
def test_another_site_cannot_make_a_browser_change_anything(owner, tmp_path, headers):
    answer = owner.post("/new", data={"folder": "made"}, headers=headers)
    assert answer.status_code == 403
    assert not (tmp_path / "made").exists()


def test_another_site_cannot_load_a_view_into_its_own(owner):
    assert owner.get("/", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
    follow = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}
    assert owner.get("/", headers=follow).status_code == 200


@pytest.mark.parametrize("to", ["//evil.example", "https://evil.example", "/\\evil.example", "x"])
def test_the_entry_leads_to_no_other_site(stranger, keys, to):
    answer = stranger.get("/enter", params={"key": keys.entry, "to": to}, follow_redirects=False)
    assert answer.headers["location"] == "/"


def test_every_answer_carries_the_safety_headers(owner, stranger):
    for answer in (owner.get("/"), stranger.get("/nowhere"), owner.get("/static/look.css")):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"


def test_a_body_beyond_its_limit_is_refused_however_it_comes(owner, project):
    def pieces():
        yield from itertools.repeat(b"x" * 65536, MOST_BODY // 65536 + 2)

    at_once = owner.post(f"/p/{project}/edit", content=b"x" * (MOST_BODY + 1), headers=SAME)
    in_pieces = owner.post(f"/p/{project}/edit", content=pieces(), headers=SAME)
    assert at_once.status_code == in_pieces.status_code == 413


def test_whoever_asks_too_often_waits(owner, clock):
    answers = [owner.get("/static/look.css").status_code for _ in range(int(AT_ONCE) + 20)]
    assert answers[0] == 200
    assert answers[-1] == 429
    clock.now += 1.0
    assert owner.get("/static/look.css").status_code == 200


@pytest.mark.parametrize(
    "name",
    [
        "../guard.py",
        "%2e%2e/guard.py",
        "..%2fguard.py",
        "../templates/page.html",
        "fonts/../../guard.py",
        "%5c..%5cguard.py",
        ".",
        "",
        "look.css%00",
    ],
)
def test_no_file_beside_those_of_the_page_can_be_had(stranger, name):
    assert stranger.get(f"/static/{name}").status_code in (404, 403)


def test_a_pairing_code_works_once_and_not_for_long(keys, clock):
    code = keys.pairing_code(project="abc")
    assert keys.pair("guess") is None
    key, holder = keys.pair(code)
    assert keys.holder(key) == holder
    assert keys.pair(code) is None
    late = keys.pairing_code(project="abc")
    clock.now += PAIRING_S + 1
    assert keys.pair(late) is None
    assert keys.forget_phones(project="abc") == 1
    assert keys.holder(key) is None


def test_a_phone_sees_the_bench_of_its_project_only(app, keys, saltmarsh, stranger):
    project = app.projects.open(saltmarsh).id
    key, _ = keys.pair(keys.pairing_code(project=project))
    stranger.cookies.set("lamphouse", key)
    for path in ("/", f"/p/{project}/table", f"/p/{project}/benchmark", "/p/other/bench"):
        assert stranger.get(path).status_code == 403
    assert stranger.post(f"/p/{project}/undo", headers=SAME).status_code == 403
    assert stranger.get(f"/p/{project}/bench").status_code != 403


def test_nothing_told_to_a_log_holds_a_key(owner, keys, caplog, capfd):
    owner.get("/enter", params={"key": keys.entry})
    owner.get("/nowhere")
    said = "".join(capfd.readouterr()) + caplog.text
    assert keys.entry not in said
    assert owner.cookies["lamphouse"] not in said
