"""The sub-commands card and trace: from a scan or photograph of a part to its outline and holes."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands
from lamphouse.cli.lengths import LENGTH, SIZE
from lamphouse.cli.trace_pictures import looked_at, misuse
from lamphouse.record import Record

if TYPE_CHECKING:
    from lamphouse.outputs.trace_lines import AgainstLine
    from lamphouse.trace.asked_pictures import Asked
    from lamphouse.trace.picture_file import Picture
    from lamphouse.trace.scales import Scale
    from lamphouse.trace.traced import TracedPart


@click.command(
    epilog="""\b
Examples:
  lamphouse card card.pdf --paper Letter
  lamphouse card chart.pdf --prints"""
)
@click.argument("file", type=click.Path(path_type=Path), default=Path("card.pdf"))
@click.option("--paper", type=click.Choice(["A4", "Letter"], case_sensitive=False), default="A4")
@click.option(
    "--prints",
    is_flag=True,
    help="The print chart instead, which tells the inks of your printer; a PDF, or the patches "
    "alone as a PNG.",
)
def card(*, file: Path, paper: str, prints: bool) -> int:
    """Write the frame card for photographs of parts into FILE, to be printed and measured."""
    from lamphouse.outputs.card_sheet import FACE, card_sheet
    from lamphouse.outputs.print_chart_sheet import chart_picture, chart_sheet
    from lamphouse.storage.atomic import write_file

    if prints:
        is_picture = file.suffix.lower() == ".png"
        write_file(file, chart_picture() if is_picture else chart_sheet(paper=paper))
        click.echo(
            f"wrote {file}: print it on film as you print artwork, photograph it lit and on white "
            "paper, and write its readings under charts in the project file"
        )
        return 0
    write_file(file, card_sheet(paper=paper))
    click.echo(
        f"wrote {file}: print it without scaling, lay it flat; drawn as {FACE}; measure yours"
    )
    return 0


@click.command(
    epilog="""\b
