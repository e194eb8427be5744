"""Pictures of parts: the folder ``pictures`` beside a project's file, and what lies in it."""

from pathlib import Path, PurePath

from lamphouse.storage.atomic import write_file
from lamphouse.storage.claim import make_last
from lamphouse.storage.file_names import safe_name
from lamphouse.storage.reading import read_file
from lamphouse.storage.refusal import StorageError, put_into_words

FOLDER = "pictures"
ENDINGS = frozenset({".png", ".jpg", ".jpeg", ".tif", ".tiff"})
MADE = ("-traced", "-against")
"""What tracing writes beside a picture has its name with one of these behind it."""
MOST_BYTES = 60_000_000
_MOST_LISTED = 500
_LONGEST = 48


def pictures_folder(project_file: Path) -> Path:
    """Give the folder of a project's pictures; it need not be there yet."""
    return project_file.with_name(FOLDER)


def pictures_of(project_file: Path) -> tuple[str, ...]:
    """List the pictures of a project by name, without those that tracing made of them.

    A link that leads out of the project's folder is left out.
    """
    folder = pictures_folder(project_file)
    try:
        if not _is_inside(folder, project_file.parent):
            return ()
        there = sorted(folder.iterdir())[:_MOST_LISTED]
        names = [
            path.name
            for path in there
            if path.suffix.casefold() in ENDINGS
            and path.is_file()
            and _is_inside(path, project_file.parent)
        ]
    except OSError:
        return ()
    stems = {PurePath(name).stem for name in names}
    return tuple(name for name in names if not _is_made(PurePath(name).stem, stems))


def picture_named(project_file: Path, name: str) -> Path:
    """Find a picture of a project.

    Raises
    ------
    LookupError
        If there is none of this name; only names that :func:`pictures_of` lists are.
    """
    if name not in pictures_of(project_file):
        lost = f"there is no picture '{name[:80]}' in the project's folder"
        raise LookupError(lost)
    return pictures_folder(project_file) / name


def keep_picture(project_file: Path, *, data: bytes, name: str, ending: str) -> str:
    """Put a picture into a project's folder.

    Parameters
    ----------
    project_file
        Beside it the folder lies.
    data
        The whole picture file.
    name
        What it was called, in any words; only its letters and figures are kept.
    ending
        ``jpg``, ``png`` or ``tif``, of what the picture is and not of what it was called.

    Returns
    -------
    str
        Its file name. Another picture of this name stays, and the new one gets a number; the
        same picture sent again keeps the name it has.

    Raises
    ------
    StorageError
        When it is too large, the folder leads elsewhere, or the disk refuses.
    """
    folder = pictures_folder(project_file)
    if len(data) > MOST_BYTES:
        what = f"the picture has {len(data) / 1e6:.0f} MB"
        remedy = f"save it smaller; at most {MOST_BYTES // 1_000_000} MB are kept"
        raise StorageError(folder, what=what, remedy=remedy)
    with put_into_words(folder):
        folder.mkdir(exist_ok=True)
        make_last(folder.parent)
        if not _is_inside(folder, project_file.parent):
            what = "the folder of pictures leads out of the project's folder"
            raise StorageError(folder, what=what, remedy="make it a plain folder")
        for there in pictures_of(project_file):
            is_as_long = (folder / there).stat().st_size == len(data)
            if is_as_long and read_file(folder / there, most_bytes=MOST_BYTES) == data:
                return there
        taken = {PurePath(path.name).stem for path in folder.iterdir()}
    stem = safe_name(
        PurePath(name.replace("\\", "/").replace("\0", "")).stem, taken=taken, longest=_LONGEST
    )
    kept = f"{stem}.{ending}"
    write_file(folder / kept, data)
    return kept


def _is_made(stem: str, stems: set[str]) -> bool:
    return any(stem.endswith(end) and stem.removesuffix(end) in stems for end in MADE)


def _is_inside(path: Path, folder: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())
