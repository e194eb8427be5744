"""The flat pieces of a former, to be cut from one side."""

from lamphouse.cutting.piece import Piece
from lamphouse.drawings.face import draw
from lamphouse.drawings.page import JOINT, Labelled


def former_sheet(piece: Piece) -> Labelled:
    """Give the labelled drawing of one piece; small ones share pages with others of their sheet."""
    part, _, own = piece.name.rpartition(JOINT)
    return Labelled(
        drawing=draw(piece),
        part=part,
        piece=own,
        face=piece.face,
        sheet=piece.sheet.name,
        count=piece.count,
    )
