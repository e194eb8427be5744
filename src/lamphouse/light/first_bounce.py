"""What the first reflection off faces close to a lamp shows at spots close to those faces.

A lamp near a wall lights it in a patch much smaller than a face of the mesh. Seen from afar only
the amount and the middle of that patch matter, and the mesh keeps both; seen from a spot beside the
wall its place within the face matters too. There the mesh's answer is exchanged for a sum over the
lit pieces of the face, each seen under its own exact angle. The lobe of a hazy sheet looks ahead,
not aside, and keeps the mesh's answer.
"""

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.interior import Interior, first_reflection, laid_down
from lamphouse.light.scene import Lamp
from lamphouse.light.sight import lit
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

FINE = 0.4
"""A piece is quartered while its diagonal is longer than its distance to the spots times this."""

FINEST = 5
"""Quarterings at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glints:
    """Small lit pieces of faces, as points."""

    place_mm: Floats
    """(P, 3)."""
    normal: Floats
    """(P, 3)."""
    sent: Floats
    """(P,) what each throws back. [lm/lm]."""


def near_faces(interior: Interior, *, lamp: Lamp) -> Ints:
    """Find, within its cavity, the faces lit from near by a lamp beside one of them."""
    onto = interior.onto[interior.home(lamp)]
    away = onto.centre_mm - emitter.place_of(lamp)
    far2 = np.einsum("qk,qk->q", away, away)
    which = np.flatnonzero(onto.size2_mm2 * LAMP_NEAR**2 > far2)
    ahead = np.einsum("qk,qk->q", away[which], onto.pieces.normal[which])
    beside = which[ahead**2 < BESIDE**2 * onto.size2_mm2[which]]
    if not len(beside) or not emitter.seen(onto, lamp=lamp, which=beside).any():
        return np.zeros(0, dtype=np.int64)
    return np.unique(onto.pieces.face[which[emitter.seen(onto, lamp=lamp, which=which)]])


def _share(interior: Interior, *, lamp: Lamp, faces: Ints) -> float:
    """Tell how far what the mesh misses counts: figures change smoothly as a lamp leaves a wall."""
    onto = interior.onto[interior.home(lamp)]
    which = np.flatnonzero(np.isin(onto.pieces.face, faces))
    away = onto.centre_mm[which] - emitter.place_of(lamp)
    ahead = np.abs(np.einsum("qk,qk->q", away, onto.pieces.normal[which]))
    nearest = float((ahead / np.sqrt(onto.size2_mm2[which])).min())
    return min(max((BESIDE - nearest) / (BESIDE - BESIDE_WHOLLY), 0.0), 1.0)


def _fine(onto: emitter.Targets, *, faces: Ints, spots_mm: Floats) -> emitter.Targets:
    """Cut faces until they are small for their distance to the nearest spot (S, 3)."""
    pieces = emitter.take(onto.pieces, which=np.flatnonzero(np.isin(onto.pieces.face, faces)))
    done = []
    for _ in range(FINEST):
        laid = emitter.targets(pieces, count=onto.count)
        gap = laid.centre_mm[:, None] - spots_mm[None]
        near2 = np.einsum("qsk,qsk->qs", gap, gap).min(axis=1)
        large = laid.size2_mm2 > FINE**2 * near2
        done.append(emitter.take(pieces, which=np.flatnonzero(~large)))
        pieces = emitter.quartered(emitter.take(pieces, which=np.flatnonzero(large)))
        if not len(pieces.face):
            break
    return emitter.targets(emitter.join([*done, pieces]), count=onto.count)


def _glints(parts: list[tuple[emitter.Targets, Floats]], *, back: Floats) -> Glints:
    places, normals, sents = [], [], []
    for part, flux in parts:
        whole = flux.sum(axis=0)
        kept = whole > 0.0
        share = flux[:, kept] / whole[kept]
        places.append(
            np.stack(
                [(axis[:, kept] * share).sum(axis=0) for axis in (part.x_mm, part.y_mm, part.z_mm)],
                axis=1,
            )
        )
        normals.append(part.pieces.normal[kept])
        sents.append(whole[kept] * part.pieces.weight[kept] * back[part.pieces.face[kept]])
    return Glints(
        place_mm=np.concatenate(places),
        normal=np.concatenate(normals),
        sent=np.concatenate(sents),
    )


def _thrown(interior: Interior, *, cavity: int) -> Floats:
    """Give what the faces of a cavity throw back of the weighed light that lands on them."""
    back = interior.reflectance[interior.first[cavity] : interior.first[cavity + 1]].copy()
    if cavity == len(interior.cavities) - 1:
        # The pieces of the panel weigh light by what they throw back.
        cells = interior.cavities[cavity].cell_count
        back[cells : 2 * cells] = 1.0
    return back


def angles(glints: Glints, *, corner_mm: Floats) -> Floats:
    """Share of the light of each glint that lands within a flat polygon (v, 3), (P,).

    The contour sum over the polygon's edges [STOKES-FF]; 0 where it lies on the glint's plane or
    partly behind it.
    """
    before = corner_mm @ glints.normal.T - np.sum(glints.place_mm * glints.normal, axis=1)
    ray = corner_mm[None] - glints.place_mm[:, None]
    after = np.roll(ray, -1, axis=1)
    turn = np.cross(ray, after)
    size = np.sqrt(np.einsum("pvk,pvk->pv", turn, turn))
    angle = np.arctan2(size, np.einsum("pvk,pvk->pv", ray, after))
    tilt = np.einsum("pvk,pk->pv", turn, glints.normal)
    share = np.abs((angle * tilt / np.maximum(size, 1e-300)).sum(axis=1)) / (2.0 * pi)
    return np.where((before.min(axis=0) > -TOUCH_MM) & (before.max(axis=0) > TOUCH_MM), share, 0.0)


def _exchanged(
    view: View, *, interior: Interior, lamp: Lamp, glimpse: Glimpse, faces: Ints
) -> Floats:
    """Exact less mesh's luminance at each spot by way of some faces of the lamp's cavity, (S,)."""
    cavity = glimpse.cavity
    onto, mesh = interior.onto[cavity], interior.cavities[cavity].mesh
    start = interior.first[cavity]
    height = float(mesh.height_mm[0 if glimpse.faces_up else -1])
    _, centre = ring_area_centre(view.ring_mm)
    spots = np.column_stack([centre, np.full(len(centre), height)])
    cells = interior.cavities[cavity].cell_count
    level = slice(0, cells) if glimpse.faces_up else slice(cells, 2 * cells)
    faces = np.setdiff1d(faces, np.arange(2 * cells)[level])
    own = np.isin(onto.pieces.face, faces)
    gap = spots[:, None] - onto.centre_mm[own][None]
    far2 = np.einsum("sqk,sqk->sq", gap, gap)
    near = np.flatnonzero((far2 < SPOT_NEAR**2 * onto.size2_mm2[own]).any(axis=1))
    change = np.zeros(len(spots))
    if not len(near):
        return change
    fine = _fine(onto, faces=faces, spots_mm=spots[near])
    parts = emitter.arriving(lamp, onto=fine, screens=interior.screens)
    glints = _glints(parts, back=_thrown(interior, cavity=cavity))
    smeared = laid_down(
        interior, landed=emitter.summed(parts, count=onto.count), cavity=cavity, emitted=1.0
    )
    for number in near:
        ring = view.ring_mm[number]
        corner = np.column_stack([ring, np.full(len(ring), height)])
        sent = glints.sent
        if len(interior.screens.low_mm):
            sent = sent * lit(glints.place_mm, at=spots[number], screens=interior.screens)
        exact = glimpse.share * float(sent @ angles(glints, corner_mm=corner))
        own_cavity = slice(start, interior.first[cavity + 1])
        flat = glimpse.rows[number, own_cavity] @ (smeared / interior.area_mm2)[own_cavity]
        change[number] = exact / view.area_mm2[number] - flat
    return change


def close_up(view: View, *, interior: Interior, lamp: Lamp, faces: Ints | None = None) -> Floats:
    """Add to the mesh's luminance of each spot what it misses beside a lamp, (S,). [1/mm2 sr].

    Parameters
    ----------
    view, interior
        The opening and its box.
    lamp
        A lamp of 1 lm.
    faces
        Its ``near_faces``, where they are known already.
    """
    cavity = interior.home(lamp)
    change = np.zeros(len(view.area_mm2))
    faces = near_faces(interior, lamp=lamp) if faces is None else faces
    if not len(faces):
        return change
    for glimpse in view.glimpses:
        if glimpse.cavity == cavity and glimpse.onto.lobe is None:
            change += _exchanged(view, interior=interior, lamp=lamp, glimpse=glimpse, faces=faces)
    return change * _share(interior, lamp=lamp, faces=faces)


def _corners(interior: Interior, *, cavity: int, face: int) -> Floats:
    """Corners of a face, (v, 3). [mm]."""
    home = interior.cavities[cavity]
    mesh, cells = home.mesh, home.cell_count
    if face < 2 * cells:
        ring = mesh.corner_mm[face % cells]
        return np.column_stack(
            [ring, np.full(len(ring), mesh.height_mm[0 if face < cells else -1])]
        )
    columns, layers = np.nonzero(home.wall)
    column, layer = columns[face - 2 * cells], layers[face - 2 * cells]
    (start, end), (low, high) = mesh.foot_mm[column], mesh.height_mm[layer : layer + 2]
    return np.array([(*start, low), (*end, low), (*end, high), (*start, high)])


def _arriving_change(interior: Interior, *, lamp: Lamp, cavity: int, faces: Ints) -> Floats:
    """Exact less mesh's flux at the faces of a cavity by way of some of them, adding up to 0."""
    onto = interior.onto[cavity]
    own = slice(interior.first[cavity], interior.first[cavity + 1])
    which = np.flatnonzero(np.isin(onto.pieces.face, faces))
    pieces = emitter.take(onto.pieces, which=which)
    parts = emitter.arriving(
        lamp, onto=emitter.targets(pieces, count=onto.count), screens=interior.screens
    )
    glints = _glints(parts, back=_thrown(interior, cavity=cavity))
    smeared = laid_down(
        interior, landed=emitter.summed(parts, count=onto.count), cavity=cavity, emitted=1.0
    )[own]
    flat = interior.exchange_mm2[cavity] @ (smeared / interior.area_mm2[own])
    centre = interior.centre_mm[own]
    gap = centre[:, None] - onto.centre_mm[which][None]
    near = (np.einsum("nqk,nqk->nq", gap, gap) < onto.size2_mm2[which]).any(axis=1)
    change = np.zeros(len(flat))
    for face in np.flatnonzero(near).tolist():
        sent = glints.sent
        if len(interior.screens.low_mm):
            sent = sent * lit(glints.place_mm, at=centre[face], screens=interior.screens)
        corner = _corners(interior, cavity=cavity, face=face)
        change[face] = float(sent @ angles(glints, corner_mm=corner)) - flat[face]
    rest = np.where(near, 0.0, flat)
    if rest.sum() <= 0.0:
        return np.zeros(len(flat))
    return np.asarray(change - change.sum() * rest / rest.sum())


def first_light(
    interior: Interior,
    *,
    lamp: Lamp,
    landed: emitter.Landing | None = None,
    faces: Ints | None = None,
) -> tuple[Floats, Floats]:
    """Give ``first_reflection``, and beside the lamp what the mesh misses of it.

    What it misses of the light that arrives after one reflection is thrown back with it.
    """
    direct, sent = first_reflection(interior, lamp=lamp, landed=landed)
    cavity = interior.home(lamp)
    faces = near_faces(interior, lamp=lamp) if faces is None else faces
    if len(faces):
        own = slice(interior.first[cavity], interior.first[cavity + 1])
        change = np.zeros(interior.face_count)
        change[own] = _arriving_change(interior, lamp=lamp, cavity=cavity, faces=faces)
        change *= _share(interior, lamp=lamp, faces=faces)
        sent += interior.reflectance * change
        if interior.box.sheet is not None:
            sent += interior.transmittance * change[interior.twin]
    return direct, sent
