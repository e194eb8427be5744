"""What comes through the passages of a suite: exchange, lamps and what the eye sees beyond.

A hole one can look through does not spread light: a face on one side lights, through the hole, just
those faces on the other side that can see it. Straight lines through the hole, evenly spread over
its area and over directions by the cosine, give the exchange of faces on both sides; each line
counts so much that what every face sends into the hole and gets out of it is exactly what the
closed integrals over edges say. A passage with a diffuser spreads what falls on it evenly, place
for place.
"""

from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.chambers import (
    Chamber,
    follow,
    into,
    on_passage,
)
from lamphouse.light.cover import contains
from lamphouse.light.even_steps import even_points
from lamphouse.light.face_rays import LOST
from lamphouse.light.scene import Lamp, Suite
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.views import Glimpse, View
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Chambers = tuple[Chamber, ...]

LINES = 1 << 15
"""Straight lines through one open passage."""

LAMP_RAYS = 64
"""Rays of a lamp across and up an open passage."""

EYE_RAYS = 1024
"""Rays from each spot to an open passage."""

BALANCINGS = 40


class Links(Record):
    """How the faces of a suite's boxes light one another through its passages."""

    seen_mm2: dict[tuple[int, int], Floats]
    """By boxes (to, from): exchange through open passages, (N_to, N_from)."""
    spread: dict[tuple[int, int], Floats]
    """By boxes (to, from): share of the flux on each face that leaves from faces of the other box,
    through diffusers, (N_to, N_from)."""


def _marginal(chamber: Chamber, *, passage: int) -> Floats:
    """Exchange of every face of a box with a passage, (N,). [mm2]."""
    interior, total = chamber.interior, np.zeros(chamber.interior.face_count)
    faces = chamber.faces_of(passage)
    for number, table in enumerate(interior.exchange_mm2):
        start, end = interior.first[number], interior.first[number + 1]
        own = faces[(faces >= start) & (faces < end)] - start
        total[start:end] += table[:, own].sum(axis=1)
    return total


def _line_weights(rows: Ints, columns: Ints, *, left: Floats, right: Floats) -> Floats:
    """Weigh lines between faces so that every face's lines add up to what it exchanges."""
    one, other = np.ones(len(left)), np.ones(len(right))
    for _ in range(BALANCINGS):
        sums = np.bincount(rows, other[columns], minlength=len(left))
        one = np.where(sums > 0.0, left / np.where(sums > 0.0, sums, 1.0), 0.0)
        sums = np.bincount(columns, one[rows], minlength=len(right))
        other = np.where(sums > 0.0, right / np.where(sums > 0.0, sums, 1.0), 0.0)
    return np.asarray(one[rows] * other[columns])


def _looked_through(
    suite: Suite, *, chambers: Chambers, number: int, lines: int
) -> dict[tuple[int, int], Floats]:
    """Exchange of faces by the lines through one open passage."""
    passage = suite.passages[number]
    first, second = passage.boxes
    across, up, tilt, turn = even_points(lines, dimensions=4).T
    place = on_passage(
        passage, across=across, up=up, low_mm=passage.low_mm, high_mm=passage.high_mm
    )
    nx, ny = into(chambers[first], passage=number)
    sine, cosine = np.sqrt(tilt), np.sqrt(1.0 - tilt)
    aside, rise = sine * np.cos(2.0 * pi * turn), sine * np.sin(2.0 * pi * turn)
    way = np.column_stack([cosine * nx - aside * ny, cosine * ny + aside * nx, rise])
    beyond = place.copy()
    beyond[:, 2] += suite.rise_mm(start=first, end=second)
    near = follow(suite, chambers=chambers, box=first, start_mm=place, way=way)
    far = follow(suite, chambers=chambers, box=second, start_mm=beyond, way=-way)
    kept = (near.face != LOST) & (far.face != LOST)
    weight = np.zeros(lines)
    weight[kept] = _line_weights(
        near.first_face[kept],
        far.first_face[kept],
        left=_marginal(chambers[first], passage=number),
        right=_marginal(chambers[second], passage=number),
    )
    # A line through several open passages is counted at the first of them alone.
    kept &= np.minimum(near.lowest, far.lowest) > number
    found: dict[tuple[int, int], Floats] = {}
    for here in np.unique(near.box[kept]).tolist():
        for there in np.unique(far.box[kept]).tolist():
            own = kept & (near.box == here) & (far.box == there)
            size = (chambers[here].interior.face_count, chambers[there].interior.face_count)
            table = np.bincount(
                near.face[own] * size[1] + far.face[own],
                weight[own],
                minlength=size[0] * size[1],
            ).reshape(size)
            found[here, there] = found.get((here, there), 0.0) + table
            found[there, here] = found.get((there, here), 0.0) + table.T
    return found


