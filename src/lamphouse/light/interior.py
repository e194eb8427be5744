"""The inside of a box: its faces, their paint, and the exchange of light between them."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.box_mesh import meshes_of
from lamphouse.light.cover import shares
from lamphouse.light.crossings import crossings
from lamphouse.light.evening import evened
from lamphouse.light.face_rays import slices
from lamphouse.light.faces_aside import neighbours
from lamphouse.light.factors import (
    Cavity,
    cells_facing,
    exchanges,
    face_areas,
    make_cavity,
    walls_facing,
)
from lamphouse.light.landing import Landing, landing
from lamphouse.light.laying import Laying, laying_of
from lamphouse.light.mesh import Mesh
from lamphouse.light.pieces import (
    Pieces,
    Targets,
    join,
    level_pieces,
    targets,
    upright_pieces,
)
from lamphouse.light.polygons import Polygons, faces_of
from lamphouse.light.rims import fill_reflectance, rimmed
from lamphouse.light.scene import Aperture, Box, Lamp
from lamphouse.light.sight import PlanSight, Sight, plan_sight, visible
from lamphouse.light.slit_lines import add_lines, closed
from lamphouse.light.slits import Slit, doubt_of, narrow_slits
from lamphouse.light.step_size import screens_of, step_mm
from lamphouse.light.turning import straight_shape, straightened
from lamphouse.light.viewers import Screens
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]

Ints = NDArray[np.int64]

Bools = NDArray[np.bool_]

Singles = NDArray[np.float32]


PARALLEL = 1e-6
"""Squared sine below which two directions are one."""


class Interior(Record):
    """The faces of a box, all cavities one after the other, and the exchange between them."""

    box: Box
    cavities: tuple[Cavity, ...]
    """From the back to the panel; two when the box has an inner sheet."""
    first: tuple[int, ...]
    """Number of each cavity's first face, and the number of all faces N."""
    area_mm2: Floats
    """(N,)."""
    exchange_mm2: tuple[Singles, ...]
    """One symmetric matrix for each cavity; its rows add up to the faces' areas."""
    reflectance: Floats
    """(N,) a panel cell that an opening covers in part has the mean."""
    transmittance: Floats
    """(N,) through the inner sheet, to the twin."""
    twin: Ints
    """(N,) the face on the other side of the inner sheet; itself elsewhere."""
    lower: Ints
    """(2, N) neighbour on one side, along two directions of the face; itself where none is."""
    upper: Ints
    """(2, N) neighbour on the other side."""
    per_mm: Floats
    """(2, N, 3) what a place off the middle is multiplied by for its parts along both ways from
    lower to upper; 0 without neighbours. [1/mm]."""
    centre_mm: Floats
    """(N, 3)."""
    parent: Ints
    """(N,) face of the coarse mesh."""
    onto: tuple[Targets, ...]
    """The faces of each cavity, laid out for direct light."""
    faces: tuple[Polygons, ...]
    """Those of each cavity."""
    laying: tuple[Laying, ...]
    """How light is laid down in each cavity."""
    plan: PlanSight
    """What its faces see in plan."""
    shut: PlanSight
    """The same with narrow slits closed."""
    closure: float
    """Largest defect of a row of the exchange before it was evened out, relative."""
    slits: tuple[Slit, ...] = ()
    """Narrow ones over and under baffles."""
    doubt: float = 0.0
    """What figures may be off by for narrow slits, relative."""

    @property
    def screens(self) -> Screens:
        """What casts shadows."""
        return self.plan.screens

    @property
    def face_count(self) -> int:
        """Number of all faces N."""
        return self.first[-1]

    def panel(self) -> slice:
        """Numbers of the panel's cells."""
        cells = self.cavities[-1].cell_count
        return slice(self.first[-2] + cells, self.first[-2] + 2 * cells)

    def home(self, lamp: Lamp) -> int:
        """Tell which cavity a lamp is in."""
        return int(self.home_of(np.array(lamp.z_mm)))

    def home_of(self, z_mm: Floats) -> Ints:
        """Tell which cavity each of several heights is in."""
        sheet = self.box.sheet
        return np.asarray(z_mm > (np.inf if sheet is None else sheet.height_mm), dtype=np.int64)


