"""What the first reflection off faces close to a lamp shows at spots close to those faces.

A lamp near a wall lights it in a patch much smaller than a face of the mesh. Seen from afar only
the amount and the middle of that patch matter, and the mesh keeps both; seen from a spot beside the
wall its place within the face matters too. There the mesh's answer is exchanged for a sum over the
lit pieces of the face, each seen under its own exact angle. The lobe of a hazy sheet looks ahead,
not aside, and keeps the mesh's answer.
"""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.factors import Cavity, face_normals
from lamphouse.light.interior import Interior, first_reflection, laid_down
from lamphouse.light.scene import Lamp
from lamphouse.light.sight import lit
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.light.viewers import Screens
from lamphouse.light.views import Glimpse, View
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

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

AT_ONCE = 12_000
"""Numbers worked on at once: arrays of a size the allocator keeps at hand, whatever the box."""


class Beside(Record):
    """What a lamp beside a face lights from near."""

    face: Ints
    """(F,) within its cavity; none for a lamp in the open."""
    piece: Ints
    """(Q,) their pieces."""
    share: float
    """How far what the mesh misses counts: figures change smoothly as a lamp leaves a wall."""


NOTHING = Beside(face=np.zeros(0, dtype=np.int64), piece=np.zeros(0, dtype=np.int64), share=0.0)


class Glints(Record):
    """Small lit pieces of faces, as points."""

    place_mm: Floats
    """(P, 3)."""
    normal: Floats
    """(P, 3)."""
    sent: Floats
    """(P,) what each throws back. [lm/lm]."""


def beside(interior: Interior, *, lamp: Lamp) -> Beside:
    """Find the faces of a lamp's cavity lit from near, if it is beside one of them."""
    home = interior.home(lamp)
    onto = interior.onto[home]
    away = onto.centre_mm - emitter.place_of(lamp)
    far2 = np.einsum("qk,qk->q", away, away)
    which = (onto.size2_mm2 * LAMP_NEAR**2 > far2).nonzero()[0]
    normal, size2 = onto.pieces.normal[which], onto.size2_mm2[which]
    close = np.einsum("qk,qk->q", away[which], normal) ** 2 < BESIDE**2 * size2
    if not close.any():
        return NOTHING
    seen = emitter.seen(onto, lamp=lamp, which=which)
    if not (seen & close).any():
        return NOTHING
    lit_face = np.zeros(onto.count, dtype=np.bool_)
    lit_face[onto.pieces.face[which[seen]]] = True
    lit_face &= interior.reflectance[interior.first[home] : interior.first[home + 1]] > 0.0
    piece = lit_face[onto.pieces.face].nonzero()[0]
    if not len(piece):
        return NOTHING
    ahead = np.einsum("qk,qk->q", away[piece], onto.pieces.normal[piece])
    nearest = float((np.abs(ahead) / np.sqrt(onto.size2_mm2[piece])).min())
    share = min(max((BESIDE - nearest) / (BESIDE - BESIDE_WHOLLY), 0.0), 1.0)
    return Beside(face=lit_face.nonzero()[0], piece=piece, share=share)


