"""Where on the back of a box an LED with its wires can be glued: the bounds of a placing."""

from collections.abc import Sequence
from itertools import combinations
from math import ceil, dist, floor, hypot

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.drill import nearest_drill
from lamphouse.cutting.led_rules import ELBOW_MM
from lamphouse.cutting.seats import baffles_below, wire_hole_mm, wire_spots
from lamphouse.design.led_body import body_of
from lamphouse.design.lightbox import Led, Lid, LightBox
from lamphouse.light.clearance import LEAST_MM
from lamphouse.light.gluing_grid import SNAP_MM, Floor
from lamphouse.light.seated_leds import source_of
from lamphouse.light.uprights import inside
from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import bounds_mm

Floats = NDArray[np.float64]


class Round(Record):
    """A part of an LED's seat, as the circle around it."""

    x_mm: float
    y_mm: float
    """From the LED's middle."""
    radius_mm: float
    """With the room it needs."""


def seat_rounds(led: Led, *, hole_mm: float, has_holes: bool) -> tuple[Round, ...]:
    """List what an LED takes up on the back: its body, its wire holes, and its light.

    The body of one that leans counts with its wedge or legs, seen square to the back.

    Parameters
    ----------
    led
        Type, turn and tilt.
    hole_mm
        Drilled diameter of a wire hole.
    has_holes
        Whether its wires leave through the back.
    """
    covered = body_of(led).covers()
    left, bottom, right, top = bounds_mm(covered)
    x, y = (left + right) / 2.0, (bottom + top) / 2.0
    half = max(hypot(corner_x - x, corner_y - y) for corner_x, corner_y, _ in covered)
    light_x, light_y, _ = source_of(led)
    rounds = [
        Round(x_mm=x, y_mm=y, radius_mm=half + ELBOW_MM),
        Round(x_mm=light_x, y_mm=light_y, radius_mm=LEAST_MM),
    ]
    if has_holes:
        spots = wire_spots(led, x_mm=0.0, y_mm=0.0, hole_mm=hole_mm)
        rounds += [Round(x_mm=x, y_mm=y, radius_mm=hole_mm / 2.0) for x, y in spots]
    return tuple(rounds)


def _gaps2_mm2(points: Floats, *, starts: Floats, ends: Floats) -> Floats:
    """Square of the distance of points (2, P) from each of several lines (2, L), (L, P)."""
    (along_x, along_y), (from_x, from_y) = ends - starts, starts[..., None]
    x, y = points[0] - from_x, points[1] - from_y
    share = x * along_x[:, None]
    share += y * along_y[:, None]
    share /= (along_x * along_x + along_y * along_y)[:, None]
    np.clip(share, 0.0, 1.0, out=share)
    x -= share * along_x[:, None]
    y -= share * along_y[:, None]
    return np.asarray(x * x + y * y)


def floor_of(box: LightBox, *, led: Led, drills: Sequence[Drill], lead_mm: float) -> Floor:
    """Give the back of a box as the face LEDs of one type are glued to.

    Parameters
    ----------
    box
        Its LEDs play no part; its outline is sound.
    led
        What is glued: type, turn and tilt.
    drills
        The drills there are, for the holes of its wires.
    lead_mm
        Outside diameter of the wires soldered to a chip.
    """
    wanted = wire_hole_mm(led.led_type, lead_mm=lead_mm)
    hole = nearest_drill(wanted, drills=drills).diameter_mm if drills else wanted
    # Under a lid the wires run along the back; without one each goes through a hole of its own.
    rounds = seat_rounds(led, hole_mm=max(hole, wanted), has_holes=box.lid is not Lid.OVER)
    ring = flatten(box.inside.corners)
    pillars = tuple(flatten(pillar.outline.corners) for pillar in box.pillars)
    edge = np.concatenate([np.array(one) for one in (ring, *pillars)])
    after = np.concatenate([np.roll(np.array(one), -1, axis=0) for one in (ring, *pillars)])
    baffles = baffles_below(box, level_mm=body_of(led).top_mm + LEAST_MM)
    starts = np.concatenate([edge, np.array([b.start_mm for b in baffles]).reshape(-1, 2)])
    ends = np.concatenate([after, np.array([b.end_mm for b in baffles]).reshape(-1, 2)])
    thick = np.array([0.0] * len(edge) + [b.sheet.thickness_mm / 2.0 for b in baffles])
    left, bottom, right, top = bounds_mm(box.inside.corners)
    across = np.arange(ceil(left / SNAP_MM), floor(right / SNAP_MM) + 1) * SNAP_MM
    aside, above, radius = np.array([(one.x_mm, one.y_mm, one.radius_mm) for one in rounds]).T
    parts_x = (across[:, None] + aside).ravel()
    least2 = np.tile(radius, len(across)) + thick[:, None]
    least2 *= least2

    def free_row(y: float) -> frozenset[float]:
        points = np.stack([parts_x, np.tile(y + above, len(across))])
        clear = (_gaps2_mm2(points, starts=starts.T, ends=ends.T) >= least2).all(axis=0)
        free = clear.reshape(len(across), -1).all(axis=1)
        free &= inside(np.column_stack([across, np.full(len(across), y)]), rings=(ring, *pillars))
        return frozenset(across[free].tolist())

    return Floor(
        bounds=(left, bottom, right, top), free_row=free_row, pitch_mm=_widest_mm(rounds) + ELBOW_MM
    )


def _widest_mm(rounds: Sequence[Round]) -> float:
    """Give the greatest width of some circles together: as far apart, two like them never meet."""
    own = (2.0 * one.radius_mm for one in rounds)
    pairs = (
        dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm)) + one.radius_mm + other.radius_mm
        for one, other in combinations(rounds, 2)
    )
    return max(*own, *pairs)