def _sights(cavities: Sequence[Cavity], *, plan: PlanSight) -> list[Sight | None]:
    """Find what hides what in each cavity; where only the plan decides, as in the one below."""
    screens = plan.screens
    plates, aside, walls = (
        crossings(mine, theirs=theirs, screens=screens, facing=facing)
        for mine, theirs, facing in (
            (plan.cells, plan.cells, None),
            (plan.cells, plan.columns, cells_facing(cavities[0])),
            (plan.columns, plan.columns, walls_facing(cavities[0])),
        )
    )
    found: list[Sight | None] = []
    last: tuple[list[int], Sight] | None = None
    for cavity in cavities:
        height = cavity.mesh.height_mm
        low, high = float(height[0]), float(height[-1])
        which = plan.reaching(low_mm=low, high_mm=high)
        if not which:
            found.append(None)
            continue
        own = screens.take(which)
        plain = own.reach_over(low_mm=low, high_mm=high)
        if plain and last is not None and last[0] == which and last[1].plain:
            found.append(last[1])
            continue
        level, upright = plan.level(low, high), plan.upright(height)
        over, past, along = (
            [every[number] for number in which] for every in (plates, aside, walls)
        )
        shares = visible(level, other=upright, screens=own, met=past)
        sight = Sight(
            plain=plain,
            plates=visible(level, other=level, screens=own, met=over, opposite=True)[0, 0],
            floor=shares[0],
            ceiling=shares[-1],
            walls=visible(upright, other=upright, screens=own, met=along),
        )
        found.append(sight)
        last = which, sight
    return found


def _parents(cavity: Cavity) -> Ints:
    """Coarse face of every face of one cavity."""
    made = cavity.mesh
    column, layer = cavity.patches()
    cells = int(made.cell_parent.max()) + 1
    patch = made.column_parent[column] * len(made.layer_parent) + made.layer_parent[layer]
    _, patch = np.unique(patch, return_inverse=True)
    return np.concatenate([made.cell_parent, made.cell_parent + cells, patch + 2 * cells])


def _paints(
    box: Box, *, cavities: tuple[Cavity, ...], first: tuple[int, ...]
) -> tuple[Floats, Floats, Ints]:
    """Reflectance, transmittance and twin of every face, openings left out."""
    count = first[-1]
    reflectance, transmittance = np.zeros(count), np.zeros(count)
    twin = np.arange(count)
    for number, cavity in enumerate(cavities):
        start, cells = first[number], cavity.cell_count
        floor = slice(start, start + cells)
        ceiling = slice(start + cells, start + 2 * cells)
        column, _ = cavity.patches()
        paint = np.array([wall.reflectance for wall in cavity.mesh.segments])
        reflectance[start + 2 * cells : first[number + 1]] = paint[cavity.mesh.column_wall[column]]
        reflectance[floor] = box.back_reflectance
        reflectance[ceiling] = box.panel_reflectance
        if box.sheet is not None:
            side = ceiling if number == 0 else floor
            reflectance[side] = box.sheet.reflectance
            transmittance[side] = box.sheet.transmittance
    if box.sheet is not None:
        cells = cavities[0].cell_count
        below, above = np.arange(cells) + first[0] + cells, np.arange(cells) + first[1]
        twin[below], twin[above] = above, below
    return reflectance, transmittance, twin


def _pieces(cavity: Cavity, *, box: Box, has_panel: bool) -> Pieces:
    """Cut the faces of one cavity for direct light.

    The panel's pieces weigh light by what they throw back, all others by 1.
    """
    made, cells = cavity.mesh, cavity.cell_count
    own = np.arange(cells)
    column, layer = cavity.patches()
    floor, ceiling = (
        level_pieces(made.corner_mm, height_mm=float(height), up=up, face=face)
        for height, up, face in (
            (made.height_mm[0], True, own),
            (made.height_mm[-1], False, own + cells),
        )
    )
    walls = upright_pieces(
        made.foot_mm[column],
        low_mm=made.height_mm[layer],
        high_mm=made.height_mm[layer + 1],
        face=np.arange(2 * cells, cavity.face_count),
    )
    if has_panel:
        ceiling = rimmed(ceiling, box=box, way=made.way)
    return join([floor, ceiling, walls])


def covers(aperture: Aperture, *, mesh: Mesh) -> Floats:
    """Share of each cell of the panel that an opening covers, (C,), 0 to 1."""
    return shares(
        straight_shape(aperture.shape, way=mesh.way),
        corner_mm=straightened(mesh.corner_mm, way=mesh.way),
        area_mm2=mesh.area_mm2,
    )


def make_interior(box: Box, *, step: float | None = None) -> Interior:
    """Cut a sound box into faces and find the exchange between them.

    Parameters
    ----------
    box
        A box that ``sound_box.faults`` finds no fault with.
    step
        Fine step. [mm]. None: chosen from depth and narrowest width.
    """
    fine = step_mm(box) if step is None else step
    cavities: list[Cavity] = []
    for made in meshes_of(box, step_mm=fine):
        cavities.append(make_cavity(made, like=cavities[0] if cavities else None))
    mesh = cavities[0].mesh
    plan = plan_sight(mesh.corner_mm, foot_mm=mesh.foot_mm, screens=screens_of(box))
    slits, first = narrow_slits(box), _firsts(cavities)
    shut = replace(plan, screens=closed(plan.screens, slits=slits)) if slits else plan
    tables = exchanges(cavities, sights=_sights(cavities, plan=shut))
    areas = [face_areas(cavity) for cavity in cavities]
    spare = [np.zeros(len(area)) for area in areas]
    if slits:
        parts = slices(cavities, first=first)
        spare = add_lines(tables, areas=areas, slits=slits, parts=parts)
    closures = [
        evened(area, table=table, spare=own)
        for area, table, own in zip(areas, tables, spare, strict=True)
    ]
    whole = _assembled(
        box, cavities=tuple(cavities), tables=tables, plan=plan, closure=max(closures)
    )
    return replace(whole, slits=slits, shut=shut, doubt=doubt_of(box, step_mm=fine))


