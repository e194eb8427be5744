"""Where on the back of a box an LED with its wires can be glued: the bounds of a placing."""

from collections.abc import Sequence
from dataclasses import replace

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.drill import nearest_drill
from lamphouse.cutting.led_rules import ELBOW_MM
from lamphouse.cutting.seats import (
    baffle_foot,
    package_corners,
    standing_baffles,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.design.lightbox import Led, Lid, LightBox
from lamphouse.light.clearance import LEAST_MM
from lamphouse.light.gluing_grid import Floor
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle
from lamphouse.shapes.spacing import Enclosure, gap_mm


def floor_of(box: LightBox, *, led: Led, drills: Sequence[Drill], lead_mm: float) -> Floor:
    """Give the back of a box as the face LEDs of one type are glued to.

    Parameters
    ----------
    box
        Its LEDs play no part; its outline is sound.
    led
        What is glued: type and turn.
    drills
        The drills there are, for the holes of its wires.
    lead_mm
        Outside diameter of the wires soldered to a chip.
    """
    inside = Enclosure(box.inside.corners)
    feet = [baffle_foot(baffle) for baffle in standing_baffles(box)]
    # A back without wire holes (a lid goes over it) leads the wires along the floor.
    wanted = wire_hole_mm(led.led_type, lead_mm=lead_mm)
    hole_mm = nearest_drill(wanted, drills=drills).diameter_mm if drills else wanted

    def bodies(x: float, y: float) -> tuple[Corners, list[Corners]]:
        here = replace(led, x_mm=x, y_mm=y)
        spots = wire_spots(here, x_mm=x, y_mm=y, hole_mm=wanted)
        holes = [] if box.lid is Lid.OVER else [circle(hole_mm, x_mm=a, y_mm=b) for a, b in spots]
        return package_corners(here, x_mm=x, y_mm=y), holes

    def can_sit(site: Spot) -> bool:
        package, holes = bodies(*site)
        clear = [*holes, circle(2.0 * LEAST_MM, x_mm=site[0], y_mm=site[1])]
        if inside.margin_mm(package) < ELBOW_MM or any(inside.margin_mm(b) < 0.0 for b in clear):
            return False
        return all(
            gap_mm(package, other=foot) >= ELBOW_MM
            and all(gap_mm(body, other=foot) >= 0.0 for body in clear)
            for foot in feet
        )

    package, holes = bodies(0.0, 0.0)
    reach = [bounds_mm(body) for body in (package, *holes)]
    across = max(right for _, _, right, _ in reach) - min(left for left, _, _, _ in reach)
    up = max(top for _, _, _, top in reach) - min(bottom for _, bottom, _, _ in reach)
    return Floor(
        bounds=bounds_mm(box.inside.corners),
        can_sit=can_sit,
        pitch_mm=max(across, up) + ELBOW_MM,
    )
