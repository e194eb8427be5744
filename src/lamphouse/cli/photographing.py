"""The sub-command photo: a photograph of a lit panel laid over what was predicted."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands
from lamphouse.cli.lengths import LENGTH, SIZE
from lamphouse.cli.trace_pictures import loaded
from lamphouse.cli.tracing import need_image_library

if TYPE_CHECKING:
    from lamphouse.outputs.photo_lines import PhotoResult
    from lamphouse.trace.linear_light import LitPicture
    from lamphouse.trace.photographed import Photographed
    from lamphouse.trace.scales import Scale


@click.command(
    epilog="""\b
Examples:
  lamphouse photo saltmarsh "instrument wall / wall" lit.jpg \\
    --corners 210 980 1390 960 1370 190 230 200
  lamphouse photo saltmarsh wall short.jpg long.jpg --unlit off.jpg --corners ...
  lamphouse photo saltmarsh wall lit.jpg --corners ... --card-in card.jpg \\
    --printed "168.2 x 215.8 mm"

Photograph from straight in front, in the dark, camera on a stand, no filters, no high dynamic
range. The corners are those of the panel's outermost rectangle, in pixels."""
)
@click.argument("project", type=click.Path(path_type=Path))
@click.argument("panel")
@click.argument("pictures", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--corners",
    type=(float, float, float, float, float, float, float, float),
    metavar="X Y X Y X Y X Y",
    required=True,
    help="Column and row of the panel's lower left, lower right, upper right and upper left "
    "corner, as it is seen.",
)
@click.option(
    "--card-in",
    "lender",
    type=click.Path(path_type=Path),
    help="Picture with the frame card round the panel, by the same camera that did not move: "
    "tilt and lens come from it.",
)
@click.option(
    "--printed",
    type=SIZE,
    help="Outer width and height of the card's frame as you measure them: '168.2 x 215.8 mm'.",
)
@click.option("--thickness", type=LENGTH, help="Of the panel: its face lies so far above the card.")
@click.option(
    "--unlit",
    type=click.Path(path_type=Path),
    help="The same view with the model's lights off, to take off the light of the room.",
)
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    help="Where the picture of measured, predicted and ratio goes; beside the first without.",
)
@commands.AS_JSON
def photo(
    *,
    project: Path,
    panel: str,
    pictures: tuple[Path, ...],
    corners: tuple[float, ...],
    lender: Path | None,
    printed: tuple[float, float] | None,
    thickness: float | None,
    unlit: Path | None,
    into: Path | None,
    as_json: bool,
) -> int:
    """Lay PICTURES of a lit PANEL of PROJECT over its prediction: evenness, spots, stray light.

    One photograph gives relative light; two or more with other exposures, from the same place,
    hold more of it and show whether the camera can be trusted.
    """
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.storage.atomic import write_file
    from lamphouse.trace.refused import TraceError

    if (printed or thickness) and lender is None:
        message = "--printed and --thickness go with --card-in"
        raise click.UsageError(message)
    need_image_library()
    try:
        made = _compared(
            project,
            panel,
            pictures=pictures,
            corners=corners,
            lender=lender,
            printed=printed,
            thickness_mm=thickness or 0.0,
            unlit=unlit,
        )
    except TraceError as fault:
        answered = answer.photo(None, findings=(fault.finding,))
        if as_json:
            commands.say_json(answered)
        else:
            click.echo(screen.findings((fault.finding,)), nl=False, err=True)
        return int(answered["exit"])
    shown = into or pictures[0].with_name(f"{pictures[0].stem}-against.png")
    write_file(shown, made.png)
    answered = answer.photo(
        _result(made, panel=panel, pictures=pictures, overlay=shown), findings=made.findings
    )
    if as_json:
        commands.say_json(answered)
    else:
        click.echo("\n".join(_told(answered["result"])))
        click.echo(screen.findings(made.findings), nl=False)
    return int(answered["exit"])


