"""One folder of our own making, replaced whole; nothing of the maker's is ever deleted.

Terminology
-----------
listing
    The file of a folder that names every other file with its SHA-256, as JSON:
    ``{"files": {"name": {"sha256": "..."}}}``. A folder with a listing is ours.
ours
    A file that the listing names and whose bytes are still those that were written.
litter
    Files that a system drops into every folder somebody has looked at.
"""

import ctypes
import hashlib
import json
import os
import sys
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from pathlib import Path, PurePosixPath

from lamphouse.storage.atomic import fill, open_new
from lamphouse.storage.claim import beside, claim, make_last, open_folder, sweep
from lamphouse.storage.file_names import check_names
from lamphouse.storage.reading import read_file
from lamphouse.storage.refusal import StorageError, put_into_words

LISTING = "pack.json"
"""Name of the listing."""
_MOST_LISTING = 16 * 2**20
"""Bytes of a listing that could be ours."""
_LITTER = frozenset({".ds_store", "thumbs.db", "desktop.ini", ".directory"})
_HERE = -100
"""AT_FDCWD of Linux: paths are taken as they stand."""
_AT_A_TIME = 8
"""Files on their way to the disk together."""
_EXCHANGE = 2
"""RENAME_EXCHANGE of Linux: two names change places in one step."""


def replace_folder(path: Path, files: Mapping[str, bytes]) -> None:
    """Put files into a folder of our own, all of them or none.

    The new folder is written beside the old one, forced onto the disk, and takes its place in one
    step where the system can exchange two names, else in two steps, the first of which is undone
    at the next use when a run was killed between them. A link to a folder is followed.

    Parameters
    ----------
    path
        The folder; it may be missing or empty, but its parent must exist.
    files
        Bytes by relative name, ``/`` between folders, with a listing of all the others.

    Raises
    ------
    StorageError
        When the disk refuses, or when the folder there is not ours or holds work of the maker's:
        then nothing is touched and the message names the first such file.
    ValueError
        When a name leaves the folder or the listing does not fit the files.
    """
    check_names(files)
    _check_listing(files)
    target = Path(os.path.realpath(path))
    with put_into_words(path), ExitStack() as still_open:
        recover_folder(target)
        _refuse_foreign(target)
        sweep(target, remove=_remove_ours)
        part, descriptor = claim(target, make=_make_folder)
        if descriptor is not None:
            still_open.callback(os.close, descriptor)
        try:
            _fill_folder(part, files=files)
            _swap(part, target=target)
        except BaseException:
            with suppress(OSError):
                _remove_ours(part)
            raise
        make_last(target.parent)
        with suppress(OSError):
            _remove_ours(part)


def recover_folder(path: Path) -> None:
    """Put the old folder back when a run was killed between the two steps of a replacement.

    Parameters
    ----------
    path
        The folder as given to :func:`replace_folder`, which calls this by itself.

    Raises
    ------
    StorageError
        When the disk refuses.
    """
    target = Path(os.path.realpath(path))
    aside = beside(target, ending="old")
    with put_into_words(path):
        if not aside.exists():
            return
        if target.exists():
            _remove_ours(aside)
        else:
            aside.rename(target)
            make_last(target.parent)


def listing_of(files: Mapping[str, bytes]) -> dict[str, dict[str, str | int]]:
    """List files with their SHA-256 and size, as a listing's ``files`` must have it."""
    return {
        name: {"sha256": _mark(data), "bytes": len(data)} for name, data in sorted(files.items())
    }


