"""The loader of catalogue tables: a row without unit, source and date is refused.

A table is comma-separated text. Its first line names the columns; every cell holds text as a maker
would type it, with its unit. The last three columns say where the row's numbers come from.
"""

import csv
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from enum import StrEnum
from io import StringIO
from typing import Generic, Protocol, TypeVar

from lamphouse.catalogue import parts_rules
from lamphouse.catalogue.cells import OutOfRange, Reader, day, nearest, one_of, shortened, words
from lamphouse.catalogue.parts_rules import Refusal
from lamphouse.findings import Finding, Where
from lamphouse.record import Record
from lamphouse.units import UnitError

LARGEST_TEXT = 1_000_000
"""Characters of a parts file; a longer one is refused before it is looked at."""
MOST_ROWS = 5_000
"""Rows of a parts file."""
MOST_COLUMNS = 50
"""Columns of a parts file."""
LONGEST_CELL = 1_000
"""Characters of a cell."""


class OriginKind(StrEnum):
    """How good a row's numbers are."""

    STANDARD = "standard"
    HANDBOOK = "handbook"
    DATASHEET = "datasheet"
    MEASURED = "measured"
    TYPICAL = "typical"
    """Typical of the class; measure yours."""


class Origin(Record):
    """Where a row's numbers come from."""

    source: str
    """A key of ``sources``, or the maker's own words for a measured part."""
    kind: OriginKind
    day: date


class Part(Protocol):
    """What every row of every table has."""

    @property
    def name(self) -> str:
        """Unique in its table."""

    @property
    def origin(self) -> Origin:
        """Where its numbers come from."""


Row = TypeVar("Row", bound=Part)


class Column(Record):
    """One column of a table."""

    name: str
    """In plain words, as the first line of the file has it."""
    fields: tuple[str, ...]
    """The fields of the row it fills; more than one when the reader gives a tuple of them."""
    read: Reader
    may_be_empty: bool = False
    """An empty cell gives None."""
    may_be_missing: bool = False
    """So does a file without the column; then it may be empty too."""


def _no_faults(row: Part) -> Iterable[OutOfRange]:  # noqa: ARG001 - the default of Table.faults
    return ()


class Table(Record, Generic[Row]):
    """What a table holds, and how a row is made from its cells."""

    name: str
    """The name of its file, without ``.csv``."""
    row: Callable[..., Row]
    """Takes every field of the columns, ``name`` and ``origin``, by keyword."""
    columns: tuple[Column, ...]
    """Those between ``name`` and the columns of the origin."""
    faults: Callable[[Row], Iterable[OutOfRange]] = _no_faults
    """What no real part has, where it takes more than one cell to see."""

    @property
    def header(self) -> tuple[str, ...]:
        """The names of all columns, in the order of the built-in file."""
        return tuple(column.name for column in (_NAME, *self.columns, *_ORIGIN))

    @property
    def needed(self) -> tuple[str, ...]:
        """The names of the columns that every file must have, in the same order."""
        missable = {column.name for column in self.columns if column.may_be_missing}
        return tuple(name for name in self.header if name not in missable)


class Loaded(Record, Generic[Row]):
    """The good rows of a table, where each stands, and everything wrong with the others."""

    rows: tuple[tuple[Where, Row], ...]
    found: tuple[Finding, ...]


_NAME = Column(name="name", fields=("name",), read=words)
_ORIGIN = (
    Column(name="source", fields=("source",), read=words),
    Column(name="kind", fields=("kind",), read=one_of(*OriginKind)),
    Column(name="date", fields=("day",), read=day),
)

Rule = Callable[[Iterable[Refusal]], tuple[Finding, ...]]
Refused = list[tuple[Rule, Refusal]]


def load(text: str, *, table: Table[Row], file: str) -> Loaded[Row]:
    """Read a table, tell every fault in it, and keep the rows that have none.

    Parameters
    ----------
    text
        The whole file.
    table
        What it should hold.
    file
        Its name, for the findings.

    Returns
    -------
    Loaded
        Rows in the order of the file; findings CAT001 to CAT006 by line.
    """
    try:
        (line, head), *records = _records(text, table)
    except UnitError as fault:
        where = Where(item=table.name, file=file)
        refusal = _refusal(where, "file", fault)
        return Loaded(rows=(), found=parts_rules.unreadable_file([refusal]))
    names = [_plain(cell).lower() for cell in head]
    where = Where(item=table.name, file=file, line=line)
    if wrong := list(_misnamed(names, table, where)):
        return Loaded(rows=(), found=parts_rules.wrong_columns(wrong))
    rows: list[tuple[Where, Row]] = []
    refused: Refused = []
    first_lines: dict[str, int] = {}
    for line, cells in records:
        by_name = dict(zip(names, cells, strict=False))
        name = _plain(by_name.get("name", ""))
        where = Where(item=f"{table.name} / {shortened(name) or line}", file=file, line=line)
        row, faults = _row(by_name, table, where)
        if len(cells) > len(names):
            faults.append((parts_rules.unreadable_cell, _overflow(cells, names, where)))
        first = first_lines.setdefault(name.casefold(), line) if name else line
        if first != line:
            faults.append((parts_rules.shared_name, _twice(name, first, where)))
        refused.extend(faults)
        if row is not None and not faults:
            rows.append((where, row))
    return Loaded(rows=tuple(rows), found=_told(refused))


