"""Small lamps in place of the spots that a narrow beam lights, and what the mesh misses of them.

What a face throws back leaves it as from lamps lying on it that shine by the cosine. A spot smaller
than the cells it lies on is parted into such lamps. Their light, past what hides it, is exchanged
for what the mesh has from the same faces: on every face, and at every opening.
"""

from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import count

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.beams import beam_of
from lamphouse.light.glints import Glints, glints_of
from lamphouse.light.interior import Interior
from lamphouse.light.landing import Landing, Lit, landing
from lamphouse.light.pieces import Targets
from lamphouse.light.scene import CosinePower, Lamp
from lamphouse.light.step_size import STEP_WEIGHT
from lamphouse.light.views import View
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_ON_FACES, MOST_AT_OPENINGS = 48, 240
"""Lamps at most for one beam, unless it lights more faces; for the faces they are cells of the
mesh."""

FINE_ON_FACES, FINE_AT_OPENINGS = 1e-4, 1e-4
"""Glints are kept together that send less than this share of the light, times the square of their
spread over that of their distance."""

FAINT = 5e-3
"""What faces send that give less than this share of the light is left to the mesh."""

OFF_MM = 5e-10
"""How far a lamp lies before its face: so near that a baffle it lies on throws no shadow."""

EVEN = CosinePower(m=1.0)


def places_of(interior: Interior, *, views: Sequence[View], cavity: int) -> Floats:
    """Give the middles of the spots of openings, wherever the eye sees them, (S, 3). [mm].

    Seen from faces of one cavity: what lies beyond an inner sheet is as far as its mirror image.
    """
    found = [np.zeros((0, 3))]
    for view in views:
        for glimpse in view.glimpses:
            levels = interior.cavities[glimpse.cavity].mesh.height_mm
            height = float(levels[0 if glimpse.faces_up else -1])
            sheet = interior.box.sheet
            if sheet is not None and glimpse.cavity != cavity:
                height = 2.0 * sheet.height_mm - height
            found.append(np.column_stack([view.centre_mm, np.full(len(view.centre_mm), height)]))
    return np.concatenate(found)


def _parted(light: "SpotLight", *, spots_mm: Floats, fine: float, most: int) -> list[Ints]:
    """Part glints into groups, each on one face and narrow for its distance to the nearest place.

    Parameters
    ----------
    light
        The glints.
    spots_mm
        (S, 3); there may be none. None counts as farther than a face is large.
    fine, most
        As told at the constants.
    """
    glints, face, size2 = light.glints, light.face, light.size2
    place, sent = glints.place_mm.T, glints.sent

    def worth(which: Ints) -> tuple[float, Floats]:
        weight, mine = sent[which], place[which]
        middle = weight @ mine / weight.sum()
        aside = mine - middle
        spread = weight @ (aside * aside)
        far2 = float(size2[which[0]])
        if len(spots_mm):
            gap = spots_mm - middle
            far2 = min(far2, float(np.einsum("sk,sk->s", gap, gap).min()))
        way = int(spread.argmax())
        return float(spread[way]) / far2, aside[:, way]

    least, done = fine * sent.sum(), []
    heap: list[tuple[float, int, Ints, Floats]] = []
    number = count()

    def add(group: Ints) -> None:
        spread, along = worth(group)
        if spread > least and along.min() < 0.0 < along.max():
            heappush(heap, (-spread, next(number), group, along))
        else:
            done.append(group)

    for one in np.unique(face):
        add(np.flatnonzero(face == one))
    while heap and len(heap) + len(done) < most:
        *_, group, along = heappop(heap)
        add(group[along > 0.0])
        add(group[along <= 0.0])
    return done + [group for *_, group, _ in heap]


class SpotLight(Record):
    """The light of a narrow beam that some faces send from spots."""

    cavity: int
    """The lamp's."""
    glints: Glints
    face: Ints
    """(P,) the face of its cavity that each lies on."""
    size2: Floats
    """(P,) square of the diagonal of the piece. [mm2]."""
    through: Floats
    """(P,) share of it that leaves on the other side."""
    mesh: Floats
    """(N,) what the mesh has of it. [lm/lm]."""

    def lamps(self) -> list[Lamp]:
        """Part it into few small lamps for the faces, each with the flux it sends. [lm/lm]."""
        nowhere = np.zeros((0, 3))
        return self.parted(spots_mm=nowhere, fine=FINE_ON_FACES, most=MOST_ON_FACES)

    def parted(self, *, spots_mm: Floats, fine: float, most: int) -> list[Lamp]:
        """Part it into small lamps, on either side, as fine as places (S, 3) want it."""
        found = []
        for group in _parted(self, spots_mm=spots_mm, fine=fine, most=most):
            weight, first = self.glints.sent[group], group[0]
            whole = float(weight.sum())
            place = self.glints.place_mm[:, group] @ weight / whole
            way, through = self.glints.plane[:3, self.glints.on[first]], float(self.through[first])
            for side, share in ((way, 1.0 - through), (-way, through)):
                if share > 0.0:
                    x, y, z = (place + OFF_MM * side).tolist()
                    a, b, c = side.tolist()
                    found.append(
                        Lamp(
                            name="",
                            x_mm=x,
                            y_mm=y,
                            z_mm=z,
                            direction=(a, b, c),
                            beam=EVEN,
                            flux_lm=share * whole,
                        )
                    )
        return found


