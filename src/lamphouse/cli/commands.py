"""The sub-commands: new, check, pack, stock, doctor, schema, upgrade.

Heavy rooms are imported inside the commands, so that help answers at once.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from lamphouse.design.whole import Design, SheetInHand
    from lamphouse.findings import Finding
    from lamphouse.plan.result import Plan
    from lamphouse.project.read import Reading

NAME_IT = "name a project folder or its .yaml file"
AS_JSON = click.option("--json", "as_json", is_flag=True, help="Answer in JSON (see `schema`).")
PROJECT = click.argument("project", type=click.Path(path_type=Path), default=Path())


class Unwritable(click.ClickException):
    """An output that could not be written."""


class Unreadable(click.ClickException):
    """An input that could not be read."""


def say_json(answer: Mapping[str, Any]) -> None:
    """Print one JSON answer, in ASCII where the screen or pipe takes less than all signs."""
    in_full = (sys.stdout.encoding or "").casefold().startswith("utf")
    click.echo(json.dumps(answer, indent=2, ensure_ascii=not in_full, allow_nan=False))


def refusal(name: str, *, code: int, message: str) -> dict[str, Any]:
    """Build the answer to a call that was refused."""
    from lamphouse.outputs import answer

    return answer.refused(name, code=code, message=message)


def read(project: Path) -> "Reading":
    """Read a project, or refuse with what to name instead."""
    from lamphouse.project.read import read_project
    from lamphouse.storage.reading import NoPlainFile

    try:
        return read_project(project)
    except OSError as fault:
        reason = fault.strerror or str(fault)
        remedy = "put a plain file in its place" if isinstance(fault, NoPlainFile) else NAME_IT
        message = f"{fault.filename or project}: {reason}; {remedy}"
        raise Unreadable(message) from fault


def say_broken(answer: Mapping[str, Any], *, findings: "Sequence[Finding]", as_json: bool) -> int:
    """Answer for a project that cannot be understood, and give the exit code."""
    from lamphouse.cli import screen

    if as_json:
        say_json(answer)
    else:
        click.echo(screen.findings(findings), nl=False)
    return int(answer["exit"])


def in_room(design: "Design", light: str) -> "Design":
    """Put the design into a room with other light."""
    from lamphouse import units
    from lamphouse.record import replace

    if design.room is None:
        message = "--room changes the light of the project's room, and the project names no room"
        raise click.UsageError(message)
    try:
        room_lx = units.parse(light, units.Quantity.ILLUMINANCE)
    except units.UnitError as fault:
        message = f"--room: {fault}"
        raise click.UsageError(message) from fault
    if room_lx < 0.0:
        message = f"--room: {light} is less than no light; name 0 lx for the dark"
        raise click.UsageError(message)
    return replace(design, room=replace(design.room, room_light_lx=room_lx))


@click.command(
    epilog="""\b
Examples:
  lamphouse new harbour-office
  lamphouse new studio --from night-studio
  lamphouse new museum --from gorge --modules 12"""
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "demo",
    metavar="DEMO",
    help="Copy a demo project instead: saltmarsh, night-studio or gorge.",
)
@click.option(
    "--modules",
    type=int,
    metavar="COUNT",
    help="How many modules the demo gorge is to have, instead of its six.",
)
@AS_JSON
def new(folder: Path, demo: str | None, modules: int | None, *, as_json: bool) -> int:
    """Start a project in FOLDER, with a comment at every field."""
    from lamphouse.outputs import answer
    from lamphouse.project import starter

    demo = demo and demo.strip().casefold().replace(" ", "-")
    if demo is not None and demo not in starter.DEMOS:
        message = f"no demo '{demo}'; there is: {', '.join(starter.DEMOS)}"
        raise click.UsageError(message)
    if modules is not None and demo not in starter.GROWN:
        message = f"--modules goes with --from {' or '.join(starter.GROWN)} only"
        raise click.UsageError(message)
    if modules is not None and not 1 <= modules <= starter.MOST:
        message = f"--modules: {modules} is out of range; name 1 to {starter.MOST}"
        raise click.UsageError(message)
    written = starter.start(folder, demo=demo, modules=modules)
    if as_json:
        say_json(answer.new(written))
    else:
        for path in written:
            click.echo(f"wrote {path}")
        click.echo(f"next: lamphouse check {folder}")
    return 0


@click.command(
    epilog="""\b
