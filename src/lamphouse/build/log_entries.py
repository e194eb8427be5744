"""One entry of the bench log, and what an entry may hold."""

import re
from datetime import datetime
from enum import StrEnum

from lamphouse.record import Record


class LogKind(StrEnum):
    """What an entry tells."""

    STEP = "step"
    """A step is done."""
    UNDONE = "undone"
    """A step that was ticked is not done after all."""
    READING = "reading"
    """What a meter or an eye showed."""
    PHOTO = "photo"
    """A photograph of an item."""
    NOTE = "note"
    """Words."""
    AS_BUILT = "as built"
    """What the model has in the place of what the project says."""


MOST_SIGNS = {
    "key": 200,
    "at": 40,
    "by": 100,
    "device": 100,
    "kind": 20,
    "item": 300,
    "name": 300,
    "value": 2_000,
    "text": 20_000,
    "attachment": 200,
}
"""Longest text of each field; a log grows for years and is read on a telephone."""
_NEEDS_ITEM = (LogKind.STEP, LogKind.UNDONE, LogKind.READING, LogKind.AS_BUILT)
_NEEDS_VALUE = (LogKind.READING, LogKind.AS_BUILT)
_UNWRITABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
"""Signs that no text holds: control signs other than tab and line ends, and halves of signs."""
_LINE_END = re.compile(r"[\t\r\n]")
_PLAIN_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
"""No folder, no drive, no hidden file, and nothing that leads upwards."""


class EntryRefused(ValueError):
    """An entry that cannot stand in a log; the message says which field, and what it may be."""


class LogEntry(Record):
    """One line of the bench log, as it stays for ever."""

    number: int
    """Counts from 1 in the order in which entries reached the disk."""
    key: str
    """Given by the device; the same key twice is one entry."""
    at: str
    """When it happened: ISO 8601 with its zone, as the device said."""
    by: str
    """Who wrote it; empty where nobody said."""
    device: str
    """On what; empty where nobody said."""
    kind: str
    """A :class:`LogKind`."""
    item: str
    """A step's id, or an item of the project; empty for the whole model."""
    name: str = ""
    """Of the reading or of the as-built figure, such as ``plug`` or ``resistor``."""
    value: str = ""
    """As the maker wrote it, with its unit."""
    text: str = ""
    attachment: str = ""
    """Name of a file in the folder beside the log; empty where there is none."""


def checked(entry: LogEntry) -> LogEntry:
    """Make sure that an entry can stand in a log.

    Parameters
    ----------
    entry
        What a device or the maker gave; its number counts for nothing here.

    Raises
    ------
    EntryRefused
        When a field is missing, too long, of no known kind, or holds what is no text; when the
        time has no zone; when the attachment is more than a plain file name.
    """
    wrong = _wrong(entry)
    if wrong:
        raise EntryRefused(wrong)
    return entry


def _wrong(entry: LogEntry) -> str:
    """Say what is wrong with an entry; empty where nothing is."""
    for field, most in MOST_SIGNS.items():
        told = getattr(entry, field)
        if len(told) > most:
            return f"the entry's {field} has {len(told)} signs; at most {most} are kept"
        if _UNWRITABLE.search(told) or (field != "text" and _LINE_END.search(told)):
            return f"the entry's {field} holds a sign that is no text, or a line end"
    if not entry.key.strip():
        return "the entry has no key; every device gives each entry its own"
    kinds = [str(kind) for kind in LogKind]
    if entry.kind not in kinds:
        return f"no kind of entry '{entry.kind}'; there is: {', '.join(kinds)}"
    if not _has_zone(entry.at):
        return f"'{entry.at}' is no time with its zone, such as 2026-03-14T20:15:00+01:00"
    if entry.kind in _NEEDS_ITEM and not entry.item.strip():
        return f"an entry '{entry.kind}' names its step or item"
    if entry.kind in _NEEDS_VALUE and not entry.value.strip():
        return f"an entry '{entry.kind}' holds a value"
    if entry.attachment and not _PLAIN_NAME.fullmatch(entry.attachment):
        return f"'{entry.attachment}' is no plain file name"
    return ""


def _has_zone(at: str) -> bool:
    try:
        return datetime.fromisoformat(at).tzinfo is not None
    except ValueError:
        return False
