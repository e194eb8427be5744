"""Artwork of an opening: what to print so that it reads right when lit, and what does better."""

from collections.abc import Sequence

import numpy as np

from lamphouse.colour.artwork_fit import (
    PrintLook,
    Reading,
    look_of,
    print_colours,
    print_cube,
    reading,
)
from lamphouse.colour.colour_cube import Cube
from lamphouse.colour.palette import palette
from lamphouse.colour.print_rules import ENOUGH
from lamphouse.colour.spectrum import Array
from lamphouse.design.artwork import Artwork, Print
from lamphouse.design.panel import Layer
from lamphouse.design.place import Room
from lamphouse.design.whole import Design
from lamphouse.light.box_glow import BoxGlow
from lamphouse.plan.printed_opening import PrintPlace, backlit, inks_of, places
from lamphouse.record import Record


class ReadThrough(Record, eq=False):
    """How a print reads when lit, as drawn and as made for its lamp."""

    look: PrintLook
    as_drawn: Reading
    as_made: Reading


class ArtworkStudy(Record, eq=False):
    """One artwork in one opening."""

    place: PrintPlace
    artwork: Artwork
    layers: tuple[Layer, ...]
    look: PrintLook
    made: Cube
    """What to print for every drawn colour."""
    as_drawn: Reading
    """Printed as it is."""
    as_made: Reading
    """Printed as ``made`` says."""

    @property
    def films(self) -> int:
        """How many films are printed, all alike."""
        return sum(layer.count for layer in self.layers if layer.printed)

    @property
    def falls_short(self) -> bool:
        """Whether ink alone leaves more of the picture out of reach than nobody minds."""
        return self.as_made.out_of_reach > ENOUGH


def colours_of(artwork: Artwork) -> tuple[Array, Array]:
    """Give the colours of a picture with the share each takes up."""
    return palette(np.frombuffer(artwork.pixels, dtype=np.uint8).reshape(-1, 3))


def read_through(
    place: PrintPlace, *, print_: Print, layers: Sequence[Layer], room: Room | None
) -> ReadThrough:
    """Say how a print reads when lit.

    Parameters
    ----------
    place
        The opening.
    print_
        The artwork and its printer.
    layers
        From lamp to eye, the print on them.
    room
        The room it is looked at in; None: in the dark.
    """
    inks = inks_of(print_)
    look = look_of(backlit(place, layers=layers, inks=inks, room=room), inks=inks)
    drawn, shares = colours_of(print_.artwork)
    made = print_colours(look, drawn)
    return ReadThrough(
        look=look,
        as_drawn=reading(look, drawn, printed=drawn, weights=shares),
        as_made=reading(look, drawn, printed=made, weights=shares),
    )


def study(
    place: PrintPlace, *, print_: Print, layers: Sequence[Layer], room: Room | None
) -> ArtworkStudy:
    """Find what to print; parameters as for :func:`read_through`."""
    read = read_through(place, print_=print_, layers=layers, room=room)
    return ArtworkStudy(
        place=place,
        artwork=print_.artwork,
        layers=tuple(layers),
        look=read.look,
        made=print_cube(read.look),
        as_drawn=read.as_drawn,
        as_made=read.as_made,
    )


def studies(design: Design, *, glows: Sequence[BoxGlow]) -> tuple[ArtworkStudy, ...]:
    """Study every artwork that the project names, in the order of its boxes."""
    found = []
    for place in places(design, glows=glows):
        layers = place.opening.layers
        print_ = next((layer.printed for layer in layers if layer.printed), None)
        if print_:
            found.append(study(place, print_=print_, layers=layers, room=design.room))
    return tuple(found)
