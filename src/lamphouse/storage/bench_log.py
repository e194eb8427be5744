"""The bench log on the disk: entries are added, never changed, and none is lost.

The log is a small database beside the project file [SQLITE]. An entry is told to be written only
when it is on the disk itself, so that a kill or a power cut loses nothing that was told; two
devices may write at once, and an entry that a device sends twice stands once.
"""

import os
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from types import TracebackType

from lamphouse.build.log_entries import EntryRefused, LogEntry, LogKind, checked
from lamphouse.build.log_text import as_text
from lamphouse.storage.claim import make_last
from lamphouse.storage.log_places import log_path, photo_folder
from lamphouse.storage.refusal import StorageError, put_into_words

__all__ = [
    "BenchLog",
    "EntryRefused",
    "LogEntry",
    "LogKind",
    "as_text",
    "log_path",
    "photo_folder",
    "read_log",
]

LAYOUT = 1
"""Number of the layout below; a file with a higher one was made by a newer version."""
_OURS = 0x4C6F674C
"""Mark of our files in their header."""
MOST_BYTES = 400_000_000
"""Of a log: a million entries of the usual kind."""
MOST_ROW_BYTES = 200_000
"""Of one entry; every field at its longest, in four bytes a sign, is less."""
_PATIENCE_S = 20.0
"""How long to wait for another writer."""
_PAUSE_S = 0.005
_COLUMNS = LogEntry.__struct_fields__
_GIVEN = _COLUMNS[1:]
_TOLD = ("kind", "item", "name", "value", "text")
"""What must be the same when a key comes twice; a device may send the photograph anew."""
_TABLES = f"""
CREATE TABLE entries (
  number INTEGER PRIMARY KEY AUTOINCREMENT,
  {", ".join(f"{name} TEXT NOT NULL CHECK (typeof({name}) = 'text')" for name in _GIVEN)},
  UNIQUE (key)
);
CREATE TRIGGER never_changed BEFORE UPDATE ON entries
  BEGIN SELECT RAISE(ABORT, 'a bench log is never changed'); END;
CREATE TRIGGER never_deleted BEFORE DELETE ON entries
  BEGIN SELECT RAISE(ABORT, 'a bench log is never changed'); END;
CREATE TRIGGER never_replaced BEFORE INSERT ON entries
  WHEN EXISTS (SELECT 1 FROM entries WHERE key = NEW.key OR number = NEW.number)
  BEGIN SELECT RAISE(ABORT, 'a bench log is never changed'); END;
"""
_INSERT = f"INSERT INTO entries ({', '.join(_GIVEN)}) VALUES ({', '.join('?' for _ in _GIVEN)})"
_SELECT = f"SELECT {', '.join(_COLUMNS)} FROM entries"
_REFUSALS = {
    sqlite3.SQLITE_FULL: ("the disk is full", "free some space on it, or choose another disk"),
    sqlite3.SQLITE_READONLY: (
        "the log or its folder can only be read",
        "allow writing there, or move the project to a folder of your own",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "the log cannot be opened",
        "make the folder first, and allow writing in it",
    ),
    sqlite3.SQLITE_PERM: ("there is no permission to write here", "choose a folder of your own"),
    sqlite3.SQLITE_NOTADB: ("this file is no bench log", "move it away; a new log is then begun"),
    sqlite3.SQLITE_CORRUPT: (
        "the log is damaged",
        "copy it away and put back your last copy; nothing is written to it meanwhile",
    ),
    sqlite3.SQLITE_BUSY: ("another program holds the log", "close the other program and try again"),
    sqlite3.SQLITE_LOCKED: (
        "another program holds the log",
        "close the other program and try again",
    ),
    sqlite3.SQLITE_IOERR: ("the disk reports a fault", "copy what matters to another disk"),
}


