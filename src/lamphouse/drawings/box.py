"""The flat pieces of a light box, each with its LED seats, wire holes and notches."""

from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.drawings.face import draw
from lamphouse.drawings.page import JOINT, Labelled


def box_sheets(box: BoxPieces) -> tuple[Labelled, ...]:
    """Give a labelled drawing for each piece of a light box, in the order it is cut.

    The pieces are small; laid out together they share pages with others of the same sheet.
    """
    return tuple(_labelled(piece) for piece in box.pieces)


def _labelled(piece: Piece) -> Labelled:
    part, _, own = piece.name.rpartition(JOINT)
    return Labelled(
        drawing=draw(piece),
        part=part,
        piece=own,
        face=piece.face,
        sheet=piece.sheet.name,
        count=piece.count,
    )
