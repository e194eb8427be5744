"""The command ``lamphouse``: runs a sub-command and turns every outcome into an exit code.

Exit codes: 0 fine, 1 findings of severity ``stop`` stand, 2 an input cannot be read or an output
cannot be written, 3 wrong use, 130 stopped by the user.
"""

import atexit
import errno
import gc
import os
import sys
from collections.abc import Sequence
from enum import IntEnum
from io import TextIOWrapper
from typing import NoReturn

import click

import lamphouse
from lamphouse.cli import (
    artworking,
    balancing,
    colouring,
    commands,
    faulting,
    glowing,
    logging_bench,
    opening,
    ordering,
    parting,
    photographing,
    proving,
    suggesting,
    tracing,
)


class ExitCode(IntEnum):
    """What the shell is told."""

    FINE = 0
    STOPS = 1
    UNREADABLE = 2
    MISUSE = 3
    STOPPED = 130


SETTINGS = {
    "OPENBLAS_NUM_THREADS": "1",
    "MKL_NUM_THREADS": "1",
    "PYDANTIC_DISABLE_PLUGINS": "1",
    "PYTHONTZPATH": "",
}
"""Linear algebra of our sizes is slower on two threads than on one; nothing here uses plugins of
the field checker or time zones, and looking for them takes time. A user's own setting stands."""

GARBAGE_EVERY = 300_000
"""New objects between two searches for dead cycles: frozen records form none, and at the usual 700
a tenth of a short command is spent searching."""


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="""\b
Examples:
  lamphouse new night-studio            start a project in a new folder
  lamphouse check night-studio          say what is wrong, before the glue
  lamphouse glow night-studio           how bright and how even every lit opening will be
  lamphouse colour night-studio "map" --wanted amber   which LEDs, gels and tints give it
  lamphouse artwork night-studio "map" map.png --into prints   what to print so that it reads lit
  lamphouse suggest night-studio "window box"   how many LEDs, where, how deep, at what current
  lamphouse fault night-studio "wall" plug=0mA   why it is dark, and what to read next
  lamphouse log tick night-studio "wall/solder"   what is done, read and seen, kept at the bench
  lamphouse steps night-studio --tonight 2h   what to do with the two hours there are
  lamphouse prove night-studio          run the programs that make it blink, and compare
  lamphouse parts night-studio          what to buy, from your own drawer and prices
  lamphouse pack night-studio           templates, charts and tables for the bench

Exit codes: 0 fine, 1 stops found, 2 unreadable input or unwritable output, 3 wrong use.""",
)
@click.version_option(lamphouse.__version__, prog_name="lamphouse")
def command() -> None:
    """Light the inside of a scale model, and know how it will look before the glue."""


FURTHER = (
    glowing.glow,
    colouring.colour,
    artworking.artwork,
    suggesting.suggest,
    balancing.balance,
    faulting.fault,
    logging_bench.log,
    opening.open_page,
    photographing.photo,
    proving.prove,
    ordering.steps,
    parting.parts,
    parting.drawer,
    tracing.card,
    tracing.trace,
)
for sub_command in (*commands.ALL, *FURTHER):
    command.add_command(sub_command)


def run(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command and leave with its exit code."""
    for name, setting in SETTINGS.items():
        os.environ.setdefault(name, setting)
    gc.set_threshold(GARBAGE_EVERY)
    atexit.register(gc.freeze)  # what dies with the process need not be searched
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a screen that lacks a sign shows its number
            stream.reconfigure(errors="backslashreplace")
    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        outcome = command.main(args=words, prog_name="lamphouse", standalone_mode=False)
        sys.stdout.flush()
        code = outcome if isinstance(outcome, int) else ExitCode.FINE
    except click.ClickException as fault:
        code = _refused(fault, words=words)
    except (click.Abort, KeyboardInterrupt):
        click.echo("\nStopped; nothing was half written.", err=True)
        code = ExitCode.STOPPED
    except OSError as fault:
        if fault.errno == errno.EPIPE:  # the reader of a pipe went away
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = ExitCode.FINE
        else:
            code = _refused(commands.Unwritable(str(fault)), words=words)
    sys.exit(code)


def _refused(fault: click.ClickException, *, words: Sequence[str]) -> int:
    """Report a refusal as text, or in the one JSON shape when JSON was asked for."""
    misuse = isinstance(fault, click.UsageError)
    code = int(ExitCode.MISUSE if misuse else ExitCode.UNREADABLE)
    if "--json" in words:
        commands.say_json(
            commands.refusal(words[0] if words else "", code=code, message=fault.format_message())
        )
    else:
        fault.show()
    return code