Examples:
  lamphouse check                       the project in this folder
  lamphouse check saltmarsh/mended.yaml
  lamphouse check saltmarsh --json | jq '.findings[] | .code'"""
)
@PROJECT
@click.option("--quiet", is_flag=True, help="Findings only, without the summary.")
@AS_JSON
def check(project: Path, *, quiet: bool, as_json: bool) -> int:
    """Read PROJECT (a folder or a file), compute its plan and list what is wrong."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.plan import make

    reading = read(project)
    plan = None
    if reading.design:
        plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    findings = plan.findings if plan else reading.findings
    result = answer.check(plan, findings=findings)
    if as_json:
        say_json(result)
    else:
        click.echo(screen.findings(findings), nl=False)
        if plan and not quiet:
            click.echo(screen.summary(result["result"]))
        click.echo(screen.tally(findings))
    return int(result["exit"])


@click.command(
    epilog="""\b
Examples:
  lamphouse pack saltmarsh/mended.yaml
  lamphouse pack saltmarsh/mended.yaml --paper Letter --into bench
  lamphouse pack saltmarsh/mended.yaml --for wiring       into pack-wiring
  lamphouse pack saltmarsh/mended.yaml --squeeze 60"""
)
@PROJECT
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    help="Folder of the pack; beside the project when left out.",
)
@click.option(
    "--paper",
    type=click.Choice(["A4", "Letter"], case_sensitive=False),
    help="Paper, when not the project's own.",
)
@click.option(
    "--for",
    "purpose",
    type=click.Choice(["all", "cutting", "wiring", "bench", "care"]),
    default="all",
    show_default=True,
    help="Only the pages and files for this, in a folder of its own.",
)
@click.option(
    "--squeeze",
    type=click.IntRange(2, 3600),
    metavar="SECONDS",
    help="Lay the pieces of every sheet closer for so long; the result is then not the same on "
    "every machine (needs the extra 'squeeze').",
)
@click.option(
    "--shared",
    is_flag=True,
    help="Lay pieces on what the shared drawer keeps for it of sheets too (parts --reserve).",
)
@AS_JSON
def pack(
    project: Path,
    into: Path | None,
    paper: str | None,
    *,
    purpose: str,
    squeeze: int | None,
    shared: bool,
    as_json: bool,
) -> int:
    """Write the pack of PROJECT: one PDF for the bench, cutter files, tables, the plan.

    A project with stops still gets its pack, with the stops on the first page, and exit code 1.
    """
    from lamphouse.cli import screen
    from lamphouse.outputs import answer, program_record
    from lamphouse.outputs import pack as packing
    from lamphouse.outputs.purposes import Purpose
    from lamphouse.plan import make
    from lamphouse.plan.sheeted import SqueezeMissing
    from lamphouse.project.read import project_file
    from lamphouse.record import replace

    reading = read(project)
    if reading.design is None:
        broken = answer.pack((), findings=reading.findings, folder=None)
        code = say_broken(broken, findings=reading.findings, as_json=as_json)
        if not as_json:
            click.echo("no pack: the project cannot be understood", err=True)
        return code
    design = replace(reading.design, paper=paper) if paper else reading.design
    beside = project if project.is_dir() else project.parent
    folder = into or beside / ("pack" if purpose == "all" else f"pack-{purpose}")
    plan = make.plan(design, found=reading.findings, places=reading.places)
    more = _sheets_kept(plan) if shared else ()
    with screen.Progress(silent=as_json) as tell:
        try:
            runs = program_record.read_runs(project_file(project).parent / program_record.NAME)
            files = packing.build(
                plan,
                tell=tell,
                squeeze_s=squeeze or 0,
                runs=runs,
                purpose=Purpose(purpose),
                more=more,
            )
        except SqueezeMissing as fault:
            raise click.UsageError(str(fault)) from fault
        packing.write(files, folder=folder)
    result = answer.pack(tuple(files), findings=plan.findings, folder=str(folder))
    if as_json:
        say_json(result)
    else:
        click.echo(f"wrote {len(files)} files to {folder}; start with pack.pdf")
        click.echo(screen.tally(plan.findings))
    return int(result["exit"])


