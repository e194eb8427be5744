"""Strands shared out in a project: neighbours differ, shares are even, the rest stays."""

from collections import Counter
from itertools import pairwise

from lamphouse.plan import make
from lamphouse.project.read import read_text

TEXT = """
lamphouse: 1
name: trial
date: 2026-11-25
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
groups:
  a: {in: sample, source: {led: green 3 mm, current: 5 mA}}
  b: {in: sample, source: {led: red 3 mm, current: 5 mA}}
  c: {in: sample, source: {led: amber 3 mm, current: 5 mA}}
sub_assemblies:
  sample:
    panels:
      plate:
        outline: rectangle 200 x 60 mm
        sheet: styrene 0.75 mm
        strands:
          S: {fibre: fibre 0.5 mm, at: [10 mm, 20 mm], count: 9, step: [12 mm, 0 mm], ANY}
          K: {fibre: fibre 0.5 mm, at: [10 mm, 50 mm], group: a}
"""


def planned(any_of):
    reading = read_text(TEXT.replace("ANY", any_of).lstrip(), file="project.yaml")
    if reading.design is None:
        return None, {each.code for each in reading.findings}
    plan = make.plan(reading.design, found=reading.findings)
    return plan, {each.code for each in plan.findings}


def test_a_row_is_shared_out_and_no_neighbours_match():
    plan, codes = planned("any_of: [a, b, c]")
    rows = [row.group for row in plan.strands.rows if row.flag.startswith("S")]
    assert all(one != other for one, other in pairwise(rows))
    assert max(Counter(row.group for row in plan.strands.rows).values()) == 4
    assert "FIB009" in codes
    assert "FIB010" not in codes
    assert next(row.group for row in plan.strands.rows if row.flag == "K") == "a"
    again, _ = planned("any_of: [a, b, c]")
    assert again.strands.rows == plan.strands.rows


def test_one_group_alone_clashes_and_the_mend_is_a_second():
    plan, codes = planned("any_of: [b]")
    assert "FIB010" in codes
    told = next(each for each in plan.findings if each.code == "FIB010")
    assert "none would be left" in told.remedy


def test_a_strand_has_one_wish():
    assert planned("any_of: [a, b], group: a") == (None, {"PRJ028"})
    assert planned("head: flush")[0] is None
    assert planned("any_of: [nobody]")[0] is None