def _frames(chamber: Chamber, *, faces: Ints, suite: Suite, number: int) -> Floats:
    """Place faces on a passage: left, right, low, high in the first box's terms, (K, 4). [mm]."""
    passage, interior = suite.passages[number], chamber.interior
    start, end = np.array(passage.start_mm), np.array(passage.end_mm)
    unit = (end - start) / np.hypot(*(end - start))
    drop = suite.rise_mm(start=chamber.number, end=passage.boxes[0])
    frames = []
    for face in faces.tolist():
        cavity = int(np.searchsorted(interior.first, face, side="right")) - 1
        home = interior.cavities[cavity]
        columns, layers = home.patches()
        patch = face - interior.first[cavity] - 2 * home.cell_count
        along = sorted(((home.mesh.foot_mm[columns[patch]] - start) @ unit).tolist())
        low, high = home.mesh.height_mm[layers[patch] : layers[patch] + 2] + drop
        frames.append((*along, low, high))
    return np.array(frames).reshape(-1, 4)


def _spread(suite: Suite, *, chambers: Chambers, number: int) -> dict[tuple[int, int], Floats]:
    """Pass on what falls on the faces of a diffuser, place for place."""
    passage = suite.passages[number]
    fill = passage.fill
    if fill is None:
        return {}
    found = {}
    for here, there in (passage.boxes, passage.boxes[::-1]):
        one, other = chambers[here], chambers[there]
        from_, to = one.faces_of(number), other.faces_of(number)
        a = _frames(one, faces=from_, suite=suite, number=number)
        b = _frames(other, faces=to, suite=suite, number=number)
        wide = np.minimum(b[:, None, 1], a[None, :, 1]) - np.maximum(b[:, None, 0], a[None, :, 0])
        high = np.minimum(b[:, None, 3], a[None, :, 3]) - np.maximum(b[:, None, 2], a[None, :, 2])
        share = np.maximum(wide, 0.0) * np.maximum(high, 0.0)
        table = np.zeros((other.interior.face_count, one.interior.face_count))
        table[np.ix_(to, from_)] = fill.transmittance * share / share.sum(axis=0)
        found[there, here] = table
    return found


def make_links(suite: Suite, *, chambers: Chambers, lines: int = LINES) -> Links:
    """Find how light goes through all passages of a suite, by straight lines through open ones."""
    seen: dict[tuple[int, int], Floats] = {}
    spread: dict[tuple[int, int], Floats] = {}
    for number, passage in enumerate(suite.passages):
        if passage.fill is None:
            for pair, table in _looked_through(
                suite, chambers=chambers, number=number, lines=lines
            ).items():
                seen[pair] = seen.get(pair, 0.0) + table
        else:
            for pair, table in _spread(suite, chambers=chambers, number=number).items():
                spread[pair] = spread.get(pair, 0.0) + table
    return Links(seen_mm2=seen, spread=spread)


def _panel_weight(chamber: Chamber, *, spots: Floats) -> Floats:
    """Reflectance of the panel at places (P, 2), openings told apart."""
    box = chamber.interior.box
    weight = np.full(len(spots), box.panel_reflectance)
    for aperture in box.apertures:
        rho = 0.0 if aperture.fill is None else aperture.fill.reflectance
        weight[contains(aperture.shape, points_mm=spots)] = rho
    return weight


def lamp_through(
    suite: Suite,
    *,
    chambers: Chambers,
    box: int,
    lamp: Lamp,
    direct: Floats,
    rays: int = LAMP_RAYS,
) -> dict[int, tuple[Floats, Floats]]:
    """Follow a lamp through open passages: light on the faces of other boxes, and sent back there.

    By box, (N,) each. [lm/lm].

    Parameters
    ----------
    suite, chambers
        The boxes.
    box, lamp
        A lamp of 1 lm and the box it is in.
    direct
        (N,) what it sends to the faces of its own box, passages among them.
    rays
        Across and up an open passage.
    """
    found: dict[int, tuple[Floats, Floats]] = {}
    at, axis = emitter.place_of(lamp), emitter.axis_of(lamp)
    part = (np.arange(rays) + 0.5) / rays
    across, up = (grid.ravel() for grid in np.meshgrid(part, part))
    own = chambers[box]
    for passage in own.passages:
        hole = suite.passages[passage]
        faces = own.faces_of(passage)
        whole = float(direct[faces].sum())
        if hole.fill is not None or whole <= 0.0:
            continue
        port = own.interior.box.ports[own.passages.index(passage)]
        place = on_passage(hole, across=across, up=up, low_mm=port.low_mm, high_mm=port.high_mm)
        way = place - at
        far2 = np.einsum("pk,pk->p", way, way)
        facing = -way[:, :2] @ into(own, passage=passage) / np.sqrt(far2)
        flux = emitter.intensity(lamp.beam, cosine=way @ axis / np.sqrt(far2))
        flux *= np.maximum(facing, 0.0) / far2
        ends = follow(
            suite,
            chambers=chambers,
            box=box,
            start_mm=np.broadcast_to(at, place.shape),
            way=way,
        )
        kept = np.isin(ends.first_face, faces) & (flux > 0.0) & (ends.face != LOST)
        flux *= whole / flux[kept].sum() if kept.any() else 0.0
        for there in np.unique(ends.box[kept]).tolist():
            which = kept & (ends.box == there)
            new = _landed(
                chambers[there],
                face=ends.face[which],
                place=ends.place_mm[which],
                flux=flux[which],
            )
            old = found.get(there, (0.0, 0.0))
            found[there] = (old[0] + new[0], old[1] + new[1])
    return found


