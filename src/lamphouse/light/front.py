"""What the eye sees from the front: the luminance of every opening, its evenness and hot spot.

Terminology
-----------
spot
    One of the equal parts an opening is judged by: 8 x 6 over a rectangle, 48 of equal area over
    other shapes, one for a small hole.
evenness
    Smallest over mean, and largest over mean, of the spots' mean luminances.
hot spot
    Largest over mean.
bar
    Half the width of the band that holds the true figure in 95 of 100 openings.

Seen along the panel's normal a diffuser shows ``tau E / pi``, whatever the panel's thickness; an open
hole shows what lies straight below it.
"""

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.cavity import Field, Interior, between, thrown_back
from lamphouse.light.cover import area_below, clipped, ring_of
from lamphouse.light.factors import ahead_mm, level_to_plate, level_to_walls, polygon_contour
from lamphouse.light.haze import lobe_of, lobe_rows
from lamphouse.light.mesh import cut_along, padded, ring_area_centre
from lamphouse.light.scene import Aperture, Disc, Lamp, Rectangle, Shape
from lamphouse.light.sight import level_viewers, visible, wall_viewers

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LX_PER_LM_MM2 = 1e6
"""1 lm/mm2 is 1e6 lx."""

ACROSS, UP = 8, 6
"""Spots over a rectangle."""

SMALL_HOLE = 0.6
"""A disc narrower than this many fine steps is one spot."""

RINGS = 4
"""Rings of a disc with 3, 9, 15 and 21 spots: 48 of equal area."""

ARC_CHORDS = 24
"""Chords round a full circle at the rim of a spot."""

ORDER_TWO = 1.0 / 3.0
"""Weight of the difference of fine and coarse mesh in the extrapolated figure."""

