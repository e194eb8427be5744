"""The pictures of trace loaded, scaled by what the maker named, and looked at together."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.trace.part_sight import Sight
    from lamphouse.trace.picture_file import Picture
    from lamphouse.trace.references import Scaled, Seen
    from lamphouse.trace.scales import Scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
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
    def references(self) -> tuple[str, ...]:
        """Name the references that were asked for."""
        named = {
            "--card": self.card,
            "--sheet": self.sheet,
            "--id-card": self.id_card,
            "--board": self.board,
        }
        return tuple(option for option, is_asked in named.items() if is_asked)

    def misuse(self) -> str:
        """Say which options do not go together; empty when all do."""
        count = len(self.references)
        scaled = count + (self.ruler is not None) + (self.dpi is not None)
        if not scaled:
            return (
                "say what the scale comes from: --dpi for a flatbed scan, --card for the printed "
                "card, --sheet, --id-card or --board for other things of known size, --ruler for "
                "two marks"
            )
        if count > 1:
            return f"one reference is enough: choose one of {', '.join(self.references)}"
        if self.ruler and scaled > 1:
            return "--ruler stands alone: leave the other references and --dpi out"
        if self.printed_mm and not self.card:
            return "--printed goes with --card"
        if self.thickness_mm and not count:
            return "--thickness goes with --card, --sheet, --id-card or --board"
        if self.dpi is not None and self.sheet:
            return "a sheet fills the whole glass: --sheet goes with photographs, without --dpi"
        return self._misuse_of_many()

    def _misuse_of_many(self) -> str:
        if self.lender and not self.references:
            return "--scale-from goes with --card, --sheet, --id-card or --board"
        if self.lender and self.dpi is not None:
            return "--scale-from is for a camera that stands still: leave --dpi out"
        if len(self.pictures) == 1:
            return ""
        if not self.references or self.dpi is not None or self.lender:
            return (
                "several pictures are photographs with one reference in each: name --card, "
                "--sheet, --id-card or --board, and no --dpi or --scale-from"
            )
        return ""


def looked_at(asked: Asked) -> "tuple[Picture, Scale, Sight]":
    """Give the first picture, its scale, and what all pictures together tell of the part.

    Raises
    ------
    TraceError
        If a picture cannot be traced honestly; it names the picture.
    """
    from lamphouse.trace import merged, part_sight, references
    from lamphouse.trace.half_level import Side

    pictures = [loaded(path) for path in asked.pictures]
    scales = _scaled(asked, pictures)
    sights = []
    for picture, scaled in zip(pictures, scales, strict=True):
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
    names = [picture.name for picture in pictures]
    return pictures[0], scales[0].scale, merged.merge(sights, names=names)


@contextmanager
def naming(name: str) -> Iterator[None]:
    """Say in which picture a fault lies."""
    from lamphouse.trace.refused import TraceError, of_file

    try:
        yield
    except TraceError as fault:
        fault.finding = of_file(fault.finding, name)
        raise


def loaded(path: Path) -> "Picture":
    """Read a picture, or refuse with what to name instead."""
    from lamphouse.storage.reading import read_file
    from lamphouse.trace import picture_file

    try:
        data = read_file(path, most_bytes=picture_file.MOST_BYTES)
    except OSError as fault:
        message = f"{path}: {fault.strerror or fault}; name a scan or a photograph"
        raise commands.Unreadable(message) from fault
    with naming(path.name):
        return picture_file.load(data, name=path.name)


def _scaled(asked: Asked, pictures: "list[Picture]") -> "list[Scaled]":
    """Scale every picture by what the maker named."""
    from lamphouse.trace import references, scales

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
    if flat is not None and not asked.references:
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


def _reference(asked: Asked, picture: "Picture") -> "Seen":
    """Find the reference that was asked for in one picture."""
    from lamphouse.trace import checkerboard, frame_card, id_card, paper_sheet

    if asked.sheet:
        return paper_sheet.find_sheet(picture, size=asked.sheet)
    if asked.id_card:
        return id_card.find_id_card(picture)
    if asked.board:
        across, up, square_mm = asked.board
        return checkerboard.find_checkerboard(picture, corners=(across, up), square_mm=square_mm)
    return frame_card.find_card(picture, printed_mm=asked.printed_mm)
