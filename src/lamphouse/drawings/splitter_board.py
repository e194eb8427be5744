"""Splitter boards enlarged: a row of pads for each net, each pad with its run's number."""

from collections.abc import Iterator

from lamphouse.circuit.loom_runs import LaidFeed, Loom
from lamphouse.circuit.splitter_place import PITCH_MM
from lamphouse.drawings.drawing import Anchor, Circle, Item, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled

ENLARGED = (5, 2)
"""Drawn size over true size: the first at which every board is readable on a page [ISO5455]."""
_LARGEST_MM = 150.0
MOST_PADS = 50
"""A board with longer rows is not drawn: a rule tells to split its feed."""
_PAD_MM = 2.2
_SIGN_MM = 2.5


def splitter_boards(loom: Loom) -> tuple[Labelled, ...]:
    """Draw every splitter board, seen from the side the wires come in; trunk pads are filled."""
    feeds = [f for f in loom.feeds if max(len(row.runs) for row in f.splitter.rows) <= MOST_PADS]
    largest = max((side for feed in feeds for side in feed.splitter.size_mm), default=0.0)
    enlarged = next((k for k in ENLARGED if k * largest <= _LARGEST_MM), ENLARGED[-1])
    return tuple(
        Labelled(
            drawing=drawing_of(_board(feed, enlarged), name=feed.splitter.name),
            part="splitter boards",
            piece=feed.splitter.name,
            face="wire side",
            drawn=f"{enlarged}:1",
        )
        for feed in feeds
    )


def _board(feed: LaidFeed, enlarged: int) -> Iterator[Item]:
    board, pitch = feed.splitter, PITCH_MM * enlarged
    width, height = (enlarged * side for side in board.size_mm)
    yield rectangle(Pen.CUT, left=0.0, bottom=-height, right=width, top=0.0)
    for number, row in enumerate(board.rows):
        y = -(2 * number + 1.5) * pitch
        yield segment(Pen.MARK, start=(pitch, y), end=(len(row.runs) * pitch, y))
        yield Text(
            x_mm=-1.5, y_mm=y - _SIGN_MM / 2, words=row.sign, height_mm=_SIGN_MM, anchor=Anchor.END
        )
        for place, run in enumerate(row.runs, start=1):
            x = place * pitch
            yield Circle(pen=Pen.MARK, x_mm=x, y_mm=y, diameter_mm=_PAD_MM, filled=place == 1)
            yield Text(
                x_mm=x,
                y_mm=y + _PAD_MM / 2 + 0.6,
                words=str(run),
                height_mm=LEAST_MM,
                anchor=Anchor.MIDDLE,
            )