def _compared(
    project: Path,
    panel: str,
    *,
    pictures: tuple[Path, ...],
    corners: Sequence[float],
    lender: Path | None,
    printed: tuple[float, float] | None,
    thickness_mm: float,
    unlit: Path | None,
) -> "Photographed":
    import numpy as np

    from lamphouse.plan import make
    from lamphouse.trace.photographed import photographed

    reading = commands.read(project)
    design = reading.design
    if design is None:
        message = f"{project}: the project cannot be understood; see lamphouse check"
        raise commands.Unreadable(message)
    there = {
        f"{sub.name} / {one.name}": (sub, one)
        for sub in design.sub_assemblies
        for one in sub.panels
    }
    fits = [pair for name, pair in there.items() if panel in (name, pair[1].name)]
    if len(fits) != 1:
        many = "more than one panel has" if fits else "no panel has"
        message = f"{many} the name '{panel}'; there are: {', '.join(there)}"
        raise click.UsageError(message)
    sub, one = fits[0]
    lit = [_lit(path) for path in pictures]
    off = _lit(unlit) if unlit else None
    scale = (
        _scale(lender, first=pictures[0], printed=printed, thickness_mm=thickness_mm)
        if lender
        else None
    )
    return photographed(
        make.plan(design, found=reading.findings, places=reading.places),
        sub_assembly=sub.name,
        panel=one,
        pictures=lit,
        spots=np.array(corners, dtype=float).reshape(4, 2),
        scale=scale,
        unlit=off,
    )


def _lit(path: Path) -> "LitPicture":
    from lamphouse.trace import picture_file
    from lamphouse.trace.asked_pictures import naming
    from lamphouse.trace.linear_light import lit_picture

    try:
        with path.open("rb") as stream:
            data = stream.read(picture_file.MOST_BYTES + 1)
    except OSError as fault:
        message = f"{path}: {fault.strerror or fault}; name a photograph"
        raise commands.Unreadable(message) from fault
    with naming(path.name):
        return lit_picture(data, name=path.name)


def _scale(
    lender: Path, *, first: Path, printed: tuple[float, float] | None, thickness_mm: float
) -> "Scale":
    """Take tilt and lens from the picture with the frame card."""
    from lamphouse.trace import frame_card, references
    from lamphouse.trace.asked_pictures import naming

    card, picture = loaded(lender), loaded(first)
    with naming(card.name):
        scaled = frame_card.from_card(card, printed_mm=printed, thickness_mm=thickness_mm)
    with naming(picture.name):
        return references.lent(scaled, picture=picture, lender=card).scale


def _result(
    made: "Photographed", *, panel: str, pictures: tuple[Path, ...], overlay: Path
) -> "PhotoResult":
    from lamphouse.outputs import photo_lines as lines

    return lines.PhotoResult(
        panel=panel,
        pictures=tuple(one.name for one in pictures),
        exposures=made.exposure_words,
        place=made.place_words,
        pixel_mm=made.pixel_mm,
        off_mm=made.off_mm,
        openings=tuple(
            lines.PhotoOpeningLine(
                opening=one.opening,
                evenness=one.evenness,
                evenness_bar=one.evenness_bar,
                predicted_evenness=one.predicted_evenness,
                hot_spot=one.hot_spot,
                predicted_hot_spot=one.predicted_hot_spot,
                beside_others=one.beside_others,
                is_coloured=one.is_coloured,
                overexposed=one.over,
                read=one.read,
                half_code=one.half_code,
                spots=tuple(
                    lines.SpotLine(
                        x_mm=spot.x_mm, y_mm=spot.y_mm, ratio=spot.ratio, area_mm2=spot.area_mm2
                    )
                    for spot in one.spots
                ),
            )
            for one in made.against.openings
        ),
        face_light=tuple(
            lines.FaceLightLine(x_mm=leak.x_mm, y_mm=leak.y_mm, share=leak.share)
            for leak in made.against.leaks
        ),
        overlay=str(overlay),
    )


def _told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show every opening beside its prediction."""
    from lamphouse.cli import screen

    yield click.style(result["panel"], bold=True)
    yield f"{', '.join(result['pictures'])}: {result['exposures']}"
    yield (
        f"placed by {result['place']}; a pixel is {result['pixel_mm']:.2f} mm, any place within "
        f"{result['off_mm']:.2f} mm"
    )
    rows = [
        (
            one["opening"],
            _share(one["evenness"], bar=one["evenness_bar"]),
            _share(one["predicted_evenness"]),
            _share(one["hot_spot"]),
            _share(one["predicted_hot_spot"]),
            "-" if one["beside_others"] is None else f"{one['beside_others']:.2f}",
            str(len(one["spots"])),
        )
        for one in result["openings"]
    ]
    head = ("opening", "evenness", "predicted", "hot spot", "predicted", "beside others", "spots")
    yield screen.table(head, rows)
    yield f"wrote {result['overlay']}"


def _share(value: float | None, *, bar: float = 0.0) -> str:
    if value is None:
        return "-"
    return f"{value:.0%} ± {bar:.0%}" if bar >= 0.005 else f"{value:.0%}"
