"""The quick parser against the pure one: the same tree, or the pure one reads alone.

Witness: ruamel's pure parser, which writes the files back; the quick one is libyaml.
"""

import importlib.util
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.project import tree
from lamphouse.project.starter import DEMOS, demo_text, grown_text, starter_text
from lamphouse.project.yaml_events import quick_events

FUZZ = Path(__file__).parents[2] / "fuzz" / "project_file.py"
SEED = 20_261_127
MUTANTS = 500

DEMO_TEXTS = {
    "starter": starter_text(),
    "saltmarsh": demo_text("saltmarsh"),
    "saltmarsh, mended": demo_text("saltmarsh", "mended.yaml"),
    "night-studio": demo_text("night-studio"),
    "night-studio, mended": demo_text("night-studio", "mended.yaml"),
    "gorge": grown_text("gorge", modules=6),
}


def read_alike(text):
    """Read a text both ways; tell whether the quick parser read it."""
    if tree._unseen_signs(text, file="p.yaml"):
        return False
    quick = tree._quick_root(text, file="p.yaml")
    if quick is None:
        return False
    pure, found = tree._pure_root(text, file="p.yaml")
    assert not found, text
    assert repr(quick) == repr(pure), text
    return True


@pytest.mark.parametrize("text", DEMO_TEXTS.values(), ids=DEMO_TEXTS)
def test_every_demo_is_read_by_the_quick_parser(text):
    assert read_alike(text)
    assert read_alike(text.replace("\n", "\r\n"))


def test_no_demo_is_left_out():
    assert all(any(name.startswith(demo) for name in DEMO_TEXTS) for demo in DEMOS)


@pytest.mark.parametrize(
    "text",
    [
        "a: é\nb: [ü, {c: \U0001f4a1}] # é\nd: e\n",
        "a: b\r\nc:\r\n  - d\r\n  - e: f\r\n",
        "a: b\rc: d\r",
        "a:\nb:   \nc: # none\n  \nd: {e: , f: }\n",
        "a: one\n  two\n\n  three\nb: 'one\n  two'\nc: \"one \\\n  two\"\n",
        "a: 'it''s'\nb: \"\\u00e9\\n\\/\"\nc: ''\n",
        "a:   b   \nc: [ d , e ]   \nf: { g : h }  # i\n",
        "a: [b, c: d, e]\nf: [\n  g,\n  h\n]\n",
        "k:\n- a\n- b: c\n  d: e\n-\n- - f\n  - g\n",
    ],
)
def test_both_parsers_give_the_same_spots(text):
    assert read_alike(text)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffa: b\n",
        "k: \ta\n",
        "k: a \t# b\n",
        "{? ,}\n",
        "k: |\n  \n    a\n",
        "k: >-\n  a\n  b\n",
        "k: ['d':]\n",
        "k: ['d' :]\n",
        'k: ["":-1]\n',
        "k: a\n...\n\n...\n",
        "a: 1\n---\nb: 2\n",
        "%YAML 1.1\n---\na: b\n",
    ],
)
def test_what_the_parsers_read_differently_is_read_by_the_pure_one(text):
    assert quick_events(text) is None


def test_without_the_quick_parser_the_pure_one_reads(monkeypatch):
    text = DEMO_TEXTS["saltmarsh"]
    quick = tree.grow(text, file="p.yaml")
    monkeypatch.setattr(tree, "quick_events", lambda _: None)
    assert repr(tree.grow(text, file="p.yaml")) == repr(quick)


def test_mutants_are_read_alike():
    spec = importlib.util.spec_from_file_location("project_file", FUZZ)
    fuzz = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(fuzz)
    texts = [*DEMO_TEXTS.values(), *[starter_text()] * 4]
    quick = 0
    for number in range(MUTANTS):
        data = fuzz.mutant(texts[number % len(texts)], seed=SEED, number=number)
        text, refused = tree.decode(data, file="p.yaml")
        quick += not refused and read_alike(text)
    assert quick > MUTANTS / 4  # or nothing was compared


SIGNS = st.sampled_from(
    [
        *(
            "a",
            "é",
            "\U0001f4a1",
            "1",
            "'",
            '"',
            "''",
            "\\",
            "\\n",
            "\\/",
            "\\x41",
            "!",
            "&a ",
            "*a",
        ),
        *("[", "]", "{", "}", ",", ", ", ":", ": ", " :", "- ", "-", "#", " #", "=", "~", "@", "%"),
        *(
            " ",
            "  ",
            "\n",
            "\n  ",
            "\n    ",
            "\r\n",
            "\r",
            "\n- ",
            "\n  - ",
            "\n# c\n",
            "?",
            "|",
            ">",
        ),
        *("a: b\n", "k: [a, b]\n", "k: 'x'\n", "k: a\n  b\n", "k: 'a\n  b'\n", "\t", "\\\n", "---"),
    ]
)
SOUND = "a: b\nk: [a, {b: c}, 'd']\nm:\n  n: o\n  p:\n    - q\n    - r: s\n      t: u\n"


@given(signs=st.lists(SIGNS, max_size=6), at=st.integers(0, len(SOUND)))
@settings(max_examples=500, deadline=None)
def test_signs_in_a_sound_text_are_read_alike(signs, at):
    read_alike(SOUND[:at] + "".join(signs) + SOUND[at:])
