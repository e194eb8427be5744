"""Astables solved by ngspice, and the period they come to held against the plan."""

import re
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

from lamphouse.blink.astable import Astable
from lamphouse.outputs.program_proof import Proof, ToolMissing

_LONGEST_S = 300


def solve_astable(deck: str) -> tuple[float, float]:
    """Solve the deck of an astable.

    Returns
    -------
    tuple
        Its period, and how long its output is high in it. [s]

    Raises
    ------
    ToolMissing
        If ngspice is not there.
    RuntimeError
        If it does not come to a period.
    """
    solver = shutil.which("ngspice")
    if solver is None:
        missing = "the proof of a timer chip needs ngspice"
        raise ToolMissing(missing)
    with TemporaryDirectory() as folder:
        Path(folder, "timer.cir").write_text(deck, encoding="ascii")
        done = subprocess.run(
            [solver, "-b", "timer.cir"],
            cwd=folder,
            capture_output=True,
            text=True,
            timeout=_LONGEST_S,
            check=False,
        )
    found = dict(re.findall(r"^(period|lit)\s*=\s*(\S+)", done.stdout, flags=re.MULTILINE))
    try:
        return float(found["period"]), float(found["lit"])
    except (KeyError, ValueError):
        failed = f"ngspice came to no period: {done.stderr.strip()[-300:]}"
        raise RuntimeError(failed) from None


def prove_astable(deck: str, *, astable: Astable) -> Proof:
    """Solve an astable and compare its period and its share with the plan's spread.

    Returns
    -------
    Proof
        Two values are compared; one that lies outside the worst case is a difference.
    """
    period_s, high_s = solve_astable(deck)
    pairs = ((period_s, astable.period_s), (high_s / period_s, astable.high_share))
    return Proof(
        ran_s=period_s,
        compared=len(pairs),
        differences=sum(not band.low <= value <= band.high for value, band in pairs),
        worst=max(abs(value - band.nominal) / band.nominal for value, band in pairs),
        frequency_Hz=1.0 / period_s,
    )
