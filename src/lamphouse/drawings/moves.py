"""Items moved, turned, mirrored and scaled, and the box they lie in."""

import math
from collections.abc import Iterable
from typing import TypeVar

from lamphouse.drawings.drawing import Circle, Drawing, Item, Path, Text
from lamphouse.drawings.lettering import box_of
from lamphouse.record import replace
from lamphouse.shapes.measure import bounds_mm

Box = tuple[float, float, float, float]
"""Left, bottom, right and top [mm]."""
AnyItem = TypeVar("AnyItem", bound=Item)
"""An item in, the same kind out."""


def moved(item: AnyItem, *, right_mm: float, up_mm: float) -> AnyItem:
    """Give the item somewhere else."""
    if isinstance(item, Path):
        corners = tuple((x + right_mm, y + up_mm, bulge) for x, y, bulge in item.corners)
        return replace(item, corners=corners)
    return replace(item, x_mm=item.x_mm + right_mm, y_mm=item.y_mm + up_mm)


def turned(item: AnyItem, *, turn_deg: float) -> AnyItem:
    """Give the item turned anticlockwise about the origin."""
    turn = math.radians(turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    if isinstance(item, Path):
        corners = tuple((x * cos - y * sin, x * sin + y * cos, b) for x, y, b in item.corners)
        return replace(item, corners=corners)
    placed = replace(
        item, x_mm=item.x_mm * cos - item.y_mm * sin, y_mm=item.x_mm * sin + item.y_mm * cos
    )
    if isinstance(placed, Text):
        return replace(placed, turn_deg=placed.turn_deg + turn_deg)
    return placed


def scaled(item: AnyItem, *, factor: float) -> AnyItem:
    """Give the item larger or smaller about the origin."""
    if isinstance(item, Path):
        corners = tuple((x * factor, y * factor, bulge) for x, y, bulge in item.corners)
        return replace(item, corners=corners)
    placed = replace(item, x_mm=item.x_mm * factor, y_mm=item.y_mm * factor)
    if isinstance(placed, Text):
        return replace(placed, height_mm=placed.height_mm * factor)
    return replace(placed, diameter_mm=placed.diameter_mm * factor)


def mirrored(item: AnyItem, *, about_x_mm: float) -> AnyItem:
    """Give the item as seen from behind, mirrored left to right across an upright line.

    A text keeps its way of reading; only its place is mirrored.
    """
    if isinstance(item, Path):
        corners = tuple((2 * about_x_mm - x, y, -bulge) for x, y, bulge in item.corners)
        return replace(item, corners=corners)
    return replace(item, x_mm=2 * about_x_mm - item.x_mm)


def bounds(item: Item) -> Box:
    """Give the box an item lies in; arcs exactly, text generously, line widths left out."""
    if isinstance(item, Text):
        return box_of(item)
    if isinstance(item, Circle):
        reach = item.diameter_mm / 2
        return item.x_mm - reach, item.y_mm - reach, item.x_mm + reach, item.y_mm + reach
    if item.closed:
        return bounds_mm(item.corners)
    x, y, _ = item.corners[-1]
    return bounds_mm((*item.corners[:-1], (x, y, 0.0)))


def around(boxes: Iterable[Box]) -> Box:
    """Give the box around boxes; there must be one."""
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(bottoms), max(rights), max(tops)


def drawing_of(items: Iterable[Item], *, name: str) -> Drawing:
    """Make a drawing whose box just holds its items."""
    held = tuple(items)
    left, bottom, right, top = around(bounds(item) for item in held)
    return Drawing(
        name=name,
        left_mm=left,
        bottom_mm=bottom,
        width_mm=right - left,
        height_mm=top - bottom,
        items=held,
    )
