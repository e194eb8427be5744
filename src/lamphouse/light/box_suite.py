"""Boxes behind one panel that share openings, put together as the solver's suite.

The hole through a wall is a small box of its own, painted like that wall of the box that names the
passage; a film lies over its end there. Where walls touch, or nearly so, there is no such box: the
neighbour is drawn up to the wall it shares.
"""

from collections.abc import Callable, Mapping, Sequence
from math import dist

from lamphouse.design.box_faces import finish_of, wall_beside
from lamphouse.design.lightbox import LightBox
from lamphouse.light import scene
from lamphouse.light.shared_walls import Fit, look_at_passages, middle
from lamphouse.record import replace

Spot = scene.Spot
SAME_MM = 1e-7

THIN_MM = 0.02
"""The hole through a thinner wall is taken to have no depth."""


def _moved(box: scene.Box, *, by: Spot) -> scene.Box:
    """Move a box without ports in plan."""
    dx, dy = by

    def spot(place: Spot) -> Spot:
        return (place[0] + dx, place[1] + dy)

    def shape(one: scene.Shape) -> scene.Shape:
        if isinstance(one, scene.Disc):
            return replace(one, x_mm=one.x_mm + dx, y_mm=one.y_mm + dy)
        if isinstance(one, scene.Rectangle):
            return replace(
                one,
                left_mm=one.left_mm + dx,
                right_mm=one.right_mm + dx,
                bottom_mm=one.bottom_mm + dy,
                top_mm=one.top_mm + dy,
            )
        return replace(one, ring=tuple(map(spot, one.ring)))

    return replace(
        box,
        outline=tuple(map(spot, box.outline)),
        holes=tuple(tuple(map(spot, ring)) for ring in box.holes),
        lamps=tuple(replace(lamp, x_mm=lamp.x_mm + dx, y_mm=lamp.y_mm + dy) for lamp in box.lamps),
        apertures=tuple(
            replace(one, shape=shape(one.shape), shown=tuple(map(shape, one.shown)))
            for one in box.apertures
        ),
        baffles=tuple(
            replace(one, start_mm=spot(one.start_mm), end_mm=spot(one.end_mm))
            for one in box.baffles
        ),
    )


def _fits(boxes: Mapping[str, LightBox]) -> list[tuple[str, Fit]]:
    """List the sound passages of all boxes, each with the box that names it."""
    listed = []
    for name, box in boxes.items():
        beside = tuple(one for one in boxes.values() if one.name != name)
        fits, _ = look_at_passages(box, beside=beside)
        listed += [(name, fit) for fit in fits]
    return listed


def connected(box: LightBox, *, beside: Sequence[LightBox]) -> tuple[LightBox, ...]:
    """List the boxes whose light can reach a box through passages, itself too, by name."""
    boxes = {one.name: one for one in (box, *beside)}
    links = [(name, fit.passage.into) for name, fit in _fits(boxes)]
    reached, size = {box.name}, 0
    while len(reached) > size:
        size = len(reached)
        for one, other in links:
            if reached & {one, other}:
                reached |= {one, other}
    return tuple(boxes[name] for name in sorted(reached))


def _shifts(names: Sequence[str], *, fits: Sequence[tuple[str, Fit]]) -> dict[str, Spot]:
    """Find how far each box is drawn up to neighbours behind thin walls."""
    shifts: dict[str, Spot] = {}
    thin = [(name, fit) for name, fit in fits if fit.gap_mm < THIN_MM]
    for start in names:
        shifts.setdefault(start, (0.0, 0.0))
        for _ in thin:
            for name, fit in thin:
                dx, dy = fit.shift_mm
                into = fit.passage.into
                if name in shifts and into not in shifts:
                    shifts[into] = (shifts[name][0] + dx, shifts[name][1] + dy)
                elif into in shifts and name not in shifts:
                    shifts[name] = (shifts[into][0] - dx, shifts[into][1] - dy)
    return shifts


def _hole(fit: Fit, *, paint: float) -> scene.Box:
    """Draw the hole through a wall as a box as deep as the hole is high."""
    (start, end), (far_start, far_end) = fit.near_mm, fit.far_mm
    return scene.Box(
        outline=(start, end, far_end, far_start),
        depth_mm=fit.passage.high_mm - fit.passage.low_mm,
        back_reflectance=paint,
        panel_reflectance=paint,
        wall_reflectances=(paint,),
        lamps=(),
        apertures=(),
    )


def suite_of(
    boxes: Sequence[LightBox], *, drawn: Callable[[LightBox], scene.Box]
) -> scene.Suite | None:
    """Put connected boxes together.

    Parameters
    ----------
    boxes
        As ``connected`` lists them.
    drawn
        Draws one box as the solver's, alone.

    Returns
    -------
    Suite or None
        Its first boxes are those given, in their order; holes through walls follow. None for a
        single box, and where boxes that stand in a ring cannot all be drawn up to one another.
    """
    if len(boxes) < 2:
        return None
    named = {box.name: box for box in boxes}
    names = list(named)
    fits = _fits(named)
    shifts = _shifts(names, fits=fits)
    rooms = [_moved(drawn(box), by=shifts[box.name]) for box in boxes]
    backs = [-box.depth_mm for box in boxes]
    passages = []
    for name, fit in fits:
        first, second = names.index(name), names.index(fit.passage.into)
        shift = shifts[name]
        if fit.gap_mm < THIN_MM:
            wanted = (shift[0] + fit.shift_mm[0], shift[1] + fit.shift_mm[1])
            if dist(wanted, shifts[fit.passage.into]) > SAME_MM:
                return None
            passages.append(_passage(fit, boxes=(first, second), ends=fit.near_mm, shift=shift))
            continue
        if dist(shift, shifts[fit.passage.into]) > SAME_MM:
            return None
        paint = finish_of(named[name], wall_beside(named[name], middle(*fit.near_mm))).reflectance
        rooms.append(_moved(_hole(fit, paint=paint), by=shift))
        backs.append(backs[first] + fit.passage.low_mm)
        hole = len(rooms) - 1
        passages.append(_passage(fit, boxes=(first, hole), ends=fit.near_mm, shift=shift))
        bare = replace(fit.passage, film=None, low_mm=0.0, high_mm=rooms[hole].depth_mm)
        passages.append(
            _passage(replace(fit, passage=bare), boxes=(hole, second), ends=fit.far_mm, shift=shift)
        )
    return scene.Suite(boxes=tuple(rooms), passages=tuple(passages), backs_mm=tuple(backs))


def _passage(
    fit: Fit, *, boxes: tuple[int, int], ends: tuple[Spot, Spot], shift: Spot
) -> scene.Passage:
    film = fit.passage.film
    start, end = ((x + shift[0], y + shift[1]) for x, y in ends)
    return scene.Passage(
        name=fit.passage.name,
        boxes=boxes,
        start_mm=start,
        end_mm=end,
        low_mm=fit.passage.low_mm,
        high_mm=fit.passage.high_mm,
        fill=None
        if film is None
        else scene.Diffuser(transmittance=film.transmittance, reflectance=film.reflectance),
    )
