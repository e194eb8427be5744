"""Takes the pictures of the page: every view, in both lights, at the three sizes.

Usage: ``make screenshots``, or ``python docs/make_screenshots.py [FOLDER] [VIEW ...]``. It starts
the page with a copy of Saltmarsh in a folder of its own. Without a folder the pictures that the
docs show go to ``docs/pictures/page``; with one, all of them go there.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from lamphouse.project import starter

SIZES = {"wide": (1440, 900), "tablet": (1024, 768), "phone": (390, 844)}
LIGHTS = {"bench": 300, "dark": 1}
VIEWS = {
    "start": "",
    "table": "table",
    "panel": "panel/instrument wall/wall",
    "trace": "trace",
    "circuit": "circuit?sub=chart+table",
    "blink": "blink",
    "sheets": "sheets",
    "steps": "steps",
    "parts": "parts",
    "bench": "bench",
}
"""Every view, with the part of its address behind the project's."""
FIRST_VERSION = {"planted": "table"}
"""Views of the demo's first version, with its planted mistakes."""
IN_THE_DOCS = {
    ("table", "bench", "wide"),
    ("planted", "bench", "wide"),
    ("panel", "bench", "wide"),
    ("panel", "dark", "wide"),
    ("circuit", "bench", "wide"),
    ("blink", "dark", "wide"),
    ("sheets", "bench", "wide"),
    ("steps", "bench", "wide"),
    ("bench", "bench", "phone"),
}
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
SETTLE_MS = 2500


def main(folder: Path | None, only: list[str]) -> None:
    """Take the pictures."""
    place = folder or Path(__file__).parent / "pictures" / "page"
    place.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as work, sync_playwright() as driver:
        path = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = driver.chromium.launch(executable_path=path, args=FLAGS)
        starter.start(Path(work) / "saltmarsh", demo="saltmarsh")
        for file, views in (("mended.yaml", VIEWS), ("project.yaml", FIRST_VERSION)):
            chosen = {name: at for name, at in views.items() if name in (only or views)}
            server = _serve(Path(work) / "saltmarsh" / file, state=Path(work) / "state")
            try:
                entry = server.stdout.readline().split()[-1] if server.stdout else ""
                for name, at in chosen.items():
                    _view(browser, entry, name, at, place=place, all_of_them=folder is not None)
            finally:
                server.terminate()
                server.wait()
        browser.close()


def _serve(project: Path, *, state: Path) -> "subprocess.Popen[str]":
    code = "from lamphouse.cli.main import run; run()"
    words = [sys.executable, "-c", code, "open", "--no-browser", "--port", "0", str(project)]
    environment = {**os.environ, "LAMPHOUSE_STATE": str(state)}
    return subprocess.Popen(
        words, stdout=subprocess.PIPE, text=True, env=environment, cwd=project.parent.parent
    )


def _view(
    browser: Browser, entry: str, name: str, at: str, *, place: Path, all_of_them: bool
) -> None:
    for size, (width, height) in SIZES.items():
        for light, lux in LIGHTS.items():
            if not all_of_them and (name, light, size) not in IN_THE_DOCS:
                continue
            context = browser.new_context(viewport={"width": width, "height": height})
            page = context.new_page()
            page.goto(entry)
            page.evaluate(f"localStorage.setItem('room light', '{lux}')")
            _go(page, at)
            page.screenshot(path=place / f"{name}-{light}-{size}.png")
            print(f"{name} {light} {size}", flush=True)
            context.close()


def _go(page: Page, path: str) -> None:
    ground = page.url.rsplit("/", maxsplit=1)[0]
    page.goto(f"{ground}/{path}" if path else ground.split("/p/")[0])
    page.locator("#view .waiting").wait_for(state="detached", timeout=120_000)
    page.wait_for_timeout(SETTLE_MS)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None, sys.argv[2:])
