"""The sub-command artwork: what to print for an opening so that it reads right when lit."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands
from lamphouse.record import Record

if TYPE_CHECKING:
    from lamphouse.design.artwork import Artwork, Print
    from lamphouse.plan.artworked import ArtworkStudy
    from lamphouse.plan.print_ways import PrintWay
    from lamphouse.project.read import Reading

_LEAST_DPI, _MOST_DPI = 36.0, 2400.0


class _Wishes(Record):
    """What the options say; None or empty for what the project says."""

    films: int | None
    gel: str
    printer: str | None
    room: str | None
    ways: bool


@click.command(
    epilog="""\b
Examples:
  lamphouse artwork saltmarsh/mended.yaml screen
  lamphouse artwork saltmarsh/mended.yaml screen map.png --films 2 --into prints
  lamphouse artwork saltmarsh "top / screen" map.png --gel "red gel" --room "5 lx" --ways"""
)
@click.argument("project", type=click.Path(path_type=Path))
@click.argument("opening")
@click.argument("picture", required=False, type=click.Path(path_type=Path))
@click.option("--films", type=click.IntRange(1, 5), help="Films printed alike, laid mark on mark.")
@click.option("--gel", default="", help="Gel behind everything, as the catalogue names it.")
@click.option(
    "--printer", type=click.Choice(["inkjet", "laser"]), help="When not the project's own."
)
@click.option("--room", metavar="LIGHT", help="Light of the room, when not the project's own.")
@click.option("--dpi", type=float, default=300.0, show_default=True, help="Dots per inch.")
@click.option("--ways", is_flag=True, help="Rank other films, gels and white LEDs.")
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    help="Folder for what to print, as PNG and PDF, and for pictures of how it will be seen.",
)
@commands.AS_JSON
def artwork(
    project: Path,
    opening: str,
    picture: Path | None,
    *,
    into: Path | None,
    dpi: float,
    as_json: bool,
    **wishes: Any,
) -> int:
    """Make a PICTURE for an OPENING of PROJECT that reads right when lit, at true size.

    Without PICTURE, the artwork the project names for the opening.
    """
    from lamphouse.cli import artwork_words
    from lamphouse.outputs import answer, artwork_files
    from lamphouse.outputs.artwork_lines import result_of
    from lamphouse.outputs.artwork_sheets import study_tile
    from lamphouse.outputs.artwork_tile import TooFine

    if not _LEAST_DPI <= dpi <= _MOST_DPI:
        message = f"--dpi: {dpi:g} is out of range: from {_LEAST_DPI:g} up to {_MOST_DPI:g}"
        raise click.UsageError(message)
    reading = commands.read(project)
    if reading.design is None:
        broken = answer.artwork(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    study, ranked = _studied(reading, opening=opening, picture=picture, wishes=_Wishes(**wishes))
    try:
        tile = study_tile(study, dpi=dpi)
    except TooFine as fault:
        message = f"--dpi: {fault}"
        raise click.UsageError(message) from fault
    files = artwork_files.build(study, tile=tile, design=reading.design) if into else {}
    if into:
        artwork_files.write(files, folder=into)
    result = answer.artwork(
        result_of(study, tile=tile, ways=ranked, folder=str(into or ""), files=tuple(files))
    )
    if as_json:
        commands.say_json(result)
    else:
        click.echo(artwork_words.artwork(result["result"]))
    return int(result["exit"])


def _studied(
    reading: "Reading", *, opening: str, picture: Path | None, wishes: _Wishes
) -> "tuple[ArtworkStudy, tuple[PrintWay, ...]]":
    """Study the artwork that is meant; rank other ways where they are wanted or needed."""
    from lamphouse.plan import make
    from lamphouse.plan.artworked import study
    from lamphouse.plan.print_ways import ways
    from lamphouse.plan.printed_opening import PRINT_FILM, find, with_print

    if reading.design is None:
        problem = "a project without a design has no artwork"
        raise ValueError(problem)
    design = (
        reading.design if wishes.room is None else commands.in_room(reading.design, wishes.room)
    )
    plan = make.plan(design, found=reading.findings, places=reading.places)
    try:
        place = find(design, glows=plan.glows, name=opening)
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    films = reading.shelf.film_types
    if wishes.gel and wishes.gel not in films:
        message = f"no film '{wishes.gel}' in the catalogue; see lamphouse stock film_types"
        raise click.UsageError(message)
    own = next((layer.printed for layer in place.opening.layers if layer.printed), None)
    print_ = _print(own, picture=picture, printer=wishes.printer, opening=opening)
    own_layers, film = place.opening.layers, films[PRINT_FILM]
    plain = with_print(own_layers, print_=print_, film=film, films=wishes.films)
    gel = films[wishes.gel] if wishes.gel else None
    layers = with_print(plain, print_=print_, gel=gel)
    found = study(place, print_=print_, layers=layers, room=design.room)
    ranked: tuple[PrintWay, ...] = ()
    if wishes.ways or found.falls_short:
        shelf = reading.shelf
        ranked = ways(place, print_=print_, layers=plain, shelf=shelf, room=design.room)
    return found, ranked


def _print(
    own: "Print | None", *, picture: Path | None, printer: str | None, opening: str
) -> "Print":
    from lamphouse.design.artwork import Print, Printer
    from lamphouse.record import replace

    if picture is not None:
        drawn = _picture(picture)
        print_ = replace(own, artwork=drawn) if own else Print(artwork=drawn)
    elif own is not None:
        print_ = own
    else:
        message = f"the project names no artwork for '{opening}'; name a picture"
        raise click.UsageError(message)
    if printer is None:
        return print_
    return replace(print_, printer=Printer(printer), chart=None)


def _picture(path: Path) -> "Artwork":
    from lamphouse.project.artwork_file import MOST_BYTES, ArtworkError, artwork_of
    from lamphouse.storage.reading import read_file

    try:
        return artwork_of(read_file(path, most_bytes=MOST_BYTES), file=path.name)
    except OSError as fault:
        message = f"{path}: {fault.strerror or fault}; name a PNG, JPEG or TIFF file"
        raise commands.Unreadable(message) from fault
    except ArtworkError as fault:
        message = f"{path}: {fault.what}; {fault.remedy}"
        raise commands.Unreadable(message) from fault
