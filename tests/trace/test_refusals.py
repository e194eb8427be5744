"""Every code of tracing is tripped by a picture, and names what is wrong and what would help."""

import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from refused_pictures import PICTURES, codes_of

from lamphouse.findings import RULES, Severity
from lamphouse.trace import part_rules, picture_rules, refused, scale_rules

ROOM = {code for code in RULES if code.startswith("TRC")}


def test_every_code_has_its_picture():
    assert {part_rules, picture_rules, scale_rules}
    assert set(PICTURES) == ROOM


@pytest.mark.parametrize("code", sorted(PICTURES))
def test_the_picture_trips_the_code(code):
    assert code in codes_of(code)


@pytest.mark.parametrize("code", sorted(ROOM))
def test_only_stops_refuse(code):
    try:
        PICTURES[code]()
    except refused.TraceError as fault:
        assert fault.finding.severity is Severity.STOP  # noqa: PT017
        assert re.search(r"\w", fault.finding.remedy)  # noqa: PT017
    else:
        assert RULES[code].severity is not Severity.STOP
