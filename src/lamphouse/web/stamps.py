"""Stamps: what tells files as they are from what they were, without reading them."""

from pathlib import Path

from lamphouse.project.read import Reading, files_beside
from lamphouse.storage.log_places import log_path

Stamp = tuple[int, int, int]
_NONE = (0, 0, 0)


def stamp_of(file: Path) -> Stamp:
    """Stamp a file; one that is empty is as none."""
    try:
        found = file.stat()
    except (OSError, ValueError):
        return _NONE
    return (found.st_mtime_ns, found.st_size, found.st_ino) if found.st_size else _NONE


def stamps_of_log(project_file: Path) -> tuple[Stamp, ...]:
    """Stamp the bench log of a project, and what is written ahead of it."""
    log = log_path(project_file)
    return tuple(stamp_of(one) for one in (log, log.with_name(f"{log.name}-wal")))


def stamps_beside(reading: Reading, *, file: Path) -> tuple[tuple[Path, Stamp], ...]:
    """Stamp what else a project's file was read with: own parts, pictures."""
    return tuple((one, stamp_of(one)) for one in files_beside(reading, file=file))
