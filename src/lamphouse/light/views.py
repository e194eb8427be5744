"""The openings of a box as the solver sees them: their spots, and what lights each spot.

Terminology
-----------
spot
    One of the equal parts an opening is judged by: 8 x 6 over a rectangle, 48 of equal area over
    other shapes, one for a small hole.
glimpse
    A lit surface that the eye sees at an opening, looking along the panel's normal: the diffuser
    itself, or what lies straight below an open hole.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cover import area_below, clipped, ring_of
from lamphouse.light.edge_integrals import plan_faces
from lamphouse.light.face_rays import slices
from lamphouse.light.factors import ahead_mm, level_to_plate, level_to_walls
from lamphouse.light.haze import lobe_of, lobe_rows
from lamphouse.light.interior import Interior
from lamphouse.light.pieces import Lobe, Targets, level_pieces, quartered, targets
from lamphouse.light.plan_cells import cut_along, padded
from lamphouse.light.scene import Aperture, Disc, Rectangle, Shape
from lamphouse.light.sight import looked_at
from lamphouse.light.slit_lines import seen_through
from lamphouse.light.turning import Way, laid_back
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.light.viewers import level_viewers
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Singles = NDArray[np.float32]

ACROSS, UP = 8, 6
"""Spots over a rectangle."""

SMALL_HOLE = 0.6
"""A disc narrower than this many fine steps is one spot."""

MOST_SPOTS = 1500
"""Spots, about, that are looked out from at once: what is known of them meanwhile takes memory."""

RINGS = 4
"""Rings of a disc with 3, 9, 15 and 21 spots: 48 of equal area."""

ARC_CHORDS = 24
"""Chords round a full circle at the rim of a spot."""


class Glimpse(Record):
    """One surface that the eye sees through an opening."""

    cavity: int
    faces_up: bool
    """Whether it is the cavity's floor."""
    share: float
    """Luminance per what lands: 1/pi times a reflectance or transmittance for illuminance."""
    onto: Targets
    """The spots, laid out for direct light."""
    rows: Singles
    """(S, N) luminance of each spot, by way of this surface, per light sent out by each face.
    [1/sr]."""


class View(Record):
    """An opening, its spots and how the faces of the box light them."""

    aperture: Aperture
    ring_mm: Floats
    """(S, v, 2) the spots, the last corner repeated as padding."""
    area_mm2: Floats
    """(S,)."""
    centre_mm: Floats
    """(S, 2)."""
    glimpses: tuple[Glimpse, ...]
    rows: Singles
    """(S, N) luminance of each spot per light sent out by each face. [1/sr]."""


