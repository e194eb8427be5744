"""One change in the text of a project, everything else byte for byte as it was.

Positions come from the tree. Each function gives the new text; a whole line that goes or comes
takes its comment with it, comments on lines of their own stay.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias

from lamphouse.project.tree import Keyed, Listing, Node, Path, Text, Tree

Value: TypeAlias = str | Mapping[str, "Value"] | Sequence["Value"]
"""What can be written: a text, or texts in lists and by key."""

Edit: TypeAlias = tuple[int, int, str]
"""``(start, end, new)``: the piece of text that is replaced, by index."""

_PLAIN = re.compile(r"(?:[^\s\-?:,\[\]{}#&*!|>'\"%@`]|-(?=[^\s,\[\]{}]))[^\n]*")
_NEEDS_QUOTES = re.compile(r":(?:\s|$)|\s#|\s$")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t"}


def apply(text: str, edits: Iterable[Edit]) -> str:
    """Carry out edits that do not overlap."""
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def scalar(text: str, *, in_brackets: bool, like: str = "") -> str:
    """Write a text so that YAML reads it back: bare where that is safe, else in quotes.

    Parameters
    ----------
    text
        Any text without control characters, but for line ends and tabs.
    in_brackets
        Whether it stands between brackets or braces, where commas separate.
    like
        The quote it had before, kept when it can be.
    """
    if like not in ("'", '"') and _is_plain(text, in_brackets=in_brackets):
        return text
    if like != '"' and not re.search(r"[\n\t]", text):
        return "'" + text.replace("'", "''") + "'"
    return '"' + "".join(_ESCAPES.get(sign, sign) for sign in text) + '"'


def _is_plain(text: str, *, in_brackets: bool) -> bool:
    if not _PLAIN.fullmatch(text) or _NEEDS_QUOTES.search(text) or text[:3] in ("---", "..."):
        return False
    return not (in_brackets and re.search(r"[,\[\]{}]|:(?=[,\[\]{}\"'])|:$", text))


def written(value: Value, *, in_brackets: bool, like: str = "") -> str:
    """Write a value on one line; lists and keys go between brackets."""
    if isinstance(value, str):
        return scalar(value, in_brackets=in_brackets, like=like)
    if isinstance(value, Mapping):
        return (
            "{"
            + ", ".join(_entry(key, inner, in_brackets=True) for key, inner in value.items())
            + "}"
        )
    return "[" + ", ".join(written(inner, in_brackets=True) for inner in value) + "]"


def _entry(key: str, value: Value, *, in_brackets: bool) -> str:
    name = scalar(key, in_brackets=in_brackets)
    return f"{name}: {written(value, in_brackets=in_brackets)}"


def line_end(text: str) -> str:
    """Give the line end a text uses."""
    return "\r\n" if "\r\n" in text else "\n"


def replaced(tree: Tree, path: Path, value: Value) -> str:
    """Give the text with another value at a path.

    Raises
    ------
    LookupError
        If nothing stands at the path.
    """
    node = found(tree, path)
    if isinstance(node, Text) and node.text == value:
        return tree.text
    in_brackets = _is_inside_brackets(tree, path)
    like = node.quote if isinstance(node, Text) else ""
    new = written(value, in_brackets=in_brackets, like=like)
    start, end = node.start.index, node.end.index
    if isinstance(node, Text) and like in ("|", ">"):
        new += line_end(tree.text) if tree.text[end - 1 : end] == "\n" else ""
    elif start == end and tree.text[start - 1 : start] == ":":
        new = f" {new}"
    elif not isinstance(node, Text) and not node.in_brackets and isinstance(path[-1], str):
        start = _colon_end(tree, path)
        new = f" {new}"
    return apply(tree.text, [(start, end, new)])


def added(tree: Tree, path: Path, value: Value, *, key: str = "") -> str:
    """Give the text with one more item in the list, or under a new key in the keys, at a path.

    Raises
    ------
    LookupError
        If nothing stands at the path, or the key is already there.
    TypeError
        If a value stands there, or a key is given for a list or missing for keys.
    """
    node = found(tree, path)
    is_list = not key
    if isinstance(node, Keyed) and key in node.entries:
        taken = f"'{key}' is already there"
        raise LookupError(taken)
    is_empty = isinstance(node, Text) and not node.text
    if not is_empty and not isinstance(node, Listing if is_list else Keyed):
        wrong = f"an item cannot be added at {path}"
        raise TypeError(wrong)
    if isinstance(node, Text) or (_is_empty(node) and not _is_inside_brackets(tree, path)):
        return _first_item(tree, path, node, value, key)
    if node.in_brackets:
        return _in_brackets(tree, node, value, key)
    return _on_new_line(tree, node, value, key)


def _is_empty(node: Listing | Keyed) -> bool:
    return not (node.items if isinstance(node, Listing) else node.entries)


def _first_item(tree: Tree, path: Path, node: Node, value: Value, key: str) -> str:
    """Put the first item below its key, on a line of its own; inside brackets behind the key."""
    if _is_inside_brackets(tree, path) or not path or isinstance(path[-1], int):
        new = written({key: value} if key else [value], in_brackets=True)
        blank = " " if isinstance(node, Text) else ""
        return apply(tree.text, [(node.start.index, node.end.index, blank + new)])
    indent = " " * (tree.spot(path).column - 1 + 2)
    entry = _member(value, key)
    emptied = (_colon_end(tree, path), node.end.index, "")
    at = _line_behind(tree.text, node.end.index)
    new = f"{indent}{entry}{line_end(tree.text)}"
    return apply(tree.text, [(at, at, _on_its_line(tree.text, at, new)), emptied])


def _member(value: Value, key: str) -> str:
    """Write one member of keys or of a list on its own line."""
    if key:
        return _entry(key, value, in_brackets=False)
    return f"- {written(value, in_brackets=False)}"


def _in_brackets(tree: Tree, node: Listing | Keyed, value: Value, key: str) -> str:
    new = _entry(key, value, in_brackets=True) if key else written(value, in_brackets=True)
    if _is_empty(node):
        at = node.end.index - 1
        return apply(tree.text, [(at, at, new)])
    last = _ends(node)[-1]
    comma = " , " if tree.text[last - 1] == ":" else ", "
    return apply(tree.text, [(last, last, comma + new)])


def _on_new_line(tree: Tree, node: Listing | Keyed, value: Value, key: str) -> str:
    indent = " " * (node.start.column - 1)
    entry = _member(value, key)
    at = _line_behind(tree.text, _ends(node)[-1])
    new = f"{indent}{entry}{line_end(tree.text)}"
    return apply(tree.text, [(at, at, _on_its_line(tree.text, at, new))])


def removed(tree: Tree, path: Path) -> str:
    """Give the text without the item or key at a path.

    Raises
    ------
    LookupError
        If nothing stands at the path.
    """
    found(tree, path)
    parent = collection(tree, path[:-1])
    starts, ends = _starts(tree, parent), _ends(parent)
    number = (
        list(parent.entries).index(str(path[-1])) if isinstance(parent, Keyed) else int(path[-1])
    )
    return apply(tree.text, [_cut(tree.text, parent, starts, ends, number)])


def _cut(
    text: str, parent: Listing | Keyed, starts: list[int], ends: list[int], number: int
) -> Edit:
    """Give the edit that takes one member out of its surroundings."""
    start, end = starts[number], ends[number]
    if not parent.in_brackets and not text[_line_start(text, start) : start].strip(" \ufeff"):
        return _line_start(text, start), _line_behind(text, end), ""
    if number + 1 < len(starts):
        return start, starts[number + 1], ""
    if parent.in_brackets:
        return (ends[number - 1] if number else start), end, ""
    if number:
        return ends[number - 1], end, ""
    return start, end, "{}" if isinstance(parent, Keyed) else "[]"


def found(tree: Tree, path: Path) -> Node:
    """Give the node at a path.

    Raises
    ------
    LookupError
        If there is none.
    """
    node = tree.find(path)
    if node is None:
        lost = f"nothing stands at {path}"
        raise LookupError(lost)
    return node


def _is_inside_brackets(tree: Tree, path: Path) -> bool:
    for depth in range(len(path)):
        node = tree.find(path[:depth])
        if not isinstance(node, Text) and node is not None and node.in_brackets:
            return True
    return False


def collection(tree: Tree, path: Path) -> Listing | Keyed:
    """Give the list or the keys at a path.

    Raises
    ------
    LookupError
        If there are none.
    """
    node = found(tree, path)
    if not isinstance(node, Text):
        return node
    lost = f"one value stands at {path}"
    raise LookupError(lost)


def _colon_end(tree: Tree, path: Path) -> int:
    """Give the index right behind the colon of a key."""
    parent = found(tree, path[:-1])
    behind = parent.entries[str(path[-1])].key.end if isinstance(parent, Keyed) else parent.start
    return tree.text.index(":", behind.index) + 1


def _starts(tree: Tree, node: Listing | Keyed) -> list[int]:
    if isinstance(node, Keyed):
        return [entry.key.start.index for entry in node.entries.values()]
    if node.in_brackets:
        return [item.start.index for item in node.items]
    return [dash_of(tree.text, item) for item in node.items]


def dash_of(text: str, item: Node) -> int:
    """Give the index of the dash before an item on its own line."""
    return text.rindex("-", 0, item.start.index)


def _ends(node: Listing | Keyed) -> list[int]:
    if isinstance(node, Keyed):
        return [entry.value.end.index for entry in node.entries.values()]
    return [item.end.index for item in node.items]


def _line_start(text: str, index: int) -> int:
    return text.rfind("\n", 0, index) + 1


def _line_behind(text: str, index: int) -> int:
    """Give where the next line begins; an index at the beginning of a line is its own answer."""
    if index and text[index - 1] == "\n":
        return index
    end = text.find("\n", index)
    return len(text) if end < 0 else end + 1


def _on_its_line(text: str, at: int, new: str) -> str:
    """Begin a new line first when the text does not end in one."""
    return new if not at or text[at - 1] == "\n" else line_end(text) + new
