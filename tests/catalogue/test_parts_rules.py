"""Each rule of parts files: its page's example trips it and nothing else."""

from textwrap import dedent

import pytest
from ruamel.yaml import YAML

from lamphouse.catalogue.shelf import built_in, with_own
from lamphouse.findings import RULES

CODES = sorted(code for code in RULES if code.startswith("CAT"))
SECTIONS = ("What it checks", "Why it matters", "Example", "Mend", "Source")


def example(code):
    page = dedent(RULES[code].page.partition("\n")[2])
    block = page.partition("    ::\n")[2].partition("\nMend")[0]
    return YAML(typ="safe").load(dedent(block))


def test_codes_have_no_gap():
    assert [f"CAT{number:03}" for number in range(1, len(CODES) + 1)] == CODES


@pytest.mark.parametrize("code", CODES)
def test_the_page_has_its_sections(code):
    page = dedent(RULES[code].page.partition("\n")[2])
    lines = [line for line in page.splitlines() if line in SECTIONS]
    assert lines == list(SECTIONS)


@pytest.mark.parametrize("code", CODES)
def test_the_example_trips_its_rule_alone(code):
    _, found = with_own(built_in(), example(code))
    overriding = {"CAT007"} if code == "CAT009" else set()  # told of every part that overrides
    assert {finding.code for finding in found} == {code} | overriding
