"""Pointer to new pixels: an LED of Saltmarsh dragged in headless Chromium, timed inside the page.

    python benchmarks/page_glow.py [moves]

A time runs from a pointer event to the moment the glow computed for its place is painted on the
page's canvas, and on to the frame that shows it. Times on a busy machine are only as good as it is.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from playwright.sync_api import Page, sync_playwright

from lamphouse.project import starter

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run"]
WATCH = """
() => {
  window.told = [];
  let moved = 0;
  const sent = new Map();
  document.addEventListener("pointermove", () => { moved = performance.now(); }, true);
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (data) {
    sent.set(JSON.parse(data).seq, moved);
    return send.call(this, data);
  };
  document.addEventListener("glowpainted", (event) => {
    const from = sent.get(event.detail);
    const painted = performance.now() - from;
    requestAnimationFrame(() => requestAnimationFrame(() => {
      window.told.push([painted, performance.now() - from]);
    }));
  });
}
"""


def _server(folder: Path) -> tuple[subprocess.Popen[str], str]:
    starter.start(folder / "saltmarsh", demo="saltmarsh")
    words = ["open", "--no-browser", "--port", "0", str(folder / "saltmarsh" / "mended.yaml")]
    code = "from lamphouse.cli.main import run; run()"
    process = subprocess.Popen(
        [sys.executable, "-c", code, *words],
        env={**os.environ, "LAMPHOUSE_STATE": str(folder / "state")},
        stdout=subprocess.PIPE,
        text=True,
    )
    line = process.stdout.readline() if process.stdout else ""
    return process, line.split()[-1]


def _drag(page: Page, *, item: str, moves: int) -> np.ndarray:
    """Drag an item to and fro, about sixty places a second; give the times in ms."""
    page.evaluate("window.told.length = 0")
    box = page.locator(f'#panel-stage [data-id="{item}"]').bounding_box()
    if box is None:
        raise LookupError(item)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for number in range(moves):
        page.mouse.move(x + 40 * np.sin(number / 9.0), y + 30 * np.cos(number / 7.0) - 30)
        page.wait_for_timeout(16)
    page.wait_for_timeout(300)
    page.keyboard.press("Escape")
    page.mouse.up()
    return np.array(page.evaluate("window.told"))


def _tell(what: str, told: np.ndarray) -> None:
    painted, shown = np.percentile(told, [50, 95], axis=0).T
    print(
        f"{what}: {len(told)} pictures; painted median {painted[0]:.0f} ms, 95th "
        f"{painted[1]:.0f} ms; on the screen {shown[0]:.0f} ms, {shown[1]:.0f} ms"
    )


def main(moves: int) -> None:
    """Drag, and print the median and the 95th percentile."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        process, entry = _server(Path(folder))
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        try:
            page = browser.new_context(viewport={"width": 1440, "height": 900}).new_page()
            page.goto(entry)
            page.wait_for_timeout(8000)  # the table, which comes first, paints every panel
            project = page.url.split("/p/")[1].split("/")[0]
            origin = page.url.split("/p/")[0]
            every = []
            for sub, panel, item in (
                ("chart table", "top", "LED:W2"),
                ("chart table", "top", "opening:screen"),
                ("instrument wall", "wall", "LED:P2"),
                ("instrument wall", "wall", "LED:T1"),
            ):
                page.goto(f"{origin}/p/{project}/panel?sub={sub}&panel={panel}")
                page.locator("#panel[data-field]").wait_for()
                page.wait_for_timeout(4000)
                page.evaluate(WATCH)
                _drag(page, item=item, moves=15)
                told = _drag(page, item=item, moves=moves)
                every.append(told)
                _tell(f"{sub} / {panel}, {item}", told)
            _tell("all together", np.concatenate(every))
        finally:
            browser.close()
            process.terminate()
            process.wait()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 120)
