"""Changes to the maker's file: values changed, items added and removed, findings accepted.

Everything the maker wrote stays as it was, byte for byte, but for the lines that are meant. Each
change is proved before it is given back: the new text is read again, and must hold exactly what
was asked for.
"""

from pathlib import Path as FilePath
from typing import Any

from lamphouse.project import splice
from lamphouse.project.splice import Value
from lamphouse.project.tree import Path, Tree, grow, plain
from lamphouse.storage.atomic import write_file


class ChangeError(ValueError):
    """A change that cannot be made in this text."""


def set_value(text: str, path: Path, value: Value) -> str:
    r"""Give the text with another value at a path.

    Parameters
    ----------
    text
        The whole file.
    path
        Keys and numbers from the outside in, such as ``("supply", "voltage")``.
    value
        As the maker would write it: ``"12 V"``, ``["8 mm", "15 mm"]``.

    Raises
    ------
    LookupError
        If nothing stands at the path.
    ChangeError
        If the text is no sound project file, or the value cannot be written.

    Examples
    --------
    >>> set_value("scale: 1:24   # as the kit\n", ("scale",), "1:48")
    'scale: 1:48   # as the kit\n'
    """
    tree = sound_tree(text)
    new = splice.replaced(tree, path, value)
    return _proved(new, _changed(plain(tree.root), path, value))


def add_item(text: str, path: Path, value: Value, *, key: str = "") -> str:
    """Give the text with one more item at the end of the list at a path, or a key with its value.

    Parameters
    ----------
    text
        The whole file.
    path
        The list, or the keys; ``()`` for the outermost keys.
    value
        The item.
    key
        The new key; empty for a list.

    Raises
    ------
    LookupError
        If nothing stands at the path, or the key is already there.
    TypeError
        If neither a list nor keys stand there.
    ChangeError
        If the text is no sound project file, or the value cannot be written.
    """
    tree = sound_tree(text)
    return _proved(
        splice.added(tree, path, value, key=key), _grown_by(plain(tree.root), path, value, key)
    )


def remove_item(text: str, path: Path) -> str:
    """Give the text without the item or key at a path.

    Raises
    ------
    LookupError
        If nothing stands at the path.
    ChangeError
        If the text is no sound project file.
    """
    tree = sound_tree(text)
    return _proved(splice.removed(tree, path), _shrunk(plain(tree.root), path))


def accept(text: str, *, code: str, item: str, reason: str) -> str:
    """Give the text with a finding accepted.

    Parameters
    ----------
    text
        The whole file.
    code, item
        As the finding names them.
    reason
        Why the maker overrules it.

    Raises
    ------
    ChangeError
        If the text is no sound project file, or there is no reason.
    """
    if not reason.strip():
        silent = "a finding is accepted with a reason"
        raise ChangeError(silent)
    entry = {"code": code, "item": item, "reason": reason}
    if sound_tree(text).find(("accepted",)) is None:
        return add_item(text, (), [entry], key="accepted")
    return add_item(text, ("accepted",), entry)


def save(path: FilePath, text: str) -> None:
    """Write a project file, whole or not at all.

    Raises
    ------
    StorageError
        If the disk refuses.
    """
    write_file(path, text.encode("utf-8"))


def sound_tree(text: str) -> Tree:
    """Read the text of a project file that is to be changed.

    Raises
    ------
    ChangeError
        If it is no sound file.
    """
    tree, findings = grow(text, file="")
    if tree is None or findings:
        broken = f"the file must be mended first: {findings[0]}"
        raise ChangeError(broken)
    return tree


def _proved(text: str, wanted: Any) -> str:
    """Give the new text when it reads as wanted."""
    tree, findings = grow(text, file="")
    if tree is None or findings or not _same(plain(tree.root), wanted):
        unwritable = "this change cannot be written into the file"
        raise ChangeError(unwritable)
    return text


def _same(read: Any, wanted: Any) -> bool:
    """Compare, an empty value standing for an empty list and for no keys."""
    if read == "" or wanted == "":
        return not read and not wanted
    if isinstance(read, dict) and isinstance(wanted, dict):
        return list(read) == list(wanted) and all(_same(read[key], wanted[key]) for key in read)
    if isinstance(read, list) and isinstance(wanted, list):
        return len(read) == len(wanted) and all(map(_same, read, wanted))
    return bool(read == wanted)


def _inner(whole: Any, path: Path) -> Any:
    for step in path:
        whole = whole[step]
    return whole


def _changed(whole: Any, path: Path, value: Value) -> Any:
    _inner(whole, path[:-1])[path[-1]] = value
    return whole


def _grown_by(whole: Any, path: Path, value: Value, key: str) -> Any:
    """Give the whole with one more item; an empty value becomes the list or the keys."""
    at = _inner(whole, path)
    if at == "" and path:
        _inner(whole, path[:-1])[path[-1]] = {key: value} if key else [value]
    elif isinstance(at, dict):
        at[key] = value
    elif isinstance(at, list):
        at.append(value)
    return whole


def _shrunk(whole: Any, path: Path) -> Any:
    del _inner(whole, path[:-1])[path[-1]]
    return whole
