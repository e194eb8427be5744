"""Timer chips solved by ngspice, and the times they come to held against the plan."""

import re
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

from lamphouse.blink.astable import Astable
from lamphouse.blink.timer_ring import TimerRing
from lamphouse.outputs.program_proof import Proof, ToolMissing

_LONGEST_S = 300
_ONE = 1.25
"""Lamps lit at once, from which it is more than one."""


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
    found, errors = _solved(deck)
    try:
        return found["period"], found["lit"]
    except KeyError:
        failed = f"ngspice came to no period: {errors}"
        raise RuntimeError(failed) from None


def _solved(deck: str) -> tuple[dict[str, float], str]:
    """Solve a deck, and give what it measures by name, and the end of what the solver complains."""
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
    told = re.findall(r"^(\w+)\s*=\s*(-?\d\S*)", done.stdout, flags=re.MULTILINE)
    return {name: float(value) for name, value in told}, done.stderr.strip()[-300:]


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


def prove_ring(deck: str, *, ring: TimerRing) -> Proof:
    """Solve a ring of timers from the switching on, and compare it with the plan.

    Returns
    -------
    Proof
        Compared are, for each lamp, how long it is lit, and that the next, the first after the
        last, begins within the dark moment after it; the period; and that no two are ever lit.

    Raises
    ------
    ToolMissing
        If ngspice is not there.
    RuntimeError
        If a lamp is never lit, or the first never again.
    """
    found, errors = _solved(deck)
    stages = range(1, ring.stages + 1)
    try:
        rises = [*(found[f"rise{stage}"] for stage in stages), found["again1"]]
        falls = [found[f"fall{stage}"] for stage in stages]
        most = found["most"]
    except KeyError as missing:
        failed = f"ngspice came to no {missing.args[0]}: {errors}"
        raise RuntimeError(failed) from None
    lit = [fall - rise for rise, fall in zip(rises, falls, strict=False)]
    dark = [rise - fall for rise, fall in zip(rises[1:], falls, strict=True)]
    period_s = rises[-1] - rises[0]
    wrong = [not ring.high_s.low <= each <= ring.high_s.high for each in lit]
    wrong += [not 0.0 <= each <= ring.dark_s.high for each in dark]
    wrong += [not ring.period_s.low <= period_s <= ring.period_s.high, most > _ONE]
    return Proof(
        ran_s=period_s,
        compared=len(wrong),
        differences=sum(wrong),
        worst=abs(period_s - ring.period_s.nominal) / ring.period_s.nominal,
        frequency_Hz=1.0 / period_s,
    )
