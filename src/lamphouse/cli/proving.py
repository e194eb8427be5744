"""The sub-command prove: every program of a project run, and its pins held against the plan."""

from pathlib import Path

import click

from lamphouse.cli import commands


@click.command(
    epilog="""\b
Examples:
  lamphouse prove saltmarsh/mended.yaml
  lamphouse prove saltmarsh --seconds 60
  lamphouse prove saltmarsh --json | jq '.result.runs[].differences'"""
)
@commands.PROJECT
@click.option(
    "--seconds",
    type=click.FloatRange(1.0, 600.0),
    default=20.0,
    show_default=True,
    help="Model time for which each program runs.",
)
@commands.AS_JSON
def prove(project: Path, *, seconds: float, as_json: bool) -> int:
    """Run every program of PROJECT in its interpreter or simulator, and compare it with the plan.

    What came of it is written to proof.json beside the project, and the pack prints it for as long
    as the program stays the same. `lamphouse doctor` tells which tools there are.
    """
    from lamphouse.cli import screen
    from lamphouse.outputs import answer, program_record
    from lamphouse.outputs.program_runs import NotRun
    from lamphouse.outputs.program_runs import prove as run
    from lamphouse.plan import make
    from lamphouse.project.read import project_file
    from lamphouse.storage.atomic import write_file

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.prove(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    with screen.Progress(silent=as_json) as tell:
        outcome = run(plan, seconds=seconds, tell=tell)
    runs = tuple(one for one in outcome if not isinstance(one, NotRun))
    not_run = tuple(one for one in outcome if isinstance(one, NotRun))
    file = project_file(project).parent / program_record.NAME
    if runs:
        write_file(file, program_record.to_bytes(program_record.joined(runs, file=file)))
    result = answer.prove(
        plan, findings=plan.findings, runs=runs, not_run=not_run, file=str(file) if runs else ""
    )
    if as_json:
        commands.say_json(result)
    else:
        click.echo(screen.prove(result["result"]))
    return int(result["exit"])
