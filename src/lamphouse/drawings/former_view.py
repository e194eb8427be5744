"""A former put together, in an isometric picture [ISO5456-3], with the names of its pieces."""

from collections.abc import Iterator

from lamphouse.cutting.former import Former, rib_parts, upright_parts
from lamphouse.drawings.drawing import Anchor, Item, Pen, Text
from lamphouse.drawings.figures import segment
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.solids import Plate, faces_of, projected
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.sightlines import seen_of

SCALES = (2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""Drawn over true size: steps of [ISO5455]."""
_ARC_ERROR_MM = 0.05
_NAME_MM = 2.0
_AWAY_MM = 2.5
"""From a piece to its name."""
_MARGIN_MM = 25.0
"""Room for names around the picture."""
_ACROSS, _UP, _FRONT = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def former_view(former: Former, *, name: str, paper: str) -> Labelled:
    """Draw a former put together, at the largest scale that fits a page.

    Parameters
    ----------
    former
        Ribs and uprights in their places.
    name
        Of the former: ``bay / glazing former``.
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    faces = [face for plate in _plates(former) for face in faces_of(plate)]
    lines = [line for sight in seen_of(faces) for line in sight.lines]
    spots = [spot for line in lines for spot in line]
    wide, high = (max(axis) - min(axis) for axis in zip(*spots, strict=True))
    room = [side - 2.0 * _MARGIN_MM for side in upright(paper).room_mm]
    fits = (s for s in SCALES if wide * s <= room[0] and high * s <= room[1])
    scale = next(fits, SCALES[-1])
    items: list[Item] = [
        segment(Pen.CUT, start=_times(start, scale), end=_times(end, scale)) for start, end in lines
    ]
    items += _names(former, scale)
    return Labelled(
        drawing=drawing_of(items, name=f"{name} put together"),
        part=name,
        piece="put together",
        face="isometric",
        drawn=f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}",
    )


def _plates(former: Former) -> Iterator[Plate]:
    """Stand all pieces in their places: x across, y up, z to the front."""
    thick = former.sheet.thickness_mm
    for rib, (name, corners, *_) in zip(former.ribs, rib_parts(former), strict=True):
        yield Plate(
            part=name,
            rings=_ring(corners),
            corner_mm=(0.0, rib.low_mm, 0.0),
            right=_ACROSS,
            up=_FRONT,
            thickness_mm=thick,
        )
    for (x, _), (name, corners, *_) in zip(former.uprights, upright_parts(former), strict=True):
        yield Plate(
            part=name,
            rings=_ring(corners),
            corner_mm=(x - thick / 2.0, 0.0, 0.0),
            right=_FRONT,
            up=_UP,
            thickness_mm=thick,
        )


def _ring(corners: Corners) -> tuple[tuple[Spot, ...], ...]:
    return (tuple(flatten(corners, error_mm=_ARC_ERROR_MM)),)


def _names(former: Former, scale: float) -> Iterator[Text]:
    """Name ribs at their right ends, uprights above their tops."""
    for number, rib in enumerate(former.ribs, start=1):
        x, y = rib.end_mm if rib.is_open else (rib.radius_mm, 0.0)
        right, up = _times(projected((x, rib.low_mm, y)), scale)
        yield Text(
            x_mm=right + _AWAY_MM,
            y_mm=up - _NAME_MM / 2.0,
            words=f"rib {number}",
            height_mm=_NAME_MM,
        )
    thick = former.sheet.thickness_mm
    for number, (x, carried) in enumerate(former.uprights, start=1):
        last = former.ribs[carried[-1]]
        top = (x, last.low_mm + thick, last.back_at_mm(abs(x) + thick / 2.0))
        right, up = _times(projected(top), scale)
        yield Text(
            x_mm=right,
            y_mm=up + _AWAY_MM,
            words=f"upright {number}",
            height_mm=_NAME_MM,
            anchor=Anchor.MIDDLE,
        )


def _times(spot: Spot, scale: float) -> Spot:
    return spot[0] * scale, spot[1] * scale
