"""The flat pieces of a light box, each with its LED seats, wire holes and notches."""

from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.drawings.face import draw
from lamphouse.drawings.page import Labelled


def box_sheets(box: BoxPieces) -> tuple[Labelled, ...]:
    """Give a labelled drawing for each piece of a light box, in the order it is cut.

    The pieces are small; laid out together they share pages with others of the same sheet.
    """
    return tuple(_labelled(piece, box) for piece in box.pieces)


def _labelled(piece: Piece, box: BoxPieces) -> Labelled:
    part = f"{box.sub_assembly} / {box.box}"
    return Labelled(
        drawing=draw(piece),
        part=part,
        piece=piece.name.removeprefix(f"{part} / "),
        face=piece.face,
        sheet=piece.sheet.name,
        count=piece.count,
    )
