"""Figures as built, from the project file and from the bench log beside it."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from lamphouse.build.as_built_rules import of_no_use, unreadable_log
from lamphouse.design.as_built import AsBuilt
from lamphouse.findings import Finding, Where
from lamphouse.project.desk import Desk
from lamphouse.project.fields.built_fields import BuiltFields
from lamphouse.storage.log_places import log_path
from lamphouse.storage.refusal import StorageError

if TYPE_CHECKING:
    from lamphouse.build.log_entries import LogEntry

FIGURES = ("resistor", "current", "voltage", "at")
BENCH_LOG = "bench log"
"""What findings call the log."""
AS_PLANNED = "as planned"
"""Logged in the place of a figure, it takes back what was logged before."""


class FigureRefused(ValueError):
    """A figure as built that cannot be read; the message says why and what to write."""


def built_of(desk: Desk) -> Iterator[AsBuilt]:
    """Give the figures of the project file, in its order."""
    for number, fields in enumerate(desk.fields.as_built):
        yield _record(fields, where=desk.where(("as_built", number)))


def read_figure(
    item: str, *, name: str, value: str, scale: float, where: Where | None = None
) -> AsBuilt:
    """Read one figure as the maker writes it.

    Parameters
    ----------
    item
        What it is of.
    name
        One of ``FIGURES``.
    value
        With its unit.
    scale
        For lengths marked real.
    where
        Of the entry; None before it has one.

    Raises
    ------
    FigureRefused
        If it is none of the figures, or cannot be read.
    """
    if name not in FIGURES:
        unknown = f"no figure '{name}'; there is: {', '.join(FIGURES)}"
        raise FigureRefused(unknown)
    try:
        fields = BuiltFields.model_validate({"item": item, name: value}, context={"scale": scale})
    except ValidationError as fault:
        (first, *_) = fault.errors(include_url=False, include_input=False)
        raise FigureRefused(str(first["msg"])) from None
    return _record(fields, where=where or Where(item=item))


def built_in_log(
    entries: "Sequence[LogEntry]", *, file: str, scale: float
) -> tuple[tuple[AsBuilt, ...], tuple[Finding, ...]]:
    """Give the figures that a bench log holds: of each item and figure the last one.

    Parameters
    ----------
    entries
        In their order.
    file
        Name of the log, for findings.
    scale
        For lengths marked real.

    Returns
    -------
    tuple
        The figures, the last first, and a finding for each that cannot be read.
    """
    from lamphouse.build.log_entries import LogKind

    last: dict[tuple[str, str], LogEntry] = {
        (entry.item, entry.name): entry for entry in entries if entry.kind == LogKind.AS_BUILT
    }
    built: list[AsBuilt] = []
    found: list[Finding] = []
    for entry in sorted(last.values(), key=lambda entry: -entry.number):
        if entry.value.strip().casefold() == AS_PLANNED:
            continue
        where = Where(item=f"{BENCH_LOG} / {entry.number}", file=file, line=entry.number)
        try:
            built.append(
                read_figure(
                    entry.item, name=entry.name, value=entry.value, scale=scale, where=where
                )
            )
        except FigureRefused as fault:
            given = f"'{entry.name}' of '{entry.item}'"
            remedy = "log it again, or take it back with the value 'as planned'"
            found += of_no_use(where, given=given, why=str(fault), remedy=remedy)
    return tuple(built), tuple(found)


def beside(project_file: Path, *, scale: float) -> tuple[tuple[AsBuilt, ...], tuple[Finding, ...]]:
    """Read the figures of the log beside a project file; none where there is no log."""
    path = log_path(project_file)
    if not path.is_file():
        return (), ()
    from lamphouse.storage.bench_log import read_log

    name = str(path).encode("utf-8", "backslashreplace").decode()
    try:
        entries = read_log(path)
    except StorageError as fault:
        where = Where(item=BENCH_LOG, file=name)
        return (), unreadable_log(where, what=fault.what, remedy=fault.remedy)
    return built_in_log(entries, file=name, scale=scale)


def _record(fields: BuiltFields, *, where: Where) -> AsBuilt:
    return AsBuilt(
        where=where,
        item=" / ".join(part.strip() for part in fields.item.split("/")),
        voltage_V=fields.voltage,
        resistor_ohm=fields.resistor,
        current_A=fields.current,
        at_mm=fields.at,
    )
