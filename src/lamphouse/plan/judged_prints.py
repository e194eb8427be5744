"""Every print of a design judged: how it reads when lit, and what is wrong with it."""

from lamphouse.colour.print_rules import (
    ENOUGH,
    Fit,
    Tried,
    coarse_artwork,
    cropped_artwork,
    pale_print,
)
from lamphouse.design.place import Room
from lamphouse.findings import Finding
from lamphouse.plan.artworked import ReadThrough, read_through
from lamphouse.plan.printed_opening import MOST_FILMS, PrintPlace, with_print
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm


class PrintFigures(Record):
    """How the print of an opening reads, lit in its room."""

    sub_assembly: str
    panel: str
    opening: str
    artwork: str
    films: int
    difference_as_drawn: float
    """Mean CIEDE2000 from the colours as drawn, printed as it is."""
    difference_as_made: float
    """The same, printed as made for the lamp."""
    chroma_kept: float
    """Chroma seen over chroma drawn, as made for the lamp."""
    out_of_reach: float
    """Share of the picture that no ink brings near what was drawn."""
    light: float
    """Mean luminance of the picture over that of clear places, in the room."""
    black: float
    """Luminance of the darkest print over that of clear places, in the room."""


def judge_print(
    place: PrintPlace, *, room: Room | None
) -> tuple[PrintFigures | None, tuple[Finding, ...]]:
    """Say how the print of an opening reads and what is wrong with it; None where there is none."""
    layers = place.opening.layers
    print_ = next((layer.printed for layer in layers if layer.printed), None)
    if print_ is None:
        return None, ()
    own = read_through(place, print_=print_, layers=layers, room=room)
    at, first = next((n, layer.count) for n, layer in enumerate(layers) if layer.printed)
    more = [
        _tried(
            read_through(
                place,
                print_=print_,
                layers=with_print(layers, print_=print_, films=films),
                room=room,
            ),
            films=films,
        )
        for films in range(first + 1, MOST_FILMS + 1)
        if own.as_made.out_of_reach > ENOUGH
    ]
    artwork, where = print_.artwork, place.opening.where
    left, bottom, right, top = bounds_mm(place.opening.outline.corners)
    fit = Fit(
        file=artwork.file,
        columns=artwork.columns,
        rows=artwork.rows,
        width_mm=right - left,
        height_mm=top - bottom,
    )
    figures = PrintFigures(
        sub_assembly=place.sub_assembly,
        panel=place.panel,
        opening=place.opening.name,
        artwork=artwork.file,
        films=sum(layer.count for layer in layers if layer.printed),
        difference_as_drawn=own.as_drawn.difference,
        difference_as_made=own.as_made.difference,
        chroma_kept=own.as_made.chroma_kept,
        out_of_reach=own.as_made.out_of_reach,
        light=own.as_made.light,
        black=own.look.black,
    )
    return figures, (
        *pale_print(where, layer=at, file=artwork.file, own=_tried(own, films=first), more=more),
        *coarse_artwork(where, fit=fit),
        *cropped_artwork(where, fit=fit),
    )


def _tried(read: ReadThrough, *, films: int) -> Tried:
    return Tried(films=films, reading=read.as_made, black=read.look.black)