def _disc_spots(disc: Disc) -> list[Floats]:
    """48 parts of equal area: rings of sectors."""
    spots = []
    radius = disc.diameter_mm / 2.0
    for ring in range(RINGS):
        sectors = 3 * (2 * ring + 1)
        chords = max(2, -(-ARC_CHORDS // sectors))
        for sector in range(sectors):
            angle = 2.0 * pi * (sector + np.linspace(0.0, 1.0, chords + 1)) / sectors
            turn = 2.0 * pi / sectors / chords
            swell = sqrt(turn / np.sin(turn))
            arc = np.column_stack([np.cos(angle), np.sin(angle)])
            outer = radius * swell * (ring + 1) / RINGS * arc
            inner = radius * swell * ring / RINGS * arc[::-1]
            spots.append(np.concatenate([outer, inner]) + np.array([disc.x_mm, disc.y_mm]))
    return spots


def _equal_cuts(measure: Floats, *, places: Floats, parts: int) -> Floats:
    """Places that divide a rising measure into equal parts."""
    return np.interp(np.linspace(0.0, measure[-1], parts + 1), measure, places)


def _ring_spots(ring: tuple[tuple[float, float], ...]) -> list[Floats]:
    """Six strips of equal area, each cut into eight of equal area, as upright windows."""
    corner = np.array(ring)
    low, high = corner.min(axis=0), corner.max(axis=0)
    y = np.linspace(low[1], high[1], 2001)
    strips = _equal_cuts(
        area_below(ring, x_mm=np.full_like(y, high[0]), y_mm=y), places=y, parts=UP
    )
    x = np.linspace(low[0], high[0], 2001)
    spots = []
    for bottom, top in pairwise(strips):
        measure = area_below(ring, x_mm=x, y_mm=np.full_like(x, top)) - area_below(
            ring, x_mm=x, y_mm=np.full_like(x, bottom)
        )
        cuts = _equal_cuts(measure, places=x, parts=ACROSS)
        for left, right in pairwise(cuts):
            window = np.array([(left, bottom), (right, bottom), (right, top), (left, top)])
            spots.append(clipped(ring, cell=window))
    return spots


def windows(rectangle: Rectangle, *, across: int, up: int) -> Floats:
    """Cut a rectangle into equal windows, (across * up, 4, 2), row by row from the lower left."""
    x = np.linspace(rectangle.left_mm, rectangle.right_mm, across + 1)
    y = np.linspace(rectangle.bottom_mm, rectangle.top_mm, up + 1)
    left, bottom = (grid.ravel() for grid in np.meshgrid(x[:-1], y[:-1]))
    right, top = (grid.ravel() for grid in np.meshgrid(x[1:], y[1:]))
    ends = ((left, bottom), (right, bottom), (right, top), (left, top))
    return np.stack([np.column_stack(end) for end in ends], axis=1)


def spots_of(shape: Shape, *, small_mm: float) -> Floats:
    """Cut an opening into the parts it is judged by, (S, v, 2).

    Parameters
    ----------
    shape
        The opening.
    small_mm
        A disc up to this diameter is one spot.
    """
    if isinstance(shape, Rectangle):
        return windows(shape, across=ACROSS, up=UP)
    if isinstance(shape, Disc):
        if shape.diameter_mm <= small_mm:
            return np.array(ring_of(shape))[None]
        return padded(_disc_spots(shape))
    return padded(_ring_spots(ring_of(shape)))


def aperture_spots(aperture: Aperture, *, small_mm: float) -> Floats:
    """Cut the parts of an opening that are seen into those it is judged by, (S, v, 2)."""
    if not aperture.shown:
        return spots_of(aperture.shape, small_mm=small_mm)
    shown = [spots_of(shape, small_mm=small_mm) for shape in aperture.shown]
    return padded([spot for spots in shown for spot in spots])


def _squares(spots: Floats, *, way: Way) -> Floats:
    """Give squares of the same area and middle, along the grid of the mesh, (S, 4, 2)."""
    area, centre = ring_area_centre(spots)
    half = np.sqrt(area)[:, None] / 2.0
    corner = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return np.asarray(centre[:, None] + half[:, None] * laid_back(corner, way=way))


def _convex(spots: Floats) -> bool:
    """Tell whether polygons (S, v, 2) that run anticlockwise have no corner that turns inwards."""
    step = np.roll(spots, -1, axis=1) - spots
    # A corner that is repeated makes no step: the last one made counts.
    for number in range(1, spots.shape[1]):
        still = ~step[:, number].any(axis=1)
        step[still, number] = step[still, number - 1]
    before = np.roll(step, 1, axis=1)
    turn = before[..., 0] * step[..., 1] - before[..., 1] * step[..., 0]
    return bool(turn.min() > -TOUCH_MM)


def _parted(spots: Floats, *, interior: Interior) -> tuple[list[Floats], Ints]:
    """Cut spots along the baffles that pass under them: pieces (P, v, 2) and their spots (P,)."""
    pieces = [(spot, number) for number, spot in enumerate(spots)]
    mesh = interior.cavities[-1].mesh
    # Both sides of a baffle cut alike.
    lines = {
        frozenset((segment.start_mm, segment.end_mm)): segment
        for segment in mesh.segments
        if segment.is_baffle and segment.high_mm > mesh.height_mm[0] + TOUCH_MM
    }
    for line in lines.values():
        (ax, ay), (bx, by) = line.start_mm, line.end_mm
        side = (bx - ax) * (spots[..., 1] - ay) - (by - ay) * (spots[..., 0] - ax)
        crossed = (side.min(axis=1) < 0.0) & (side.max(axis=1) > 0.0)
        pieces = [
            (part, number)
            for piece, number in pieces
            for part in (cut_along(piece, segment=line) if crossed[number] else (piece,))
        ]
    return [piece for piece, _ in pieces], np.array([number for _, number in pieces])


def gather(interior: Interior, *, spots: Floats, cavity: int, faces_up: bool) -> Floats:
    """Share of the light sent out by each face that level spots (S, v, 2) receive per area, (S, N).

    The spots lie on the floor or under the ceiling of a cavity. Every row adds up to 1.
    """
    home = interior.cavities[cavity]
    made, cells = home.mesh, home.cell_count
    faces = plan_faces(spots, way=made.way)
    plate = level_to_plate(faces, cavity=home)
    walls = level_to_walls(faces, cavity=home, floor=faces_up)
    _, centre = ring_area_centre(spots)
    facing = ahead_mm(centre, cavity=home) > 0.0
    walls *= facing
    low, high = float(made.height_mm[0]), float(made.height_mm[-1])
    plan = interior.shut.take(interior.shut.reaching(low_mm=low, high_mm=high))
    if len(plan.cells):
        eyes = level_viewers(spots, height_mm=[low if faces_up else high])
        seen_plate, seen_walls = looked_at(
            eyes,
            plan=plan,
            level_mm=high if faces_up else low,
            height_mm=made.height_mm,
            facing=facing,
        )
        plate *= seen_plate
        walls *= seen_walls
    rows = np.zeros((len(spots), interior.face_count))
    start = interior.first[cavity]
    seen = start + cells if faces_up else start
    rows[:, seen : seen + cells] = plate
    column, layer = home.patches()
    rows[:, start + 2 * cells : interior.first[cavity + 1]] = walls[layer, :, column].T
    np.maximum(rows, 0.0, out=rows)
    rows /= rows.sum(axis=1, keepdims=True)
    slits = [slit for slit in interior.slits if slit.cavity == cavity]
    if slits:
        through = seen_through(
            spots,
            height_mm=low if faces_up else high,
            slits=slits,
            part=slices(interior.cavities, first=interior.first)[cavity],
            count=interior.face_count,
        )
        rows *= 1.0 - through.sum(axis=1, keepdims=True)
        rows += through
    return rows


def _below(interior: Interior) -> list[tuple[int, bool, float]]:
    """Tell what lies straight below an opening: cavity, whether its floor, and share. [1/sr]."""
    box = interior.box
    if box.sheet is None:
        return [(0, True, box.back_reflectance / pi)]
    return [(1, True, box.sheet.reflectance / pi), (0, False, box.sheet.transmittance / pi)]


def glimpsed(interior: Interior, *, aperture: Aperture) -> list[tuple[int, bool, float]]:
    """List the lit surfaces the eye sees at an opening: cavity, whether its floor, and share."""
    if aperture.fill is None:
        return _below(interior)
    haze, through = aperture.fill.haze, aperture.fill.transmittance
    last = len(interior.cavities) - 1
    if haze is None:
        return [(last, False, through / pi)]
    seen = [(last, False, haze.diffuse * through / pi)]
    seen += [
        (cavity, up, haze.straight * through * share) for cavity, up, share in _below(interior)
    ]
    return [part for part in seen if part[2] > 0.0]


def _spot_targets(
    spots: Floats, *, interior: Interior, cavity: int, faces_up: bool, lobe: Lobe | None
) -> Targets:
    height = interior.cavities[cavity].mesh.height_mm
    pieces = level_pieces(
        spots,
        height_mm=float(height[0] if faces_up else height[-1]),
        up=faces_up,
        face=np.arange(len(spots)),
    )
    if len(interior.screens.low_mm):
        pieces = quartered(pieces)
    return targets(pieces, count=len(spots), lobe=lobe)


class _Layout(Record):
    """An opening's spots, and the convex pieces on which reflected light is gathered."""

    spots: Floats
    plain: Floats
    parts: list[Floats]
    owner: Ints

    def share(self) -> Floats:
        """Share of its spot's area each piece has."""
        area, _ = ring_area_centre(padded(self.parts))
        return area / np.bincount(self.owner, area)[self.owner]


def _layout(aperture: Aperture, *, interior: Interior, small_mm: float) -> _Layout:
    spots = aperture_spots(aperture, small_mm=small_mm)
    plain = spots if _convex(spots) else _squares(spots, way=interior.cavities[-1].mesh.way)
    parts, owner = list(plain), np.arange(len(spots))
    if interior.box.baffles:
        parts, owner = _parted(plain, interior=interior)
    return _Layout(spots=spots, plain=plain, parts=parts, owner=owner)


def _gathered(
    interior: Interior, *, layouts: Sequence[_Layout], asked: Sequence[tuple[int, int, bool]]
) -> dict[tuple[int, int, bool], Singles]:
    """Gather for all openings that see the same surface at once, by opening, cavity and side."""
    found = {}
    for cavity, faces_up in sorted({key[1:] for key in asked}):
        numbers = [number for number, *rest in asked if tuple(rest) == (cavity, faces_up)]
        counts = np.cumsum([len(layouts[number].parts) for number in numbers])
        batches = np.flatnonzero(np.diff(counts // MOST_SPOTS, prepend=-1))[1:]
        for batch in np.split(np.array(numbers), batches):
            rows = gather(
                interior,
                spots=padded([part for number in batch for part in layouts[number].parts]),
                cavity=cavity,
                faces_up=faces_up,
            )
            ends = np.cumsum([len(layouts[number].parts) for number in batch])[:-1]
            for number, own in zip(batch.tolist(), np.split(rows, ends), strict=True):
                layout = layouts[number]
                first = np.flatnonzero(np.diff(layout.owner, prepend=-1))
                own *= layout.share()[:, None]
                whole = np.add.reduceat(own, first, axis=0)
                found[number, cavity, faces_up] = whole.astype(np.float32)
    return found


def _hazy(interior: Interior, *, aperture: Aperture, layout: _Layout) -> Iterator[Glimpse]:
    """Give the glimpse in the lobe of a hazy diffuser; none for other fills."""
    if aperture.fill is None or aperture.fill.haze is None:
        return
    haze, last = aperture.fill.haze, len(interior.cavities) - 1
    share = haze.lobe * aperture.fill.transmittance
    onto = _spot_targets(
        layout.spots, interior=interior, cavity=last, faces_up=False, lobe=lobe_of(haze)
    )
    rows = (share * lobe_rows(interior, spots=layout.plain, haze=haze)).astype(np.float32)
    yield Glimpse(cavity=last, faces_up=False, share=share, onto=onto, rows=rows)


def _added(parts: Sequence[Singles], *, like: Floats, interior: Interior) -> Singles:
    """Add up the rows of the glimpses; those of a single one are shared, not copied."""
    if len(parts) == 1:
        return parts[0]
    return sum(parts, start=np.zeros((len(like), interior.face_count), dtype=np.float32))


def make_views(interior: Interior, *, small_mm: float) -> tuple[View, ...]:
    """Prepare the openings of a box.

    Parameters
    ----------
    interior
        The box.
    small_mm
        A disc up to this diameter is one spot.
    """
    apertures = interior.box.apertures
    layouts = [_layout(aperture, interior=interior, small_mm=small_mm) for aperture in apertures]
    seen = [glimpsed(interior, aperture=aperture) for aperture in apertures]
    asked = [(n, cavity, up) for n, parts in enumerate(seen) for cavity, up, _ in parts]
    gathered = _gathered(interior, layouts=layouts, asked=asked)
    views = []
    for number, (aperture, layout) in enumerate(zip(apertures, layouts, strict=True)):
        glimpses = []
        for cavity, up, share in seen[number]:
            rows = gathered.pop((number, cavity, up))
            rows *= share
            glimpses.append(
                Glimpse(
                    cavity=cavity,
                    faces_up=up,
                    share=share,
                    onto=_spot_targets(
                        layout.spots, interior=interior, cavity=cavity, faces_up=up, lobe=None
                    ),
                    rows=rows,
                )
            )
        glimpses.extend(_hazy(interior, aperture=aperture, layout=layout))
        area, centre = ring_area_centre(layout.spots)
        views.append(
            View(
                aperture=aperture,
                ring_mm=layout.spots,
                area_mm2=area,
                centre_mm=centre,
                glimpses=tuple(glimpses),
                rows=_added([glimpse.rows for glimpse in glimpses], like=area, interior=interior),
            )
        )
    return tuple(views)
