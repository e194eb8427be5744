"""Edits as they come from the page, made in the maker's text."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

from lamphouse.project import write
from lamphouse.project.splice import Value
from lamphouse.project.tree import Path, grow, plain

Step: TypeAlias = str | int
Written: TypeAlias = "str | list[Written] | dict[str, Written]"


class _Edit(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class SetValue(_Edit):
    """Another value at a path; where the key is not there yet, it comes."""

    do: Literal["set"]
    path: Annotated[list[Step], Field(min_length=1, max_length=24)]
    value: "str | list[object] | dict[str, object]"
    was: str | None = None
    """What the page showed before, to tell a conflict; None does not ask."""


class AddItem(_Edit):
    """One more item in a list, or a key with its value."""

    do: Literal["add"]
    path: Annotated[list[Step], Field(max_length=24)]
    value: "str | list[object] | dict[str, object]"
    key: Annotated[str, Field(max_length=200)] = ""


class RemoveItem(_Edit):
    """An item or key taken out."""

    do: Literal["remove"]
    path: Annotated[list[Step], Field(min_length=1, max_length=24)]


class AcceptFinding(_Edit):
    """A finding overruled, with the reason."""

    do: Literal["accept"]
    code: Annotated[str, Field(max_length=10)]
    item: Annotated[str, Field(max_length=500)]
    reason: Annotated[str, Field(max_length=2000)]


One: TypeAlias = Annotated[
    SetValue | AddItem | RemoveItem | AcceptFinding, Field(discriminator="do")
]


class Edits(_Edit):
    """What one action of the maker does: some edits that come and go together."""

    label: Annotated[str, Field(min_length=1, max_length=200)]
    """In the maker's words, for undo: ``Move W2``."""
    edits: Annotated[list[One], Field(min_length=1, max_length=500)]
    seen: Annotated[str, Field(max_length=64)] = ""
    """Revision the page showed."""


class ConflictError(Exception):
    """What is edited has by now neither the value that the page showed nor the one wanted."""

    def __init__(self, *, path: Sequence[Step], was: str, stands: str, wanted: Value) -> None:
        super().__init__(f"'{path[-1]}' was {was or 'not there'} and is {stands or 'gone'} now")
        self.path = tuple(path)
        self.was = was
        self.stands = stands
        self.wanted = wanted


def edited(text: str, edits: Edits) -> str:
    """Give the text with every edit made, one after the other.

    Raises
    ------
    ConflictError
        If a value is not the one the page showed.
    LookupError, TypeError, lamphouse.project.write.ChangeError
        If an edit cannot be made; nothing is half done.
    """
    for edit in edits.edits:
        text = _made(text, edit)
    return text


def _made(text: str, edit: One) -> str:
    if isinstance(edit, AcceptFinding):
        return write.accept(text, code=edit.code, item=edit.item, reason=edit.reason)
    path = tuple(edit.path)
    if isinstance(edit, RemoveItem):
        return write.remove_item(text, path)
    value = _value(edit.value)
    if isinstance(edit, AddItem):
        return write.add_item(text, path, value, key=edit.key)
    stands = value_at(text, path)
    if edit.was is not None and _shown(stands) not in (edit.was, _shown(value)):
        raise ConflictError(path=path, was=edit.was, stands=_shown(stands), wanted=value)
    if stands is None and isinstance(path[-1], str):
        return _added(text, path, value)
    return write.set_value(text, path, value)


def _added(text: str, path: Path, value: Value) -> str:
    """Add a key, and those above it that are not there yet."""
    while len(path) > 1 and isinstance(path[-2], str) and value_at(text, path[:-1]) is None:
        path, value = path[:-1], {str(path[-1]): value}
    return write.add_item(text, path[:-1], value, key=str(path[-1]))


def value_at(text: str, path: Path) -> Value | None:
    """Give what stands at a path of a text; None where nothing does."""
    tree, _ = grow(text, file="")
    return inner(plain(tree.root) if tree else None, path)


def inner(root: object, path: Path) -> Value | None:
    """Give what stands at a path of values already read; None where nothing does."""
    at = root
    for step in path:
        if isinstance(at, Mapping):
            at = at.get(step)
        elif isinstance(at, list) and isinstance(step, int) and 0 <= step < len(at):
            at = at[step]
        else:
            return None
    return at  # type: ignore[return-value]  # a tree holds texts, lists and keys only


def _shown(value: object) -> str:
    return "" if value is None else str(value)


def _value(given: object) -> Value:
    """Take a value as it came; numbers become the text the maker would have typed."""
    if isinstance(given, Mapping):
        return {str(key): _value(inner) for key, inner in given.items()}
    if isinstance(given, list):
        return [_value(inner) for inner in given]
    if isinstance(given, float):
        return f"{given:g}"
    return str(given)
