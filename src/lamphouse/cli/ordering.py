"""The sub-command steps: the order of work, what is next, and on which evening."""

import time
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.storage.bench_log import LogEntry

FIRST_FEW = 3
"""Evenings told in full; JSON has them all."""


@click.command(
    epilog="""\b
Examples:
  lamphouse steps saltmarsh                       the next evenings, and when it is done
  lamphouse steps saltmarsh --tonight 2h          what to do with two hours
  lamphouse steps saltmarsh --all                 every step with its gate, in order
  lamphouse steps saltmarsh --why "bay/window box/close"
  lamphouse steps saltmarsh --from 2026-12-01 --calendar evenings.ics

Steps that the bench log has ticked are done, and dry by the time of their tick; the rest is planned
anew each time."""
)
@commands.PROJECT
@click.option("--tonight", metavar="HOURS", help="Plan an evening of so many hours, such as 2h.")
@click.option(
    "--from",
    "from_day",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="Leave out evenings before this day; with --tonight it is that evening's, else today's.",
)
@click.option("--done", multiple=True, metavar="STEP", help="Take a step for done; may repeat.")
@click.option("--all", "list_all", is_flag=True, help="List every step in order.")
@click.option("--why", default="", metavar="STEP", help="Say why a step stands where it stands.")
@click.option(
    "--calendar",
    "calendar_file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the evenings as a calendar file (.ics).",
)
@commands.AS_JSON
def steps(
    project: Path,
    tonight: str | None,
    from_day: datetime | None,
    done: tuple[str, ...],
    *,
    list_all: bool,
    why: str,
    calendar_file: Path | None,
    as_json: bool,
) -> int:
    """Bring the build of PROJECT into order, with gates, drying times and evenings."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.outputs.calendar_file import calendar
    from lamphouse.outputs.step_lines import explained, steps_result
    from lamphouse.outputs.work_states import done_steps, dry_at
    from lamphouse.plan import make
    from lamphouse.plan.ordered import evenings_asked, order_of, planned, with_order
    from lamphouse.storage.atomic import write_file

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.steps(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    plan = with_order(make.plan(reading.design, found=reading.findings, places=reading.places))
    order = order_of(plan)
    try:
        evenings = evenings_asked(
            plan.design.evenings,
            tonight=tonight or "",
            day=from_day and from_day.date(),
            today=date.fromisoformat(time.strftime("%Y-%m-%d")),
        )
    except ValueError as fault:
        message = f"--tonight: {fault}"
        raise click.UsageError(message) from fault
    entries = _logged(project)
    names = frozenset((*done_steps(entries), *done))
    dry = dry_at(entries, order=order)
    try:
        for name in (*done, *([why] if why else [])):
            explained(order, name)
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    found = planned(plan, evenings=evenings, done=names, dry=dry)
    if calendar_file:
        write_file(calendar_file, calendar(order, found, project=plan.design.name))
    result = answer.steps(
        steps_result(
            plan,
            found,
            evening_hours=sum(one.hours for one in evenings),
            done=names,
            dry=dry,
            why=why,
            file=str(calendar_file or ""),
        ),
        findings=[one for one in plan.findings if one.code.startswith("ORD")],
    )
    if as_json:
        commands.say_json(result)
        return int(result["exit"])
    click.echo(screen.findings([f for f in plan.findings if f.code.startswith("ORD")]), nl=False)
    click.echo("\n".join(_told(result["result"], list_all=list_all, tonight=bool(tonight))))
    return int(result["exit"])


def _logged(project: Path) -> "tuple[LogEntry, ...]":
    """Read the bench log; without one there is no entry."""
    from lamphouse.project.read import project_file
    from lamphouse.storage.bench_log import log_path, read_log

    return read_log(log_path(project_file(project)))


def _told(result: Mapping[str, Any], *, list_all: bool, tonight: bool) -> Iterator[str]:
    if result["why"]:
        yield from _why(result["why"])
        return
    steps_ = {step["id"]: step for step in result["steps"]}
    if list_all:
        yield from _every(result["steps"])
        yield ""
    elif result["evenings"]:
        first = result["evenings"][: 1 if tonight else FIRST_FEW]
        for evening in first:
            yield from _evening(evening, steps_)
    elif result["next"]:
        yield "next, as if there were two hours:"
        yield from (_line(steps_[name]) for name in result["next"])
    yield from _outlook(result)


def _why(why: Mapping[str, Any]) -> Iterator[str]:
    yield click.style(f"{why['step']}: {why['title']}", bold=True)
    for heading, key in (("comes after", "after"), ("comes before", "before")):
        yield f"{heading}:" if why[key] else f"{heading} nothing"
        for one in why[key]:
            yield f"  {one['step']}"
            yield f"      {one['why']}"


def _every(steps_: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """List steps in order under their sub-assemblies."""
    last = None
    for step in steps_:
        if step["sub_assembly"] != last:
            last = step["sub_assembly"]
            yield click.style(last or "the whole model", bold=True)
        yield _line(step)
        yield from (f"          {line}" for line in step["expected"])


def _evening(evening: Mapping[str, Any], steps_: Mapping[str, Any]) -> Iterator[str]:
    theme = f", mostly {evening['theme']}" if evening["theme"] else ""
    heading = f"{evening['day']} {evening['starts']}, {evening['minutes']:g} min{theme}"
    yield click.style(heading, bold=True)
    yield from (_line(steps_[name]) for name in evening["steps"])
    if evening["mind"]:
        yield f"    mind: {evening['mind']}"
    yield ""


def _line(step: Mapping[str, Any]) -> str:
    mark = "x" if step["done"] else "!" if step["critical"] else " "
    rest = f", dries {step['rest_hours']:g} h" if step["rest_hours"] else ""
    kind = "GATE" if step["kind"] == "test" else step["kind"]
    return f"[{mark}] {step['id']}  ({kind}, {step['minutes']:g} min{rest})"


def _outlook(result: Mapping[str, Any]) -> Iterator[str]:
    from lamphouse.outputs.step_lines import no_sooner

    done = sum(step["done"] for step in result["steps"])
    yield (
        f"{len(result['steps'])} steps, {done} done; {result['hours_left']:.3g} h of work left, "
        f"likely {result['likely_h']:.3g} h"
    )
    if result["ends"]:
        bound = no_sooner(result["ends"], soonest=result["soonest"])
        yield f"done on {result['ends']}, after {len(result['evenings'])} evenings; {bound}"
    if result["held_up"]:
        yield f"{len(result['held_up'])} steps wait for a part that has no day"
    if result["hours_short"]:
        yield f"evenings are short of {result['hours_short']:.3g} h; add some under evenings"
    if result["chance"] is not None and not result["hours_short"]:
        yield f"chance that their hours suffice: {100 * result['chance']:.0f} %"
    if any(step["critical"] for step in result["steps"]):
        yield "[!] is of the chain that decides how soon it is done"
    if result["file"]:
        yield f"wrote {result['file']}"
