"""The front door of the project: a file or a text in, a design and every finding out."""

from collections.abc import Callable, Mapping
from errno import EACCES
from pathlib import Path, PurePosixPath, PureWindowsPath

from lamphouse.catalogue.shelf import Shelf, built_in, with_own
from lamphouse.design.whole import Design
from lamphouse.findings import Finding, Severity, Where
from lamphouse.project import text_rules
from lamphouse.project.artwork_file import MOST_BYTES as MOST_PICTURE_BYTES
from lamphouse.project.tree import MOST_BYTES, Text, Tree, decode, grow
from lamphouse.project.upgrade import NEWEST, upgrade
from lamphouse.record import Record, field, replace
from lamphouse.storage.reading import read_file
from lamphouse.units.digits import whole_number

PROJECT_FILE = "project.yaml"
PARTS_FOLDER = "parts"

PASSABLE = frozenset({"PRJ020", "PRJ044", "PRJ060", "PRJ061"})
"""Stops with which the rest of the file still says what the maker wants."""


class Reading(Record):
    """What came of reading a project."""

    design: Design | None
    """None when something in the file could not be understood; see :attr:`in_the_way`."""
    findings: tuple[Finding, ...]
    """In the order of the file."""
    tree: Tree | None
    """None when the text could not be read as YAML."""
    shelf: Shelf
    """The catalogue with the project's own parts."""
    places: Mapping[str, Where] = field(default_factory=dict)
    """Where each item stands in the file."""
    pictures: tuple[str, ...] = ()
    """Pictures beside it that it names, whether they are there or not."""

    @property
    def in_the_way(self) -> tuple[Finding, ...]:
        """The findings that must be mended before there is a design; empty when there is one."""
        if self.design:
            return ()
        return tuple(found for found in self.findings if found.severity is Severity.STOP)


def read_project(path: Path) -> Reading:
    """Read a project from its folder or its file, with the maker's own parts beside it.

    Parameters
    ----------
    path
        A folder that holds ``project.yaml``, or a project file of any name.

    Raises
    ------
    OSError
        If the file is not there or cannot be read.
    """
    file = project_file(path)
    name = str(file).encode("utf-8", "backslashreplace").decode()  # some systems allow any bytes
    shelf, own = _shelf_beside(file.parent)
    size = file.stat().st_size
    if size > MOST_BYTES:
        where = Where(item="file", file=name)
        found = text_rules.too_large(where, size=size, most=MOST_BYTES)
        return Reading(design=None, findings=(*own, *found), tree=None, shelf=shelf)
    text, refused = decode(read_file(file, most_bytes=MOST_BYTES), file=name)
    if refused:
        return Reading(design=None, findings=(*own, *refused), tree=None, shelf=shelf)
    reading = _read(text, file=name, shelf=shelf, own=own, open_picture=_pictures_in(file.parent))
    return _with_log(reading, file=file)


def read_text(
    text: str,
    *,
    file: str,
    own_parts: Mapping[str, str] | None = None,
    own_pictures: Mapping[str, bytes] | None = None,
) -> Reading:
    """Read a project from its text.

    Parameters
    ----------
    text
        The whole file.
    file
        Its name, for findings.
    own_parts
        Text of each file of the maker's own parts by its path, such as ``parts/led_types.csv``.
    own_pictures
        Bytes of each picture beside it, by name.
    """
    shelf, own = with_own(built_in(), own_parts or {})
    pictures = own_pictures or {}

    def open_picture(name: str) -> bytes:
        if name not in pictures:
            raise FileNotFoundError
        return pictures[name]

    return _read(text, file=file, shelf=shelf, own=own, open_picture=open_picture)


def read_beside(text: str, *, file: Path) -> Reading:
    """Read a text as if it stood in a project's file, with parts, pictures and log beside it.

    Parameters
    ----------
    text
        The whole file, as it is to be.
    file
        The project's file, which is not read.

    Raises
    ------
    OSError
        If its folder is not there or cannot be read.
    """
    name = str(file).encode("utf-8", "backslashreplace").decode()
    shelf, own = _shelf_beside(file.parent)
    reading = _read(text, file=name, shelf=shelf, own=own, open_picture=_pictures_in(file.parent))
    return _with_log(reading, file=file)


def files_beside(reading: Reading, *, file: Path) -> tuple[Path, ...]:
    """List the files beside a project's file that its reading hangs on, its log left aside."""
    parts = sorted((file.parent / PARTS_FOLDER).glob("*.csv"))
    return (*parts, *(file.parent / name for name in reading.pictures))


def read_shelf(path: Path | None) -> tuple[Shelf, tuple[Finding, ...]]:
    """Give the catalogue with the own parts of the project at a path, or the bare catalogue.

    Raises
    ------
    OSError
        If there is no such folder or file.
    """
    if path is None:
        return built_in(), ()
    path.stat()
    return _shelf_beside(path if path.is_dir() else path.parent)


