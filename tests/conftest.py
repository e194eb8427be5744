"""What every test may use: outside tools, a sound small project, and a closed network.

Property tests are not timed one by one, for machines are busy. Under CI they try the same examples
every time, so that a change is judged by what it changes; at the bench they go on searching.
"""

import os
import shutil
import socket
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("searching", deadline=None)
settings.register_profile("repeatable", deadline=None, derandomize=True)
settings.load_profile("repeatable" if os.environ.get("CI") == "true" else "searching")

REFERENCE = Path(__file__).parent / "reference"


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """Take one worker more than there are cores: the page's tests wait about as long as they work.

    A count of one's own, ``make test`` aside, is ``--numprocesses N``.
    """
    return (os.cpu_count() or 1) + 1


def pytest_collection_modifyitems(items) -> None:
    """Begin with the page: its files are the longest, and none should be left for the end."""
    items.sort(key=lambda item: "web" not in item.path.parts)


def need_tool(name: str) -> str:
    """Give the path of an outside program; skip without it, fail under CI."""
    found = shutil.which(name)
    if found:
        return found
    reason = f"outside tool '{name}' is not installed"
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture
def tool():
    """Look up an outside program by name."""
    return need_tool


@pytest.fixture
def reference():
    """Give the folder of copied outside values."""
    return REFERENCE


@pytest.fixture
def sound():
    """Give the sound small project as text."""
    return (Path(__file__).parent / "rules" / "sound.yaml").read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def closed_network(monkeypatch):
    """Fail any test that tries to leave this machine."""

    connect = socket.socket.connect

    def refuse(self, address):
        if self.family == socket.AF_UNIX or address[0] in ("127.0.0.1", "::1"):
            return connect(self, address)
        return pytest.fail(f"a test tried to connect to {address}")

    monkeypatch.setattr(socket.socket, "connect", refuse)