def _sheets_kept(plan: "Plan") -> "tuple[SheetInHand, ...]":
    from lamphouse.outputs.drawer_sheets import kept_for
    from lamphouse.storage.drawer import Drawer
    from lamphouse.storage.drawer_place import drawer_file

    with Drawer(drawer_file(), make=False) as drawer:
        taken = drawer.taken(plan.design.name)
        return kept_for(plan, holdings=drawer.holdings(), taken=taken)


@click.command(
    epilog="""\b
Examples:
  lamphouse stock                       the tables there are
  lamphouse stock led_types
  lamphouse stock wires --find enamelled --project saltmarsh"""
)
@click.argument("table", required=False)
@click.option("--find", default="", help="Only rows that hold this text.")
@click.option(
    "--project",
    type=click.Path(path_type=Path),
    help="Lay this project's own measured parts over the built-in rows.",
)
@AS_JSON
def stock(table: str | None, find: str, project: Path | None, *, as_json: bool) -> int:
    """List the catalogue: every part with its figures and where they come from."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.project import read

    try:
        shelf, findings = read.read_shelf(project)
    except OSError as fault:
        at = fault.filename or project
        message = f"cannot read '{at}': {fault.strerror or fault}; name a project folder"
        raise Unreadable(message) from fault
    try:
        result = answer.stock(shelf, table=table, find=find, findings=findings)
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    if as_json:
        say_json(result)
    else:
        click.echo(screen.stock(result["result"]))
        if findings:
            click.echo(screen.findings(findings), nl=False)
    return int(result["exit"])


@click.command(epilog="\b\nExample:\n  lamphouse doctor")
@AS_JSON
def doctor(*, as_json: bool) -> int:
    """Say whether this installation is whole, and which outside tools the proofs need."""
    from lamphouse.cli import doctoring, screen
    from lamphouse.outputs import answer

    result = answer.doctor(doctoring.examine())
    if as_json:
        say_json(result)
    else:
        click.echo(screen.doctor(result["result"]))
    return int(result["exit"])


@click.command(
    epilog="""\b
Examples:
  lamphouse schema project > project.schema.json
  lamphouse schema check"""
)
@click.argument("name", type=click.Choice(["project", "plan", "answer"]))
def schema(name: str) -> int:
    """Print a JSON Schema: of the project file, of plan.json, or of every --json answer."""
    from lamphouse.outputs import answer, planfile
    from lamphouse.project import schema as project_schema

    made = {
        "project": project_schema.project_schema,
        "plan": planfile.schema,
        "answer": answer.schema,
    }
    say_json(made[name]())
    return 0


@click.command(epilog="\b\nExample:\n  lamphouse upgrade old-model/project.yaml")
@click.argument("project", type=click.Path(path_type=Path), default=Path())
@AS_JSON
def upgrade(project: Path, *, as_json: bool) -> int:
    """Bring PROJECT's file to this version's layout; comments and the old file are kept."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer
    from lamphouse.project import upgrade as upgrading

    try:
        done = upgrading.upgrade_file(project)
    except OSError as fault:
        message = f"cannot upgrade '{fault.filename or project}': {fault.strerror or fault}"
        raise Unreadable(message) from fault
    result = answer.upgrade(
        file=done.file, old_file=done.old_file, version=done.version, steps=done.steps
    )
    if as_json:
        say_json(result)
    else:
        click.echo(screen.upgrade(result["result"]))
    return int(result["exit"])


ALL = (new, check, pack, stock, doctor, schema, upgrade)
