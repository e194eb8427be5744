"""The traced outline over its picture, to be judged by eye."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.scales import Scale
from lamphouse.trace.traced import TracedPart, in_pixels

Colours = NDArray[np.uint8]
"""(rows, columns, 3): blue, green, red."""

MOST_SIDE = 2400
_ROOM_SHARE = 0.06
"""Of the part's size, shown around it."""
_FRACTION_BITS = 5
_IS_CLOSED = True
_OUTLINE, _ROUND, _JOINT = (40, 40, 230), (230, 120, 0), (0, 160, 0)
"""Red outlines, blue round holes, green joints."""


def overlay(picture: Picture, part: TracedPart, scale: Scale) -> bytes:
    """Draw a traced part over its picture.

    Returns
    -------
    bytes
        A PNG file: outline and other cut-outs red, round holes blue with their centres, joints
        of lines and arcs green.
    """
    import cv2

    canvas, corner, zoom = window(picture, part, scale)

    def place(spots: NDArray[np.float64]) -> NDArray[np.int32]:
        pixels = (in_pixels(part, scale, spots) - corner + 0.5) * zoom - 0.5
        return np.round(pixels * (1 << _FRACTION_BITS)).astype(np.int32)

    def draw(corners: Corners, colour: tuple[int, int, int]) -> None:
        line = place(np.array(flatten(corners, error_mm=part.pixel_mm / 4.0)))
        cv2.polylines(canvas, [line], _IS_CLOSED, colour, 1, cv2.LINE_AA, _FRACTION_BITS)

    def dots(spots: NDArray[np.float64], colour: tuple[int, int, int]) -> None:
        for column, row in place(spots):
            spot = (int(column), int(row))
            cv2.circle(canvas, spot, 2 << _FRACTION_BITS, colour, -1, cv2.LINE_AA, _FRACTION_BITS)

    for corners in (part.corners, *(hole.corners for hole in part.holes if not hole.round)):
        draw(corners, _OUTLINE)
        dots(np.array([spot[:2] for spot in corners]), _JOINT)
    for hole in part.holes:
        if hole.round:
            draw(hole.corners, _ROUND)
            dots(np.array([(hole.round.x_mm, hole.round.y_mm)]), _ROUND)
    return encoded(canvas)


def window(
    picture: Picture, part: TracedPart, scale: Scale
) -> tuple[Colours, NDArray[np.float64], float]:
    """Give the picture around the part, the pixel of its corner, and how it was enlarged."""
    import cv2

    spots = in_pixels(part, scale, part.edges_mm[0])
    low, high = spots.min(axis=0), spots.max(axis=0)
    room = _ROOM_SHARE * float((high - low).max()) + 4.0
    rows, columns = picture.levels.shape
    left, top = (int(max(0, one - room)) for one in low)
    right, bottom = min(columns, int(high[0] + room)), min(rows, int(high[1] + room))
    crop = picture.levels[top:bottom, left:right]
    zoom = MOST_SIDE / max(crop.shape)
    zoom = zoom if zoom < 1.0 else min(4.0, float(int(zoom)))
    size = (max(1, round(crop.shape[1] * zoom)), max(1, round(crop.shape[0] * zoom)))
    how = cv2.INTER_AREA if zoom < 1.0 else cv2.INTER_CUBIC
    grey = np.clip(cv2.resize(crop, size, interpolation=how), 0.0, 255.0).astype(np.uint8)
    return cv2.cvtColor(grey, cv2.COLOR_GRAY2BGR), np.array((left, top), dtype=float), zoom


def encoded(canvas: Colours) -> bytes:
    """Write a picture as PNG."""
    import cv2

    _, data = cv2.imencode(".png", canvas)
    return data.tobytes()