def read_log(path: Path) -> tuple[LogEntry, ...]:
    """Read a log as it stands, without making or changing one.

    Parameters
    ----------
    path
        Of the log; it may be missing, and its folder may be one that can only be read.

    Returns
    -------
    tuple of LogEntry
        In the order in which they were written; empty where there is no log.

    Raises
    ------
    StorageError
        When the file is no bench log, was made by a newer version, or cannot be read.
    """
    with put_into_words(path):
        if not path.exists() or path.stat().st_size == 0:
            return ()
        if path.stat().st_size > MOST_BYTES:
            what = f"the log has {path.stat().st_size / 1e6:.0f} MB, and is no bench log"
            raise StorageError(path, what=what, remedy="move it away; a new log is then begun")
    with _in_words(path):
        reader = sqlite3.connect(f"{path.resolve().as_uri()}?{_way_in(path)}", uri=True)
        with closing(reader):
            _guarded(reader)
            reader.execute(f"PRAGMA busy_timeout = {_PATIENCE_S * 1000:.0f}")
            if not _is_laid_out(reader, path=path):
                return ()
            return tuple(_entry(row) for row in reader.execute(f"{_SELECT} ORDER BY number"))


class BenchLog:
    """The open log of one project.

    Parameters
    ----------
    path
        Of the log; made when it is missing, its folder must exist. See :func:`log_path`.

    Raises
    ------
    StorageError
        When the disk is full or can only be read, when the file is no bench log, is damaged, or
        was made by a newer version. What was in it is untouched.

    Notes
    -----
    One open log may be used by several threads. Each program opens its own; a log that is open is
    not taken through a fork. Holds as far as the disk tells the truth about what it has written.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._turn = threading.Lock()
        with put_into_words(path):
            if path.is_dir():
                raise IsADirectoryError(21, "a folder has this name")
        with _in_words(path):
            self._base = sqlite3.connect(
                path, timeout=_PATIENCE_S, isolation_level=None, check_same_thread=False
            )
        try:
            with _in_words(path):
                _make_sure(_guarded(self._base), path=path)
            with put_into_words(path):
                make_last(path.resolve().parent)
        except BaseException:
            self._base.close()
            raise

    def append(
        self,
        *,
        key: str,
        at: str,
        by: str,
        device: str,
        kind: str,
        item: str,
        name: str = "",
        value: str = "",
        text: str = "",
        attachment: str = "",
    ) -> LogEntry:
        """Add an entry, and return when it is on the disk.

        Parameters
        ----------
        key, at, by, device, kind, item, name, value, text, attachment
            As in :class:`~lamphouse.build.log_entries.LogEntry`.

        Returns
        -------
        LogEntry
            As it stands; where the key stood already, the entry that it named.

        Raises
        ------
        EntryRefused
            When the entry cannot stand in a log, or its key stands for something else.
        StorageError
            When the disk refuses. The log then is as it was.
        """
        given = checked(
            LogEntry(
                number=0,
                key=key,
                at=at,
                by=by,
                device=device,
                kind=kind,
                item=item,
                name=name,
                value=value,
                text=text,
                attachment=attachment,
            )
        )
        with self._turn, _in_words(self.path):
            with _transaction(self._base):
                there = self._by_key(key)
                if there is None:
                    row = [getattr(given, name) for name in _GIVEN]
                    self._base.execute(_INSERT, row)
                    there = self._by_key(key)
            if there is None:
                lost = "an entry that was just written is not there"
                raise sqlite3.DatabaseError(lost)
        if any(getattr(there, name) != getattr(given, name) for name in _TOLD):
            twice = f"the key '{key}' stands for another entry, number {there.number}"
            raise EntryRefused(twice)
        return there

    def entries(self, after: int = 0) -> tuple[LogEntry, ...]:
        """List the entries whose number is above ``after``, in the order of their writing."""
        with self._turn, _in_words(self.path):
            rows = self._base.execute(f"{_SELECT} WHERE number > ? ORDER BY number", (after,))
            return tuple(_entry(row) for row in rows)

    def as_text(self) -> str:
        """Write the whole log as text; see :func:`lamphouse.build.log_text.as_text`."""
        return as_text(self.entries())

    def close(self) -> None:
        """Close the log; what was told to be written is on the disk already."""
        with self._turn:
            self._base.close()

    def __enter__(self) -> "BenchLog":
        """Give the open log."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close the log."""
        self.close()

    def _by_key(self, key: str) -> LogEntry | None:
        row = self._base.execute(f"{_SELECT} WHERE key = ?", (key,)).fetchone()
        return _entry(row) if row else None


