"""The events of a YAML text, by the quick parser where both parsers give the same.

The quick parser is libyaml, written in C; the pure one is that of the round-trip library. They
differ in what is listed at ``DIFFER``, and only the pure one reads that. Where the quick parser
refuses a text, or is not installed, the pure one reads it too.
"""

import re
from collections.abc import Iterator
from typing import Any

DIFFER = re.compile(r"\ufeff|\t|(?<![\w-])[?|>]|['\"]\s*:\S|(?:^|[\r\n])(?:---|\.\.\.|%)")
"""What the two parsers may read differently: a byte order mark, which only one counts; tabs
between values; keys behind a question mark; texts of several lines behind ``|`` or ``>``; a quoted
key whose colon has no blank behind it; and lines that cut a file in two. What only looks like one
of these costs time and nothing else."""


def pure_events(text: str) -> Iterator[Any]:
    """Give the events of the pure parser, which stands on nothing but Python."""
    from ruamel.yaml import YAML

    events: Iterator[Any] = YAML(typ="safe", pure=True).parse(text)
    return events


def quick_events(text: str) -> Iterator[Any] | None:
    """Give the events of the quick parser; None where the pure one must read.

    The events of both parsers have the same names, values and marks; a plain text has the style
    None with the one, and an empty style with the other.
    """
    if DIFFER.search(text):
        return None
    try:
        from yaml.cyaml import CParser
    except ImportError:  # PyYAML was built without libyaml
        return None
    return iter(CParser(text).get_event, None)
