"""What the first reflection off faces close to a lamp shows at spots close to those faces.

A lamp near a wall lights it in a patch much smaller than a face of the mesh. Seen from afar only
the amount and the middle of that patch matter, and the mesh keeps both; seen from a spot beside the
wall its place within the face matters too. There the mesh's answer is exchanged for a sum over the
lit pieces of the face, each seen under its own exact angle. A narrow beam lights such patches from
anywhere, and its share of the light is large: small lamps stand for them, see ``spot_lamps``.
The lobe of a hazy sheet looks ahead, not aside, and keeps the mesh's answer.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.beside_lamp import Beside, beside, closer_for
from lamphouse.light.glints import Glints, among, glints_of, landed_of
from lamphouse.light.interior import Interior, first_reflection
from lamphouse.light.landing import Landing, Lit, light_on, summed
from lamphouse.light.near_pieces import Closer
from lamphouse.light.near_spots import NearSpots, laid_spots, near_places, spots_near
from lamphouse.light.pieces import Targets
from lamphouse.light.polygons import Polygons
from lamphouse.light.scene import Lamp
from lamphouse.light.spot_lamps import (
    SpotLight,
    exchanged_at,
    mesh_again,
    places_of,
    reflected,
    spot_light,
)
from lamphouse.light.stance import Stance, stance_of
from lamphouse.light.viewers import Screens
from lamphouse.light.views import View
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

FAINT = 1e-2
"""A face that sends less than this share of the light has no faces near it."""


class _Bounce(Record):
    """A lamp's light reflected off the faces beside it, told in two ways."""

    glints: Glints
    face: Ints
    """(M,) faces of the cavity that send it as the mesh has it: the same and their neighbours."""
    sent: Floats
    """(M,) per area. [lm/lm mm2]."""
    bright: Ints
    """(Q,) pieces of the faces that send more than a faint share of it."""


def _bounce(
    interior: Interior,
    *,
    cavity: int,
    by: Beside,
    parts: Sequence[Lit],
    onto: Targets,
    landed: Landing,
) -> _Bounce:
    """Reflect a lamp's light off the faces beside it, as it lies on their pieces (Q,)."""
    faces, laying = interior.onto[cavity], interior.laying[cavity]
    lit = laying.sent_within(landed.rows[1:], face=by.face)
    (face,) = lit.nonzero()
    bright = lit[faces.pieces.face[by.piece]] > FAINT * lit.sum()
    return _Bounce(
        glints=glints_of(parts, onto=onto, which=by.piece, back=laying.back),
        face=face,
        sent=lit[face] / interior.area_mm2[laying.own][face],
        bright=by.piece[bright],
    )


def _arriving(
    interior: Interior, *, cavity: int, bounce: _Bounce, near: Ints, exact: Floats
) -> Floats:
    """Exact less mesh's flux at the faces of a cavity, (N,), adding up to 0."""
    rows = interior.exchange_mm2[cavity].take(bounce.face, axis=0)
    rest = (bounce.sent.astype(np.float32) @ rows).astype(np.float64)
    change = exact - rest[near]
    rest[near] = 0.0
    whole = rest.sum()
    if whole <= 0.0:
        return np.zeros(len(rest))
    rest *= -change.sum() / whole
    rest[near] = change
    return rest


def _padded(corner: Floats, *, most: int) -> Floats:
    """Repeat the last corner of polygons (3, v, T), (3, most, T)."""
    if corner.shape[1] == most:
        return corner
    return corner[:, np.minimum(np.arange(most), corner.shape[1] - 1)]


def _all_landed(glints: Glints, *, onto: Sequence[Polygons], screens: Screens) -> list[Floats]:
    """Give ``landed_of`` for several sets of polygons at once."""
    every = onto[0]
    if len(onto) > 1:
        most = max(own.corner_mm.shape[1] for own in onto)
        every = Polygons(
            corner_mm=np.concatenate([_padded(own.corner_mm, most=most) for own in onto], axis=2),
            middle=np.concatenate([own.middle for own in onto], axis=1),
            plane=np.concatenate([own.plane for own in onto], axis=1),
        )
    places = (every.corner_mm, glints.place_mm)
    landed = landed_of(glints, onto=every, screens=among(screens, places_mm=places))
    if len(onto) == 1:
        return [landed]
    return np.split(landed, np.cumsum([own.plane.shape[1] for own in onto])[:-1])


class Missed(Record):
    """What the mesh misses of the first reflection of a lamp of 1 lm."""

    again: Floats
    """(N,) of what all faces throw back of it. [lm/lm]."""
    shown: tuple[Floats, ...]
    """(S,) of the luminance of each spot, for each view. [1/mm2 sr]."""


class Vicinity(Record):
    """What is near a lamp that is beside a face."""

    by: Beside
    asked: NearSpots | None
    """The spots near it."""
    closer: Closer | None
    """How finely the spots see the light on the faces."""


def vicinity(
    interior: Interior,
    *,
    lamp: Lamp,
    views: Sequence[View],
    spots: Sequence[NearSpots],
    stance: Stance,
    follows_spots: bool = True,
) -> Vicinity | None:
    """Find what is near a lamp; None for a lamp in the open.

    Parameters
    ----------
    interior, lamp
        The box and the lamp.
    views, spots
        Openings whose spots are looked for, and these as ``laid_spots`` has them.
    stance
        How the pieces of the faces stand to the lamp; others may follow them.
    follows_spots
        As for ``beside``.
    """
    by = beside(interior, lamp=lamp, stance=stance, follows_spots=follows_spots)
    if by is None:
        return None
    cavity = interior.home(lamp)
    if by.narrow:
        places = places_of(interior, views=views, cavity=cavity)
        closer = closer_for(interior.onto[cavity], piece=by.piece, spots_mm=places)
        return Vicinity(by=by, asked=None, closer=closer)
    asked = spots_near(spots[cavity], interior=interior, cavity=cavity, piece=by.piece)
    if not len(asked.of):
        return Vicinity(by=by, asked=None, closer=None)
    closer = closer_for(interior.onto[cavity], piece=by.piece, spots_mm=asked.polygons.middle_mm)
    return Vicinity(by=by, asked=asked, closer=closer)


