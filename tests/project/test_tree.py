"""The tree against the YAML library's own loader, and every limit against a file beyond it."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from lamphouse.project.tree import DEEPEST, MOST_BYTES, MOST_NODES, decode, grow, plain
from project.projects import SALTMARSH


def first(text):
    tree, found = grow(text, file="p.yaml")
    assert found, text
    return tree, found[0]


def test_saltmarsh_reads_as_the_library_reads_it_when_nothing_is_guessed():
    # Witness: ruamel's base loader, which keeps every scalar as text.
    tree, found = grow(SALTMARSH, file="p.yaml")
    assert not found
    assert plain(tree.root) == YAML(typ="base").load(SALTMARSH)


@pytest.mark.parametrize(
    "value", ["1:24", "no", "0603", "2026-11-25", "1e3", "null", "~", "0x1F", "12:30:45", ".5"]
)
def test_values_stay_text(value):
    # YAML 1.2.2, 10.3: a schema would resolve these to numbers, dates, true or nothing.
    tree, found = grow(f"key: {value}\n", file="p.yaml")
    assert not found
    assert plain(tree.root) == {"key": value}


def test_every_spot_points_at_its_text():
    tree, _ = grow(SALTMARSH, file="p.yaml")
    lines = SALTMARSH.splitlines()

    def walk(node, path):
        for step in node if isinstance(node, dict) else range(len(node)):
            spot = tree.spot((*path, step))
            inner = node[step]
            rest = lines[spot.line - 1][spot.column - 1 :]
            if isinstance(node, dict):
                assert rest.startswith(step)
            elif isinstance(inner, str):
                assert rest.startswith(inner)
            if not isinstance(inner, str):
                walk(inner, (*path, step))

    walk(plain(tree.root), ())


def test_a_place_that_is_not_there_is_told_at_the_last_one_that_is():
    tree, _ = grow("a:\n  b: c\n", file="p.yaml")
    assert (tree.spot(("a", "x", "y")).line, tree.spot(("a", "b", 3)).line) == (1, 2)


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("a: 1\na: 2\n", "PRJ005", 2),
        ("a: &x 1\n", "PRJ006", 1),
        ("a: 1\nb: *x\n", "PRJ006", 2),
        ("a: !!str 4\n", "PRJ006", 1),
        ("a: !own 4\n", "PRJ006", 1),
        ("", "PRJ008", 1),
        ("# only a comment\n", "PRJ008", 1),
        ("- a\n", "PRJ008", 1),
        ("just text\n", "PRJ008", 1),
        ("a: 1\n---\nb: 2\n", "PRJ008", 2),
        ("[a]: 1\n", "PRJ008", 1),
        ("a:\n\tb: 1\n", "PRJ004", 2),
        ("a: 'x\nb: 1\n", "PRJ004", 1),
        ("a: [1, 2\nb: 1\n", "PRJ004", 1),
        ("a: @b\n", "PRJ004", 1),
        ("a: b: c\n", "PRJ004", 1),
        ("a: 1\n  b: 2\n", "PRJ004", 2),
        ('a: "\\q"\n', "PRJ004", 1),
        ('a: "\\UFFFFFFFF"\n', "PRJ004", 1),
        ("a: 1\nb\nc: 2\n", "PRJ004", 2),
        ("%YAML 9.9\n---\na: 1\n", "PRJ004", 1),
        ("a: x\x00y\n", "PRJ003", 1),
        ("a: 1\nb: \u202ex\n", "PRJ003", 2),
        ('a: "\\u202e"\n', "PRJ003", 1),
        ("a: " + "[" * (DEEPEST + 1), "PRJ007", 1),
        ("a: " + "x" * 10_001, "PRJ007", 1),
    ],
)
def test_what_is_no_project_is_refused_at_its_line(text, code, line):
    _, found = first(text)
    assert (found.code, found.where.line) == (code, line), str(found)


def test_a_second_document_is_refused_with_its_line():
    _, found = first("a: 1\n...\n---\nb: 1\n")
    assert (found.code, found.where.line) == ("PRJ008", 3)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ("name: x".encode("utf-16"), "UTF-16"),
        ("name: x".encode("utf-32"), "UTF-32"),
        (b"scale: 1:24\nname: caf\xe9\n", "Latin-1: byte 0xE9 ('\xe9') in line 2"),
        (b"\x89PNG\x00\xff", "bytes"),
    ],
)
def test_other_encodings_are_named(data, words):
    text, found = decode(data, file="p.yaml")
    assert (text, found[0].code) == ("", "PRJ002")
    assert words in found[0].message


def test_a_byte_order_mark_is_passed_over():
    text, found = decode("name: x\n".encode("utf-8-sig"), file="p.yaml")
    tree, more = grow(text, file="p.yaml")
    assert not (*found, *more)
    assert plain(tree.root) == {"name": "x"}


def test_several_yaml_faults_are_told_at_once():
    text = "a: [1\nb: ok\nc: 'x\nd:\n  e: @x\n  f: fine\n  g: {h: 1\ni: 1\n"
    _, found = grow(text, file="p.yaml")
    assert [(one.code, one.where.line) for one in found] == [
        ("PRJ004", 1),
        *(("PRJ004", n) for n in (3, 5, 7)),
    ]


def _timed(text):
    begin = time.process_time()
    _, found = grow(text, file="p.yaml")
    return found, time.process_time() - begin


@pytest.mark.parametrize(
    "text",
    [
        "x0: &b0 [a, a]\n" + "".join(f"x{n}: &b{n} [*b{n - 1}, *b{n - 1}]\n" for n in range(1, 40)),
        "a: &a [*a]\n",
        "a: " + "[" * 100_000,
        "a: " + "{b: " * 100_000,
        "- " * 100_000,
        "? " * 100_000,
        "a: " + "x" * (MOST_BYTES + 1),
        "a: '" + "x" * 1_000_000,
    ],
    ids=["bomb", "cycle", "brackets", "braces", "dashes", "questions", "huge", "open quote"],
)
def test_hostile_files_are_refused_quickly(text):
    found, took = _timed(text)
    assert found
    assert took < 5.0, f"{took:.1f} s"


def test_too_many_values_are_refused():
    found, _ = _timed("a: [" + "1," * MOST_NODES + "]")
    assert [one.code for one in found] == ["PRJ007"]


@given(st.text(max_size=200))
def test_no_text_raises(text):
    tree, found = grow(text, file="p.yaml")
    assert tree or found


@given(st.binary(max_size=200))
def test_no_bytes_raise(data):
    text, found = decode(data, file="p.yaml")
    if not found:
        grow(text, file="p.yaml")


@given(
    st.lists(
        st.sampled_from(
            [
                "a: ",
                "b:",
                "\n",
                "  ",
                "- ",
                "[",
                "]",
                "{",
                "}",
                ",",
                "'",
                '"',
                "#",
                "&x ",
                "*x",
                "!t ",
                "|",
                ">",
                "x",
                "1 mm",
                "? ",
                "---\n",
                "%",
                "\t",
            ]
        ),
        max_size=40,
    ).map("".join)
)
def test_no_mixture_of_yaml_signs_raises(text):
    tree, found = grow(text, file="p.yaml")
    assert tree or found
