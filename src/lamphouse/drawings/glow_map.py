"""The evenness map of one opening: lines of equal luminance over its mean, and its cells' figures.

All figures on the map are shares of the mean: 1.00 is as bright as the mean. The darkest and the
brightest cell, by which evenness and hot spot are told, are framed and named. The line at the
wanted evenness is drawn heavy: what lies on its dark side is darker than asked for.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from math import ceil, floor, inf

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.whole import Look
from lamphouse.drawings.clip import apart
from lamphouse.drawings.contours import Line, lines_at, outside, thinned
from lamphouse.drawings.drawing import Anchor, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle
from lamphouse.drawings.lettering import LEAST_MM, box_of, lines_of, shortened, width_mm
from lamphouse.drawings.moves import Box, drawing_of
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.light.picture import Picture
from lamphouse.light.scene import Aperture
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.views import aperture_spots
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Spot

Floats = NDArray[np.float64]

LEVELS = (0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9, 1.1, 1.25, 1.5, 2.0, 3.0, 5.0, 10.0)
"""Lines drawn where an opening is uneven."""
STEPS = (0.05, 0.02, 0.01)
"""Between the lines where it is so even that fewer than three of the above cross it."""
LARGEST = 10.0
"""Greatest enlargement."""
_FEWEST = 3
_TIE = 1e-6
"""Cells this near to the extreme are as dark or bright; of several the first is named."""
_THINNED_MM = 0.02
_CLEAR_MM = 0.5
"""Kept free around a figure."""
_SHORTEST_MM = 1.0
"""A shorter piece of a line is left out."""
_NUDGE_MM = 0.5
_WORDS_MM, _NAME_MM = 2.0, 2.5
_STEP_MM = 3.4
"""From a line of words to the next."""
_BELOW_MM = 4.6


class _Sheet(Record):
    """From the opening's picture to the drawing."""

    picture: Picture
    factor: float
    left_mm: float
    bottom_mm: float

    def place(self, x_mm: float, y_mm: float) -> Spot:
        """Give the place on the drawing of a place in the panel plane."""
        return (x_mm - self.left_mm) * self.factor, (y_mm - self.bottom_mm) * self.factor

    def line(self, line: Line) -> Line:
        """Give a line of the picture's grid on the drawing."""
        pixel, picture = self.picture.pixel_mm, self.picture
        return [
            self.place(
                picture.left_mm + (column + 0.5) * pixel, picture.bottom_mm + (row + 0.5) * pixel
            )
            for column, row in line
        ]

    def holds(self, box: Box) -> bool:
        """Tell whether the corners of a box of the drawing lie in the opening."""
        rows, columns = self.picture.shown.shape
        for x in (box[0], box[2]):
            for y in (box[1], box[3]):
                column = floor(
                    (x / self.factor + self.left_mm - self.picture.left_mm) / self.picture.pixel_mm
                )
                row = floor(
                    (y / self.factor + self.bottom_mm - self.picture.bottom_mm)
                    / self.picture.pixel_mm
                )
                if not (
                    0 <= row < rows and 0 <= column < columns and self.picture.shown[row, column]
                ):
                    return False
        return True


def glow_map(
    opening: OpeningGlow, *, aperture: Aperture, picture: Picture, room_mm: tuple[float, float]
) -> Drawing:
    """Draw how even an opening is.

    Parameters
    ----------
    opening
        Its figures.
    aperture
        The same opening as it was solved.
    picture
        Its luminance, fine enough for the lines.
    room_mm
        Width and height for the whole drawing.

    Returns
    -------
    Drawing
        Larger than the opening or smaller; by how much is written on it.
    """
    left, bottom, right, top = bounds_mm(opening.shape.corners)
    wanted = opening.look and _wanted(opening.look, is_drawn=True, room_mm=room_mm[0])
    below = _BELOW_MM + (2 + len(wanted or ("",))) * _STEP_MM
    factor = min(room_mm[0] / (right - left), (room_mm[1] - below) / (top - bottom), LARGEST)
    sheet = _Sheet(picture=picture, factor=factor, left_mm=left, bottom_mm=bottom)
    outline = tuple((*sheet.place(x, y), bulge) for x, y, bulge in opening.shape.corners)
    traced = _traced(opening, sheet)
    cells = _cells(opening, spots=_spots(opening, aperture, sheet), traced=traced, sheet=sheet)
    lines = _lines(
        traced, sheet=sheet, cells=cells, wanted=opening.look.evenness if opening.look else None
    )
    caption = _caption(opening, traced, factor=factor, room_mm=room_mm[0])
    return drawing_of(
        (Path(pen=Pen.CUT, corners=outline, closed=True), *lines, *cells, *caption),
        name=f"{opening.opening} evenness",
    )