def missed_of(
    interior: Interior,
    *,
    cavity: int,
    near: Vicinity | None,
    views: Sequence[View],
    parts: Sequence[Lit],
    onto: Targets,
    landed: Landing,
    faces: bool = True,
) -> Missed:
    """Find what the mesh misses beside a lamp whose light on the faces is known.

    Parameters
    ----------
    interior, cavity
        The box, and the lamp's cavity.
    near, views
        What is near the lamp, and the views this was asked for.
    parts, onto
        The light on the pieces of the cavity's faces, others perhaps after them.
    landed
        The same added up over the faces (N,) of the cavity.
    faces
        Whether the faces are asked for.
    """
    found = _nothing_missed(interior, views=views)
    if near is None or not (faces or near.asked is not None or near.by.narrow):
        return found
    by, own = near.by, interior.laying[cavity].own
    if by.narrow:
        light = spot_light(
            interior, cavity=cavity, piece=by.piece, parts=parts, onto=onto, landed=landed
        )
        if light is None:
            return found
        return _exchanged(interior, light=light, share=by.share, views=views, faces=faces)
    bounce = _bounce(interior, cavity=cavity, by=by, parts=parts, onto=onto, landed=landed)
    if not len(bounce.glints.sent):
        return found
    polygons = [] if near.asked is None else [near.asked.polygons]
    if faces:
        every = interior.faces[cavity]
        close = near_places(
            every.middle, onto=interior.onto[cavity], piece=bounce.bright, reach=1.0
        )
        polygons.append(every.take(close))
    exact = _all_landed(bounce.glints, onto=polygons, screens=interior.screens)
    if faces:
        arriving = np.zeros(interior.face_count)
        arriving[own] = by.share * _arriving(
            interior, cavity=cavity, bounce=bounce, near=close, exact=exact[-1]
        )
        found.again[:] = interior.reflectance * arriving
        if interior.box.sheet is not None:
            found.again[:] += interior.transmittance * arriving[interior.twin]
    if near.asked is not None:
        for number, glimpse, which in near.asked.by_glimpse():
            spot = near.asked.spot[which]
            flat = glimpse.rows[spot[:, None], bounce.face + own.start] @ bounce.sent
            shown = exact[0][which] * (glimpse.share / views[number].area_mm2[spot])
            found.shown[number][spot] += by.share * (shown - flat)
    return found


def _exchanged(
    interior: Interior, *, light: SpotLight, share: float, views: Sequence[View], faces: bool
) -> Missed:
    """Exchange the light of small lamps for what the mesh has of the spots they stand for."""
    found = _nothing_missed(interior, views=views)
    if faces:
        found.again[:] += reflected(interior, lamps=light.lamps())
        found.again[:] -= mesh_again(interior, light=light)
    shown = exchanged_at(interior, light=light, views=views)
    for own, total in zip(shown, found.shown, strict=True):
        total += own
    for total in (found.again, *found.shown):
        total *= share
    return found


def _nothing_missed(interior: Interior, *, views: Sequence[View]) -> Missed:
    return Missed(
        again=np.zeros(interior.face_count),
        shown=tuple(np.zeros(len(view.area_mm2)) for view in views),
    )


def missed(
    interior: Interior,
    *,
    lamp: Lamp,
    views: Sequence[View],
    spots: Sequence[NearSpots],
    faces: bool = True,
) -> Missed:
    """Find what the mesh misses beside a lamp, at faces and spots close by.

    Parameters
    ----------
    interior
        The box.
    lamp
        A lamp of 1 lm.
    views, spots
        Openings, and their spots as ``laid_spots`` has them.
    faces
        Whether the faces are asked for.
    """
    cavity = interior.home(lamp)
    onto = interior.onto[cavity]
    stance = stance_of(onto, lamp=lamp)
    near = vicinity(interior, lamp=lamp, views=views, spots=spots, stance=stance)
    if near is None or not (faces or near.asked is not None or near.by.narrow):
        return _nothing_missed(interior, views=views)
    parts = light_on(
        lamp,
        onto=onto,
        screens=interior.screens,
        stance=stance,
        only=near.by.piece,
        closer=near.closer,
    )
    return missed_of(
        interior,
        cavity=cavity,
        near=near,
        views=views,
        parts=parts,
        onto=onto,
        landed=summed(parts, onto=onto),
        faces=faces,
    )


def first_light(interior: Interior, *, lamp: Lamp) -> tuple[Floats, Floats]:
    """Give ``first_reflection``, and beside the lamp what the mesh misses of it.

    What it misses of the light that arrives after one reflection is thrown back with it.
    """
    cavity = interior.home(lamp)
    onto = interior.onto[cavity]
    stance = stance_of(onto, lamp=lamp)
    spots = laid_spots((), interior=interior)
    near = vicinity(interior, lamp=lamp, views=(), spots=spots, stance=stance)
    parts = light_on(lamp, onto=onto, screens=interior.screens, stance=stance)
    landed = summed(parts, onto=onto)
    beyond_mesh = missed_of(
        interior, cavity=cavity, near=near, views=(), parts=parts, onto=onto, landed=landed
    )
    direct, sent = first_reflection(interior, lamp=lamp, landed=landed)
    return direct, sent + beyond_mesh.again
