"""The history of a file: every change ever made to it, each with its inverse, on the disk.

A text file of one JSON line for each step stands beside the file it is about, and only grows: a
change, one change taken back, or one made again. What a killed run left half written at its end is
passed over. A change is one piece of text put in the place of another.
"""

import json
import os
from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from msgspec.structs import asdict

from lamphouse.record import Record
from lamphouse.storage.refusal import put_into_words


class Change(Record):
    """One change of a text, and all that takes it back."""

    label: str
    """What was done, in the maker's words."""
    at: str
    """When, ISO 8601."""
    start: int
    """Index of the first sign that differs."""
    old: str
    new: str
    before: str
    """Mark of the whole text before; see :func:`mark_of`."""
    after: str

    def done(self, text: str) -> str:
        """Give a text with this change.

        Raises
        ------
        ValueError
            If it is not the text this change was made in.
        """
        return self._turned(text, before=self.before, old=self.old, new=self.new)

    def undone(self, text: str) -> str:
        """Give a text without this change.

        Raises
        ------
        ValueError
            If it is not the text this change led to.
        """
        return self._turned(text, before=self.after, old=self.new, new=self.old)

    def _turned(self, text: str, *, before: str, old: str, new: str) -> str:
        if mark_of(text) != before:
            other = "the text is not the one this change belongs to"
            raise ValueError(other)
        return text[: self.start] + new + text[self.start + len(old) :]


def mark_of(text: str) -> str:
    """Give a short mark by which a text is known again: the start of its SHA-256."""
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:24]


def change_between(old: str, new: str, *, label: str, at: str) -> Change:
    """Find the one piece of text by which two texts differ."""
    start = _alike(old, new)
    rest = min(len(old), len(new)) - start
    end = min(_alike(old[::-1][:rest], new[::-1][:rest]), rest)
    return Change(
        label=label,
        at=at,
        start=start,
        old=old[start : len(old) - end],
        new=new[start : len(new) - end],
        before=mark_of(old),
        after=mark_of(new),
    )


def _alike(one: str, other: str) -> int:
    """Count the signs with which two texts both begin."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


class History:
    """Every change of one file, and where in them one stands."""

    def __init__(self, path: Path) -> None:
        """Read the history at a path; a file that is not there is an empty one.

        What stands before a step that somebody has damaged cannot be taken back any more, and is
        passed over.

        Raises
        ------
        StorageError
            If something is there that cannot be read.
        """
        self._path = path
        self._changes: list[Change] = []
        self._standing = 0
        for step in _steps(path):
            self._take(step)

    @property
    def undoable(self) -> Change | None:
        """The change that would be taken back; None at the beginning."""
        return self._changes[self._standing - 1] if self._standing else None

    @property
    def redoable(self) -> Change | None:
        """The change that would be made again; None at the end."""
        return self._changes[self._standing] if self._standing < len(self._changes) else None

    @property
    def changes(self) -> tuple[Change, ...]:
        """Those that lead to the file as it stands, oldest first."""
        return tuple(self._changes[: self._standing])

    def record(self, change: Change) -> None:
        """Add a change; those that had been taken back are then no longer ahead.

        Raises
        ------
        StorageError
            If the disk refuses.
        """
        self._write({"do": asdict(change)})

    def step_back(self) -> None:
        """Note that the last change was taken back."""
        self._write({"undo": True})

    def step_forward(self) -> None:
        """Note that the next change was made again."""
        self._write({"redo": True})

    def agree_with(self, text: str) -> bool:
        """Stand where a text says: a run that was killed may have noted a step it did not take.

        Returns
        -------
        bool
            False when the text is none this history leads to from where it stands.
        """
        mark = mark_of(text)
        behind, ahead = self.undoable, self.redoable
        if (behind and behind.after == mark) or (
            not behind and (not ahead or ahead.before == mark)
        ):
            return True
        if behind and behind.before == mark:
            self.step_back()
            return True
        if ahead and ahead.after == mark:
            self.step_forward()
            return True
        return False

    def _write(self, step: Mapping[str, Any]) -> None:
        """Take one step and put it on the disk; a step the disk refuses is taken all the same."""
        self._take(step)
        line = (json.dumps(step, ensure_ascii=False) + "\n").encode("utf-8", "surrogatepass")
        with put_into_words(self._path), self._path.open("ab") as stream:
            if stream.tell() and not _ends_a_line(self._path):
                stream.write(b"\n")
            stream.write(line)
            stream.flush()
            os.fsync(stream.fileno())

    def _take(self, step: Mapping[str, Any]) -> None:
        if "do" in step:
            del self._changes[self._standing :]
            change = _change_of(step["do"])
            if change is None:
                self._changes.clear()
                self._standing = 0
                return
            self._changes.append(change)
            self._standing += 1
        elif "undo" in step and self._standing:
            self._standing -= 1
        elif "redo" in step and self._standing < len(self._changes):
            self._standing += 1


def _ends_a_line(path: Path) -> bool:
    with path.open("rb") as stream:
        stream.seek(-1, os.SEEK_END)
        return stream.read(1) == b"\n"


def _steps(path: Path) -> Iterator[Mapping[str, Any]]:
    """Read what is whole; a line cut short by a kill is no step."""
    with put_into_words(path):
        try:
            data = path.read_bytes()
        except FileNotFoundError:
            return
    for line in data.split(b"\n"):
        try:
            step = json.loads(line.decode("utf-8", "surrogatepass"))
        except (ValueError, RecursionError):
            continue
        if isinstance(step, dict):
            yield step


def _change_of(step: object) -> Change | None:
    """Give the change a step holds; None where it is no whole one."""
    kinds = {name: int if name == "start" else str for name in Change.__struct_fields__}
    if not isinstance(step, dict) or step.keys() != kinds.keys():
        return None
    if not all(type(step[name]) is kind for name, kind in kinds.items()) or step["start"] < 0:
        return None
    return Change(**step)
