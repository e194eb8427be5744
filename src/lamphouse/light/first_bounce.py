"""What the first reflection off faces close to a lamp shows at spots close to those faces.

A lamp near a wall lights it in a patch much smaller than a face of the mesh. Seen from afar only
the amount and the middle of that patch matter, and the mesh keeps both; seen from a spot beside the
wall its place within the face matters too. There the mesh's answer is exchanged for a sum over the
lit pieces of the face, each seen under its own exact angle. The lobe of a hazy sheet looks ahead,
not aside, and keeps the mesh's answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.factors import Cavity
from lamphouse.light.interior import Interior, first_reflection, laid_down
from lamphouse.light.scene import Lamp
from lamphouse.light.sight import Screens, lit
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.light.views import Glimpse, View

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BESIDE_WHOLLY, BESIDE = 0.35, 0.45
"""A lamp is beside a face that it lights when it lies before its plane by less than the face's
diagonal times the second; nearer than the first, what the mesh misses counts in full."""

LAMP_NEAR = 2.0
"""Faces about a lamp beside a face are near when closer than their diagonal times this."""

SPOT_NEAR = 3.0
"""A spot is near a face that is closer than the face's diagonal times this."""

LAMP_FINE = 0.6
"""The longest diagonal of a lit piece, in distances to the lamp. What a coarser sum misses it
misses on both sides of the exchange."""

SPOT_FINE = 0.4
"""The same in distances to the nearest spot."""

FINEST = 5
"""Quarterings at most."""

FAINT = 1e-2
"""A face that sends less than this share of the light has no faces near it."""

FAINTEST = 1e-5
"""A piece that sends less than this share of the light is passed over itself."""

CHORDS = 8
"""Sides of a small hole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What a lamp beside a face lights from near."""

    face: Ints
    """(F,) within its cavity; none for a lamp in the open."""
    piece: Ints
    """(Q,) their pieces."""
    share: float
    """How far what the mesh misses counts: figures change smoothly as a lamp leaves a wall."""


