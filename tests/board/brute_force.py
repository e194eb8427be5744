"""A board judged by painting it: the outside witness of the proof.

Copper is painted on a fine raster and its islands are found by scipy's labelling; bodies, leads and
wires are painted from above. No routine of the package is used but its records. It judges boards of
quarter-watt and chip resistors whose copper runs level or upright, as the corruptions leave it.
"""

from collections import Counter

import numpy as np
from scipy import ndimage

from lamphouse.board.legs import Posture
from lamphouse.circuit.wired import Pin, WiredKind
from lamphouse.design.supply import BoardKind

STEP_MM = 0.127
"""A twentieth of a pitch."""
PER_PITCH = 20
RISE_MM = 0.3
TALL = 36
"""Cells of height, each ``RISE_MM``."""
LYING_LEAST = 4
"""Holes from lead to lead: 10.16 mm for a quarter watt. Common practice, no source."""


def canvas(layout):
    return np.zeros((layout.rows * PER_PITCH, layout.columns * PER_PITCH), dtype=bool)


def centre(hole):
    return (hole.row + 0.5) * PER_PITCH, (hole.column + 0.5) * PER_PITCH


def painted(layout, start, end, radius_mm):
    """Paint a bar with round ends."""
    field = canvas(layout)
    rows, columns = np.mgrid[0 : field.shape[0], 0 : field.shape[1]] + 0.5
    (r0, c0), (r1, c1) = centre(start), centre(end)
    length2 = (r1 - r0) ** 2 + (c1 - c0) ** 2
    share = ((rows - r0) * (r1 - r0) + (columns - c0) * (c1 - c0)) / length2 if length2 else 0.0
    share = np.clip(share, 0.0, 1.0)
    away = np.hypot(rows - r0 - share * (r1 - r0), columns - c0 - share * (c1 - c0))
    return away * STEP_MM <= radius_mm


def copper(layout):
    field = canvas(layout)
    if layout.kind is BoardKind.STRIPBOARD:
        offset = (np.arange(field.shape[0]) + 0.5) % PER_PITCH - PER_PITCH / 2
        field |= (abs(offset) * STEP_MM <= 1.0)[:, None]
        for cut in layout.cuts:
            row, column = centre(cut.hole)
            half = PER_PITCH / 2
            field[int(row - half) : int(row + half), int(column - half) : int(column + half)] = (
                False
            )
    else:
        for row in range(layout.rows):
            for column in range(layout.columns):
                hole = type(layout.wires[0].hole)(row=row, column=column)
                field |= painted(layout, hole, hole, 1.0)
    for bridge in layout.bridges:
        field |= painted(layout, bridge.first, bridge.second, 0.5)
    for one in (*layout.tails, *layout.bare_runs):
        field |= painted(layout, one.start, one.end, 0.3)
    return field


def is_sound(layout, wired):
    """Tell whether a board is right, by brute force."""
    return (
        is_inside(layout)
        and one_thing_per_hole(layout)
        and leads_reach(layout)
        and tails_are_leads(layout)
        and nothing_meets(layout)
        and nets_are_exact(layout, wired)
        and not (layout.cuts and layout.kind is BoardKind.PERFORATED)
    )


def every_hole(layout):
    yield from (hole for part in layout.parts for hole in part.holes)
    yield from (wire.hole for wire in layout.wires)
    for bridge in layout.bridges:
        yield from (bridge.first, bridge.second)
    for one in (*layout.tails, *layout.bare_runs, *layout.links):
        yield from (one.start, one.end)
    yield from (cut.hole for cut in layout.cuts)


def is_inside(layout):
    return all(
        0 <= hole.row < layout.rows and 0 <= hole.column < layout.columns
        for hole in every_hole(layout)
    )


def one_thing_per_hole(layout):
    held = [hole for part in layout.parts for hole in part.holes]
    held += [wire.hole for wire in layout.wires] + [cut.hole for cut in layout.cuts]
    held += [hole for link in layout.links for hole in (link.start, link.end)]
    return max(Counter(held).values()) == 1


def span(one, other):
    """Give the holes from one to another along a line; 0 when they are askew or the same."""
    across, down = abs(one.column - other.column), abs(one.row - other.row)
    return 0 if across and down else across + down