def _way_in(path: Path) -> str:
    """Choose how a reader opens a log.

    As writers do where it may write, for only then nothing is left behind; else as it lies, with
    what a killed writer left where there is any.
    """
    if os.access(path.parent, os.W_OK):
        return "mode=rw"
    return "mode=ro" if path.with_name(f"{path.name}-wal").exists() else "immutable=1"


def _entry(row: tuple[object, ...]) -> LogEntry:
    return LogEntry(**dict(zip(_COLUMNS, row, strict=True)))  # type: ignore[arg-type]


def _make_sure(base: sqlite3.Connection, *, path: Path) -> None:
    """Lay out a new log, or refuse a file that is no log of ours."""
    base.execute("PRAGMA synchronous = EXTRA")
    base.execute("PRAGMA fullfsync = ON")
    base.execute("PRAGMA recursive_triggers = ON")
    if not _is_laid_out(base, path=path):
        with _transaction(base):
            if not _is_laid_out(base, path=path):
                for statement in _statements():
                    base.execute(statement)
                base.execute(f"PRAGMA application_id = {_OURS}")
                base.execute(f"PRAGMA user_version = {LAYOUT}")
    _let_readers_in(base)


def _statements() -> Iterator[str]:
    """Give the statements of the layout one by one, for they stand or fall in one transaction."""
    rest = ""
    for line in _TABLES.splitlines(keepends=True):
        rest += line
        if sqlite3.complete_statement(rest):
            yield rest
            rest = ""


def _is_laid_out(base: sqlite3.Connection, *, path: Path) -> bool:
    """Tell a log of ours from an empty file, and refuse all else; as of one moment."""
    within = base.in_transaction
    if not within:
        base.execute("BEGIN")
    try:
        (things,) = base.execute("SELECT count(*) FROM sqlite_master").fetchone()
        (mark,) = base.execute("PRAGMA application_id").fetchone()
        (layout,) = base.execute("PRAGMA user_version").fetchone()
        made = {_bare(sql) for (sql,) in base.execute("SELECT sql FROM sqlite_master") if sql}
    finally:
        if not within:
            base.execute("COMMIT")
    if not (mark or layout or things):
        return False
    if mark != _OURS:
        what, remedy = _REFUSALS[sqlite3.SQLITE_NOTADB]
        raise StorageError(path, what=what, remedy=remedy)
    if layout > LAYOUT:
        what = f"the log has layout {layout}, and this version knows layouts up to {LAYOUT}"
        raise StorageError(path, what=what, remedy="use the newer version that made it")
    if {sql for sql in made if not sql.startswith("CREATE TABLE sqlite_")} != set(
        map(_bare, _statements())
    ):
        what, remedy = _REFUSALS[sqlite3.SQLITE_NOTADB]
        raise StorageError(path, what=what, remedy=remedy)
    return True


def _bare(sql: str) -> str:
    """Give a statement without what does not matter in it."""
    return " ".join(sql.split()).removesuffix(";")


def _guarded(base: sqlite3.Connection) -> sqlite3.Connection:
    """Keep a file that somebody else made from running anything, or filling the memory."""
    base.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, MOST_ROW_BYTES)
    base.execute("PRAGMA trusted_schema = OFF")
    return base


def _let_readers_in(base: sqlite3.Connection) -> None:
    """Write ahead, so that readers and a writer never wait for each other, where the disk can.

    The change of mode does not wait its turn by itself, so this does.
    """
    patience = time.monotonic() + _PATIENCE_S
    while True:
        try:
            base.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > patience:
                raise
            time.sleep(_PAUSE_S)
        else:
            return


@contextmanager
def _transaction(base: sqlite3.Connection) -> Iterator[None]:
    """Take the writer's turn; what is done in the block stands on the disk, or nothing of it."""
    base.execute("BEGIN IMMEDIATE")
    try:
        yield
        base.execute("COMMIT")
    except BaseException:
        if base.in_transaction:
            base.execute("ROLLBACK")
        raise


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Turn every fault of the database into a :class:`StorageError`."""
    try:
        yield
    except sqlite3.Error as fault:
        number = getattr(fault, "sqlite_errorcode", 0) & 0xFF
        unknown = (f"the log gives a fault: {fault}", "copy the log away, then try again")
        what, remedy = _REFUSALS.get(number, unknown)
        raise StorageError(path, what=what, remedy=remedy) from fault
