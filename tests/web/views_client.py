"""The page's program in this process, with one project open, for tests without a browser."""

import contextlib
import json

from starlette.testclient import TestClient

from lamphouse.storage.recent import Recent
from lamphouse.web.app import make_app
from lamphouse.web.keys import KeyRing

OWN = "http://127.0.0.1:7724"


@contextlib.contextmanager
def opened(project, *, state):
    """Give a client that holds the owner's key, the open project, and its address."""
    keys = KeyRing(lambda: 0.0)
    app = make_app(
        keys=keys,
        hosts=["127.0.0.1:7724"],
        recent=Recent(state),
        home=project.parent,
        now=lambda: "2026-11-26T20:00:00+00:00",
        clock=iter(range(10**9)).__next__,
    )
    bench = app.projects.open(project)
    with TestClient(app, base_url=OWN) as client:
        client.get(f"/enter?key={keys.entry}", follow_redirects=False)
        client.headers["origin"] = OWN
        yield client, bench, f"/p/{bench.id}"


def waited(client, address, number):
    """Wait for long work, and give how it ended."""
    import time

    for _ in range(1200):
        time.sleep(0.1)
        text = client.get(f"{address}/jobs").text
        line = text.split(f'data-job="{number}"')[1].split("</li>")[0]
        state = line.split('data-state="')[1].split('"')[0]
        if state in ("done", "failed", "stopped"):
            return state, line
    raise AssertionError(text)


def posted(client, address, content):
    return client.post(address, content=json.dumps(content))