NOTHING = Beside(face=np.zeros(0, dtype=np.int64), piece=np.zeros(0, dtype=np.int64), share=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Glints:
    """Small lit pieces of faces, as points."""

    place_mm: Floats
    """(P, 3)."""
    normal: Floats
    """(P, 3)."""
    sent: Floats
    """(P,) what each throws back. [lm/lm]."""


def beside(interior: Interior, *, lamp: Lamp) -> Beside:
    """Find the faces of a lamp's cavity lit from near, if it is beside one of them."""
    onto = interior.onto[interior.home(lamp)]
    away = onto.centre_mm - emitter.place_of(lamp)
    far2 = np.einsum("qk,qk->q", away, away)
    which = np.flatnonzero(onto.size2_mm2 * LAMP_NEAR**2 > far2)
    ahead2 = np.einsum("qk,qk->q", away[which], onto.pieces.normal[which]) ** 2
    close = which[ahead2 < BESIDE**2 * onto.size2_mm2[which]]
    if not len(close) or not emitter.seen(onto, lamp=lamp, which=close).any():
        return NOTHING
    face = np.unique(onto.pieces.face[which[emitter.seen(onto, lamp=lamp, which=which)]])
    face = face[interior.reflectance[interior.first[interior.home(lamp)] + face] > 0.0]
    if not len(face):
        return NOTHING
    piece = np.flatnonzero(np.isin(onto.pieces.face, face))
    ahead = np.abs(np.einsum("qk,qk->q", away[piece], onto.pieces.normal[piece]))
    nearest = float((ahead / np.sqrt(onto.size2_mm2[piece])).min())
    share = min(max((BESIDE - nearest) / (BESIDE - BESIDE_WHOLLY), 0.0), 1.0)
    return Beside(face=face, piece=piece, share=share)


def _fine(pieces: emitter.Pieces, *, spots_mm: Floats) -> emitter.Pieces:
    """Cut pieces until they are small for their distance to the nearest spot (S, 3) before them."""
    done = []
    for _ in range(FINEST):
        corner = pieces.corner_mm
        gap = spots_mm - corner.mean(axis=1)[:, None]
        far2 = np.einsum("qsk,qsk->qs", gap, gap)
        before = np.einsum("qsk,qk->qs", gap, pieces.normal) > TOUCH_MM
        near2 = np.min(far2, axis=1, where=before, initial=np.inf)
        large = emitter.sizes2(corner.T) > SPOT_FINE**2 * near2
        if not large.any():
            break
        done.append(emitter.take(pieces, which=np.flatnonzero(~large)))
        pieces = emitter.quartered(emitter.take(pieces, which=np.flatnonzero(large)))
    return emitter.join([*done, pieces])


def _glints(part: emitter.Targets, *, flux: Floats, back: Floats) -> Glints:
    whole = flux.sum(axis=0)
    sent = whole * part.pieces.weight * back[part.pieces.face]
    kept = np.flatnonzero(sent > FAINTEST * sent.sum())
    share = flux[:, kept] / whole[kept]
    places = [(axis[:, kept] * share).sum(axis=0) for axis in (part.x_mm, part.y_mm, part.z_mm)]
    return Glints(
        place_mm=np.stack(places, axis=1), normal=part.pieces.normal[kept], sent=sent[kept]
    )


def _thrown(interior: Interior, *, cavity: int) -> Floats:
    """Give what the faces of a cavity throw back of the weighed light that lands on them."""
    back = interior.reflectance[interior.first[cavity] : interior.first[cavity + 1]].copy()
    if cavity == len(interior.cavities) - 1:
        # The pieces of the panel weigh light by what they throw back.
        cells = interior.cavities[cavity].cell_count
        back[cells : 2 * cells] = 1.0
    return back


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bounce:
    """A lamp's light reflected off the faces beside it, told in two ways."""

    glints: Glints
    face: Ints
    """(M,) faces of the cavity that send it as the mesh has it: the same and their neighbours."""
    sent: Floats
    """(M,) per area. [lm/lm mm2]."""
    bright: Ints
    """(Q,) pieces of the faces that send more than a faint share of it."""


def _bounce(interior: Interior, *, lamp: Lamp, by: Beside, spots_mm: Floats) -> _Bounce:
    """Reflect a lamp's light, as finely as spots (S, 3) close by see it."""
    cavity = interior.home(lamp)
    onto = interior.onto[cavity]
    pieces = emitter.take(onto.pieces, which=by.piece)
    if len(spots_mm):
        pieces = _fine(pieces, spots_mm=spots_mm)
    part, flux = emitter.arriving(
        lamp, pieces=pieces, count=onto.count, near=LAMP_FINE, screens=interior.screens
    )
    smeared = laid_down(
        interior,
        landed=emitter.summed([(part, flux)], count=onto.count),
        cavity=cavity,
        emitted=1.0,
    )[interior.first[cavity] : interior.first[cavity + 1]]
    face = np.flatnonzero(smeared)
    bright = smeared[onto.pieces.face[by.piece]] > FAINT * smeared.sum()
    return _Bounce(
        glints=_glints(part, flux=flux, back=_thrown(interior, cavity=cavity)),
        face=face,
        sent=smeared[face] / interior.area_mm2[face + interior.first[cavity]],
        bright=by.piece[bright],
    )


def angles(place_mm: Floats, *, normal: Floats, corner_mm: Floats) -> Floats:
    """Share of the light of a glint that lands within a flat polygon before it, (P,).

    The contour sum over the polygon's edges [STOKES-FF].

    Parameters
    ----------
    place_mm, normal
        (P, 3) each glint.
    corner_mm
        (P, v, 3) the polygon each shines on; corners may be repeated.
    """
    x, y, z = np.ascontiguousarray(corner_mm.T - place_mm.T[:, None])
    nx, ny, nz = np.ascontiguousarray(normal.T)
    total = np.zeros(len(place_mm))
    for edge in range(len(x)):
        ax, ay, az, bx, by, bz = (axis[end] for end in (edge - 1, edge) for axis in (x, y, z))
        tx, ty, tz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
        size = np.sqrt(tx * tx + ty * ty + tz * tz)
        angle = np.arctan2(size, ax * bx + ay * by + az * bz)
        total += angle * (tx * nx + ty * ny + tz * nz) / np.maximum(size, 1e-300)
    return np.asarray(np.abs(total) / (2.0 * pi))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Marks:
    """Spots near a lamp."""

    number: Ints
    """(S,)."""
    corner_mm: Floats
    """(S, v, 3)."""
    middle_mm: Floats
    """(S, 3)."""


def _landed(glints: Glints, *, corner_mm: Floats, middle_mm: Floats, screens: Screens) -> Floats:
    """Light of glints that lands within flat polygons (T, v, 3), (T,). [lm/lm].

    A polygon that lies on the plane of a glint or partly behind it gets nothing of it; what screens
    hide is told by the middle (T, 3) of the polygon.
    """
    level = np.sum(glints.place_mm * glints.normal, axis=1)
    before = corner_mm @ glints.normal.T - level
    ahead = (before.min(axis=1) > -TOUCH_MM) & (before.max(axis=1) > TOUCH_MM)
    target, glint = np.nonzero(ahead)
    place, sent = glints.place_mm[glint], glints.sent[glint]
    if len(screens.low_mm):
        sent = sent * lit(place, at=middle_mm[target], screens=screens)
    corner = corner_mm.T.take(target, axis=2).transpose(2, 1, 0)
    share = angles(place, normal=glints.normal[glint], corner_mm=corner)
    return np.asarray(np.bincount(target, sent * share, minlength=len(corner_mm)), dtype=np.float64)


def _near(place_mm: Floats, *, onto: emitter.Targets, piece: Ints, reach: float) -> Ints:
    """Which places (T, 3) are closer to some pieces than their diagonal times a reach."""
    middle = onto.centre_mm[piece]
    far2 = (place_mm * place_mm).sum(axis=1)[:, None] + (middle * middle).sum(axis=1)
    far2 -= 2.0 * place_mm @ middle.T
    return np.flatnonzero((far2 < reach**2 * onto.size2_mm2[piece]).any(axis=1))


def _spots_near(view: View, *, interior: Interior, glimpse: Glimpse, by: Beside) -> _Marks:
    """Find the spots of a glimpse near faces beside the lamp that lie before them."""
    onto, home = interior.onto[glimpse.cavity], interior.cavities[glimpse.cavity]
    height = float(home.mesh.height_mm[0 if glimpse.faces_up else -1])
    middle = np.column_stack([view.centre_mm, np.full(len(view.centre_mm), height)])
    own_plane = onto.pieces.face[by.piece] // home.cell_count == (0 if glimpse.faces_up else 1)
    piece = by.piece[~own_plane]
    near = _near(middle, onto=onto, piece=piece, reach=SPOT_NEAR)
    ring = view.ring_mm[near]
    if len(view.ring_mm) == 1 and ring.shape[1] > CHORDS:
        ring = _fewer_chords(ring, middle=view.centre_mm[near])
    corner = np.concatenate([ring, np.full((*ring.shape[:2], 1), height)], axis=2)
    return _Marks(number=near, corner_mm=corner, middle_mm=middle[near])


def _fewer_chords(ring: Floats, *, middle: Floats) -> Floats:
    """Draw small holes with few chords and the same area."""
    few = ring[:, :: ring.shape[1] // CHORDS]
    scale = np.sqrt(ring_area_centre(ring)[0] / ring_area_centre(few)[0])
    return np.asarray(middle[:, None] + scale[:, None, None] * (few - middle[:, None]))


def _corners(home: Cavity, *, face: Ints) -> Floats:
    """Corners of faces, (T, v, 3), the last repeated. [mm]."""
    mesh, cells = home.mesh, home.cell_count
    most = mesh.corner_mm.shape[1]
    corner = np.zeros((len(face), most, 3))
    plates, walls = face < 2 * cells, face[face >= 2 * cells] - 2 * cells
    corner[plates, :, :2] = mesh.corner_mm[face[plates] % cells]
    corner[plates, :, 2] = mesh.height_mm[np.where(face[plates] < cells, 0, -1), None]
    column, layer = (table[walls] for table in np.nonzero(home.wall))
    ends = np.array([0, 1, 1] + [0] * (most - 3))
    corner[~plates, :, :2] = mesh.foot_mm[column[:, None], ends]
    corner[~plates, :, 2] = mesh.height_mm[layer[:, None] + np.array([0, 0, 1] + [1] * (most - 3))]
    return corner


def _arriving(interior: Interior, *, cavity: int, bounce: _Bounce) -> Floats:
    """Exact less mesh's flux at the faces of a cavity, (N,), adding up to 0."""
    onto = interior.onto[cavity]
    own = slice(interior.first[cavity], interior.first[cavity + 1])
    flat = bounce.sent @ interior.exchange_mm2[cavity][bounce.face]
    centre = interior.centre_mm[own]
    near = _near(centre, onto=onto, piece=bounce.bright, reach=1.0)
    exact = _landed(
        bounce.glints,
        corner_mm=_corners(interior.cavities[cavity], face=near),
        middle_mm=centre[near],
        screens=interior.screens,
    )
    change, rest = np.zeros(len(flat)), flat.copy()
    change[near] = exact - flat[near]
    rest[near] = 0.0
    if rest.sum() <= 0.0:
        return np.zeros(len(flat))
    return np.asarray(change - change.sum() * rest / rest.sum())


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """What the mesh misses of the first reflection of a lamp of 1 lm."""

    arriving: Floats
    """(N,) of the light that lands on the faces. [lm/lm]."""
    shown: tuple[Floats, ...]
    """(S,) of the luminance of each spot, for each view. [1/mm2 sr]."""


def missed(interior: Interior, *, lamp: Lamp, views: Sequence[View], faces: bool = True) -> Missed:
    """Find what the mesh misses beside a lamp, at faces and spots close by.

    Parameters
    ----------
    interior
        The box.
    lamp
        A lamp of 1 lm.
    views
        Openings.
    faces
        Whether the faces are asked for.
    """
    arriving = np.zeros(interior.face_count)
    shown = tuple(np.zeros(len(view.area_mm2)) for view in views)
    by, cavity = beside(interior, lamp=lamp), interior.home(lamp)
    if not len(by.face):
        return Missed(arriving=arriving, shown=shown)
    start = interior.first[cavity]
    asked = [
        (view, glimpse, change, _spots_near(view, interior=interior, glimpse=glimpse, by=by))
        for view, change in zip(views, shown, strict=True)
        for glimpse in view.glimpses
        if glimpse.cavity == cavity and glimpse.onto.lobe is None
    ]
    spots = np.concatenate([np.zeros((0, 3)), *(marks.middle_mm for *_, marks in asked)])
    if not faces and not len(spots):
        return Missed(arriving=arriving, shown=shown)
    bounce = _bounce(interior, lamp=lamp, by=by, spots_mm=spots)
    if faces:
        own = slice(start, interior.first[cavity + 1])
        arriving[own] = by.share * _arriving(interior, cavity=cavity, bounce=bounce)
    for view, glimpse, change, marks in asked:
        if len(marks.number):
            exact = _landed(
                bounce.glints,
                corner_mm=marks.corner_mm,
                middle_mm=marks.middle_mm,
                screens=interior.screens,
            )
            flat = glimpse.rows[marks.number[:, None], bounce.face + start] @ bounce.sent
            exact *= glimpse.share / view.area_mm2[marks.number]
            change[marks.number] += by.share * (exact - flat)
    return Missed(arriving=arriving, shown=shown)


def first_light(
    interior: Interior,
    *,
    lamp: Lamp,
    landed: emitter.Landing | None = None,
    arriving: Floats | None = None,
) -> tuple[Floats, Floats]:
    """Give ``first_reflection``, and beside the lamp what the mesh misses of it.

    What it misses of the light that arrives after one reflection is thrown back with it.

    Parameters
    ----------
    interior, lamp, landed
        As for ``first_reflection``.
    arriving
        What it misses at the faces, where that is known already.
    """
    direct, sent = first_reflection(interior, lamp=lamp, landed=landed)
    if arriving is None:
        arriving = missed(interior, lamp=lamp, views=()).arriving
    sent += interior.reflectance * arriving
    if interior.box.sheet is not None:
        sent += interior.transmittance * arriving[interior.twin]
    return direct, sent
