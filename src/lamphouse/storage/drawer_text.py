"""A drawer as text: every holding, promise and price, one a line, to keep and to bring back.

Comma-separated with a head [RFC4180], in UTF-8. Moves are left out: a drawer brought back begins
with what it holds.
"""

import csv
import io
import sqlite3
from collections.abc import Iterator

from lamphouse.storage.drawer import Drawer
from lamphouse.storage.holding import DrawerRefusalError, kept_name, thousandths

HEAD = ("what", "part", "amount", "unit", "project", "price", "currency")
_LONGEST = 10_000_000
"""Signs of a text that is read."""


def as_text(drawer: Drawer) -> str:
    """Write a drawer."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEAD)
    for one in drawer.holdings():
        if one.amount or one.promises:
            writer.writerow(("holding", one.part, f"{one.amount:.3f}", one.unit, "", "", ""))
        for project, amount in one.promises:
            writer.writerow(("promise", one.part, f"{amount:.3f}", one.unit, project, "", ""))
        if one.hundredths is not None and one.pack is not None:
            price = f"{one.hundredths // 100}.{one.hundredths % 100:02d}"
            writer.writerow(
                ("price", one.part, f"{one.pack:.3f}", one.pack_unit, "", price, one.currency)
            )
    return text.getvalue()


def bring_back(drawer: Drawer, *, text: str) -> int:
    """Fill an empty drawer from a text; give the number of its lines.

    Raises
    ------
    DrawerRefusalError
        If the drawer is not empty, or a line is not one of a drawer; then it stays as it was.
    """
    rows = list(_rows(text))
    with drawer.change() as base:
        tables = ("holding", "price")
        if any(base.execute(f"SELECT 1 FROM {table} LIMIT 1").fetchone() for table in tables):
            full = "the drawer is not empty; bring the text back into a new file"
            raise DrawerRefusalError(full)
        for number, row in rows:
            try:
                _bring(base, row)
            except (ValueError, IndexError, sqlite3.IntegrityError, sqlite3.DataError) as fault:
                wrong = f"line {number} is no line of a drawer: {fault}"
                raise DrawerRefusalError(wrong) from fault
    return len(rows)


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    if len(text) > _LONGEST:
        long = f"a text of {len(text)} signs is no drawer"
        raise DrawerRefusalError(long)
    reader = csv.reader(io.StringIO(text, newline=""))
    try:
        if tuple(next(reader, ())) != HEAD:
            strange = f"the first line is not {','.join(HEAD)}"
            raise DrawerRefusalError(strange)
        # Promises are made of what is there: holdings come first, wherever their lines stand.
        rows = [(number, row) for number, row in enumerate(reader, start=2) if row]
    except csv.Error as fault:
        broken = f"the text is broken: {fault}"
        raise DrawerRefusalError(broken) from fault
    yield from sorted(rows, key=lambda one: one[1][0] != "holding")


def _bring(base: sqlite3.Connection, row: list[str]) -> None:
    what, part, amount, unit, project, price, currency = row
    name, milli = kept_name(part), thousandths(float(amount))
    if what == "holding":
        base.execute("INSERT INTO holding VALUES (?, ?, ?)", (name, unit, milli))
        base.execute(
            "INSERT INTO move (part, milli, project, note) VALUES (?, ?, '', 'brought back')",
            (name, milli),
        )
    elif what == "promise":
        base.execute(
            "INSERT INTO promise VALUES (?, ?, ?)", (project, name, thousandths(float(amount)))
        )
    elif what == "price":
        whole, _, part_ = price.partition(".")
        hundredths = int(whole) * 100 + int(part_)
        base.execute(
            "INSERT INTO price VALUES (?, ?, ?, ?, ?)",
            (name, thousandths(float(amount)), unit, hundredths, currency),
        )
    else:
        unknown = f"'{what[:20]}' is none of holding, promise, price"
        raise ValueError(unknown)
