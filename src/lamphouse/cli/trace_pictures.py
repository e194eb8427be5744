"""What goes together among the options of trace; its pictures read, or refused in words."""

from pathlib import Path
from typing import TYPE_CHECKING

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.trace.asked_pictures import Asked
    from lamphouse.trace.part_sight import Sight
    from lamphouse.trace.picture_file import Picture
    from lamphouse.trace.scales import Scale


def references(asked: "Asked") -> tuple[str, ...]:
    """Name the references that were asked for."""
    named = {
        "--card": asked.card,
        "--sheet": asked.sheet,
        "--id-card": asked.id_card,
        "--board": asked.board,
    }
    return tuple(option for option, is_asked in named.items() if is_asked)


def misuse(asked: "Asked") -> str:
    """Say which options do not go together; empty when all do."""
    count = len(references(asked))
    scaled = count + (asked.ruler is not None) + (asked.dpi is not None)
    if not scaled:
        return (
            "say what the scale comes from: --dpi for a flatbed scan, --card for the printed "
            "card, --sheet, --id-card or --board for other things of known size, --ruler for "
            "two marks"
        )
    if count > 1:
        return f"one reference is enough: choose one of {', '.join(references(asked))}"
    if asked.ruler and scaled > 1:
        return "--ruler stands alone: leave the other references and --dpi out"
    if asked.printed_mm and not asked.card:
        return "--printed goes with --card"
    if asked.thickness_mm and not count:
        return "--thickness goes with --card, --sheet, --id-card or --board"
    if asked.dpi is not None and asked.sheet:
        return "a sheet fills the whole glass: --sheet goes with photographs, without --dpi"
    return _misuse_of_many(asked)


def _misuse_of_many(asked: "Asked") -> str:
    if asked.lender and not references(asked):
        return "--scale-from goes with --card, --sheet, --id-card or --board"
    if asked.lender and asked.dpi is not None:
        return "--scale-from is for a camera that stands still: leave --dpi out"
    if len(asked.pictures) == 1:
        return ""
    if not references(asked) or asked.dpi is not None or asked.lender:
        return (
            "several pictures are photographs with one reference in each: name --card, "
            "--sheet, --id-card or --board, and no --dpi or --scale-from"
        )
    return ""


def looked_at(asked: "Asked") -> "tuple[Picture, Scale, Sight]":
    """Give the first picture, its scale, and what all pictures together tell of the part.

    Raises
    ------
    TraceError
        If a picture cannot be traced honestly; it names the picture.
    """
    from lamphouse.trace import asked_pictures

    try:
        return asked_pictures.looked_at(asked)
    except OSError as fault:
        raise _unreadable(fault, asked.pictures[0]) from fault


def loaded(path: Path) -> "Picture":
    """Read a picture, or refuse with what to name instead."""
    from lamphouse.trace import asked_pictures

    try:
        return asked_pictures.loaded(path)
    except OSError as fault:
        raise _unreadable(fault, path) from fault


def _unreadable(fault: OSError, path: Path) -> commands.Unreadable:
    name = fault.filename or path
    return commands.Unreadable(f"{name}: {fault.strerror or fault}; name a scan or a photograph")