Examples:
  lamphouse trace bezel.png --dpi 600
  lamphouse trace bezel.png --dpi 600 --card --printed "168.2 x 215.8 mm"
  lamphouse trace bezel.jpg --card --printed "168.2 x 215.8 mm" --thickness "0.75 mm"
  lamphouse trace a.jpg b.jpg c.jpg --card --printed "168.2 x 215.8 mm" --thickness "3 mm"
  lamphouse trace bezel.jpg --sheet A4 --window 400 300 1900 1500
  lamphouse trace sketch.png --dpi 300 --sketch
  lamphouse trace copy.png --dpi 600 --project harbour --against "wall / face"
  lamphouse trace bezel.png --dpi 600 --project harbour --into "wall / face\""""
)
@click.argument("pictures", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--dpi", type=float, help="The picture is a flatbed scan of this resolution.")
@click.option(
    "--ruler",
    type=(float, float, float, float, LENGTH),
    metavar="X Y X Y LENGTH",
    help="Two marks of a ruler in a picture from straight above: column and row of each in "
    "pixels, and how far apart they are.",
)
@click.option("--card", is_flag=True, help="The printed frame card lies under the part.")
@click.option(
    "--printed",
    type=SIZE,
    help="Outer width and height of the card's frame as you measure them: '168.2 x 215.8 mm'.",
)
@click.option(
    "--sheet",
    type=click.Choice(["A4", "Letter", "either"], case_sensitive=False),
    help="The part lies on a plain sheet of paper of this size, the whole sheet in the picture.",
)
@click.option(
    "--id-card",
    is_flag=True,
    help="An identity or bank card (85.60 x 53.98 mm) lies beside the part, on the same ground.",
)
@click.option(
    "--board",
    type=(click.IntRange(3, 100), click.IntRange(3, 100), LENGTH),
    metavar="ACROSS UP LENGTH",
    help="A checkerboard lies there: its inner corners along both sides, and a square's side.",
)
@click.option(
    "--scale-from",
    "lender",
    type=click.Path(path_type=Path),
    help="The reference lies in this other picture, by the same camera that did not move.",
)
@click.option(
    "--thickness", type=LENGTH, help="Of the part: its face is so much nearer to the camera."
)
@click.option(
    "--window",
    type=(int, int, int, int),
    metavar="LEFT TOP RIGHT BOTTOM",
    help="The part lies within this window, in pixels.",
)
@click.option(
    "--part",
    type=click.Choice(["lighter", "darker"]),
    help="Whether the part is lighter or darker than the ground; seen in the picture otherwise.",
)
@click.option("--sketch", is_flag=True, help="A line drawing: follow the middle of its lines.")
@click.option("--finest", type=LENGTH, help="The smallest hole to look for; 0.3 mm when left out.")
@click.option(
    "--within", type=LENGTH, help="How far lines and arcs may leave the edge; 0.03 mm otherwise."
)
@click.option("--unsnapped", is_flag=True, help="Leave round holes as measured, not as drilled.")
@click.option(
    "--overlay",
    type=click.Path(path_type=Path),
    help="Where the picture with the outline over it goes; beside the first picture otherwise.",
)
@click.option(
    "--project", type=click.Path(path_type=Path), help="Project whose drills and panels are meant."
)
@click.option("--against", metavar="PANEL", help="Compare the part with this panel of it.")
@click.option("--into", metavar="PANEL", help="Write outline and holes into this panel of it.")
@commands.AS_JSON
def trace(
    *,
    pictures: tuple[Path, ...],
    dpi: float | None,
    ruler: tuple[float, float, float, float, float] | None,
    card: bool,
    printed: tuple[float, float] | None,
    sheet: str | None,
    id_card: bool,
    board: tuple[int, int, float] | None,
    lender: Path | None,
    thickness: float | None,
    window: tuple[int, int, int, int] | None,
    part: str | None,
    sketch: bool,
    finest: float | None,
    within: float | None,
    overlay: Path | None,
    project: Path | None,
    against: str | None,
    into: str | None,
    unsnapped: bool,
    as_json: bool,
) -> int:
    """Find outline and holes of the part in PICTURES (PNG, JPEG or TIFF), in true size.

    The scale comes from the resolution of a flatbed scan, from the printed frame card of
    `lamphouse card` in a scan (with --dpi) or in photographs (without), from a sheet of paper, an
    identity or bank card or a checkerboard in photographs, or from two marks of a ruler, which is
    the least certain. Several photographs of one part with one reference are merged: from several
    sides the walls of a thick part do not hide its edge. The part lies on a plain ground that is
    much darker or lighter, all of it in the picture.
    """
    from lamphouse.trace import traced
    from lamphouse.trace.asked_pictures import Asked

    asked = Asked(
        pictures=pictures,
        dpi=dpi,
        ruler=ruler,
        card=card,
        printed_mm=printed,
        sheet=sheet,
        id_card=id_card,
        board=board,
        lender=lender,
        thickness_mm=thickness or 0.0,
        window=window,
        side=part,
        finest_hole_mm=finest or traced.FINEST_HOLE_MM,
        is_sketch=sketch,
    )
    wrong = misuse(asked)
    if not wrong and (into or against) and project is None:
        wrong = "a panel belongs to a project: name the project too, with --project"
    if wrong:
        raise click.UsageError(wrong)
    need_image_library()
    wanted = _Wanted(
        tolerance_mm=within or traced.TOLERANCE_MM,
        drills=() if unsnapped else _drills(project),
        overlay=overlay,
        project=project,
        against=against,
        into=into,
    )
    return _answered(asked, wanted, as_json=as_json)


class _Wanted(Record):
    """What is to be done with a traced part."""

    tolerance_mm: float
    drills: tuple[Any, ...]
    overlay: Path | None
    project: Path | None
    against: str | None
    into: str | None


def _answered(asked: "Asked", wanted: _Wanted, *, as_json: bool) -> int:
    """Trace, write what is to be written, and say what was found or why it was not."""
    from lamphouse.cli import screen
    from lamphouse.cli.trace_words import told
    from lamphouse.outputs import answer
    from lamphouse.outputs.traced_answer import result_of
    from lamphouse.storage.atomic import write_file
    from lamphouse.trace import overlay as overlaying
    from lamphouse.trace import traced
    from lamphouse.trace.refused import TraceError

    first, project, into = asked.pictures[0], wanted.project, wanted.into
    try:
        seen, scale, sight = looked_at(asked)
        found = traced.drawn(
            sight,
            finest_hole_mm=asked.finest_hole_mm,
            tolerance_mm=wanted.tolerance_mm,
            drills=wanted.drills,
        )
        compared = None
        if wanted.against and project:
            compared = _compare(
                seen, found, scale, project=project, panel=wanted.against, picture=first
            )
    except TraceError as fault:
        answered = answer.trace(None, findings=(fault.finding,))
        if as_json:
            commands.say_json(answered)
        else:
            click.echo(screen.findings((fault.finding,)), nl=False, err=True)
        return int(answered["exit"])
    shown = wanted.overlay or first.with_name(f"{first.stem}-traced.png")
    write_file(shown, overlaying.overlay(seen, found, scale))
    written = (
        _write(project, into, pictures=asked.pictures, found=found) if project and into else ""
    )
    answered = answer.trace(
        result_of(
            found,
            pictures=[one.name for one in asked.pictures],
            edge_rule=traced.EDGE_RULE,
            overlay=str(shown),
            written=written,
            against=compared,
        ),
        findings=found.findings,
    )
    if as_json:
        commands.say_json(answered)
    else:
        click.echo("\n".join(told(answered["result"])))
        click.echo(screen.findings(found.findings), nl=False)
    return int(answered["exit"])


def need_image_library() -> None:
    """Refuse where the library that reads pictures is not installed."""
    from importlib.util import find_spec

    if find_spec("cv2") is None:
        message = "pictures are read with an image library: install 'lamphouse[trace]'"
        raise commands.Unreadable(message)


def _drills(project: Path | None) -> tuple[Any, ...]:
    from lamphouse.project import read

    try:
        shelf, _ = read.read_shelf(project)
    except OSError as fault:
        message = f"cannot read '{project}': {fault.strerror or fault}; name a project folder"
        raise commands.Unreadable(message) from fault
    return tuple(shelf.drills.values())


def _write(project: Path, into: str, *, pictures: tuple[Path, ...], found: "TracedPart") -> str:
    """Write a traced part into a panel of the project file."""
    from lamphouse.design.panel import Traced
    from lamphouse.project import write
    from lamphouse.project.read import project_file
    from lamphouse.project.trace_written import TracedHole, source_words, written_trace
    from lamphouse.trace.traced import EDGE_RULE

    reading = commands.read(project)
    names = ", ".join(one.name for one in pictures)
    file = project_file(project)
    text = file.read_bytes().decode("utf-8")
    try:
        new = written_trace(
            text,
            panel=into,
            outline=found.corners,
            holes=tuple(
                TracedHole(
                    corners=hole.corners,
                    diameter_mm=hole.round.diameter_mm if hole.round else None,
                )
                for hole in found.holes
            ),
            traced=Traced(picture=names, within_mm=found.uncertain_mm),
            source=source_words(
                names,
                day=str(reading.design.day or "") if reading.design else "",
                scale=found.scale_words,
                edge_rule=EDGE_RULE,
                within_mm=found.uncertain_mm,
                rms_mm=found.deviation.rms_mm,
            ),
        )
    except (write.ChangeError, LookupError) as fault:
        raise commands.Unwritable(str(fault.args[0])) from fault
    if new != text:
        write.save(file, new)
    return into


def _compare(
    seen: "Picture",
    found: "TracedPart",
    scale: "Scale",
    *,
    project: Path,
    panel: str,
    picture: Path,
) -> "AgainstLine":
    """Lay a traced part over a panel of the project, and draw the map of it."""
    from lamphouse.outputs.traced_answer import against_of
    from lamphouse.storage.atomic import write_file
    from lamphouse.trace import against

    design = commands.read(project).design
    if design is None:
        message = f"{project}: the project cannot be understood; see lamphouse check"
        raise commands.Unreadable(message)
    there = {f"{sub.name} / {one.name}": one for sub in design.sub_assemblies for one in sub.panels}
    fits = [one for name, one in there.items() if panel in (name, one.name)]
    if len(fits) != 1:
        many = "more than one panel has" if fits else "no panel has"
        message = f"{many} the name '{panel}'; there are: {', '.join(there)}"
        raise commands.Unreadable(message)
    holes = [opening.outline.corners for opening in fits[0].openings]
    laid = against.compare(found, outline=fits[0].outline.corners, holes=holes)
    shown = picture.with_name(f"{picture.stem}-against.png")
    write_file(shown, against.deviation_map(seen, found, scale, comparison=laid))
    return against_of(laid, panel=panel, picture=str(shown))