def spot_light(
    interior: Interior,
    *,
    cavity: int,
    piece: Ints,
    parts: Sequence[Lit],
    onto: Targets,
    landed: Landing,
) -> SpotLight | None:
    """Find what faces send of a narrow beam's light on their pieces; None where that is nothing.

    Parameters
    ----------
    interior, cavity
        The box, and the cavity of the lamp.
    piece
        The pieces lit in spots, rising.
    parts, onto
        The light on them, and the pieces of the cavity's faces, others perhaps after them.
    landed
        The same added up over the faces (n,) of the cavity.
    """
    laying = interior.laying[cavity]
    number = len(laying.back)
    back = laying.back + laying.through
    sent = back * landed.weighed
    bright = np.zeros(number, dtype=np.bool_)
    bright[onto.pieces.face[piece]] = True
    bright &= sent > FAINT * sent.sum()
    piece = piece[bright[onto.pieces.face[piece]]]
    glints = glints_of(parts, onto=onto, which=piece, back=back)
    if not len(glints.sent):
        return None
    on = piece[glints.on]
    face = onto.pieces.face[on]
    told = np.bincount(face, glints.sent, minlength=number)[face]
    return SpotLight(
        cavity=cavity,
        glints=Glints(
            place_mm=glints.place_mm,
            sent=glints.sent * sent[face] / told,
            on=glints.on,
            plane=glints.plane,
        ),
        face=face,
        size2=onto.size2_mm2[on],
        through=laying.through[face] / back[face],
        mesh=laying.sent(np.where(bright, landed.rows[1:], 0.0), count=interior.face_count),
    )


def exchanged_at(interior: Interior, *, light: SpotLight, views: Sequence[View]) -> list[Floats]:
    """Luminance of the spots of openings by small lamps, less what the mesh has of them.

    What the lobe of a hazy sheet sees is left to the mesh.

    Returns
    -------
    list of Floats
        (S,) for each view. [1/mm2 sr].
    """
    totals = [np.zeros(len(view.area_mm2)) for view in views]
    every = light.parted(
        spots_mm=places_of(interior, views=views, cavity=light.cavity),
        fine=FINE_AT_OPENINGS,
        most=MOST_AT_OPENINGS,
    )
    level = (light.mesh / interior.area_mm2).astype(np.float32)
    for cavity in range(len(interior.cavities)):
        beam = beam_of(views, cavity=cavity)
        if beam.onto is None:
            continue
        flux = np.zeros(beam.onto.count)
        for lamp in every:
            if interior.home(lamp) == cavity:
                flux += lamp.flux_lm * landing(lamp, onto=beam.onto, screens=interior.screens).flux
        for (number, part), where in beam.spots.items():
            view, glimpse = views[number], views[number].glimpses[part]
            totals[number] += glimpse.share * flux[where] / view.area_mm2 - glimpse.rows @ level
    return totals


def mesh_again(interior: Interior, *, light: SpotLight) -> Floats:
    """Tell what all faces throw back of what the meshes have of it, (N,). [lm/lm].

    As figures are extrapolated from the fine mesh and the coarse one, so is this: what small lamps
    give instead needs no more of it.
    """
    arriving, area = np.zeros(interior.face_count), interior.area_mm2
    for number, table in enumerate(interior.exchange_mm2):
        own = interior.laying[number].own
        arriving[own] = table @ (light.mesh[own] / area[own]).astype(np.float32)
    parent = interior.parent
    even = np.bincount(parent, arriving) / np.bincount(parent, area)
    arriving += STEP_WEIGHT * (arriving - area * even[parent])
    again = interior.reflectance * arriving
    if interior.box.sheet is not None:
        again += interior.transmittance * arriving[interior.twin]
    return np.asarray(again)
