"""The scripts of the page: types checked strictly, pure functions tested, in node."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

HERE = Path(__file__).parent / "js"
TSC = HERE / "node_modules" / ".bin" / "tsc"


def needed(found, reason):
    if found:
        return
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="module")
def node():
    found = shutil.which("node")
    needed(found, "outside tool 'node' is not installed")
    return found


def test_types_are_sound(node):
    needed(TSC.exists(), "the type checker is not installed; `make scripts` does it")
    done = subprocess.run([TSC, "-p", HERE], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize("file", sorted(HERE.glob("*.test.js")), ids=lambda file: file.name)
def test_pure_functions(node, file):
    done = subprocess.run([node, "--test", file], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
    assert "pass 0" not in done.stdout
