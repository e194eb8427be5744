"""The bench log of an open project, as the page reads and writes it."""

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from lamphouse.storage.bench_log import BenchLog, LogEntry, log_path, read_log
from lamphouse.web.workbench import Workbench

MOST_AT_ONCE = 200


class Sent(BaseModel):
    """One entry as a device sends it."""

    model_config = ConfigDict(extra="forbid")

    key: Annotated[str, Field(min_length=8, max_length=200)]
    at: Annotated[str, Field(max_length=40)]
    by: Annotated[str, Field(max_length=100)] = ""
    kind: Literal["step", "undone", "reading", "note", "as built"]
    item: Annotated[str, Field(max_length=300)] = ""
    name: Annotated[str, Field(max_length=300)] = ""
    value: Annotated[str, Field(max_length=2000)] = ""
    text: Annotated[str, Field(max_length=20000)] = ""


class SentEntries(BaseModel):
    """Entries a device has kept until the network was there."""

    model_config = ConfigDict(extra="forbid")

    entries: Annotated[list[Sent], Field(max_length=MOST_AT_ONCE)]
    after: Annotated[int, Field(ge=0)] = 0
    """Number of the last entry the device knows."""


def entries_of(bench: Workbench, *, after: int = 0) -> tuple[LogEntry, ...]:
    """Read the log of a project; a project without one has no entries.

    Raises
    ------
    lamphouse.storage.refusal.StorageError
        If it cannot be read.
    """
    return tuple(one for one in read_log(log_path(bench.file)) if one.number > after)


def add(bench: Workbench, *, sent: Sequence[Sent], device: str) -> tuple[LogEntry, ...]:
    """Write entries; each is on the disk when this returns, and one sent twice stands once.

    Raises
    ------
    lamphouse.storage.bench_log.EntryRefused
        If one cannot stand in a log; those before it are written.
    lamphouse.storage.refusal.StorageError
        If the disk refuses.
    """
    with BenchLog(log_path(bench.file)) as log:
        return tuple(log.append(device=device, **one.model_dump()) for one in sent)


def add_photo(
    bench: Workbench, *, data: bytes, name: str, key: str, at: str, by: str, device: str, item: str
) -> LogEntry:
    """Keep a photograph beside the log, and note it.

    Raises
    ------
    lamphouse.trace.refused.TraceError
        If it is no picture.
    lamphouse.storage.bench_log.EntryRefused, lamphouse.storage.refusal.StorageError
        As in :func:`add`.
    """
    from lamphouse.trace.log_photograph import keep_photograph

    kept = keep_photograph(bench.file, data=data, name=name)
    with BenchLog(log_path(bench.file)) as log:
        return log.append(
            key=key, at=at, by=by, device=device, kind="photo", item=item, attachment=kept
        )