def _mark(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _check_listing(files: Mapping[str, bytes]) -> None:
    if LISTING not in files:
        missing = f"the files hold no {LISTING}"
        raise ValueError(missing)
    rest = {name: data for name, data in files.items() if name != LISTING}
    if json.loads(files[LISTING]).get("files") != listing_of(rest):
        differs = f"{LISTING} does not list the other files"
        raise ValueError(differs)


def _read_listing(folder: Path) -> dict[str, str] | None:
    """Read the marks by name; None when there is no listing that could be ours."""
    try:
        listed = json.loads(read_file(folder / LISTING, most_bytes=_MOST_LISTING))["files"]
        marks = {str(name): str(entry["sha256"]) for name, entry in listed.items()}
        check_names(marks)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
    return marks


def _refuse_foreign(target: Path) -> None:
    """Refuse a folder that is not ours, or that holds anything the maker made or changed."""
    if not target.exists():
        return
    if not target.is_dir():
        what, remedy = "a file has this name", "use another name, or move the file away"
        raise StorageError(target, what=what, remedy=remedy)
    marks = _read_listing(target)
    inside = [entry for entry in sorted(target.rglob("*")) if not _is_litter(entry)]
    if marks is None and inside:
        what = f"this folder was not made here (it holds '{inside[0].name}' and no {LISTING})"
        raise StorageError(target, what=what, remedy="choose a new or an empty folder")
    folders = {str(above) for name in marks or () for above in PurePosixPath(name).parents}
    for entry in inside:
        name = entry.relative_to(target).as_posix()
        if entry.is_symlink() or not _is_ours(entry, name=name, marks=marks or {}, folders=folders):
            what = f"'{name}' in it is yours, or was changed after it was made"
            remedy = "move it out of this folder, or choose another folder"
            raise StorageError(target, what=what, remedy=remedy)


def _is_ours(entry: Path, *, name: str, marks: Mapping[str, str], folders: set[str]) -> bool:
    if entry.is_dir():
        return name in folders
    if name == LISTING:
        return True
    return entry.is_file() and marks.get(name) == _mark(entry.read_bytes())


def _is_litter(entry: Path) -> bool:
    return entry.name.casefold() in _LITTER and entry.is_file() and not entry.is_symlink()


def _make_folder(part: Path) -> int | None:
    part.mkdir()
    return open_folder(part)


def _fill_folder(part: Path, *, files: Mapping[str, bytes]) -> None:
    """Write the listing first, so that even a half-written folder says what is ours in it.

    The others are forced onto the disk several at a time: one after another, each would wait for
    the disk by itself.
    """
    folders = {part, *(part / above for name in files for above in PurePosixPath(name).parents)}
    for folder in sorted(folders):
        folder.mkdir(exist_ok=True)
    _put(part / LISTING, files[LISTING])
    others = [name for name in files if name != LISTING]
    with ThreadPoolExecutor(_AT_A_TIME) as at_work:
        list(at_work.map(lambda name: _put(part / name, files[name]), others))
        list(at_work.map(make_last, folders))


def _put(place: Path, data: bytes) -> None:
    descriptor = open_new(place)
    try:
        fill(descriptor, data=data)
    finally:
        os.close(descriptor)


def _swap(part: Path, *, target: Path) -> None:
    """Let the new folder take its place; the old one, if any, is then where the part was."""
    if not target.exists():
        part.rename(target)
    elif not _exchange(part, target=target):
        aside = beside(target, ending="old")
        target.rename(aside)
        make_last(target.parent)
        part.rename(target)
        make_last(target.parent)
        with suppress(OSError):
            _remove_ours(aside)


def _exchange(part: Path, *, target: Path) -> bool:
    """Let two names change places in one step; False where the system or the disk cannot."""
    if not sys.platform.startswith("linux"):
        return False
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    return bool(call(_HERE, os.fsencode(part), _HERE, os.fsencode(target), _EXCHANGE) == 0)


def _remove_ours(folder: Path) -> None:
    """Delete what the folder's own listing names, the listing last, and what is then empty.

    A file that the listing does not name stays, and so does its folder.
    """
    names = _read_listing(folder) or {}
    with ThreadPoolExecutor(_AT_A_TIME) as at_work:
        list(at_work.map(lambda name: (folder / name).unlink(missing_ok=True), names))
    for entry in folder.rglob("*"):
        if _is_litter(entry):
            entry.unlink()
    inner = sorted((entry for entry in folder.rglob("*") if entry.is_dir()), reverse=True)
    for place in inner:
        place.rmdir()
    (folder / LISTING).unlink(missing_ok=True)
    folder.rmdir()
