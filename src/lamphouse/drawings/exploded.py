"""A light box drawn pulled apart, its pieces with their names.

The eye looks at the panel's face from the right and from above, so one sees into the box. All
pieces are drawn at one scale, moved along the box's depth, walls also outwards.
"""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.cutting.piece import BoxPieces
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Pen, Text
from lamphouse.drawings.figures import segment
from lamphouse.drawings.lettering import lines_of, shortened, width_mm
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.pulled_apart import pulled_apart
from lamphouse.drawings.solids import faces_of
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.sightlines import Sight, seen_of

SCALES = (5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""Drawn over true size: the steps of [ISO5455]."""
_NAME_MM = 2.0
_STEP_MM = 3.6
"""From one name to the next."""
_AWAY_MM = 6.0
"""From the picture to the names beside it."""
_LONGEST_MM = 42.0
"""Room for a name."""
_FEW_LEDS = 4
_DOT_MM = 0.8


def exploded(made: BoxPieces, *, box: LightBox, panel: Panel, paper: str) -> Labelled:
    """Draw a light box pulled apart, at the largest scale of [ISO5455] that fits its page.

    Parameters
    ----------
    made
        Its pieces with their places.
    box
        The same box as it is built.
    panel
        The panel before it; a bent one is left out.
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    plates = pulled_apart(made, box=box, panel=panel)
    faces = [(plate.part, face) for plate in plates for face in faces_of(plate)]
    sights = seen_of([face for _, face in faces])
    seen = [(part, sight) for (part, _), sight in zip(faces, sights, strict=True)]
    wide, high = upright(paper).room_mm
    left, bottom, right, top = _around(seen)
    names = [width_mm(part, height_mm=_NAME_MM) for part in _named(_spots(seen))]
    column = min(max(names), _LONGEST_MM) + _AWAY_MM + 2.0
    notes = tuple(_notes(made, room_mm=wide))
    room = (wide - 2.0 * column, high - 12.0 - len(notes) * _STEP_MM)
    scale = next(
        (
            step
            for step in SCALES
            if (right - left) * step <= room[0] and (top - bottom) * step <= room[1]
        ),
        SCALES[-1],
    )
    name = f"{made.sub_assembly} / {made.panel} / {made.box} assembly"
    return Labelled(
        drawing=_drawn(seen, scale=scale, name=name, notes=notes),
        part=f"{made.sub_assembly} / {made.panel} / {made.box}",
        piece="assembly",
        face="isometric, pulled apart",
        drawn=f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}",
    )


def _around(seen: Sequence[tuple[str, Sight]]) -> tuple[float, float, float, float]:
    spots = [spot for _, sight in seen for line in sight.lines for spot in line]
    across, up = zip(*spots, strict=True)
    return min(across), min(up), max(across), max(up)


def _notes(made: BoxPieces, *, room_mm: float) -> Iterator[str]:
    """Give the notes of printed bodies, which have no other drawing, in lines."""
    for body in made.bodies:
        start = f"{body.name.rpartition(' / ')[2]}: " if len(made.bodies) > 1 else ""
        words = start + "; ".join(body.notes)
        yield from lines_of(words, height_mm=_NAME_MM, room_mm=room_mm)


def _drawn(
    seen: Sequence[tuple[str, Sight]], *, scale: float, name: str, notes: Sequence[str]
) -> Drawing:
    items: list[Item] = []
    for part, sight in seen:
        pen = Pen.MARK if part.startswith("LED") else Pen.CUT
        for (ax, ay), (bx, by) in sight.lines:
            items.append(segment(pen, start=(ax * scale, ay * scale), end=(bx * scale, by * scale)))
    box = tuple(side * scale for side in _around(seen))
    items += _names(seen, scale=scale, box=(box[0], box[1], box[2], box[3]))
    low = min(box[1], *(item.y_mm for item in items if isinstance(item, Text))) - _AWAY_MM
    for number, line in enumerate(notes):
        items.append(
            Text(
                x_mm=(box[0] + box[2]) / 2.0,
                y_mm=low - number * _STEP_MM,
                words=line,
                height_mm=_NAME_MM,
                anchor=Anchor.MIDDLE,
            )
        )
    return drawing_of(items, name=name)


def _spots(seen: Sequence[tuple[str, Sight]]) -> Mapping[str, Spot]:
    """Give a point on the largest part of each piece that is seen."""
    best: dict[str, tuple[float, Spot]] = {}
    for part, sight in seen:
        if sight.spot and sight.seen_mm2 > best.get(part, (0.0, sight.spot))[0]:
            best[part] = (sight.seen_mm2, sight.spot)
    return {part: spot for part, (_, spot) in best.items()}


def _named(spots: Mapping[str, Spot]) -> dict[str, Spot]:
    """Name many LEDs together, and the layers of a block once."""
    leds = [part for part in spots if part.startswith("LED ")]
    if len(leds) <= _FEW_LEDS:
        return dict(spots)
    first, last = leds[0].removeprefix("LED "), leds[-1].removeprefix("LED ")
    named = {part: spot for part, spot in spots.items() if part not in leds}
    named[f"LEDs {first} to {last}"] = spots[leds[0]]
    return named


def _names(
    seen: Sequence[tuple[str, Sight]],
    *,
    scale: float,
    box: tuple[float, float, float, float],
) -> Iterator[Item]:
    """Write the names in two columns, each with a leader that ends in a dot on its piece."""
    left, bottom, right, top = box
    spots = {part: (x * scale, y * scale) for part, (x, y) in _named(_spots(seen)).items()}
    order = sorted(spots, key=lambda part: (spots[part][0], part))
    half = (len(order) + 1) // 2
    for side, parts in ((-1, order[:half]), (1, order[half:])):
        edge = left - _AWAY_MM if side < 0 else right + _AWAY_MM
        wanted = sorted(parts, key=lambda part: (-spots[part][1], part))
        levels = _apart([spots[part][1] for part in wanted], top=top, bottom=bottom)
        for part, y in zip(wanted, levels, strict=True):
            words = shortened(part, height_mm=_NAME_MM, room_mm=_LONGEST_MM)
            spot = spots[part]
            yield Text(
                x_mm=edge + side * 1.0,
                y_mm=y - _NAME_MM / 2.0,
                words=words,
                height_mm=_NAME_MM,
                anchor=Anchor.END if side < 0 else Anchor.START,
            )
            yield segment(Pen.SIZE, start=(edge, y), end=spot)
            yield Circle(pen=Pen.SIZE, x_mm=spot[0], y_mm=spot[1], diameter_mm=_DOT_MM, filled=True)


def _apart(levels: Sequence[float], *, top: float, bottom: float) -> list[float]:
    """Move names apart, from the top down, then back up where they run out below."""
    placed: list[float] = []
    for y in levels:
        placed.append(min(y, placed[-1] - _STEP_MM) if placed else min(y, top))
    low = min(bottom, top - _STEP_MM * (len(levels) - 1))
    for number in range(len(placed) - 1, -1, -1):
        least = low if number == len(placed) - 1 else placed[number + 1] + _STEP_MM
        placed[number] = max(placed[number], least)
    return placed
