"""Small lamps in place of the spots that a narrow beam lights, and what the mesh misses of them.

What a face throws back leaves it as from lamps lying on it that shine by the cosine. A spot smaller
than the cells it lies on is parted into such lamps. Their light, past what hides it, is exchanged
for what the mesh has from the same faces: on every face, and at every opening.
"""

from collections.abc import Sequence
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.beams import beam_of
from lamphouse.light.glints import AT_ONCE, Glints, glints_of
from lamphouse.light.interior import Interior
from lamphouse.light.landing import Landing, Lit
from lamphouse.light.pieces import Targets
from lamphouse.light.small_lamps import SmallLamps, rows_of
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


def _sums(rows: Floats, *, by: Ints) -> Floats:
    """Add up the columns of rows (3, P) by their groups (P,), (3, G)."""
    return np.stack([np.bincount(by, row) for row in rows]).astype(np.float64, copy=False)


def _nearest2(middle: Floats, *, spots_mm: Floats) -> Floats:
    """Square of the distance from places (3, M) to the nearest of others (S, 3), (M,). [mm2]."""
    found = np.full(middle.shape[1], np.inf)
    if not len(spots_mm):
        return found
    step = max(1, AT_ONCE // len(spots_mm))
    for first in range(0, len(found), step):
        part = slice(first, first + step)
        gap = middle[:, part, None] - spots_mm.T[:, None]
        found[part] = np.einsum("kms,kms->ms", gap, gap).min(axis=1)
    return found


def _parted(light: "SpotLight", *, spots_mm: Floats, fine: float, most: int) -> Ints:
    """Part glints into groups, each on one face and narrow for its distance to the nearest place.

    All groups are halved, and their halves, while they are wide; then as many are parted as there
    may be, those that are worth most first.

    Parameters
    ----------
    light
        The glints.
    spots_mm
        (S, 3); there may be none. None counts as farther than a face is large.
    fine, most
        As told at the constants.

    Returns
    -------
    Ints
        (P,) the group of each glint.
    """
    place, sent = light.glints.place_mm, light.glints.sent
    group = np.unique(light.face, return_inverse=True)[1]
    least, start, end = fine * sent.sum(), 0, int(group.max()) + 1
    roots, worths, halves = end, [], []
    while start < end:
        (here,) = (group >= start).nonzero()
        own, weight, aside = group[here] - start, sent[here], place[:, here]
        middle = _sums(weight * aside, by=own) / np.bincount(own, weight)
        aside -= middle[:, own]
        spread = _sums(weight * aside * aside, by=own)
        along = aside[spread.argmax(axis=0)[own], np.arange(len(own))]
        far2 = np.zeros(end - start)
        far2[own[::-1]] = light.size2[here[::-1]]
        worth = spread.max(axis=0) / np.minimum(far2, _nearest2(middle, spots_mm=spots_mm))
        two = np.bincount(own, along > 0.0) * np.bincount(own, along < 0.0)
        worth[(worth <= least) | (two == 0.0)] = 0.0
        splits = worth > 0.0
        half = end + 2 * (splits.cumsum() - splits)
        worths.append(worth)
        halves.append(half)
        (apart,) = splits[own].nonzero()
        group[here[apart]] = half[own[apart]] + (along[apart] > 0.0)
        start, end = end, end + 2 * int(splits.sum())
    kept = _kept(np.concatenate(worths), half=np.concatenate(halves), roots=roots, most=most)
    return np.unique(kept[group], return_inverse=True)[1]


def _kept(worth: Floats, *, half: Ints, roots: int, most: int) -> Ints:
    """Part groups until there are so many, and tell which each of all halves then belongs to, (G,).

    Parameters
    ----------
    worth
        (G,) of parting each group; 0 where it has no halves.
    half
        (G,) its first half; the second follows it.
    roots
        The groups to begin with, which are the first of all.
    most
        Groups at most, unless there are more to begin with.
    """
    worths, halves = worth.tolist(), half.tolist()
    heap = [(-worths[one], one) for one in range(roots) if worths[one]]
    heapify(heap)
    parted: set[int] = set()
    while heap and roots + len(parted) < most:
        one = heappop(heap)[1]
        parted.add(one)
        for part in (halves[one], halves[one] + 1):
            if worths[part]:
                heappush(heap, (-worths[part], part))
    of = np.arange(len(worth))
    # A group comes before its halves.
    for one in np.flatnonzero(worth).tolist():
        if one not in parted:
            of[halves[one] : halves[one] + 2] = of[one]
    return of


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

    def lamps(self) -> SmallLamps:
        """Part it into few small lamps for the faces, each with the flux it sends. [lm/lm]."""
        nowhere = np.zeros((0, 3))
        return self.parted(spots_mm=nowhere, fine=FINE_ON_FACES, most=MOST_ON_FACES)

    def parted(self, *, spots_mm: Floats, fine: float, most: int) -> SmallLamps:
        """Part it into small lamps, on either side, as fine as places (S, 3) want it."""
        group = _parted(self, spots_mm=spots_mm, fine=fine, most=most)
        glints, count = self.glints, int(group.max()) + 1
        first = np.zeros(count, dtype=np.int64)
        first[group] = np.arange(len(group))
        whole = np.bincount(group, glints.sent)
        place = _sums(glints.sent * glints.place_mm, by=group) / whole
        way, through = glints.plane[:3].take(glints.on[first], axis=1), self.through[first]
        lamps = SmallLamps(
            place_mm=np.concatenate([place + OFF_MM * way, place - OFF_MM * way], axis=1),
            axis=np.concatenate([way, -way], axis=1),
            flux_lm=np.concatenate([(1.0 - through) * whole, through * whole]),
        )
        return lamps.take(lamps.flux_lm > 0.0)


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
    if not views:
        return totals
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
        here = every.take(interior.home_of(every.place_mm[2]) == cavity)
        flux = rows_of(here, onto=beam.onto, screens=interior.screens)[0]
        for (number, part), where in beam.spots.items():
            view, glimpse = views[number], views[number].glimpses[part]
            totals[number] += glimpse.share * flux[where] / view.area_mm2 - glimpse.rows @ level
    return totals


def reflected(interior: Interior, *, lamps: SmallLamps) -> Floats:
    """Tell what all faces throw back of the light of small lamps, (N,). [lm]."""
    total, home = np.zeros(interior.face_count), interior.home_of(lamps.place_mm[2])
    for cavity, (onto, laying) in enumerate(zip(interior.onto, interior.laying, strict=True)):
        here = lamps.take(home == cavity)
        rows = rows_of(here, onto=onto, screens=interior.screens, evened=True)
        total += laying.sent(rows[1:], count=interior.face_count)
    return total


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
