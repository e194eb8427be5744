"""Older layouts of the project file brought to the newest, step by step, comments kept.

- Layout 0 held ``leds``, ``lamps`` and ``strands`` as lists whose items had a ``name``, and called
  the supply's ``max_current`` just ``current``.
- Layout 1 is the newest.
"""

import errno
from collections.abc import Callable, Iterator
from pathlib import Path as FilePath

from lamphouse.project.splice import Edit, apply, dash_of, line_end, scalar
from lamphouse.project.tree import MOST_BYTES, Entry, Keyed, Listing, Node, Text, Tree, decode, grow
from lamphouse.record import Record
from lamphouse.storage.atomic import write_file
from lamphouse.storage.reading import read_file
from lamphouse.units.digits import whole_number

NEWEST = 1
"""Number of the newest layout."""


class Upgraded(Record):
    """A text brought to the newest layout."""

    text: str
    version: int
    steps: tuple[str, ...]
    """What was done, one sentence each; empty when nothing had to be."""


class UpgradedFile(Record):
    """What came of upgrading a file."""

    file: str
    old_file: str
    """Where the file as it was is kept; empty when nothing had to change."""
    version: int
    steps: tuple[str, ...]


def upgrade(text: str) -> Upgraded:
    """Bring a text to the newest layout.

    Parameters
    ----------
    text
        A project file that can be read as YAML.

    Raises
    ------
    ValueError
        If it cannot, or its layout is unknown.
    """
    steps: list[str] = []
    version = version_of(text)
    while version < NEWEST:
        passes, words = _STEPS[version]
        for each in passes:
            tree, found = grow(text, file="")
            if tree is None:
                raise ValueError(str(found[0]))
            text = apply(text, each(tree))
        version += 1
        steps += words
    return Upgraded(text=text, version=version, steps=tuple(steps))


def version_of(text: str) -> int:
    """Give the number of a text's layout.

    Raises
    ------
    ValueError
        If the text cannot be read, or holds no number of a known layout.
    """
    tree, findings = grow(text, file="")
    given = tree.find(("lamphouse",)) if tree else None
    if not isinstance(given, Text):
        unknown = str(findings[0]) if findings else "the file has no key lamphouse"
        raise ValueError(unknown)  # noqa: TRY004  the text is at fault, not the call
    number = whole_number(given.text)
    if number is None or number > NEWEST:
        unknown = f"layout '{given.text[:40]}' is not known; the newest is {NEWEST}"
        raise ValueError(unknown)
    return number


def upgrade_file(path: FilePath) -> UpgradedFile:
    """Bring a project's file to the newest layout; the file as it was is kept beside it.

    Parameters
    ----------
    path
        The project's folder or its file.

    Raises
    ------
    OSError
        If the file is not there, is no project file, or cannot be written; or if another old
        file is kept under the name already.
    """
    file = path / "project.yaml" if path.is_dir() else path
    data = read_file(file, most_bytes=MOST_BYTES)
    text, refused = decode(data, file=str(file))
    if refused:
        raise OSError(errno.EINVAL, str(refused[0]))
    try:
        old = version_of(text)
        done = upgrade(text)
    except ValueError as fault:
        raise OSError(errno.EINVAL, str(fault)) from fault
    if not done.steps:
        return UpgradedFile(file=str(file), old_file="", version=old, steps=())
    kept = file.with_name(f"{file.stem}.layout{old}{file.suffix}")
    if kept.exists() and read_file(kept, most_bytes=MOST_BYTES) != data:
        raise FileExistsError(errno.EEXIST, f"{kept} is there already; move it away first")
    write_file(kept, data)
    write_file(file, done.text.encode("utf-8"))
    return UpgradedFile(file=str(file), old_file=str(kept), version=done.version, steps=done.steps)


def _indent_lists(tree: Tree) -> list[Edit]:
    """Indent lists that stand as far left as their key; keys could not stand there."""
    return [
        edit
        for key, listing in _named_lists(tree)
        if not listing.in_brackets and listing.start.column <= key.start.column
        for edit in _deeper(tree.text, listing)
    ]