def _large(centre: Floats, size2: Floats, *, normal: Floats, depth: int, spots_mm: Floats) -> Bools:
    """Tell which pieces are large for their distance to the nearest spot (S, 3) before them."""
    large = np.zeros(len(size2), dtype=np.bool_)
    if depth >= FINEST or not len(spots_mm):
        return large
    step = max(1, AT_ONCE // (3 * len(spots_mm)))
    for first in range(0, len(large), step):
        part = slice(first, first + step)
        gap = spots_mm.T[:, None] - centre[:, part, None]
        far2 = np.einsum("kqs,kqs->qs", gap, gap)
        before = np.einsum("kqs,qk->qs", gap, normal[part]) > TOUCH_MM
        before &= size2[part, None] > SPOT_FINE**2 * far2
        large[part] = before.any(axis=1)
    return large


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


def _among(screens: Screens, *, places_mm: Sequence[Floats]) -> Screens:
    """Keep the screens that can come between places (P, 3)."""
    if not len(screens.low_mm):
        return screens
    low = np.min([place[:, :2].min(axis=0) for place in places_mm], axis=0) - TOUCH_MM
    high = np.max([place[:, :2].max(axis=0) for place in places_mm], axis=0) + TOUCH_MM
    one, other = screens.start_mm, screens.end_mm
    kept = ((np.maximum(one, other) > low) & (np.minimum(one, other) < high)).all(axis=1)
    return screens.take(kept.nonzero()[0])


class _Bounce(Record):
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
    part, flux = emitter.arriving(
        lamp,
        onto=onto,
        which=by.piece,
        near=LAMP_FINE,
        screens=_among(
            interior.screens,
            places_mm=(pieces.corner_mm.reshape(-1, 3), emitter.place_of(lamp)[None]),
        ),
        large_too=lambda centre, size2, number, depth: _large(
            centre, size2, normal=onto.pieces.normal[number], depth=depth, spots_mm=spots_mm
        ),
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
    here = corner_mm.T - place_mm.T[:, None]
    normals = np.ascontiguousarray(normal.T)
    plain = np.arange(min(4, here.shape[1]))
    total = _under_edges(here[:, plain - 1], here[:, plain], normals[:, None]).sum(axis=0)
    for edge in range(4, here.shape[1]):
        # Few polygons have so many corners; those of the others are repeated.
        start, end = here[:, edge - 1], here[:, edge]
        rows = (start != end).any(axis=0).nonzero()[0]
        total[rows] += _under_edges(start[:, rows], end[:, rows], normals[:, rows])
    return np.asarray(np.abs(total) / pi)


def _under_edges(start: Floats, end: Floats, normal: Floats) -> Floats:
    """Half of the angle under which edges (3, ...) are seen, times how they lie to the normal."""
    (ax, ay, az), (bx, by, bz), (nx, ny, nz) = start, end, normal
    tx, ty, tz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    cross2 = tx * tx
    cross2 += ty * ty
    cross2 += tz * tz
    dot = ax * bx
    dot += ay * by
    dot += az * bz
    tx *= nx
    tx += ty * ny
    tx += tz * nz
    # The tangent of half the angle is the same expression in all four quadrants.
    long = np.sqrt(cross2 + dot * dot)
    long += dot
    size = np.sqrt(cross2)
    np.maximum(size, 1e-300, out=size)
    np.maximum(long, 1e-300, out=long)
    tx *= np.arctan(size / long)
    tx /= size
    return np.asarray(tx)


class _Marks(Record):
    """Spots near a lamp."""

    number: Ints
    """(S,)."""
    corner_mm: Floats
    """(S, v, 3)."""
    middle_mm: Floats
    """(S, 3)."""
    normal: Floats
    """(S, 3) towards the side that the light comes from."""


def _landed(glints: Glints, *, onto: _Marks, screens: Screens) -> Floats:
    """Light of glints that lands within flat polygons (T, v, 3), (T,). [lm/lm].

    A polygon that lies on the plane of a glint or partly behind it gets nothing of it, nor one that
    turns its back to it, as the far side of a baffle does; what screens hide is told by the middle
    of the polygon.
    """
    landed = np.zeros(len(onto.number))
    step = max(1, AT_ONCE // (onto.corner_mm.shape[1] * len(glints.sent)))
    for first in range(0, len(landed), step):
        part = slice(first, first + step)
        landed[part] = _landed_on(
            glints,
            corner_mm=onto.corner_mm[part],
            middle_mm=onto.middle_mm[part],
            normal=onto.normal[part],
            screens=screens,
        )
    return landed


def _landed_on(
    glints: Glints, *, corner_mm: Floats, middle_mm: Floats, normal: Floats, screens: Screens
) -> Floats:
    level = np.einsum("pk,pk->p", glints.place_mm, glints.normal)
    before = corner_mm @ glints.normal.T - level
    ahead = (before.min(axis=1) > -TOUCH_MM) & (before.max(axis=1) > TOUCH_MM)
    own_level = np.einsum("tk,tk->t", middle_mm, normal)
    ahead &= normal @ glints.place_mm.T > own_level[:, None] + TOUCH_MM
    target, glint = ahead.nonzero()
    place, sent = glints.place_mm[glint], glints.sent[glint]
    if len(screens.low_mm):
        sent = sent * lit(place, at=middle_mm[target], screens=screens)
    corner = corner_mm.T.take(target, axis=2).transpose(2, 1, 0)
    share = angles(place, normal=glints.normal[glint], corner_mm=corner)
    return np.asarray(np.bincount(target, sent * share, minlength=len(corner_mm)), dtype=np.float64)


def _near(
    place_mm: Floats,
    *,
    onto: emitter.Targets,
    piece: Ints,
    reach: float,
    area_mm2: Floats | None = None,
) -> Ints:
    """Which places (T, 3) are closer to some pieces than their diagonal times a reach.

    Of places with an area only those count that are smaller than a square with that diagonal.
    """
    middle, size2 = onto.centre_mm[piece], onto.size2_mm2[piece]
    far2 = np.einsum("tk,tk->t", place_mm, place_mm)[:, None]
    far2 = far2 + np.einsum("qk,qk->q", middle, middle)
    far2 -= 2.0 * place_mm @ middle.T
    near = far2 < reach**2 * size2
    if area_mm2 is not None:
        near &= area_mm2[:, None] < 0.5 * size2
    return np.asarray(near.any(axis=1).nonzero()[0])


def _spots_near(view: View, *, interior: Interior, glimpse: Glimpse, by: Beside) -> _Marks:
    """Find the spots of a glimpse near faces beside the lamp that lie before them.

    Over a spot no smaller than the face itself the light evens out as in the mesh.
    """
    onto, home = interior.onto[glimpse.cavity], interior.cavities[glimpse.cavity]
    height = float(home.mesh.height_mm[0 if glimpse.faces_up else -1])
    middle = np.column_stack([view.centre_mm, np.full(len(view.centre_mm), height)])
    own_plane = onto.pieces.face[by.piece] // home.cell_count == (0 if glimpse.faces_up else 1)
    piece = by.piece[~own_plane]
    near = _near(middle, onto=onto, piece=piece, reach=SPOT_NEAR, area_mm2=view.area_mm2)
    ring = view.ring_mm[near]
    if len(view.ring_mm) == 1 and ring.shape[1] > CHORDS:
        ring = _fewer_chords(ring, middle=view.centre_mm[near])
    corner = np.concatenate([ring, np.full((*ring.shape[:2], 1), height)], axis=2)
    facing = np.array([0.0, 0.0, 1.0 if glimpse.faces_up else -1.0])
    return _Marks(
        number=near,
        corner_mm=corner,
        middle_mm=middle[near],
        normal=np.broadcast_to(facing, (len(near), 3)),
    )


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
    column, layer = (table[walls] for table in home.patches())
    ends = np.array([0, 1, 1] + [0] * (most - 3))
    corner[~plates, :, :2] = mesh.foot_mm[column[:, None], ends]
    corner[~plates, :, 2] = mesh.height_mm[layer[:, None] + np.array([0, 0, 1] + [1] * (most - 3))]
    return corner


def _faces_near(interior: Interior, *, cavity: int, bounce: _Bounce) -> _Marks:
    """Find the faces near those that send most of the light."""
    own = slice(interior.first[cavity], interior.first[cavity + 1])
    centre = interior.centre_mm[own]
    near = _near(centre, onto=interior.onto[cavity], piece=bounce.bright, reach=1.0)
    return _Marks(
        number=near,
        corner_mm=_corners(interior.cavities[cavity], face=near),
        middle_mm=centre[near],
        normal=face_normals(interior.cavities[cavity])[near],
    )


def _arriving(
    interior: Interior, *, cavity: int, bounce: _Bounce, near: Ints, exact: Floats
) -> Floats:
    """Exact less mesh's flux at the faces of a cavity, (N,), adding up to 0."""
    rows = interior.exchange_mm2[cavity][bounce.face]
    flat = (bounce.sent.astype(np.float32) @ rows).astype(np.float64)
    change, rest = np.zeros(len(flat)), flat.copy()
    change[near] = exact - flat[near]
    rest[near] = 0.0
    if rest.sum() <= 0.0:
        return np.zeros(len(flat))
    return np.asarray(change - change.sum() * rest / rest.sum())


def _padded(corner: Floats, *, most: int) -> Floats:
    """Repeat the last corner of polygons (T, v, 3), (T, most, 3)."""
    return corner[:, np.minimum(np.arange(most), corner.shape[1] - 1)]


def _all_landed(bounce: _Bounce, *, marks: Sequence[_Marks], screens: Screens) -> list[Floats]:
    """Give ``_landed`` for several sets of polygons at once."""
    most = max(own.corner_mm.shape[1] for own in marks)
    every = _Marks(
        number=np.concatenate([own.number for own in marks]),
        corner_mm=np.concatenate([_padded(own.corner_mm, most=most) for own in marks]),
        middle_mm=np.concatenate([own.middle_mm for own in marks]),
        normal=np.concatenate([own.normal for own in marks]),
    )
    among = (every.corner_mm.reshape(-1, 3), bounce.glints.place_mm)
    landed = _landed(bounce.glints, onto=every, screens=_among(screens, places_mm=among))
    return np.split(landed, np.cumsum([len(own.number) for own in marks])[:-1])


class Missed(Record):
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
    if not len(bounce.glints.sent):
        return Missed(arriving=arriving, shown=shown)
    asked = [each for each in asked if len(each[-1].number)]
    marks = [own for *_, own in asked]
    if faces:
        marks.append(_faces_near(interior, cavity=cavity, bounce=bounce))
    landed = _all_landed(bounce, marks=marks, screens=interior.screens)
    if faces:
        own = slice(start, interior.first[cavity + 1])
        arriving[own] = by.share * _arriving(
            interior, cavity=cavity, bounce=bounce, near=marks[-1].number, exact=landed[-1]
        )
    for (view, glimpse, change, spot), exact in zip(asked, landed, strict=False):
        flat = glimpse.rows[spot.number[:, None], bounce.face + start] @ bounce.sent
        exact *= glimpse.share / view.area_mm2[spot.number]
        change[spot.number] += by.share * (exact - flat)
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