def _firsts(cavities: Sequence[Cavity]) -> tuple[int, ...]:
    """Give the number of each cavity's first face, and that of all faces."""
    return tuple(int(n) for n in np.cumsum([0, *(cavity.face_count for cavity in cavities)]))


def _per_span(span: Floats) -> Floats:
    """Give the dual of two directions (2, N, 3), which need not be square to each other."""
    first, second = span
    ways = np.einsum("ink,jnk->ijn", span, span)
    (one, mixed), (_, two) = ways
    room = one * two - mixed * mixed
    crooked = room > PARALLEL * one * two
    room = np.where(crooked, room, 1.0)[:, None]
    both = np.stack(
        [
            (two[:, None] * first - mixed[:, None] * second) / room,
            (one[:, None] * second - mixed[:, None] * first) / room,
        ]
    )
    long2 = np.stack([one, two])[..., None]
    alone = span / np.where(long2 > 0.0, long2, 1.0)
    return np.where(crooked[:, None], both, alone)


def _assembled(
    box: Box,
    *,
    cavities: tuple[Cavity, ...],
    tables: tuple[Singles, ...],
    plan: PlanSight,
    closure: float,
) -> Interior:
    first = _firsts(cavities)
    reflectance, transmittance, twin = _paints(box, cavities=cavities, first=first)
    panel, last = cavities[-1], first[-2]
    covered = reflectance[last + panel.cell_count : last + 2 * panel.cell_count]
    for aperture in box.apertures:
        covered += covers(aperture, mesh=panel.mesh) * (
            fill_reflectance(aperture) - box.panel_reflectance
        )
    lower, upper, centre, parent, onto = [], [], [], [], []
    coarse = 0
    for number, cavity in enumerate(cavities):
        below, above, middle = neighbours(cavity)
        lower.append(below + first[number])
        upper.append(above + first[number])
        centre.append(middle)
        parents = _parents(cavity)
        parent.append(parents + coarse)
        coarse += int(parents.max()) + 1
        onto.append(
            targets(
                _pieces(cavity, box=box, has_panel=number == len(cavities) - 1),
                count=cavity.face_count,
            )
        )
    centres = np.concatenate(centre)
    lows, highs = np.concatenate(lower, axis=1), np.concatenate(upper, axis=1)
    per_mm, sheet = _per_span(centres[highs] - centres[lows]), None
    back = reflectance.copy()
    # The pieces of the panel weigh light by what they throw back.
    back[last + panel.cell_count : last + 2 * panel.cell_count] = 1.0
    if box.sheet is not None:
        sheet = twin, transmittance
    owns = [slice(start, end) for start, end in pairwise(first)]
    return Interior(
        box=box,
        cavities=cavities,
        first=first,
        area_mm2=np.concatenate([face_areas(cavity) for cavity in cavities]),
        exchange_mm2=tables,
        reflectance=reflectance,
        transmittance=transmittance,
        twin=twin,
        lower=lows,
        upper=highs,
        per_mm=per_mm,
        centre_mm=centres,
        parent=np.concatenate(parent),
        onto=tuple(onto),
        faces=tuple(
            faces_of(cavity, centre_mm=middle)
            for cavity, middle in zip(cavities, centre, strict=True)
        ),
        laying=tuple(
            laying_of(
                own,
                back=back[own],
                centre_mm=centres[own],
                per_mm=per_mm[:, own],
                beside=(lows, highs),
                sheet=sheet,
            )
            for own in owns
        ),
        plan=plan,
        shut=plan,
        closure=closure,
    )


def first_reflection(
    interior: Interior, *, lamp: Lamp, landed: Landing | None = None
) -> tuple[Floats, Floats]:
    """Direct flux of a lamp of 1 lm on every face, and what is thrown back, both (N,). [lm/lm].

    Parameters
    ----------
    interior
        The box.
    lamp
        A lamp of 1 lm.
    landed
        What it sends to the faces of its cavity, where that is known already.
    """
    number, count = interior.home(lamp), interior.face_count
    if landed is None:
        landed = landing(lamp, onto=interior.onto[number], screens=interior.screens)
    rows, laying = landed.rows / landed.flux.sum(), interior.laying[number]
    direct = np.zeros(count)
    direct[laying.own] = rows[0]
    return direct, laying.sent(rows[1:], count=count)
