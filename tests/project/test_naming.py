"""Names of items as findings speak them; rows and their members."""

import doctest

import pytest

from lamphouse.project import naming, write
from lamphouse.project.naming import item_and_key


@pytest.mark.parametrize("module", [naming, write])
def test_the_examples_in_the_docstrings_hold(module):
    assert doctest.testmod(module).failed == 0
    assert doctest.testmod(module).attempted > 0


@pytest.mark.parametrize(
    ("path", "item", "key"),
    [
        (("supply", "voltage"), "supply", "voltage"),
        (("groups", "beacon", "pattern", "period"), "groups / beacon", "pattern period"),
        (("sub_assemblies", "bay"), "bay", ""),
        (("sub_assemblies", "bay", "board", "space"), "bay / board", "space"),
        (("sub_assemblies", "bay", "panels", "g", "curve", "angle"), "bay / g", "curve angle"),
        (
            ("sub_assemblies", "bay", "panels", "g", "curve", "layers", 1, "sheet"),
            "bay / g / layer 2",
            "sheet",
        ),
        (
            ("sub_assemblies", "a", "panels", "b", "openings", "c", "layers", 0, "film"),
            "a / b / c",
            "layers 1 film",
        ),
        (
            ("sub_assemblies", "a", "panels", "b", "boxes", "c", "passages", "d", "low"),
            "a / b / c / d",
            "low",
        ),
        (("accepted", 0), "accepted / 1", ""),
        ((), "project", ""),
    ],
)
def test_items_and_keys(path, item, key):
    assert item_and_key(path) == (item, key)