def _name_by_key(tree: Tree) -> list[Edit]:
    """Name LEDs, lamps and strands by key, and call the supply's current ``max_current``."""
    edits = [edit for _, listing in _named_lists(tree) for edit in _keyed(tree, listing)]
    supply = tree.find(("supply",))
    if isinstance(supply, Keyed) and "current" in supply.entries:
        key = supply.entries["current"].key
        edits.append((key.start.index, key.end.index, "max_current"))
    return [*edits, _version_edit(tree, 1)]


def _version_edit(tree: Tree, version: int) -> Edit:
    given = tree.root.entries["lamphouse"].value
    return given.start.index, given.end.index, str(version)


def _named_lists(tree: Tree) -> Iterator[tuple[Text, Listing]]:
    """Find every list of named LEDs, lamps and strands, with its key."""
    for sub in _values(tree.root.entries.get("sub_assemblies")):
        yield from _lists(sub, ("lamps",))
        for panel in _values(_entry(sub, "panels")):
            yield from _lists(panel, ("strands",))
            for box in _values(_entry(panel, "boxes")):
                yield from _lists(box, ("leds",))


def _entry(node: Node, key: str) -> Entry | None:
    return node.entries.get(key) if isinstance(node, Keyed) else None


def _values(entry: Entry | None) -> list[Node]:
    inside = entry.value if entry else None
    return [each.value for each in inside.entries.values()] if isinstance(inside, Keyed) else []


def _lists(node: Node, keys: tuple[str, ...]) -> Iterator[tuple[Text, Listing]]:
    for key in keys:
        entry = _entry(node, key)
        if entry and isinstance(entry.value, Listing):
            yield entry.key, entry.value


def _keyed(tree: Tree, listing: Listing) -> Iterator[Edit]:
    """Turn ``- {name: W, ...}`` into ``W: {...}``; a list with an item without name stays."""
    names = [_name_of(item) for item in listing.items]
    if not all(names):
        return
    if listing.in_brackets:
        yield listing.start.index, listing.start.index + 1, "{"
        yield listing.end.index - 1, listing.end.index, "}"
    for item, entry in zip(listing.items, names, strict=True):
        if isinstance(item, Keyed) and entry:
            yield from _item_edits(tree.text, item, entry, in_list=not listing.in_brackets)


def _name_of(item: Node) -> Entry | None:
    entry = _entry(item, "name")
    return entry if entry and isinstance(entry.value, Text) and entry.value.text else None


def _deeper(text: str, listing: Listing) -> Iterator[Edit]:
    """Indent the lines of a list that stood as far left as its key."""
    at = listing.start.index - (listing.start.column - 1)
    while 0 <= at < listing.end.index:
        yield at, at, "  "
        at = text.find("\n", at) + 1 or -1


def _item_edits(text: str, item: Keyed, name: Entry, *, in_list: bool) -> Iterator[Edit]:
    word = scalar(name.value.text, in_brackets=True) if isinstance(name.value, Text) else ""
    start = dash_of(text, item) if in_list else item.start.index
    entries = list(item.entries.values())
    number = entries.index(name)
    if item.in_brackets:
        yield start, item.start.index, f"{word}: "
        begin, end = name.key.start.index, name.value.end.index
        if number + 1 < len(entries):
            end = entries[number + 1].key.start.index
        elif number:
            begin = entries[number - 1].value.end.index
        yield begin, end, ""
    elif number == 0:
        yield start, name.value.end.index, f"{word}:"
    else:
        indent = " " * (item.start.column - 1)
        yield start, item.start.index, f"{word}:{line_end(text)}{indent}"
        line_start = text.rfind("\n", 0, name.key.start.index) + 1
        line_stop = text.find("\n", name.value.end.index) + 1 or len(text)
        yield line_start, line_stop, ""


_STEPS: dict[int, tuple[tuple[Callable[[Tree], list[Edit]], ...], tuple[str, ...]]] = {
    0: (
        (_indent_lists, _name_by_key),
        (
            "leds, lamps and strands are named by their keys instead of by name in a list",
            "the supply's current is called max_current",
        ),
    ),
}
"""For each older layout the step to the next, and what it does in words."""
