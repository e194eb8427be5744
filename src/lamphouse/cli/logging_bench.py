"""The sub-commands of log: what was done, read, seen and built differently, kept at the bench."""

import os
import time
import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.plan.judged_readings import Judgement
    from lamphouse.plan.result import Plan
    from lamphouse.project.read import Reading
    from lamphouse.storage.bench_log import LogEntry

PROJECT = click.argument("project", type=click.Path(path_type=Path))
BY = "LAMPHOUSE_BY"
"""Names who writes, where no option does."""


def _signed(command: Callable[..., int]) -> Callable[..., int]:
    """Add the options of every command that writes."""
    for option in (
        commands.AS_JSON,
        click.option("--by", help=f"Who writes; else what {BY} says."),
        click.option("--device", default="bench", show_default=True, help="On what it is written."),
        click.option("--at", help="When it was, with its zone; now without."),
        click.option("--key", help="Mark of this entry: sent twice, it is written once."),
    ):
        command = option(command)
    return command


@click.group(
    epilog="""\b
Examples:
  lamphouse log tick saltmarsh "chart table/board"
  lamphouse log reading saltmarsh "chart table" plug=1.84mA TP1=5.19V
  lamphouse log as-built saltmarsh "chart table / R1" resistor=14.7kohm
  lamphouse log photo saltmarsh wiring.jpg --item "chart table"
  lamphouse log show saltmarsh
  lamphouse log export saltmarsh > saltmarsh.tsv

The log lies beside the project file. Entries are added and never changed."""
)
def log() -> None:
    """Keep the bench log of a project: steps, readings, photographs, notes, what was built."""


@log.command(
    epilog='\b\nExample:\n  lamphouse log tick saltmarsh "chart table/board" --text "two coats"'
)
@PROJECT
@click.argument("step")
@click.option("--undo", is_flag=True, help="The step is not done after all.")
@click.option("--text", default="", help="Words to go with it.")
@_signed
def tick(*, project: Path, step: str, undo: bool, text: str, **signed: Any) -> int:
    """Tick a STEP of PROJECT as done, by its name in `lamphouse steps`."""
    reading = commands.read(project)
    kind = "undone" if undo else "step"
    name, told = _step(_planned(reading), step, undo=undo, log=_log_of(project))
    return _written(project, [{"kind": kind, "item": name, "text": text}], told=told, **signed)


@log.command(
    epilog="""\b
Examples:
  lamphouse log reading saltmarsh "chart table" plug=1.84mA TP1=5.19V
  lamphouse log reading saltmarsh "chart table" R1=14.9kohm --gate board
  lamphouse log reading saltmarsh "whole model" supply=43.5mA

Exit code 1 when a reading is not as it should be."""
)
@PROJECT
@click.argument("item", metavar="SUB_ASSEMBLY")
@click.argument("written", metavar="READING...", nargs=-1, required=True)
@click.option(
    "--gate",
    type=click.Choice(["loose", "board", "open", "closed", "model"]),
    help="When it was read: each LED loose, the board alone, joined and open, closed, in the "
    "model. Without, the first that foretells it.",
)
@click.option("--text", default="", help="Words to go with it.")
@click.option(
    "--error",
    "error_percent",
    type=float,
    default=1.0,
    show_default=True,
    help="The meter's error in percent of the reading.",
)
@click.option(
    "--digits", type=float, default=2.0, show_default=True, help="And in last digits, besides."
)
@_signed
def reading(
    *,
    project: Path,
    item: str,
    written: tuple[str, ...],
    gate: str | None,
    text: str,
    error_percent: float,
    digits: float,
    **signed: Any,
) -> int:
    """Log what a meter or an eye showed on a SUB_ASSEMBLY, and say whether it is right."""
    from lamphouse.plan.judged_readings import judge

    plan = _planned(commands.read(project))
    if plan is None:
        message = "the project cannot be understood, so nothing is foretold: see `lamphouse check`"
        raise commands.Unreadable(message)
    try:
        judgement = judge(
            plan, item, written=written, gate=gate, error=error_percent / 100.0, digits=digits
        )
    except (LookupError, ValueError) as wrong:
        raise click.UsageError(str(wrong.args[0])) from wrong
    entries = [
        {
            "kind": "reading",
            "item": item,
            "name": one.rpartition("=")[0].strip(),
            "value": one.rpartition("=")[2].strip(),
            "text": "; ".join(part for part in (f"gate {gate}" if gate else "", text) if part),
        }
        for one in written
    ]
    return _written(project, entries, judgement=judgement, **signed)


@log.command(epilog='\b\nExample:\n  lamphouse log note saltmarsh "second coat is thin"')
@PROJECT
@click.argument("text")
@click.option("--item", default="", help="What it is about; the whole model without.")
@_signed
def note(*, project: Path, text: str, item: str, **signed: Any) -> int:
    """Log a note of TEXT."""
    return _written(project, [{"kind": "note", "item": item, "text": text}], **signed)


