"""Artwork changed so that it reads right when printed on film and lit, and how near that comes.

Terminology
-----------
drawn colour
    What the maker's picture holds, sRGB 0 to 1.
print colour
    What is sent to the printer instead.
target
    The drawn colour fitted between the lightest and the darkest that the lit print can show: white
    is the lamp's white, a gel left out, and black is as dark as the ink makes it.
out of reach
    Drawn colours whose target no ink makes in front of this lamp.
"""

import numpy as np

from lamphouse.colour.artwork_look import (
    WHITE,
    Backlit,
    Leaving,
    lamp_white,
    leaving,
    own_eye,
    own_look,
)
from lamphouse.colour.colour_cube import Cube, cube_of, grid, read_at
from lamphouse.colour.colour_search import nearest
from lamphouse.colour.difference import difference
from lamphouse.colour.display import adapted
from lamphouse.colour.inks import InkSet
from lamphouse.colour.lab import from_lab, to_lab
from lamphouse.colour.printer import amounts_at_corners, intended
from lamphouse.colour.spectrum import Array
from lamphouse.record import Record

OUT_OF_REACH = 5.0
"""CIEDE2000 from the target that is seen at once [MEMORY]."""
_PULL = 1.0
"""Weight of staying with the drawn colour where the lit print cannot follow."""


class PrintLook(Record, eq=False):
    """What a lit print shows for every print colour."""

    backlit: Backlit
    inks: InkSet
    corners: Leaving
    """What leaves the print at the corners of a cube over the print colours."""
    clear: Leaving
    lab: Cube
    """L*, a*, b* as the adapted eye sees it in the room, clear places at lightness 100."""
    aim: Array
    """X, Y, Z under daylight of what white is to look like. (3,)"""

    @property
    def white(self) -> Array:
        """The look of clear places. (3,)."""
        return np.asarray(self.lab.values[-1, -1, -1], dtype=np.float64)

    @property
    def black(self) -> float:
        """Luminance of black over that of clear places."""
        return float(from_lab(self.lab.values[0, 0, 0].astype(np.float64), white=WHITE)[1])


class Reading(Record, eq=False):
    """How some colours read, lit."""

    difference: float
    """Mean CIEDE2000 from the drawn colours."""
    chroma_kept: float
    """Chroma seen over chroma drawn; 1 where nothing is drawn in colour."""
    out_of_reach: float
    """Share of the picture."""
    light: float
    """Mean luminance of the picture over that of clear places."""


def look_of(backlit: Backlit, *, inks: InkSet) -> PrintLook:
    """Compute what a print shows for every colour sent to the printer."""
    corners = leaving(backlit, amounts_at_corners(inks))
    clear = leaving(backlit, np.zeros((1, 4)))
    white = (lamp_white(backlit) + clear.thrown[0]) @ own_eye(backlit, clear=clear).T
    return PrintLook(
        backlit=backlit,
        inks=inks,
        corners=corners,
        clear=clear,
        lab=cube_of(own_look(backlit, corners, clear=clear)),
        aim=white / white[1],
    )


def targets(look: PrintLook, drawn: Array) -> Array:
    """Give the look wanted of drawn colours, between the print's own white and black. (m, 3)."""
    fitted = from_lab(intended(drawn, black=look.black), white=WHITE)
    return to_lab(adapted(fitted, seen=WHITE, shown=look.aim), white=WHITE)


def print_colours(look: PrintLook, drawn: Array) -> Array:
    """Find what to print for drawn colours. (m, 3) to (m, 3)."""
    return nearest(
        lambda shares: read_at(look.lab, shares), targets(look, drawn), pull=_PULL, towards=drawn
    )


def print_cube(look: PrintLook) -> Cube:
    """Give what to print for every drawn colour."""
    return cube_of(print_colours(look, grid()))


def misses(look: PrintLook, drawn: Array, *, printed: Array) -> Array:
    """Give how far each colour lands from its target. CIEDE2000 (m,)."""
    return difference(targets(look, drawn), read_at(look.lab, printed))


def reading(look: PrintLook, drawn: Array, *, printed: Array, weights: Array) -> Reading:
    """Sum up how a picture reads when lit.

    Parameters
    ----------
    look
        What the print shows.
    drawn, printed
        Colours of the picture, and what is printed for each. (m, 3)
    weights
        Share of the picture each takes up. (m,)
    """
    wanted, got = intended(drawn), read_at(look.lab, printed)
    chromas = [np.hypot(lab[:, 1], lab[:, 2]) @ weights for lab in (wanted, got)]
    out = misses(look, drawn, printed=printed) > OUT_OF_REACH
    return Reading(
        difference=float(difference(wanted, got) @ weights),
        chroma_kept=float(chromas[1] / chromas[0]) if chromas[0] > 1.0 else 1.0,
        out_of_reach=float(out @ weights),
        light=float(from_lab(got, white=WHITE)[:, 1] @ weights),
    )
