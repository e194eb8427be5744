"""Photographs of the bench log: copied into the folder beside it, each under a name of its own."""

import hashlib
from pathlib import Path, PurePath

from lamphouse.storage.atomic import write_file
from lamphouse.storage.claim import make_last
from lamphouse.storage.file_names import safe_name
from lamphouse.storage.log_places import photo_folder
from lamphouse.storage.reading import read_file
from lamphouse.storage.refusal import StorageError, put_into_words

MOST_PHOTO_BYTES = 40_000_000
"""A photograph of 100 million pixels has less."""
_MARK = 12
_LONGEST = 40


def keep_photo(project_file: Path, *, data: bytes, name: str, ending: str) -> str:
    """Copy a photograph into the log's folder.

    Parameters
    ----------
    project_file
        Whose log it belongs to.
    data
        The whole picture file.
    name
        What it was called, in any words; only its letters and figures are kept.
    ending
        ``jpg``, ``png`` or ``tif``, of what the picture is and not of what it was called.

    Returns
    -------
    str
        Its file name in :func:`~lamphouse.storage.log_places.photo_folder`. The same picture sent
        again keeps the name it has.

    Raises
    ------
    StorageError
        When it is too large, or the disk refuses.
    """
    folder = photo_folder(project_file)
    if len(data) > MOST_PHOTO_BYTES:
        what = f"the photograph has {len(data) / 1e6:.0f} MB"
        remedy = f"save it smaller; at most {MOST_PHOTO_BYTES // 1_000_000} MB are kept"
        raise StorageError(folder, what=what, remedy=remedy)
    mark = hashlib.sha256(data).hexdigest()[:_MARK]
    with put_into_words(folder):
        folder.mkdir(exist_ok=True)
        make_last(folder.parent)
        for there in sorted(folder.glob(f"*-{mark}.{ending}")):
            if there.is_file() and there.read_bytes() == data:
                return there.name
    stem = safe_name(PurePath(name.replace("\\", "/")).stem, longest=_LONGEST)
    kept = f"{stem}-{mark}.{ending}"
    write_file(folder / kept, data)
    return kept


def read_photo(project_file: Path, name: str) -> bytes | None:
    """Read a photograph of the log; None where there is none of this name in its folder.

    A link that leads out of the folder is no photograph of the log.

    Raises
    ------
    StorageError
        When the disk refuses.
    """
    folder = photo_folder(project_file)
    place = folder / name
    if name != place.name or not place.is_file():
        return None
    with put_into_words(place):
        if place.resolve().parent != folder.resolve():
            return None
        data = read_file(place, most_bytes=MOST_PHOTO_BYTES)
    return data if len(data) <= MOST_PHOTO_BYTES else None
