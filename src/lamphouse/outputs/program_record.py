"""The file ``proof.json`` beside a project: which program was run, and what came of it.

It is an input of the pack: a page says of a program that it was run only when this file names its
very bytes.
"""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from lamphouse.outputs.records import plain, to_text
from lamphouse.record import Record
from lamphouse.storage.reading import read_file

NAME = "proof.json"
VERSION = 1
MOST_RUNS = 40
"""Of programs that the file keeps: those of several project files in one folder."""
_LARGEST = 1_000_000
"""Bytes beyond which it is none of ours."""


class RunRecord(Record):
    """What one run of one program came to."""

    controller: str
    file: str
    sha256: str
    """Of the program that was run."""
    ran_s: float
    """Model time."""
    compared: int
    """Values held against the plan."""
    differences: int
    worst: float
    """The farthest, as a share of full light; of an astable, of its period."""
    tools: tuple[str, ...]
    """What ran it, each with its version."""


def to_bytes(runs: Sequence[RunRecord]) -> bytes:
    """Write runs as the bytes of ``proof.json``."""
    return to_text({"lamphouse_proof": VERSION, "runs": plain(tuple(runs))}).encode()


def joined(runs: Sequence[RunRecord], *, file: Path) -> tuple[RunRecord, ...]:
    """Put runs behind those that a file holds of other programs; the oldest are let go."""
    new = {run.sha256 for run in runs}
    kept = [run for sha, run in read_runs(file).items() if sha not in new]
    return (*kept, *runs)[-max(MOST_RUNS, len(runs)) :]


def read_runs(file: Path) -> Mapping[str, RunRecord]:
    """Read ``proof.json``, by the SHA-256 of the program; a missing or spoiled file proves nothing.

    Returns
    -------
    mapping
        Empty where there is no such file, or where it is not one of ours.
    """
    try:
        data = read_file(file, most_bytes=_LARGEST)
        if len(data) > _LARGEST:
            return {}
        whole = json.loads(data)
        if whole["lamphouse_proof"] != VERSION:
            return {}
        runs = [_run(entry) for entry in whole["runs"]]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    return {run.sha256: run for run in runs}


def _run(entry: Mapping[str, Any]) -> RunRecord:
    run = RunRecord(
        controller=str(entry["controller"]),
        file=str(entry["file"]),
        sha256=str(entry["sha256"]),
        ran_s=float(entry["ran_s"]),
        compared=int(entry["compared"]),
        differences=int(entry["differences"]),
        worst=float(entry["worst"]),
        tools=tuple(str(tool) for tool in entry["tools"]),
    )
    if not (0.0 < run.ran_s < 1e6 and run.compared > 0 and run.differences >= 0):
        impossible = "figures that no run gives"
        raise ValueError(impossible)
    return run
