"""The files of one artwork: what to print, as picture and as sheet, and how it will be seen."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import lamphouse
from lamphouse.design.whole import Design
from lamphouse.drawings.paper import upright
from lamphouse.outputs import pdf
from lamphouse.outputs.artwork_pictures import sheet as pictures
from lamphouse.outputs.artwork_sheets import png_of, sheet
from lamphouse.outputs.artwork_tile import Tile
from lamphouse.outputs.records import to_text
from lamphouse.plan.artworked import ArtworkStudy
from lamphouse.storage.folder import LISTING, listing_of, replace_folder
from lamphouse.storage.refusal import StorageError

PACK = "pack.pdf"
"""What every build pack holds."""
VERSION = 1
"""Version of the folder's layout."""


def build(study: ArtworkStudy, *, tile: Tile, design: Design) -> dict[str, bytes]:
    """Make the files. Nothing is written.

    Returns
    -------
    dict of str to bytes
        ``print.png`` at true size, ``print.pdf`` with rulers, ``seen.png`` for the usual screen and
        ``seen wide.png`` for one with a wide gamut, and a listing; the same bytes each time.
    """
    files = {
        "print.png": png_of(tile, study),
        "print.pdf": pdf.set_pages(_document(study, tile=tile, design=design), day=design.day),
        "seen.png": pictures(study.look, made=study.made, drawn=tile.drawn, is_wide=False),
        "seen wide.png": pictures(study.look, made=study.made, drawn=tile.drawn, is_wide=True),
    }
    listing = {
        "lamphouse_artwork": VERSION,
        "program": f"lamphouse {lamphouse.__version__}",
        "project": design.name,
        "opening": study.place.name,
        "files": listing_of(files),
    }
    return {**files, LISTING: to_text(listing).encode()}


def write(files: Mapping[str, bytes], *, folder: Path) -> None:
    """Write the files into a folder of their own, all of them or none.

    Raises
    ------
    StorageError
        When the disk refuses, or the folder holds a build pack or anything not made here.
    """
    if (folder / PACK).exists():
        what = f"this folder holds a build pack ('{PACK}'), which pictures would replace"
        raise StorageError(folder, what=what, remedy="choose another folder")
    replace_folder(folder, files)


def _document(study: ArtworkStudy, *, tile: Tile, design: Design) -> dict[str, Any]:
    size = upright(design.paper)
    return {
        "project": design.name,
        "title": f"Print of {study.place.name}",
        "scale": f"1:{design.scale:g}",
        "revision": design.revision,
        "day": design.day.isoformat() if design.day else "",
        "paper": {"width": size.width_mm, "height": size.height_mm},
        "pages": [
            {
                "kind": "artwork",
                "mark": "print",
                "heading": f"{study.place.name}: print",
                "data": sheet(study, tile=tile, paper=design.paper),
            }
        ],
        "numbers": {"print": 1},
    }
