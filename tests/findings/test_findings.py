"""Findings: settled in file order, accepted only where nobody is hurt, lines kept up to date."""

import pytest

from lamphouse.findings import RULES, Acceptance, Finding, Severity, Told, Where, rule, settle


def finding(code="CUT003", item="desk / top / screen", line=4, severity=Severity.STOP):
    return Finding(
        code=code,
        severity=severity,
        where=Where(item=item, file="p.yaml", line=line, column=3),
        message="it is wrong",
        remedy="mend it",
    )


def acceptance(code="CUT003", item="desk / top / screen"):
    return Acceptance(code=code, item=item, reason="seen", where=Where(item="accepted 1"))


@pytest.fixture(autouse=True)
def rules():
    from lamphouse.circuit import supply_rules
    from lamphouse.cutting import opening_rules

    assert supply_rules
    assert opening_rules


def test_one_line_form():
    assert str(finding()) == "p.yaml:4:3: desk / top / screen: it is wrong; mend it [CUT003]"


def test_two_places_with_one_item_are_equal_whatever_their_line():
    assert Where(item="a", line=1) == Where(item="a", line=2)
    assert hash(Where(item="a", line=1)) == hash(Where(item="a", line=2))
    assert Where(item="a") != Where(item="b")


def test_findings_come_in_file_order():
    lines = [9, 2, 5]
    settled = settle([finding(line=line) for line in lines])
    assert [f.where.line for f in settled] == [2, 5, 9]


def test_an_acceptance_overrules_with_its_reason():
    (settled,) = settle([finding()], acceptances=[acceptance()])
    assert settled.accepted == "seen"
    assert not settled.stands


def test_an_acceptance_for_another_item_overrules_nothing():
    settled = settle([finding()], acceptances=[acceptance(item="elsewhere")])
    assert {f.code for f in settled} == {"CUT003", "ACC001"}
    assert all(f.stands for f in settled)


def test_what_guards_against_harm_stays():
    settled = settle(
        [finding(code="CIR001", item="supply")],
        acceptances=[acceptance(code="CIR001", item="supply")],
    )
    assert {f.code for f in settled} == {"CIR001", "ACC002"}
    assert all(f.stands for f in settled)


def test_a_kept_finding_takes_its_line_from_the_file_as_it_is_now():
    now = Where(item="desk / top / screen", file="p.yaml", line=40, column=3)
    (settled,) = settle([finding(line=4)], places={now.item: now})
    assert settled.where.line == 40


def test_what_was_read_just_now_keeps_the_line_of_its_key():
    now = Where(item="desk / top / screen", file="p.yaml", line=40, column=3)
    (settled,) = settle([], read=[finding(line=42)], places={now.item: now})
    assert settled.where.line == 42


def test_a_code_is_taken_once():
    code = next(iter(RULES))
    with pytest.raises(ValueError, match=code):
        rule(code, Severity.NOTE, "again")(list)


def test_a_rule_stamps_what_it_tells(monkeypatch):
    monkeypatch.setattr("lamphouse.findings.RULES", {})

    @rule("TST001", Severity.WARN, "a test")
    def told(items):
        for item in items:
            yield Told(where=Where(item=item), message="m", remedy="r")

    assert [(f.code, f.severity, f.where.item) for f in told(["a", "b"])] == [
        ("TST001", Severity.WARN, "a"),
        ("TST001", Severity.WARN, "b"),
    ]
