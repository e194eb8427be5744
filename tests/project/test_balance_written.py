"""A balance written into the file: the values are there, and every other line is as it was."""

from functools import cache

import pytest

from balance.models import TEXT, reading_of
from lamphouse.plan.balanced_plan import balanced
from lamphouse.project.balance_written import written_balance
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from lamphouse.project.write import ChangeError


@cache
def written(text):
    reading = read_text(text, file="project.yaml")
    found = balanced(reading.design, found=reading.findings)
    return found, written_balance(text, before=found.before.design, after=found.after.design)


TEXTS = {
    "three screens": TEXT,
    "saltmarsh": demo_text("saltmarsh"),
    "mended": demo_text("saltmarsh", file="mended.yaml"),
    "carriage returns": TEXT.replace("\n", "\r\n"),
}


@pytest.mark.parametrize("name", TEXTS)
def test_the_file_reads_back_as_what_was_promised(name):
    found, new = written(TEXTS[name])
    again = read_text(new, file="project.yaml")
    assert again.design.sub_assemblies == found.after.design.sub_assemblies
    assert [f.code for f in again.findings] == [
        f.code for f in read_text(TEXTS[name], file="project.yaml").findings
    ]


@pytest.mark.parametrize("name", TEXTS)
def test_comments_stay_and_only_resistors_and_currents_change(name):
    _, new = written(TEXTS[name])
    old_lines, new_lines = TEXTS[name].split("\n"), new.split("\n")
    gone = [line for line in old_lines if line not in new_lines]
    come = [line for line in new_lines if line not in old_lines]
    assert all("current:" in line or "leds: [" in line for line in gone)
    assert all(
        "current:" in line or "resistor:" in line or line.strip() == "strings:" for line in come
    )
    comments = [line.split("#", 1)[1].strip() for line in old_lines if "#" in line]
    assert [line.split("#", 1)[1].strip() for line in new_lines if "#" in line] == comments


def test_writing_twice_changes_nothing_more():
    _, once = written(TEXT)
    assert written(once)[1] == once


def test_a_resistor_the_maker_chose_is_replaced_in_its_place():
    text = TEXT.replace("{leds: [L1, L2]}", "{leds: [L1, L2], resistor: 3k3}")
    _, new = written(text)
    assert "pair: {leds: [L1, L2], resistor: 27k}             # soldered last week" in new


def test_a_file_that_changed_meanwhile_is_refused():
    found = balanced(reading_of().design)
    plans = {"before": found.before.design, "after": found.after.design}
    broken = TEXT.replace("scale: 1:24", "scale: [")
    with pytest.raises(ChangeError, match="mended first"):
        written_balance(broken, **plans)
    gone = TEXT.replace("left box", "other box")
    with pytest.raises(ChangeError, match="no LEDs of box 'left box'"):
        written_balance(gone, **plans)
