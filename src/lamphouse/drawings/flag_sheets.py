"""Flags at 1:1, to cut out, fold round a wire or a strand and glue to themselves."""

from collections.abc import Iterator, Sequence

from lamphouse.drawings.drawing import Anchor, Item, Pen, Text
from lamphouse.drawings.figures import segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import upright

FACE_MM = (20.0, 3.0)
"""Width and height of one of the two faces of a folded flag."""
_INSET_MM = 0.8
_FREE_MM = 6.0
"""Kept free around the flags on a page."""

Faces = tuple[str, str]
"""Words on both faces of a flag."""


def fitted(faces: Faces) -> Faces:
    """Shorten the words on both faces to their room."""
    room = FACE_MM[0] - 2 * _INSET_MM
    first, second = (shortened(face, height_mm=LEAST_MM, room_mm=room) for face in faces)
    return first, second


def flag_sheets(flags: Sequence[Faces], *, part: str, paper: str) -> tuple[Labelled, ...]:
    """Draw two flags of each, side by side, on as many drawings as the paper asks for.

    Parameters
    ----------
    flags
        Words of each, fitted.
    part
        What they are for, such as ``wire flags``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    wide, high = upright(paper).room_mm
    across = int((wide - _FREE_MM) // (4 * FACE_MM[0]))
    down = int((high - _FREE_MM) // FACE_MM[1])
    sheets = [flags[first : first + across * down] for first in range(0, len(flags), across * down)]
    return tuple(
        Labelled(
            drawing=drawing_of(_sheet(sheet, across), name=f"{part} {number}"),
            part=part,
            piece=f"{number} of {len(sheets)}" if len(sheets) > 1 else "",
        )
        for number, sheet in enumerate(sheets, start=1)
    )


def _sheet(flags: Sequence[Faces], across: int) -> Iterator[Item]:
    """Set both flags of a wire side by side, and wires in columns."""
    width, height = FACE_MM
    tall = -(-len(flags) // across)
    for number, faces in enumerate(flags):
        column, row = divmod(number, tall)
        for place, words in enumerate(faces * 2):
            yield Text(
                x_mm=(4 * column + place + 0.5) * width,
                y_mm=-(row + 1) * height + (height - LEAST_MM) / 2,
                words=words,
                height_mm=LEAST_MM,
                anchor=Anchor.MIDDLE,
            )
    columns = -(-len(flags) // tall)
    last = len(flags) - (columns - 1) * tall
    for edge in range(4 * columns + 1):
        rows = tall if edge <= 4 * (columns - 1) else last
        pen = Pen.SCORE if edge % 2 else Pen.CUT
        yield segment(pen, start=(edge * width, 0.0), end=(edge * width, -rows * height))
    for row in range(tall + 1):
        whole = columns if row <= last else columns - 1
        at = -row * height
        yield segment(Pen.CUT, start=(0.0, at), end=(4 * whole * width, at))
