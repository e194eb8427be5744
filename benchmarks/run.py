"""Times the program as a whole, then every other benchmark of this folder, but makes no references.

Usage: ``make bench`` or ``python benchmarks/run.py``. Each command runs as a process of its own, so
start-up counts, with its bytecode cached by a run before. Beside each figure stands its ratio to a
process that only imports the libraries a check stands on, run in turn with it: ratios hold where
the machine is noisy. A check is held to its process time, a pack, which is made by two processes
where it can, to the time one waits.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from lamphouse.record import Record

RUNS = 7
HERE = Path(__file__).parent
LAMPHOUSE = (sys.executable, "-c", "from lamphouse.cli.main import run; run()")
CACHED = {name: held for name, held in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
REFERENCE = (sys.executable, "-c", "import numpy, pydantic, ruamel.yaml, shapely")


class Run(Record):
    """One finished process."""

    wall_s: float
    cpu_s: float
    peak_MiB: float


def run_once(command: Sequence[str], *, folder: str) -> Run:
    """Run a command to its end and take the system's own account of it."""
    begin = time.perf_counter()
    nowhere = subprocess.DEVNULL
    child = subprocess.Popen(command, cwd=folder, env=CACHED, stdout=nowhere, stderr=nowhere)
    _, _, used = os.wait4(child.pid, 0)
    child.returncode = 0
    return Run(
        wall_s=time.perf_counter() - begin,
        cpu_s=used.ru_utime + used.ru_stime,
        peak_MiB=used.ru_maxrss / 1024,
    )


def compare(title: str, words: Sequence[str], *, folder: str, limit_s: float) -> None:
    """Time a command against the reference, run by run in turn."""
    command = (*LAMPHOUSE, *words)
    run_once(command, folder=folder)
    pairs = [
        (run_once(command, folder=folder), run_once(REFERENCE, folder=folder)) for _ in range(RUNS)
    ]
    cpu_s = statistics.median(own.cpu_s for own, _ in pairs)
    print(
        f"{title:<34} {statistics.median(own.wall_s for own, _ in pairs):6.2f} s wall "
        f"{cpu_s:6.2f} s process (wanted under {limit_s:g}) "
        f"{max(own.peak_MiB for own, _ in pairs):5.0f} MiB "
        f"ratio {statistics.median(own.cpu_s / plain.cpu_s for own, plain in pairs):5.2f}"
    )


def main() -> None:
    """Run everything."""
    with tempfile.TemporaryDirectory() as folder:
        run_once((*LAMPHOUSE, "new", "saltmarsh", "--from", "saltmarsh"), folder=folder)
        print(f"medians of {RUNS} runs; ratio: process time over importing the libraries alone")
        compare("lamphouse --help", ["--help"], folder=folder, limit_s=0.15)
        compare("lamphouse check saltmarsh", ["check", "saltmarsh"], folder=folder, limit_s=1.0)
        mended = ["check", "saltmarsh/mended.yaml"]
        compare("the same, mended", mended, folder=folder, limit_s=1.0)
        pack = ["pack", "saltmarsh/mended.yaml"]
        compare("lamphouse pack saltmarsh", pack, folder=folder, limit_s=5.0)
    for script in sorted(HERE.glob("*.py")):
        if script.name != "run.py" and "references" not in script.name:
            print(f"\n== {script.name}", flush=True)
            subprocess.run([sys.executable, str(script)], check=False)


if __name__ == "__main__":
    main()
