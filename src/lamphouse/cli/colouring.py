"""The sub-command colour: LEDs, gels and tints for a wanted colour, and writing one down."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.plan.colour_choices import ColourChoices
    from lamphouse.project.read import Reading


@click.command(
    epilog="""\b
Examples:
  lamphouse colour saltmarsh/mended.yaml "tide board" --wanted amber
  lamphouse colour saltmarsh screen --wanted "2700 K" --luminance "40 cd/m2"
  lamphouse colour saltmarsh "tide board" --wanted "Lab 60 40 20" --apply 1"""
)
@click.argument("project", type=click.Path(path_type=Path))
@click.argument("opening")
@click.option(
    "--wanted", metavar="COLOUR", default="", help="Wanted colour, when not that of its look."
)
@click.option("--luminance", help="Wanted luminance in the dark; that of today when left out.")
@click.option("--keep-leds", "keeps_led", is_flag=True, help="Keep the LEDs, change films only.")
@click.option("--room", metavar="LIGHT", help="Light of the room, when not the project's own.")
@click.option("--apply", "number", type=int, help="Write this way into the project file.")
@commands.AS_JSON
def colour(
    project: Path,
    opening: str,
    *,
    wanted: str,
    luminance: str | None,
    keeps_led: bool,
    room: str | None,
    number: int | None,
    as_json: bool,
) -> int:
    """Say which LEDs, gels and tints give an OPENING of PROJECT a wanted colour."""
    from lamphouse.outputs import answer
    from lamphouse.outputs.colour_lines import result_of

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.colour(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    found = _found(
        reading,
        opening=opening,
        wanted=wanted,
        luminance_cd_m2=_luminance_cd_m2(luminance),
        keeps_led=keeps_led,
        room=room,
    )
    if number is not None:
        if not 1 <= number <= len(found.choices):
            message = f"--apply: there are ways 1 to {len(found.choices)}, not {number}"
            raise click.UsageError(message)
        _write(project, reading=reading, found=found, number=number)
    result = answer.colour(result_of(found, applied=number))
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_told(result["result"])))
    return int(result["exit"])


def _found(
    reading: "Reading",
    *,
    opening: str,
    wanted: str,
    luminance_cd_m2: float | None,
    keeps_led: bool,
    room: str | None,
) -> "ColourChoices":
    """Find ways to the colour, or refuse with what to ask instead."""
    from lamphouse.plan import make
    from lamphouse.plan.colour_choices import colour_choices
    from lamphouse.plan.printed_opening import find
    from lamphouse.plan.suggestion import Refusal
    from lamphouse.units import UnitError

    if reading.design is None:
        problem = "a project without a design has no colours"
        raise ValueError(problem)
    design = reading.design if room is None else commands.in_room(reading.design, room)
    plan = make.plan(design, found=reading.findings, places=reading.places)
    try:
        place = find(design, glows=plan.glows, name=opening)
        look = place.shown.look
        words = wanted or (look.colour if look else "")
        if not words:
            message = f"the look of '{opening}' wants no colour; name one with --wanted"
            raise click.UsageError(message)
        found = colour_choices(
            design,
            place=place,
            shelf=reading.shelf,
            wanted=words,
            luminance_cd_m2=luminance_cd_m2,
            keeps_led=keeps_led,
        )
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    except UnitError as fault:
        message = f"--wanted: {fault}"
        raise click.UsageError(message) from fault
    if isinstance(found, Refusal):
        message = f"nothing can be chosen: {found.reason}; {found.remedy}"
        raise click.UsageError(message)
    return found


def _luminance_cd_m2(given: str | None) -> float | None:
    from lamphouse import units

    if given is None:
        return None
    try:
        luminance = units.parse(given, units.Quantity.LUMINANCE)
    except units.UnitError as fault:
        message = f"--luminance: {fault}"
        raise click.UsageError(message) from fault
    if luminance <= 0.0:
        message = f"--luminance: {given} is no light; name one such as 40 cd/m2"
        raise click.UsageError(message)
    return luminance


def _write(project: Path, *, reading: "Reading", found: "ColourChoices", number: int) -> None:
    """Write a way into the project file, which must still hold what was read."""
    from lamphouse.outputs.colour_lines import reason
    from lamphouse.project import write
    from lamphouse.project.applying import applied
    from lamphouse.project.read import project_file

    file = project_file(project)
    text = file.read_bytes().decode("utf-8")
    if reading.tree is None or reading.tree.text != text:
        message = f"'{file}' has changed or is of an older layout; run upgrade, then this again"
        raise commands.Unwritable(message)
    one = found.choices[number - 1]
    try:
        new = applied(
            text,
            request=found.request,
            choice=one.choice,
            reason=reason(one, wanted=found.wanted),
        )
    except (write.ChangeError, LookupError) as fault:
        raise commands.Unwritable(str(fault.args[0])) from fault
    write.save(file, new)


def _told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show the ways as a table, then what is missing and what each would trip."""
    from lamphouse.cli import screen

    wanted = f"{result['wanted']} at {result['luminance_cd_m2']:.3g} cd/m2"
    yield click.style(f"{result['opening']}: {wanted}", bold=True)
    if not result["ways"]:
        yield f"nothing of the tables is bright enough ({result['tried']} ways tried)"
        return
    if not result["is_reachable"]:
        yield f"nothing of the tables gives it ({result['tried']} ways tried); the nearest:"
    head = ("", "way", "colour", "difference", "cd/m2", "mA each", "mA at the plug", "to buy")
    yield screen.table(head, map(_row, result["ways"]))
    yield ""
    for way in result["ways"]:
        if way["brings"]:
            yield f"{way['number']} would bring: {way['brings']}"
    if result["applied"]:
        yield f"wrote way {result['applied']}; next: lamphouse check"
    else:
        yield "write one into the project file: --apply NUMBER"


def _row(way: Mapping[str, Any]) -> tuple[str, ...]:
    from lamphouse.cli import screen

    return (
        str(way["number"]),
        way["words"],
        way["colour"],
        f"{way['difference']:.1f}",
        screen.barred(way["mean_cd_m2"], bar=way["bar_cd_m2"]),
        f"{way['current_mA']:.2g}",
        f"{way['plug_mA']:.2g}",
        ", ".join(way["to_buy"]) or "-",
    )