def leads_reach(layout):
    """A lying quarter watt spans four holes or more, a standing one one or two, a chip one."""
    fits = {
        Posture.LYING: lambda holes: holes >= LYING_LEAST,
        Posture.STANDING: lambda holes: holes >= 1,
        Posture.CHIP: lambda holes: holes == 1,
    }
    return all(fits[part.posture](span(*part.holes)) for part in layout.parts)


def tails_are_leads(layout):
    leads = {(p.name, n): hole for p in layout.parts for n, hole in enumerate(p.holes, start=1)}
    starts = [(tail.part, tail.pin) for tail in layout.tails]
    return (
        all(leads.get(key) == tail.start for key, tail in zip(starts, layout.tails, strict=True))
        and len(set(starts)) == len(starts)
        and all(span(bridge.first, bridge.second) == 1 for bridge in layout.bridges)
    )


def nothing_meets(layout):
    """Fill the room above and below the board, everything 0.05 mm fatter all round."""
    shape = canvas(layout).shape
    room = {side: np.zeros((TALL, *shape), dtype=bool) for side in ("above", "below")}
    for things in [
        *map(part_solids, [layout] * len(layout.parts), layout.parts),
        *(
            [("above", painted(layout, w.hole, w.hole, layout.wire_mm / 2 + 0.05), 0, 3)]
            for w in layout.wires
        ),
    ]:
        own = {side: np.zeros((TALL, *shape), dtype=bool) for side in room}
        for side, face, low, high in things:
            own[side][int(low / RISE_MM) : int(np.ceil(high / RISE_MM))] |= face
        for side, solid in own.items():
            if (room[side] & solid).any():
                return False
            room[side] |= solid
    return True


def box(layout, middle, side_mm):
    """Paint an upright rectangle: its middle in cells, its sides down and right in mm."""
    shape = canvas(layout).shape
    rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]] + 0.5
    down, right = (side / 2 + 0.05 for side in side_mm)
    return (abs(rows - middle[0]) * STEP_MM <= down) & (abs(columns - middle[1]) * STEP_MM <= right)


def part_solids(layout, part):
    """Give what a part is made of: side of the board, face, from and to which height in mm."""
    first, second = part.holes
    (r0, c0), (r1, c1) = centre(first), centre(second)
    long, wide, high = part.body.size_mm
    middle = ((r0 + r1) / 2, (c0 + c1) / 2)
    sides = (wide, long) if r0 == r1 else (long, wide)
    if part.posture is Posture.CHIP:
        return [("below", box(layout, middle, sides), 0, high)]
    lead = part.body.lead_mm
    over = painted(layout, first, second, lead / 2 + 0.05)
    posts = painted(layout, first, first, lead / 2 + 0.05)
    posts |= painted(layout, second, second, lead / 2 + 0.05)
    if part.posture is Posture.LYING:
        return [
            ("above", box(layout, middle, sides), 0, high),
            ("above", posts, 0, high / 2),
            ("above", over, high / 2 - lead, high / 2),
        ]
    under = centre(part.holes[part.upright_over])
    top = long + 3 * lead
    return [
        ("above", box(layout, under, (wide, wide)), 0, long),
        ("above", posts, 0, top),
        ("above", over, top - lead, top),
    ]


def nets_are_exact(layout, wired):
    labels, _ = ndimage.label(copper(layout), structure=np.ones((3, 3)))
    at = {wire.pin: wire.hole for wire in layout.wires}
    for part in layout.parts:
        at |= {Pin(part=part.name, pin=n): hole for n, hole in enumerate(part.holes, start=1)}

    def island(hole):
        row, column = centre(hole)
        return labels[int(row), int(column)]

    joined = {label: label for label in range(labels.max() + 1)}
    for link in layout.links:
        one, other = joined[island(link.start)], joined[island(link.end)]
        joined = {key: one if value == other else value for key, value in joined.items()}
    held = {p.name for p in wired.parts if p.on_board or p.kind is WiredKind.PLUG}
    nets = [net.pins for net in wired.nets if any(pin.part in held for pin in net.pins)]
    if {pin for pins in nets for pin in pins} != set(at):
        return False
    islands = [{joined[island(at[pin])] for pin in pins} for pins in nets]
    return all(len(found) == 1 and 0 not in found for found in islands) and len(
        set().union(*islands)
    ) == len(islands)
