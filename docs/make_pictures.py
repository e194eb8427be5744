"""Makes the pictures of the tutorial and the README from pages of Saltmarsh's pack.

Needs ``pdftoppm`` (poppler). Run by ``make docs``.
"""

import subprocess
import tempfile
from pathlib import Path

import cv2
import numpy as np

from lamphouse.outputs import contents, pdf
from lamphouse.plan import make
from lamphouse.plan.bench_readings import with_readings
from lamphouse.plan.boarded import boarded
from lamphouse.plan.ordered import with_order
from lamphouse.plan.sheeted import sheeted
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text
from lamphouse.trace import overlay, picture_file, scales, traced

PICTURES = Path(__file__).parent / "pictures"
RESOLUTION_DPI = 80
TRACED_WIDE = 700
"""Pixels across of the picture with the traced outline."""
SHOWN = {
    "cover": "cover",
    "bench": "1 bench",
    "schematic": "1 schematic",
    "board": "1 board",
    "faults": "1 faults",
    "loom": "loom plan",
    "panel": "2 templates",
    "drill_chart": "3 drilling",
    "light_box": "2 light boxes",
    "glow": "2 glow",
    "bending": "4 bending",
    "evenings": "work chart",
}
"""Pictures by name, each with the mark of the pack's page it shows."""


def main() -> None:
    """Set the pack and turn the wanted pages into PNG files."""
    reading = read_text(
        demo_text("saltmarsh", "mended.yaml"),
        file="mended.yaml",
        own_pictures=demo_pictures("saltmarsh"),
    )
    plan = make.plan(reading.design, found=reading.findings)
    plan = sheeted(with_order(with_readings(boarded(plan))))
    document = contents.document(plan)
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        pages = Path(folder) / "pack.pdf"
        pages.write_bytes(pdf.set_pages(document, day=reading.design.day))
        numbers, _ = pdf.page_numbers(document)
        for name, mark in SHOWN.items():
            page = str(numbers[mark])
            words = ["pdftoppm", "-png", "-singlefile", "-r", str(RESOLUTION_DPI)]
            words += ["-f", page, "-l", page, str(pages), str(PICTURES / name)]
            subprocess.run(words, check=True, stderr=subprocess.DEVNULL)
    _traced()
    print(f"docs/pictures: {len(SHOWN) + 1} pictures made")


def _traced() -> None:
    """Lay a traced outline over its picture, smaller than the command draws it."""
    picture = picture_file.load(demo_pictures("saltmarsh")["pictures/bell-plate.jpg"])
    scale = scales.from_dpi(600.0, tagged=None)
    part = traced.trace(picture, scale=scale)
    shown = cv2.imdecode(np.frombuffer(overlay.overlay(picture, part, scale), np.uint8), 1)
    high, wide = shown.shape[:2]
    size = (TRACED_WIDE, round(high * TRACED_WIDE / wide))
    small = cv2.resize(shown, size, interpolation=cv2.INTER_AREA)
    cv2.imwrite(str(PICTURES / "traced.jpg"), small, [cv2.IMWRITE_JPEG_QUALITY, 88])


if __name__ == "__main__":
    main()
