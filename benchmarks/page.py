"""Start of the page, its first answer, and the memory with each demo open.

    python benchmarks/page.py

A start runs from the process being called to the line that says where the page is; the first page
from there to the last byte of the frame, and the plan to the last byte of the Table. Beside a start
stands its ratio to a process that only imports what a server stands on, run in turn with it. The
wanted figures hold on a machine that does nothing else. The glow that follows the pointer is timed
by ``page_glow.py``.
"""

import http.client
import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from lamphouse.project import starter
from lamphouse.project.read import read_project

RUNS = 5
CODE = "from lamphouse.cli.main import run; run()"
REFERENCE = "import jinja2, pydantic, ruamel.yaml, starlette, uvicorn"
VIEWS = ("table", "panel", "circuit", "blink", "sheets", "steps", "parts", "bench")
CACHED = {name: held for name, held in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


@dataclass
class Visitor:
    """Whoever asks a server for pages, with the owner's key."""

    host: str
    cookie: str = ""

    def ask(self, address: str) -> http.client.HTTPResponse:
        """Ask for an address and read the answer whole."""
        link = http.client.HTTPConnection(self.host, timeout=600)
        link.request("GET", address, headers={"Cookie": self.cookie, "Accept": "text/html"})
        answer = link.getresponse()
        answer.read()
        return answer

    def enter(self, address: str) -> str:
        """Take the key; give where it leads."""
        answer = self.ask(address)
        self.cookie = (answer.headers["Set-Cookie"] or "").split(";")[0]
        return answer.headers["Location"] or "/"


def started(file: Path, *, folder: Path) -> tuple[subprocess.Popen[str], str, float]:
    """Start a server; give it, the address to enter by, and how long it took in s."""
    begin = time.perf_counter()
    words = ["open", "--no-browser", "--port", "0", str(file)]
    process = subprocess.Popen(
        [sys.executable, "-c", CODE, *words],
        env={**CACHED, "LAMPHOUSE_STATE": str(folder / "state")},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    line = process.stdout.readline() if process.stdout else ""
    return process, line.split()[-1], time.perf_counter() - begin


def ended(process: subprocess.Popen[str]) -> None:
    """Stop a server."""
    process.terminate()
    process.wait()
    if process.stdout:
        process.stdout.close()


def used_by(process: subprocess.Popen[str]) -> tuple[float, float, float]:
    """Give a process's memory now and at its most in MiB, and its time so far in s."""
    told = Path(f"/proc/{process.pid}/status").read_text(encoding="utf-8").splitlines()
    held = {line.split(":")[0]: line.split()[1] for line in told if line.startswith("Vm")}
    times = Path(f"/proc/{process.pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    ticks = int(times[11]) + int(times[12])
    return int(held["VmRSS"]) / 1024, int(held["VmHWM"]) / 1024, ticks / os.sysconf("SC_CLK_TCK")


def imported_s() -> float:
    """Time a process that imports the libraries alone."""
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", REFERENCE], check=True, env=CACHED)
    return time.perf_counter() - begin


def first_page(file: Path, *, folder: Path) -> None:
    """Time the start and the first page, in turn with the reference."""
    starts, ratios, pages, cpu = [], [], [], []
    for run in range(RUNS + 1):
        process, entry, took = started(file, folder=folder)
        _, _, cpu_s = used_by(process)
        begin = time.perf_counter()
        parts = urlsplit(entry)
        visitor = Visitor(host=parts.netloc)
        visitor.ask(visitor.enter(f"{parts.path}?{parts.query}"))
        page_s = time.perf_counter() - begin
        ended(process)
        if run:  # the first fills the caches
            starts.append(took)
            cpu.append(cpu_s)
            pages.append(page_s)
            ratios.append(took / imported_s())
    print(
        f"start {statistics.median(starts):.2f} s wall, {statistics.median(cpu):.2f} s process "
        f"(wanted under 1), ratio {statistics.median(ratios):.2f}; "
        f"first page {statistics.median(pages):.2f} s (wanted under 0.5)"
    )


def memory(name: str, file: Path, *, folder: Path) -> None:
    """Open every view of a project and light every panel; tell the memory after each."""
    process, entry, _ = started(file, folder=folder)
    parts = urlsplit(entry)
    visitor = Visitor(host=parts.netloc)
    ground = visitor.enter(f"{parts.path}?{parts.query}").rpartition("/")[0]
    print(f"{name}: started {used_by(process)[0]:.0f} MiB", end="")
    for view in VIEWS:
        before_s = used_by(process)[2]
        answer = visitor.ask(f"{ground}/{view}/body")
        if answer.status != http.client.OK:
            raise LookupError(view, answer.status)
        now, _, cpu_s = used_by(process)
        print(f", {view} {now:.0f} MiB ({cpu_s - before_s:.1f} s)", end="", flush=True)
    panels = [
        urlencode({"sub": sub.name, "panel": panel.name})
        for sub in read_project(file).design.sub_assemblies
        for panel in sub.panels
    ]
    for panel in panels:
        for address in ("glow.png", "panel/field", "panel/side"):
            visitor.ask(f"{ground}/{address}?{panel}")
    print(f", {len(panels)} panels lit {used_by(process)[0]:.0f} MiB", end="")
    _, most, _ = used_by(process)
    print(f"; at most {most:.0f} MiB")
    ended(process)


def main(names: list[str]) -> None:
    """Measure."""
    with tempfile.TemporaryDirectory() as held:
        folder = Path(held)
        for name in names or starter.DEMOS:
            starter.start(folder / name, demo=name)
            file = folder / name / "mended.yaml"
            if name == "saltmarsh":
                first_page(file, folder=folder)
            memory(name, file, folder=folder)


if __name__ == "__main__":
    main(sys.argv[1:])
