"""The flags of strands: one for the end at the hole, one for the end in the bundle."""

from collections.abc import Sequence

from lamphouse.drawings.flag_sheets import Faces, fitted, flag_sheets
from lamphouse.drawings.page import Labelled
from lamphouse.fibres.strand_table import StrandRow


def faces(row: StrandRow) -> Faces:
    """Give the words on both faces of a flag: strand and hole; the source group."""
    hole = "" if row.hole is None else f" hole {row.hole}"
    return fitted((f"{row.flag}{hole}", row.group))


def strand_flags(rows: Sequence[StrandRow], *, paper: str) -> tuple[Labelled, ...]:
    """Draw two flags for every strand, in the order of the cut list.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    ordered = sorted(enumerate(rows), key=lambda each: (len(each[1].stop), each[1].stop, each[0]))
    return flag_sheets([faces(row) for _, row in ordered], part="strand flags", paper=paper)