def _landed(chamber: Chamber, *, face: Ints, place: Floats, flux: Floats) -> tuple[Floats, Floats]:
    """Flux on the faces of a box, and what they throw back, from rays that ended there."""
    interior = chamber.interior
    direct, sent = np.zeros(interior.face_count), np.zeros(interior.face_count)
    panel = interior.panel()
    weight = np.ones(len(face))
    up = (face >= panel.start) & (face < panel.stop)
    weight[up] = _panel_weight(chamber, spots=place[up, :2])
    for cavity, start in enumerate(interior.first[:-1]):
        end = interior.first[cavity + 1]
        own = (face >= start) & (face < end)
        count, number = end - start, face[own] - start
        weighed = flux[own] * weight[own]
        rows = np.stack([weighed, *(weighed * place[own, axis] for axis in range(3))])
        landed = np.zeros((4, count))
        for total, row in zip(landed, rows, strict=True):
            total[:] = np.bincount(number, row, minlength=count)
        direct[start:end] += np.bincount(number, flux[own], minlength=count)
        sent += interior.laying[cavity].sent(landed, count=interior.face_count)
    return direct, sent


def rows_beyond(
    suite: Suite, *, chambers: Chambers, box: int, view: View, rays: int = EYE_RAYS
) -> dict[int, Floats]:
    """Luminance of an opening's spots per light sent out by the faces of other boxes, by box.

    (S, N) each, seen through the open passages by so many rays from each spot to each. [1/sr].
    """
    own, found = chambers[box], dict[int, Floats]()
    for passage in own.passages:
        if suite.passages[passage].fill is not None:
            continue
        for glimpse in view.glimpses:
            rows = _rows_by(
                suite,
                chambers=chambers,
                box=box,
                passage=passage,
                view=view,
                glimpse=glimpse,
                rays=rays,
            )
            for there, table in rows.items():
                found[there] = found.get(there, 0.0) + table
    return found


def _rows_by(
    suite: Suite,
    *,
    chambers: Chambers,
    box: int,
    passage: int,
    view: View,
    glimpse: Glimpse,
    rays: int,
) -> dict[int, Floats]:
    own, spots = chambers[box], len(view.area_mm2)
    faces = own.faces_of(passage)
    if not glimpse.rows[:, faces].any():
        return {}
    port = own.interior.box.ports[own.passages.index(passage)]
    area, centre = ring_area_centre(view.ring_mm)
    height = own.levels_mm[glimpse.cavity if glimpse.faces_up else glimpse.cavity + 1]
    across, up, right, back = even_points(spots * rays, dimensions=4).T
    spot = np.repeat(np.arange(spots), rays)
    side = np.sqrt(area)[spot]
    start = np.column_stack(
        [
            centre[spot, 0] + (right - 0.5) * side,
            centre[spot, 1] + (back - 0.5) * side,
            np.full(len(spot), height),
        ]
    )
    goal = on_passage(
        suite.passages[passage], across=across, up=up, low_mm=port.low_mm, high_mm=port.high_mm
    )
    way = goal - start
    far2 = np.einsum("pk,pk->p", way, way)
    facing = np.maximum(-way[:, :2] @ into(own, passage=passage), 0.0)
    kernel = facing * np.abs(way[:, 2]) / far2**2
    ends = follow(suite, chambers=chambers, box=box, start_mm=start, way=way)
    kept = np.isin(ends.first_face, faces) & (ends.face != LOST) & (kernel > 0.0)
    count = own.interior.face_count
    key = spot * count + np.maximum(ends.first_face, 0)
    sums = np.bincount(key[kept], kernel[kept], minlength=spots * count)
    scale = np.where(sums > 0.0, glimpse.rows.ravel() / np.where(sums > 0.0, sums, 1.0), 0.0)
    weight = kernel * scale[key]
    found = {}
    for there in np.unique(ends.box[kept]).tolist():
        which = kept & (ends.box == there)
        size = chambers[there].interior.face_count
        sums = np.bincount(
            spot[which] * size + ends.face[which], weight[which], minlength=spots * size
        )
        found[there] = sums.reshape(spots, size).astype(np.float64)
    return found