def project_file(path: Path) -> Path:
    """Give the file of a project named by its folder or by the file itself."""
    return path / PROJECT_FILE if path.is_dir() else path


def _pictures_in(folder: Path) -> Callable[[str], bytes]:
    """Give what reads a picture from a project's folder or a folder in it, and from nowhere else.

    A project that somebody else made must not be able to name a file of one's own.
    """

    def open_picture(name: str) -> bytes:
        windows = PureWindowsPath(name)
        leaves = windows.drive or windows.root or ".." in windows.parts
        if leaves or PurePosixPath(name).is_absolute() or "\0" in name:
            raise PermissionError(EACCES, "it lies outside the project's folder")
        file = (folder / name).resolve()
        if not file.is_relative_to(folder.resolve()):
            raise PermissionError(EACCES, "it lies outside the project's folder")
        if file.is_dir() or not file.exists():
            raise FileNotFoundError
        return read_file(file, most_bytes=MOST_PICTURE_BYTES)

    return open_picture


def _shelf_beside(folder: Path) -> tuple[Shelf, tuple[Finding, ...]]:
    """Lay the maker's own parts over the catalogue."""
    texts: dict[str, str] = {}
    refused: list[Finding] = []
    for file in sorted((folder / PARTS_FOLDER).glob("*.csv")):
        if file.is_dir():
            continue
        name = f"{PARTS_FOLDER}/{file.name}".encode("utf-8", "backslashreplace").decode()
        text, told = decode(read_file(file, most_bytes=MOST_BYTES), file=name)
        refused += told
        if not told:
            texts[name] = text.removeprefix("\ufeff")
    shelf, found = with_own(built_in(), texts)
    return shelf, (*refused, *found)


def _read(
    text: str,
    *,
    file: str,
    shelf: Shelf,
    own: tuple[Finding, ...],
    open_picture: Callable[[str], bytes],
) -> Reading:
    tree, found = grow(text, file=file)
    if tree is None:
        return Reading(design=None, findings=(*own, *found), tree=None, shelf=shelf)
    version = tree.find(("lamphouse",))
    if isinstance(version, Text) and version.text != str(NEWEST):
        where = tree.where(("lamphouse",), item="project")
        number = whole_number(version.text)
        if number is None or number >= NEWEST:
            told = text_rules.unknown_version(where, given=version.text[:40], newest=NEWEST)
            return Reading(design=None, findings=(*own, *found, *told), tree=tree, shelf=shelf)
        newer, regrown = grow(upgrade(text).text, file=file)
        tree = newer or tree
        older = text_rules.older_layout(where, given=number, newest=NEWEST)
        found = (*found, *regrown, *older)
    return _understood(tree, shelf=shelf, own=own, found=found, open_picture=open_picture)


def _with_log(reading: Reading, *, file: Path) -> Reading:
    """Add what the bench log beside the file says was built."""
    from lamphouse.project.built_figures import beside

    if reading.design is None:
        return reading
    built, found = beside(file, scale=reading.design.scale)
    if not (built or found):
        return reading
    design = replace(reading.design, as_built=(*reading.design.as_built, *built))
    return replace(reading, design=design, findings=(*reading.findings, *found))


def _understood(
    tree: Tree,
    *,
    shelf: Shelf,
    own: tuple[Finding, ...],
    found: tuple[Finding, ...],
    open_picture: Callable[[str], bytes],
) -> Reading:
    """Check the fields, and make the design from as much as is sound, to find all there is."""
    from lamphouse.project.checked import check_fields
    from lamphouse.project.desk import Desk
    from lamphouse.project.whole_design import too_many, whole

    checked = check_fields(tree)
    found = (*found, *checked.findings)
    design, places = None, {}
    pictures: tuple[str, ...] = ()
    if checked.fields:
        desk = Desk(
            tree=tree,
            shelf=shelf,
            fields=checked.fields,
            complete=checked.complete,
            lost=checked.lost,
            open_picture=open_picture,
        )
        many = too_many(desk)
        design = None if many else whole(desk)
        found = (*found, *many, *desk.found)
        places, pictures = desk.places, tuple(desk.pictures)
    return Reading(
        pictures=pictures,
        design=design if checked.complete and not any(map(_stands_in_way, found)) else None,
        findings=(*own, *sorted(found, key=_place_in_file)),
        tree=tree,
        shelf=shelf,
        places=places,
    )


def _stands_in_way(found: Finding) -> bool:
    return found.severity is Severity.STOP and found.code not in PASSABLE


def _place_in_file(found: Finding) -> tuple[int, int, str]:
    return found.where.line, found.where.column, found.code