def levels(low: float, *, high: float) -> tuple[float, ...]:
    """Choose the lines between the least and the greatest share of the mean."""
    chosen = [level for level in LEVELS if low < level < high]
    for step in STEPS:
        if len(chosen) >= _FEWEST:
            break
        numbers = range(floor(low / step) + 1, ceil(high / step))
        chosen = [round(number * step, 2) for number in numbers]
    return tuple(chosen)


def _traced(opening: OpeningGlow, sheet: _Sheet) -> dict[float, list[Line]]:
    """Trace the lines of every level, on the drawing."""
    picture = sheet.picture
    if opening.mean_cd_m2 <= 0.0 or not picture.shown.any():
        return {}
    shares = picture.luminance_cd_m2 / opening.mean_cd_m2
    seen = shares[picture.shown]
    among = set(levels(float(seen.min()), high=float(seen.max())))
    if opening.look:
        among.add(opening.look.evenness)
    found = {
        level: [sheet.line(line) for line in lines_at(shares, known=picture.shown, level=level)]
        for level in sorted(among)
    }
    return {level: lines for level, lines in found.items() if lines}


def _spots(opening: OpeningGlow, aperture: Aperture, sheet: _Sheet) -> Floats:
    """Give the corners of the opening's cells on the drawing, (S, v, 2)."""
    only = sum(map(len, opening.cells_cd_m2)) == 1
    spots = aperture_spots(aperture, small_mm=inf if only else 0.0)
    return np.asarray((spots - (sheet.left_mm, sheet.bottom_mm)) * sheet.factor)


def _cells(
    opening: OpeningGlow, *, spots: Floats, traced: dict[float, list[Line]], sheet: _Sheet
) -> list[Item]:
    """Write the share of every cell where there is room, and frame the darkest and brightest."""
    values = list(chain.from_iterable(opening.cells_cd_m2))
    low, high = min(values) * (1.0 + _TIE), max(values) * (1.0 - _TIE)
    names = {
        next(cell for cell, value in enumerate(values) if value <= low): "min",
        next(cell for cell, value in enumerate(values) if value >= high): "max",
    }
    if len(values) == 1:
        names = {}
    dots = np.array([spot for lines in traced.values() for line in lines for spot in line])
    _, centres = ring_area_centre(spots)
    texts: dict[int, Text] = {}
    boxes: dict[int, Box] = {}
    for number in (*names, *(cell for cell in range(len(values)) if cell not in names)):
        share = values[number] / opening.mean_cd_m2 if opening.mean_cd_m2 else 0.0
        x, y = centres[number].tolist()
        height = float(np.ptp(spots[number, :, 1]))
        tries = _figures(f"{share:.2f}", x, y, height=height, is_extreme=number in names)
        free = [
            text
            for text in tries
            if _is_free(_cleared(text), boxes.values()) and sheet.holds(_cleared(text))
        ]
        if not free and number not in names:
            texts = {cell: text for cell, text in texts.items() if cell in names}
            break
        clear = (text for text in free if not _crossed(_cleared(text), dots.reshape(-1, 2)))
        texts[number] = next(clear, (free or tries)[0])
        boxes[number] = _cleared(texts[number])
    taken = [_cleared(text) for text in texts.values()]
    framed = [
        item
        for number, name in names.items()
        for item in _frame(texts[number], name, taken=taken, sheet=sheet)
    ]
    return [*texts.values(), *framed]


def _figures(words: str, x: float, y: float, *, height: float, is_extreme: bool) -> list[Text]:
    """Write a cell's figure in its middle, then further and further up and down from it."""
    steps = range(int(height / 4.0 / _NUDGE_MM) + 1)
    return [
        Text(
            x_mm=x,
            y_mm=y - LEAST_MM / 2 + way * step * _NUDGE_MM,
            words=words,
            height_mm=LEAST_MM,
            pen=Pen.TEXT if is_extreme else Pen.HIDDEN,
            anchor=Anchor.MIDDLE,
            bold=is_extreme,
        )
        for step in steps
        for way in ((1, -1) if step else (1,))
    ]


def _crossed(box: Box, dots: Floats) -> bool:
    inside = (dots > (box[0], box[1])) & (dots < (box[2], box[3]))
    return bool(inside.all(axis=1).any())


def _frame(text: Text, name: str, *, taken: Sequence[Box], sheet: _Sheet) -> Iterator[Item]:
    """Frame a figure and write its name beside it where there is room."""
    left, bottom, right, top = _cleared(text)
    yield rectangle(Pen.SIZE, left=left, bottom=bottom, right=right, top=top)
    others = [box for box in taken if box != (left, bottom, right, top)]
    middle, gap = (left + right) / 2, _CLEAR_MM
    places = (
        (middle, bottom - gap - LEAST_MM, Anchor.MIDDLE),
        (middle, top + gap, Anchor.MIDDLE),
        (right + gap, text.y_mm, Anchor.START),
        (left - gap, text.y_mm, Anchor.END),
    )
    for x, y, anchor in places:
        label = Text(x_mm=x, y_mm=y, words=name, height_mm=LEAST_MM, anchor=anchor, bold=True)
        if _is_free(box_of(label), others) and sheet.holds(box_of(label)):
            yield label
            return


