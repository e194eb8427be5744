"""Every rule of the project file: its page's example trips it, and a sound project does not."""

import inspect
import re
import textwrap

import pytest

from lamphouse.findings import RULES
from lamphouse.project import field_rules, reference_rules, text_rules  # noqa: F401  they register
from lamphouse.project.read import read_project
from lamphouse.project.splice import written
from lamphouse.project.tree import MOST_BYTES, grow, plain
from project.projects import SMALL, codes, read

OURS = sorted(code for code in RULES if code.startswith("PRJ"))
HEADINGS = ["What it checks", "Why it matters", "Example", "Mend", "Source"]


def example_of(code):
    page = inspect.cleandoc(RULES[code].page)
    block = page.split("Example\n", 1)[1].split("\nMend\n", 1)[0]
    return textwrap.dedent(block.split("::\n", 1)[1]).strip("\n") + "\n"


def merged(under, over):
    if isinstance(under, dict) and isinstance(over, dict):
        return {
            key: merged(under.get(key), over[key]) if key in over else under[key]
            for key in [*under, *(key for key in over if key not in under)]
        }
    return over


def tripped(code):
    """Merge an example over the small project, by text where it does not survive reading."""
    example = example_of(code)
    tree, found = grow(example, file="")
    alone = codes(example)
    if tree is None or found or code in alone:
        return alone
    base, _ = grow(SMALL, file="")
    whole = merged(plain(base.root), plain(tree.root))
    return codes(
        "".join(f"{key}: {written(value, in_brackets=False)}\n" for key, value in whole.items())
    )


BY_BYTES = {
    "PRJ001": lambda example: example.encode() + b"#" * MOST_BYTES,
    "PRJ002": lambda example: example.encode("utf-16"),
}


@pytest.mark.parametrize("code", OURS)
def test_the_example_on_its_page_trips_the_rule(code, tmp_path):
    if code in BY_BYTES:
        file = tmp_path / "project.yaml"
        file.write_bytes(BY_BYTES[code](example_of(code)))
        assert [found.code for found in read_project(file).findings] == [code]
    else:
        assert code in tripped(code)


def test_the_small_project_trips_none():
    assert codes(SMALL) == []
    assert read(SMALL).design is not None


@pytest.mark.parametrize("code", OURS)
def test_each_page_has_its_five_sections(code):
    page = inspect.cleandoc(RULES[code].page)
    found = [line for line in page.splitlines()[1:] if line and not line.startswith(" ")]
    assert found == HEADINGS
    assert all(re.search(rf"^{head}\n +\S", page, re.MULTILINE) for head in HEADINGS)


def test_a_file_that_was_not_understood_cannot_be_waved_through():
    for code in OURS:
        rule = RULES[code]
        if rule.severity == "stop" and code != "PRJ044":
            assert not rule.can_be_accepted, code