BAR_SHARE, BAR_FLOOR, BAR_CLOSURE = 0.6, 0.003, 0.25
"""The bar: parts of the step from coarse to fine, of the figure, and of the closure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glimpse:
    """One surface that the eye sees through an opening."""

    cavity: int
    faces_up: bool
    """Whether it is the cavity's floor."""
    share: float
    """Luminance per what lands: 1/pi times a reflectance or transmittance for illuminance."""
    onto: emitter.Targets
    """The spots, laid out for direct light."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """An opening, its spots and how the faces of the box light them."""

    aperture: Aperture
    ring_mm: Floats
    """(S, v, 2) the spots, the last corner repeated as padding."""
    area_mm2: Floats
    """(S,)."""
    glimpses: tuple[Glimpse, ...]
    rows: Floats
    """(S, N) luminance of each spot per light sent out by each face. [1/sr]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How an opening looks."""

    name: str
    luminance_cd_m2: Floats
    """(S,) mean luminance of each spot; over a rectangle row by row from the lower left."""
    area_mm2: Floats
    """(S,)."""
    mean_cd_m2: float
    bar_cd_m2: float
    """Half the width of the band for the mean."""
    spot_bar_cd_m2: Floats
    """(S,) half the width of the band for each spot."""
    smallest_over_mean: float
    largest_over_mean: float
    """The hot spot."""


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
    strips = _equal_cuts(area_below(ring, x_mm=np.full_like(y, high[0]), y_mm=y), places=y, parts=UP)
    x = np.linspace(low[0], high[0], 2001)
    spots = []
    for bottom, top in zip(strips, strips[1:], strict=False):
        measure = area_below(ring, x_mm=x, y_mm=np.full_like(x, top)) - area_below(
            ring, x_mm=x, y_mm=np.full_like(x, bottom)
        )
        cuts = _equal_cuts(measure, places=x, parts=ACROSS)
        for left, right in zip(cuts, cuts[1:], strict=False):
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


def _squares(spots: Floats) -> Floats:
    """Give upright squares of the same area and middle, (S, 4, 2)."""
    area, centre = ring_area_centre(spots)
    half = np.sqrt(area)[:, None] / 2.0
    corner = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return centre[:, None] + half[:, None] * corner


def _parted(spots: Floats, *, interior: Interior) -> tuple[Floats, Ints]:
    """Cut spots along the baffles that pass under them: pieces (P, v, 2) and their spots (P,)."""
    pieces = [(spot, number) for number, spot in enumerate(spots)]
    for segment in interior.cavities[-1].mesh.segments:
        if segment.is_baffle:
            pieces = [
                (part, number)
                for piece, number in pieces
                for part in cut_along(piece, segment=segment)
            ]
    return padded([piece for piece, _ in pieces]), np.array([number for _, number in pieces])


def gather(interior: Interior, *, spots: Floats, cavity: int, faces_up: bool) -> Floats:
    """Share of the light sent out by each face that level spots (S, v, 2) receive per area, (S, N).

    The spots lie on the floor or under the ceiling of a cavity. Every row adds up to 1.
    """
    home = interior.cavities[cavity]
    made, cells = home.mesh, home.cell_count
    contour = polygon_contour(spots)
    plate = level_to_plate(contour, cavity=home)
    floor, ceiling = level_to_walls(contour, cavity=home)
    walls = floor if faces_up else ceiling
    _, centre = ring_area_centre(spots)
    walls *= (ahead_mm(centre, cavity=home) > 0.0)[:, :, None]
    low, high = float(made.height_mm[0]), float(made.height_mm[-1])
    screens = between(interior.screens, low_mm=low, high_mm=high)
    if len(screens.low_mm):
        eyes = level_viewers(spots, centre_mm=centre, height_mm=low if faces_up else high)
        opposite = level_viewers(
            made.corner_mm, centre_mm=made.centre_mm, height_mm=high if faces_up else low
        )
        columns = wall_viewers(made.foot_mm, height_mm=made.height_mm)
        plate *= visible(eyes, other=opposite, screens=screens)[:, 0, :, 0]
        walls *= visible(eyes, other=columns, screens=screens)[:, 0]
    rows = np.zeros((len(spots), interior.face_count))
    start = interior.first[cavity]
    seen = start + cells if faces_up else start
    rows[:, seen : seen + cells] = plate
    rows[:, start + 2 * cells : interior.first[cavity + 1]] = walls[:, home.wall]
    np.maximum(rows, 0.0, out=rows)
    rows /= rows.sum(axis=1, keepdims=True)
    return rows


def _below(interior: Interior) -> list[tuple[int, bool, float]]:
    """What lies straight below an opening: cavity, whether its floor, and share. [1/sr]."""
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
    seen += [(cavity, up, haze.straight * through * share) for cavity, up, share in _below(interior)]
    return [part for part in seen if part[2] > 0.0]


def _spot_targets(
    spots: Floats, *, interior: Interior, cavity: int, faces_up: bool, lobe: emitter.Lobe | None
) -> emitter.Targets:
    height = interior.cavities[cavity].mesh.height_mm
    pieces = emitter.level_pieces(
        spots,
        height_mm=float(height[0] if faces_up else height[-1]),
        up=faces_up,
        face=np.arange(len(spots)),
    )
    if len(interior.screens.low_mm):
        pieces = emitter.quartered(pieces)
    return emitter.targets(pieces, count=len(spots), lobe=lobe)


def make_view(interior: Interior, *, aperture: Aperture, small_mm: float) -> View:
    """Prepare an opening of a box.

    Parameters
    ----------
    interior
        The box.
    aperture
        One of its openings.
    small_mm
        A disc up to this diameter is one spot.
    """
    spots = spots_of(aperture.shape, small_mm=small_mm)
    plain = spots if isinstance(aperture.shape, Rectangle) else _squares(spots)
    parts, owner = plain, np.arange(len(spots))
    if interior.box.baffles:
        parts, owner = _parted(plain, interior=interior)
    share_of_spot, _ = ring_area_centre(parts)
    share_of_spot /= np.bincount(owner, share_of_spot)[owner]
    first = np.flatnonzero(np.diff(owner, prepend=-1))
    rows = np.zeros((len(spots), interior.face_count))
    glimpses = []
    for cavity, faces_up, share in glimpsed(interior, aperture=aperture):
        seen = gather(interior, spots=parts, cavity=cavity, faces_up=faces_up)
        seen *= share * share_of_spot[:, None]
        rows += np.add.reduceat(seen, first, axis=0)
        glimpses.append(
            Glimpse(
                cavity=cavity,
                faces_up=faces_up,
                share=share,
                onto=_spot_targets(
                    spots, interior=interior, cavity=cavity, faces_up=faces_up, lobe=None
                ),
            )
        )
    if aperture.fill is not None and aperture.fill.haze is not None:
        haze, last = aperture.fill.haze, len(interior.cavities) - 1
        share = haze.lobe * aperture.fill.transmittance
        rows += share * lobe_rows(interior, spots=plain, haze=haze)
        onto = _spot_targets(
            spots, interior=interior, cavity=last, faces_up=False, lobe=lobe_of(haze)
        )
        glimpses.append(Glimpse(cavity=last, faces_up=False, share=share, onto=onto))
    area, _ = ring_area_centre(spots)
    return View(
        aperture=aperture,
        ring_mm=spots,
        area_mm2=area,
        glimpses=tuple(glimpses),
        rows=rows,
    )


def direct_luminance(view: View, *, interior: Interior, lamp: Lamp) -> Floats:
    """Luminance of each spot from a lamp of 1 lm without any reflection inside, (S,). [1/mm2 sr]."""
    total = np.zeros(len(view.area_mm2))
    for glimpse in view.glimpses:
        if glimpse.cavity == interior.home(lamp):
            landed = emitter.landing(lamp, onto=glimpse.onto, screens=interior.screens)
            total += glimpse.share * landed.flux / view.area_mm2
    return total


def sent_out(interior: Interior, *, reflected: Floats, illuminance: Floats) -> Floats:
    """Light that leaves each face per area, (N, L). [1/mm2]."""
    return reflected / interior.area_mm2[:, None] + thrown_back(interior, illuminance=illuminance)


def luminances(
    view: View, *, interior: Interior, lamps: tuple[Lamp, ...], field: Field
) -> tuple[Floats, Floats]:
    """Luminance of each spot for each lamp at 1 lm, fine and coarse, (S, L). [1/mm2 sr]."""
    direct = np.stack(
        [direct_luminance(view, interior=interior, lamp=lamp) for lamp in lamps], axis=1
    )
    fine, coarse = (
        direct
        + view.rows
        @ sent_out(interior, reflected=field.reflected, illuminance=illuminance)
        for illuminance in (field.illuminance, field.coarse)
    )
    return fine, coarse


def judged(view: View, *, fine: Floats, coarse: Floats, closure: float) -> Look:
    """Judge an opening by its spots' luminances on both meshes. [lm/mm2 sr].

    The figure is extrapolated from both meshes as for an error of order two.
    """
    step = fine - coarse
    spots = LX_PER_LM_MM2 * np.maximum(fine + ORDER_TWO * step, 0.0)
    area = view.area_mm2
    mean = float(spots @ area / area.sum())
    floor = BAR_FLOOR + BAR_CLOSURE * closure
    mean_step = LX_PER_LM_MM2 * float(step @ area / area.sum())
    return Look(
        name=view.aperture.name,
        luminance_cd_m2=spots,
        area_mm2=area,
        mean_cd_m2=mean,
        bar_cd_m2=float(np.hypot(BAR_SHARE * mean_step, floor * mean)),
        spot_bar_cd_m2=np.hypot(BAR_SHARE * LX_PER_LM_MM2 * step, floor * spots),
        smallest_over_mean=float(spots.min()) / mean if mean > 0.0 else 0.0,
        largest_over_mean=float(spots.max()) / mean if mean > 0.0 else 0.0,
    )
