"""A server of its own with a copy of Saltmarsh, and a browser, for the tests of the page."""

import os
import shutil
import signal
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

import pytest

BROWSER_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
WAIT_MS = 60_000
"""For what a page is to show, on a slow machine with others at work."""


@dataclass
class Server:
    """One run of ``lamphouse open``."""

    folder: Path
    project: Path | None
    address: str = ""
    entry: str = ""
    process: subprocess.Popen = field(default=None)

    def start(self, *more: str, port: int = 0):
        words = ["open", "--no-browser", "--port", str(port), *more]
        words += [str(self.project)] if self.project else []
        code = "from lamphouse.cli.main import run; run()"
        self.process = subprocess.Popen(
            [sys.executable, "-c", code, *words],
            cwd=self.folder,
            env={**os.environ, "LAMPHOUSE_STATE": str(self.folder / "state")},
            stdout=subprocess.PIPE,
            text=True,
        )
        line = self.process.stdout.readline()
        self.entry = line.split()[-1]
        self.address = self.entry.split("/enter", maxsplit=1)[0]
        return self

    @property
    def port(self) -> int:
        return int(self.address.rsplit(":", maxsplit=1)[1])

    def kill(self):
        """As a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self):
        if self.process and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(timeout=15)
            except subprocess.TimeoutExpired:
                self.kill()
        if self.process:
            self.process.stdout.close()


@pytest.fixture
def saltmarsh(tmp_path):
    """Give a folder with the mended Saltmarsh as its project, and the demo's pictures."""
    from lamphouse.project import starter

    starter.start(tmp_path / "saltmarsh", demo="saltmarsh")
    return tmp_path / "saltmarsh" / "mended.yaml"


@pytest.fixture
def serve(tmp_path):
    """Start servers that end with the test."""
    started = []

    def begin(project=None, *more, port=0):
        server = Server(folder=tmp_path, project=project)
        started.append(server)
        return server.start(*more, port=port)

    yield begin
    for server in started:
        server.stop()


@pytest.fixture(scope="session")
def chromium():
    """Start the browser once; every test waits as long for a state of its page."""
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=WAIT_MS)

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        reason = "outside tool 'chromium' is not installed"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=BROWSER_FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def browse(chromium):
    """Open pages in a browser of their own; a script error on one fails the test."""
    contexts, errors = [], []

    def visit(address, *, width=1440, height=900, **options):
        context = chromium.new_context(viewport={"width": width, "height": height}, **options)
        context.set_default_timeout(WAIT_MS)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda fault: errors.append(str(fault)))
        page.goto(address)
        return page

    yield visit
    for context in contexts:
        context.close()
    assert not errors
