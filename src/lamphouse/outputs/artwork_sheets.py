"""The sheet of a print as data for the typesetter: films at true size, rulers, figures."""

from base64 import b64encode
from typing import Any

from lamphouse.design.place import SubAssembly
from lamphouse.drawings.drawing import Drawing
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.paper import upright
from lamphouse.drawings.ruler import ruler
from lamphouse.outputs.artwork_lines import layer_words, told
from lamphouse.outputs.artwork_pictures import sheet as pictures
from lamphouse.outputs.artwork_tile import DPI, Tile, most_dpi, tile_of
from lamphouse.outputs.png import encode
from lamphouse.outputs.svg import render
from lamphouse.plan.artworked import ArtworkStudy, studies
from lamphouse.plan.result import Plan

_ROOM_MM = 54.0
"""Of the paper's width that margins and the upright ruler take."""
_ABOVE_MM = 110.0
"""Of the paper's height that frame, heading, words and rulers take."""
_PICTURE_MM = 170.0


def prints_for(plan: Plan, sub: SubAssembly) -> tuple[ArtworkStudy, ...]:
    """Study every print of a sub-assembly, in the order of the file."""
    own = [glow for glow in plan.glows if glow.sub_assembly == sub.name]
    return studies(plan.design, glows=own)


def study_tile(study: ArtworkStudy, *, dpi: float | None = None) -> Tile:
    """Make the tile of a study; at 300 dots per inch, or as many as fit, when none are named.

    Raises
    ------
    TooFine
        If memory has no room for as many as were named.
    """
    shape = study.place.opening.outline
    fine = min(DPI, most_dpi(shape)) if dpi is None else dpi
    return tile_of(study.artwork, made=study.made, shape=shape, dpi=fine)


def sheet(study: ArtworkStudy, *, tile: Tile, paper: str) -> dict[str, Any]:
    """Give the sheet of one print.

    Parameters
    ----------
    study
        What to print.
    tile
        The same at true size.
    paper
        A key of ``paper.SIZES_MM``; a print too large for it is shown small, with a word to print
        the picture file itself.
    """
    size = upright(paper)
    room_mm = (size.width_mm - _ROOM_MM, size.height_mm - _ABOVE_MM)
    share = min(1.0, room_mm[0] / tile.width_mm, room_mm[1] / tile.height_mm)
    fits = share == 1.0
    films = [_caption(study, number) for number in range(1, study.films + 1)] if fits else [""]
    return {
        "name": study.place.opening.name,
        "above": f"Print for {study.place.name}",
        "words": _words(study, tile, fits=fits),
        "facts": _facts(study),
        "films": films,
        "print": framed(
            png_of(tile, study),
            width_mm=tile.width_mm * share,
            height_mm=tile.height_mm * share,
            name=study.place.opening.name,
        ),
        "ruler": _drawn(drawing_of(list(ruler()), name="check ruler")),
        "pictures": _pictures(study, tile),
        "told": told(study, tile=tile),
    }


def png_of(tile: Tile, study: ArtworkStudy) -> bytes:
    """Write the tile as a picture file of its own size."""
    words = {
        "Title": f"print for {study.place.name}",
        "Comment": f"print at 100 %: {tile.width_mm:.1f} x {tile.height_mm:.1f} mm",
    }
    return encode(tile.pixels[::-1], pixels_per_mm=tile.pixels_per_mm, words=words)


def _caption(study: ArtworkStudy, number: int) -> str:
    return f"film {number} of {study.films}" if study.films > 1 else "one film"


def _words(study: ArtworkStudy, tile: Tile, *, fits: bool) -> str:
    made = (
        f"Made for its lamp: right when lit, too dark on paper. Artwork {study.artwork.file}, "
        f"{tile.dpi:g} dots per inch. "
    )
    if not fits:
        size = f"{tile.width_mm:.0f} x {tile.height_mm:.0f} mm"
        return made + f"It is {size}, larger than this paper, and shown small: print the file."
    if study.films > 1:
        return made + (
            f"Print {study.films} times the same, lay the films mark on mark, tape one edge, trim "
            "along the corner lines."
        )
    return made + "Trim along the corner lines; the edge beyond them is there to be glued under."


def _facts(study: ArtworkStudy) -> list[tuple[str, str]]:
    made, drawn = study.as_made, study.as_drawn
    return [
        ("layers, from the lamp", ", ".join(map(layer_words, study.layers))),
        ("clear places, lit", f"{study.look.backlit.clear_cd_m2:.3g} cd/m²"),
        ("picture on the mean", f"{made.light:.0%} of clear places"),
        ("blackest black", f"{study.look.black:.2%} of clear places"),
        ("mean difference as drawn, as made", f"{drawn.difference:.1f}, {made.difference:.1f}"),
        ("colour kept as drawn, as made", f"{drawn.chroma_kept:.0%}, {made.chroma_kept:.0%}"),
        ("out of reach", f"{made.out_of_reach:.0%} of the picture"),
    ]


def _pictures(study: ArtworkStudy, tile: Tile) -> dict[str, Any]:
    whole = pictures(study.look, made=study.made, drawn=tile.drawn, is_wide=False)
    columns, rows = _size_of(whole)
    return framed(
        whole,
        width_mm=_PICTURE_MM,
        height_mm=_PICTURE_MM * rows / columns,
        name="as it will be seen",
    )


def framed(png: bytes, *, width_mm: float, height_mm: float, name: str) -> dict[str, Any]:
    """Put a picture into a drawing of its size; as a list of bytes it takes longer to set."""
    data = b64encode(png).decode("ascii")
    size = f'width="{width_mm:.4f}mm" height="{height_mm:.4f}mm"'
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} '
        f'viewBox="0 0 {width_mm:.4f} {height_mm:.4f}">'
        f'<image width="{width_mm:.4f}" height="{height_mm:.4f}" preserveAspectRatio="none" '
        f'href="data:image/png;base64,{data}"/></svg>'
    )
    return {"svg": svg, "width": width_mm, "height": height_mm, "name": name}


def _size_of(png: bytes) -> tuple[int, int]:
    """Read the size of a picture written here."""
    return int.from_bytes(png[16:20]), int.from_bytes(png[20:24])


def _drawn(drawing: Drawing) -> dict[str, Any]:
    return {
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "name": drawing.name,
    }
