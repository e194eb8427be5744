"""The rules of LEDs in a light box: on their face, apart, low enough, with room for wires."""

from collections.abc import Iterable, Iterator, Sequence
from math import dist, inf

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.drill import ROUNDING_MM, nearest_drill
from lamphouse.cutting.mends import bring_inside, in_mm, move_apart
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import (
    LEDGE_MM,
    baffle_foot,
    led_span,
    sound_baffles,
    standing_baffles,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.cutting.wall_leds import baffles_at_walls
from lamphouse.design.led_body import body_of, package_corners
from lamphouse.design.lightbox import Led, Lid, LightBox, Seat
from lamphouse.findings import Severity, Told, Where, rule, sets
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, Spot, circle, rectangle
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.soundness import SAME_MM
from lamphouse.shapes.spacing import Enclosure, close_pairs

ELBOW_MM = 0.5
"""Room offered round a package in a mend, so that it can be glued [PRACTICE]."""


class Foot(Record):
    """What takes up room at one face of a box: an LED, a baffle or a pillar."""

    name: str
    where: Where
    corners: Corners
    fixed: bool
    """Whether it is a baffle or a pillar."""
    span_mm: tuple[float, float] = (-inf, inf)
    """Its lower and upper edge above the back; everywhere for what lies in the face."""


def _sides(box: LightBox) -> tuple[Spot, ...]:
    """Give the corners of a straight-sided inside; none for a round one."""
    corners = box.inside.corners
    if any(bulge for _, _, bulge in corners):
        return ()
    return tuple((x, y) for x, y, _ in anticlockwise(corners))


def _led_foot(led: Led, *, x_mm: float, y_mm: float) -> Foot:
    """Give the foot of an LED at its place on a face."""
    return Foot(
        name=f"LED '{led.name}'",
        where=led.where,
        corners=package_corners(led, x_mm=x_mm, y_mm=y_mm),
        fixed=False,
    )


def _flat_feet(box: LightBox, *, seat: Seat) -> list[Foot]:
    """Give the feet of the LEDs on the back or under the panel."""
    feet = []
    for led in box.leds:
        if led.seat is seat:
            foot = _led_foot(led, x_mm=led.x_mm, y_mm=led.y_mm)
            feet.append(replace(foot, span_mm=led_span(led, depth_mm=box.depth_mm)))
    return feet


def _from_behind(led: Led) -> Led:
    """Turn an LED on a wall as it is seen through its wall, where the side runs to the right."""
    return replace(led, turn_deg=-led.turn_deg, towards_deg=180.0 - led.towards_deg)


def _pillar_feet(box: LightBox) -> list[Foot]:
    """Give the feet of the pillars, on the back and under the panel alike."""
    return [
        Foot(
            name=f"pillar '{pillar.name}'",
            where=pillar.where,
            corners=pillar.outline.corners,
            fixed=True,
        )
        for pillar in sound_pillars(box)
    ]


def _wall_feet(box: LightBox) -> dict[int, list[Foot]]:
    """Give the feet of the LEDs on walls by side, x along the side and y above the back."""
    sides = _sides(box)
    feet: dict[int, list[Foot]] = {}
    for led in box.leds:
        if led.seat is Seat.WALL and sides:
            side = nearest_side((led.x_mm, led.y_mm), ring=sides)
            foot = _led_foot(_from_behind(led), x_mm=side.along_mm, y_mm=led.height_mm)
            feet.setdefault(side.index, []).append(foot)
    return feet


def _faces(box: LightBox) -> Iterator[tuple[str, list[Foot], Corners]]:
    """Give each face that carries LEDs: its name, its feet, and the clear outline of the face."""
    for seat in (Seat.BACK, Seat.PANEL):
        feet = _flat_feet(box, seat=seat)
        if feet:
            yield f"the inside of box '{box.name}'", feet, box.inside.corners
    sides = _sides(box)
    high, top = box.depth_mm, ""
    if box.inner_diffuser:
        high, top = max(box.inner_diffuser.height_mm - LEDGE_MM, SAME_MM), " below its ledge"
    for side, feet in _wall_feet(box).items():
        length = dist(sides[side], sides[(side + 1) % len(sides)])
        face = rectangle(length, height_mm=high, x_mm=length / 2.0, y_mm=high / 2.0)
        yield f"wall {side + 1} of box '{box.name}'{top}", feet, face


@rule("CUT020", Severity.STOP, "An LED lies outside its light box")
def led_outside(box: LightBox) -> Iterable[Told]:
    """Look for LEDs that reach beyond the face they are glued to.

    What it checks
        The package of each LED of a light box lies wholly on the face it sits on: inside
        the box's clear space, or on its wall.

    Why it matters
        It would sit in or behind a wall, and its light would miss the opening.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          A: {type: white 0603, at: [39.8 mm, 20 mm], current: 1 mA}

    Mend
        Move the LED as the message says, or widen the box.

    Source
        Geometry.
    """
    for face, feet, clear in _faces(box):
        enclosure = Enclosure(clear)
        for foot in feet:
            margin = enclosure.margin_mm(foot.corners)
            if margin < -ROUNDING_MM:
                yield Told(
                    where=foot.where,
                    message=f"{foot.name} reaches {in_mm(-margin)} beyond {face}",
                    remedy=bring_inside(foot.corners, outer=enclosure, margin_by_mm=ELBOW_MM),
                )


@rule("CUT021", Severity.STOP, "An LED is in the way of another LED or a baffle")
def led_overlap(box: LightBox) -> Iterable[Told]:
    """Look for LEDs that share a place with another LED or a baffle.

    What it checks
        No two packages on one face of a light box touch, and none touches a baffle, be it one
        that stands or one that hangs; nor does one on a wall, where a baffle ends at that wall or
        runs before it.

    Why it matters
        Only one of them can be glued there.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          A: {type: white 0603, at: [30 mm, 20 mm], current: 1 mA}
                          B: {type: white 0603, at: [31 mm, 20 mm], current: 1 mA}

    Mend
        Move the LED as the message says.

    Source
        Geometry.
    """
    baffles = [
        Foot(
            name=f"baffle '{baffle.name}'",
            where=baffle.where,
            corners=baffle_foot(baffle),
            fixed=True,
            span_mm=baffle.span_mm(depth_mm=box.depth_mm),
        )
        for baffle in sound_baffles(box)
    ]
    standing = _pillar_feet(box) + baffles
    groups = [standing + _flat_feet(box, seat=seat) for seat in (Seat.BACK, Seat.PANEL)]
    groups.extend(_wall_feet(box).values())
    for feet in groups:
        told: set[int] = set()
        for pair in close_pairs([foot.corners for foot in feet], nearer_than_mm=ROUNDING_MM):
            foot, other = feet[pair.later], feet[pair.earlier]
            apart = max(foot.span_mm[0], other.span_mm[0]) >= min(foot.span_mm[1], other.span_mm[1])
            if foot.fixed or apart or pair.later in told:
                continue
            told.add(pair.later)
            yield Told(
                where=foot.where,
                message=f"{foot.name} and {other.name} of box '{box.name}' are in one place",
                remedy=move_apart(foot.corners, other=other.corners, gap_by_mm=ELBOW_MM),
            )
    yield from baffles_at_walls(box)


@rule("CUT022", Severity.STOP, "An LED is taller than the space it stands in")
def led_too_tall(box: LightBox) -> Iterable[Told]:
    """Look for LEDs that would touch what lies over them.

    What it checks
        An LED on the back is lower than the inner diffuser, or than the panel where there
        is none; an LED under the panel is lower than the box is deep. Of a tilted LED the
        raised corner counts.

    Why it matters
        The box would not close, or the diffuser would lie on the LED and show it as a hot
        spot.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 4 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          A: {type: white 3 mm, at: [30 mm, 20 mm], current: 1 mA}

    Mend
        Deepen the box or raise the diffuser to the height of the message, or use a flatter
        LED.

    Source
        Geometry.
    """
    for led in box.leds:
        height = body_of(led).top_mm
        free, over = box.depth_mm, "the panel"
        if led.seat is Seat.WALL:
            continue
        if led.seat is Seat.PANEL:
            over = "the back"
        elif box.inner_diffuser:
            free, over = box.inner_diffuser.height_mm, "the inner diffuser"
        if height > free + ROUNDING_MM:
            mend = "raise the diffuser" if over == "the inner diffuser" else "deepen the box"
            leaning = f", tilted by {led.tilt_deg:g} deg," if led.tilt_deg else ""
            yield Told(
                where=led.where,
                message=f"'{led.led_type.name}'{leaning} is {in_mm(height)} high and has "
                f"{in_mm(free)} up to {over}",
                remedy=f"{mend} to more than {in_mm(height)}, or use a flatter LED",
            )


@rule("CUT026", Severity.WARN, "There is no room for the wires of an LED")
def wires_cramped(box: LightBox, *, drills: Sequence[Drill], lead_mm: float) -> Iterable[Told]:
    """Look for wire holes that fall on a wall or on a neighbour.

    What it checks
        The two wire holes of an LED on the back lie inside the box, clear of other LEDs,
        their holes and baffles.

    Why it matters
        The drill would hit a wall or the pads of the neighbour.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          A: {type: white 0603, at: [30 mm, 20 mm], current: 1 mA}
                          B: {type: white 0603, at: [32.4 mm, 20 mm], current: 1 mA}

    Mend
        Turn the LED by 90 degrees, or move it.

    Source
        Geometry.
    """
    if box.lid is Lid.OVER or not drills:
        return
    seated = [led for led in box.leds if led.seat is Seat.BACK]
    bodies = [*_pillar_feet(box), *_flat_feet(box, seat=Seat.BACK)]
    bodies.extend(
        Foot(name="", where=baffle.where, corners=baffle_foot(baffle), fixed=True)
        for baffle in standing_baffles(box)
    )
    holes: list[Foot] = []
    for led in seated:
        wanted = wire_hole_mm(led.led_type, lead_mm=lead_mm)
        drilled = nearest_drill(wanted, drills=drills).diameter_mm
        holes.extend(
            Foot(
                name=f"LED '{led.name}'",
                where=led.where,
                corners=circle(drilled, x_mm=x, y_mm=y),
                fixed=False,
            )
            for x, y in wire_spots(led, x_mm=led.x_mm, y_mm=led.y_mm, hole_mm=wanted)
        )
    enclosure = Enclosure(box.inside.corners)
    cramped = {hole.where.item for hole in holes if enclosure.margin_mm(hole.corners) < 0.0}
    everything = bodies + holes
    for pair in close_pairs([foot.corners for foot in everything], nearer_than_mm=0.0):
        foot, other = everything[pair.later], everything[pair.earlier]
        if pair.later >= len(bodies) and foot.where != other.where:
            cramped.add(foot.where.item)
    outside = {finding.where.item for finding in (*led_outside(box), *led_overlap(box))}
    things = ", a baffle, a pillar" if box.pillars else ", a baffle"
    for led in seated:
        if led.where.item in cramped - outside:
            yield Told(
                where=led.where,
                message=f"the wire holes of LED '{led.name}' fall on a wall{things} or a neighbour",
                remedy=f"turn it: write turn: {(led.turn_deg + 90.0) % 180.0:g} deg, or move it",
                mend=sets("turn", f"{(led.turn_deg + 90.0) % 180.0:g} deg"),
            )
