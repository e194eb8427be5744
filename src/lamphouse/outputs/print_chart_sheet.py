"""The chart that tells the inks of one's own printer, as a picture and as a PDF to be printed."""

from typing import Any

import numpy as np

from lamphouse.colour.print_chart import PATCHES
from lamphouse.drawings.paper import upright
from lamphouse.outputs.artwork_sheets import framed
from lamphouse.outputs.artwork_tile import INCH_MM, Pixels
from lamphouse.outputs.pdf import set_pages
from lamphouse.outputs.png import encode

DPI = 300.0
COLUMNS = 4
PATCH_MM, GAP_MM, CORNER_MM = 14.0, 3.0, 4.0
_HOW = (
    "Print it on the film and with the settings you use for artwork, at 100 %. The black corner is "
    "at the top left.\n"
    "Lit: in the dark, hold the film before something even and white, lit from behind, such as a "
    "light box of the model with opal film. One picture of all patches; exposure and white balance "
    "set by hand, so that the bare patch reads 220 to 250.\n"
    "Unlit: the film on white paper, ink up, by daylight from one side, nothing mirrored in it; as "
    "carefully.\n"
    "Read the mean red, green and blue within each patch in any picture editor, and write them "
    "into the project file, as below. Patches may be left out, but for the bare one."
)
_WRITTEN = (
    "charts:\n"
    "  ours: {printer: inkjet, film: print film,\n"
    "    lit: {bare: 240 238 232, black: 28 27 30, cyan: 90 170 214},\n"
    "    unlit: {bare: 236 235 233, black: 14 14 15, cyan: 30 130 190}}\n"
    "and on the layer: {film: print film, films: 2, artwork: map.png, chart: ours}"
)


def chart_pixels(*, dpi: float = DPI) -> Pixels:
    """Draw the patches, rows of four from the top left, bare film between them. (m, n, 3)."""
    per_mm = dpi / INCH_MM
    pitch = PATCH_MM + GAP_MM
    rows = -(-len(PATCHES) // COLUMNS)
    size = (round((rows * pitch + GAP_MM) * per_mm), round((COLUMNS * pitch + GAP_MM) * per_mm))
    whole = np.full((*size, 3), 255, dtype=np.uint8)
    for number, (_, sent) in enumerate(PATCHES):
        top, left = (round((GAP_MM + place * pitch) * per_mm) for place in divmod(number, COLUMNS))
        side = round(PATCH_MM * per_mm)
        whole[top : top + side, left : left + side] = sent
    corner, line = round(CORNER_MM * per_mm), round(0.5 * per_mm)
    whole[:line, :corner] = whole[:corner, :line] = 0
    return whole


def chart_picture() -> bytes:
    """Write the chart as a picture file of its own size."""
    per_mm = DPI / INCH_MM
    words = {"Title": "print chart", "Comment": "print at 100 % on film"}
    return encode(chart_pixels()[::-1], pixels_per_mm=per_mm, words=words)


def chart_sheet(*, paper: str) -> bytes:
    """Set the chart on a sheet of paper, with what to do and where to write.

    Parameters
    ----------
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    rows, columns = chart_pixels().shape[:2]
    size = upright(paper)
    page: dict[str, Any] = {
        "kind": "chart",
        "mark": "chart",
        "heading": "Print chart",
        "data": {
            "print": framed(
                chart_picture(),
                width_mm=columns * INCH_MM / DPI,
                height_mm=rows * INCH_MM / DPI,
                name="print chart",
            ),
            "how": _HOW.splitlines(),
            "patches": [name for name, _ in PATCHES],
            "text": _WRITTEN.splitlines(),
        },
    }
    document = {
        "project": "Print chart",
        "title": "For the inks of your printer",
        "scale": "",
        "revision": "",
        "day": "",
        "paper": {"width": size.width_mm, "height": size.height_mm},
        "pages": [page],
        "numbers": {"chart": 1},
    }
    return set_pages(document, day=None)
