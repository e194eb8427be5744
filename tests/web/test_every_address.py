"""Every address of the page, asked with what nobody should send: no fault of ours, no way out.

The addresses come from the program itself, what is sent from their parameters and from the record
of edits; a run goes on from what the one before left, so edits meet each other's leavings.
"""

import contextlib
import json
import os
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.convertors import IntegerConvertor
from starlette.routing import Route
from starlette.testclient import TestClient

from lamphouse.storage.recent import Recent
from lamphouse.web.app import make_app
from lamphouse.web.keys import KeyRing

pytestmark = pytest.mark.slow

OWN = "http://127.0.0.1:7724"
SECRET = "the-secret-beside-the-project"
ENDLESS = ("events",)
EXAMPLES = int(os.environ.get("ADDRESS_EXAMPLES", "150"))
WAYS_OUT = st.sampled_from(
    [
        "../secret.txt",
        "..%2fsecret.txt",
        "....//secret.txt",
        "/etc/passwd",
        "..\\secret.txt",
        "C:\\windows",
        "a\0b",
        "\udcff",
        "<script>alert(1)</script>",
        "'; drop table log; --",
        "{{7*7}}",
        "%00",
        ".",
        "",
        "x" * 300,
        "\u202eabc",
        "NaN",
        "1e999",
        "-1",
    ]
)
NAMES = st.sampled_from(
    ["table", "panel", "circuit", "supply", "sub_assemblies", "leds", "0", "max_current", "boxes"]
)
WORDS = st.one_of(WAYS_OUT, NAMES, st.text(max_size=40))
VALUES = st.recursive(
    st.one_of(WORDS, st.none(), st.booleans(), st.integers(), st.floats()),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(WORDS, inner, max_size=4)),
    max_leaves=12,
)
STEPS = st.lists(st.one_of(WORDS, st.integers(-2, 5)), max_size=6)
EDITS = st.fixed_dictionaries(
    {"do": st.sampled_from(["set", "add", "remove", "accept", "nonsense"])},
    optional={
        "path": STEPS,
        "value": VALUES,
        "was": WORDS,
        "key": WORDS,
        "code": WORDS,
        "item": WORDS,
        "reason": WORDS,
    },
)
CONTENT = st.one_of(
    st.fixed_dictionaries({"label": WORDS, "edits": st.lists(EDITS, max_size=3)}),
    VALUES,
)


@pytest.fixture(scope="module")
def ground(tmp_path_factory):
    """Give a client that is let in, its app, the project's name, and the folder around."""
    from lamphouse.project import starter

    folder = tmp_path_factory.mktemp("ground")
    (folder / "secret.txt").write_text(SECRET)
    home = folder / "home"
    starter.start(home / "model")
    clock = iter(range(0, 10**9, 10))
    keys = KeyRing(lambda: 0.0)
    guard = make_app(
        keys=keys,
        hosts=["127.0.0.1:7724"],
        recent=Recent(folder / "state"),
        home=home,
        now=lambda: "2026-11-26T20:00:00+00:00",
        clock=lambda: float(next(clock)),
    )
    project = guard.projects.open(home / "model").id
    with TestClient(guard, base_url=OWN) as client:
        client.headers["Cookie"] = f"lamphouse={keys.enter(keys.entry)}"
        yield client, guard, project, folder


def routes_of(guard):
    return [route for route in guard.app.routes if isinstance(route, Route)]


def outside(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and "home" not in path.parts and "state" not in path.parts
    }


@settings(
    max_examples=EXAMPLES,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_no_address_breaks_or_leads_outside(ground, data):
    client, guard, project, folder = ground
    before = outside(folder)
    routes = [route for route in routes_of(guard) if not route.path.endswith(ENDLESS)]
    route = data.draw(st.sampled_from(routes), label="route")
    filled = {}
    for name, convertor in route.param_convertors.items():
        if name == "project":
            filled[name] = data.draw(st.sampled_from([project] * 9 + ["nowhere"]), label=name)
        elif isinstance(convertor, IntegerConvertor):
            filled[name] = str(data.draw(st.integers(0, 99), label=name))
        else:
            filled[name] = data.draw(WORDS.filter(bool), label=name)
    path = route.path
    for name in route.param_convertors:
        kind = next(k for k in ("", ":path", ":int", ":float") if f"{{{name}{k}}}" in path)
        written = quote(filled[name].encode("utf-8", "surrogatepass"), safe="")
        path = path.replace(f"{{{name}{kind}}}", written)
    method = data.draw(st.sampled_from(sorted({*route.methods, "POST"})), label="method")
    query = data.draw(
        st.dictionaries(st.sampled_from(["at", "to", "key", "q", "box", "lx"]), WORDS)
    )
    query = {key: value.encode("utf-8", "replace").decode() for key, value in query.items()}
    sent = {"headers": {"Origin": OWN}, "params": query, "follow_redirects": False}
    kind = data.draw(st.sampled_from(["json", "bytes", "form", "file"]), label="content")
    if method in ("POST", "PUT"):
        if kind == "json":
            content = json.dumps(data.draw(CONTENT, label="json"))
            sent["content"] = content.encode("utf-8", "surrogatepass")
        elif kind == "bytes":
            sent["content"] = data.draw(st.binary(max_size=200), label="bytes")
        else:
            keys = st.sampled_from(["path", "folder", "demo", "reason", "name", "value", "text"])
            fields = data.draw(st.dictionaries(keys, WORDS, max_size=3), label="form")
            fields = {k: v.encode("utf-8", "replace").decode() for k, v in fields.items()}
            sent["data"] = fields
            if kind == "file":
                name = data.draw(WORDS, label="file").encode("utf-8", "replace").decode()
                sent["files"] = {"file": (name, data.draw(st.binary(max_size=200)))}
    with contextlib.suppress(UnicodeError):
        answer = client.request(method, path, **sent)
        assert answer.status_code < 500, answer.text[:300]
        assert SECRET not in answer.text
        assert "<script>alert" not in answer.text
    assert outside(folder) == before


def test_every_address_below_a_project_is_among_those_asked(ground):
    _, guard, _, _ = ground
    paths = {route.path for route in routes_of(guard)}
    assert {"/open", "/new", "/folders", "/p/{project}/edit", "/p/{project}/undo"} <= paths
