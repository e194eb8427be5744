"""The drawer: small parts shared by several projects, with what is promised to each.

Terminology
-----------
holding
    One part with its amount and the unit it is counted in.
promise
    What of a holding is kept for one project; the others do not count on it.
move
    One change of a holding. Moves are only ever added, and their sum is the holding.

One file of SQLite. Each change is one transaction that is on the disk before the call returns; the
file itself refuses to promise more than there is. Amounts are kept in thousandths of their unit.
"""

import errno
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from lamphouse.storage.drawer_layout import APPLICATION, LAYOUT, VERSION
from lamphouse.storage.holding import (
    LONGEST_NAME,
    MOST,
    DrawerRefusalError,
    Holding,
    holding_of,
    kept_name,
    short_of,
    thousandths,
)
from lamphouse.storage.refusal import StorageError, refusal

WAIT_S = 20.0
"""How long to wait for another program that is writing."""


class Drawer:
    """An open drawer; a context manager."""

    def __init__(self, path: Path, *, make: bool = True) -> None:
        """Open a drawer, or make an empty one.

        Raises
        ------
        StorageError
            When the disk refuses, the file is something else, is broken, or was written by a newer
            version; with ``make`` false also when there is none.
        """
        self.path = path
        if not make and not path.exists():
            remedy = "add a part first: lamphouse drawer add PART AMOUNT"
            raise StorageError(path, what="there is no drawer", remedy=remedy, number=errno.ENOENT)
        with self._in_words():
            path.parent.mkdir(parents=True, exist_ok=True)
            self._base = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
            try:
                self._base.execute("PRAGMA foreign_keys = ON")
                self._base.execute("PRAGMA synchronous = EXTRA")
                self._lay_out()
            except BaseException:
                self._base.close()
                raise

    def __enter__(self) -> Self:
        """Use the drawer."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._base.close()

    def add(self, part: str, *, amount: float, unit: str, note: str = "") -> Holding:
        """Put parts in.

        Raises
        ------
        DrawerRefusalError
            If the part is counted in another unit, or is no name.
        """
        name, milli = kept_name(part), thousandths(amount)
        with self.change() as base:
            self._put(base, name, milli=milli, unit=unit, project="", note=note)
        return self.holding(name)

    def take(self, part: str, *, amount: float, project: str = "", note: str = "") -> Holding:
        """Take parts out, for a project: first of what is promised to it.

        Raises
        ------
        DrawerRefusalError
            If there is not so much that is not promised to others.
        """
        name, milli = kept_name(part), thousandths(amount)
        with self.change() as base:
            self._take(base, name, milli=milli, project=project, note=note)
        return self.holding(name)

    def take_promised(self, project: str, *, note: str = "") -> dict[str, float]:
        """Take all out that is promised to a project; give it by part."""
        with self.change() as base:
            rows = base.execute(
                "SELECT part, milli FROM promise WHERE project = ? ORDER BY part", (project,)
            ).fetchall()
            for part, milli in rows:
                self._take(base, part, milli=milli, project=project, note=note)
        return {part: milli / 1000 for part, milli in rows}

    def exchange(
        self, project: str, *, out: Mapping[str, float], into: Mapping[str, float], note: str
    ) -> None:
        """Take pieces out for a project and put others in, all in one step, and only once.

        Parameters
        ----------
        out, into
            Pieces by part.
        note
            What it is done for; a project does it once.

        Raises
        ------
        DrawerRefusalError
            If it was done before, or there is not so much.
        """
        with self.change() as base:
            done = "SELECT 1 FROM move WHERE project = ? AND note = ?"
            if base.execute(done, (project, note)).fetchone():
                twice = f"'{note}' stands in the drawer for {project} already"
                raise DrawerRefusalError(twice)
            for part, amount in sorted(out.items()):
                self._take(base, part, milli=thousandths(amount), project=project, note=note)
            for part, amount in sorted(into.items()):
                milli = thousandths(amount)
                self._put(
                    base, kept_name(part), milli=milli, unit="pieces", project=project, note=note
                )

    def taken(self, project: str) -> dict[str, float]:
        """Give what was taken out for a project and not put in again, by part."""
        with self._in_words(), self._at_one_time() as base:
            rows = base.execute(
                "SELECT part, -SUM(milli) FROM move WHERE project = ? GROUP BY part "
                "HAVING SUM(milli) < 0",
                (project,),
            ).fetchall()
        return {part: milli / 1000 for part, milli in rows}

    def promise(self, project: str, *, wants: Mapping[str, tuple[float, str]]) -> dict[str, float]:
        """Promise parts to a project, as far as others leave them, all in one step.

        What was promised to it before is promised anew.

        Parameters
        ----------
        wants
            Amount and unit by part; parts that are not here, or are counted in another unit, are
            left out.

        Returns
        -------
        dict of str to float
            What was promised, by part; only what is more than nothing.
        """
        given: dict[str, float] = {}
        with self.change() as base:
            base.execute("DELETE FROM promise WHERE project = ?", (project,))
            for part, (amount, unit) in sorted(wants.items()):
                row = base.execute(
                    "SELECT holding.milli - (SELECT COALESCE(SUM(milli), 0) FROM promise "
                    "WHERE promise.part = holding.part) FROM holding WHERE part = ? AND unit = ?",
                    (part, unit),
                ).fetchone()
                milli = min(thousandths(amount), row[0]) if row and amount > 0.0 else 0
                if milli > 0:
                    base.execute("INSERT INTO promise VALUES (?, ?, ?)", (project, part, milli))
                    given[part] = milli / 1000
        return given

    def release(self, project: str) -> int:
        """Take back all promises to a project; give how many there were."""
        with self.change() as base:
            return base.execute("DELETE FROM promise WHERE project = ?", (project,)).rowcount

    def set_price(
        self, part: str, *, pack: float, unit: str, hundredths: int, currency: str
    ) -> None:
        """Note how a part is sold; the part need not be here."""
        values = (kept_name(part), thousandths(pack), unit, hundredths, currency)
        with self.change() as base:
            base.execute("INSERT OR REPLACE INTO price VALUES (?, ?, ?, ?, ?)", values)

    def holding(self, part: str) -> Holding:
        """Give one part.

        Raises
        ------
        DrawerRefusalError
            If it is not here.
        """
        found = next((one for one in self.holdings() if one.part == part), None)
        if found is None:
            missing = f"there is no '{part}' in the drawer"
            raise DrawerRefusalError(missing)
        return found

    def holdings(self) -> tuple[Holding, ...]:
        """List every part that is here or has a price, by name."""
        with self._in_words(), self._at_one_time() as base:
            held = {
                part: (unit, milli)
                for part, unit, milli in base.execute("SELECT part, unit, milli FROM holding")
            }
            promises: dict[str, list[tuple[str, float]]] = {}
            for project, part, milli in base.execute(
                "SELECT project, part, milli FROM promise ORDER BY project"
            ):
                promises.setdefault(part, []).append((project, milli / 1000))
            prices = {row[0]: row[1:] for row in base.execute("SELECT * FROM price")}
        return tuple(
            holding_of(part, held=held, promises=promises, prices=prices)
            for part in sorted({*held, *prices})
        )

    def faults(self) -> tuple[str, ...]:
        """Look the whole file through; give what is wrong with it, nothing when it is sound."""
        with self._in_words(), self._at_one_time() as base:
            found = [row[0] for row in base.execute("PRAGMA integrity_check") if row[0] != "ok"]
            found += [
                f"{row[0]}: a part is missing" for row in base.execute("PRAGMA foreign_key_check")
            ]
            found += [
                f"{row[0]}: its moves do not come to what it holds"
                for row in base.execute(
                    "SELECT part FROM holding WHERE milli <> "
                    "(SELECT COALESCE(SUM(milli), 0) FROM move WHERE move.part = holding.part)"
                )
            ]
            found += [
                f"{row[0]}: more is promised than is there"
                for row in base.execute(
                    "SELECT part FROM holding WHERE milli < "
                    "(SELECT COALESCE(SUM(milli), 0) FROM promise WHERE part = holding.part)"
                )
            ]
        return tuple(found)

    def _put(
        self,
        base: sqlite3.Connection,
        part: str,
        *,
        milli: int,
        unit: str,
        project: str,
        note: str,
    ) -> None:
        row = base.execute("SELECT unit, milli FROM holding WHERE part = ?", (part,)).fetchone()
        if row and row[0] != unit:
            other = f"'{part}' is counted in {row[0]} here, not in {unit}"
            raise DrawerRefusalError(other)
        if row and row[1] + milli > MOST:
            over = f"no drawer holds so much of '{part}'"
            raise DrawerRefusalError(over)
        base.execute(
            "INSERT INTO holding VALUES (?, ?, ?) "
            "ON CONFLICT (part) DO UPDATE SET milli = milli + excluded.milli",
            (part, unit, milli),
        )
        self._note(base, part=part, milli=milli, project=project, note=note)

    def _take(
        self, base: sqlite3.Connection, part: str, *, milli: int, project: str, note: str
    ) -> None:
        row = base.execute(
            "SELECT milli, unit, (SELECT COALESCE(SUM(milli), 0) FROM promise "
            "WHERE part = ?1 AND project <> ?2) FROM holding WHERE part = ?1",
            (part, project),
        ).fetchone()
        if row is None:
            missing = f"there is no '{part}' in the drawer"
            raise DrawerRefusalError(missing)
        held, unit, promised = row
        if milli > held - promised:
            raise DrawerRefusalError(short_of(part, unit=unit, held=held, promised=promised))
        base.execute(
            "DELETE FROM promise WHERE project = ? AND part = ? AND milli <= ?",
            (project, part, milli),
        )
        base.execute(
            "UPDATE promise SET milli = milli - ? WHERE project = ? AND part = ?",
            (milli, project, part),
        )
        base.execute("UPDATE holding SET milli = milli - ? WHERE part = ?", (milli, part))
        self._note(base, part=part, milli=-milli, project=project, note=note)

    @staticmethod
    def _note(base: sqlite3.Connection, *, part: str, milli: int, project: str, note: str) -> None:
        base.execute(
            "INSERT INTO move (part, milli, project, note) VALUES (?, ?, ?, ?)",
            (part, milli, project, note[:LONGEST_NAME]),
        )

    def _lay_out(self) -> None:
        """Make the tables in a new file; refuse a file that is something else."""
        self._base.execute("BEGIN IMMEDIATE")
        try:
            if self._is_new():
                for statement in LAYOUT:
                    self._base.execute(statement)
                self._base.execute(f"PRAGMA application_id = {APPLICATION}")
                self._base.execute(f"PRAGMA user_version = {VERSION}")
            self._base.execute("COMMIT")
        except BaseException:
            if self._base.in_transaction:
                self._base.execute("ROLLBACK")
            raise

    def _is_new(self) -> bool:
        """Tell whether the file is empty; refuse one of another kind or layout."""
        (kind,) = self._base.execute("PRAGMA application_id").fetchone()
        (version,) = self._base.execute("PRAGMA user_version").fetchone()
        (tables,) = self._base.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
        if not tables and not kind:
            return True
        if kind != APPLICATION:
            what = "this is a file of another kind, not a drawer"
            raise StorageError(self.path, what=what, remedy="name another file")
        if version != VERSION:
            what = f"this drawer has layout {version}, and this version reads layout {VERSION}"
            raise StorageError(self.path, what=what, remedy="use a newer version")
        return False

    @contextmanager
    def change(self) -> Iterator[sqlite3.Connection]:
        """Hold the only right to write; what is done inside happens whole or not at all."""
        with self._in_words():
            self._base.execute("BEGIN IMMEDIATE")
            try:
                yield self._base
                self._base.execute("COMMIT")
            except BaseException:
                if self._base.in_transaction:
                    self._base.execute("ROLLBACK")
                raise

    @contextmanager
    def _at_one_time(self) -> Iterator[sqlite3.Connection]:
        """Read everything as it stood at one moment."""
        self._base.execute("BEGIN")
        try:
            yield self._base
        finally:
            if self._base.in_transaction:
                self._base.execute("ROLLBACK")

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as fault:
            raise _refusal(self.path, fault=fault) from fault
        except StorageError:
            raise
        except OSError as fault:
            raise refusal(self.path, fault=fault) from fault


def _refusal(path: Path, *, fault: sqlite3.Error) -> StorageError:
    """Put a fault of the database into words."""
    said = str(fault)
    if "locked" in said:
        what, remedy = "another program is writing to it", "close that program and run again"
    elif "unable to open" in said:
        what, remedy = "it cannot be opened", "choose a file in a folder of your own"
    elif "readonly" in said or "read-only" in said:
        what, remedy = "it can only be read", "allow writing to it, or name another file"
    elif "full" in said:
        what, remedy = "the disk is full", "free some space on it"
    elif isinstance(fault, sqlite3.DatabaseError):
        what = f"this is no drawer, or it is broken ({said})"
        remedy = "name another file, or import the text you exported last into a new one"
    else:
        what, remedy = said, "try again"
    return StorageError(path, what=what, remedy=remedy)
