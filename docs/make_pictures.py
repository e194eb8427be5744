"""Makes the pictures of the tutorial and the README from pages of Saltmarsh's pack.

Needs ``pdftoppm`` (poppler). Run by ``make docs``.
"""

import subprocess
import tempfile
from pathlib import Path

from lamphouse.outputs import contents, pack, pdf
from lamphouse.plan import make
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text

PICTURES = Path(__file__).parent / "pictures"
RESOLUTION_DPI = 80
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
}
"""Pictures by name, each with the mark of the pack's page it shows."""


def main() -> None:
    """Set the pack and turn the wanted pages into PNG files."""
    reading = read_text(
        demo_text("saltmarsh", "mended.yaml"),
        file="mended.yaml",
        own_pictures=demo_pictures("saltmarsh"),
    )
    plan = pack.completed(make.plan(reading.design, found=reading.findings))
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
    print(f"docs/pictures: {len(SHOWN)} pictures made")


if __name__ == "__main__":
    main()
