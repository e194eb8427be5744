"""Changes to the text: what was asked for changes, every other line stays byte for byte."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from lamphouse.project.read import read_project
from lamphouse.project.tree import Keyed, Listing, Text, grow, plain
from lamphouse.project.write import (
    ChangeError,
    accept,
    add_item,
    remove_item,
    save,
    set_value,
)
from project.projects import SALTMARSH, SMALL, read

STYLES = """\
# every way to write a value
plain: 1:24   # a comment
single: 'a # b'      # kept
double: "x\\ty"
block: |
  two
  lines
folded: >-
  one
  line

empty:          # nothing yet
none: []        # an empty list
bare:
flow: {a: 1, b: [2, 3], c: {d: e}, f: }   # in braces
rows:
  - {part: x, count: 1}   # first
  # between
  - part: y
    count: 2

  - z
deep:
    indented: by four
    more:
        and: more
wrapped: [1,
          2,   # on two lines
          3]
last: end"""

TREE, _ = grow(STYLES, file="")


def paths(node, here=()):
    """List every path of a tree."""
    if isinstance(node, Keyed):
        for key, entry in node.entries.items():
            yield (*here, key)
            yield from paths(entry.value, (*here, key))
    elif isinstance(node, Listing):
        for number, item in enumerate(node.items):
            yield (*here, number)
            yield from paths(item, (*here, number))


ALL_PATHS = list(paths(TREE.root))
LEAVES = [path for path in ALL_PATHS if isinstance(TREE.find(path), Text)]
SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

WORDS = st.text(
    alphabet=st.characters(
        codec="utf-8", categories=("L", "N", "P", "S", "Zs"), exclude_characters="\u2028\u2029"
    ),
    max_size=30,
)
VALUES = st.recursive(
    WORDS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(WORDS.filter(bool), inner, max_size=3)
    ),
    max_leaves=6,
)


def untouched(old, new):
    """Count the lines at the beginning and end that both texts share, and what is between."""
    a, b = old.splitlines(keepends=True), new.splitlines(keepends=True)
    start = 0
    while start < min(len(a), len(b)) and a[start] == b[start]:
        start += 1
    end = 0
    while end < min(len(a), len(b)) - start and a[-1 - end] == b[-1 - end]:
        end += 1
    return a[start : len(a) - end], b[start : len(b) - end]


@pytest.mark.parametrize(
    "text", [SALTMARSH, SMALL, STYLES, STYLES.replace("\n", "\r\n"), "\ufeff" + SMALL]
)
def test_writing_every_value_back_is_the_identity_on_bytes(text):
    tree, _ = grow(text, file="")
    for path in paths(tree.root):
        node = tree.find(path)
        if isinstance(node, Text):
            assert set_value(text, path, node.text) == text


@SLOW
@given(st.sampled_from(LEAVES), VALUES, st.booleans())
def test_a_changed_value_is_read_back_and_nothing_else_changes(path, value, windows):
    text = STYLES.replace("\n", "\r\n") if windows else STYLES
    new = set_value(text, path, value)
    # Witness: the YAML library's own base loader.
    wanted = YAML(typ="base").load(text)
    inner = wanted
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value
    assert YAML(typ="base").load(new) == wanted
    gone, come = untouched(text, new)
    node = TREE.find(path)
    assert len(gone) <= node.end.line - node.start.line + 1
    assert len(come) <= 1


@SLOW
@given(st.sampled_from(ALL_PATHS), st.booleans())
def test_a_removed_item_is_gone_and_comments_on_their_own_lines_stay(path, windows):
    text = STYLES.replace("\n", "\r\n") if windows else STYLES
    new = remove_item(text, path)
    for comment in ("# every way to write a value", "# between"):
        if path != ("rows",):
            assert comment in new
    assert len(new) < len(text)
    gone, come = untouched(text, new)
    assert len(come) <= 1
    assert len(gone) <= len(text.splitlines())


COLLECTIONS = [
    path
    for path in [(), *ALL_PATHS]
    if not isinstance(TREE.find(path), Text) or not TREE.find(path).text
]


@SLOW
@given(
    st.sampled_from(COLLECTIONS),
    VALUES,
    st.sampled_from(["new", "two words", "a: b", "#c"]),
    st.booleans(),
)
def test_an_added_item_is_read_back_and_no_line_is_lost(path, value, key, windows):
    text = STYLES.replace("\n", "\r\n") if windows else STYLES
    node = TREE.find(path)
    if isinstance(node, Listing):
        key = ""
    new = add_item(text, path, value, key=key)
    wanted = YAML(typ="base").load(text)
    inner = wanted
    for step in path:
        inner = inner[step]
    if isinstance(inner, list):
        inner.append(value)
    elif isinstance(inner, dict):
        inner[key] = value
    else:
        outer = wanted
        for step in path[:-1]:
            outer = outer[step]
        outer[path[-1]] = {key: value}
    read_back = YAML(typ="base").load(new)
    assert read_back == wanted or _with_nothing(read_back) == _with_nothing(wanted)
    gone, come = untouched(text, new)
    assert len(gone) <= 1
    assert len(come) <= 2


def _with_nothing(value):
    """Take empty lists, keys and texts for the same nothing."""
    if isinstance(value, dict):
        return {key: _with_nothing(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_with_nothing(inner) for inner in value] or ""
    return value


def test_a_value_keeps_its_quotes_and_its_comment():
    assert set_value('a: "1 mm"   # why\n', ("a",), "2 mm") == 'a: "2 mm"   # why\n'
    assert set_value("a: '1 mm'\n", ("a",), "it's") == "a: 'it''s'\n"
    assert set_value("hole: 0.5 mm\n", ("hole",), "#75") == "hole: '#75'\n"
    assert set_value("at: {x: 1}\n", ("at", "x"), "8, 15") == "at: {x: '8, 15'}\n"


def test_accepting_a_finding_appends_it():
    new = accept(SALTMARSH, code="CUT031", item="bay / glazing", reason="checked: it fits")
    gone, come = untouched(SALTMARSH, new)
    assert gone == [
        "accepted: []                      # findings overruled: {code, item, reason}\n"
    ]
    assert come == [
        "accepted:                      # findings overruled: {code, item, reason}\n",
        "  - {code: CUT031, item: bay / glazing, reason: 'checked: it fits'}\n",
    ]
    twice = accept(new, code="CUT032", item="bay / glazing", reason="as well")
    entries = read(twice).design.acceptances
    assert [(entry.code, entry.reason) for entry in entries] == [
        ("CUT031", "checked: it fits"),
        ("CUT032", "as well"),
    ]


def test_accepting_needs_no_list_to_be_there():
    new = accept(SMALL, code="CUT031", item="desk", reason="seen")
    assert new == SMALL + "accepted: [{code: CUT031, item: desk, reason: seen}]\n"


def test_an_acceptance_without_reason_is_refused():
    with pytest.raises(ChangeError):
        accept(SMALL, code="CUT031", item="desk", reason=" ")


@pytest.mark.parametrize("path", [("nowhere",), ("rows", 9), ("plain", "deeper"), ("rows", "x")])
def test_nothing_can_be_changed_where_nothing_stands(path):
    with pytest.raises(LookupError):
        set_value(STYLES, path, "x")
    with pytest.raises(LookupError):
        remove_item(STYLES, path)


def test_a_key_is_not_added_twice():
    with pytest.raises(LookupError):
        add_item(STYLES, (), "x", key="plain")


def test_a_broken_file_is_not_changed():
    with pytest.raises(ChangeError):
        set_value("a: [1\nb: 2\n", ("b",), "3")


def test_signs_that_cannot_be_seen_are_not_written():
    with pytest.raises(ChangeError):
        set_value(SMALL, ("name",), "a\u202eb")


def test_a_led_is_added_and_removed_without_a_trace():
    path = ("sub_assemblies", "desk", "lamps")
    value = {"type": "white 0603", "at": ["9 mm", "9 mm"], "current": "2 mA"}
    more = add_item(SMALL, path, value, key="second")
    assert [led.name for led in read(more).design.sub_assemblies[0].leds()][:2] == [
        "lamp",
        "second",
    ]
    assert remove_item(more, (*path, "second")) == SMALL


def test_saved_text_is_the_bytes_on_disk(tmp_path):
    file = tmp_path / "project.yaml"
    text = SMALL.replace("\n", "\r\n").replace("Small", "Gr\u00f6\u00dfe")
    save(file, text)
    assert file.read_bytes() == text.encode()
    assert read_project(file).design.name == "Gr\u00f6\u00dfe"


def test_the_tree_of_styles_is_what_the_library_reads():
    assert plain(TREE.root) == YAML(typ="base").load(STYLES)
