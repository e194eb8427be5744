"""The sub-command balance: the fewest resistor values that bring every look about."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.plan.balanced_plan import BalancedPlan

MOST_RATIO = 100.0
"""Wider apart than any two looks of a model."""


@click.command(
    epilog="""\b
Examples:
  lamphouse balance saltmarsh/mended.yaml
  lamphouse balance saltmarsh/mended.yaml --match 1.2
  lamphouse balance saltmarsh/mended.yaml --apply"""
)
@commands.PROJECT
@click.option(
    "--match",
    "match_ratio",
    type=float,
    callback=lambda _context, _option, given: _ratio(given),
    help="How far openings that match may differ; as the project says, else a factor of 1.5.",
)
@click.option("--apply", "is_applied", is_flag=True, help="Write it into the project file.")
@commands.AS_JSON
def balance(project: Path, match_ratio: float | None, *, is_applied: bool, as_json: bool) -> int:
    """Bring every opening of PROJECT to its look with the fewest different resistors."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.outputs.balance_lines import balance_result
    from lamphouse.plan.balanced_plan import MATCH_RATIO, balanced

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.balance(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    found = balanced(reading.design, match_ratio=match_ratio, found=reading.findings)
    ratio = match_ratio or MATCH_RATIO
    if is_applied:
        _write(project, found=found)
    result = answer.balance(
        balance_result(found, match_ratio=ratio, applied=is_applied), findings=found.findings
    )
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_told(result["result"])))
        click.echo(screen.findings(found.findings), nl=False)
    return int(result["exit"])


def _ratio(given: float | None) -> float | None:
    if given is not None and not 1.0 < given <= MOST_RATIO:
        message = f"--match: {given:g} is no ratio from above 1 to {MOST_RATIO:g}; try 1.2"
        raise click.UsageError(message)
    return given


def _write(project: Path, *, found: "BalancedPlan") -> None:
    """Write new resistors and currents into the project file, which must be as it was read."""
    from lamphouse.project import write
    from lamphouse.project.balance_written import written_balance
    from lamphouse.project.read import project_file

    file = project_file(project)
    text = file.read_bytes().decode("utf-8")
    try:
        new = written_balance(text, before=found.before.design, after=found.after.design)
    except (write.ChangeError, LookupError) as fault:
        raise commands.Unwritable(str(fault.args[0])) from fault
    if new != text:
        write.save(file, new)


def _told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show strings and openings as tables, then the values there are and why no fewer do."""
    from lamphouse.cli import screen

    columns = ("string", "LEDs", "resistor", "after", "mA", "after", "kept because it")
    yield screen.table(columns, map(_string_row, result["strings"]))
    if result["openings"]:
        yield ""
        head = ("lit opening", "cd/m2", "after", "wanted", "evenness", "after")
        yield screen.table(head, map(_opening_row, result["openings"]))
    yield ""
    before, after = result["values_before_ohm"], result["values_after_ohm"]
    yield f"resistor values before: {len(before)} ({_ohms(before)})"
    yield f"resistor values after:  {len(after)} ({_ohms(after)})"
    if result["drawer_ohm"]:
        yield f"from the drawer: {_ohms(result['drawer_ohm'])}"
    if result["proof"]:
        yield result["proof"]
    for words in result["brings"]:
        yield f"this would bring: {words}"
    yield ""
    if result["applied"]:
        yield "wrote it into the project file; next: lamphouse check"
    elif any(one["before_ohm"] != one["after_ohm"] for one in result["strings"]):
        yield "write it into the project file: --apply"


def _ohms(values: list[float]) -> str:
    from lamphouse.units import Quantity, show

    return ", ".join(show(value, Quantity.RESISTANCE) for value in values)


def _string_row(one: Mapping[str, Any]) -> tuple[str, ...]:
    changes = one["before_ohm"] != one["after_ohm"]
    return (
        f"{one['sub_assembly']} / {one['string']}",
        str(len(one["leds"])),
        _ohms([one["before_ohm"]]),
        _ohms([one["after_ohm"]]) if changes else "same",
        _span(one["before_mA"]),
        _span(one["after_mA"]) if changes else "same",
        one["kept"],
    )


def _opening_row(one: Mapping[str, Any]) -> tuple[str, ...]:
    before, after = one["before"], one["after"]
    wanted = before["wanted_cd_m2"]
    return (
        f"{before['sub_assembly']} / {before['opening']}",
        _span(before["mean_cd_m2"]),
        _span(after["mean_cd_m2"]),
        f"{wanted[0]:g} to {wanted[1]:g}" if wanted else "-",
        f"{before['evenness']:.0%}",
        f"{after['evenness']:.0%}",
    )


def _span(band: Mapping[str, float]) -> str:
    return f"{band['nominal']:.3g} ({band['low']:.3g} to {band['high']:.3g})"
