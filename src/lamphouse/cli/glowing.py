"""The sub-command glow: how every lit opening will look, in figures and pictures."""

from pathlib import Path

import click

from lamphouse.cli import commands


@click.command(
    epilog="""\b
Examples:
  lamphouse glow saltmarsh/mended.yaml
  lamphouse glow saltmarsh --box "tide box" --verify
  lamphouse glow saltmarsh --room "5 lx" --into pictures"""
)
@commands.PROJECT
@click.option("--box", default="", help="Only the light box of this name.")
@click.option("--room", metavar="LIGHT", help="Light of the room, when not the project's own.")
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    help="Folder for pictures: panels as PNG, in colour too; evenness maps and sections as SVG.",
)
@click.option(
    "--verify",
    is_flag=True,
    help="Find every figure again by random walks (takes a while; needs the extra 'verify').",
)
@commands.AS_JSON
def glow(
    project: Path,
    box: str,
    room: str | None,
    into: Path | None,
    *,
    verify: bool,
    as_json: bool,
) -> int:
    """Say how every lit opening of PROJECT will look: how bright, how even, and what is wrong."""
    from lamphouse.cli import screen
    from lamphouse.outputs import answer, glow_files
    from lamphouse.outputs.glow_lines import chosen
    from lamphouse.plan import make
    from lamphouse.plan.second_opinion import second_opinions

    reading = commands.read(project)
    design = reading.design
    if design is None:
        broken = answer.glow(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    if room is not None:
        design = commands.in_room(design, room)
    plan = make.plan(design, found=reading.findings, places=reading.places)
    try:
        some = chosen(plan, box=box)
    except LookupError as fault:
        raise click.UsageError(str(fault.args[0])) from fault
    with screen.Progress(silent=as_json) as tell:
        opinions = second_opinions(some.glows, seed=design.seed, tell=tell) if verify else ()
        files = glow_files.build(plan, glows=some.glows) if into else {}
        if into:
            glow_files.write(files, folder=into)
    result = answer.glow(
        plan,
        glows=some.glows,
        findings=some.findings,
        second_opinions=opinions,
        folder=str(into or ""),
        files=tuple(files),
    )
    if as_json:
        commands.say_json(result)
    else:
        click.echo(screen.findings(some.findings), nl=False)
        click.echo(screen.glow(result["result"]))
        click.echo(screen.tally(some.findings))
    return int(result["exit"])
