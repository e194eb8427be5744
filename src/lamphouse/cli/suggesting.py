"""The sub-command suggest: how to light a box for a wanted look, and writing the choice down."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.plan.suggestion import Choice, Request
    from lamphouse.project.read import Reading


@click.command(
    epilog="""\b
Examples:
  lamphouse suggest saltmarsh "tide box"
  lamphouse suggest saltmarsh "screen box" --look "lit panel" --deepest "20 mm"
  lamphouse suggest saltmarsh/mended.yaml "plotting box" --apply 2"""
)
@click.argument("project", type=click.Path(path_type=Path))
@click.argument("box")
@click.option("--look", default="", help="Wanted look, when not that of each opening.")
@click.option("--led", default="", help="Type of LED, when not that of the box.")
@click.option("--deepest", metavar="LENGTH", help="Clear depth there is room for.")
@click.option("--thorough", is_flag=True, help="Try every film and more depths, and prove each.")
@click.option("--apply", "number", type=int, help="Write this choice into the project file.")
@commands.AS_JSON
def suggest(
    project: Path,
    box: str,
    look: str,
    led: str,
    deepest: str | None,
    *,
    thorough: bool,
    number: int | None,
    as_json: bool,
) -> int:
    """Say how many LEDs a BOX of PROJECT needs for its look: where, how deep, at what current."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.outputs.suggest_lines import result_of
    from lamphouse.plan.asking import asked
    from lamphouse.plan.suggest import suggest as find
    from lamphouse.plan.suggestion import Refusal

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.suggest(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    try:
        request = asked(
            reading.design,
            shelf=reading.shelf,
            box=box,
            look=look,
            led=led,
            deepest_mm=_length_mm(deepest),
            thorough=thorough,
        )
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    with screen.Progress(silent=as_json) as tell:
        found = find(reading.design, request=request, tell=tell)
    if isinstance(found, Refusal):
        message = f"nothing can be suggested: {found.reason}; {found.remedy}"
        raise click.UsageError(message)
    if number is not None:
        if not 1 <= number <= len(found.choices):
            message = f"--apply: there are choices 1 to {len(found.choices)}, not {number}"
            raise click.UsageError(message)
        _write(project, reading=reading, request=request, choice=found.choices[number - 1])
    result = answer.suggest(result_of(found, applied=number))
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_told(result["result"])))
    return int(result["exit"])


def _length_mm(given: str | None) -> float | None:
    from lamphouse import units

    if given is None:
        return None
    try:
        length = units.parse(given, units.Quantity.LENGTH)
    except units.UnitError as fault:
        message = f"--deepest: {fault}"
        raise click.UsageError(message) from fault
    if length <= 0.0:
        message = f"--deepest: {given} is no depth; name one such as 15 mm"
        raise click.UsageError(message)
    return length


def _write(project: Path, *, reading: "Reading", request: "Request", choice: "Choice") -> None:
    """Write a choice into the project file, which must still hold what was read."""
    from lamphouse.plan.suggestion_words import reason
    from lamphouse.project import write
    from lamphouse.project.applying import applied
    from lamphouse.project.read import project_file

    file = project_file(project)
    text = file.read_bytes().decode("utf-8")
    if reading.tree is None or reading.tree.text != text:
        message = f"'{file}' has changed or is of an older layout; run upgrade, then this again"
        raise commands.Unwritable(message)
    try:
        new = applied(text, request=request, choice=choice, reason=reason(choice))
    except (write.ChangeError, LookupError) as fault:
        raise commands.Unwritable(str(fault.args[0])) from fault
    write.save(file, new)


def _told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show the choices as a table, then where each puts its LEDs and what it costs."""
    from lamphouse.cli import screen

    drawn = [result["drawn"]] if result["drawn"] else []
    head = (
        "",
        "choice",
        "opening",
        "cd/m2",
        "evenness",
        "hot spot",
        "colour",
        "wanted",
        "mA at the plug",
        "cd/m2 per mA",
    )
    yield click.style(f"{result['sub_assembly']} / {result['panel']} / {result['box']}", bold=True)
    rows = [row for choice in (*drawn, *result["choices"]) for row in _rows(choice)]
    yield screen.table(head, rows)
    for choice in result["choices"]:
        yield ""
        yield from _choice_lines(choice)
    if not result["choices"]:
        yield "nothing better than the box as drawn was found; --thorough looks further"
    yield ""
    for text in (
        result["note"],
        result["proof"],
        *(f"left out: {words}" for words in result["left_out"]),
    ):
        if text:
            yield text
    if result["applied"]:
        yield f"wrote choice {result['applied']}; next: lamphouse check"
    elif result["choices"]:
        yield "write one into the project file: --apply NUMBER"


def _rows(choice: Mapping[str, Any]) -> Iterator[tuple[str, ...]]:
    """Give one row for each opening; the choice's own cells stand in the first."""
    from lamphouse.cli import screen

    number = str(choice["number"] or "")
    words = choice["words"] + ("" if choice["reaches"] else " (falls short)")
    current, each = f"{choice['plug_mA']:.2g}", f"{choice['cd_m2_per_mA']:.3g}"
    for opening in choice["openings"]:
        yield (
            number,
            words,
            opening["opening"],
            screen.barred(opening["mean_cd_m2"], bar=opening["bar_cd_m2"]),
            _evenness(opening),
            f"{opening['hot_spot']:.0%}",
            opening["colour"] or "-",
            _wanted(opening),
            current,
            each,
        )
        number = words = current = each = ""


def _evenness(opening: Mapping[str, Any]) -> str:
    """Write an evenness in whole percent, or finer where that would hide that it falls short."""
    share, wanted = opening["evenness"], opening["wanted_evenness"] or 0.0
    hides = share < wanted <= round(share, 2)
    return f"{share:.1%}" if hides else f"{share:.0%}"


def _wanted(opening: Mapping[str, Any]) -> str:
    if not opening["look"]:
        return "-"
    least, most = opening["wanted_cd_m2"]
    colour = opening["wanted_colour"]
    words = f"{least:g} to {most:g}, {opening['wanted_evenness']:.0%}"
    return f"{words}, {colour}" if colour else words


def _choice_lines(choice: Mapping[str, Any]) -> Iterator[str]:
    places = ", ".join(
        f"{led['name']} [{led['x_mm']:g}, {led['y_mm']:g}]" for led in choice["leds"]
    )
    currents = sorted({led["current_mA"] for led in choice["leds"]})
    wanted = " or ".join(f"{current:g}" for current in currents)
    yield f"{choice['number']}  {places} mm, {wanted} mA, {choice['depth_mm']:g} mm deep"
    if choice["price"]:
        yield f"   beside the box as drawn: {choice['price']}"
    yield f"   to buy beyond the model as drawn: {choice['to_buy']}"
    if choice["freed_strings"]:
        yield f"   strings grouped anew: {', '.join(choice['freed_strings'])}"
