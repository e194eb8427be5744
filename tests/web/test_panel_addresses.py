"""The addresses of the panel without a browser: what they answer to sense and to nonsense."""

import asyncio
import json

import pytest
from starlette.applications import Starlette
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from lamphouse.outputs import page_panel
from lamphouse.plan.live_panel import Draft, LivePanel
from lamphouse.storage.recent import Recent
from lamphouse.web import page_frame
from lamphouse.web.page_views.panel_live import message
from lamphouse.web.shelf_of_projects import Projects

pytestmark = pytest.mark.slow


@pytest.fixture
def asked(tmp_path, saltmarsh):
    """Give a client of the page's addresses, behind its guard, and the ground of one project."""
    app = Starlette(routes=page_frame.ROUTES)
    app.state.projects = Projects(recent=Recent(tmp_path / "recent"), now=lambda: "2026-11-26")
    app.state.closing = asyncio.Event()
    bench = app.state.projects.open(saltmarsh)
    with TestClient(app) as client:
        yield client, f"/p/{bench.id}", bench


HERE = {"sub": "chart table", "panel": "top"}


def test_a_message_over_the_socket_holds_what_the_plan_gives(asked):
    client, ground, bench = asked
    client.get(f"{ground}/panel/field", params=HERE)
    places = {"W1": [14.0, 27.0]}
    with client.websocket_connect(f"{ground}/live") as socket:
        socket.send_text(json.dumps({"seq": 5, **HERE, "leds": places}))
        data = socket.receive_bytes()
    live = LivePanel(bench.plan_if_ready, sub_assembly="chart table", panel="top")
    assert data == message(live.fields(Draft(leds={"W1": (14.0, 27.0)})), seq=5)


@pytest.mark.parametrize(
    "words",
    [
        "",
        "[]",
        "{",
        '{"seq": 1}',
        json.dumps({"seq": 1, **HERE, "leds": {"W1": [1e9, 0]}}),
        json.dumps({"seq": 1, **HERE, "leds": {"W1": ["NaN", 0]}}),
        json.dumps({"seq": -1, **HERE}),
        json.dumps({"seq": 1, "sub": "no", "panel": "such"}),
        json.dumps({"seq": 1, **HERE, "openings": {"screen": [[0, 0, 0]]}}),
    ],
)
def test_nonsense_over_the_socket_is_told_and_the_socket_stays(asked, words):
    client, ground, _ = asked
    with client.websocket_connect(f"{ground}/live") as socket:
        socket.send_text(words)
        assert "message" in json.loads(socket.receive_text())
        socket.send_text(json.dumps({"seq": 2, **HERE, "leds": {"W1": [14.0, 27.0]}}))
        assert socket.receive_bytes()


def test_a_project_that_is_not_open_has_no_socket(asked):
    client, _, _ = asked
    with (
        pytest.raises(WebSocketDisconnect) as refused,
        client.websocket_connect("/p/none/live"),
    ):
        pass
    assert refused.value.code == 1008


ROW = ["sub_assemblies", "chart table", "panels", "top", "boxes", "screen box", "leds", "W"]
SCREEN = ["sub_assemblies", "chart table", "panels", "top", "openings", "screen"]


@pytest.mark.parametrize(
    ("command", "status"),
    [
        ({"do": "move", "paths": [SCREEN], "by": [1, 0]}, 200),
        ({"do": "move", "paths": [["sub_assemblies", "nowhere"]], "by": [1, 0]}, 422),
        ({"do": "move", "paths": [SCREEN], "by": [1e9, 0]}, 400),
        ({"do": "move", "paths": [SCREEN], "by": [4000, 0]}, 422),
        ({"do": "move", "paths": [[*ROW, "type"]], "by": [1, 0]}, 422),
        ({"do": "take out", "path": ROW, "member": 9, "places": [[0, 0], [1, 1]], "to": None}, 422),
        ({"do": "resize", "path": [*SCREEN, "look"], "size": [5, 5], "by": [0, 0]}, 422),
        ({"do": "resize", "path": [*SCREEN, "shape"], "size": [-5, 5], "by": [0, 0]}, 400),
        ({"do": "move corner", "path": [*SCREEN, "shape"], "corner": 7, "to": [0, 0]}, 422),
        ({"do": "add corner", "path": [*SCREEN, "shape"], "corner": 1, "to": [0, 0]}, 422),
        ({"do": "remove corner", "path": [*SCREEN, "shape"], "corner": 1}, 422),
        ({"do": "remove", "paths": [["no", "such"]]}, 422),
        (
            {"do": "points", "path": SCREEN, "corners": [[0, 0, 0], [1, 0, 0]], "stands": [0, 0]},
            422,
        ),
        ({"do": "dance"}, 400),
    ],
)
def test_commands_are_done_or_refused_in_words(asked, saltmarsh, command, status):
    client, ground, _ = asked
    before = saltmarsh.read_text()
    answer = client.post(f"{ground}/panel/do", json={"command": {"label": "x", **command}})
    assert answer.status_code == status, answer.text
    assert (saltmarsh.read_text() == before) == (status != 200)
    if status != 200:
        assert answer.json()["message"]


def test_a_command_made_for_an_older_file_is_refused(asked, saltmarsh):
    client, ground, bench = asked
    old = bench.revision
    move = {"do": "move", "paths": [SCREEN], "by": [1, 0], "label": "x", "seen": old}
    assert client.post(f"{ground}/panel/do", json={"command": move}).status_code == 200
    again = client.post(f"{ground}/panel/do", json={"command": move})
    assert again.status_code == 422
    assert "changed meanwhile" in again.json()["message"]


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("panel/shown", 200),
        ("panel/shown?sub=no&panel=such", 404),
        ("panel/field?sub=no&panel=such", 404),
        ("panel/side?sub=bay&panel=glazing", 200),
        ("panel/picture?which=colours", 200),
        ("panel/picture?which=artwork&opening=screen", 200),
        ("panel/picture?which=artwork&opening=none", 404),
        ("panel/picture?which=../x", 404),
        ("panel/form?path=[]", 404),
        ("panel/form?path=nonsense", 404),
        ("panel/form?path=[1,2,3]", 404),
        ('panel/form?path=["sub_assemblies","chart table","panels","top"]', 200),
        ("panel/choices?job=7", 404),
        ("panel/choice-field?job=x&number=y", 404),
    ],
)
def test_addresses_answer_or_say_there_is_nothing(asked, path, status):
    client, ground, _ = asked
    assert client.get(f"{ground}/{path}").status_code == status


def test_the_pictures_are_those_of_the_glow_command(asked):
    from lamphouse.outputs.glow_files import build

    client, ground, bench = asked
    answer = client.get(f"{ground}/panel/picture?sub=chart table&panel=top&which=colours")
    plan = bench.plan_if_ready
    glows = [one for one in plan.glows if one.box == "screen box"]
    files = build(plan, glows=glows)
    assert answer.content in files.values()
    assert (
        page_panel.pictures(plan, sub_assembly="chart table", panel="top")["dark"] in files.values()
    )


def test_a_file_an_editor_broke_is_told_as_such(asked):
    client, ground, bench = asked
    assert client.get(f"{ground}/panel/shown", params=HERE).status_code == 200
    assert client.get(f"{ground}/panel/shown", params={**HERE, "panel": "no"}).status_code == 404
    bench.file.write_text(bench.file.read_text() + "\nbroken: [\n")
    answer = client.get(f"{ground}/panel/shown", params=HERE)
    assert answer.status_code == 409
    assert "must be mended first" in answer.json()["message"]
    assert "mended.yaml:" in answer.json()["message"]
