"""Pictures of a part loaded, scaled by what the maker named, and looked at together."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from lamphouse.record import Record, replace
from lamphouse.storage.reading import read_file
from lamphouse.trace import (
    checkerboard,
    frame_card,
    id_card,
    merged,
    paper_sheet,
    part_sight,
    picture_file,
    references,
    scales,
)
from lamphouse.trace.half_level import Side
from lamphouse.trace.part_sight import Sight
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.references import Scaled, Seen
from lamphouse.trace.refused import TraceError, of_file
from lamphouse.trace.scales import Scale

Tell = Callable[[int, int, str], None]
"""``tell(done, of, words)``; whatever it raises stops the work."""


class Asked(Record):
    """What the maker says of the pictures."""

    pictures: tuple[Path, ...]
    dpi: float | None
    ruler: tuple[float, float, float, float, float] | None
    card: bool
    printed_mm: tuple[float, float] | None
    sheet: str | None
    id_card: bool
    board: tuple[int, int, float] | None
    lender: Path | None
    """The picture the scale comes from, when it is another."""
    thickness_mm: float
    window: tuple[int, int, int, int] | None
    side: str | None
    finest_hole_mm: float
    is_sketch: bool

    @property
    def has_reference(self) -> bool:
        """Tell whether a thing of known size is to be found in a picture."""
        return bool(self.card or self.sheet or self.id_card or self.board)


def _untold(_done: int, _of: int, _words: str) -> None:
    """Tell nobody."""


def looked_at(asked: Asked, *, tell: Tell = _untold) -> tuple[Picture, Scale, Sight]:
    """Give the first picture, its scale, and what all pictures together tell of the part.

    Parameters
    ----------
    asked
        The pictures, and what they are measured by.
    tell
        Progress, in pictures read and looked at, and one step more for the drawing.

    Raises
    ------
    TraceError
        If a picture cannot be traced honestly; it names the picture.
    OSError
        If a file cannot be read.
    """
    count = len(asked.pictures)
    steps = 2 * count + 1
    pictures = []
    for number, path in enumerate(asked.pictures):
        tell(number, steps, f"reading {path.name}")
        pictures.append(loaded(path))
    tell(count, steps, "finding the scale")
    found = _scaled(asked, pictures)
    sights = []
    for number, (picture, scaled) in enumerate(zip(pictures, found, strict=True)):
        tell(count + number, steps, f"looking for the part in {picture.name}")
        inside = scaled.inside
        with naming(picture.name):
            if asked.window:
                shape = picture.levels.shape
                inside = references.within(inside, shape=shape, window=asked.window)
            one = part_sight.look(
                replace(picture, findings=(*picture.findings, *scaled.findings)),
                scale=scaled.scale,
                inside=inside,
                side=Side(asked.side) if asked.side else None,
                finest_hole_mm=asked.finest_hole_mm,
                is_sketch=asked.is_sketch,
            )
        sights.append(one)
    tell(2 * count, steps, "drawing lines and arcs")
    names = [picture.name for picture in pictures]
    return pictures[0], found[0].scale, merged.merge(sights, names=names)


@contextmanager
def naming(name: str) -> Iterator[None]:
    """Say in which picture a fault lies."""
    try:
        yield
    except TraceError as fault:
        fault.finding = of_file(fault.finding, name)
        raise


def loaded(path: Path) -> Picture:
    """Read a picture.

    Raises
    ------
    TraceError
        If it cannot be trusted; it names the picture.
    OSError
        If the file cannot be read.
    """
    data = read_file(path, most_bytes=picture_file.MOST_BYTES)
    with naming(path.name):
        return picture_file.load(data, name=path.name)


def _scaled(asked: Asked, pictures: list[Picture]) -> list[Scaled]:
    """Scale every picture by what the maker named."""
    first = pictures[0]
    flat = None
    with naming(first.name):
        if asked.ruler:
            across, down, far_across, far_down, apart_mm = asked.ruler
            flat = scales.from_two_points(
                (across, down), second=(far_across, far_down), apart_mm=apart_mm
            )
        elif asked.dpi is not None:
            flat = scales.from_dpi(asked.dpi, tagged=first.header.dpi)
    if flat is not None and not asked.has_reference:
        return [references.Scaled(scale=flat, inside=None, residual_mm=0.0)]
    shown = [loaded(asked.lender)] if asked.lender else pictures
    seen = []
    for picture in shown:
        with naming(picture.name):
            seen.append(_reference(asked, picture))
    with naming(shown[0].name):
        found = references.scaled(
            seen,
            pictures=shown,
            thickness_mm=asked.thickness_mm,
            is_scan=asked.dpi is not None,
        )
    if not asked.lender:
        return found
    with naming(first.name):
        return [references.lent(found[0], picture=first, lender=shown[0])]


def _reference(asked: Asked, picture: Picture) -> Seen:
    """Find the reference that was asked for in one picture."""
    if asked.sheet:
        return paper_sheet.find_sheet(picture, size=asked.sheet)
    if asked.id_card:
        return id_card.find_id_card(picture)
    if asked.board:
        across, up, square_mm = asked.board
        return checkerboard.find_checkerboard(picture, corners=(across, up), square_mm=square_mm)
    return frame_card.find_card(picture, printed_mm=asked.printed_mm)