def _lines(
    traced: dict[float, list[Line]],
    *,
    sheet: _Sheet,
    cells: Sequence[Item],
    wanted: float | None,
) -> list[Item]:
    """Draw the lines, each with its figure where one has room, open around all figures."""
    taken = [_cleared(item) for item in cells if isinstance(item, Text)]
    drawn: list[Item] = []
    for level, lines in traced.items():
        pen = Pen.CUT if level == wanted else Pen.MARK
        labels = _labels(f"{level:g}", lines, pen=pen, taken=taken, sheet=sheet)
        taken += [_cleared(label) for label in labels]
        drawn += labels
    for level, lines in traced.items():
        pen = Pen.CUT if level == wanted else Pen.MARK
        for line in lines:
            for part in outside(line, boxes=taken):
                if _length(part) >= _SHORTEST_MM:
                    corners = tuple((x, y, 0.0) for x, y in thinned(part, error=_THINNED_MM))
                    drawn.append(Path(pen=pen, corners=corners))
    return drawn


def _labels(
    words: str, lines: Sequence[Line], *, pen: Pen, taken: Sequence[Box], sheet: _Sheet
) -> list[Text]:
    """Put the level's figure on each long line, as near to its middle as there is room."""
    labels: list[Text] = []
    boxes = list(taken)
    for line in lines:
        if _length(line) < 3.0 * width_mm(words, height_mm=LEAST_MM):
            continue
        for text in _tries(words, line, pen):
            box = _cleared(text)
            if _is_free(box, boxes) and sheet.holds(box):
                labels.append(text)
                boxes.append(box)
                break
    return labels


def _tries(words: str, line: Line, pen: Pen) -> Iterator[Text]:
    middle = len(line) // 2
    for step in range(0, middle, 2):
        for place in (middle + step, middle - step):
            x, y = line[place]
            yield Text(
                x_mm=x,
                y_mm=y - LEAST_MM / 2,
                words=words,
                height_mm=LEAST_MM,
                pen=pen,
                anchor=Anchor.MIDDLE,
                bold=True,
            )


def _cleared(text: Text) -> Box:
    left, bottom, right, top = box_of(text)
    return left - _CLEAR_MM, bottom - _CLEAR_MM, right + _CLEAR_MM, top + _CLEAR_MM


def _is_free(box: Box, taken: Iterable[Box]) -> bool:
    return all(apart(box, other) for other in taken)


def _length(line: Line) -> float:
    return float(np.hypot(*np.diff(np.array(line), axis=0).T).sum())


def _caption(
    opening: OpeningGlow, traced: dict[float, list[Line]], *, factor: float, room_mm: float
) -> Iterator[Text]:
    """Say what is shown, the figures in words, and what is wanted."""
    figures = (
        f"mean {opening.mean_cd_m2:.3g} cd/m2 is 1.00; evenness {opening.evenness:.0%}, "
        f"hot spot {opening.hot_spot:.0%}"
    )
    name = shortened(
        f"{opening.opening}, drawn {factor:.2g} : 1", height_mm=_NAME_MM, room_mm=room_mm, bold=True
    )
    said = _said(figures, room_mm=room_mm)
    if opening.look:
        is_drawn = opening.look.evenness in traced
        said += _wanted(opening.look, is_drawn=is_drawn, room_mm=room_mm)
    lines = [(name, _NAME_MM), *((line, _WORDS_MM) for line in said)]
    for number, (line, height) in enumerate(lines):
        yield Text(
            x_mm=0.0,
            y_mm=-_BELOW_MM - number * _STEP_MM,
            words=line,
            height_mm=height,
            bold=number == 0,
        )


def _wanted(look: Look, *, is_drawn: bool, room_mm: float) -> tuple[str, ...]:
    """Say what a look wants, in one line where a shorter word for its line makes it one."""
    words = (
        f"wanted, {look.name}: {look.least_cd_m2:g} to {look.most_cd_m2:g} cd/m2, "
        f"evenness {look.evenness:.0%}"
    )
    if not is_drawn:
        return _said(words, room_mm=room_mm)
    ways = [_said(f"{words} ({line})", room_mm=room_mm) for line in ("heavy line", "heavy")]
    return min(ways, key=len)


def _said(words: str, *, room_mm: float) -> tuple[str, ...]:
    return lines_of(words, height_mm=_WORDS_MM, room_mm=room_mm)
