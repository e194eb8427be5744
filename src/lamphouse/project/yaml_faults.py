"""What is wrong with broken YAML, in a builder's words, and where reading can go on behind it."""

import re
from collections.abc import Iterator
from typing import Any, TypeAlias

Fault: TypeAlias = tuple[tuple[int, int], str, str]
"""``((line, column), what is wrong, how to mend)``."""

DEEPEST = 40
"""Lists in lists that are read; the library's time grows with the square of their depth."""

LONGEST_RESUMED = 500_000
"""Characters; in a longer text only the first fault is told."""

_KEY_LINE = re.compile(r"( *)(?:- +)?[^\s#:,\[\]{}\"'&*!|>%@`?-][^#:]*:(?: |$)")

_PLAIN_WORDS: tuple[tuple[str, str, str], ...] = (
    (
        r"found character '\\t'",
        "a tab stands where YAML allows only spaces",
        "put spaces in its place",
    ),
    (
        r"found character '(.)'",
        "a text cannot begin with the sign {0}",
        "put quotes around the text",
    ),
    (
        r"unexpected end of stream",
        "the quote opened here is never closed",
        "close it on the same line",
    ),
    (
        r"expected ',' or ']'",
        "the bracket opened here is not closed, or a comma is missing in it",
        "put a comma between any two values and ] at the end",
    ),
    (
        r"expected ',' or '}'",
        "the brace opened here is not closed, or a comma is missing in it",
        "put a comma between any two keys and } at the end",
    ),
    (
        r"expected the node content",
        "a value is missing before this sign",
        "write the value, or remove the bracket, brace or comma left over",
    ),
    (
        r"mapping values are not allowed",
        "a second colon in one value, or a line indented deeper than its neighbours",
        "put quotes around a text that holds ': ', or line the key up with the one above",
    ),
    (
        r"could not find expected ':'",
        "a line without a colon stands among keys",
        "write key: value, with a blank behind the colon",
    ),
    (
        r"expected <block end>",
        "this line does not line up with the ones above it",
        "give all keys of one item the same indentation",
    ),
    (
        r"unknown escape character|expected escape sequence",
        "a backslash in double quotes begins an escape that does not exist",
        "use single quotes, or write the backslash twice",
    ),
    (
        r"block sequence entries are not allowed",
        "a dash begins a list where none can stand",
        "put the list on lines of its own below its key",
    ),
    (
        r"undefined tag handle|tag|URI",
        "an exclamation mark begins a YAML tag, which a project file does not use",
        "put quotes around the text",
    ),
    (
        r"document start|directive|version|incompatible",
        "a line of dashes or dots, or one that begins with %, cuts the file in two",
        "remove that line",
    ),
    (
        r"(?:chomping or indentation|comment or a line break|indentation indicator)",
        "the signs | and > begin a text of several lines, and more stands behind one of them",
        "put quotes around the text",
    ),
    (
        r"anchor|alias",
        "the signs & and * begin a YAML anchor or alias, which a project file does not use",
        "put quotes around the text",
    ),
)


def faults_from(text: str, fault: Exception, *, most: int) -> list[Fault]:
    """Put a YAML fault into words, and look for more behind it.

    Reading goes on with the next block of lines whose key stands as far left as the broken line
    or farther; only faults are taken from there, never values.

    Parameters
    ----------
    text
        The whole file.
    fault
        What the YAML library raised for it.
    most
        How many faults are told at most.

    Returns
    -------
    list of Fault
        In the order of the file, the first being the given one.
    """
    faults = [_in_words(fault, first_line=0)]
    if len(text) > LONGEST_RESUMED:
        return faults
    lines = text.splitlines(keepends=True)
    at = faults[0][0][0]
    while at < len(lines) and len(faults) < most:
        begin, end = _next_block(lines, after=at)
        if begin >= len(lines):
            break
        deeper = _first_fault("".join(lines[begin:end]))
        if deeper is None:
            at = end
        else:
            faults.append(_in_words(deeper, first_line=begin))
            at = max(begin + 1, faults[-1][0][0])
    return faults


def _first_fault(block: str) -> Exception | None:
    """Look for a fault in lines of their own; none is told behind what is nested too deep."""
    from ruamel.yaml import YAML
    from ruamel.yaml.events import CollectionEndEvent, CollectionStartEvent

    depth = 0
    try:
        for event in YAML(typ="safe", pure=True).parse(block):
            depth += isinstance(event, CollectionStartEvent)
            depth -= isinstance(event, CollectionEndEvent)
            if depth > DEEPEST:
                return None
    except Exception as fault:  # the library has more ways to fail than it names
        return fault
    return None


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _next_block(lines: list[str], *, after: int) -> tuple[int, int]:
    """Find the lines that can be read on their own behind line number ``after`` (from 1)."""
    broken = _indent(lines[after - 1]) if after else 0
    begin = next(_keys(lines, first=after, most=broken), len(lines))
    if begin == len(lines):
        return begin, begin
    depth = _indent(lines[begin])
    end = next(_keys(lines, first=begin + 1, most=depth - 1), len(lines))
    return begin, end


def _keys(lines: list[str], *, first: int, most: int) -> Iterator[int]:
    """Go through the lines that begin with a key at most so far right."""
    for number in range(first, len(lines)):
        found = _KEY_LINE.match(lines[number])
        if found and len(found[1]) <= most:
            yield number


def _in_words(fault: Any, *, first_line: int) -> Fault:
    problem = str(getattr(fault, "problem", None) or fault)
    context = str(getattr(fault, "context", None) or "")
    mark = getattr(fault, "problem_mark", None)
    opened = getattr(fault, "context_mark", None)
    if opened is not None and re.search("quoted|flow|simple key", context):
        mark = opened
    place = (mark.line + 1 + first_line, mark.column + 1) if mark else (1 + first_line, 1)
    for pattern, words, remedy in _PLAIN_WORDS:
        found = re.search(pattern, problem)
        if found:
            return place, words.format(*found.groups()), remedy
    return place, "this is not YAML", f"mend the line ({problem.splitlines()[0][:80]})"
