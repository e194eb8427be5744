"""The card that photographs of parts are scaled by: a frame of markers round a dark window.

Terminology
-----------
square
    One field of the chessboard pattern of the frame; every light square carries a marker.
module
    An eighth of a square: a marker is six modules wide, with one module of white all round it.
crossing
    Where four squares of the frame meet; the scale is taken from these.
"""

from collections.abc import Iterator

from lamphouse.drawings.drawing import Drawing, Path, Pen, Text
from lamphouse.record import replace

ACROSS, UP = 14, 18
"""Squares along the two sides; the card fits the field of A4 and of Letter."""
FRAME = 2
"""Squares between the edge of the card and the window."""
SQUARE_MM = 12.0
MODULES = 8
WIDTH_MM, HEIGHT_MM = ACROSS * SQUARE_MM, UP * SQUARE_MM

_HOW = "Print at 100 %. Measure the outer edges of the black frame with a steel rule, and write:"
_WORDS_MM = 2.2
_BELOW_MM = 4.0
"""From the frame to the baseline of the first line of words."""
_LINE_STEP_MM = 5.0

_WORDS = (
    "b532 0f9a 332d 9946 549e 79cd 9e2e c4f2 feda cf56 f991 11a7 0eb7 2a0f 24b1 263e 4665 6600 "
    "6c5e 76af 868b b02b ccd5 dd82 fe47 9471 ace4 a554 2123 346f 4415 57b2 9ecf f0cb 08ae 0929 "
    "1875 04ff 0df6 1c5a 1718 2a28 328c 38b2 24e8 2eeb 2d3f 4b64 502e 5013 5194 5568 5d41 5f97 "
    "6801 6867"
)
MARKERS = tuple(int(word, 16) for word in _WORDS.split())
"""Four rows of four modules each, the highest bit first, white is 1: the first 56 of the dictionary
of 4 x 4 markers in [ARUCO]."""


def marked_squares() -> Iterator[tuple[int, int]]:
    """Give column and row of every square that carries a marker, in the order of the markers."""
    for row in range(UP):
        for column in range(ACROSS):
            if _in_frame(column, row) and (column + row) % 2:
                yield column, row


def crossings() -> Iterator[tuple[float, float]]:
    """Give the places where four squares of the frame meet, from the card's lower left corner."""
    for row in range(1, UP):
        for column in range(1, ACROSS):
            if all(_in_frame(c, r) for c in (column - 1, column) for r in (row - 1, row)):
                yield column * SQUARE_MM, row * SQUARE_MM


def window_mm() -> tuple[float, float, float, float]:
    """Give the window's left, bottom, right and top."""
    edge = FRAME * SQUARE_MM
    return edge, edge, WIDTH_MM - edge, HEIGHT_MM - edge


def modules() -> list[list[bool]]:
    """Give every module of the card, True where it is black, the lowest row first."""
    card = [[True] * (ACROSS * MODULES) for _ in range(UP * MODULES)]
    for number, (column, row) in enumerate(marked_squares()):
        for down in range(MODULES):
            for right in range(MODULES):
                black = _is_black(MARKERS[number], right, down)
                card[(row + 1) * MODULES - 1 - down][column * MODULES + right] = black
    return card


def card() -> Drawing:
    """Draw the card, its lower left corner at the origin."""
    module = SQUARE_MM / MODULES
    items = tuple(
        Path(
            pen=Pen.FRAME,
            corners=tuple(
                (x * module, y * module, 0.0)
                for x, y in ((left, low), (right, low), (right, high), (left, high))
            ),
            closed=True,
            filled=True,
        )
        for left, low, right, high in _blocks(modules())
    )
    return Drawing(
        name="trace card",
        left_mm=0.0,
        bottom_mm=0.0,
        width_mm=WIDTH_MM,
        height_mm=HEIGHT_MM,
        items=items,
    )


def measured_card() -> Drawing:
    """Draw the card with room below it for what the print measures."""
    bare = card()
    first, second = -_BELOW_MM, -_BELOW_MM - _LINE_STEP_MM
    words = (
        Text(x_mm=0.0, y_mm=first, words=_HOW, height_mm=_WORDS_MM),
        *(
            Text(
                x_mm=x,
                y_mm=second,
                words=f"{way} ____________ mm (drawn {drawn:g})",
                height_mm=_WORDS_MM,
                bold=True,
            )
            for x, way, drawn in ((0.0, "across", WIDTH_MM), (WIDTH_MM / 2, "up", HEIGHT_MM))
        ),
    )
    below = _BELOW_MM + _LINE_STEP_MM
    return replace(bare, bottom_mm=-below, height_mm=HEIGHT_MM + below, items=(*bare.items, *words))


def _in_frame(column: int, row: int) -> bool:
    inner = FRAME <= column < ACROSS - FRAME and FRAME <= row < UP - FRAME
    return not inner


def _is_black(word: int, right: int, down: int) -> bool:
    """Tell a module of a marked square, from its upper left corner."""
    ring = min(right, down, MODULES - 1 - right, MODULES - 1 - down)
    if ring < 2:
        return ring == 1
    return not word >> (15 - 4 * (down - 2) - (right - 2)) & 1


def _blocks(card: list[list[bool]]) -> Iterator[tuple[int, int, int, int]]:
    """Give rectangles that cover the black modules: equal runs on one another made one."""
    open_runs: dict[tuple[int, int], int] = {}
    for row, line in enumerate([*card, [False] * len(card[0])]):
        runs = set(_runs(line))
        for run in [run for run in open_runs if run not in runs]:
            yield run[0], open_runs.pop(run), run[1], row
        for run in sorted(runs - open_runs.keys()):
            open_runs[run] = row


def _runs(line: list[bool]) -> Iterator[tuple[int, int]]:
    start = None
    for place, black in enumerate([*line, False]):
        if black and start is None:
            start = place
        elif not black and start is not None:
            yield start, place
            start = None
