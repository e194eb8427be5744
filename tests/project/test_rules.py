"""What holds of every rule of the project file; the examples on their pages: see tests/rules."""

from lamphouse.findings import RULES
from lamphouse.project import field_rules, reference_rules, text_rules  # noqa: F401  they register
from project.projects import SMALL, codes, read

OURS = sorted(code for code in RULES if code.startswith("PRJ"))


def test_the_small_project_trips_none():
    assert codes(SMALL) == []
    assert read(SMALL).design is not None


def test_a_file_that_was_not_understood_cannot_be_waved_through():
    for code in OURS:
        rule = RULES[code]
        if rule.severity == "stop" and code != "PRJ044":
            assert not rule.can_be_accepted, code
