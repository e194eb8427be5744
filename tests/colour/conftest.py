"""The outside witness of the colour room, and its copied values."""

import json
import warnings

import pytest


@pytest.fixture(scope="session")
def witness():
    """Give the open package whose numbers ours are held against; it warns while it loads."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("colour")


@pytest.fixture
def published(reference):
    """Read the values copied for one case."""
    return lambda case: json.loads((reference / "colour" / case / "values.json").read_text())
