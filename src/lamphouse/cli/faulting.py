"""The sub-command fault: why a sub-assembly is dark, from readings, and what to read next."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from lamphouse.cli import commands

LEAST_SHARE = 0.01
MOST_SUSPECTS, MOST_FAULTS, MOST_LIGHTS = 6, 5, 12
"""What is worth a line on the screen; JSON has it all."""


@click.command(
    epilog="""\b
Examples:
  lamphouse fault saltmarsh "chart table"                        what to expect, what to read first
  lamphouse fault saltmarsh "chart table" W1,W2=dark rest=lit
  lamphouse fault saltmarsh "chart table" plug=1.12mA TP1=11.98V
  lamphouse fault saltmarsh "chart table" TP6-TP1=15.1kohm       plug pulled, power off
  lamphouse fault saltmarsh "chart table" plug=0mA --closed

Readings are NAME=VALUE, with all the digits that the meter shows. Voltages are against the supply's
minus, or between two test points. Lights are dark, dim, lit or bright; rest means all others."""
)
@click.argument("project", type=click.Path(path_type=Path))
@click.argument("sub_assembly")
@click.argument("written", metavar="[READING]...", nargs=-1)
@click.option("--closed", is_flag=True, help="Suggest only readings at the plug and by eye.")
@click.option(
    "--error",
    "error_percent",
    type=float,
    default=1.0,
    show_default=True,
    help="The meter's error in percent of the reading.",
)
@click.option(
    "--digits",
    type=float,
    default=2.0,
    show_default=True,
    help="The meter's error in last digits, besides.",
)
@commands.AS_JSON
def fault(
    project: Path,
    sub_assembly: str,
    written: tuple[str, ...],
    *,
    closed: bool,
    error_percent: float,
    digits: float,
    as_json: bool,
) -> int:
    """Say what is likely wrong with a SUB_ASSEMBLY of PROJECT, and what to read next."""
    from lamphouse.outputs import answer
    from lamphouse.outputs.fault_lines import fault_result
    from lamphouse.plan import make
    from lamphouse.plan.fault_finding import diagnosed

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.fault(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    try:
        book, found = diagnosed(
            plan,
            sub_assembly,
            written=written,
            error=error_percent / 100.0,
            digits=digits,
            closed=closed,
        )
    except (LookupError, ValueError) as wrong:
        raise click.UsageError(str(wrong.args[0])) from wrong
    result = answer.fault(fault_result(book, found))
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_told(result["result"])))
    return int(result["exit"])


def _told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show what was read or what to expect, then the suspects, then the next reading."""
    from lamphouse.cli import screen

    yield click.style(result["sub_assembly"], bold=True)
    if result["readings"]:
        yield f"read: {', '.join(_read(result['readings']))}"
        yield ""
        yield from suspects_told(result)
    else:
        yield "with nothing wrong it reads"
        rows = [(one["probe"], _expected(one), one["words"]) for one in result["expected"]]
        yield screen.table(("at", "between", "which is"), rows)
    yield ""
    if result["left_out"]:
        yield result["left_out"]
        yield ""
    yield from _next(result["then"])


def _read(readings: Sequence[str]) -> list[str]:
    """Count the lights that look alike where they are many."""
    by_look: dict[str, list[str]] = {}
    for one in readings:
        by_look.setdefault(one.rpartition(" ")[2], []).append(one)
    lines = []
    for look, own in by_look.items():
        many = look in ("dark", "dim", "lit", "bright") and len(own) > MOST_LIGHTS
        lines += [f"{len(own)} lights {look}"] if many else own
    return lines


def suspects_told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show what is likely wrong, and how it is mended."""
    from lamphouse.outputs.fault_lines import FaultLine, with_alike

    if not result["fits"]:
        yield (
            f"none of {result['faults']} faults explains this: the nearest misses the readings by "
            f"{result['misfit']:.1f} deviations. Measure again; or more than that is wrong at once."
        )
        yield ""
    for suspect in result["suspects"][:MOST_SUSPECTS]:
        if suspect["share"] < LEAST_SHARE:
            break
        share, told = f"{suspect['share']:>5.0%}  ", suspect["faults"][:MOST_FAULTS]
        words = [with_alike(FaultLine(**one)) for one in told]
        width = max(len(one) for one in words)
        for one, line in zip(told, words, strict=True):
            yield f"{share}{line:<{width}}  -> {one['mend']}"
            share = "   or  "
        more = len(suspect["faults"]) - len(told)
        if more:
            yield f"   or  {more} more that read the same"
        if len(suspect["faults"]) > 1:
            yield "       no reading tells these apart: look at the places"


def _next(then: Mapping[str, Any] | None) -> Iterator[str]:
    from lamphouse.cli import screen

    if then is None:
        yield "no other reading tells anything more"
        return
    yield f"read next: {click.style(then['probe'], bold=True)}, {then['words']}"
    rows = [
        (one["shows"], f"{one['share']:.0%}", "; ".join(one["means"][:2]))
        for one in then["outcomes"]
        if one["share"] >= LEAST_SHARE
    ]
    yield screen.table(("if it shows", "chance", "then likely"), rows)


def _expected(one: Mapping[str, Any]) -> str:
    from lamphouse.units import Quantity, show

    for key, quantity in (
        ("current_A", Quantity.CURRENT),
        ("voltage_V", Quantity.VOLTAGE),
        ("resistance_ohm", Quantity.RESISTANCE),
    ):
        if one[key]:
            low, high = (show(float(f"{one[key][end]:.3g}"), quantity) for end in ("low", "high"))
            return f"{low} to {high}"
    return ""
