"""Light of lamps in other boxes that falls straight through open passages on an opening."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.chambers import Chamber, into, other_box
from lamphouse.light.landing import landing
from lamphouse.light.pieces import Targets, quartered, targets
from lamphouse.light.scene import Lamp, Suite
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.viewers import Screens
from lamphouse.light.views import Glimpse, View
from lamphouse.record import replace

Floats = NDArray[np.float64]

MOST_PASSAGES = 6
"""Open passages in a line that a lamp is followed through: two for each thick wall."""

FAR_MM = 1e5
"""The wall round a passage is taken to reach so far: nothing gets past it."""

MOST_CUTS = 3
"""Quarterings of a spot's pieces at most, until they are narrower than half the passage."""

Route = tuple[tuple[int, ...], tuple[int, ...]]
"""Boxes on the way, and the passages between them."""


def _routes(suite: Suite, *, start: int, end: int) -> Iterator[Route]:
    """List the ways from one box to another through open passages, no box twice."""
    ways: list[Route] = [((start,), ())]
    while ways:
        boxes, passages = ways.pop()
        if boxes[-1] == end:
            yield boxes, passages
            continue
        if len(passages) == MOST_PASSAGES:
            continue
        for number, passage in enumerate(suite.passages):
            if passage.fill is None and boxes[-1] in passage.boxes:
                beyond = other_box(passage, box=boxes[-1])
                if beyond not in boxes:
                    ways.append(((*boxes, beyond), (*passages, number)))


def _slices(chamber: Chamber) -> list[tuple[float, float]]:
    levels = chamber.levels_mm
    return list(pairwise(levels))


def _around(start: Floats, *, end: Floats, low: float, high: float) -> list[tuple[float, ...]]:
    """Give the wall round a passage as screens: left, right, below and above."""
    unit = (end - start) / np.hypot(*(end - start))
    left, right = start - FAR_MM * unit, end + FAR_MM * unit
    return [
        (*left, *start, -FAR_MM, FAR_MM),
        (*end, *right, -FAR_MM, FAR_MM),
        (*start, *end, -FAR_MM, low),
        (*start, *end, high, FAR_MM),
    ]


def _inner(screens: Screens, *, rise: float) -> list[tuple[float, ...]]:
    """List the screens of a box in another's heights."""
    return [
        (*start, *end, low + rise, high + rise)
        for start, end, low, high in zip(
            screens.start_mm, screens.end_mm, screens.low_mm, screens.high_mm, strict=True
        )
    ]


def _screens(rows: list[tuple[float, ...]]) -> Screens:
    table = np.array(rows, dtype=np.float64).reshape(-1, 6)
    return Screens(
        start_mm=table[:, :2], end_mm=table[:, 2:4], low_mm=table[:, 4], high_mm=table[:, 5]
    )


def _on_the_way(
    suite: Suite,
    *,
    chambers: tuple[Chamber, ...],
    route: Route,
    cavities: tuple[int, ...],
) -> tuple[Screens, float] | None:
    """Give what stands in a way and the least width of its passages; None when it is closed.

    Heights are those of the last box; each box is crossed in one of its cavities.
    """
    boxes, passages = route
    last = boxes[-1]
    rows: list[tuple[float, ...]] = []
    narrow = FAR_MM
    for place, number in enumerate(passages):
        passage = suite.passages[number]
        rise = suite.rise_mm(start=passage.boxes[0], end=last)
        low, high = passage.low_mm + rise, passage.high_mm + rise
        for box in boxes[place : place + 2]:
            cavity = cavities[boxes.index(box)]
            floor, ceiling = _slices(chambers[box])[cavity]
            up = suite.rise_mm(start=box, end=last)
            low, high = max(low, floor + up), min(high, ceiling + up)
        if high <= low:
            return None
        start, end = np.array(passage.start_mm), np.array(passage.end_mm)
        rows += _around(start, end=end, low=low, high=high)
        narrow = min(narrow, high - low, float(np.hypot(*(end - start))))
    for box in boxes:
        rows += _inner(chambers[box].interior.screens, rise=suite.rise_mm(start=box, end=last))
    return _screens(rows), narrow


def _cut(onto: Targets, *, narrow_mm: float) -> Targets:
    pieces = onto.pieces
    for _ in range(MOST_CUTS):
        if onto.size2_mm2.max() <= (narrow_mm / 2.0) ** 2:
            break
        pieces = quartered(pieces)
        onto = targets(pieces, count=onto.count, lobe=onto.lobe)
    return onto


def _behind(
    suite: Suite, *, chambers: tuple[Chamber, ...], route: Route, spots: Floats, lamp: Lamp
) -> NDArray[np.bool_]:
    """Tell which spots (S, 2) no straight line reaches by a route."""
    boxes, passages = route
    away = np.zeros(len(spots), dtype=np.bool_)
    for box, number in zip(boxes, passages, strict=False):
        foot, normal = (
            np.array(suite.passages[number].start_mm),
            into(chambers[box], passage=number),
        )
        if (np.array([lamp.x_mm, lamp.y_mm]) - foot) @ normal <= 0.0:
            away[:] = True
        away |= (spots - foot) @ normal >= 0.0
    return away


def _by_route(
    suite: Suite,
    *,
    chambers: tuple[Chamber, ...],
    route: Route,
    glimpse: Glimpse,
    view: View,
    lamp: Lamp,
) -> Floats:
    boxes, _ = route
    first, last = chambers[boxes[0]], chambers[boxes[-1]]
    total = np.zeros(len(view.area_mm2))
    _, centre = ring_area_centre(view.ring_mm)
    behind = _behind(suite, chambers=chambers, route=route, spots=centre, lamp=lamp)
    if behind.all():
        return total
    ways: list[tuple[int, ...]] = [(first.interior.home(lamp),)]
    for box in boxes[1:-1]:
        ways = [(*way, each) for way in ways for each in range(len(chambers[box].slices))]
    raised = replace(lamp, z_mm=lamp.z_mm + suite.rise_mm(start=boxes[0], end=last.number))
    for way in ways:
        found = _on_the_way(suite, chambers=chambers, route=route, cavities=(*way, glimpse.cavity))
        if found is not None:
            screens, narrow = found
            onto = _cut(glimpse.onto, narrow_mm=narrow)
            landed = landing(raised, onto=onto, screens=screens)
            total += glimpse.share * np.where(behind, 0.0, landed.flux) / view.area_mm2
    return total


def direct_beyond(
    suite: Suite, *, chambers: tuple[Chamber, ...], box: int, view: View, lamp_box: int, lamp: Lamp
) -> Floats:
    """Luminance of each spot of one box from a lamp of 1 lm in another, (S,). [1/mm2 sr].

    Parameters
    ----------
    suite, chambers
        The boxes.
    box, view
        The opening and its box.
    lamp_box, lamp
        The lamp and its box.
    """
    total = np.zeros(len(view.area_mm2))
    for route in _routes(suite, start=lamp_box, end=box):
        for glimpse in view.glimpses:
            total += _by_route(
                suite, chambers=chambers, route=route, glimpse=glimpse, view=view, lamp=lamp
            )
    return total