def _records(text: str, table: Table[Row]) -> list[tuple[int, list[str]]]:
    """Split a file into its rows with their lines, the names of the columns first.

    Raises
    ------
    UnitError
        If the file is too large, is not comma-separated text, or is empty.
    """
    if len(text) > LARGEST_TEXT:
        problem = f"it has {len(text):,} characters; a parts file has at most {LARGEST_TEXT:,}"
        raise UnitError(problem, remedy="keep only the parts the project uses")
    lines = csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    records: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in lines:
            if any(cell.strip() for cell in cells):
                records.append((line, [cell.strip() for cell in cells]))
            if len(records) > MOST_ROWS + 1:
                problem = f"it has more than {MOST_ROWS:,} rows"
                raise UnitError(problem, remedy="keep only the parts the project uses")
            line = lines.line_num + 1
    except csv.Error as error:
        problem = f"line {line} is not comma-separated text ({error})"
        remedy = "put quotes round a cell that holds a comma, and close every quote"
        raise UnitError(problem, remedy=remedy) from None
    if not records:
        problem = "it is empty"
        raise UnitError(problem, remedy=f"begin it with the line {','.join(table.needed)}")
    return records


def _misnamed(names: Sequence[str], table: Table[Row], where: Where) -> Iterable[Refusal]:
    """Tell columns that are unknown, there twice, or missing."""
    header, needed = table.header, table.needed
    as_header = f"make the first line {','.join(needed)}"
    if len(names) == 1 and ";" in names[0]:
        problem = "its columns are separated by semicolons, which are needed inside cells"
        remedy = "save it with commas between the columns"
        yield Refusal(where=where, what="first line", problem=problem, remedy=remedy)
        return
    if len(names) > MOST_COLUMNS:
        problem = f"it names {len(names):,} columns"
        yield Refusal(where=where, what="first line", problem=problem, remedy=as_header)
        return
    missing = [name for name in needed if name not in names]
    for index, name in enumerate(names):
        what = f"column '{shortened(name)}'"
        if name not in header:
            meant = nearest(name, [own for own in header if own not in names])
            remedy = f"name it '{meant}'" if meant else as_header
            problem = f"table {table.name} has no such column"
            yield Refusal(where=where, what=what, problem=problem, remedy=remedy)
        elif name in names[:index]:
            problem = "it is there twice"
            yield Refusal(where=where, what=what, problem=problem, remedy="remove one of them")
    for name in missing:
        what, problem = f"column '{name}'", "it is missing"
        yield Refusal(where=where, what=what, problem=problem, remedy=as_header)


def _row(cells: Mapping[str, str], table: Table[Row], where: Where) -> tuple[Row | None, Refused]:
    """Make a row of its cells; None beside the refusals when one of them cannot be read."""
    refused: Refused = []
    values: dict[str, object] = {}
    for column in (_NAME, *table.columns, *_ORIGIN):
        try:
            values.update(_values(column, cells.get(column.name, "")))
        except UnitError as fault:
            refused.append((_rule(column, fault), _refusal(where, column.name, fault)))
    if refused:
        return None, refused
    origin = Origin(
        source=str(values.pop("source")),
        kind=OriginKind(str(values.pop("kind"))),
        day=values.pop("day"),  # type: ignore[arg-type] # what the reader of this column gives
    )
    row = table.row(origin=origin, **values)
    impossible = [_refusal(where, "numbers", fault) for fault in table.faults(row)]
    return row, [(parts_rules.impossible_part, refusal) for refusal in impossible]


def _values(column: Column, cell: str) -> dict[str, object]:
    """Read a cell into the fields it fills."""
    if len(cell) > LONGEST_CELL:
        problem = f"'{shortened(cell)}' has {len(cell)} characters"
        raise UnitError(problem, remedy=f"use at most {LONGEST_CELL}")
    if not cell and not (column.may_be_empty or column.may_be_missing):
        problem = "it is empty"
        raise UnitError(problem, remedy=f"write the {column.name}")
    value = column.read(cell) if cell else None
    if len(column.fields) == 1:
        return {column.fields[0]: value}
    parts = value if isinstance(value, tuple) else (None,) * len(column.fields)
    return dict(zip(column.fields, parts, strict=True))


def _rule(column: Column, fault: UnitError) -> Rule:
    if isinstance(fault, OutOfRange):
        return parts_rules.impossible_part
    return parts_rules.unsourced_row if column in _ORIGIN else parts_rules.unreadable_cell


def _overflow(cells: Sequence[str], names: Sequence[str], where: Where) -> Refusal:
    problem = f"{len(cells)} cells stand under {len(names)} columns"
    remedy = "put quotes round a cell that holds a comma, or remove the cells too many"
    return Refusal(where=where, what="row", problem=problem, remedy=remedy)


def _twice(name: str, first: int, where: Where) -> Refusal:
    problem = f"line {first} has the same name"
    remedy = f"rename one of them, such as '{shortened(name)} b', or remove it"
    return Refusal(where=where, what=f"name '{shortened(name)}'", problem=problem, remedy=remedy)


def _refusal(where: Where, what: str, fault: UnitError) -> Refusal:
    return Refusal(where=where, what=what, problem=fault.problem, remedy=fault.remedy)


def _told(refused: Refused) -> tuple[Finding, ...]:
    """Have each rule tell its refusals, and put them in the order of the file."""
    by_rule: dict[Rule, list[Refusal]] = {}
    for rule, refusal in refused:
        by_rule.setdefault(rule, []).append(refusal)
    found = [finding for rule, refusals in by_rule.items() for finding in rule(refusals)]
    return tuple(sorted(found, key=lambda finding: (finding.where.line, finding.code)))


def _plain(cell: str) -> str:
    return " ".join(cell.split())
