"""File names for every system, from any words."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.storage.file_names import check_names, safe_name

DEVICES = ["con", "PRN", "Aux", "nul", "com1", "LPT9", "COM0"]
"""Names Windows keeps for devices: its documentation of naming files, from memory."""
PORTABLE = re.compile(r"[a-z0-9]([a-z0-9-]*[a-z0-9])?")
"""Within the portable filename character set of POSIX.1-2017, section 3.282, small letters."""


@given(st.text(), st.sets(st.text(max_size=12), max_size=5))
def test_any_words_give_a_sound_name_that_is_not_taken(words, taken):
    name = safe_name(words, taken=taken)
    assert PORTABLE.fullmatch(name)
    assert len(name) <= 66
    assert name not in {other.casefold() for other in taken}
    check_names([f"{name}.svg"])


@given(st.lists(st.text(max_size=80), max_size=30))
def test_a_row_of_names_stays_unique(texts):
    taken = []
    for words in texts:
        taken.append(safe_name(words, taken=taken))
    assert len(set(taken)) == len(taken)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("chart table / screen box / back", "chart-table-screen-box-back"),
        ("Übergröße Ø 3,5 mm", "ubergrosse-o-3-5-mm"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\temp\\x", "c-temp-x"),
        ("中文", "piece"),
        ("Штурманский стол / ёлка", "shturmanskii-stol-elka"),
        ("", "piece"),
        ("10 kΩ 5 \u00b5m", "10-kohm-5-um"),
        ("-rf", "rf"),
    ],
)
def test_words_as_names(words, name):
    assert safe_name(words) == name


@pytest.mark.parametrize("device", DEVICES)
def test_devices_are_avoided(device):
    assert safe_name(device) == f"{device.casefold()}-piece"
    with pytest.raises(ValueError, match="no relative file name"):
        check_names([f"svg/{device}.svg"])


def test_long_words_are_cut_and_stay_unique():
    first = safe_name("w" * 500)
    second = safe_name("w" * 500, taken=[first])
    assert len(first) == len(second) == 60
    assert first != second


@pytest.mark.parametrize(
    "name",
    ["", "/etc/x", "../x", "a/../b", "a//b", "a\\b", "c:x", "a\x00b", "a.", "a ", "n" * 256, "./a"],
)
def test_names_that_leave_the_folder_or_break_a_system(name):
    with pytest.raises(ValueError, match="no relative file name"):
        check_names([name])


def test_names_that_meet():
    with pytest.raises(ValueError, match="capitals"):
        check_names(["svg/Wall.svg", "svg/wall.svg"])
    with pytest.raises(ValueError, match="both a file and a folder"):
        check_names(["svg", "svg/wall.svg"])