@log.command(epilog='\b\nExample:\n  lamphouse log photo saltmarsh a.jpg b.jpg --item "bay"')
@PROJECT
@click.argument("pictures", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--item", default="", help="What it shows; the whole model without.")
@click.option("--text", default="", help="Words to go with it.")
@_signed
def photo(*, project: Path, pictures: tuple[Path, ...], item: str, text: str, **signed: Any) -> int:
    """Keep PICTURES (JPEG, PNG or TIFF) in the folder of the log, which is made where it lacks."""
    from lamphouse.project.read import project_file
    from lamphouse.storage.log_photos import MOST_PHOTO_BYTES
    from lamphouse.trace.log_photograph import keep_photograph
    from lamphouse.trace.refused import TraceError

    file = project_file(project)
    _must_be_there(file)
    entries = []
    for picture in pictures:
        try:
            with picture.open("rb") as stream:
                data = stream.read(MOST_PHOTO_BYTES + 1)
            kept = keep_photograph(file, data=data, name=picture.name)
        except TraceError as fault:
            message = f"{picture}: {fault}"
            raise commands.Unreadable(message) from fault
        except FileNotFoundError as fault:
            message = f"{picture}: {fault.strerror}; name a picture"
            raise commands.Unreadable(message) from fault
        entries.append({"kind": "photo", "item": item, "text": text, "attachment": kept})
    return _written(project, entries, **signed)


@log.command(
    "as-built",
    epilog="""\b
Examples:
  lamphouse log as-built saltmarsh "chart table / R1" resistor=14.7kohm
  lamphouse log as-built saltmarsh "chart table / S1" current=0.46mA
  lamphouse log as-built saltmarsh "chart table / W1" "at=12.5mm, 8mm"
  lamphouse log as-built saltmarsh supply voltage=12.2V
  lamphouse log as-built saltmarsh "chart table / R1" "resistor=as planned"

Every plan from then on follows these figures; those in the project file come first.""",
)
@PROJECT
@click.argument("item")
@click.argument("figures", metavar="FIGURE=VALUE...", nargs=-1, required=True)
@click.option("--text", default="", help="Words to go with it.")
@_signed
def as_built(
    *, project: Path, item: str, figures: tuple[str, ...], text: str, **signed: Any
) -> int:
    """Log what was built differently: a measured resistor, current or supply, a moved LED."""
    entries = []
    for figure in figures:
        name, sign, value = (part.strip() for part in figure.partition("="))
        if not (sign and value):
            message = f"'{figure}' is no figure; write it like resistor=14.7kohm or at='8mm, 5mm'"
            raise click.UsageError(message)
        entries.append(
            {"kind": "as built", "item": item, "name": name, "value": value, "text": text}
        )
    told = _changes(commands.read(project), entries)
    return _written(project, entries, told=told, **signed)


@log.command(epilog="\b\nExample:\n  lamphouse log show saltmarsh --item bay")
@PROJECT
@click.option("--item", default="", help="Only what is about this item or step.")
@click.option("--after", type=click.IntRange(0), default=0, help="Only entries after this number.")
@commands.AS_JSON
def show(*, project: Path, item: str, after: int, as_json: bool) -> int:
    """List the log of PROJECT."""
    every = _log_of(project)
    entries = [
        entry
        for entry in every
        if entry.number > after and item.casefold() in entry.item.casefold()
    ]
    return _answered(project, entries=entries, every=every, as_json=as_json)


@log.command(epilog="\b\nExample:\n  lamphouse log export saltmarsh saltmarsh.tsv")
@PROJECT
@click.argument("file", required=False, type=click.Path(path_type=Path))
def export(*, project: Path, file: Path | None) -> int:
    """Write the whole log as text with tabs, to FILE or to the screen."""
    from lamphouse.storage.atomic import write_file
    from lamphouse.storage.bench_log import as_text

    text = as_text(_log_of(project))
    if file is None:
        click.echo(text, nl=False)
    else:
        write_file(file, text.encode())
        click.echo(f"wrote {file}")
    return 0


def _must_be_there(file: Path) -> None:
    """Refuse to begin a log beside a project that is not there."""
    if not file.is_file():
        message = f"{file}: there is no such project; name a project folder or its .yaml file"
        raise commands.Unreadable(message)


def _log_of(project: Path) -> "tuple[LogEntry, ...]":
    from lamphouse.project.read import project_file
    from lamphouse.storage.bench_log import log_path, read_log

    file = project_file(project)
    _must_be_there(file)
    return read_log(log_path(file))


def _planned(reading: "Reading") -> "Plan | None":
    from lamphouse.plan import make

    if reading.design is None:
        return None
    return make.plan(reading.design, found=reading.findings, places=reading.places)


def _step(
    plan: "Plan | None", step: str, *, undo: bool, log: "Sequence[LogEntry]"
) -> tuple[str, list[str]]:
    """Find a step by its name, and tell what should have come before it."""
    from lamphouse.plan.judged_readings import done_steps
    from lamphouse.plan.logged_steps import before_it, step_named

    if plan is None:
        return step, ["the project cannot be understood, so the step was not looked up"]
    try:
        found = step_named(plan, step)
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    if undo:
        return found, []
    return found, list(before_it(plan, found, done=done_steps(log)))


def _changes(reading: "Reading", entries: Sequence[Mapping[str, str]]) -> list[str]:
    """Refuse figures that the plan cannot follow; else tell what they change."""
    from lamphouse.plan.followed_changes import Unfollowed, changes
    from lamphouse.project.built_figures import AS_PLANNED, FigureRefused, read_figure

    if reading.design is None:
        message = "the project cannot be understood, so nothing can follow: see `lamphouse check`"
        raise commands.Unreadable(message)
    built = []
    for entry in entries:
        if entry["value"].casefold() == AS_PLANNED:
            continue
        try:
            built.append(
                read_figure(
                    entry["item"],
                    name=entry["name"],
                    value=entry["value"],
                    scale=reading.design.scale,
                )
            )
        except FigureRefused as fault:
            raise click.UsageError(str(fault)) from fault
    try:
        return list(changes(reading.design, built=built))
    except Unfollowed as fault:
        raise click.UsageError(str(fault)) from fault


def _now() -> str:
    """Give the time with its zone, to the second."""
    zone = time.strftime("%z") or "+0000"
    return f"{time.strftime('%Y-%m-%dT%H:%M:%S')}{zone[:3]}:{zone[3:]}"


def _written(
    project: Path,
    entries: Sequence[Mapping[str, str]],
    *,
    by: str | None,
    device: str,
    at: str | None,
    key: str | None,
    as_json: bool,
    judgement: "Judgement | None" = None,
    told: Sequence[str] = (),
) -> int:
    """Write entries into the log, and answer."""
    from lamphouse.project.read import project_file
    from lamphouse.storage.bench_log import BenchLog, EntryRefused, log_path

    file = project_file(project)
    _must_be_there(file)
    mark = key or str(uuid.uuid4())
    when, who = at or _now(), os.environ.get(BY, "") if by is None else by
    with BenchLog(log_path(file)) as opened:
        try:
            written = [
                opened.append(
                    key=mark if len(entries) == 1 else f"{mark}/{number}",
                    at=when,
                    by=who,
                    device=device,
                    **entry,
                )
                for number, entry in enumerate(entries, start=1)
            ]
        except EntryRefused as fault:
            raise click.UsageError(str(fault)) from fault
        every = opened.entries()
    return _answered(
        project, entries=written, every=every, as_json=as_json, judgement=judgement, told=told
    )


def _answered(
    project: Path,
    *,
    entries: "Sequence[LogEntry]",
    every: "Sequence[LogEntry]",
    as_json: bool,
    judgement: "Judgement | None" = None,
    told: Sequence[str] = (),
) -> int:
    from lamphouse.outputs import answer
    from lamphouse.outputs.log_lines import log_result
    from lamphouse.project.read import project_file
    from lamphouse.storage.bench_log import log_path

    made = log_result(
        str(log_path(project_file(project))),
        entries=entries,
        every=every,
        judgement=judgement,
        told=told,
    )
    result = answer.log(made, is_right=judgement is None or judgement.all_right)
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_told(result["result"])))
    return int(result["exit"])


def _told(result: "Mapping[str, Any]") -> Iterator[str]:
    """Show entries, then what was judged, then what else to know."""
    from lamphouse.cli import screen
    from lamphouse.cli.faulting import suspects_told
    from lamphouse.outputs.log_lines import entry_words

    if not result["entries"]:
        yield f"{result['file']}: no entries"
        return
    rows = [
        (
            str(one["number"]),
            one["at"],
            " on ".join(part for part in (one["by"], one["device"]) if part),
            one["kind"],
            entry_words(one),
        )
        for one in result["entries"]
    ]
    yield screen.table(("no.", "at", "by", "kind", "what"), rows)
    if result["judged"]:
        yield ""
        judged = [
            (one["name"], one["shows"], one["expected"] or "-", one["verdict"], one["gate"] or "-")
            for one in result["judged"]
        ]
        yield screen.table(("at", "shows", "should be", "verdict", "gate"), judged)
    if result["fault"]:
        yield ""
        yield from suspects_told(result["fault"])
    if result["next"]:
        yield ""
        yield f"next: {result['next']}"
    yield from result["told"]
